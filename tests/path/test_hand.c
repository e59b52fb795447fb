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

TW_SUITE(hand)
{
    const struct CMUnitTest tests[] = {TW_TEST(hand_windows), TW_TEST(corner_stays), TW_TEST(corner_gives_way),
                                       TW_TEST(no_further_past)};
    return tw_run("path/hand", tests);
}
