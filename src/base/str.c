/* SPDX-License-Identifier: Apache-2.0 */
#include <tallwide/base.h>

#include <string.h>

static unsigned char lower(char c)
{
    return (unsigned char)(c >= 'A' && c <= 'Z' ? c - 'A' + 'a' : c);
}

bool tw_str_ieq(tw_str a, tw_str b)
{
    return a.len == b.len && tw_str_istarts(a, b);
}

int tw_str_cmp(tw_str a, tw_str b)
{
    size_t n = a.len < b.len ? a.len : b.len;
    int order = n > 0 ? memcmp(a.at, b.at, n) : 0;
    return order != 0 ? order : TW_CMP(a.len, b.len);
}

int tw_str_order(const void *a, const void *b)
{
    return tw_str_cmp(*(const tw_str *)a, *(const tw_str *)b);
}

int tw_str_icmp(tw_str a, tw_str b)
{
    for (size_t i = 0; i < a.len && i < b.len; i++) {
        int order = lower(a.at[i]) - lower(b.at[i]);
        if (order != 0)
            return order;
    }
    return TW_CMP(a.len, b.len);
}

bool tw_str_starts(tw_str s, tw_str head)
{
    return s.len >= head.len && (head.len == 0 || memcmp(s.at, head.at, head.len) == 0);
}

bool tw_str_istarts(tw_str s, tw_str head)
{
    if (s.len < head.len)
        return false;
    for (size_t i = 0; i < head.len; i++)
        if (s.at[i] != head.at[i] && lower(s.at[i]) != lower(head.at[i]))
            return false;
    return true;
}

/* ---- guessing ---------------------------------------------------------------------------------------------- */

#define LONGEST_GUESS 32 /* words past this are not guessed at */

static size_t least_of(size_t a, size_t b, size_t c)
{
    size_t ab = a < b ? a : b;
    return ab < c ? ab : c;
}

/* Letters to insert, remove, change or swap with their neighbour to get from one word to the other. */
static size_t distance(tw_str a, tw_str b)
{
    size_t rows[3][LONGEST_GUESS + 1]; /* of the last letters of a */
    if (a.len > LONGEST_GUESS || b.len > LONGEST_GUESS)
        return TW_NO_SLIP;
    for (size_t j = 0; j <= b.len; j++)
        rows[0][j] = j;
    for (size_t i = 1; i <= a.len; i++) {
        size_t *row = rows[i % 3];
        const size_t *above = rows[(i - 1) % 3], *two_above = rows[(i + 1) % 3];
        row[0] = i;
        for (size_t j = 1; j <= b.len; j++) {
            unsigned char x = lower(a.at[i - 1]), y = lower(b.at[j - 1]);
            row[j] = least_of(row[j - 1] + 1, above[j] + 1, above[j - 1] + (x != y));
            if (i > 1 && j > 1 && x == lower(b.at[j - 2]) && y == lower(a.at[i - 2]) && two_above[j - 2] < row[j])
                row[j] = two_above[j - 2] + 1;
        }
    }
    return rows[a.len % 3][b.len];
}

/* "out" of "output", "delivery" of "deliveries". */
static bool is_beginning(tw_str typed, tw_str known)
{
    tw_str head = tw_str_cut(typed, typed.len - (typed.len > 4));
    return typed.len > 2 && tw_str_istarts(known, head);
}

bool tw_str_is_nearer(tw_str typed, tw_str known, size_t *least)
{
    size_t d = distance(typed, known);
    if (d > 1 && is_beginning(typed, known))
        d = 1;
    if (d >= *least || (d > 1 && typed.len < 6))
        return false;
    *least = d;
    return true;
}

/* ---- parts ------------------------------------------------------------------------------------------------- */

tw_str tw_str_trim(tw_str s)
{
    size_t start = 0, end = s.len;
    while (start < end && tw_is_blank(s.at[start]))
        start++;
    while (end > start && tw_is_blank(s.at[end - 1]))
        end--;
    return s.at != NULL ? (tw_str){s.at + start, end - start} : s;
}

bool tw_str_glob(tw_str pattern, tw_str text)
{
    size_t p = 0, t = 0, star = SIZE_MAX, mark = 0;
    while (t < text.len) {
        if (p < pattern.len && pattern.at[p] == '*') {
            star = p++;
            mark = t;
        } else if (p < pattern.len && (pattern.at[p] == '?' || lower(pattern.at[p]) == lower(text.at[t]))) {
            p++;
            t++;
        } else if (star != SIZE_MAX) {
            p = star + 1;
            t = ++mark;
        } else {
            return false;
        }
    }
    while (p < pattern.len && pattern.at[p] == '*')
        p++;
    return p == pattern.len;
}

bool tw_str_iends(tw_str s, tw_str end)
{
    return s.len >= end.len && tw_str_ieq(tw_str_from(s, s.len - end.len), end);
}

bool tw_str_holds(tw_str s, tw_str word)
{
    for (size_t i = 0; i + word.len <= s.len; i++)
        if (tw_str_starts(tw_str_from(s, i), word))
            return true;
    return false;
}

bool tw_str_has_wildcard(tw_str pattern)
{
    for (size_t i = 0; i < pattern.len; i++)
        if (pattern.at[i] == '*' || pattern.at[i] == '?')
            return true;
    return false;
}

tw_str tw_arena_lower(tw_arena *arena, tw_str s)
{
    char *copy = tw_arena_dupz(arena, s);
    for (size_t i = 0; i < s.len; i++)
        copy[i] = (char)lower(copy[i]);
    return (tw_str){copy, s.len};
}

tw_str tw_arena_hex(tw_arena *arena, uint64_t value)
{
    return tw_arena_printf(arena, "%016llx", (unsigned long long)value);
}

/* Length of the well-formed UTF-8 sequence at the start of s (RFC 3629, section 4), 0 when there is none. */
static size_t utf8_one(const unsigned char *s, size_t len)
{
    unsigned char c = s[0];
    if (c < 0x80)
        return 1;
    if (c < 0xC2 || c > 0xF4)
        return 0;
    size_t need = c < 0xE0 ? 2 : c < 0xF0 ? 3 : 4;
    if (len < need)
        return 0;
    unsigned char least = c == 0xE0 ? 0xA0 : c == 0xF0 ? 0x90 : 0x80;
    unsigned char most = c == 0xED ? 0x9F : c == 0xF4 ? 0x8F : 0xBF;
    if (s[1] < least || s[1] > most)
        return 0;
    for (size_t i = 2; i < need; i++)
        if ((s[i] & 0xC0) != 0x80)
            return 0;
    return need;
}

size_t tw_str_characters(tw_str s)
{
    size_t count = 0;
    for (size_t i = 0; i < s.len; i++)
        count += !tw_is_within(s.at[i]);
    return count;
}

char *tw_str_put_utf8(uint32_t c, char *out)
{
    int more = c < 0x80 ? 0 : c < 0x800 ? 1 : c < 0x10000 ? 2 : 3;
    static const uint8_t head[] = {0, 0xC0, 0xE0, 0xF0};
    *out++ = (char)(head[more] | c >> (6 * more));
    while (more-- > 0)
        *out++ = (char)(0x80 | (c >> (6 * more) & 0x3F));
    return out;
}

bool tw_str_utf8(tw_str s, size_t *bad)
{
    for (size_t i = 0; i < s.len;) {
        size_t n = utf8_one((const unsigned char *)s.at + i, s.len - i);
        if (n == 0) {
            if (bad != NULL)
                *bad = i;
            return false;
        }
        i += n;
    }
    return true;
}

tw_str tw_str_basename(tw_str path)
{
    size_t start = path.len;
    while (start > 0 && path.at[start - 1] != '/' && path.at[start - 1] != '\\')
        start--;
    return tw_str_from(path, start);
}

tw_str tw_str_stem(tw_str path)
{
    tw_str base = tw_str_basename(path);
    for (size_t i = base.len; i > 1; i--)
        if (base.at[i - 1] == '.')
            return tw_str_cut(base, i - 1);
    return base;
}

tw_str tw_str_folder(tw_str path)
{
    size_t end = path.len;
    while (end > 0 && path.at[end - 1] != '/')
        end--;
    return tw_str_cut(path, end);
}

uint64_t tw_str_hash(tw_str s)
{
    uint64_t hash = UINT64_C(0xcbf29ce484222325); /* RFC 9923: 64-bit offset basis and prime */
    for (size_t i = 0; i < s.len; i++)
        hash = (hash ^ (unsigned char)s.at[i]) * UINT64_C(0x100000001b3);
    return hash;
}
