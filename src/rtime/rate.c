/* SPDX-License-Identifier: Apache-2.0 */
#include <tallwide/rtime.h>

#include <math.h>

#include "base/ext.h"

/* Rates with time code, with the ways people write the fractional ones. */
static const struct {
    tw_rate rate;
    const char *spoken;
} known[] = {
    {{24000, 1001}, "23.976"}, {{24, 1}, "24"}, {{25, 1}, "25"}, {{30000, 1001}, "29.97"}, {{30, 1}, "30"},
    {{48000, 1001}, "47.952"}, {{48, 1}, "48"}, {{50, 1}, "50"}, {{60000, 1001}, "59.94"}, {{60, 1}, "60"},
};
#define NEAR_KNOWN 0.005 /* takes 23.98, 23.976, 29.97, 59.94 and leaves 23.9 and 24.01 alone */

bool tw_rate_known(tw_rate rate)
{
    return rate.num > 0 && rate.den > 0;
}

bool tw_rate_eq(tw_rate a, tw_rate b)
{
    return a.num == b.num && a.den == b.den;
}

int tw_rate_cmp(tw_rate a, tw_rate b)
{
    int64_t left = (int64_t)a.num * b.den, right = (int64_t)b.num * a.den;
    return TW_CMP(left, right);
}

double tw_rate_fps(tw_rate rate)
{
    return (double)rate.num / rate.den;
}

int32_t tw_rate_count(tw_rate rate)
{
    if (rate.den == 1 && rate.num > 0)
        return rate.num;
    int32_t count = (int32_t)(((int64_t)2 * rate.num + rate.den) / ((int64_t)2 * rate.den));
    return count > 0 ? count : 1;
}

bool tw_rate_can_drop(tw_rate rate)
{
    return rate.den == 1001 && (rate.num == 30000 || rate.num == 60000);
}

static tw_rate reduced(int64_t num, int64_t den)
{
    int64_t a = num, b = den;
    while (b != 0) {
        int64_t rest = a % b;
        a = b;
        b = rest;
    }
    return (tw_rate){(int32_t)(num / a), (int32_t)(den / a)};
}

#define MOST_PARTS 1001 /* of a frame a second, in a rate that a double is looked at for */

/* 0/0: that very double is no fraction of so few parts. */
static tw_rate fraction_of(double fps)
{
    for (int32_t den = 2; den <= MOST_PARTS; den++) {
        const double num = floor(fps * den + 0.5), value = num / den;
        if (value >= fps && value <= fps)
            return (tw_rate){(int32_t)num, den};
    }
    return (tw_rate){0, 0};
}

bool tw_rate_snap(double fps, tw_rate *rate, bool *exact)
{
    if (!(fps > 0 && fps < 1e6))
        return false;
    tw_rate found = {0, 0};
    double best = NEAR_KNOWN;
    for (size_t i = 0; i < TW_COUNT(known); i++) {
        double off = fabs(fps - tw_rate_fps(known[i].rate));
        if (off <= best) {
            best = off;
            found = known[i].rate;
        }
    }
    /* 119.88 stands for 120000/1001: x 0.999 is a millionth off x / 1.001 */
    double whole = floor(fps + 0.5), ntsc = floor(fps * 1.001 + 0.5);
    if (found.num == 0 && fabs(fps - whole) <= 1e-9 * fps)
        found = (tw_rate){(int32_t)whole, 1};
    if (found.num == 0 && ntsc >= 1 && fabs(fps - ntsc / 1.001) <= 2e-6 * fps && ntsc < 2e6)
        found = reduced((int64_t)ntsc * 1000, 1001);
    if (found.num == 0)
        found = fraction_of(fps);
    if (found.num == 0 && floor(fps * 1000 + 0.5) >= 1)
        found = reduced((int64_t)floor(fps * 1000 + 0.5), 1000);
    if (found.num == 0)
        return false;
    *rate = found;
    if (exact != NULL)
        *exact = !(tw_rate_fps(found) < fps || tw_rate_fps(found) > fps);
    return true;
}

/* Cuts "df" or "ndf" off the end. */
static tw_str without_mode(tw_str s, bool *drop, bool *said)
{
    static const struct {
        tw_str word;
        bool drop;
    } modes[] = {{{"ndf", 3}, false}, {{"df", 2}, true}};
    *drop = *said = false;
    for (size_t i = 0; i < TW_COUNT(modes) && !*said; i++) {
        size_t n = modes[i].word.len;
        if (s.len == n || !tw_str_iends(s, modes[i].word))
            continue;
        s = tw_str_trim(tw_str_cut(s, s.len - n));
        *drop = modes[i].drop;
        *said = true;
    }
    return s;
}

static bool read_fraction(tw_str s, size_t slash, tw_rate *out)
{
    int64_t num, den;
    if (!tw_num_int(tw_str_cut(s, slash), &num) || !tw_num_int(tw_str_from(s, slash + 1), &den))
        return false;
    if (num < 1 || den < 1 || num > 1000000 || den > 100000)
        return false;
    return tw_rate_snap((double)num / (double)den, out, NULL); /* as files will give it back */
}

bool tw_rate_read(tw_str s, tw_rate *rate, bool *drop)
{
    bool drops, said;
    tw_str number = without_mode(tw_str_trim(s), &drops, &said);
    size_t slash = 0;
    while (slash < number.len && number.at[slash] != '/')
        slash++;
    tw_rate found = {0, 0};
    double fps;
    bool fine = slash < number.len ? read_fraction(number, slash, &found)
                                   : tw_num_double(number, &fps) && tw_rate_snap(fps, &found, NULL);
    if (!fine || tw_rate_fps(found) < 1 || tw_rate_fps(found) > 1000)
        return false;
    if (drops && !tw_rate_can_drop(found)) {
        bool meant = found.den == 1 && (found.num == 30 || found.num == 60); /* "30df" is how some say 29.97 */
        if (!meant)
            return false;
        found = (tw_rate){found.num * 1000, 1001};
    }
    *rate = found;
    *drop = drops;
    return true;
}

void tw_rate_write(tw_rate rate, tw_buf *out)
{
    tw_buf_addf(out, "%d/%d", rate.num, rate.den);
}

void tw_rate_write_spoken(tw_rate rate, bool drop, tw_buf *out)
{
    size_t i = 0;
    while (i < TW_COUNT(known) && !tw_rate_eq(known[i].rate, rate))
        i++;
    if (i < TW_COUNT(known))
        tw_buf_addz(out, known[i].spoken);
    else if (rate.den == 1)
        tw_buf_addf(out, "%d", rate.num);
    else
        tw_rate_write(rate, out);
    if (drop)
        tw_buf_addz(out, " drop frame");
}
