/* SPDX-License-Identifier: Apache-2.0 */
#include <tallwide/path.h>

#include <math.h>

#include "support/support.h"

/* Slopes 3 and -5, half-length 12: deviation |v2 - v1| r / 4 = 24 at the corner (solver.md section 7), and
 * 8 * 6^2 / (4 * 12) = 6 half way into the blend. */
static void one_corner(void **state)
{
    (void)state;
    const tw_key keys[] = {{0, 0, 100, 50, 0}, {40, 120, 100, 50, 12}, {80, -80, 100, 50, 0}};
    static const struct {
        double frame, cx;
    } rows[] = {
        {-5, 0},      {0, 0},   {20, 60}, {28, 84},  {34, 102 - 6}, {40, 120 - 24},
        {46, 90 - 6}, {52, 60}, {60, 20}, {80, -80}, {90, -80},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_row(i, "frame");
        tw_key at = tw_path_at(keys, 3, rows[i].frame);
        tw_assert_near(at.cx, rows[i].cx, 1e-12);
        tw_assert_near(at.cy, 100, 0);
        tw_assert_near(at.w, 50, 0);
    }
}

/* A move eased at both ends rests before and after; the same shape for all three numbers. */
static void one_move(void **state)
{
    (void)state;
    const tw_key keys[] = {{10, 0, 0, 100, 4}, {30, 40, 20, 200, 8}};
    static const struct {
        double frame, share;
    } rows[] = {
        {6, 0},          {10, 4.0 / 4 / 20},     {14, 4.0 / 20}, {20, 0.5},
        {22, 12.0 / 20}, {30, 1 - 8.0 / 4 / 20}, {38, 1},        {40, 1},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_row(i, "frame");
        tw_key at = tw_path_at(keys, 2, rows[i].frame);
        tw_assert_near(at.cx, 40 * rows[i].share, 1e-12);
        tw_assert_near(at.cy, 20 * rows[i].share, 1e-12);
        tw_assert_near(at.w, 100 + 100 * rows[i].share, 1e-12);
    }
}

/* Facts 1, 2 and 5 of solver.md section 2 on random paths: within the keys' range, never faster than the steepest link,
 * no jump of speed. */
static void stays_within_and_below(void **state)
{
    (void)state;
    tw_rng rng = {1};
    for (int round = 0; round < 2000; round++) {
        tw_key keys[6];
        int64_t frame = 0;
        double steepest = 0, least = INFINITY, most = -INFINITY;
        for (size_t i = 0; i < 6; i++) {
            frame += tw_rng_between(&rng, 1, 40);
            keys[i] = (tw_key){frame, tw_rng_unit(&rng) * 1000, 0, 1, 0};
            least = fmin(least, keys[i].cx);
            most = fmax(most, keys[i].cx);
            if (i > 0)
                steepest = fmax(steepest, fabs(keys[i].cx - keys[i - 1].cx) / (double)(frame - keys[i - 1].frame));
        }
        for (size_t i = 0; i < 6; i++) {
            double before = i > 0 ? (double)(keys[i].frame - keys[i - 1].frame) : 80;
            double after = i < 5 ? (double)(keys[i + 1].frame - keys[i].frame) : 80;
            keys[i].ease = fmin(before, after) / 2;
        }
        assert_true(tw_path_valid(keys, 6, NULL));
        double step = 0.25, was = tw_path_at(keys, 6, 0).cx;
        for (double t = step; t < (double)frame + 50; t += step) {
            double now = tw_path_at(keys, 6, t).cx;
            assert_true(now >= least - 1e-9 && now <= most + 1e-9);
            assert_true(fabs(now - was) <= steepest * step + 1e-9);
            was = now;
        }
    }
}

static void finds_what_is_wrong(void **state)
{
    (void)state;
    static const struct {
        const char *name;
        tw_key keys[3];
        size_t count, bad;
    } rows[] = {
        {"no keys", {{0, 0, 0, 0, 0}}, 0, 9},
        {"same frame", {{5, 1, 1, 1, 0}, {5, 1, 1, 1, 0}}, 2, 1},
        {"backwards", {{5, 1, 1, 1, 0}, {4, 1, 1, 1, 0}}, 2, 1},
        {"corners overlap", {{0, 1, 1, 1, 0}, {10, 1, 1, 1, 6}, {20, 1, 1, 1, 5}}, 3, 2},
        {"negative ease", {{0, 1, 1, 1, -1}}, 1, 0},
        {"no width", {{0, 1, 1, 1, 0}, {1, 1, 1, 0, 0}}, 2, 1},
        {"not a number", {{0, NAN, 1, 1, 0}}, 1, 0},
        {"infinite", {{0, 1, INFINITY, 1, 0}}, 1, 0},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_row(i, rows[i].name);
        size_t bad = 9;
        assert_false(tw_path_valid(rows[i].keys, rows[i].count, &bad));
        assert_int_equal(bad, rows[i].bad);
    }
    const tw_key touching[] = {{0, 1, 1, 1, 5}, {10, 1, 1, 1, 5}};
    assert_true(tw_path_valid(touching, 2, NULL));
}

TW_SUITE(eval)
{
    const struct CMUnitTest tests[] = {TW_TEST(one_corner), TW_TEST(one_move), TW_TEST(stays_within_and_below),
                                       TW_TEST(finds_what_is_wrong)};
    return tw_run("path/eval", tests);
}
