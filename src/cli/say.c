/* SPDX-License-Identifier: Apache-2.0 */
#define _DEFAULT_SOURCE
#include "cli.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/ioctl.h>
#include <unistd.h>

#define SENTENCE 8192 /* bytes of one: two paths and the words between them */

void say_error(const char *format, ...)
{
    char said[SENTENCE], room[SENTENCE];
    tw_buf shown = {.at = room, .cap = sizeof room}; /* as long as said: it never grows */
    va_list values;
    va_start(values, format);
    vsnprintf(said, sizeof said, format, values);
    va_end(values);
    tw_buf_add_shown(&shown, tw_str_z(said));
    fprintf(stderr, "tallwide: %.*s\n", TW_ARG(tw_buf_str(&shown)));
}

#define WIDEST 100
#define NARROWEST 40

int say_width(void)
{
    struct winsize size;
    if (isatty(STDOUT_FILENO) && ioctl(STDOUT_FILENO, TIOCGWINSZ, &size) == 0 && size.ws_col > 0)
        return size.ws_col > WIDEST ? WIDEST : size.ws_col < NARROWEST ? NARROWEST : size.ws_col;
    return WIDEST;
}

int say_columns(tw_str s)
{
    return (int)tw_str_characters(s);
}

void say_field(tw_str s, int width, tw_buf *out)
{
    int columns = 0;
    size_t i = 0;
    bool fits = say_columns(s) <= width;
    for (; i < s.len; i++) {
        columns += !tw_is_within(s.at[i]);
        if (columns > (fits ? width : width - 1))
            break;
    }
    tw_buf_add_shown(out, tw_str_cut(s, i));
    if (!fits)
        tw_buf_addc(out, '~');
    else
        tw_buf_fill(out, ' ', (size_t)(width - columns));
}

void say_event(tw_str event, size_t number, tw_buf *out)
{
    if (event.len == 0 && number > 0)
        event = tw_arena_printf(out->arena, "%zu", number);
    say_field(event, 6, out);
}

static size_t next_word(tw_str text, size_t from)
{
    while (from < text.len && text.at[from] != ' ' && text.at[from] != '\n')
        from++;
    return from;
}

void say_wrapped(tw_str text, int at, int width, tw_buf *out)
{
    int column = at;
    for (size_t i = 0; i < text.len;) {
        size_t end = next_word(text, i);
        tw_str word = {text.at + i, end - i};
        int wide = say_columns(word);
        if (column > at && column + 1 + wide > width) {
            tw_buf_addc(out, '\n');
            tw_buf_fill(out, ' ', (size_t)at);
            column = at;
        } else if (column > at && word.len > 0) {
            tw_buf_addc(out, ' ');
            column++;
        }
        tw_buf_add_shown(out, word);
        column += wide;
        if (end < text.len && text.at[end] == '\n') {
            tw_buf_addc(out, '\n');
            tw_buf_fill(out, ' ', (size_t)at);
            column = at;
        }
        i = end + 1;
    }
}

/* Bytes of a line that fit: up to a blank, the first where none is in time. */
static size_t fitting(tw_str line, int width)
{
    size_t best = line.len;
    int columns = 0;
    for (size_t i = 0; i < line.len && (columns <= width || best == line.len); i++) {
        if (line.at[i] == ' ' && i > 0 && line.at[i - 1] != ' ')
            best = i;
        columns += !tw_is_within(line.at[i]);
    }
    return columns > width ? best : line.len;
}

void say_lines(tw_str text, int at, int width, tw_buf *out)
{
    while (text.len > 0) {
        const char *end = memchr(text.at, '\n', text.len);
        tw_str line = tw_str_cut(text, end != NULL ? (size_t)(end - text.at) : text.len);
        text = tw_str_from(text, line.len + (end != NULL));
        for (size_t fits = fitting(line, width); fits < line.len; fits = fitting(line, width - at)) {
            tw_buf_add(out, tw_str_cut(line, fits));
            tw_buf_addc(out, '\n');
            tw_buf_fill(out, ' ', (size_t)at);
            line = tw_str_trim(tw_str_from(line, fits));
        }
        tw_buf_add(out, line);
        tw_buf_addc(out, '\n');
    }
}
