/* SPDX-License-Identifier: Apache-2.0 */
#include "support/support.h"

#include "derive/derive_internal.h"
#include "derive/hand_plan.h"

/* Which notes meet a clip that shows source frames [100, 120) of reel A003. */
static void notes_by_reel_and_range(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_note notes[] = {
        hand_note("before", "A003", 0, 100),  hand_note("first", "A003", 0, 101),
        hand_note("last", "a003", 119, 200),  hand_note("after", "A003", 120, 200),
        hand_note("other", "A004", 0, 500),   hand_note("glob", "A0*", 90, 110),
        hand_note("long", "A003", 0, 100000), hand_note("inside", "A003", 105, 106),
    };
    notes[6].has_in = notes[6].has_out = false;
    tw_plan plan = {.notes = notes, .note_count = sizeof notes / sizeof notes[0]};
    tw_item clip = hand_clip("A003", 0, 100, 20);
    tw_track track = hand_track(TW_TRACK_VIDEO, &clip, 1);
    const tw_timeline *t = hand_timeline(arena, &track, 1);
    size_t count;
    const tw_note **found = twi_derive_notes(arena, twi_derive_index(arena, &plan), t, &clip, (tw_span){0, 20}, &count);
    tw_buf ids = {.arena = arena};
    for (size_t i = 0; i < count; i++)
        tw_buf_addf(&ids, "%.*s ", TW_ARG(found[i]->id));
    tw_assert_text(tw_buf_str(&ids), "first last glob long inside ");
}

/* "*" means also what has no name at all. */
static void notes_of_a_clip_without_a_name(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_note notes[] = {hand_note("any", "*", 0, 500), hand_note("one", "?", 0, 500),
                       hand_note("other", "A003", 0, 500)};
    tw_plan plan = {.notes = notes, .note_count = 3};
    tw_item clip = hand_clip("", 0, 100, 20);
    tw_track track = hand_track(TW_TRACK_VIDEO, &clip, 1);
    const tw_timeline *t = hand_timeline(arena, &track, 1);
    size_t count;
    const tw_note **found = twi_derive_notes(arena, twi_derive_index(arena, &plan), t, &clip, (tw_span){0, 20}, &count);
    assert_int_equal(count, 1);
    assert_ptr_equal(found[0], &notes[0]);
}

/* The index against trying every note, on random notes and clips. */
static void index_finds_what_trying_all_finds(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_rng rng = {2258};
    static const char *const reels[] = {"A001", "A002", "B001"};
    for (int round = 0; round < 200; round++) {
        tw_note notes[40];
        for (size_t i = 0; i < 40; i++) {
            int64_t in = tw_rng_between(&rng, 0, 300);
            notes[i] = hand_note("n", reels[tw_rng_between(&rng, 0, 2)], in, in + tw_rng_between(&rng, 1, 200));
        }
        tw_plan plan = {.notes = notes, .note_count = 40};
        int64_t source = tw_rng_between(&rng, 0, 400), frames = tw_rng_between(&rng, 1, 50);
        tw_item clip = hand_clip(reels[tw_rng_between(&rng, 0, 2)], 0, source, frames);
        tw_track track = hand_track(TW_TRACK_VIDEO, &clip, 1);
        const tw_timeline *t = hand_timeline(arena, &track, 1);
        size_t count, expected = 0;
        const tw_note **found =
            twi_derive_notes(arena, twi_derive_index(arena, &plan), t, &clip, (tw_span){0, frames}, &count);
        for (size_t i = 0; i < 40; i++) {
            bool meets = tw_str_eq(notes[i].reel, clip.reel) && notes[i].in < source + frames && notes[i].out > source;
            if (meets)
                assert_ptr_equal(found[expected < count ? expected : 0], &notes[i]);
            expected += meets;
        }
        assert_int_equal(count, expected);
    }
}

static void through_edits_are_one_path(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_source source = {.reel = TW_STR("*"), .size = {5760, 4320}, .squeeze = 1};
    tw_plan plan = {.sources = &source, .source_count = 1};
    tw_item items[] = {
        hand_clip("A001", 0, 100, 10), hand_clip("A001", 10, 110, 10), hand_clip("A001", 20, 120, 5), /* goes on */
        hand_clip("A001", 25, 130, 5),                                                                /* jump cut */
        hand_clip("A002", 30, 135, 5),                                                                /* other reel */
        hand_clip("A002", 35, 140, 5), hand_transition(40, 2, 2),      hand_clip("A002", 40, 145, 5), /* dissolve */
    };
    tw_track track = hand_track(TW_TRACK_VIDEO, items, sizeof items / sizeof items[0]);
    twi_shots shots = {.len = 0};
    twi_derive_shots(arena, &plan, hand_timeline(arena, &track, 1), &shots);
    static const size_t parts[] = {3, 0, 0, 1, 2, 0, 1};
    assert_int_equal(shots.len, 7);
    for (size_t i = 0; i < 7; i++) {
        tw_row(i, "parts");
        assert_int_equal(shots.at[i].parts, parts[i]);
    }
}

/* Frames 6..54 of the outer nest show at 100, frames 4..64 of the inner one at its 0: the inner clip that begins at its
 * frame -4 would begin at 100 - 6 - 4 = 90, and shows from 100 on; the next at 90 + 40 = 130. */
static void record_times_through_nests(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_plan plan = {.source_count = 0};
    tw_item clips[] = {hand_clip("B001", -4, 20, 40), hand_clip("B002", 36, 100, 40)};
    tw_track innermost = hand_track(TW_TRACK_VIDEO, clips, 2);
    tw_item inner = tw_timeline_item(TW_ITEM_NEST), outer = tw_timeline_item(TW_ITEM_NEST);
    inner.record = hand_frames(-6, 60);
    inner.tracks = &innermost;
    inner.track_count = 1;
    tw_track middle = hand_track(TW_TRACK_VIDEO, &inner, 1);
    outer.record = hand_frames(100, 48);
    outer.tracks = &middle;
    outer.track_count = 1;
    tw_item items[] = {hand_clip("A001", 0, 0, 100), outer};
    tw_track track = hand_track(TW_TRACK_VIDEO, items, 2);
    twi_shots shots = {.len = 0};
    twi_derive_shots(arena, &plan, hand_timeline(arena, &track, 1), &shots);
    static const int64_t expected[] = {0, 100, 130};
    assert_int_equal(shots.len, 3);
    for (size_t i = 0; i < 3; i++) {
        tw_row(i, "record in");
        assert_int_equal(shots.at[i].stand.seen.first, expected[i]);
    }
}

TW_SUITE(match)
{
    const struct CMUnitTest tests[] = {
        TW_TEST(notes_by_reel_and_range),           TW_TEST(notes_of_a_clip_without_a_name),
        TW_TEST(index_finds_what_trying_all_finds), TW_TEST(through_edits_are_one_path),
        TW_TEST(record_times_through_nests),
    };
    return tw_run("derive/match", tests);
}
