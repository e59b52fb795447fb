/* SPDX-License-Identifier: Apache-2.0
 *
 * A window of one plane, scaled into another. Each direction by itself: first rows, then columns.
 */
#include <tallwide/preview.h>

#include <math.h>
#include <string.h>

#define ONE 16384 /* weights are 14 bits, sums of rows 8 + 8 bits, so that all fits 32 */
#define ROW_BITS 8

/* Where one pixel of the result comes from. */
typedef struct tap {
    int32_t first, count;
    const int32_t *weights; /* ONE in all */
    bool outside;
} tap;

static double overlap(double a, double b, int64_t pixel)
{
    return fmin(b, (double)pixel + 1) - fmax(a, (double)pixel);
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

/* The pixel covers [a, b) of the source. */
static void cover(tw_arena *arena, double a, double b, int32_t size, tap *t)
{
    double low = fmin(fmax(a, 0), size - 1), high = fmax(fmin(b, size), low + 1e-6);
    t->first = clamp((int64_t)floor(low + 1e-9), size);
    t->count = clamp((int64_t)ceil(high - 1e-9) - 1, size) - t->first + 1;
    t->count = t->count < 1 ? 1 : t->count;
    double *shares = TW_NEW_N(arena, double, (size_t)t->count);
    int32_t *weights = TW_NEW_N(arena, int32_t, (size_t)t->count);
    for (int32_t i = 0; i < t->count; i++)
        shares[i] = fmax(overlap(low, high, t->first + i), 1e-12);
    settle(shares, t->count, weights);
    t->weights = weights;
}

/* The pixel lies between the centres of two. */
static void between(tw_arena *arena, double centre, int32_t size, tap *t)
{
    double at = centre - 0.5, base = floor(at);
    int32_t *weights = TW_NEW_N(arena, int32_t, 2), low = clamp((int64_t)base, size),
            high = clamp((int64_t)base + 1, size);
    weights[1] = (int32_t)lround((at - base) * ONE);
    weights[0] = ONE - weights[1];
    t->first = low;
    t->count = high > low ? 2 : 1;
    if (t->count == 1)
        weights[0] = ONE;
    t->weights = weights;
}

static tap *make_taps(tw_arena *arena, double start, double length, int32_t from, int32_t to)
{
    tap *taps = TW_NEW_N(arena, tap, (size_t)to);
    double step = length / to;
    for (int32_t i = 0; i < to; i++) {
        double a = start + i * step, centre = a + step / 2;
        taps[i].outside = centre < 0 || centre > from;
        if (step >= 1)
            cover(arena, a, a + step, from, &taps[i]);
        else
            between(arena, centre, from, &taps[i]);
    }
    return taps;
}

static void scale_row(const uint8_t *from, const tap *taps, int32_t count, uint16_t *to)
{
    for (int32_t x = 0; x < count; x++) {
        const uint8_t *p = from + taps[x].first;
        const int32_t *w = taps[x].weights;
        int32_t sum = ONE >> (ROW_BITS + 1);
        for (int32_t i = 0; i < taps[x].count; i++)
            sum += p[i] * w[i];
        to[x] = (uint16_t)(sum >> (14 - ROW_BITS));
    }
}

/* Rows of the source scaled to the result's width, as many as one row of the result needs. */
typedef struct strip {
    uint16_t *rows;
    int32_t *held; /* which source row each holds, -1 none */
    int32_t room;
} strip;

static const uint16_t *row_of(strip *s, tw_preview_plane from, const tap *taps, int32_t width, int32_t y)
{
    int32_t slot = y % s->room;
    uint16_t *row = s->rows + (size_t)slot * (size_t)width;
    if (s->held[slot] != y) {
        scale_row(from.at + y * from.stride, taps, width, row);
        s->held[slot] = y;
    }
    return row;
}

static void add_row(const uint16_t *row, int32_t weight, int32_t count, uint32_t *sums)
{
    for (int32_t x = 0; x < count; x++)
        sums[x] += (uint32_t)row[x] * (uint32_t)weight;
}

static strip make_strip(tw_arena *arena, const tap *down, int32_t rows, int32_t width)
{
    strip s = {.room = 1};
    for (int32_t y = 0; y < rows; y++)
        s.room = down[y].count > s.room ? down[y].count : s.room;
    s.room++;
    s.rows = TW_NEW_N(arena, uint16_t, (size_t)s.room * (size_t)width);
    s.held = TW_NEW_N(arena, int32_t, (size_t)s.room);
    for (int32_t i = 0; i < s.room; i++)
        s.held[i] = -1;
    return s;
}

void tw_preview_scale(tw_arena *scratch, tw_preview_plane from, tw_window window, uint8_t outside, tw_preview_plane to)
{
    const tap *across = make_taps(scratch, window.x, window.w, from.w, to.w);
    const tap *down = make_taps(scratch, window.y, window.h, from.h, to.h);
    strip s = make_strip(scratch, down, to.h, to.w);
    uint32_t *sums = TW_NEW_N(scratch, uint32_t, (size_t)to.w);
    for (int32_t y = 0; y < to.h; y++) {
        uint8_t *row = to.at + y * to.stride;
        if (down[y].outside) {
            memset(row, outside, (size_t)to.w);
            continue;
        }
        for (int32_t x = 0; x < to.w; x++)
            sums[x] = 1u << (14 + ROW_BITS - 1);
        for (int32_t i = 0; i < down[y].count; i++)
            add_row(row_of(&s, from, across, to.w, down[y].first + i), down[y].weights[i], to.w, sums);
        for (int32_t x = 0; x < to.w; x++)
            row[x] = across[x].outside ? outside : (uint8_t)(sums[x] >> (14 + ROW_BITS));
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
