/* SPDX-License-Identifier: Apache-2.0 */
#include "support/support.h"

#include <tallwide/subject.h>

#include "subject/film.h"

#define W 640
#define H 360

static const tw_camera still = {0, 0, 0, 1, 0};

/* A walker who is missed in every fifth frame, and dirt that shows twice. */
static void what_stays_is_proposed(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_proposals *p = tw_proposals_new(arena, W, H);
    for (int f = 0; f < 50; f++) {
        tw_proposals_frame(p, &still);
        tw_spot found[2];
        size_t count = 0;
        if (f % 5 != 4)
            found[count++] = (tw_spot){10 + 6 * f, 100, 60, 120, 0.9};
        if (f == 20 || f == 21)
            found[count++] = (tw_spot){500, 20, 30, 30, 0.9};
        tw_proposals_add(p, TW_REASON_MOVES, found, count);
    }
    tw_proposal *list;
    assert_int_equal(tw_proposals_rank(arena, p, 10, &list), 1);
    assert_int_equal(list[0].first, 0);
    assert_int_equal(list[0].last, 48);
    assert_int_equal(list[0].reason, TW_REASON_MOVES);
    for (int f = 0; f <= 48; f++) {
        tw_assert_near(list[0].boxes[f].left, 10 + 6 * f, 1e-9); /* straight, so evening out changes nothing */
        tw_assert_near(list[0].boxes[f].width, 60, 1e-9);
        tw_assert_near(list[0].boxes[f].sure, f % 5 != 4, 0);
    }
    tw_assert_text(tw_proposal_words(arena, &list[0]), "moves on its own, seen in 40 of 50 frames");
    assert_int_equal(tw_proposals_rank(arena, p, 1, &list), 2); /* the dirt stayed two frames */
    assert_int_equal(list[1].last - list[1].first, 1);
}

/* The camera swings by 50 pixels a frame; what stands in the world is one thing, and of two that pass each other neither
 * takes the other's place. */
static void things_are_kept_apart(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_proposals *p = tw_proposals_new(arena, W, H);
    const tw_camera swing = {-50, 0, 0, 1, 1};
    for (int f = 0; f < 8; f++) {
        tw_proposals_frame(p, f > 0 ? &swing : &still);
        tw_proposals_add(p, TW_REASON_STANDS_OUT, &(tw_spot){500 - 50 * f, 100, 40, 40, 0.5}, 1);
    }
    tw_proposal *list;
    assert_int_equal(tw_proposals_rank(arena, p, 8, &list), 1);

    p = tw_proposals_new(arena, W, H);
    for (int f = 0; f < 40; f++) {
        tw_proposals_frame(p, &still);
        const tw_spot both[2] = {{100 + 8 * f, 100, 40, 80, 0.5}, {420 - 8 * f, 110, 40, 80, 0.5}};
        tw_proposals_add(p, TW_REASON_MOVES, both, 2);
    }
    assert_int_equal(tw_proposals_rank(arena, p, 40, &list), 2);
    for (int i = 0; i < 2; i++)
        tw_assert_near(list[i].boxes[39].left - list[i].boxes[0].left, list[i].boxes[0].left < 200 ? 312 : -312, 1e-9);
}

/* Faces looked for in every fourth frame only count by the frames looked at, and come before what merely stands out. */
static void ranked_by_reason(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_proposals *p = tw_proposals_new(arena, W, H);
    for (int f = 0; f < 40; f++) {
        tw_proposals_frame(p, &still);
        const tw_spot face = {100, 80, 60, 60, 1}, sign = {400, 200, 80, 80, 1};
        if (f % 4 == 0)
            tw_proposals_add(p, TW_REASON_FACE, &face, 1);
        tw_proposals_add(p, TW_REASON_STANDS_OUT, &sign, 1);
        if (f % 2 == 0)
            tw_proposals_add(p, TW_REASON_MOVES, &face, 1);
    }
    tw_proposal *list;
    assert_int_equal(tw_proposals_rank(arena, p, 10, &list), 2);
    tw_assert_text(tw_proposal_words(arena, &list[0]), "face, seen in 10 of 10 frames; moves on its own");
    tw_assert_text(tw_proposal_words(arena, &list[1]), "stands out, seen in 40 of 40 frames");
    /* seen for both whenever looked for; 3600 pixels of the 2 % of the picture, 4608, from which on size is no matter */
    tw_assert_near(list[0].score, (1 - 0.1 * 0.2) * (0.5 + 0.5 * 3600 / 4608), 1e-9);
    assert_true(list[0].score > list[1].score);
}

static void nothing_found(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_proposals *p = tw_proposals_new(arena, W, H);
    tw_proposal *list;
    assert_int_equal(tw_proposals_rank(arena, p, 1, &list), 0);
    tw_proposals_frame(p, &still);
    tw_proposals_add(p, TW_REASON_BODY, NULL, 0);
    assert_int_equal(tw_proposals_rank(arena, p, 1, &list), 0);
}

#define PACE 3 /* frames from one that is looked at to the next */

/* The mean overlap of the first proposal for a film with the subject; 0 when there is none. */
static double first_on_film(tw_arena *arena, const film_kind *kind, uint64_t seed)
{
    film *made = film_new(arena, kind, seed);
    film_truth truth[FILM_FRAMES];
    uint8_t *px[3];
    tw_pyramid frame[3];
    for (int i = 0; i < 3; i++) {
        px[i] = TW_NEW_N(arena, uint8_t, FILM_W * FILM_H);
        tw_pyramid_init(arena, FILM_W, FILM_H, &frame[i]);
    }
    tw_moving *moving = tw_moving_new(arena, &frame[0]);
    tw_proposals *p = tw_proposals_new(arena, FILM_W, FILM_H);
    tw_camera camera[2] = {still, still};
    for (int t = 0, n = 0; t < FILM_FRAMES; t += PACE, n++) {
        tw_pyramid *before = &frame[(n + 1) % 3], *now = &frame[(n + 2) % 3], *after = &frame[n % 3];
        film_draw(made, t, px[n % 3], &truth[n]);
        tw_pyramid_fill(after, &(tw_plane){px[n % 3], FILM_W, FILM_H, FILM_W});
        camera[0] = camera[1];
        if (n > 0)
            camera[1] = tw_camera_between(now, after, NULL, 0);
        if (n < 2)
            continue;
        tw_spot spot[8];
        const tw_moving_frames three = {before, now, after, camera[0], camera[1]};
        const size_t count = tw_moving_areas(moving, &three, 8, spot);
        tw_proposals_frame(p, n == 2 ? &still : &camera[0]);
        tw_proposals_add(p, TW_REASON_MOVES, spot, count);
    }
    tw_proposal *list;
    if (tw_proposals_rank(arena, p, 24 / PACE, &list) == 0)
        return 0;
    double sum = 0;
    for (int64_t f = list[0].first; f <= list[0].last; f++)
        sum += film_overlap(&truth[f + 1], &list[0].boxes[f - list[0].first]);
    return sum / (double)(list[0].last - list[0].first + 1);
}

/* Over all kinds of film the subject is what is proposed first in 9 of 10. Overlap 0.3: a box 1.8 times as wide and as
 * high as the subject, about its middle, has 1 / 1.8^2 = 0.31. */
static void the_subject_comes_first_on_film(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    const uint64_t seeds = tw_test_short() ? 1 : 2;
    int films = 0, right = 0;
    for (size_t kind = 0; kind < film_kind_count; kind++) {
        for (uint64_t seed = 1; seed <= seeds; seed++, films++) {
            tw_row(kind, film_kinds[kind].name);
            right += first_on_film(arena, &film_kinds[kind], seed * 77) > 0.3;
        }
    }
    if (right * 10 < films * 9)
        fail_msg("%d of %d", right, films);
}

TW_SUITE(propose)
{
    const struct CMUnitTest tests[] = {TW_TEST(what_stays_is_proposed), TW_TEST(things_are_kept_apart),
                                       TW_TEST(ranked_by_reason), TW_TEST(nothing_found),
                                       TW_TEST(the_subject_comes_first_on_film)};
    return tw_run("subject/propose", tests);
}
