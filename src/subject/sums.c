/* SPDX-License-Identifier: Apache-2.0 */
#include "sums.h"

#define ONE 2048 /* weights between pixels are counted in so many parts */

typedef struct twi_column {
    int at, next, weight;
} twi_column;

void twi_sums_init(tw_arena *arena, const tw_plane *plane, bool turned, twi_sums *out)
{
    const size_t w = (size_t)plane->w + 1, h = (size_t)plane->h + 1;
    *out = (twi_sums){.turned = turned};
    out->plain = TW_NEW_N(arena, uint32_t, w * h * (turned ? 2 : 1));
    out->square = TW_NEW_N(arena, uint32_t, w * h);
    out->picture = TW_NEW_N(arena, uint8_t, (size_t)plane->w * (size_t)plane->h);
    out->across = TW_NEW_N(arena, twi_column, (size_t)plane->w);
}

/* Where the middle of pixel i of `to` pixels lies among `from` pixels. */
static twi_column place(int i, int from, int to)
{
    const double x = (i + 0.5) * from / to - 0.5;
    const int at = x > 0 ? (int)x : 0;
    const int weight = x > 0 ? (int)((x - at) * ONE + 0.5) : 0;
    return (twi_column){at, at + 1 < from ? at + 1 : at, weight};
}

static void shrink(twi_sums *sums, const tw_plane *plane)
{
    for (int x = 0; x < sums->w; x++)
        sums->across[x] = place(x, plane->w, sums->w);
    for (int y = 0; y < sums->h; y++) {
        const twi_column down = place(y, plane->h, sums->h);
        const uint8_t *above = plane->px + (size_t)down.at * plane->stride;
        const uint8_t *below = plane->px + (size_t)down.next * plane->stride;
        uint8_t *to = sums->picture + (size_t)y * (size_t)sums->w;
        for (int x = 0; x < sums->w; x++) {
            const twi_column c = sums->across[x];
            const int upper = above[c.at] * (ONE - c.weight) + above[c.next] * c.weight;
            const int lower = below[c.at] * (ONE - c.weight) + below[c.next] * c.weight;
            const int64_t both = (int64_t)upper * (ONE - down.weight) + (int64_t)lower * down.weight;
            to[x] = (uint8_t)((both + ONE * ONE / 2) / (ONE * ONE));
        }
    }
}

static void add_upright(twi_sums *sums)
{
    for (int y = 1; y <= sums->h; y++) {
        const uint8_t *row = sums->picture + (size_t)(y - 1) * (size_t)sums->w;
        uint32_t *plain = sums->plain + (size_t)y * sums->stride, *square = sums->square + (size_t)y * sums->stride;
        const uint32_t *plain_above = plain - sums->stride, *square_above = square - sums->stride;
        uint32_t sum = 0, sum_of_squares = 0;
        plain[0] = square[0] = 0;
        for (int x = 0; x < sums->w; x++) {
            sum += row[x];
            sum_of_squares += (uint32_t)row[x] * row[x];
            plain[x + 1] = plain_above[x + 1] + sum;
            square[x + 1] = square_above[x + 1] + sum_of_squares;
        }
    }
}

/* T(x, y) = T(x-1, y-1) + T(x+1, y-1) - T(x, y-2) + I(x-1, y-1) + I(x-1, y-2) (Lienhart and Maydt, with the counting of
 * `plain`); beyond the left and right edge T(-1, y) = T(0, y-1) and T(w+1, y) = T(w, y-1). */
static void add_turned(twi_sums *sums)
{
    const int w = sums->w;
    const size_t stride = sums->stride;
    uint32_t *first = sums->plain + sums->turned_at;
    for (int x = 0; x <= w; x++)
        first[x] = 0;
    for (int y = 1; y <= sums->h; y++) {
        const uint8_t *row = sums->picture + (size_t)(y - 1) * (size_t)w;
        uint32_t *now = first + (size_t)y * stride;
        const uint32_t *above = now - stride;
        now[0] = above[1];
        for (int x = 1; x <= w; x++) {
            now[x] = above[x - 1] + row[x - 1];
            if (x < w)
                now[x] += above[x + 1] - (y > 1 ? above[x - (int64_t)stride] : 0);
            if (y > 1)
                now[x] += row[x - 1 - w];
        }
    }
}

void twi_sums_fill(twi_sums *sums, const tw_plane *plane, int w, int h)
{
    sums->w = w;
    sums->h = h;
    sums->stride = (uint32_t)w + 1;
    sums->turned_at = sums->stride * ((uint32_t)h + 1);
    shrink(sums, plane);
    for (uint32_t x = 0; x < sums->stride; x++)
        sums->plain[x] = sums->square[x] = 0;
    add_upright(sums);
    if (sums->turned)
        add_turned(sums);
}
