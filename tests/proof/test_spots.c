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
        int64_t place, begins, ends, seen, last, first, frames;
    } expected[] = {{"the clip before", SIZE_MAX, true, 0, 0, 50, 0, 56, 0, 56},
                    {"the nest", SIZE_MAX, true, 50, 50, 70, 46, 76, -4, 30},
                    {"cut at its head", 0, true, 40, 50, 55, 46, 55, 6, 9},
                    {"cut at its tail", 0, true, 55, 55, 70, 55, 75, 0, 20},
                    {"in the mix only", 0, true, 75, 75, 70, 75, 76, 0, 1},
                    {"switched off", 0, false, 50, 50, 70, 50, 70, 0, 20},
                    {"the clip after", SIZE_MAX, true, 70, 70, 80, 66, 80, -4, 14}};
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
        assert_int_equal(s.at[i].first, expected[i].first);
        assert_int_equal(s.at[i].frames, expected[i].frames);
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

/* A row of clips, some of no length, with a nest among them and mixes between some. */
static size_t random_row(tw_rng *rng, tw_item *items, tw_track *inner, int64_t at)
{
    static const double speeds[] = {1, 1, 1, 2, 0.5, 3, 1.5, -1, -2, 0};
    size_t count = 0;
    for (int i = 0; i < 4; i++) {
        int64_t frames = tw_rng_between(rng, -5, 30);
        frames = frames < 0 ? 0 : frames;
        if (i > 0 && tw_rng_between(rng, 0, 2) == 0)
            items[count++] = hand_transition(at, tw_rng_between(rng, 0, 6), tw_rng_between(rng, 0, 6));
        items[count] = hand_clip("A001", at, 0, frames);
        if (inner != NULL && i == 2) {
            items[count] = nest_of(inner, 1, at, frames);
            items[count].speed = speeds[tw_rng_between(rng, 0, 9)];
        }
        count++;
        at += frames;
    }
    return count;
}

/* Nests in nests, cut anywhere, at any speed: as the timeline's own count has it, which is another one. */
static void as_the_timeline_counts(void **state)
{
    tw_rng rng = {258};
    size_t seen = 0, shots = 0;
    for (int round = 0; round < 1000; round++) {
        tw_arena *arena = tw_arena_like(tw_test_arena(state));
        tw_item items[3][8];
        tw_track tracks[3];
        for (int level = 0; level < 3; level++) {
            int64_t at = level < 2 ? tw_rng_between(&rng, -30, 5) : 0;
            size_t count = random_row(&rng, items[level], level > 0 ? &tracks[level - 1] : NULL, at);
            tracks[level] = hand_track(TW_TRACK_VIDEO, items[level], count);
        }
        const tw_timeline *t = hand_timeline(arena, &tracks[2], 1);
        const tw_stand *stands = tw_timeline_stands(arena, t);
        spots s = {.len = 0};
        twi_proof_spots(t, keep, &s);
        for (size_t i = 0; i < t->clip_count; i++)
            shots += stands[i].shown.first < stands[i].shown.end;
        for (size_t i = 0; i < s.len; i++) {
            if (s.at[i].item->kind == TW_ITEM_NEST)
                continue;
            const tw_stand *stand = &stands[s.at[i].item->index];
            bool as_cut = stand->seen.first < stand->seen.end;
            shots--;
            assert_int_equal(s.at[i].first, stand->shown.first);
            assert_int_equal(s.at[i].frames, stand->shown.end - stand->shown.first);
            assert_int_equal(s.at[i].begins < s.at[i].ends, as_cut);
            if (!as_cut)
                continue;
            assert_int_equal(s.at[i].begins, stand->seen.first);
            assert_int_equal(s.at[i].ends, stand->seen.end);
            if (stand->nesting.speed >= 1 && stand->nesting.speed <= 1)
                assert_int_equal(s.at[i].place, tw_stand_record(stand, 0));
            seen++;
        }
        assert_int_equal(shots, 0);
        tw_arena_free(&arena);
    }
    assert_true(seen > 2000);
}

TW_SUITE(spots)
{
    const struct CMUnitTest tests[] = {TW_TEST(in_a_trimmed_nest), TW_TEST(between_frames),
                                       TW_TEST(as_the_timeline_counts)};
    return tw_run("proof/spots", tests);
}
