/* SPDX-License-Identifier: Apache-2.0
 *
 * Shared between the files of the module.
 */
#ifndef TW_RECUT_INTERNAL_H
#define TW_RECUT_INTERNAL_H

#include <tallwide/recut.h>

/* ---- identity.c ------------------------------------------------------------------------------------------ */

/* A name without what changes when it is spelled anew: folders, the extension, case, signs. */
tw_str twi_recut_spelling(tw_arena *arena, tw_str name);

/* Lists the shots of both versions and numbers their material. */
void twi_recut_identify(tw_arena *arena, tw_alignment *alignment);

/* ---- pair.c: what one old and one new shot have in common ------------------------------------------------ */

/* First and one past the last source position shown. */
typedef struct twi_span {
    double low, high;
} twi_span;
twi_span twi_recut_span(const tw_shot *shot);

/* Can they be the same shot: same material, overlapping frames? *retimed (may be NULL): at another speed. */
bool twi_recut_linked(const tw_shot *old_shot, const tw_shot *new_shot, bool *retimed);

/* Record frames gained at the head (the first frame of each is meant) and at the tail. */
int64_t twi_recut_head(const tw_shot *old_shot, const tw_shot *new_shot);
int64_t twi_recut_tail(const tw_shot *old_shot, const tw_shot *new_shot);
int64_t twi_recut_trim_price(int64_t frames);

/* Does b go on after a in the material (both at one speed)? *missing: record frames between them. */
bool twi_recut_follows(const tw_shot *a, const tw_shot *b, int64_t *missing);

/* ---- compare.c ------------------------------------------------------------------------------------------- */

/* Do they lie alike about the cut? NULL is a cut. */
bool twi_recut_same_transition(const tw_item *a, const tw_item *b);

#endif
