/* SPDX-License-Identifier: Apache-2.0 */
#include "support/support.h"

#include <string.h>

#include <tallwide/subject.h>

#include "subject/film.h"

#define PACE 3 /* frames from one that is looked at to the next */

/* The mean overlap of the first proposal for a film with the subject; 0 when there is none. */
static double first_on_film(tw_arena *arena, const film_kind *kind, uint64_t seed)
{
    film *made = film_new(arena, kind, seed);
    uint8_t *px = TW_NEW_N(arena, uint8_t, FILM_W * FILM_H);
    film_truth truth[FILM_FRAMES];
    tw_look *look = tw_look_new(arena, FILM_W, FILM_H, &(tw_look_ask){0});
    for (int t = 0; t < FILM_FRAMES; t += PACE) {
        film_draw(made, t, px, &truth[t / PACE]);
        tw_look_frame(look, &(tw_plane){px, FILM_W, FILM_H, FILM_W});
    }
    tw_proposal *list;
    if (tw_look_rank(arena, look, 24 / PACE, &list) == 0)
        return 0;
    double sum = 0;
    for (int64_t f = list[0].first; f <= list[0].last; f++)
        sum += film_overlap(&truth[f], &list[0].boxes[f - list[0].first]);
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

/* A cascade of one stage that sees a bright middle third, over a picture where nothing moves: it is proposed by that
 * name, from the first frame to the last. */
static void what_a_cascade_sees_is_proposed(void **state)
{
    static const tw_cascade_feature feature = {{{0, 0, 12, 8, -1}, {4, 0, 4, 8, 3}}, 2, false};
    static const tw_cascade_node node = {0, -1, 0, 1.9f};
    static const float leaves[] = {0, 1};
    static const tw_cascade_tree tree = {0, 0};
    static const tw_cascade_stage stage = {0, 1, 0.5f};
    static const tw_cascade bar = {12, 8, &stage, &tree, &node, leaves, &feature, 1, 1, 1, 2, 1};
    tw_arena *arena = tw_test_arena(state);
    uint8_t *px = TW_NEW_N(arena, uint8_t, FILM_W * FILM_H);
    tw_look *look = tw_look_new(arena, FILM_W, FILM_H, &(tw_look_ask){.body = &bar});
    for (int f = 0; f < 13; f++) {
        memset(px, 60, FILM_W * FILM_H);
        for (int y = 100; y < 148; y++)
            memset(px + y * FILM_W + 224, 200, 24);
        tw_look_frame(look, &(tw_plane){px, FILM_W, FILM_H, FILM_W});
    }
    tw_proposal *list;
    assert_true(tw_look_rank(arena, look, 10, &list) >= 1);
    assert_int_equal(list[0].reason, TW_REASON_BODY);
    assert_int_equal(list[0].first, 0);
    assert_int_equal(list[0].last, 12);
    assert_int_equal(list[0].looked[TW_REASON_BODY], 5); /* frames 0, 3, 6, 9, 12 */
    assert_int_equal(list[0].seen[TW_REASON_BODY], 5);
    assert_int_equal(list[0].seen[TW_REASON_MOVES], 0);
    const tw_spot *box = &list[0].boxes[6];
    assert_true(box->left < 226 && box->left + box->width > 246 && box->width < 110);
}

static void nothing_at_all(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_proposal *list;
    tw_look *look = tw_look_new(arena, 64, 64, &(tw_look_ask){0});
    assert_int_equal(tw_look_rank(arena, look, 1, &list), 0);
    look = tw_look_new(arena, 64, 64, &(tw_look_ask){0});
    uint8_t *px = TW_NEW_N(arena, uint8_t, 64 * 64);
    tw_look_frame(look, &(tw_plane){px, 64, 64, 64});
    assert_int_equal(tw_look_rank(arena, look, 1, &list), 0);
}

TW_SUITE(look)
{
    const struct CMUnitTest tests[] = {TW_TEST(the_subject_comes_first_on_film),
                                       TW_TEST(what_a_cascade_sees_is_proposed), TW_TEST(nothing_at_all)};
    return tw_run("subject/look", tests);
}
