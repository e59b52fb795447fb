/* SPDX-License-Identifier: Apache-2.0
 *
 * The lines that start in an interval and pass all gates so far: a convex polygon of (value at the start, slope).
 */
#ifndef TW_PATH_SIGHT_H
#define TW_PATH_SIGHT_H

#include <tallwide/base.h>

typedef struct twi_sight {
    tw_arena *arena;
    double *value, *slope; /* the corners in order, counter-clockwise */
    double *at;            /* scratch: the corners' values at some frame */
    double *other[2];      /* scratch: values and slopes while clipping */
    size_t count, cap;
} twi_sight;

/* An empty sight, to be started as often as one likes. */
void twi_sight_init(tw_arena *arena, twi_sight *sight);

/* All lines from [lo, hi] with slopes of [low, high]. */
void twi_sight_start(twi_sight *sight, double lo, double hi, double low, double high);

/* The values the lines have `dt` frames on. */
void twi_sight_range(const twi_sight *sight, double dt, double *lo, double *hi);

/* Keeps the lines that are at or below (side 1) or at or above (side -1) `bound` there; false when none is left. Lines
 * that miss by less than eps are kept. */
bool twi_sight_clip(twi_sight *sight, double dt, double bound, int side, double eps);

/* Keeps the lines that pass [*lo, *hi] there; false when none is left. Then *lo and *hi are what they have there. */
bool twi_sight_gate(twi_sight *sight, double dt, double eps, double *lo, double *hi);

#endif
