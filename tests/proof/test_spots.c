/* SPDX-License-Identifier: Apache-2.0 */
#include "support/support.h"

#include "proof/proof_internal.h"
#include "timeline/hand.h"

typedef struct spots {
    twi_spot at[40];
    size_t len;
} spots;

static void keep(void *context, const twi_spot *spot)
{
    spots *s = context;
    s->at[s->len++] = *spot;
}

static tw_item nest_of(tw_track *tracks, size_t count, int64_t record, int64_t frames)
{
    tw_item nest = tw_timeline_item(TW_ITEM_NEST);
    nest.record = hand_frames(record, frames);
    nest.tracks = tracks;
    nest.track_count = count;
    return nest;
}

/* A nest at 50..70 into which 4 frames before and 6 after are mixed shows frames 10.. of a clip of 15 frames, one of 20
 * and a third: they would begin at 40, 55 and 75. The second track in it is switched off. */
static void in_a_trimmed_nest(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_item inner[] = {hand_clip("B001", -10, 0, 15), hand_clip("B002", 5, 0, 20), hand_clip("B003", 25, 0, 9)};
    tw_item title = hand_clip("T001", 0, 0, 20);
    tw_track in[] = {hand_track(TW_TRACK_VIDEO, inner, 3), hand_track(TW_TRACK_VIDEO, &title, 1)};
    in[1].enabled = false;
    tw_item items[] = {hand_clip("A001", 0, 0, 50), hand_transition(50, 4, 6), nest_of(in, 2, 50, 20),
                       hand_transition(70, 4, 6), hand_clip("A002", 70, 0, 10)};
    tw_track tracks[] = {hand_track(TW_TRACK_AUDIO, NULL, 0), hand_track(TW_TRACK_VIDEO, items, 5)};
    static const struct {
        const char *what;
        size_t nest;
        bool on;
        int64_t place, begins, ends, seen, last;
    } expected[] = {
        {"the clip before", SIZE_MAX, true, 0, 0, 50, 0, 56},  {"the nest", SIZE_MAX, true, 50, 50, 70, 46, 76},
        {"cut at its head", 0, true, 40, 50, 55, 46, 55},      {"cut at its tail", 0, true, 55, 55, 70, 55, 75},
        {"in the mix only", 0, true, 75, 75, 70, 75, 76},      {"switched off", 0, false, 50, 50, 70, 50, 70},
        {"the clip after", SIZE_MAX, true, 70, 70, 80, 66, 80}};
    spots s = {.len = 0};
    twi_proof_spots(hand_timeline(arena, tracks, 2), keep, &s);
    assert_int_equal(s.len, TW_COUNT(expected));
    for (size_t i = 0; i < s.len; i++) {
        tw_row(i, expected[i].what);
        assert_int_equal(s.at[i].video, 0);
        assert_int_equal(s.at[i].nest, expected[i].nest);
        assert_int_equal(s.at[i].on, expected[i].on);
        assert_false(s.at[i].between);
        assert_int_equal(s.at[i].place, expected[i].place);
        assert_int_equal(s.at[i].begins, expected[i].begins);
        assert_int_equal(s.at[i].ends, expected[i].ends);
        assert_int_equal(s.at[i].seen, expected[i].seen);
        assert_int_equal(s.at[i].last, expected[i].last);
    }
}

/* Clips of half a frame more: only that one of them does not begin with a frame, or end with one, is said. */
static void between_frames(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_item items[] = {hand_clip("A001", 0, 0, 10), hand_clip("A002", 10, 0, 10), hand_clip("A003", 20, 0, 10)};
    items[1].record.dur = tw_time_make(21, 48);
    items[2].record.start = tw_time_make(41, 48);
    tw_track track = hand_track(TW_TRACK_VIDEO, items, 3);
    spots s = {.len = 0};
    twi_proof_spots(hand_timeline(arena, &track, 1), keep, &s);
    assert_false(s.at[0].between);
    assert_true(s.at[1].between && s.at[2].between);
    assert_int_equal(s.at[2].place, 21); /* half up */
}

/* Nests in nests, cut anywhere: as the timeline's own count has it, which is another one. */
static void as_the_timeline_counts(void **state)
{
    tw_rng rng = {258};
    size_t seen = 0;
    for (int round = 0; round < 300; round++) {
        tw_arena *arena = tw_arena_like(tw_test_arena(state));
        tw_item items[3][4];
        tw_track tracks[3];
        for (int level = 0; level < 3; level++) {
            int64_t at = level > 0 ? tw_rng_between(&rng, -30, 5) : 0;
            for (int i = 0; i < 4; i++) {
                int64_t frames = tw_rng_between(&rng, 1, 30);
                items[level][i] =
                    level > 0 && i == 2 ? nest_of(&tracks[level - 1], 1, at, frames) : hand_clip("A001", at, 0, frames);
                at += frames;
            }
            tracks[level] = hand_track(TW_TRACK_VIDEO, items[level], 4);
        }
        const tw_timeline *t = hand_timeline(arena, &tracks[2], 1);
        const tw_stand *stands = tw_timeline_stands(arena, t);
        spots s = {.len = 0};
        twi_proof_spots(t, keep, &s);
        for (size_t i = 0; i < s.len; i++) {
            if (s.at[i].item->kind == TW_ITEM_NEST)
                continue;
            const tw_stand *stand = &stands[s.at[i].item->index];
            bool shown = stand->seen.first < stand->seen.end;
            assert_int_equal(s.at[i].begins < s.at[i].ends, shown);
            if (!shown)
                continue;
            assert_int_equal(s.at[i].begins, stand->seen.first);
            assert_int_equal(s.at[i].ends, stand->seen.end);
            assert_int_equal(s.at[i].place, tw_stand_record(stand, 0));
            seen++;
        }
        tw_arena_free(&arena);
    }
    assert_true(seen > 1000);
}

TW_SUITE(spots)
{
    const struct CMUnitTest tests[] = {TW_TEST(in_a_trimmed_nest), TW_TEST(between_frames),
                                       TW_TEST(as_the_timeline_counts)};
    return tw_run("proof/spots", tests);
}
