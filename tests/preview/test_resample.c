/* SPDX-License-Identifier: Apache-2.0 */
#include "support/support.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include <tallwide/preview.h>

static tw_preview_plane make(tw_arena *arena, int32_t w, int32_t h)
{
    return (tw_preview_plane){TW_NEW_N(arena, uint8_t, (size_t)w * (size_t)h), w, h, w};
}

/* Windows of all sorts: larger and smaller than the result, on pixels and between, in corners. */
static const struct {
    tw_window window;
    int32_t w, h;
} rows[] = {
    {{0, 0, 97, 61}, 97, 61},         {{10, 7, 40, 30}, 40, 30},        {{10.25, 7.5, 40, 30}, 40, 30},
    {{0, 0, 97, 61}, 30, 20},         {{3.3, 1.7, 80.1, 55.9}, 31, 23}, {{20, 20, 10, 10}, 40, 40},
    {{20.7, 20.1, 9.3, 8.8}, 33, 47}, {{0, 0, 97, 61}, 1, 1},           {{96, 60, 1, 1}, 8, 8},
    {{0, 0, 97, 61}, 96, 60},         {{40.4, 30.2, 41, 30.5}, 40, 30}, {{0, 0, 97, 61}, 200, 7},
};

#define ROWS (sizeof rows / sizeof rows[0])

static void constant(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    for (int level = 0; level <= 255; level += 15) {
        tw_preview_plane from = make(arena, 97, 61);
        memset(from.at, level, 97 * 61);
        for (size_t i = 0; i < ROWS; i++) {
            tw_row(i, "constant");
            tw_preview_plane to = make(arena, rows[i].w, rows[i].h);
            tw_preview_scale(arena, from, rows[i].window, 7, to);
            for (int32_t p = 0; p < to.w * to.h; p++)
                assert_int_equal(to.at[p], level);
        }
    }
}

/* Whole pixels as large as the result are copied, whatever is in them. */
static void identity(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_rng rng = {7};
    tw_preview_plane from = make(arena, 97, 61), to = make(arena, 40, 30);
    for (int32_t p = 0; p < 97 * 61; p++)
        from.at[p] = (uint8_t)tw_rng_between(&rng, 0, 255);
    for (int32_t x = 0; x <= 57; x += 19) {
        for (int32_t y = 0; y <= 31; y += 31) {
            tw_preview_scale(arena, from, (tw_window){x, y, 40, 30}, 7, to);
            for (int32_t v = 0; v < 30; v++)
                assert_memory_equal(to.at + v * 40, from.at + (y + v) * 97 + x, 40);
        }
    }
}

/* A straight ramp stays one: pixel i of the result shows the middle of what it covers. Within what lies between the
 * centres of the outermost pixels; beyond them nothing is known. */
static void ramp(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_preview_plane across = make(arena, 97, 61), down = make(arena, 97, 61);
    for (int32_t y = 0; y < 61; y++) {
        for (int32_t x = 0; x < 97; x++) {
            across.at[y * 97 + x] = (uint8_t)(10 + 2 * x);
            down.at[y * 97 + x] = (uint8_t)(10 + 4 * y);
        }
    }
    for (size_t i = 0; i < ROWS; i++) {
        tw_row(i, "ramp");
        const tw_window w = rows[i].window;
        tw_preview_plane to = make(arena, rows[i].w, rows[i].h);
        tw_preview_scale(arena, across, w, 7, to);
        for (int32_t x = 0; x < to.w; x++) {
            double centre = w.x + (x + 0.5) * w.w / to.w;
            if (centre >= 0.5 && centre <= 96.5)
                tw_assert_near(to.at[x], 10 + 2 * (centre - 0.5), 1);
        }
        tw_preview_scale(arena, down, w, 7, to);
        for (int32_t y = 0; y < to.h; y++) {
            double centre = w.y + (y + 0.5) * w.h / to.h;
            if (centre >= 0.5 && centre <= 60.5)
                tw_assert_near(to.at[y * to.w], 10 + 4 * (centre - 0.5), 1);
        }
    }
}

/* Scaled down, a pixel is the mean of what it covers: computed here the slow way. */
static void mean(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_rng rng = {11};
    tw_preview_plane from = make(arena, 60, 60), to = make(arena, 9, 7);
    for (int32_t p = 0; p < 3600; p++)
        from.at[p] = (uint8_t)tw_rng_between(&rng, 0, 255);
    const tw_window w = {3.3, 4.7, 50.2, 44.1};
    tw_preview_scale(arena, from, w, 7, to);
    for (int32_t y = 0; y < 7; y++) {
        for (int32_t x = 0; x < 9; x++) {
            double sum = 0, all = 0, l = w.x + x * w.w / 9, r = l + w.w / 9, t = w.y + y * w.h / 7, b = t + w.h / 7;
            for (int32_t v = 0; v < 60; v++)
                for (int32_t u = 0; u < 60; u++) {
                    double share = fmax(0, fmin(r, u + 1) - fmax(l, u)) * fmax(0, fmin(b, v + 1) - fmax(t, v));
                    sum += share * from.at[v * 60 + u];
                    all += share;
                }
            tw_assert_near(to.at[y * 9 + x], sum / all, 0.6);
        }
    }
}

/* A window larger than the picture has bars. */
static void bars(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_preview_plane from = make(arena, 40, 20), to = make(arena, 20, 20);
    memset(from.at, 200, 800);
    tw_preview_scale(arena, from, (tw_window){0, -10, 40, 40}, 16, to);
    for (int32_t y = 0; y < 20; y++)
        for (int32_t x = 0; x < 20; x++)
            assert_int_equal(to.at[y * 20 + x], y < 5 || y >= 15 ? 16 : 200);
}

/* Only the part of a larger picture that belongs to the plane is written. */
static void stride(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_preview_plane from = make(arena, 8, 8), all = make(arena, 20, 20);
    memset(from.at, 99, 64);
    const tw_preview_plane part = {all.at + 5 * 20 + 6, 4, 3, 20};
    tw_preview_scale(arena, from, (tw_window){0, 0, 8, 6}, 0, part);
    int count = 0;
    for (int32_t p = 0; p < 400; p++)
        count += all.at[p] == 99;
    assert_int_equal(count, 12);
    assert_int_equal(all.at[5 * 20 + 6], 99);
    assert_int_equal(all.at[7 * 20 + 9], 99);
}

static void mixes(void **state)
{
    static const struct {
        int a, b, weight, expected;
    } mix[] = {{0, 200, 256, 0}, {0, 200, 0, 200}, {100, 200, 128, 150}, {235, 16, 64, 71}, {255, 255, 77, 255}};
    (void)state;
    for (size_t i = 0; i < sizeof mix / sizeof mix[0]; i++) {
        uint8_t a = (uint8_t)mix[i].a, b = (uint8_t)mix[i].b;
        tw_row(i, "mix");
        tw_preview_mix((tw_preview_plane){&a, 1, 1, 1}, mix[i].weight, (tw_preview_plane){&b, 1, 1, 1});
        assert_int_equal(b, mix[i].expected);
    }
}

TW_SUITE(resample)
{
    const struct CMUnitTest tests[] = {TW_TEST(constant), TW_TEST(identity), TW_TEST(ramp), TW_TEST(mean),
                                       TW_TEST(bars),     TW_TEST(stride),   TW_TEST(mixes)};
    return tw_run("preview/resample", tests);
}
