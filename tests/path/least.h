/* SPDX-License-Identifier: Apache-2.0
 *
 * What no path through a tube can do better than: for holding the solver's paths against.
 */
#ifndef TW_TESTS_PATH_LEAST_H
#define TW_TESTS_PATH_LEAST_H

#include "path/path_internal.h"

/* The least speed at which there is a path: max over s != t of (lo_t - hi_s) / |t - s|, bisected to a relative
 * 1e-12. */
static inline double least_speed_of(const twi_tube *tube)
{
    double low = 0, lo, hi;
    if (twi_tube_still(tube, &lo, &hi))
        return 0;
    double most = lo - hi, high = most; /* the largest lo less the smallest hi, in one frame */
    for (int i = 0; i < 60 && high - low > 1e-12 * most; i++) {
        double middle = low + (high - low) / 2;
        if (twi_tube_feasible(tube, middle))
            high = middle;
        else
            low = middle;
    }
    return high;
}

/* Least total change of a path inside the tube: the taut string's, by keeping the interval of values it may still
 * have. The cost of having come to a value is 0 on [lo, hi] and rises with slope 1 outside: a new gate either narrows
 * the interval or, when it misses it, costs the distance and leaves one value. */
static inline double least_travel_of(const twi_tube *tube)
{
    double lo = tube->lo[0], hi = tube->hi[0], travel = 0;
    for (size_t t = 1; t < tube->n; t++) {
        if (tube->lo[t] > hi) {
            travel += tube->lo[t] - hi;
            lo = hi = tube->lo[t];
        } else if (tube->hi[t] < lo) {
            travel += lo - tube->hi[t];
            lo = hi = tube->hi[t];
        } else {
            lo = fmax(lo, tube->lo[t]);
            hi = fmin(hi, tube->hi[t]);
        }
    }
    return travel;
}

#endif
