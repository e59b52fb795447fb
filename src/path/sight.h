/* SPDX-License-Identifier: Apache-2.0
 *
 * The lines that start in an interval and pass all gates so far: a convex polygon of (value at the start, slope).
 */
#ifndef TW_PATH_SIGHT_H
#define TW_PATH_SIGHT_H

#include <stdbool.h>
#include <stddef.h>

#define TWI_SIGHT_MOST 96

typedef struct twi_sight {
    struct {
        double value, slope;
    } corner[TWI_SIGHT_MOST];
    size_t count;
} twi_sight;

/* All lines from [lo, hi] with slopes of at most `speed` either way. */
void twi_sight_start(twi_sight *sight, double lo, double hi, double speed);

/* The values the lines have `dt` frames on. */
void twi_sight_range(const twi_sight *sight, double dt, double *lo, double *hi);

/* Keeps the lines that are at or below (side 1) or at or above (side -1) `bound` there; false when none is left. Lines
 * that miss by less than eps are kept. */
bool twi_sight_clip(twi_sight *sight, double dt, double bound, int side, double eps);

#endif
