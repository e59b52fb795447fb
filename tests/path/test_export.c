/* SPDX-License-Identifier: Apache-2.0 */
#include <tallwide/path.h>

#include <math.h>

#include "support/support.h"

static double apart(tw_key a, tw_key b)
{
    return fmax(fabs(a.cx - b.cx), fmax(fabs(a.cy - b.cy), fabs(a.w - b.w)));
}

/* Random eased keys; whole eases, as the solver writes them. */
static size_t random_keys(tw_rng *rng, tw_key *keys)
{
    size_t count = (size_t)tw_rng_between(rng, 1, 7);
    int64_t frame = tw_rng_between(rng, -5, 20);
    for (size_t i = 0; i < count; i++) {
        keys[i] = (tw_key){frame, tw_rng_unit(rng) * 1000, tw_rng_unit(rng) * 1000, 500 + tw_rng_unit(rng) * 100, 0};
        frame += tw_rng_between(rng, 1, 40);
    }
    for (size_t i = 0; i < count; i++) {
        double before = i > 0 ? (double)(keys[i].frame - keys[i - 1].frame) / 2 : 9;
        double after = i + 1 < count ? (double)(keys[i + 1].frame - keys[i].frame) / 2 : 9;
        keys[i].ease = count > 1 ? floor(fmin(fmin(before, after), (double)tw_rng_between(rng, 0, 20))) : 0;
    }
    return count;
}

static void every_form_is_the_same_path(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_rng rng = {3};
    for (size_t round = 0; round < 2000; round++) {
        tw_key keys[7];
        tw_path_view path = {keys, random_keys(&rng, keys)};
        double bound = 0.25 + 4 * tw_rng_unit(&rng);
        tw_path_view eased = tw_path_export(arena, path, TW_PATH_EASED, 0);
        tw_path_view bezier = tw_path_export(arena, path, TW_PATH_BEZIER, 0);
        tw_path_view linear = tw_path_export(arena, path, TW_PATH_LINEAR, bound);
        double end = (double)keys[path.count - 1].frame + 12;
        for (double t = (double)keys[0].frame - 12; t <= end; t += 0.25) {
            tw_key own = tw_path_at(keys, path.count, t);
            tw_assert_near(apart(tw_path_at_form(eased, TW_PATH_EASED, t), own), 0, 0);
            tw_assert_near(apart(tw_path_at_form(bezier, TW_PATH_BEZIER, t), own), 0, 1e-9);
            double off = apart(tw_path_at_form(linear, TW_PATH_LINEAR, t), own);
            if (off > bound + 1e-9) { /* only where chords of one frame cannot do better: exact at whole frames */
                tw_key a = tw_path_at(keys, path.count, floor(t)), b = tw_path_at(keys, path.count, floor(t) + 1);
                double share = t - floor(t);
                tw_key chord = {.cx = a.cx + (b.cx - a.cx) * share,
                                .cy = a.cy + (b.cy - a.cy) * share,
                                .w = a.w + (b.w - a.w) * share};
                tw_assert_near(apart(tw_path_at_form(linear, TW_PATH_LINEAR, t), chord), 0, 1e-9);
            }
        }
        for (size_t i = 0; i < linear.count; i++)
            tw_assert_near(linear.keys[i].ease, 0, 0);
    }
}

/* Slopes 3 and -5, half-length 12: 1, 2, 4, 8 chords err by 24, 6, 1.5, 0.375 (solver.md section 7). */
static void chords_of_a_corner(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    static const tw_key keys[] = {{0, 0, 0, 1, 0}, {40, 120, 0, 1, 12}, {80, -80, 0, 1, 0}};
    static const struct {
        double bound;
        size_t chords;
    } rows[] = {{24, 1}, {6, 2}, {1.5, 4}, {0.375, 8}, {0.1, 24}};
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_row(i, "bound");
        tw_path_view linear = tw_path_export(arena, (tw_path_view){keys, 3}, TW_PATH_LINEAR, rows[i].bound);
        assert_int_equal(linear.count, 3 + rows[i].chords); /* two ends of the shot, chords + 1 */
    }
}

/* Largest difference from the straight line of a shape given by its slopes at both ends (in mean speeds): a corner of
 * the cubic form is such a shape. Values of solver.md section 4, derived there. */
static void easing_numbers(void **state)
{
    (void)state;
    static const struct {
        const char *name;
        double v1, v2, deviation, at;
    } rows[] = {
        {"smoothstep", 0, 0, 0.096225044864937627, 0.21132486540518712}, /* sqrt(3)/18 at (3 - sqrt(3))/6 */
        {"one-sided cubic", 0, 1, 4.0 / 27, 1.0 / 3},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_row(i, rows[i].name);
        double v1 = rows[i].v1, v2 = rows[i].v2, most = 0, at = 0;
        for (int k = 0; k <= 3000000; k++) {
            double u = k / 3000000.0, e = u + (v1 - 1) * u * (1 - u) * (1 - u) - (v2 - 1) * u * u * (1 - u);
            if (fabs(e - u) > most + 1e-15) {
                most = fabs(e - u);
                at = u;
            }
        }
        tw_assert_near(most, rows[i].deviation, 1e-9);
        tw_assert_near(at, rows[i].at, 1e-5);
    }
    /* trapezoid with ramp share phi: phi (1 - phi) / 2 at phi (1 - phi); peak speed 1 / (1 - phi): an eased move over
     * 100 frames, ramps of 20, is one with phi = 0.2. */
    const tw_key move[] = {{10, 0, 0, 1, 10}, {90, 1, 0, 1, 10}};
    double phi = 0.2, u = phi * (1 - phi);
    tw_assert_near(u - tw_path_at(move, 2, 100 * u).cx, phi * (1 - phi) / 2, 1e-9);
    tw_assert_near((tw_path_at(move, 2, 60).cx - tw_path_at(move, 2, 40).cx) / 0.2, 1 / (1 - phi), 1e-9);
    /* Parabola in and out is the trapezoid with phi = 1/2: 1/8 at 1/4, twice the mean speed. */
    const tw_key parabola[] = {{25, 0, 0, 1, 25}, {75, 1, 0, 1, 25}};
    tw_assert_near(0.25 - tw_path_at(parabola, 2, 25).cx, 1.0 / 8, 1e-9);
    tw_assert_near((tw_path_at(parabola, 2, 50.0001).cx - tw_path_at(parabola, 2, 49.9999).cx) / 2e-6, 2, 1e-5);
}

/* solver.md section 7: v1 = 3, v2 = -5, r = 12 deviates by 24; 1, 2, 4, 8 chords err by 24, 6, 1.5, .375. */
static void fewest_chords(void **state)
{
    static const double errors[] = {24, 6, 1.5, 0.375};
    const tw_key keys[] = {
        {.frame = 0, .w = 100}, {.frame = 20, .cx = 60, .w = 100}, {.frame = 40, .cx = -40, .w = 100}};
    const tw_key turn = tw_path_turn((tw_path_view){keys, 3}, 1);
    (void)state;
    assert_true(turn.cx == -8 && turn.cy == 0 && turn.w == 0);
    for (int i = 0; i < 4; i++) {
        assert_int_equal(tw_path_chords(turn, 12, 1, (tw_size){1080, 1920}, errors[i]), 1 << i);
        assert_int_equal(tw_path_chords(turn, 12, 1, (tw_size){1080, 1920}, errors[i] * 0.999), (1 << i) + 1);
    }
    assert_int_equal(tw_path_chords(turn, 12, 1, (tw_size){1080, 1920}, 1e-9), TW_PATH_CHORDS);
}

TW_SUITE(export)
{
    const struct CMUnitTest tests[] = {TW_TEST(fewest_chords), TW_TEST(every_form_is_the_same_path),
                                       TW_TEST(chords_of_a_corner), TW_TEST(easing_numbers)};
    return tw_run("path/export", tests);
}
