/* SPDX-License-Identifier: Apache-2.0 */
#include <tallwide/follow.h>

#include <math.h>

#include "subject/film.h"

#define FRAMES 48

/* A film in memory, with a count of what was asked for. */
typedef struct shelf {
    uint8_t *px;
    int64_t count, at, opened, given;
    int64_t fails_at; /* that picture cannot be had; < 0: all can */
    film_truth truth[FRAMES];
} shelf;

static tw_status open_at(void *context, int64_t first, int64_t count)
{
    shelf *s = context;
    (void)count;
    s->at = first;
    s->opened++;
    return TW_OK;
}

static tw_status give(void *context, const uint8_t **luma)
{
    shelf *s = context;
    if (s->at == s->fails_at)
        return TW_ERR_IO;
    *luma = s->at < s->count ? s->px + (size_t)s->at * FILM_W * FILM_H : NULL;
    s->at++;
    s->given++;
    return TW_OK;
}

/* Frames of one film, and from `cut` on of another. */
static shelf *shoot(tw_arena *arena, const film_kind *kind, int frames, int cut)
{
    shelf *s = TW_NEW(arena, shelf);
    film *a = film_new(arena, kind, 1), *b = film_new(arena, kind, 77);
    s->px = TW_NEW_N(arena, uint8_t, (size_t)frames * FILM_W * FILM_H);
    s->count = frames;
    s->fails_at = -1;
    for (int t = 0; t < frames; t++)
        film_draw(t < cut ? a : b, t, s->px + (size_t)t * FILM_W * FILM_H, &s->truth[t]);
    return s;
}

static tw_follow_key key_of(const shelf *s, int64_t frame)
{
    const film_truth *t = &s->truth[frame];
    return (tw_follow_key){frame, {t->left, t->top, t->width, t->height, 1}};
}

static tw_status run_within(tw_arena *arena, size_t held, shelf *s, int64_t count, tw_follow_subject *subjects,
                            size_t subject_count, tw_followed *out)
{
    const tw_follow_pictures pictures = {s, FILM_W, FILM_H, open_at, give};
    const tw_follow_ask ask = {.pictures = &pictures,
                               .count = count,
                               .bridge = 25,
                               .held = held,
                               .subjects = subjects,
                               .subject_count = subject_count};
    return tw_follow_run(arena, &ask, out);
}

static tw_status run(tw_arena *arena, shelf *s, int64_t count, tw_follow_subject *subjects, size_t subject_count,
                     tw_followed *out)
{
    return run_within(arena, 0, s, count, subjects, subject_count, out);
}

static void one_key_reaches_both_ends(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    int frames = tw_test_short() ? 5 : FRAMES;
    shelf *s = shoot(arena, &film_kinds[8], frames, frames); /* shake */
    const tw_follow_key key = key_of(s, frames / 2);
    tw_follow_subject subject = {.keys = &key, .key_count = 1};
    tw_followed out;
    assert_int_equal(run(arena, s, frames, &subject, 1, &out), TW_OK);
    assert_int_equal(out.count, frames);
    assert_int_equal(s->opened, 1); /* what fits is asked for once */
    for (int t = 0; t < frames; t++) {
        assert_true(film_overlap(&s->truth[t], &subject.spots[t]) > 0.8);
        assert_false(out.cuts[t]);
        if (t > 0)
            tw_assert_near(hypot(out.cameras[t].dx - s->truth[t].camera.dx, out.cameras[t].dy - s->truth[t].camera.dy),
                           0, 0.15);
    }
    assert_memory_equal(&subject.spots[frames / 2], &key.box, sizeof key.box);
    assert_int_equal(subject.seam_count, 0);
}

static void a_cut_ends_it(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    shelf *s = shoot(arena, &film_kinds[0], 12, 8);
    const tw_follow_key keys[] = {key_of(s, 2), key_of(s, 10)};
    tw_follow_subject subjects[] = {{.keys = keys, .key_count = 1}, {.keys = keys + 1, .key_count = 1}};
    tw_followed out;
    assert_int_equal(run(arena, s, 12, subjects, 2, &out), TW_OK);
    for (int t = 0; t < 12; t++) {
        assert_int_equal(out.cuts[t], t == 8);
        assert_int_equal(subjects[0].spots[t].width > 0, t < 8);
        assert_int_equal(subjects[1].spots[t].width > 0, t >= 8);
    }
}

/* The same thing under both keys: no seam. Another thing under the second: told. */
static void ways_that_lie_apart_are_told(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    shelf *s = shoot(arena, &film_kinds[0], 16, 16);
    tw_follow_key keys[] = {key_of(s, 0), key_of(s, 15)};
    tw_follow_subject subject = {.keys = keys, .key_count = 2};
    tw_followed out;
    assert_int_equal(run(arena, s, 16, &subject, 1, &out), TW_OK);
    assert_int_equal(subject.seam_count, 0);
    keys[1].box.left += keys[1].box.left > FILM_W / 2.0 ? -150 : 150; /* the wall beside it */
    assert_int_equal(run(arena, s, 16, &subject, 1, &out), TW_OK);
    assert_int_equal(subject.seam_count, 1);
    assert_int_equal(subject.seams[0].first, 1);
    assert_int_equal(subject.seams[0].frames, 14);
}

/* Behind a post for less than a second: bridged there, with no sureness; no further than asked for. */
static void a_short_absence_is_bridged(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    const film_kind kind = {.name = "hidden", .grow = 1, .post = true, .speed = 0.9};
    if (tw_test_short())
        return;
    shelf *s = TW_NEW(arena, shelf);
    film *a = film_new(arena, &kind, 1);
    s->px = TW_NEW_N(arena, uint8_t, (size_t)FRAMES * FILM_W * FILM_H);
    s->count = FRAMES;
    s->fails_at = -1;
    for (int t = 0; t < FRAMES; t++) /* from frame 36 on: that is in the middle of the film */
        film_draw(a, t + 36, s->px + (size_t)t * FILM_W * FILM_H, &s->truth[t]);
    const tw_follow_key key = key_of(s, 0);
    tw_follow_subject subject = {.keys = &key, .key_count = 1};
    tw_followed out;
    assert_int_equal(run(arena, s, FRAMES, &subject, 1, &out), TW_OK);
    size_t bridged = 0;
    for (int t = 0; t < FRAMES; t++) {
        bool hidden = s->truth[t].shown < 0.1;
        bridged += subject.spots[t].width > 0 && !(subject.spots[t].sure > 0);
        assert_true(subject.spots[t].width > 0);
        assert_true(!hidden || !(subject.spots[t].sure > 0));
        assert_true(s->truth[t].shown < 0.6 || film_overlap(&s->truth[t], &subject.spots[t]) > 0.5);
    }
    assert_true(bridged > 0);
}

static void a_short_file_and_a_broken_one(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    shelf *s = shoot(arena, &film_kinds[0], 6, 6);
    const tw_follow_key keys[] = {key_of(s, 1), {20, {0, 0, 9, 9, 1}}};
    tw_follow_subject subject = {.keys = keys, .key_count = 2};
    tw_followed out = {.count = 99};
    assert_int_equal(run(arena, s, 30, &subject, 1, &out), TW_OK);
    assert_int_equal(out.count, 6);
    assert_true(subject.spots[5].sure > 0);
    s->fails_at = 4;
    out.count = 99;
    assert_int_equal(run(arena, s, 30, &subject, 1, &out), TW_ERR_IO);
    assert_int_equal(out.count, 99);
}

/* With room for ten pictures the way back comes in runs, and gives the same bits. */
static void little_room_changes_nothing(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    int frames = tw_test_short() ? 12 : 40;
    shelf *s = shoot(arena, &film_kinds[8], frames, frames);
    const tw_follow_key keys[] = {key_of(s, 5), key_of(s, frames - 3)};
    tw_follow_subject all = {.keys = keys, .key_count = 2}, runs = all;
    tw_followed out;
    assert_int_equal(run(arena, s, frames, &all, 1, &out), TW_OK);
    s->opened = 0;
    assert_int_equal(run_within(arena, (size_t)10 * FILM_W * FILM_H, s, frames, &runs, 1, &out), TW_OK);
    assert_int_equal(s->opened, tw_test_short() ? 2 : 5); /* once forth; of 37 frames back 7 are held, then 9 a run */
    assert_memory_equal(all.spots, runs.spots, sizeof *all.spots * (size_t)frames);
}

TW_SUITE(follow)
{
    const struct CMUnitTest tests[] = {
        TW_TEST(one_key_reaches_both_ends),     TW_TEST(a_cut_ends_it),
        TW_TEST(ways_that_lie_apart_are_told),  TW_TEST(a_short_absence_is_bridged),
        TW_TEST(a_short_file_and_a_broken_one), TW_TEST(little_room_changes_nothing),
    };
    return tw_run("follow/follow", tests);
}
