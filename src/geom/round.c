/* SPDX-License-Identifier: Apache-2.0 */
#include <tallwide/geom.h>

#include <math.h>

static double half_to_even(double v)
{
    double low = floor(v), off = v - low;
    if (off < 0.5)
        return low;
    if (off > 0.5)
        return low + 1;
    return fmod(low, 2) < 1 ? low : low + 1;
}

/* An odd whole number becomes its neighbour by the mode's own direction, or the nearer of the two to v, ties up. */
static double to_even(double whole, double v, tw_round_mode mode)
{
    if (fmod(whole, 2) < 1)
        return whole;
    if (mode == TW_ROUND_NEAREST)
        return v < whole ? whole - 1 : whole + 1;
    return mode == TW_ROUND_UP ? whole + 1 : whole - 1;
}

double tw_geom_round(double v, tw_round_even even, tw_round_mode mode)
{
    double size = fabs(v);
    double whole = mode == TW_ROUND_UP ? ceil(size) : mode == TW_ROUND_DOWN ? floor(size) : half_to_even(size);
    if (even == TW_ROUND_EVEN)
        whole = to_even(whole, size, mode);
    return v < 0 ? -whole : whole;
}
