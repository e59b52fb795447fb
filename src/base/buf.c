/* SPDX-License-Identifier: Apache-2.0 */
#include <tallwide/base.h>

#include "arena_text.h"

#include <stdio.h>
#include <string.h>

static char *room(tw_buf *buf, size_t more)
{
    if (buf->at == NULL || buf->cap - buf->len < more) /* of nothing too there is an address */
        buf->at = twi_arena_text(buf->arena, buf->at, buf->len, &buf->cap, more);
    return buf->at + buf->len;
}

void tw_buf_add(tw_buf *buf, tw_str s)
{
    if (s.len == 0)
        return;
    memcpy(room(buf, s.len), s.at, s.len);
    buf->len += s.len;
}

void tw_buf_fill(tw_buf *buf, char c, size_t times)
{
    if (times == 0)
        return;
    memset(room(buf, times), c, times);
    buf->len += times;
}

/* C1 is written C2 80 to C2 9F in UTF-8. */
void tw_buf_add_shown(tw_buf *buf, tw_str s)
{
    for (size_t i = 0; i < s.len; i++) {
        unsigned char c = (unsigned char)s.at[i], next = i + 1 < s.len ? (unsigned char)s.at[i + 1] : 0;
        bool c1 = c == 0xC2 && next >= 0x80 && next <= 0x9F;
        tw_buf_addc(buf, c < 0x20 || c == 0x7F || c1 ? ' ' : s.at[i]);
        i += c1;
    }
}

void tw_buf_addv(tw_buf *buf, const char *format, va_list values)
{
    va_list again;
    va_copy(again, values);
    char small[256];
    int n = vsnprintf(small, sizeof small, format, again);
    va_end(again);
    if (n < 0)
        return;
    size_t len = (size_t)n;
    if (len < sizeof small)
        memcpy(room(buf, len), small, len);
    else
        vsnprintf(room(buf, len + 1), len + 1, format, values);
    buf->len += len;
}

void tw_buf_addf(tw_buf *buf, const char *format, ...)
{
    va_list values;
    va_start(values, format);
    tw_buf_addv(buf, format, values);
    va_end(values);
}

void tw_buf_add_int(tw_buf *buf, int64_t value)
{
    char digits[24];
    char *end = digits + sizeof digits, *p = end;
    uint64_t u = value < 0 ? 0 - (uint64_t)value : (uint64_t)value;
    do
        *--p = (char)('0' + u % 10);
    while ((u /= 10) != 0);
    if (value < 0)
        *--p = '-';
    tw_buf_add(buf, (tw_str){p, (size_t)(end - p)});
}

tw_str tw_buf_str(const tw_buf *buf)
{
    return (tw_str){buf->at, buf->len};
}
