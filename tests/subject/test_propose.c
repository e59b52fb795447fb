/* SPDX-License-Identifier: Apache-2.0 */
#include "support/support.h"

#include "subject/subject_internal.h"

#define W 640
#define H 360

static const tw_camera still = {0, 0, 0, 1, 0};

/* A walker who is missed in every fifth frame, and dirt that shows twice. */
static void what_stays_is_proposed(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    twi_proposals *p = twi_proposals_new(arena, W, H);
    for (int f = 0; f < 50; f++) {
        twi_proposals_frame(p, &still);
        tw_spot found[2];
        size_t count = 0;
        if (f % 5 != 4)
            found[count++] = (tw_spot){10 + 6 * f, 100, 60, 120, 0.9};
        if (f == 20 || f == 21)
            found[count++] = (tw_spot){500, 20, 30, 30, 0.9};
        twi_proposals_add(p, TW_REASON_MOVES, found, count);
    }
    tw_proposal *list;
    assert_int_equal(twi_proposals_rank(arena, p, 10, &list), 1);
    assert_int_equal(list[0].first, 0);
    assert_int_equal(list[0].last, 48);
    assert_int_equal(list[0].reason, TW_REASON_MOVES);
    for (int f = 0; f <= 48; f++) {
        tw_assert_near(list[0].boxes[f].left, 10 + 6 * f, 1e-9); /* straight, so evening out changes nothing */
        tw_assert_near(list[0].boxes[f].width, 60, 1e-9);
        tw_assert_near(list[0].boxes[f].sure, f % 5 != 4, 0);
    }
    tw_assert_text(tw_proposal_words(arena, &list[0]), "moves on its own, seen in 40 of 50 frames");
    assert_int_equal(twi_proposals_rank(arena, p, 1, &list), 2); /* the dirt stayed two frames */
    assert_int_equal(list[1].last - list[1].first, 1);
}

/* The camera swings by 50 pixels a frame; what stands in the world is one thing, and of two that pass each other neither
 * takes the other's place. */
static void things_are_kept_apart(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    twi_proposals *p = twi_proposals_new(arena, W, H);
    const tw_camera swing = {-50, 0, 0, 1, 1};
    for (int f = 0; f < 8; f++) {
        twi_proposals_frame(p, f > 0 ? &swing : &still);
        twi_proposals_add(p, TW_REASON_STANDS_OUT, &(tw_spot){500 - 50 * f, 100, 40, 40, 0.5}, 1);
    }
    tw_proposal *list;
    assert_int_equal(twi_proposals_rank(arena, p, 8, &list), 1);

    p = twi_proposals_new(arena, W, H);
    for (int f = 0; f < 40; f++) {
        twi_proposals_frame(p, &still);
        const tw_spot both[2] = {{100 + 8 * f, 100, 40, 80, 0.5}, {420 - 8 * f, 110, 40, 80, 0.5}};
        twi_proposals_add(p, TW_REASON_MOVES, both, 2);
    }
    assert_int_equal(twi_proposals_rank(arena, p, 40, &list), 2);
    for (int i = 0; i < 2; i++)
        tw_assert_near(list[i].boxes[39].left - list[i].boxes[0].left, list[i].boxes[0].left < 200 ? 312 : -312, 1e-9);
}

/* Faces looked for in every fourth frame only count by the frames looked at, and come before what counts less. */
static void ranked_by_reason(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    twi_proposals *p = twi_proposals_new(arena, W, H);
    for (int f = 0; f < 40; f++) {
        twi_proposals_frame(p, &still);
        const tw_spot face = {100, 80, 60, 60, 1}, coat = {400, 200, 80, 80, 1};
        if (f % 4 == 0) {
            twi_proposals_add(p, TW_REASON_FACE, &face, 1);
            twi_proposals_add(p, TW_REASON_BODY, &coat, 1);
        }
        twi_proposals_add(p, TW_REASON_STANDS_OUT, &coat, 1);
        if (f % 2 == 0)
            twi_proposals_add(p, TW_REASON_MOVES, &face, 1);
    }
    tw_proposal *list;
    assert_int_equal(twi_proposals_rank(arena, p, 10, &list), 2);
    tw_assert_text(tw_proposal_words(arena, &list[0]), "face, seen in 10 of 10 frames; moves on its own");
    tw_assert_text(tw_proposal_words(arena, &list[1]), "upper body, seen in 10 of 10 frames; stands out");
    /* seen for both whenever looked for; 3600 pixels of the 2 % of the picture, 4608, from which on size is no matter */
    tw_assert_near(list[0].score, (1 - 0.1 * 0.2) * (0.5 + 0.5 * 3600 / 4608), 1e-9);
    assert_true(list[0].score > list[1].score);
}

static void what_stands_out_gives_way(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    for (int moving = 0; moving <= 1; moving++) {
        twi_proposals *p = twi_proposals_new(arena, W, H);
        for (int f = 0; f < 20; f++) {
            twi_proposals_frame(p, &still);
            twi_proposals_add(p, TW_REASON_STANDS_OUT, &(tw_spot){400, 200, 80, 80, 1}, 1);
            if (moving && f < 11)
                twi_proposals_add(p, TW_REASON_MOVES, &(tw_spot){10 + 5 * f, 20, 30, 50, 1}, 1);
        }
        tw_proposal *list;
        assert_int_equal(twi_proposals_rank(arena, p, 10, &list), 1);
        assert_int_equal(list[0].reason, moving ? TW_REASON_MOVES : TW_REASON_STANDS_OUT);
    }
}

static void nothing_found(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    twi_proposals *p = twi_proposals_new(arena, W, H);
    tw_proposal *list;
    assert_int_equal(twi_proposals_rank(arena, p, 1, &list), 0);
    twi_proposals_frame(p, &still);
    twi_proposals_add(p, TW_REASON_BODY, NULL, 0);
    assert_int_equal(twi_proposals_rank(arena, p, 1, &list), 0);
}

TW_SUITE(propose)
{
    const struct CMUnitTest tests[] = {TW_TEST(what_stays_is_proposed), TW_TEST(things_are_kept_apart),
                                       TW_TEST(ranked_by_reason), TW_TEST(what_stands_out_gives_way),
                                       TW_TEST(nothing_found)};
    return tw_run("subject/propose", tests);
}
