/* SPDX-License-Identifier: Apache-2.0 */
#include "json_internal.h"

static void write_text(tw_str s, tw_buf *out)
{
    size_t plain = s.len > 0 ? (size_t)(twi_json_plain_end(s.at, s.at + s.len) - s.at) : 0;
    bool ascii = plain == s.len;
    for (; plain < s.len; plain++) {
        unsigned char c = (unsigned char)s.at[plain];
        if (c < 0x20 || c == '"' || c == '\\')
            break;
    }
    /* Texts of callers may hold anything; what is no UTF-8 is mended by the careful way. */
    if (plain < s.len || (!ascii && !tw_str_utf8(s, NULL))) {
        tw_diag_json_string(s, out);
        return;
    }
    tw_buf_addc(out, '"');
    tw_buf_add(out, s);
    tw_buf_addc(out, '"');
}

static void new_line(const tw_json_style *style, int depth, tw_buf *out)
{
    static const char line[] = "\n                                                                ";
    size_t blanks = (size_t)style->indent * (size_t)depth;
    if (style->indent == 0)
        return;
    tw_buf_add(out, (tw_str){line, 1 + (blanks < sizeof line - 2 ? blanks : sizeof line - 2)});
    if (blanks > sizeof line - 2)
        tw_buf_fill(out, ' ', blanks - (sizeof line - 2));
}

static void write_value(const tw_json *value, const tw_json_style *style, int depth, tw_buf *out);

/* Depth is that of the tree: bounded for what was read, and what is built here is not deep. */
static void write_children(const tw_json *value, const tw_json_style *style, int depth, tw_buf *out)
{
    bool object = value->kind == TW_JSON_OBJECT;
    tw_buf_addc(out, object ? '{' : '[');
    tw_json_rows rows;
    tw_json_rows_begin(&rows, value);
    for (uint32_t i = 0; i < value->count; i++) {
        const tw_json *child = tw_json_row(&rows);
        if (i > 0)
            tw_buf_add(out, (tw_str){", ", style->spaced ? 2 : 1});
        new_line(style, depth + 1, out);
        if (object) {
            write_text(child->key, out);
            tw_buf_addz(out, style->indent > 0 || style->spaced ? ": " : ":");
        }
        write_value(child, style, depth + 1, out);
    }
    if (value->count > 0)
        new_line(style, depth, out);
    tw_buf_addc(out, object ? '}' : ']');
}

static void write_value(const tw_json *value, const tw_json_style *style, int depth, tw_buf *out)
{
    switch ((tw_json_kind)value->kind) {
    case TW_JSON_NULL: tw_buf_addz(out, "null"); break;
    case TW_JSON_FALSE: tw_buf_addz(out, "false"); break;
    case TW_JSON_TRUE: tw_buf_addz(out, "true"); break;
    case TW_JSON_NUMBER: tw_buf_add(out, value->text); break;
    case TW_JSON_STRING: write_text(value->text, out); break;
    case TW_JSON_ARRAY:
    case TW_JSON_OBJECT: write_children(value, style, depth, out); break;
    }
}

void tw_json_write(const tw_json *value, const tw_json_style *style, tw_buf *out)
{
    write_value(value, style, 0, out);
    if (style->final_newline)
        tw_buf_addc(out, '\n');
}
