/* SPDX-License-Identifier: Apache-2.0 */
#include "recut/versions.h"

static tw_framing framing(tw_key *keys, size_t count)
{
    return (tw_framing){
        .mode = TW_FRAME_FILL,
        .source = {5760, 4320},
        .delivery = {1080, 1920},
        .squeeze = 1,
        .keys = keys,
        .key_count = count,
    };
}

static void how_far_and_where(void **state)
{
    (void)state;
    tw_key still[] = {{0, 2880, 2160, 2430, 0}}, moved[] = {{0, 2890, 2160, 2430, 0}};
    tw_key narrow[] = {{0, 2880, 2160, 2340, 0}};
    tw_key ramp[] = {{0, 2880, 2160, 2430, 0}, {100, 2980, 2160, 2430, 0}};
    const tw_framing a = framing(still, 1), b = framing(moved, 1), c = framing(narrow, 1), d = framing(ramp, 2);
    const tw_frame_map straight = {0, 1, 0, 48}, shifted = {10, 1, 0, 38};
    const struct {
        const char *what;
        const tw_framing *x, *y;
        tw_frame_map map;
        double px;
        int64_t frame;
    } rows[] = {
        {"the same", &a, &a, straight, 0, 0},
        {"10 px to the right", &a, &b, straight, 10, 0},
        {"90 narrower: 160 lower in a 9:16 shape, 80 at each end", &a, &c, straight, 80, 0},
        {"a pixel a frame, worst at the last", &a, &d, straight, 47, 47},
        {"the same ramp, 10 frames later in the source", &d, &d, shifted, 10, 0},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_row(i, rows[i].what);
        tw_window_change w = tw_recut_windows(rows[i].x, rows[i].y, rows[i].map, 0.5);
        tw_assert_near(w.px, rows[i].px, 1e-9);
        assert_int_equal(w.frame, rows[i].frame);
        assert_int_equal(w.changed, rows[i].px > 0);
        assert_false(w.one_side);
    }
    assert_true(tw_recut_windows(&a, NULL, straight, 0).one_side);
    assert_false(tw_recut_windows(NULL, NULL, straight, 0).changed);
    assert_false(tw_recut_windows(&a, &b, straight, 10).changed); /* within the slack */
}

/* A shot that is left running for a year: 756,864,000 frames, with a key a frame off in the middle. */
static void a_year(void **state)
{
    (void)state;
    tw_key ramp[] = {{0, 2880, 2160, 2430, 0}, {400000000, 2880, 2160, 2430, 0}, {756864000, 3880, 2160, 2430, 0}};
    tw_key odd[] = {ramp[0], ramp[1], {400000001, 2870, 2160, 2430, 0}, {400000002, 2880, 2160, 2430, 0}, ramp[2]};
    const tw_framing a = framing(ramp, 3), b = framing(odd, 5);
    const tw_frame_map map = {0, 1, 0, 756864000};
    tw_window_change w = tw_recut_windows(&a, &b, map, 0.5);
    tw_assert_near(w.px, 10, 1e-3);
    assert_int_equal(w.frame, 400000001);
    w = tw_recut_windows(&b, &a, map, 0.5);
    assert_int_equal(w.frame, 400000001);
}

static void frames_of_the_same_source(void **state)
{
    static const struct {
        const char *what;
        row_shot a, b;
        double offset, scale;
        int64_t from, to;
    } rows[] = {
        {"the same", {"A", 100, 50, 1}, {"A", 100, 50, 1}, 0, 1, 0, 50},
        {"head 5 shorter", {"A", 100, 50, 1}, {"A", 105, 45, 1}, 5, 1, 0, 45},
        {"head 5 longer, tail 10 longer", {"A", 100, 50, 1}, {"A", 95, 65, 1}, -5, 1, 5, 55},
        {"double speed", {"A", 100, 50, 1}, {"A", 110, 20, 2}, 10, 2, 0, 20},
        {"freeze", {"A", 100, 50, 0}, {"A", 100, 70, 0}, 0, 1, 0, 50},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_arena *arena = tw_test_arena(state);
        const tw_alignment *al = tw_recut_align(arena, version(arena, &rows[i].a, 1), version(arena, &rows[i].b, 1));
        tw_frame_map map = tw_recut_map(al->olds, al->news);
        tw_row(i, rows[i].what);
        tw_assert_near(map.offset, rows[i].offset, 1e-9);
        tw_assert_near(map.scale, rows[i].scale, 1e-9);
        assert_int_equal(map.from, rows[i].from);
        assert_int_equal(map.to, rows[i].to);
    }
}

TW_SUITE(window)
{
    const struct CMUnitTest tests[] = {TW_TEST(how_far_and_where), TW_TEST(a_year), TW_TEST(frames_of_the_same_source)};
    return tw_run("recut/window", tests);
}
