/* SPDX-License-Identifier: Apache-2.0 */
#include "support/support.h"

#include <string.h>

#include <tallwide/path.h>

#include "smil/smil_internal.h"

static tw_window on_chords(const twi_smil_point *points, size_t count, double frame)
{
    size_t i = 0;
    while (i + 2 < count && points[i + 1].frame <= frame)
        i++;
    if (count == 1 || frame <= points[0].frame)
        return points[0].window;
    if (frame >= points[count - 1].frame)
        return points[count - 1].window;
    const tw_window a = points[i].window, b = points[i + 1].window;
    double u = (frame - points[i].frame) / (points[i + 1].frame - points[i].frame);
    return (tw_window){a.x + (b.x - a.x) * u, a.y + (b.y - a.y) * u, a.w + (b.w - a.w) * u, a.h + (b.h - a.h) * u};
}

/* Random valid paths: the chords keep the stated bound at every tenth of a frame, on all four numbers. */
static void chords_keep_their_bound(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_rng rng = {30};
    for (int round = 0; round < 200; round++) {
        tw_key keys[6];
        int64_t frame = 0;
        for (size_t i = 0; i < 6; i++) {
            int64_t gap = tw_rng_between(&rng, 4, 60);
            frame += gap;
            keys[i] = (tw_key){frame, 1500 + 2500 * tw_rng_unit(&rng), 2160, 1200 + 1000 * tw_rng_unit(&rng), 0};
            keys[i].ease = (double)gap / 2 < 3 ? 1 : 2;
        }
        const tw_framing f = {
            .source = {5760, 4320}, .delivery = {1080, 1920}, .squeeze = 1, .keys = keys, .key_count = 6};
        twi_smil_point *points;
        size_t count = twi_smil_points(arena, &f, &points);
        for (double t = 0; t < (double)frame + 10; t += 0.1) {
            const tw_window exact = tw_geom_key_window(tw_path_at(keys, 6, t), 1, f.delivery);
            const tw_window drawn = on_chords(points, count, t);
            tw_assert_near(drawn.x, exact.x, TW_SMIL_CHORD + 1e-6);
            tw_assert_near(drawn.y, exact.y, TW_SMIL_CHORD + 1e-6);
            tw_assert_near(drawn.w, exact.w, TW_SMIL_CHORD + 1e-6);
            tw_assert_near(drawn.h, exact.h, TW_SMIL_CHORD + 1e-6);
        }
    }
}

/* The same path in its cubic form draws the same chords, within what cutting eases to whole frames changes: nothing here. */
static void cubic_keys_draw_the_same(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_key keys[] = {{10, 2000, 2160, 2430, 4}, {40, 2600, 2160, 2200, 6}, {90, 2300, 2160, 2430, 5}};
    const tw_framing f = {.source = {5760, 4320}, .delivery = {1080, 1920}, .squeeze = 1, .keys = keys, .key_count = 3};
    tw_framing cubic = f;
    const tw_path_view other = tw_path_export(arena, (tw_path_view){keys, 3}, TW_PATH_BEZIER, 0);
    tw_key copy[8];
    assert_in_range(other.count, 4, 8);
    memcpy(copy, other.keys, other.count * sizeof *copy);
    cubic.interp = TW_INTERP_BEZIER;
    cubic.keys = copy;
    cubic.key_count = other.count;
    twi_smil_point *a, *b;
    size_t count = twi_smil_points(arena, &f, &a);
    assert_int_equal(twi_smil_points(arena, &cubic, &b), count);
    for (size_t i = 0; i < count; i++) {
        tw_assert_near(b[i].frame, a[i].frame, 1e-9);
        tw_assert_near(b[i].window.x, a[i].window.x, 1e-6);
        tw_assert_near(b[i].window.w, a[i].window.w, 1e-6);
    }
}

static void whole_pixels_stay_inside(void **state)
{
    (void)state;
    const tw_size source = {5760, 4320};
    static const struct {
        tw_window win, whole;
    } rows[] = {
        {{1665, 0, 2430, 4320}, {1665, 0, 2430, 4320}},
        {{3329.6, 0, 2430.4, 4320}, {3330, 0, 2430, 4320}},
        {{0.4, 10.5, 2429.6, 4309.5}, {0, 10, 2430, 4310}}, /* 11 + 4310 would show an edge */
        {{-720, 0, 7200, 4320}, {-720, 0, 7200, 4320}},     /* shown whole, with bars: outside on purpose */
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        const tw_window got = twi_smil_whole(rows[i].win, source);
        tw_row(i, "window");
        tw_assert_near(got.x, rows[i].whole.x, 0);
        tw_assert_near(got.y, rows[i].whole.y, 0);
        tw_assert_near(got.w, rows[i].whole.w, 0);
        tw_assert_near(got.h, rows[i].whole.h, 0);
    }
}

TW_SUITE(smil_points)
{
    const struct CMUnitTest tests[] = {TW_TEST(chords_keep_their_bound), TW_TEST(cubic_keys_draw_the_same),
                                       TW_TEST(whole_pixels_stay_inside)};
    return tw_run("smil/smil_points", tests);
}
