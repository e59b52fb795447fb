/* SPDX-License-Identifier: Apache-2.0
 *
 * What the tests of edl share.
 */
#ifndef TW_TESTS_EDL_SUPPORT_H
#define TW_TESTS_EDL_SUPPORT_H

#include "edl/edl_internal.h"
#include "support/support.h"

/* A list read at a rate ("" or "24", "29.97df" ...), with its findings. */
typedef struct edl_case {
    tw_diags *diags;
    tw_timeline *timeline; /* NULL when refused */
    tw_status status;
} edl_case;

edl_case edl_read(tw_arena *arena, tw_str bytes, const char *rate);

/* The findings of reading `text` at a rate, as text. */
const char *edl_findings(tw_arena *arena, const char *text, const char *rate);

/* The model as text; fails the case when the list is refused. */
tw_str edl_dump(tw_arena *arena, const char *text, const char *rate);

/* Item number i of track t. */
const tw_item *edl_item(const tw_timeline *timeline, size_t t, size_t i);

/* Written again as a new list. */
tw_str edl_rewritten(tw_arena *arena, const tw_timeline *timeline, size_t part, tw_diags *diags);

#endif
