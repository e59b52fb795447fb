/* SPDX-License-Identifier: Apache-2.0 */
#include "json_internal.h"

#include <string.h>

#define TEXT_BEHIND 256   /* bytes of the line kept behind the caret: files on one line are long */
#define TEXT_BEFORE 65536 /* columns past this one get no text */

tw_place twi_json_place_at(const tw_json_doc *doc, size_t offset, size_t width)
{
    tw_place place = {.file = doc->file, .line = 1, .width = (uint32_t)(width < UINT32_MAX ? width : UINT32_MAX)};
    const char *line = doc->bytes.at, *at = doc->bytes.at + offset, *end = doc->bytes.at + doc->bytes.len, *feed;
    if (doc->bytes.len == 0) {
        place.column = 1;
        return place;
    }
    while ((feed = memchr(line, '\n', (size_t)(at - line))) != NULL) {
        line = feed + 1;
        place.line++;
    }
    place.column = (uint32_t)(at - line) + 1;
    if (place.column > TEXT_BEFORE)
        return place;
    size_t most = (size_t)(at - line) + width + TEXT_BEHIND, left = (size_t)(end - line);
    place.text = (tw_str){line, left < most ? left : most};
    if ((feed = memchr(line, '\n', place.text.len)) != NULL)
        place.text.len = (size_t)(feed - line);
    while (place.text.len > 0 && place.text.at[place.text.len - 1] == '\r')
        place.text.len--;
    return place;
}

/* Bytes of the text that opens at `offset`, with its quotes. */
static size_t quoted_length(tw_str bytes, size_t offset)
{
    size_t i = offset + 1;
    while (i < bytes.len && bytes.at[i] != '"')
        i += bytes.at[i] == '\\' ? 2 : 1;
    return i + 1 - offset;
}

tw_place tw_json_place(const tw_json_doc *doc, const tw_json *value)
{
    if (value == NULL || value->offset >= doc->bytes.len)
        return (tw_place){.file = doc->file};
    static const uint8_t word[] = {
        [TW_JSON_NULL] = 4, [TW_JSON_FALSE] = 5, [TW_JSON_TRUE] = 4, [TW_JSON_ARRAY] = 1, [TW_JSON_OBJECT] = 1};
    size_t width = value->kind == TW_JSON_NUMBER   ? value->text.len
                   : value->kind == TW_JSON_STRING ? quoted_length(doc->bytes, value->offset)
                                                   : word[value->kind];
    return twi_json_place_at(doc, value->offset, width);
}

/* Offset of the quote that opens the name before a value: names are not kept raw, so walk back over it. */
static size_t name_offset(tw_str bytes, size_t value)
{
    size_t i = value;
    while (i > 0 && bytes.at[i - 1] != ':')
        i--;
    while (i > 0 && bytes.at[i - 1] != '"')
        i--;
    size_t close = i > 0 ? i - 1 : 0;
    for (i = close; i > 0; i--) {
        size_t slashes = 0;
        while (slashes + 1 < i && bytes.at[i - 2 - slashes] == '\\')
            slashes++;
        if (bytes.at[i - 1] == '"' && slashes % 2 == 0)
            return i - 1;
    }
    return value;
}

tw_place tw_json_name_place(const tw_json_doc *doc, const tw_json *value)
{
    if (value == NULL || value->offset >= doc->bytes.len || value->key.at == NULL)
        return tw_json_place(doc, value);
    size_t offset = name_offset(doc->bytes, value->offset);
    return twi_json_place_at(doc, offset, quoted_length(doc->bytes, offset));
}

/* ---- pointers (RFC 6901) --------------------------------------------------------------------------------- */

static void add_token(tw_str name, tw_buf *out)
{
    for (size_t i = 0; i < name.len; i++) {
        if (name.at[i] == '~')
            tw_buf_addz(out, "~0");
        else if (name.at[i] == '/')
            tw_buf_addz(out, "~1");
        else
            tw_buf_addc(out, name.at[i]);
    }
}

/* Leaves in `out` the way from `from` to `value`, when it is there. */
static bool find(const tw_json *from, const tw_json *value, tw_buf *out)
{
    if (from == value)
        return true;
    int64_t index = 0;
    for (const tw_json *child = tw_json_first(from); child != NULL; child = child->next, index++) {
        if (child != value && tw_json_first(child) == NULL)
            continue;
        size_t before = out->len;
        tw_buf_addc(out, '/');
        if (from->kind == TW_JSON_OBJECT)
            add_token(child->key, out);
        else
            tw_buf_add_int(out, index);
        if (find(child, value, out))
            return true;
        out->len = before;
    }
    return false;
}

tw_str tw_json_pointer(tw_arena *arena, const tw_json_doc *doc, const tw_json *value)
{
    tw_buf out = {.arena = arena};
    if (doc->root == NULL || value == NULL || !find(doc->root, value, &out))
        return (tw_str){NULL, 0};
    return tw_buf_str(&out);
}
