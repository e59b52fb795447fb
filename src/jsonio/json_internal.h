/* SPDX-License-Identifier: Apache-2.0
 *
 * What the files of jsonio share. Reading has three steps: a strict scan of the bytes that makes one node per value in
 * preorder (json_scan.c), the tree by cJSON, and the marriage of both (json_read.c).
 */
#ifndef TW_JSONIO_INTERNAL_H
#define TW_JSONIO_INTERNAL_H

#include <tallwide/jsonio.h>

/* Set in tw_json.kind by the scan and cleared when the tree is joined: the raw text has escapes, so that the decoded
 * one must be taken from cJSON. */
#define TWI_JSON_KEY_ESCAPED 0x80
#define TWI_JSON_TEXT_ESCAPED 0x40

/* cJSON 1.7.15 copies numbers into 64 bytes with the NUL and stops there. */
#define TWI_JSON_CJSON_DIGITS 63

/* A run of nodes that never move; the first is small, so that small files stay small. */
typedef struct twi_json_chunk twi_json_chunk;
struct twi_json_chunk {
    twi_json_chunk *next;
    tw_json *at;
    uint32_t len, cap;
};

typedef struct twi_json_job {
    tw_arena *arena;
    const tw_json_options *options;
    tw_diags *diags;
    tw_json_doc doc;
    tw_str text;            /* the input without a byte order mark */
    twi_json_chunk *chunks; /* made by the scan */
    bool foreign;           /* holds numbers that cJSON does not take as they are */
} twi_json_job;

/* Checks the text and fills job->chunks; findings are added. */
tw_status twi_json_scan(twi_json_job *job);

/* Place of `width` bytes at `offset` of the input. */
tw_place twi_json_place_at(const tw_json_doc *doc, size_t offset, size_t width);

/* Is number text one of the five non-finite words? */
bool twi_json_nonfinite(tw_str text);

/* Orders members by name, then by place in the file; elements are const tw_json *. For qsort. */
int twi_json_by_key(const void *a, const void *b);

#endif
