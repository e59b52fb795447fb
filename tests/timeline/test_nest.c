/* SPDX-License-Identifier: Apache-2.0 */
#include "support/support.h"
#include "timeline/hand.h"

/* One nest with a speed, at record frame `in`. */
static tw_item nest_of(tw_track *inner, int64_t in, int64_t frames, double speed)
{
    tw_item nest = tw_timeline_item(TW_ITEM_NEST);
    nest.tracks = inner;
    nest.track_count = 1;
    nest.record = hand_frames(in, frames);
    nest.speed = speed;
    return nest;
}

static void is_span(tw_span span, int64_t first, int64_t end)
{
    assert_int_equal(span.first, first);
    assert_int_equal(span.end, end);
}

static void seen(const tw_stand *s, int64_t first, int64_t end)
{
    assert_int_equal(s->seen.first, first);
    assert_int_equal(s->seen.end, end);
}

/* Three clips of ten frames of which the nest shows 5..25, at record 100..120: the first clip's last five frames at 100,
 * the second whole at 105, the third's first five at 115. Its frame 0 would stand at 95. */
static void trimmed(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_item inner[] = {hand_clip("B001", -5, 0, 10), hand_clip("B002", 5, 0, 10), hand_clip("B003", 15, 0, 10)};
    tw_track inside = hand_track(TW_TRACK_VIDEO, inner, 3);
    tw_item items[] = {hand_clip("A001", 90, 0, 10), nest_of(&inside, 100, 20, 1)};
    tw_track track = hand_track(TW_TRACK_VIDEO, items, 2);
    const tw_stand *s = tw_timeline_stands(arena, hand_timeline(arena, &track, 1));
    seen(&s[0], 90, 100);
    assert_int_equal(tw_stand_record(&s[0], -3), 87); /* a handle */
    seen(&s[1], 100, 105);
    assert_int_equal(tw_stand_frame(&s[1], 100), 5);
    assert_int_equal(tw_stand_record(&s[1], 0), 95);
    seen(&s[2], 105, 115);
    seen(&s[3], 115, 120);
    assert_int_equal(tw_stand_frame(&s[3], 120), 5);
    tw_span part = tw_stand_span(&s[1], 2, 8); /* of 95 + 2 .. 95 + 8 from 100 on */
    assert_int_equal(part.first, 100);
    assert_int_equal(part.end, 103);
}

/* Which of its own frames a clip shows. A dissolve of 4 + 6 frames between the clip before and a nest of 20, one of 5 + 3
 * after it: the nest shows 4 frames more at its head, 3 more at its tail. In it stand a clip of 10 that ends 2 frames
 * before its first, one of 15 that begins there, one of 8 behind it and one where the mix has ended. */
static void own_frames(void **state)
{
    static const struct {
        const char *label;
        tw_span shown, body;
    } rows[] = {{"no length of its own, into the mix", {0, 6}, {0, 6}},
                {"between two mixes", {-4, 56}, {0, 50}},
                {"in the mix only", {8, 10}, {8, 10}},
                {"both", {0, 15}, {0, 15}},
                {"its tail in the mix", {0, 8}, {0, 5}},
                {"hidden", {0, 0}, {0, 0}},
                {"after the nest", {-5, 20}, {0, 20}},
                {"no length, into a mix", {0, 3}, {0, 3}},
                {"no length, out of it", {-2, 0}, {-2, 0}},
                {"no length, no mix", {0, 0}, {0, 0}},
                {"no length, elsewhere than its mix", {0, 0}, {0, 0}}};
    tw_arena *arena = tw_test_arena(state);
    tw_item inner[] = {hand_clip("B001", -12, 0, 10), hand_clip("B002", 0, 0, 15), hand_clip("B003", 15, 0, 8),
                       hand_clip("B004", 23, 0, 9)};
    tw_track inside = hand_track(TW_TRACK_VIDEO, inner, 4);
    tw_item items[] = {hand_clip("A001", 0, 0, 0),   hand_transition(0, 4, 6),    hand_clip("A002", 0, 0, 50),
                       hand_transition(50, 4, 6),    nest_of(&inside, 50, 20, 1), hand_transition(70, 5, 3),
                       hand_clip("A003", 70, 0, 20), hand_clip("A004", 90, 0, 0), hand_transition(90, 2, 3),
                       hand_clip("A005", 90, 0, 0),  hand_clip("A006", 90, 0, 0), hand_clip("A007", 95, 0, 0),
                       hand_transition(99, 2, 3)};
    tw_track track = hand_track(TW_TRACK_VIDEO, items, 13);
    const tw_timeline *t = hand_timeline(arena, &track, 1);
    const tw_stand *s = tw_timeline_stands(arena, t);
    for (size_t i = 0; i < TW_COUNT(rows); i++) {
        tw_row(i, rows[i].label);
        is_span(s[i].shown, rows[i].shown.first, rows[i].shown.end);
        is_span(s[i].body, rows[i].body.first, rows[i].body.end);
    }
    assert_int_equal(tw_timeline_totals(t).video_clips, 8);
}

/* At a speed v record frame 100 + g shows floor(g v): at 2 frames 0, 2, 4 .. of 30 in 15; at 1.5 frames 0 1 3 4 6 7 9
 * 10 12 13 in the first ten; at 1/2 every frame twice; at -1 the frames before the first; at 0 that frame only. */
static void speeds(void **state)
{
    static const struct {
        const char *label;
        double speed;
        int64_t first[3], end[3]; /* of clips at -10..0, 0..10, 10..30 */
    } rows[] = {{"double", 2, {100, 100, 105}, {100, 105, 115}},
                {"half", 0.5, {100, 100, 120}, {100, 120, 140}},
                {"one and a half", 1.5, {100, 100, 107}, {100, 107, 120}},
                {"back", -1, {101, 100, 100}, {111, 101, 100}},
                {"frozen", 0, {100, 100, 100}, {100, 140, 100}},
                {"very slow", 1e-15, {100, 100, 140}, {100, 140, 140}}};
    tw_arena *arena = tw_test_arena(state);
    for (size_t i = 0; i < TW_COUNT(rows); i++) {
        tw_row(i, rows[i].label);
        tw_item inner[] = {hand_clip("B001", -10, 0, 10), hand_clip("B002", 0, 0, 10), hand_clip("B003", 10, 0, 20)};
        tw_track inside = hand_track(TW_TRACK_VIDEO, inner, 3);
        tw_item items[] = {nest_of(&inside, 100, 40, rows[i].speed)};
        tw_track track = hand_track(TW_TRACK_VIDEO, items, 1);
        const tw_timeline *t = hand_timeline(arena, &track, 1);
        const tw_stand *s = tw_timeline_stands(arena, t);
        for (size_t c = 0; c < 3; c++)
            seen(&s[c], rows[i].first[c], rows[i].end[c]);
        for (int64_t record = 100; record < 140; record++) { /* asked one by one, the same */
            for (size_t c = 0; c < 3; c++) {
                int64_t frame = tw_stand_frame(&s[c], record);
                bool on = frame >= 0 && frame < tw_item_frames(t, &inner[c]);
                assert_int_equal(on, record >= s[c].seen.first && record < s[c].seen.end);
                if (on && rows[i].speed >= 1)
                    assert_int_equal(tw_stand_record(&s[c], frame), record);
            }
        }
    }
}

/* A nest at 2 in one at 2, its frames 4..: record 50 + g shows 4 g - 8 of the innermost, from g = 2 on. */
static void nest_in_nest(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_item clip = hand_clip("B001", 0, 0, 40);
    tw_track innermost = hand_track(TW_TRACK_VIDEO, &clip, 1);
    tw_item inner = nest_of(&innermost, 4, 20, 2);
    tw_track middle = hand_track(TW_TRACK_VIDEO, &inner, 1);
    tw_item outer = nest_of(&middle, 50, 30, 2);
    tw_track track = hand_track(TW_TRACK_VIDEO, &outer, 1);
    const tw_stand *s = tw_timeline_stands(arena, hand_timeline(arena, &track, 1));
    seen(s, 52, 62);
    assert_int_equal(tw_stand_frame(s, 60), 32);
    assert_int_equal(tw_stand_record(s, 32), 60);
    assert_float_equal(s->nesting.speed, 4, 0);
}

/* Of an item at record 10..30 whose source begins at 100: what frames [from, to) of the track show. A source frame goes
 * by for each record frame at speed 1, two at 2, and backwards the first frame shown is that many before. */
static void a_part_of_an_item(void **state)
{
    static const struct {
        const char *label;
        tw_item_kind kind;
        double speed;
        int64_t from, to;
        bool left;
        int64_t record, frames, source, source_frames;
    } rows[] = {{"all of it", TW_ITEM_CLIP, 1, 0, 50, true, 10, 20, 100, 20},
                {"the head cut off", TW_ITEM_CLIP, 1, 15, 50, true, 15, 15, 105, 15},
                {"the tail", TW_ITEM_CLIP, 1, 0, 15, true, 10, 5, 100, 5},
                {"both, at double speed", TW_ITEM_CLIP, 2, 15, 20, true, 15, 5, 110, 10},
                {"the head, backwards", TW_ITEM_CLIP, -1, 15, 50, true, 15, 15, 95, 15},
                {"the head, standing still", TW_ITEM_CLIP, 0, 15, 50, true, 15, 15, 100, 20},
                {"beside it", TW_ITEM_CLIP, 1, 30, 40, false, 10, 20, 100, 20},
                {"a gap", TW_ITEM_GAP, 1, 25, 40, true, 25, 5, 115, 5},
                {"a whole transition", TW_ITEM_TRANSITION, 1, 10, 30, true, 10, 20, 100, 20},
                {"a part of one", TW_ITEM_TRANSITION, 1, 11, 30, false, 10, 20, 100, 20}};
    tw_arena *arena = tw_test_arena(state);
    tw_track none = hand_track(TW_TRACK_VIDEO, NULL, 0);
    const tw_timeline *t = hand_timeline(arena, &none, 1);
    for (size_t i = 0; i < TW_COUNT(rows); i++) {
        tw_row(i, rows[i].label);
        tw_item item = hand_clip("B001", 10, 100, 20);
        item.kind = rows[i].kind;
        item.speed = rows[i].speed;
        const tw_range range = hand_frames(rows[i].from, rows[i].to - rows[i].from);
        assert_int_equal(tw_item_within(arena, t, range, &item), rows[i].left);
        const tw_range record = hand_frames(rows[i].record, rows[i].frames);
        const tw_range source = hand_frames(rows[i].source, rows[i].source_frames);
        assert_true(tw_time_eq(item.record.start, record.start) && tw_time_eq(item.record.dur, record.dur));
        assert_true(tw_time_eq(item.source.start, source.start));
        assert_true(tw_time_eq(item.source.dur, source.dur));
    }
}

/* Cut or not, what is left shows the same: a nest at record 100..140 at `speed`, of which the head is cut off at 110. */
static void a_part_of_a_nest(void **state)
{
    static const double speeds_of[] = {1, 2, 0.5, -1};
    tw_arena *arena = tw_test_arena(state);
    for (size_t i = 0; i < TW_COUNT(speeds_of); i++) {
        tw_row(i, "speed");
        tw_item inner[] = {hand_clip("B001", -60, 0, 80), hand_clip("B002", 20, 0, 100)};
        tw_track inside = hand_track(TW_TRACK_VIDEO, inner, 2);
        tw_item item = nest_of(&inside, 100, 40, speeds_of[i]);
        tw_track track = hand_track(TW_TRACK_VIDEO, &item, 1);
        const tw_timeline *t = hand_timeline(arena, &track, 1);
        const tw_stand *whole = tw_timeline_stands(arena, t);
        assert_true(tw_item_within(arena, t, hand_frames(110, 100), &item));
        assert_ptr_not_equal(item.tracks, &inside);
        assert_int_equal(inside.items[0].record.start.num, inner[0].record.start.num);
        const tw_stand *part = tw_timeline_stands(arena, t);
        for (size_t c = 0; c < 2; c++)
            for (int64_t record = 110; record < 140; record++)
                assert_int_equal(tw_stand_frame(&part[c], record), tw_stand_frame(&whole[c], record));
    }
}

/* Of a nest whose first 12 frames are hidden: the clip of 8 goes, of that of 20 frames 4 are cut off, a mix of 4 at its
 * end stays. Hidden to 28, in the middle of the mix, that goes as well. Tracks outside of nests stay as they are. */
static void heads(void **state)
{
    static const struct {
        int64_t hidden;
        size_t items, mixes;
        int64_t frame; /* of a key at frame 0 of the second clip; of a third none is hidden */
    } rows[] = {{12, 3, 0, -4}, {28, 1, 1, 0}};
    tw_arena *arena = tw_test_arena(state);
    for (size_t i = 0; i < TW_COUNT(rows); i++) {
        tw_row(i, "hidden");
        int64_t zero = -rows[i].hidden;
        tw_key key = {.frame = 0};
        tw_framing framing = {.keys = &key, .key_count = 1};
        tw_item inner[] = {hand_clip("A003", zero, 0, 8), hand_clip("B001", zero + 8, 0, 20),
                           hand_transition(zero + 28, 2, 2), hand_clip("C001", zero + 28, 0, 20)};
        for (size_t c = 0; c < 4; c++)
            inner[c].framing = &framing;
        tw_track inside = hand_track(TW_TRACK_VIDEO, inner, 4);
        tw_item items[] = {hand_clip("D001", -10, 0, 20), nest_of(&inside, 10, 20, 1)};
        tw_track track = hand_track(TW_TRACK_VIDEO, items, 2);
        size_t mixes = 0;
        const tw_track *cut = tw_timeline_without_heads(arena, hand_timeline(arena, &track, 1), &mixes);
        assert_int_equal(mixes, rows[i].mixes);
        assert_int_equal(cut->item_count, 2);
        assert_true(tw_time_eq(cut->items[0].record.start, items[0].record.start));
        const tw_track *left = cut->items[1].tracks;
        assert_int_equal(left->item_count, rows[i].items);
        assert_int_equal(left->items[0].framing->keys[0].frame, rows[i].frame);
        assert_true(tw_time_eq(left->items[0].record.start, TW_TIME_ZERO));
        assert_int_equal(inside.item_count, 4); /* as it was */
        assert_int_equal(key.frame, 0);
    }
}

TW_SUITE(nest)
{
    const struct CMUnitTest tests[] = {
        TW_TEST(trimmed),           TW_TEST(speeds),           TW_TEST(nest_in_nest), TW_TEST(own_frames),
        TW_TEST(a_part_of_an_item), TW_TEST(a_part_of_a_nest), TW_TEST(heads)};
    return tw_run("timeline/nest", tests);
}
