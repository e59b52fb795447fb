/* SPDX-License-Identifier: Apache-2.0 */
#include "support/support.h"
#include "report/hand.h"
#include "report/report_internal.h"

/* B001 shows source frames 1000..1096; the note holds from 1010 to 1080; keys at 1000, 1040 and 1090. */
static hand *with_keys(tw_arena *arena)
{
    static tw_region_key keys[] = {{1000, .4, .4, .1, .2}, {1040, .6, .4, .1, .2}, {1090, .7, .4, .1, .2}};
    hand *h = hand_derived(arena);
    h->region.keys = keys;
    h->region.key_count = 3;
    h->note.in = 1010;
    h->note.out = 1080;
    h->note.has_in = h->note.has_out = true;
    h->shots[1].note_count = 1;
    return h;
}

static void straight_between_keys_inside_the_note(void **state)
{
    hand *h = with_keys(tw_test_arena(state));
    twi_boxes b = twi_report_boxes(tw_test_arena(state), h->timeline, &h->shots[1], &h->region);
    assert_int_equal(b.shown_count, 2);
    assert_int_equal(b.shown[0], 10);
    assert_int_equal(b.shown[1], 80);
    assert_int_equal(b.len, 3);
    static const double frames[] = {10, 40, 79}, lefts[] = {.45, .6, .678};
    for (size_t i = 0; i < 3; i++) {
        tw_assert_near(b.at[i].frame, frames[i], 1e-9);
        tw_assert_near(b.at[i].box.left, lefts[i], 1e-9);
    }
}

/* Backwards from source frame 1095: the key at 1040 is seen at record frame 55. */
static void reversed(void **state)
{
    hand *h = with_keys(tw_test_arena(state));
    h->items[1].speed = -1;
    h->items[1].source.start = tw_time_frames(1095, FILM);
    twi_boxes b = twi_report_boxes(tw_test_arena(state), h->timeline, &h->shots[1], &h->region);
    assert_int_equal(b.shown[0], 16); /* 1079 */
    assert_int_equal(b.shown[1], 86); /* 1009 is before the note */
    assert_int_equal(b.len, 3);
    tw_assert_near(b.at[1].frame, 55, 1e-9);
    tw_assert_near(b.at[1].box.left, .6, 1e-9);
}

static void never_there(void **state)
{
    hand *h = with_keys(tw_test_arena(state));
    h->note.in = 5000;
    h->note.out = 6000;
    twi_boxes b = twi_report_boxes(tw_test_arena(state), h->timeline, &h->shots[1], &h->region);
    assert_int_equal(b.len, 0);
    assert_int_equal(b.shown_count, 0);
}

/* A table's gaps of over half a second count as gone: boxes at 1000..1010 and 1060..1096, nothing between. */
static void gaps_of_a_table(void **state)
{
    static tw_region_key keys[48];
    size_t count = 0;
    for (int64_t f = 1000; f < 1096; f++)
        if (f <= 1010 || f >= 1060)
            keys[count++] = (tw_region_key){f, .4, .4, .1, .1};
    hand *h = hand_derived(tw_test_arena(state));
    h->region.keys = keys;
    h->region.key_count = count;
    h->region.track = TW_STR("tracks/B001.csv");
    twi_boxes b = twi_report_boxes(tw_test_arena(state), h->timeline, &h->shots[1], &h->region);
    static const int64_t shown[] = {0, 11, 60, 96};
    assert_int_equal(b.shown_count, 4);
    for (size_t i = 0; i < 4; i++)
        assert_int_equal(b.shown[i], shown[i]);
}

TW_SUITE(region)
{
    const struct CMUnitTest tests[] = {TW_TEST(straight_between_keys_inside_the_note), TW_TEST(reversed),
                                       TW_TEST(never_there), TW_TEST(gaps_of_a_table)};
    return tw_run("report/region", tests);
}
