/* SPDX-License-Identifier: Apache-2.0
 *
 * Boxes of one region, for scene.c and the tests.
 */
#ifndef TW_PATH_REGION_H
#define TW_PATH_REGION_H

#include <tallwide/path.h>

static inline bool twi_box_there(const tw_path_box *box)
{
    return box->right > box->left && box->bottom > box->top;
}

/* For qsort: numbers, the smallest first. */
int twi_by_value(const void *a, const void *b);

/* The box around both, of which either may not be there. */
tw_path_box twi_box_around(const tw_path_box *a, const tw_path_box *b);

/* What of the box lies in the source; empty when nothing does or a number is not finite. */
tw_path_box twi_box_clip(const tw_path_box *box, tw_size source);

/* Each number of every row becomes its mean over `half` rows to both sides (fewer at the ends, as many on both
 * sides), by running sums. */
void twi_running_mean(tw_arena *scratch, double *at, size_t count, size_t numbers, size_t half);

/* Takes jumps and jitter out of a detector's boxes. */
void twi_region_filter(tw_arena *scratch, tw_path_box *boxes, size_t n, double fps);

/* The region's boxes, clipped and (a detector's) filtered; NULL when it is nowhere there. */
tw_path_box *twi_region_boxes(tw_arena *arena, const tw_path_region *region, size_t n, tw_size source, double fps);

#endif
