/* SPDX-License-Identifier: Apache-2.0
 *
 * What the files of jsonio share. One strict scan of the bytes makes the tree (json_scan.c); escapes and repeated names
 * are seen to in json_read.c.
 */
#ifndef TW_JSONIO_INTERNAL_H
#define TW_JSONIO_INTERNAL_H

#include <tallwide/jsonio.h>

/* Set in tw_json.kind while reading: a member whose name came before in its object. */
#define TWI_JSON_REPEATED 8u

typedef struct twi_json_job {
    tw_arena *arena;
    const tw_json_options *options;
    tw_diags *diags;
    tw_json_doc doc;
    tw_str text;             /* the input without a byte order mark */
    bool repeated;           /* some members are marked */
    const tw_json **members; /* scratch for objects with many members */
    size_t member_cap;
} twi_json_job;

/* Checks the text and makes job->doc.root; findings are added. */
tw_status twi_json_scan(twi_json_job *job);

/* What a text with escapes says; raw has been through the scan. */
tw_str twi_json_decode(tw_arena *arena, tw_str raw);

/* Marks the members of a whole object whose name came before. */
void twi_json_mark_repeated(twi_json_job *job, tw_json *object);

/* Place of `width` bytes at `offset` of the input. */
tw_place twi_json_place_at(const tw_json_doc *doc, size_t offset, size_t width);

/* The first byte from `at` on that a text cannot hold as it is, or that is above 0x7F; `end` when there is none. */
const char *twi_json_plain_end(const char *at, const char *end);

/* Is number text one of the five non-finite words? */
bool twi_json_nonfinite(tw_str text);

/* Orders members by name, then by place in the file; elements are const tw_json *. For qsort. */
int twi_json_by_key(const void *a, const void *b);

#endif
