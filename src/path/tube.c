/* SPDX-License-Identifier: Apache-2.0
 *
 * Tubes: an interval of allowed values per frame.
 */
#include "path_internal.h"

twi_tube twi_tube_new(tw_arena *arena, size_t n)
{
    return (twi_tube){.lo = TW_NEW_N(arena, double, n), .hi = TW_NEW_N(arena, double, n), .n = n};
}

twi_tube twi_tube_copy(tw_arena *arena, const twi_tube *tube)
{
    twi_tube copy = twi_tube_new(arena, tube->n);
    memcpy(copy.lo, tube->lo, tube->n * sizeof *copy.lo);
    memcpy(copy.hi, tube->hi, tube->n * sizeof *copy.hi);
    return copy;
}

twi_incline twi_incline_under(const double *value, size_t count)
{
    size_t first = 0, last = count;
    while (first < count && value[first] == INFINITY)
        first++;
    while (last > first && value[last - 1] == INFINITY)
        last--;
    twi_incline out = {INFINITY, 0};
    if (last > first + 1)
        out.slope = (value[last - 1] - value[first]) / (double)(last - 1 - first);
    if (!isfinite(out.slope))
        return (twi_incline){-INFINITY, 0};
    for (size_t i = first; i < last; i++)
        out.at = tw_min(out.at, value[i] - out.slope * (double)i);
    return out;
}

/* Rounding of the sums that make up an erosion, relative to the values themselves. */
static double slack_of(double a, double b)
{
    return 1e-12 * (fabs(a) + fabs(b));
}

bool twi_tube_erode(twi_tube *tube, double speed)
{
    for (size_t t = 1; t < tube->n; t++) {
        tube->lo[t] = tw_max(tube->lo[t], tube->lo[t - 1] - speed);
        tube->hi[t] = tw_min(tube->hi[t], tube->hi[t - 1] + speed);
        if (tube->lo[t] > tube->hi[t] + slack_of(tube->lo[t], tube->hi[t]))
            return false;
    }
    for (size_t t = tube->n - 1; t-- > 0;) {
        tube->lo[t] = tw_max(tube->lo[t], tube->lo[t + 1] - speed);
        tube->hi[t] = tw_min(tube->hi[t], tube->hi[t + 1] + speed);
    }
    for (size_t t = 0; t < tube->n; t++)
        if (tube->lo[t] > tube->hi[t])
            tube->lo[t] = tube->hi[t] = (tube->lo[t] + tube->hi[t]) / 2;
    return true;
}

bool twi_tube_feasible(const twi_tube *tube, double speed)
{
    double lo = tube->lo[0], hi = tube->hi[0];
    for (size_t t = 1; t < tube->n; t++) {
        lo = tw_max(tube->lo[t], lo - speed);
        hi = tw_min(tube->hi[t], hi + speed);
        if (lo > hi + slack_of(lo, hi))
            return false;
    }
    return true;
}

bool twi_tube_still(const twi_tube *tube, double *lo, double *hi)
{
    *lo = tube->lo[0];
    *hi = tube->hi[0];
    for (size_t t = 1; t < tube->n; t++) {
        *lo = tw_max(*lo, tube->lo[t]);
        *hi = tw_min(*hi, tube->hi[t]);
    }
    return *lo <= *hi;
}

size_t twi_tube_stab(const twi_tube *tubes, size_t axes, size_t *starts)
{
    double lo[TWI_AXES], hi[TWI_AXES];
    size_t count = 0;
    for (size_t t = 0; t < tubes[0].n; t++) {
        bool goes_on = t > 0;
        for (size_t a = 0; a < axes && goes_on; a++)
            goes_on = tw_max(lo[a], tubes[a].lo[t]) <= tw_min(hi[a], tubes[a].hi[t]);
        if (!goes_on)
            starts[count++] = t;
        for (size_t a = 0; a < axes; a++) {
            lo[a] = goes_on ? tw_max(lo[a], tubes[a].lo[t]) : tubes[a].lo[t];
            hi[a] = goes_on ? tw_min(hi[a], tubes[a].hi[t]) : tubes[a].hi[t];
        }
    }
    return count;
}
