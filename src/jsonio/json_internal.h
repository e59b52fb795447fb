/* SPDX-License-Identifier: Apache-2.0
 *
 * What the files of jsonio share. One strict scan of the bytes makes the tree (json_scan.c); escapes and repeated names
 * are seen to in json_read.c.
 */
#ifndef TW_JSONIO_INTERNAL_H
#define TW_JSONIO_INTERNAL_H

#include <tallwide/jsonio.h>

#include <string.h>

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

/* The end of a number that begins at `at`, where at least one byte is; NULL with *why when it is none. */
const char *twi_json_number_end(const char *at, const char *end, const char **why);

/* The end of a list that can be folded and begins at `at`, with the count of its rows; NULL when it cannot. */
const char *twi_json_fold_end(const char *at, const char *end, uint32_t *count);

#define TWI_EACH UINT64_C(0x0101010101010101) /* times a byte: eight of it */

static inline bool twi_json_plain(char c)
{
    unsigned char u = (unsigned char)c;
    return u >= 0x20 && u < 0x80 && u != '"' && u != '\\';
}

/* The first byte from `at` on that a text cannot hold as it is, or that is above 0x7F; `end` when there is none.
 * Eight bytes at a time. With n below 0x80, x - n borrows into the highest bit of a byte below n, and perhaps of one
 * behind such a byte: enough to tell that some byte is. */
static inline const char *twi_json_plain_end(const char *at, const char *end)
{
    while (end - at >= 8) {
        uint64_t x;
        memcpy(&x, at, sizeof x);
        uint64_t quote = x ^ TWI_EACH * '"', slash = x ^ TWI_EACH * '\\';
        if (((x | (x - TWI_EACH * 0x20) | (quote - TWI_EACH) | (slash - TWI_EACH)) & TWI_EACH * 0x80) != 0)
            break;
        at += 8;
    }
    while (at < end && twi_json_plain(*at))
        at++;
    return at;
}

/* Past blanks and line ends. */
static inline const char *twi_json_blanks(const char *at, const char *end)
{
    if (at < end && *at == '\n')
        at++;
    for (uint64_t x; end - at >= 8; at += 8) { /* indented lines */
        memcpy(&x, at, sizeof x);
        if (x != TWI_EACH * ' ')
            break;
    }
    while (at < end && (*at == ' ' || *at == '\n' || *at == '\r' || *at == '\t'))
        at++;
    return at;
}

/* Is number text one of the five non-finite words? */
bool twi_json_nonfinite(tw_str text);

/* Orders members by name, then by place in the file; elements are const tw_json *. For qsort. */
int twi_json_by_key(const void *a, const void *b);

#endif
