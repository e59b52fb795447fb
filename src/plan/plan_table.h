/* SPDX-License-Identifier: Apache-2.0
 *
 * Lines and columns of tables of numbers.
 */
#ifndef TW_PLAN_TABLE_H
#define TW_PLAN_TABLE_H

#include "plan_internal.h"

#define TWI_LAST_FRAME 1000000000 /* frame numbers past this are taken for a slip */

/* What is being read, and where. */
typedef struct twi_table {
    tw_str file, rest, line;
    uint32_t number; /* of the line, from 1 */
    tw_diags *diags;
    size_t errors;
} twi_table;

void twi_table_start(twi_table *table, tw_str bytes, tw_str file, tw_diags *diags);

/* The next line without its end (LF, CR LF or CR); false after the last. */
bool twi_table_next(twi_table *table);

/* The line's columns, trimmed; no more than `most`. */
size_t twi_table_columns(const twi_table *table, tw_str *out, size_t most);

/* A finding at a column; at the line when `at` is no part of it. */
void twi_table_tell(twi_table *table, int code, tw_str at, const char *message);

/* Whole numbers may be written "12" or "12.0". */
bool twi_table_whole(tw_str s, int64_t *out);

#endif
