/* SPDX-License-Identifier: Apache-2.0 */
#include "support/support.h"

#include <stdlib.h>
#include <string.h>

#include "subject/sums.h"

#define W 23
#define H 17

static tw_plane noise(tw_arena *arena, uint64_t seed)
{
    tw_rng rng = {seed};
    uint8_t *px = TW_NEW_N(arena, uint8_t, W * H);
    for (size_t i = 0; i < W * H; i++)
        px[i] = (uint8_t)tw_rng_between(&rng, 0, 255);
    return (tw_plane){px, W, H, W};
}

/* The definition, pixel by pixel: all y' < y with |x' - x + 1| <= y - y' - 1. */
static uint32_t turned_sum(const tw_plane *p, int x, int y)
{
    uint32_t sum = 0;
    for (int v = 0; v < y && v < p->h; v++) {
        for (int u = 0; u < p->w; u++) {
            if (abs(u - x + 1) <= y - v - 1)
                sum += p->px[(size_t)v * p->stride + (size_t)u];
        }
    }
    return sum;
}

static void sums_by_definition(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    const tw_plane p = noise(arena, 11);
    twi_sums sums;
    twi_sums_init(arena, &p, true, &sums);
    memset(sums.plain, 0xa5, 2 * (W + 1) * (H + 1) * sizeof(uint32_t)); /* what a larger level left behind */
    memset(sums.square, 0xa5, (W + 1) * (H + 1) * sizeof(uint32_t));
    twi_sums_fill(&sums, &p, W, H);
    assert_memory_equal(sums.picture, p.px, W * H);
    for (int y = 0; y <= H; y++) {
        for (int x = 0; x <= W; x++) {
            uint32_t plain = 0, square = 0;
            for (int v = 0; v < y; v++) {
                for (int u = 0; u < x; u++) {
                    const uint32_t px = p.px[v * W + u];
                    plain += px;
                    square += px * px;
                }
            }
            const size_t at = (size_t)y * sums.stride + (size_t)x;
            assert_int_equal(sums.plain[at], plain);
            assert_int_equal(sums.square[at], square);
            assert_int_equal(sums.plain[sums.turned_at + at], turned_sum(&p, x, y));
        }
    }
}

/* Twice as small: the middle of a small pixel is the corner where four large ones meet. */
static void half_size_is_the_mean_of_four(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    const tw_plane whole = noise(arena, 12);
    const tw_plane p = {whole.px, 22, 16, W};
    twi_sums sums;
    twi_sums_init(arena, &p, false, &sums);
    twi_sums_fill(&sums, &p, 11, 8);
    for (int y = 0; y < 8; y++) {
        for (int x = 0; x < 11; x++) {
            const uint8_t *four = p.px + (size_t)(2 * y) * W + 2 * x;
            assert_int_equal(sums.picture[y * 11 + x], (four[0] + four[1] + four[W] + four[W + 1] + 2) / 4);
        }
    }
}

/* A ramp stays the ramp at any size: linear between pixels is exact for it. */
static void a_ramp_keeps_its_slope(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    uint8_t *px = TW_NEW_N(arena, uint8_t, 100 * 20);
    for (int i = 0; i < 100 * 20; i++)
        px[i] = (uint8_t)(2 * (i % 100) + 1); /* pixel i covers 2 i .. 2 i + 2 */
    const tw_plane p = {px, 100, 20, 100};
    twi_sums sums;
    twi_sums_init(arena, &p, false, &sums);
    for (int w = 40; w < 100; w += 7) {
        twi_sums_fill(&sums, &p, w, 16);
        for (int x = 1; x + 1 < w; x++)
            tw_assert_near(sums.picture[8 * w + x], (x + 0.5) * 200.0 / w, 0.51);
    }
}

TW_SUITE(sums)
{
    const struct CMUnitTest tests[] = {TW_TEST(sums_by_definition), TW_TEST(half_size_is_the_mean_of_four),
                                       TW_TEST(a_ramp_keeps_its_slope)};
    return tw_run("subject/sums", tests);
}
