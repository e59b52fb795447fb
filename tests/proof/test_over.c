/* SPDX-License-Identifier: Apache-2.0 */
#include "support/support.h"

#include "proof/scene.h"

#define LIMIT 1080 /* width at scale 1 */

typedef struct shown {
    scene s;
    tw_item clips[2];
    tw_track track;
    twi_sight sight;
    twi_asked asked;
    tw_note note;
    tw_hand_key window;
} shown;

/* A take of 200 frames, in one clip or cut through at 50 for nothing; a note sets the window from frame `in` up to `out`. */
static void prepare(tw_arena *arena, shown *x, bool cut, int64_t in, int64_t out)
{
    x->clips[0] = hand_clip("A003", 0, 0, cut ? 50 : 200);
    x->clips[1] = hand_clip("A003", 50, 50, 150);
    x->track = hand_track(TW_TRACK_VIDEO, x->clips, cut ? 2 : 1);
    scene_make(&x->s, hand_timeline(arena, &x->track, 1));
    x->note = hand_note("n001", "A003", in, out);
    x->window = (tw_hand_key){.w = 900};
    x->note.window = &x->window;
    x->note.window_count = 1;
    x->s.plan.notes = &x->note;
    x->s.plan.note_count = 1;
    twi_proof_look(arena, &x->s.plan, x->s.master, &x->sight);
}

static int64_t excused(tw_arena *arena, shown *x, size_t shot, tw_key *keys, size_t count, int64_t shift,
                       int64_t *first)
{
    tw_framing framing = scene_framing(keys, count);
    twi_proof_asked(arena, x->s.master, &x->sight.at[shot], &x->s.tall, &x->asked);
    const twi_view view = {&x->s.in, &x->sight.at[shot], &x->asked, &framing, shift};
    *first = -1;
    return twi_proof_over_by_hand(&view, LIMIT, first);
}

/* By hand at 900 from frame 60 up to 100; rows say where the window is when. At 24 frames a second a lead may take 1.2 s
 * and two corners of 7 frames, and 2 more: 29 + 14 + 2 = 45 frames. */
static void leads(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    static const struct {
        const char *name;
        double w[5];
        int64_t at[5];
        size_t keys;
        int64_t excused, first;
    } rows[] = {
        /* 180 px in 29 frames: over on all but the last of them, 28 before and 28 after */
        {"led over on both sides", {1080, 900, 900, 1080}, {31, 60, 99, 128}, 4, 40 + 28 + 28, -1},
        {"a slow lead: 180 px in 60 frames", {1080, 900, 900, 1080}, {31, 60, 99, 159}, 4, 40 + 28, 100},
        {"never led back", {1080, 900, 900, 900}, {31, 60, 99, 199}, 4, 40 + 28, 100},
        {"never led to", {900, 900, 900, 1080}, {0, 60, 99, 128}, 4, 40 + 28, 0},
        {"narrower than by hand on the way", {1080, 900, 900, 880, 1080}, {31, 60, 99, 110, 128}, 5, 40 + 28, 100},
        {"over again further on", {900, 900, 1080, 1000, 1080}, {60, 99, 128, 150, 152}, 5, 40 + 28, 0},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        shown x;
        tw_key keys[5];
        int64_t first;
        prepare(arena, &x, false, 60, 100);
        for (size_t k = 0; k < rows[i].keys; k++)
            keys[k] = scene_key(rows[i].at[k], 1000, 0, rows[i].w[k]);
        tw_row(i, rows[i].name);
        assert_int_equal(excused(arena, &x, 0, keys, rows[i].keys, 0, &first), rows[i].excused);
        assert_int_equal(first, rows[i].first);
    }
}

/* Fewer than 12 frames before a shot ends are no room for another decision. */
static void too_short_to_lead(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    for (int64_t left = 11; left <= 12; left++) {
        shown x;
        int64_t first;
        tw_key key = scene_key(0, 1000, 0, 900);
        prepare(arena, &x, false, 0, 200 - left);
        assert_int_equal(excused(arena, &x, 0, &key, 1, 0, &first), left < 12 ? 200 : 188);
        assert_int_equal(first, left < 12 ? -1 : 188);
    }
}

/* A lead that goes on over a cut inside the same take: the window by hand is in the clip before. */
static void over_a_through_edit(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    shown x;
    int64_t first;
    tw_key keys[] = {scene_key(45, 1000, 0, 900), scene_key(74, 1000, 0, 1080)}; /* record frames */
    prepare(arena, &x, true, 0, 46);
    assert_int_equal(x.sight.len, 2);
    assert_true(x.sight.at[1].joined);
    assert_int_equal(excused(arena, &x, 0, keys, 2, 0, &first), 50);
    assert_int_equal(first, -1);
    for (size_t k = 0; k < 2; k++)
        keys[k].frame -= 50; /* as the second clip counts */
    assert_int_equal(excused(arena, &x, 1, keys, 2, 0, &first), 24);
    assert_int_equal(first, -1);
    x.note.window_count = 0;
    assert_int_equal(excused(arena, &x, 1, keys, 2, 0, &first), 0);
    assert_int_equal(first, 0);
}

TW_SUITE(over)
{
    const struct CMUnitTest tests[] = {TW_TEST(leads), TW_TEST(too_short_to_lead), TW_TEST(over_a_through_edit)};
    return tw_run("proof/over", tests);
}
