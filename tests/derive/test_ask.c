/* SPDX-License-Identifier: Apache-2.0 */
#include "support/support.h"

#include "derive/derive_internal.h"
#include "derive/hand_plan.h"

static void boxes_between_and_outside_keys(void **state)
{
    (void)state;
    tw_region_key keys[] = {{100, 0.2, 0.4, 0.1, 0.1}, {110, 0.4, 0.4, 0.1, 0.3}, {150, 0.6, 0.4, 0.1, 0.3}};
    tw_region region = {.keys = keys, .key_count = 3};
    static const struct {
        double frame, left, height;
    } rows[] = {{90, 0.2, 0.1},      {100, 0.2, 0.1}, {105, 0.3, 0.2},
                {107.5, 0.35, 0.25}, {110, 0.4, 0.3}, {400, 0.6, 0.3}};
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_region_key box;
        assert_true(tw_derive_box(&region, rows[i].frame, 12, &box));
        tw_assert_near(box.left, rows[i].left, 1e-12);
        tw_assert_near(box.height, rows[i].height, 1e-12);
    }
}

static void tables_are_not_held_outside(void **state)
{
    (void)state;
    tw_region_key keys[] = {{100, 0.2, 0.4, 0.1, 0.1}, {105, 0.4, 0.4, 0.1, 0.1}, {150, 0.6, 0.4, 0.1, 0.1}};
    tw_region region = {.keys = keys, .key_count = 3, .track = TW_STR("tracks/A003.csv")};
    static const struct {
        double frame;
        bool there;
    } rows[] = {{98, false},   {99.5, true}, {100, true}, {104, true},
                {105.5, true}, {120, false}, {150, true}, {151, false}};
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_region_key box;
        tw_row(i, "frame");
        assert_int_equal(tw_derive_box(&region, rows[i].frame, 12, &box), rows[i].there);
    }
}

typedef struct setting {
    tw_source source;
    tw_delivery delivery;
    tw_plan plan;
    tw_track track;
    twi_shots shots;
    twi_asking asking;
} setting;

static void set_up(tw_arena *arena, setting *s, tw_item *items, size_t count, tw_note *notes, size_t note_count)
{
    *s = (setting){
        .source = {.reel = TW_STR("*"), .size = {5760, 4320}, .squeeze = 1},
        .delivery = HAND_TALL,
        .plan = {.source_count = 1, .notes = notes, .note_count = note_count},
    };
    s->plan.sources = &s->source;
    s->track = hand_track(TW_TRACK_VIDEO, items, count);
    s->asking = (twi_asking){&s->plan, hand_timeline(arena, &s->track, 1), &s->delivery};
    twi_derive_shots(arena, &s->plan, s->asking.master, &s->shots);
}

/* A clip at half speed from source 100, reversed and straight: where does a note's range fall in record frames? */
static void ranges_under_speed(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    static const struct {
        const char *name;
        double speed;
        int64_t in, out, first, last; /* record frames that show the note: arithmetic m(f) = 100 + f k, floored */
    } rows[] = {
        {"straight", 1, 105, 110, 5, 9},
        {"half", 0.5, 105, 110, 10, 19},
        {"double", 2, 105, 110, 3, 4}, /* 106, 108 */
        {"reverse", -1, 90, 95, 6, 10},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_row(i, rows[i].name);
        tw_note note = hand_note("n001", "A003", rows[i].in, rows[i].out);
        tw_region region = hand_region(arena, "hands", 0.25, 0.1);
        note.regions = &region;
        note.region_count = 1;
        tw_item item = hand_clip("A003", 0, 100, 20);
        item.speed = rows[i].speed;
        setting s;
        set_up(arena, &s, &item, 1, &note, 1);
        twi_ask ask;
        twi_derive_ask(arena, &s.asking, s.shots.at, &ask);
        assert_int_equal(ask.job.region_count, 1);
        for (int64_t f = 0; f < 20; f++) {
            bool there = ask.job.regions[0].boxes[f].right > ask.job.regions[0].boxes[f].left;
            assert_int_equal(there, f >= rows[i].first && f <= rows[i].last);
        }
        tw_assert_near(ask.job.regions[0].boxes[rows[i].first].left, 0.25 * 5760, 1e-9);
    }
}

static void hand_windows_in_record_frames(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_hand_key window[] = {{104, 1000, 0, 2430, 3, 0}, {112, 1400, 0, 2430, 9, 0}};
    tw_note note = hand_note("n001", "A003", 102, 116);
    note.window = window;
    note.window_count = 2;
    tw_item item = hand_clip("A003", 0, 100, 20);
    setting s;
    set_up(arena, &s, &item, 1, &note, 1);
    twi_ask ask;
    twi_derive_ask(arena, &s.asking, s.shots.at, &ask);
    assert_int_equal(ask.job.hand_count, 1);
    const tw_path_hand *hand = &ask.job.hands[0];
    assert_int_equal(hand->from, 2);
    assert_int_equal(hand->to, 16);
    assert_int_equal(hand->keys[0].frame, 4);
    assert_int_equal(hand->keys[1].frame, 12);
    tw_assert_near(hand->keys[0].cx, 1000 + 2430 / 2.0, 0);
    tw_assert_near(hand->keys[0].cy, 2430 * 1920 / 1080.0 / 2, 0); /* 4320 high: the whole height */
    tw_assert_near(hand->keys[0].ease, 3, 0);
    tw_assert_near(hand->keys[1].ease, 4, 0); /* 9 does not fit between keys 8 frames apart */
}

/* One knock of the camera, 9 px to the right in frame 40 of the note, which begins at source frame 70: source frame 110.
 * The mean of 25 frames (half a second each way at 24) taken twice leaves of it 9 - 9 / 25 there. */
static void shake_in_record_frames(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    static const struct {
        const char *name;
        double speed, delivery, note; /* shares; below 0: the note says none */
        int64_t frame;                /* that shows source frame 110, of a clip from 100 */
        double share;
    } rows[] = {
        {"the delivery's", 1, 0.5, -1, 10, 0.5}, {"the note's", 1, 0.5, 0.25, 10, 0.25}, {"none", 1, 0.5, 0, 10, 0},
        {"double speed", 2, 1, -1, 5, 1},        {"half speed", 0.5, 1, -1, 20, 1},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_row(i, rows[i].name);
        tw_movement moved[80] = {{0, 0}};
        moved[40].x = 9;
        tw_note note = hand_note("n001", "A003", 70, 150);
        note.moved_count = 80 - 5;
        note.moved = moved + 5; /* the table may begin later than the note */
        note.moved_first = 5;
        note.steady = rows[i].note;
        tw_item item = hand_clip("A003", 0, 100, 30);
        item.speed = rows[i].speed;
        setting s;
        set_up(arena, &s, &item, 1, &note, 1);
        s.delivery.steady = rows[i].delivery;
        twi_ask ask;
        twi_derive_ask(arena, &s.asking, s.shots.at, &ask);
        assert_int_equal(ask.job.shake != NULL, rows[i].share > 0);
        if (ask.job.shake == NULL)
            continue;
        tw_assert_near(ask.job.shake[rows[i].frame].x, rows[i].share * (9 - 9.0 / 25), 1e-9);
        tw_assert_near(ask.job.shake[rows[i].frame].y, 0, 1e-12);
        if (rows[i].speed < 1) /* between two source frames */
            tw_assert_near(ask.job.shake[19].x, (ask.job.shake[18].x + ask.job.shake[20].x) / 2, 1e-9);
    }
}

/* Of a long table only the rows around the shot are looked at, which gives the same. */
static void shake_of_a_long_table(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_rng rng = {24};
    tw_movement moved[600];
    tw_path_offset all[600], shake[600];
    for (size_t i = 0; i < 600; i++) {
        moved[i] =
            (tw_movement){.x = (double)tw_rng_between(&rng, -90, 90), .y = (double)tw_rng_between(&rng, -90, 90)};
        all[i] = (tw_path_offset){moved[i].x, moved[i].y};
    }
    tw_path_shake(arena, all, 600, 12, shake);
    static const int64_t begins[] = {0, 1, 250, 570};
    for (size_t i = 0; i < TW_COUNT(begins); i++) {
        tw_row(i, "begins");
        tw_note note = hand_note("n001", "A003", 0, 600);
        note.moved = moved;
        note.moved_count = 600;
        note.steady = -1;
        tw_item item = hand_clip("A003", 0, begins[i], 30);
        setting s;
        set_up(arena, &s, &item, 1, &note, 1);
        s.delivery.steady = 1;
        twi_ask ask;
        twi_derive_ask(arena, &s.asking, s.shots.at, &ask);
        for (int64_t f = 0; f < 30; f++) {
            tw_assert_near(ask.job.shake[f].x, shake[begins[i] + f].x, 1e-9);
            tw_assert_near(ask.job.shake[f].y, shake[begins[i] + f].y, 1e-9);
        }
    }
}

static void notes_for_other_deliveries_stay_out(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_str wide = TW_STR("wide");
    tw_note note = hand_note("n001", "A003", 0, 1000);
    tw_region region = hand_region(arena, "hands", 0.25, 0.1);
    note.regions = &region;
    note.region_count = 1;
    note.deliveries = &wide;
    note.delivery_count = 1;
    tw_item item = hand_clip("A003", 0, 100, 20);
    setting s;
    set_up(arena, &s, &item, 1, &note, 1);
    twi_ask ask;
    twi_derive_ask(arena, &s.asking, s.shots.at, &ask);
    assert_int_equal(ask.note_count, 0);
    assert_int_equal(ask.job.region_count, 0);
}

/* The first note of the plan meets only the second part of a through-edit. */
static void notes_in_plan_order(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_note notes[] = {hand_note("n001", "A003", 125, 140), hand_note("n002", "A003", 100, 140),
                       hand_note("n003", "A003", 100, 110)};
    tw_item items[] = {hand_clip("A003", 0, 100, 20), hand_clip("A003", 20, 120, 20)};
    setting s;
    set_up(arena, &s, items, 2, notes, 3);
    twi_ask ask;
    twi_derive_ask(arena, &s.asking, s.shots.at, &ask);
    assert_int_equal(s.shots.at[0].parts, 2);
    assert_int_equal(ask.note_count, 3);
    for (size_t i = 0; i < 3; i++)
        assert_ptr_equal(ask.notes[i], &notes[i]);
}

TW_SUITE(ask)
{
    const struct CMUnitTest tests[] = {
        TW_TEST(boxes_between_and_outside_keys),
        TW_TEST(tables_are_not_held_outside),
        TW_TEST(ranges_under_speed),
        TW_TEST(hand_windows_in_record_frames),
        TW_TEST(shake_in_record_frames),
        TW_TEST(shake_of_a_long_table),
        TW_TEST(notes_for_other_deliveries_stay_out),
        TW_TEST(notes_in_plan_order),
    };
    return tw_run("derive/ask", tests);
}
