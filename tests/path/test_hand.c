/* SPDX-License-Identifier: Apache-2.0 */
#include "path/sound.h"

#include "path/motions.h"
#include "support/support.h"

/* The hand's windows, frame for frame, and a solved, sound path around them. */
static void hand_windows(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    const tw_key moving[] = {{100, 2000, 2160, 2430, 0}, {140, 3000, 2160, 2430, 10}, {190, 2500, 2000, 2000, 10}};
    const tw_key still[] = {{0, 1500, 2160, 1800, 0}};
    static const struct {
        const char *name;
        int64_t from, to;
        bool moving;
    } rows[] = {
        {"all", -5, 400, true},          {"middle", 100, 180, true},    {"start", 0, 60, false},
        {"end", 250, 300, false},        {"one frame", 50, 51, true},   {"still", 120, 150, false},
        {"in a corner", 136, 144, true}, {"nearly all", 2, 297, false},
    };
    tw_path_job job;
    motion_job(arena, 1, &job);
    for (size_t i = 0; i < TW_COUNT(rows); i++) {
        tw_row(i, rows[i].name);
        tw_path_hand hand = {rows[i].from, rows[i].to, rows[i].moving ? moving : still, rows[i].moving ? 3 : 1};
        tw_path_result r;
        job.hands = &hand;
        job.hand_count = 1;
        tw_path_solve(arena, &job, &r);
        check_sound(&job, &r);
        assert_int_equal(r.reason, TW_PATH_HAND);
        for (int64_t t = rows[i].from > 0 ? rows[i].from : 0; t < rows[i].to && t < 300; t++) {
            tw_key own = tw_path_at(hand.keys, hand.key_count, (double)t),
                   got = tw_path_at(r.keys, r.key_count, (double)t);
            tw_assert_near(got.cx, own.cx, 0.002);
            tw_assert_near(got.cy, own.cy, 0.002);
            tw_assert_near(got.w, own.w, 0.002);
        }
        for (int64_t t = 1; t < 300; t++) { /* nothing jumps */
            tw_key a = tw_path_at(r.keys, r.key_count, (double)t - 1), b = tw_path_at(r.keys, r.key_count, (double)t);
            assert_true(fabs(a.cx - b.cx) < 200 && fabs(a.w - b.w) < 200);
        }
    }
}

/* With nothing to hold and nothing past the limit, the window is held to the ends of the shot, corners and all. */
static void corner_stays(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    const tw_key keys[] = {{20, 2000, 2160, 2430, 30}, {95, 3000, 2160, 2430, 30}};
    tw_path_hand hand = {20, 100, keys, 2};
    tw_path_job job = {.source = {5760, 4320}, .delivery = {1080, 1920}, .frames = 100, .fps = 25};
    job.hands = &hand;
    job.hand_count = 1;
    tw_path_result r;
    tw_path_solve(arena, &job, &r);
    assert_int_equal(r.key_count, 2);
    tw_assert_near(r.keys[0].ease, 30, 0);
}

/* A corner of 7 frames at the first of 13 frames would leave 6 to decide in, at either end of the shot. */
static void corner_gives_way(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    const tw_key keys[] = {{13, 2000, 2160, 900, 7}, {286, 2100, 2160, 900, 7}};
    tw_path_job job;
    tw_path_hand hand = {13, 287, keys, 2};
    tw_path_result r;
    motion_job(arena, 1, &job);
    job.hands = &hand;
    job.hand_count = 1;
    tw_path_solve(arena, &job, &r);
    check_sound(&job, &r);
    assert_true(tw_path_at(r.keys, r.key_count, 0).w > 1000);
    assert_true(tw_path_at(r.keys, r.key_count, (double)(job.frames - 1)).w > 1000);
    for (int64_t t = hand.from + 7; t < hand.to - 7; t++)
        tw_assert_near(tw_path_at(r.keys, r.key_count, (double)t).cx, tw_path_at(keys, 2, (double)t).cx, 0.002);
}

/* A window by hand that goes narrower, past the limit, for one frame or in a corner: what leads over to it and away from
 * it is no narrower than itself, and is wide enough again as soon as a move can be. */
static void no_further_past(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    const tw_key keys[] = {{95, 3200, 2160, 1500, 5}, {105, 2600, 2160, 600, 5}, {115, 2600, 2160, 100, 3}};
    static const struct {
        int64_t from, to;
    } rows[] = {{100, 101}, {96, 106}, {104, 108}, {80, 104}, {110, 400}, {-5, 1}};
    for (size_t i = 0; i < TW_COUNT(rows); i++) {
        tw_row(i, "");
        tw_path_job job;
        tw_path_result r;
        motion_job(arena, 1, &job);
        tw_path_hand hand = {rows[i].from, rows[i].to, keys, 3};
        job.hands = &hand;
        job.hand_count = 1;
        tw_path_solve(arena, &job, &r);
        check_sound(&job, &r);
        assert_int_equal(r.reason, TW_PATH_HAND);
        double least = INFINITY;
        for (int64_t t = hand.from < 0 ? 0 : hand.from; t < hand.to && t < job.frames; t++)
            least = fmin(least, tw_path_at(r.keys, r.key_count, (double)t).w);
        for (int64_t t = 0; t < job.frames; t++) {
            double w = tw_path_at(r.keys, r.key_count, (double)t).w;
            assert_true(w > fmin(least, 1080) - 0.002);
            if (t < hand.from - 200 || t > hand.to + 200)
                assert_true(w > 1080 - 0.002);
        }
    }
}

/* A shot of 48 frames at 24 a second, whose first 24 are set by hand at the left. */
static tw_path_job half_by_hand(const tw_path_hand *hand)
{
    return (tw_path_job){.source = {5760, 4320},
                         .delivery = {1080, 1920},
                         .squeeze = 1,
                         .frames = 48,
                         .fps = 24,
                         .hands = hand,
                         .hand_count = 1};
}

/* Where nothing is to be shown the window stays where the hand put it, before and after. */
static void stays_where_nothing_is(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    const tw_key left = {0, 1315, 2160, 2430, 0};
    const int64_t rows[][2] = {{0, 24}, {24, 48}, {12, 36}, {0, 4}};
    for (size_t i = 0; i < TW_COUNT(rows); i++) {
        const tw_path_hand hand = {rows[i][0], rows[i][1], &left, 1};
        tw_path_job job = half_by_hand(&hand);
        tw_path_result r;
        tw_path_solve(arena, &job, &r);
        assert_int_equal(r.key_count, 1);
        tw_assert_near(r.keys[0].cx, 1315, 0);
        assert_int_equal(r.compromise_count, 0);
    }
}

/* A moving hand window comes to rest within 3 widths per second squared (solver.md, 8), also in 6 frames. */
static void comes_to_rest(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    const tw_key moving[] = {{0, 1315, 2160, 2430, 0}, {48, 2315, 2160, 2430, 0}}; /* 0.21 widths a second */
    for (int64_t to = 24; to <= 42; to += 18) {
        const tw_path_hand hand = {0, to, moving, 2};
        tw_path_job job = half_by_hand(&hand);
        tw_path_result r;
        tw_path_solve(arena, &job, &r);
        check_sound(&job, &r);
        assert_int_equal(r.compromise_count == 1 && r.compromises[0].what == TW_YIELD_HARSH, 0);
        assert_true(r.keys[r.key_count - 1].cx < 2315);
    }
}

/* Between two hand windows of a long shot it waits at the first, then moves at no more than half a width a second. */
static void waits_between(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    const tw_key left = {0, 1315, 2160, 2430, 0}, right = {0, 4000, 2160, 2430, 0};
    const tw_path_hand both[] = {{0, 20, &left, 1}, {280, 300, &right, 1}};
    tw_path_job job = half_by_hand(both);
    job.hand_count = 2;
    job.frames = 300;
    tw_path_result r;
    tw_path_solve(arena, &job, &r);
    check_sound(&job, &r);
    assert_int_equal(r.key_count, 2);
    tw_assert_near(tw_path_at(r.keys, 2, 200).cx, 1315, 0);
    assert_true(r.peak_speed <= 0.5);
}

/* What must be seen after a hand window is gone to where the limits of speed leave time for it: 1.5 widths a second
 * (solver.md, 8) are 1822 px in half a second. */
static void leads_within_limits(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    const tw_key left = {0, 1315, 2160, 2430, 0};
    const tw_path_hand hand = {0, 24, &left, 1};
    static const struct {
        double at; /* left edge of the box: the window's right edge is 2530 */
        bool reached;
    } rows[] = {{2600, true}, {3000, true}, {5100, false}};
    for (size_t i = 0; i < TW_COUNT(rows); i++) {
        tw_row(i, "");
        tw_path_box boxes[48];
        for (size_t t = 0; t < 48; t++)
            boxes[t] = (tw_path_box){rows[i].at, 1000, rows[i].at + 400, 1500};
        const tw_path_region face = {.boxes = boxes, .must = true, .weight = 1};
        tw_path_job job = half_by_hand(&hand);
        job.regions = &face;
        job.region_count = 1;
        tw_path_result r;
        tw_path_solve(arena, &job, &r);
        check_sound(&job, &r);
        assert_true(r.peak_speed <= 1.5);
        assert_int_equal(r.keys[r.key_count - 1].cx + 1215 >= rows[i].at + 400, rows[i].reached);
        assert_int_equal(r.key_count == 1, !rows[i].reached);
    }
}

/* path.h: shots with hand windows are not steadied, what lies between the windows neither. */
static void nothing_is_steadied(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    const tw_key left = {0, 2000, 2160, 2430, 0};
    const tw_path_hand hand = {0, 60, &left, 1};
    tw_path_offset shake[300];
    tw_path_job job;
    tw_path_result calm, shaken;
    motion_job(arena, 1, &job);
    job.hands = &hand;
    job.hand_count = 1;
    tw_path_solve(arena, &job, &calm);
    for (size_t t = 0; t < TW_COUNT(shake); t++)
        shake[t] = (tw_path_offset){t % 2 == 0 ? 20 : -20, t % 3 == 0 ? 10 : -5};
    job.shake = shake;
    tw_path_solve(arena, &job, &shaken);
    assert_int_equal(shaken.shaken, TW_SHAKEN_HAND);
    assert_int_equal(shaken.key_count, calm.key_count);
    for (size_t i = 0; i < calm.key_count; i++)
        tw_assert_near(shaken.keys[i].cx, calm.keys[i].cx, 0);
}

TW_SUITE(hand)
{
    const struct CMUnitTest tests[] = {
        TW_TEST(hand_windows),    TW_TEST(corner_stays),           TW_TEST(corner_gives_way),
        TW_TEST(no_further_past), TW_TEST(stays_where_nothing_is), TW_TEST(comes_to_rest),
        TW_TEST(waits_between),   TW_TEST(leads_within_limits),    TW_TEST(nothing_is_steadied)};
    return tw_run("path/hand", tests);
}
