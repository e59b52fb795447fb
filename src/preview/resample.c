/* SPDX-License-Identifier: Apache-2.0
 *
 * A window of one plane, scaled into another. Each direction by itself: first rows, then columns.
 */
#include <tallwide/preview.h>

#include <math.h>
#include <string.h>

#define ONE 16384 /* weights are 14 bits, sums of rows 8 + 8 bits, so that all fits 32 */
#define ROW_BITS 8

/* Where pixels of the result come from: each from `count` of the source, side by side, some of weight 0, so that the
 * same is done for all. */
typedef struct taps {
    int32_t count;
    int32_t *first;
    int32_t *weights; /* `count` for each, ONE in all */
    bool *outside;
} taps;

static double overlap(double a, double b, int64_t pixel)
{
    return tw_min(b, (double)pixel + 1) - tw_max(a, (double)pixel);
}

static int32_t clamp(int64_t v, int32_t size)
{
    return (int32_t)(v < 0 ? 0 : v >= size ? size - 1 : v);
}

/* Shares become whole weights that add up exactly: what rounding leaves over goes to the largest. */
static void settle(const double *shares, int32_t count, int32_t *weights)
{
    double sum = 0;
    int32_t left = ONE, largest = 0;
    for (int32_t i = 0; i < count; i++)
        sum += shares[i];
    for (int32_t i = 0; i < count; i++) {
        weights[i] = (int32_t)lround(shares[i] / sum * ONE);
        left -= weights[i];
        largest = shares[i] > shares[largest] ? i : largest;
    }
    weights[largest] += left;
}

/* Pixel `i` of the result has these shares of the source's pixels from `first` on. */
static void put_shares(taps *t, int32_t i, int32_t first, int32_t size, const double *shares, int32_t count)
{
    int32_t spare = first + t->count - size > 0 ? first + t->count - size : 0;
    t->first[i] = first - spare;
    settle(shares, count, t->weights + (size_t)i * (size_t)t->count + spare);
}

/* The pixel covers [a, b) of the source. */
static void cover(tw_arena *arena, double a, double b, int32_t size, taps *t, int32_t i)
{
    double low = tw_min(tw_max(a, 0), size - 1), high = tw_max(tw_min(b, size), low + 1e-6);
    int32_t first = clamp((int64_t)floor(low + 1e-9), size);
    int32_t count = clamp((int64_t)ceil(high - 1e-9) - 1, size) - first + 1;
    count = count < 1 ? 1 : count;
    double *shares = TW_NEW_N(arena, double, (size_t)count);
    for (int32_t k = 0; k < count; k++)
        shares[k] = tw_max(overlap(low, high, first + k), 1e-12);
    put_shares(t, i, first, size, shares, count);
}

/* The pixel lies between the centres of two. */
static void between(double centre, int32_t size, taps *t, int32_t i)
{
    double at = centre - 0.5, base = floor(at);
    int32_t first = clamp((int64_t)base, size), next = clamp((int64_t)base + 1, size);
    const double shares[] = {next > first ? 1 - (at - base) : 1, at - base};
    put_shares(t, i, first, size, shares, next > first ? 2 : 1);
}

static taps make_taps(tw_arena *arena, double start, double length, int32_t from, int32_t to)
{
    double step = length / to;
    int32_t most = step >= 1 ? (int32_t)tw_min(ceil(step) + 1, from) : 2;
    taps t = {.count = most < from ? most : from};
    t.first = TW_NEW_N(arena, int32_t, (size_t)to);
    t.weights = TW_NEW_N(arena, int32_t, (size_t)to * (size_t)t.count);
    t.outside = TW_NEW_N(arena, bool, (size_t)to);
    for (int32_t i = 0; i < to; i++) {
        double a = start + i * step, centre = a + step / 2;
        t.outside[i] = centre < 0 || centre > from;
        if (step >= 1)
            cover(arena, a, a + step, from, &t, i);
        else
            between(centre, from, &t, i);
    }
    return t;
}

static inline void scale_by(const uint8_t *from, const taps *t, int32_t taps_each, int32_t count, uint16_t *to)
{
    const int32_t *w = t->weights;
    for (int32_t x = 0; x < count; x++, w += taps_each) {
        const uint8_t *p = from + t->first[x];
        int32_t sum = ONE >> (ROW_BITS + 1);
        for (int32_t i = 0; i < taps_each; i++)
            sum += p[i] * w[i];
        to[x] = (uint16_t)(sum >> (14 - ROW_BITS));
    }
}

/* Numbers known beforehand, for the common ones, make the loop above several times as fast. */
static void scale_row(const uint8_t *from, const taps *t, int32_t count, uint16_t *to)
{
    switch (t->count) {
    case 2: scale_by(from, t, 2, count, to); break;
    case 3: scale_by(from, t, 3, count, to); break;
    case 4: scale_by(from, t, 4, count, to); break;
    default: scale_by(from, t, t->count, count, to);
    }
}

/* Rows of the source scaled to the result's width, as many as one row of the result needs. */
typedef struct strip {
    uint16_t *rows;
    int32_t *held; /* which source row each holds, -1 none */
    int32_t room;
} strip;

static const uint16_t *row_of(strip *s, tw_preview_plane from, const taps *across, int32_t width, int32_t y)
{
    int32_t slot = y % s->room;
    uint16_t *row = s->rows + (size_t)slot * (size_t)width;
    if (s->held[slot] != y) {
        scale_row(from.at + y * from.stride, across, width, row);
        s->held[slot] = y;
    }
    return row;
}

static void add_row(const uint16_t *row, int32_t weight, int32_t count, uint32_t *sums)
{
    for (int32_t x = 0; x < count; x++)
        sums[x] += (uint32_t)row[x] * (uint32_t)weight;
}

static strip make_strip(tw_arena *arena, const taps *down, int32_t width)
{
    strip s = {.room = down->count + 1};
    s.rows = TW_NEW_N(arena, uint16_t, (size_t)s.room * (size_t)width);
    s.held = TW_NEW_N(arena, int32_t, (size_t)s.room);
    for (int32_t i = 0; i < s.room; i++)
        s.held[i] = -1;
    return s;
}

void tw_preview_scale(tw_arena *scratch, tw_preview_plane from, tw_window window, uint8_t outside, tw_preview_plane to)
{
    const taps across = make_taps(scratch, window.x, window.w, from.w, to.w);
    const taps down = make_taps(scratch, window.y, window.h, from.h, to.h);
    strip s = make_strip(scratch, &down, to.w);
    uint32_t *sums = TW_NEW_N(scratch, uint32_t, (size_t)to.w);
    for (int32_t y = 0; y < to.h; y++) {
        uint8_t *row = to.at + y * to.stride;
        if (down.outside[y]) {
            memset(row, outside, (size_t)to.w);
            continue;
        }
        for (int32_t x = 0; x < to.w; x++)
            sums[x] = 1u << (14 + ROW_BITS - 1);
        for (int32_t i = 0; i < down.count; i++) {
            int32_t weight = down.weights[(size_t)y * (size_t)down.count + (size_t)i];
            if (weight > 0)
                add_row(row_of(&s, from, &across, to.w, down.first[y] + i), weight, to.w, sums);
        }
        for (int32_t x = 0; x < to.w; x++)
            row[x] = across.outside[x] ? outside : (uint8_t)(sums[x] >> (14 + ROW_BITS));
    }
}

void tw_preview_mix(tw_preview_plane from, int weight, tw_preview_plane to)
{
    for (int32_t y = 0; y < to.h; y++) {
        const uint8_t *a = from.at + y * from.stride;
        uint8_t *b = to.at + y * to.stride;
        for (int32_t x = 0; x < to.w; x++)
            b[x] = (uint8_t)((b[x] * (256 - weight) + a[x] * weight + 128) >> 8);
    }
}
