/* SPDX-License-Identifier: Apache-2.0
 *
 * Shared between merge.c (values, conflicts) and merge_list.c (lists whose elements have names).
 */
#ifndef TW_RECUT_MERGE_INTERNAL_H
#define TW_RECUT_MERGE_INTERNAL_H

#include <tallwide/recut.h>

/* The object a conflict is noted in: a note, a delivery, a source or the plan itself. */
typedef struct twi_holder {
    const char *word; /* "note" */
    tw_str name;      /* its id, name or pattern */
    tw_json *records; /* object of conflicts found in it; NULL: none */
} twi_holder;

typedef struct twi_merging {
    tw_arena *arena;
    tw_merged *out;
    size_t cap; /* of out->conflicts */
    twi_holder *holder;
    tw_buf path; /* from the holder: "regions/hands/need" */
} twi_merging;

/* One value; each side may be NULL (absent), the result too. */
tw_json *twi_merge_value(twi_merging *m, const tw_json *base, const tw_json *ours, const tw_json *theirs);

/* Both absent, or equal. */
bool twi_merge_same(const tw_json *a, const tw_json *b);

/* Adds a step to the path; gives the length to cut it back to. */
size_t twi_merge_step(tw_buf *path, tw_str name);

/* Writes what was found into the object's "conflict". */
void twi_merge_settle(twi_merging *m, tw_json *object);

/* ---- merge_list.c ---------------------------------------------------------------------------------------- */

/* How elements of a list are told apart. */
typedef struct twi_list_kind {
    const char *list;   /* name of the member */
    const char *name;   /* member of each element that names it; NULL: the first value of each, a time */
    const char *holder; /* conflicts are noted in the elements, which are called this; NULL: further out */
} twi_list_kind;

/* One element of a list under its name. */
typedef struct twi_named_value {
    tw_str name;
    const tw_json *value;
    size_t index; /* in its list */
} twi_named_value;

typedef struct twi_side {
    twi_named_value *sorted; /* by name */
    twi_named_value *listed; /* in the order of the list */
    size_t count;
} twi_side;

/* Reads the names of a list (NULL: none in it). False when it has no names to go by, or one twice. */
bool twi_side_read(tw_arena *arena, const twi_list_kind *kind, const tw_json *list, twi_side *out);
const twi_named_value *twi_side_find(const twi_side *side, tw_str name);

/* The kind of a member when all three (absent ones apart) are lists whose elements have names, no two the same. */
const twi_list_kind *twi_merge_kind(tw_arena *arena, tw_str member, const tw_json *const sides[3]);

tw_json *twi_merge_list(twi_merging *m, const twi_list_kind *kind, const tw_json *const sides[3]);

#endif
