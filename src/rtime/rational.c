/* SPDX-License-Identifier: Apache-2.0 */
#include <tallwide/rtime.h>

#include <math.h>

#include "base/ext.h"

static twi_i128 gcd(twi_i128 a, twi_i128 b)
{
    while (b != 0) {
        twi_i128 rest = a % b;
        a = b;
        b = rest;
    }
    return a < 0 ? -a : a;
}

static uint32_t gcd32(uint32_t a, uint32_t b)
{
    while (b != 0) {
        uint32_t rest = a % b;
        a = b;
        b = rest;
    }
    return a;
}

/* What reduced() does where both fit 32 bits, as nearly all times of a programme do: its divisions are several times
 * cheaper than those of 128 bits. */
static tw_time reduced_small(int64_t num, uint32_t den)
{
    uint32_t size = (uint32_t)(num < 0 ? -num : num), common = gcd32(size, den);
    int64_t least = size / common;
    return (tw_time){num < 0 ? -least : least, den / common};
}

/* num/den in lowest terms with den > 0. Sums and products of what this module makes fit 128 bits; what does not fit 64
 * afterwards is a caller's mistake (readers bound their times first). */
static tw_time reduced(twi_i128 num, twi_i128 den)
{
    TW_ASSERT(den != 0);
    if (den > 0 && den <= UINT32_MAX && num <= UINT32_MAX && num >= -(twi_i128)UINT32_MAX)
        return reduced_small((int64_t)num, (uint32_t)den);
    twi_i128 common = gcd(num, den);
    common = den < 0 ? -common : common;
    num /= common;
    den /= common;
    TW_ASSERT(num <= INT64_MAX && num >= -INT64_MAX && den <= INT64_MAX);
    return (tw_time){(int64_t)num, (int64_t)den};
}

tw_time tw_time_make(int64_t num, int64_t den)
{
    return reduced(num, den);
}

tw_time tw_time_frames(int64_t frames, tw_rate rate)
{
    return reduced((twi_i128)frames * rate.den, rate.num);
}

tw_time tw_time_add(tw_time a, tw_time b)
{
    if (a.den == b.den)
        return reduced((twi_i128)a.num + b.num, a.den);
    return reduced((twi_i128)a.num * b.den + (twi_i128)b.num * a.den, (twi_i128)a.den * b.den);
}

tw_time tw_time_sub(tw_time a, tw_time b)
{
    return tw_time_add(a, (tw_time){-b.num, b.den});
}

tw_time tw_time_mul(tw_time a, int64_t num, int64_t den)
{
    return reduced((twi_i128)a.num * num, (twi_i128)a.den * den);
}

int tw_time_cmp(tw_time a, tw_time b)
{
    twi_i128 left = (twi_i128)a.num * b.den, right = (twi_i128)b.num * a.den;
    return TW_CMP(left, right);
}

bool tw_time_eq(tw_time a, tw_time b)
{
    return tw_time_cmp(a, b) == 0;
}

double tw_time_seconds(tw_time t)
{
    return (double)t.num / (double)t.den;
}

/* floor(num / den), den > 0; *exact (may be NULL): nothing is left over. Divisions of 64 bits are several times cheaper
 * than those of 128. */
static int64_t floor_div(twi_i128 num, twi_i128 den, bool *exact)
{
    bool small = num <= INT64_MAX && num >= -INT64_MAX && den <= INT64_MAX;
    int64_t whole = small ? (int64_t)num / (int64_t)den : (int64_t)(num / den);
    twi_i128 rest = num - whole * den;
    if (exact != NULL)
        *exact = rest == 0;
    return rest < 0 ? whole - 1 : whole;
}

int64_t tw_time_floor(tw_time t, tw_rate rate)
{
    return floor_div((twi_i128)t.num * rate.num, (twi_i128)t.den * rate.den, NULL);
}

int64_t tw_time_round(tw_time t, tw_rate rate, bool *exact)
{
    twi_i128 num = (twi_i128)t.num * rate.num, den = (twi_i128)t.den * rate.den;
    int64_t whole = floor_div(num, den, exact);
    return 2 * (num - whole * den) >= den ? whole + 1 : whole;
}

#define MOST_FRAMES 1099511627776.0 /* 2^40 */
#define NEAR_WHOLE 1e-3

bool tw_time_snap(double frames, tw_rate rate, tw_time *out, bool *whole)
{
    if (!(fabs(frames) <= MOST_FRAMES))
        return false;
    double nearest = floor(frames + 0.5);
    bool snapped = fabs(frames - nearest) <= NEAR_WHOLE;
    if (whole != NULL)
        *whole = snapped;
    if (snapped)
        *out = tw_time_frames((int64_t)nearest, rate);
    else
        *out = tw_time_mul(tw_time_frames((int64_t)floor(frames * 1000 + 0.5), rate), 1, 1000);
    return true;
}
