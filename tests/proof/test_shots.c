/* SPDX-License-Identifier: Apache-2.0 */
#include "support/support.h"

#include "proof/scene.h"

#include <tallwide/derive.h>

static void shots_and_joins(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_item items[] = {hand_clip("A001", 0, 0, 50),    hand_clip("A001", 50, 50, 30),
                       hand_clip("A001", 80, 90, 10),  hand_gap(90, 10),
                       hand_clip("A002", 100, 0, 20),  hand_transition(120, 4, 6),
                       hand_clip("A002", 120, 20, 20), hand_clip("A003", 140, 0, 0)};
    tw_track track = hand_track(TW_TRACK_VIDEO, items, 8);
    scene s;
    scene_make(&s, hand_timeline(arena, &track, 1));
    twi_sight sight;
    twi_proof_look(arena, &s.plan, s.master, &sight);
    /* The clip without a length is none; 50 goes on at 50, 80 does not at 90; a transition is seen. */
    static const struct {
        int64_t first, frames;
        bool joined;
    } expected[] = {{0, 50, false}, {0, 30, true}, {0, 10, false}, {0, 26, false}, {-4, 24, false}};
    assert_int_equal(sight.len, 5);
    for (size_t i = 0; i < 5; i++) {
        tw_row(i, "shot");
        assert_int_equal(sight.at[i].first, expected[i].first);
        assert_int_equal(sight.at[i].frames, expected[i].frames);
        assert_int_equal(sight.at[i].joined, expected[i].joined);
    }
    assert_null(sight.at[5].clip);
}

static void what_is_expected(void **state)
{
    (void)state;
    tw_item clip = hand_clip("A001", 0, 0, 10), black = hand_clip("BL", 0, 0, 10);
    tw_source camera = {.size = {5760, 4320}}, unknown = {.size = {0, 0}};
    tw_source graphic = {.size = {1920, 1080}, .kind = TW_SOURCE_GRAPHIC},
              fit = {.size = {1920, 1080}, .frame = TW_FRAME_FIT};
    const struct {
        const char *name;
        const tw_item *clip;
        const tw_source *source;
        tw_frame_mode delivery;
        twi_expected expected;
    } rows[] = {
        {"camera", &clip, &camera, TW_FRAME_FILL, TWI_EXPECT_FILLED},
        {"camera, delivery fits", &clip, &camera, TW_FRAME_FIT, TWI_EXPECT_WHOLE},
        {"graphic", &clip, &graphic, TW_FRAME_FILL, TWI_EXPECT_WHOLE},
        {"fitted source", &clip, &fit, TW_FRAME_FILL, TWI_EXPECT_WHOLE},
        {"no size", &clip, &unknown, TW_FRAME_FILL, TWI_EXPECT_UNKNOWN},
        {"no source", &clip, NULL, TW_FRAME_FILL, TWI_EXPECT_UNKNOWN},
        {"black", &black, NULL, TW_FRAME_FILL, TWI_EXPECT_NOTHING},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_row(i, rows[i].name);
        const twi_seen shot = {.clip = rows[i].clip, .source = rows[i].source};
        const tw_delivery d = {.frame = rows[i].delivery};
        assert_int_equal(twi_proof_expected(&shot, &d), rows[i].expected);
    }
}

/* The sweep against trying every note on every shot, over seeded edits and notes with patterns and open ends. */
static void notes_by_brute_force(void **state)
{
    static const char *const reels[] = {"A001", "a001", "A002", "B001", "A*", "?001", "C9"};
    tw_rng rng = {1926};
    for (int round = 0; round < 60; round++) {
        tw_arena *arena = tw_arena_like(tw_test_arena(state));
        tw_item *items = TW_NEW_N(arena, tw_item, 30);
        tw_note *notes = TW_NEW_N(arena, tw_note, 30);
        for (int64_t i = 0; i < 30; i++) {
            items[i] = hand_clip(reels[tw_rng_between(&rng, 0, 3)], i * 10, tw_rng_between(&rng, 0, 300), 10);
            int64_t in = tw_rng_between(&rng, -20, 300);
            notes[i] = hand_note("n", reels[tw_rng_between(&rng, 0, 6)], in, in + tw_rng_between(&rng, 1, 100));
            notes[i].has_in = tw_rng_between(&rng, 0, 5) > 0;
            notes[i].has_out = tw_rng_between(&rng, 0, 5) > 0;
        }
        tw_track track = hand_track(TW_TRACK_VIDEO, items, 30);
        scene s;
        scene_make(&s, hand_timeline(arena, &track, 1));
        s.plan.notes = notes;
        s.plan.note_count = 30;
        twi_sight sight;
        twi_proof_look(arena, &s.plan, s.master, &sight);
        for (size_t c = 0; c < 30; c++) {
            size_t found = 0;
            int64_t from = tw_time_round(items[c].source.start, HAND_RATE, NULL);
            for (size_t n = 0; n < 30; n++) {
                bool meets = tw_str_glob(notes[n].reel, items[c].reel) &&
                             (!notes[n].has_in || notes[n].in <= from + 9) &&
                             (!notes[n].has_out || notes[n].out > from);
                if (meets) {
                    assert_true(found < sight.at[c].note_count);
                    assert_ptr_equal(sight.at[c].notes[found++], &notes[n]);
                    assert_true(sight.note_used[n]);
                }
            }
            assert_int_equal(found, sight.at[c].note_count);
        }
        tw_arena_free(&arena);
    }
}

/* Past two million frames, or 32 million boxes, all of a through-edit is left out, and nothing beside it. */
static void endless(void **state)
{
    enum { HALF = 1036800, MOST = 31 }; /* half a day; x 31 are 32.1 million */
    tw_arena *arena = tw_test_arena(state);
    tw_item items[] = {hand_clip("A001", 0, 0, HALF), hand_clip("A001", HALF, HALF, HALF),
                       hand_clip("A002", (int64_t)2 * HALF, 0, HALF), hand_clip("A003", (int64_t)3 * HALF, 0, HALF)};
    tw_track track = hand_track(TW_TRACK_VIDEO, items, 4);
    tw_region regions[MOST];
    for (size_t i = 0; i < MOST; i++)
        regions[i] = hand_region(arena, "hands", 0.4, 0.05);
    tw_note note = hand_note("n001", "A003", 0, 24);
    note.regions = regions;
    note.region_count = MOST;
    scene s;
    scene_make(&s, hand_timeline(arena, &track, 1));
    s.plan.notes = &note;
    s.plan.note_count = 1;
    twi_sight sight;
    twi_proof_look(arena, &s.plan, s.master, &sight);
    static const bool expected[] = {true, true, false, true};
    for (size_t i = 0; i < 4; i++) {
        tw_row(i, "shot");
        assert_int_equal(sight.at[i].endless, expected[i]);
        assert_int_equal(twi_proof_expected(&sight.at[i], &s.tall),
                         expected[i] ? TWI_EXPECT_UNKNOWN : TWI_EXPECT_FILLED);
    }
}

TW_SUITE(shots)
{
    const struct CMUnitTest tests[] = {TW_TEST(shots_and_joins), TW_TEST(what_is_expected),
                                       TW_TEST(notes_by_brute_force), TW_TEST(endless)};
    return tw_run("proof/shots", tests);
}
