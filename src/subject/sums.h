/* SPDX-License-Identifier: Apache-2.0
 *
 * Sums over rectangles of a picture at any size.
 */
#ifndef TW_SUBJECT_SUMS_H
#define TW_SUBJECT_SUMS_H

#include <tallwide/subject.h>

/* Sums over all that lies left of and above a place (`plain`, of the squares: `square`) and, `turned_at` further on in
 * the same memory as `plain`, over all that lies in the quarter above it whose sides are diagonals. One row and one
 * column more than the picture. Sums wrap round at 2^32. */
typedef struct twi_sums {
    int w, h;
    uint32_t stride, turned_at;
    uint32_t *plain, *square;
    bool turned;
    uint8_t *picture;          /* the level, w x h */
    struct twi_column *across; /* where each of its columns lies in the whole picture */
} twi_sums;

/* Memory for all levels of a plane. */
void twi_sums_init(tw_arena *arena, const tw_plane *plane, bool turned, twi_sums *out);

/* The plane at w x h, between its pixels linearly, and the sums over that. */
void twi_sums_fill(twi_sums *sums, const tw_plane *plane, int w, int h);

#endif
