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

/* LF, CR LF and CR all end a line. The next LF is remembered, so that files with CR only stay linear. */
static bool take_line(twi_scan *scan, tw_str *raw, size_t *end_len)
{
    size_t len = scan->bytes.len, start = scan->at;
    if (start >= len)
        return false;
    if (scan->line == 0 || scan->lf < start)
        scan->lf = find(scan->bytes, start, len, '\n');
    size_t end = find(scan->bytes, start, scan->lf, '\r');
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

void twi_edl_count(tw_str bytes, size_t *events, size_t *others)
{
    *events = *others = 0;
    for (size_t i = 0; i < bytes.len; i = find(bytes, i, bytes.len, '\n') + 1) {
        char c = bytes.at[i];
        bool event = c >= '0' && c <= '9';
        *events += event;
        *others += !event && c != '\n' && c != '\r';
    }
}

static bool is_padding(char c)
{
    return c == 0x1A || c == '\0';
}

static bool is_blank(char c)
{
    return c == ' ' || c == '\t' || c == '\f' || c == '\v';
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
    return s;
}

static bool is_ascii(tw_str s)
{
    size_t i = 0;
    for (; i + 8 <= s.len; i += 8) {
        uint64_t eight;
        memcpy(&eight, s.at + i, 8);
        if (eight & UINT64_C(0x8080808080808080))
            return false;
    }
    for (; i < s.len; i++)
        if ((unsigned char)s.at[i] >= 0x80)
            return false;
    return true;
}

/* ISO 8859-1: every byte is the code point of its own value. */
static tw_str from_latin1(tw_arena *arena, tw_str s)
{
    tw_buf buf = {.arena = arena};
    for (size_t i = 0; i < s.len; i++) {
        unsigned char c = (unsigned char)s.at[i];
        if (c >= 0x80) {
            tw_buf_addc(&buf, (char)(0xC0 | c >> 6));
            tw_buf_addc(&buf, (char)(0x80 | (c & 0x3F)));
        } else {
            tw_buf_addc(&buf, s.at[i]);
        }
    }
    return tw_buf_str(&buf);
}

bool twi_edl_next_line(twi_scan *scan, tw_str *text)
{
    tw_str raw;
    size_t end_len, bad;
    if (!take_line(scan, &raw, &end_len))
        return false;
    *text = strip(scan, raw);
    if (is_ascii(*text) || tw_str_utf8(*text, &bad))
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
