/* SPDX-License-Identifier: Apache-2.0
 *
 * What many frames of a task have in common, so that a straight piece of path need not look at each of them.
 */
#ifndef TW_PATH_FRAMES_H
#define TW_PATH_FRAMES_H

#include "fit.h"

/* Sums over frames, u counted from some frame: care * u^k; care * wish * u^k; care * wish^2. */
struct twi_moments {
    double care[3], wish[2], square;
};

/* Over TWI_RUN frames in a row: what lo + lean.lo * w and hi + lean.hi * w are inside of, for straight w > 0. */
#define TWI_RUN 16
struct twi_bounds {
    double lo[2], hi[2];     /* at the first and the last frame: lo is nowhere above that line, hi nowhere below */
    double lean_lo, lean_hi; /* the largest, the least */
};

/* Makes a task ready for fits; again when its tubes, wishes or cares change. */
void twi_frames_read(twi_task *task);

/* The sums over frames from..to, u counted from `origin`. */
twi_moments twi_frames_sum(const twi_task *task, int axis, size_t from, size_t to, size_t origin);

/* By how much the tube at a frame misses x where the width is w; negative when it does not. */
static inline double twi_frames_miss(const twi_task *task, int axis, size_t t, double x, double w)
{
    double lo = task->tube[axis].lo[t], hi = task->tube[axis].hi[t];
    if (task->joint && axis != TWI_W) {
        lo += task->lean[axis].lo[t] * w;
        hi += task->lean[axis].hi[t] * w;
    }
    return lo - x > x - hi ? lo - x : x - hi;
}

/* The frame of from..to that misses x most, by more than *most, and *most; SIZE_MAX when there is none. x and w are
 * {at `from`, change per frame}. */
size_t twi_frames_worst(const twi_task *task, int axis, size_t from, size_t to, const double x[2], const double w[2],
                        double *most);

#endif
