/* SPDX-License-Identifier: Apache-2.0 */
#include "plan_table.h"

#include <string.h>

void twi_table_start(twi_table *table, tw_str bytes, tw_str file, tw_diags *diags)
{
    *table = (twi_table){.file = file, .diags = diags};
    table->rest = tw_str_starts(bytes, TW_STR("\xEF\xBB\xBF")) ? tw_str_from(bytes, 3) : bytes;
}

bool twi_table_next(twi_table *table)
{
    tw_str rest = table->rest;
    size_t n = 0;
    if (rest.len == 0)
        return false;
    while (n < rest.len && rest.at[n] != '\n' && rest.at[n] != '\r')
        n++;
    table->line = tw_str_cut(rest, n);
    bool both = n + 1 < rest.len && rest.at[n] == '\r' && rest.at[n + 1] == '\n';
    table->rest = tw_str_from(rest, n + (both ? 2 : 1));
    table->number++;
    return true;
}

size_t twi_table_columns(const twi_table *table, tw_str *out, size_t most)
{
    tw_str line = table->line;
    size_t count = 0;
    while (count < most) {
        const char *comma = line.len > 0 ? memchr(line.at, ',', line.len) : NULL;
        size_t n = comma != NULL ? (size_t)(comma - line.at) : line.len;
        out[count++] = tw_str_trim(tw_str_cut(line, n));
        if (comma == NULL)
            break;
        line = tw_str_from(line, n + 1);
    }
    return count;
}

void twi_table_tell(twi_table *table, int code, tw_str at, const char *message)
{
    tw_place place = {.file = table->file,
                      .line = table->number,
                      .column = 1,
                      .width = (uint32_t)at.len,
                      .text = tw_str_cut(table->line, 256)};
    if (at.at != NULL)
        place.column = (uint32_t)(at.at - table->line.at) + 1;
    tw_diag_add(table->diags, code, &place, "%s", message);
    const tw_code *row = tw_code_find(code);
    table->errors += row == NULL || row->severity == TW_ERROR;
}

bool twi_table_whole(tw_str s, int64_t *out)
{
    double value;
    if (tw_num_int(s, out))
        return true;
    if (!tw_num_double(s, &value) || value < -TWI_LAST_FRAME || value > TWI_LAST_FRAME ||
        value != (double)(int64_t)value)
        return false;
    *out = (int64_t)value;
    return true;
}
