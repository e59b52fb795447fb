/* SPDX-License-Identifier: Apache-2.0 */
#include "support/support.h"
#include "timeline/hand.h"

#include "report/report_internal.h"

static void at(const twi_place *p, int64_t in, int64_t out, int64_t lead)
{
    assert_int_equal(tw_time_round(p->in, HAND_RATE, NULL), in);
    assert_int_equal(tw_time_round(p->out, HAND_RATE, NULL), out);
    assert_int_equal(tw_time_round(p->lead, HAND_RATE, NULL), lead);
}

/* A nest of 30 frames (three clips of ten) of which 5..25 are shown at record 100..120: the first clip's last five
 * frames at 100, the second whole at 105, the third's first five at 115. Counted from the programme's start, 90. */
static void through_a_nest(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_item inner[] = {hand_clip("B001", -5, 0, 10), hand_clip("B002", 5, 0, 10), hand_clip("B003", 15, 0, 10)};
    tw_track inner_track = hand_track(TW_TRACK_VIDEO, inner, 3);
    tw_item items[] = {hand_clip("A001", 90, 0, 10), tw_timeline_item(TW_ITEM_NEST)};
    items[1].tracks = &inner_track;
    items[1].track_count = 1;
    items[1].has_source = true;
    items[1].source = hand_frames(5, 20);
    items[1].record = hand_frames(100, 20);
    tw_track track = hand_track(TW_TRACK_VIDEO, items, 2);
    tw_timeline *t = hand_timeline(arena, &track, 1);
    t->start = tw_time_frames(90, HAND_RATE);
    const twi_place *places = twi_report_places(arena, t);
    at(&places[0], 0, 10, 0);
    at(&places[1], 10, 15, 5);
    assert_int_equal(twi_report_record(t, &places[0]), 90); /* the clock starts at 90 */
    assert_int_equal(twi_report_record(t, &places[1]), 95); /* 5 frames before the nest shows it */
    at(&places[2], 15, 25, 0);
    at(&places[3], 25, 30, 0);
}

/* The same nest at double speed shows its 30 frames in 15. */
static void through_a_fast_nest(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_item inner[] = {hand_clip("B001", 0, 0, 10), hand_clip("B002", 10, 0, 20)};
    tw_track inner_track = hand_track(TW_TRACK_VIDEO, inner, 2);
    tw_item items[] = {tw_timeline_item(TW_ITEM_NEST)};
    items[0].tracks = &inner_track;
    items[0].track_count = 1;
    items[0].has_source = true;
    items[0].source = hand_frames(0, 30);
    items[0].record = hand_frames(0, 15);
    items[0].speed = 2;
    tw_track track = hand_track(TW_TRACK_VIDEO, items, 1);
    const tw_timeline *t = hand_timeline(arena, &track, 1);
    const twi_place *places = twi_report_places(arena, t);
    at(&places[0], 0, 5, 0);
    at(&places[1], 5, 15, 0);
}

TW_SUITE(place)
{
    const struct CMUnitTest tests[] = {TW_TEST(through_a_nest), TW_TEST(through_a_fast_nest)};
    return tw_run("report/place", tests);
}
