/* SPDX-License-Identifier: Apache-2.0
 *
 * Folded lists: rows of numbers and plain texts that stay text until they are looked at.
 */
#include "json_internal.h"

/* The text or number that begins at `at`; its end, NULL when it is neither. */
static const char *read_value(const char *at, const char *end, tw_json *value)
{
    const char *why, *stop = at < end ? twi_json_number_end(at, end, &why) : NULL;
    if (stop != NULL) {
        *value = (tw_json){.kind = TW_JSON_NUMBER, .text = {at, (size_t)(stop - at)}};
        return stop;
    }
    if (at == end || *at != '"')
        return NULL;
    stop = twi_json_plain_end(++at, end);
    *value = (tw_json){.kind = TW_JSON_STRING, .text = {at, (size_t)(stop - at)}};
    return stop < end && *stop == '"' ? stop + 1 : NULL;
}

/* The row that begins at `at`, `offset` bytes into the input, in 1 + TW_JSON_ROW values; its end, NULL when it is none
 * that folds. */
static const char *read_row(const char *at, const char *end, uint32_t offset, tw_json *row)
{
    const char *open = at;
    *row = (tw_json){.offset = offset, .kind = TW_JSON_ARRAY};
    if (at == end || *at != '[')
        return NULL;
    do {
        at = twi_json_blanks(at + 1, end);
        tw_json *value = &row[1 + row->count];
        const char *stop = row->count < TW_JSON_ROW ? read_value(at, end, value) : NULL;
        if (stop == NULL)
            return NULL;
        value->offset = offset + (uint32_t)(at - open);
        tw_json_append(row, value);
        at = twi_json_blanks(stop, end);
    } while (at < end && *at == ',');
    return at < end && *at == ']' ? at + 1 : NULL;
}

const char *twi_json_fold_end(const char *at, const char *end, uint32_t *count)
{
    tw_json row[1 + TW_JSON_ROW];
    *count = 0;
    do {
        at = read_row(twi_json_blanks(at + 1, end), end, 0, row);
        if (at == NULL)
            return NULL;
        ++*count;
        at = twi_json_blanks(at, end);
    } while (at < end && *at == ',');
    return at < end && *at == ']' ? at + 1 : NULL;
}

void tw_json_rows_begin(tw_json_rows *rows, const tw_json *list)
{
    rows->next = tw_json_first(list);
    rows->text = list != NULL && list->folded ? list->text : (tw_str){NULL, 0};
    rows->offset = list != NULL ? list->offset : 0;
}

const tw_json *tw_json_row(tw_json_rows *rows)
{
    if (rows->text.len == 0) {
        const tw_json *row = rows->next;
        rows->next = row != NULL ? row->next : NULL;
        return row;
    }
    const char *at = rows->text.at, *end = at + rows->text.len;
    const char *open = twi_json_blanks(at + 1, end); /* behind the bracket or comma */
    const char *stop = read_row(open, end, rows->offset + (uint32_t)(open - at), rows->row);
    if (stop == NULL) /* the bracket was the last */
        return NULL;
    stop = twi_json_blanks(stop, end);
    rows->offset += (uint32_t)(stop - at);
    rows->text = tw_str_from(rows->text, (size_t)(stop - at));
    return rows->row;
}

const tw_json *tw_json_unfold(tw_arena *arena, const tw_json *list)
{
    if (list == NULL || !list->folded)
        return list;
    tw_json *plain = TW_NEW(arena, tw_json);
    *plain = (tw_json){.next = list->next, .key = list->key, .offset = list->offset, .kind = TW_JSON_ARRAY};
    tw_json_rows rows;
    tw_json_rows_begin(&rows, list);
    for (const tw_json *row; (row = tw_json_row(&rows)) != NULL;)
        tw_json_append(plain, tw_json_copy(arena, row));
    return plain;
}
