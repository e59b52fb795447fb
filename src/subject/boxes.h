/* SPDX-License-Identifier: Apache-2.0
 *
 * Lists of boxes.
 */
#ifndef TW_SUBJECT_BOXES_H
#define TW_SUBJECT_BOXES_H

#include "subject_internal.h"

/* Windows that mean the same thing become their mean, with how many they were; those with fewer than `votes` are
 * dropped, and so are those inside one with more. Most votes first. */
size_t twi_found_group(tw_arena *arena, const tw_found *hits, size_t count, int votes, tw_found **out);

/* Puts a spot where its `sure` belongs in a list, surest first, that keeps the best `most`. Returns its new length. */
size_t twi_keep_best(tw_spot *list, size_t count, size_t most, tw_spot spot);

#endif
