/* SPDX-License-Identifier: Apache-2.0 */
#include <string.h>

#include "edl_internal.h"

static const tw_str byte_order_mark = {"\xEF\xBB\xBF", 3};

void twi_edl_scan(twi_scan *scan, tw_arena *arena, tw_str bytes)
{
    *scan = (twi_scan){.arena = arena, .bytes = bytes};
    if (tw_str_starts(bytes, byte_order_mark))
        scan->at = byte_order_mark.len;
}

static size_t find(tw_str bytes, size_t from, size_t to, char c)
{
    const char *p = from < to ? memchr(bytes.at + from, c, to - from) : NULL;
    return p != NULL ? (size_t)(p - bytes.at) : to;
}

/* LF, CR LF and CR all end a line. The next of each is remembered, so that files with one kind only stay linear. */
static bool take_line(twi_scan *scan, tw_str *raw, size_t *end_len)
{
    size_t len = scan->bytes.len, start = scan->at;
    if (start >= len)
        return false;
    if (scan->line == 0 || scan->lf < start)
        scan->lf = find(scan->bytes, start, len, '\n');
    if (scan->line == 0 || scan->cr < start)
        scan->cr = find(scan->bytes, start, len, '\r');
    size_t end = scan->cr < scan->lf ? scan->cr : scan->lf;
    *end_len = end >= len ? 0 : scan->bytes.at[end] == '\r' && end + 1 < len && scan->bytes.at[end + 1] == '\n' ? 2 : 1;
    *raw = (tw_str){scan->bytes.at + start, end - start};
    scan->at = end + *end_len;
    scan->line++;
    return true;
}

bool twi_edl_next_raw(twi_scan *scan, tw_str *raw, size_t *end_len)
{
    return take_line(scan, raw, end_len);
}

#define LOOKED_AT ((size_t)1 << 16) /* bytes by which the number of lines is guessed */

void twi_edl_guess(tw_str bytes, size_t *events, size_t *others)
{
    tw_str head = tw_str_cut(bytes, LOOKED_AT);
    twi_scan scan;
    tw_str raw;
    size_t end_len;
    *events = *others = 0;
    twi_edl_scan(&scan, NULL, head);
    while (twi_edl_next_raw(&scan, &raw, &end_len)) {
        bool event = twi_edl_is_numbered(raw);
        *events += event;
        *others += !event && raw.len > 0;
    }
    if (head.len == bytes.len)
        return;
    double times = (double)bytes.len / (double)head.len * 1.125; /* later lines may be shorter */
    *events = (size_t)((double)*events * times) + 1;
    *others = (size_t)((double)*others * times) + 1;
}

static bool is_padding(char c)
{
    return c == 0x1A || c == '\0';
}

static bool is_blank(char c)
{
    return tw_is_blank(c) || c == '\f' || c == '\v';
}

tw_str twi_edl_unpaged(tw_str line)
{
    while (line.len > 0 && (line.at[0] == '\f' || line.at[0] == '\v'))
        line = tw_str_from(line, 1);
    return line;
}

static tw_str strip_blanks(tw_str s)
{
    while (s.len > 0 && is_blank(s.at[s.len - 1]))
        s.len--;
    return twi_edl_unpaged(s);
}

static tw_str strip(twi_scan *scan, tw_str s)
{
    size_t before = scan->padding;
    while (s.len > 0 && (is_blank(s.at[s.len - 1]) || is_padding(s.at[s.len - 1])))
        scan->padding += is_padding(s.at[--s.len]);
    while (s.len > 0 && is_padding(s.at[0])) {
        s = tw_str_from(s, 1);
        scan->padding++;
    }
    if (before == 0 && scan->padding > 0)
        scan->padding_line = scan->line;
    return twi_edl_unpaged(s);
}

#define BLOCK 64

/* The first byte past ASCII or of padding; lines before it need no closer look. The inner loop is one that compilers do
 * many bytes at a time. */
static size_t find_odd(tw_str bytes, size_t i)
{
    for (; i + BLOCK <= bytes.len; i += BLOCK) {
        unsigned char odd = 0;
        for (size_t k = 0; k < BLOCK; k++)
            odd |= (unsigned char)(bytes.at[i + k] & 0x80) | (unsigned char)is_padding(bytes.at[i + k]);
        if (odd != 0)
            break;
    }
    while (i < bytes.len && (unsigned char)bytes.at[i] < 0x80 && !is_padding(bytes.at[i]))
        i++;
    return i;
}

static bool is_plain(twi_scan *scan, tw_str raw)
{
    size_t start = (size_t)(raw.at - scan->bytes.at);
    if (scan->line == 1 || scan->odd < start)
        scan->odd = find_odd(scan->bytes, start);
    return scan->odd >= start + raw.len;
}

/* ISO 8859-1, every byte the code point of its own value, but where that is a control character what Windows-1252 has
 * there: quotes and dashes (the WHATWG Encoding Standard reads Latin-1 so, too). */
static const uint16_t windows[32] = {0x20AC, '?',    0x201A, 0x0192, 0x201E, 0x2026, 0x2020, 0x2021,
                                     0x02C6, 0x2030, 0x0160, 0x2039, 0x0152, '?',    0x017D, '?',
                                     '?',    0x2018, 0x2019, 0x201C, 0x201D, 0x2022, 0x2013, 0x2014,
                                     0x02DC, 0x2122, 0x0161, 0x203A, 0x0153, '?',    0x017E, 0x0178};

#define LONGEST_CODE 3 /* bytes of what any of them is in UTF-8 */

static tw_str from_latin1(tw_arena *arena, tw_str s)
{
    char *text = tw_arena_alloc(arena, LONGEST_CODE * s.len + 1, 1), *out = text;
    for (size_t i = 0; i < s.len; i++) {
        unsigned char c = (unsigned char)s.at[i];
        out = tw_str_put_utf8(c >= 0x80 && c < 0xA0 ? windows[c - 0x80] : c, out);
    }
    return (tw_str){text, (size_t)(out - text)};
}

bool twi_edl_next_line(twi_scan *scan, tw_str *text)
{
    tw_str raw;
    size_t end_len, bad;
    if (!take_line(scan, &raw, &end_len))
        return false;
    scan->plain = is_plain(scan, raw);
    *text = scan->plain ? strip_blanks(raw) : strip(scan, raw);
    if (scan->plain || tw_str_utf8(*text, &bad))
        return true;
    *text = from_latin1(scan->arena, *text);
    if (scan->latin1_lines++ == 0) {
        scan->latin1_first = scan->line;
        scan->latin1_column = (uint32_t)bad + 1;
        scan->latin1_text = *text;
    }
    return true;
}

const char *twi_edl_not_text(tw_str bytes)
{
    const unsigned char *b = (const unsigned char *)bytes.at;
    if (bytes.len >= 2 && ((b[0] == 0xFF && b[1] == 0xFE) || (b[0] == 0xFE && b[1] == 0xFF)))
        return "the file is UTF-16 text; lists are read as ASCII, UTF-8 or Latin-1";
    if (bytes.len >= 4 &&
        ((b[0] != 0 && b[1] == 0 && b[2] != 0 && b[3] == 0) || (b[0] == 0 && b[1] != 0 && b[2] == 0 && b[3] != 0)))
        return "the file is UTF-16 text; lists are read as ASCII, UTF-8 or Latin-1";
    return NULL;
}
