/* SPDX-License-Identifier: Apache-2.0 */
#include "support/support.h"
#include "timeline/hand.h"

/* Measured on the reference library: clip of 6 frames, then in 2 / out 3: visible 9; the next clip of 4
 * is then visible for 6 and starts two frames earlier. */
static void handles_of_a_transition(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_item items[] = {hand_clip("A001", 0, 100, 6), hand_transition(6, 2, 3), hand_clip("A002", 6, 200, 4)};
    tw_track track = hand_track(TW_TRACK_VIDEO, items, 3);
    const tw_timeline *t = hand_timeline(arena, &track, 1);
    assert_int_equal(tw_item_head(t, &items[0]) + tw_item_frames(t, &items[0]) + tw_item_tail(t, &items[0]), 9);
    assert_int_equal(tw_item_head(t, &items[2]), 2);
    assert_int_equal(tw_item_head(t, &items[2]) + tw_item_frames(t, &items[2]) + tw_item_tail(t, &items[2]), 6);
}

static void a_gap_takes_no_handle(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_item items[] = {hand_gap(0, 5), hand_transition(5, 0, 4), hand_clip("A001", 5, 0, 10)};
    tw_track track = hand_track(TW_TRACK_VIDEO, items, 3);
    const tw_timeline *t = hand_timeline(arena, &track, 1);
    assert_int_equal(tw_item_tail(t, &items[0]), 0);
    assert_int_equal(tw_item_head(t, &items[2]), 0);
}

static void indices_run_depth_first(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_item inner[] = {hand_clip("B001", 0, 0, 5), hand_clip("B002", 5, 0, 5)};
    tw_track inner_track = hand_track(TW_TRACK_VIDEO, inner, 2);
    tw_item items[] = {hand_clip("A001", 0, 0, 5), tw_timeline_item(TW_ITEM_NEST), hand_clip("A002", 15, 0, 5)};
    items[1].tracks = &inner_track;
    items[1].track_count = 1;
    tw_track track = hand_track(TW_TRACK_VIDEO, items, 3);
    const tw_timeline *t = hand_timeline(arena, &track, 1);
    assert_int_equal(t->clip_count, 4);
    assert_int_equal(items[0].index, 0);
    assert_int_equal(inner[0].index, 1);
    assert_int_equal(inner[1].index, 2);
    assert_int_equal(items[2].index, 3);
}

static void a_copy_is_deep_enough_to_frame(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_item inner[] = {hand_clip("B001", 0, 0, 5)};
    tw_track inner_track = hand_track(TW_TRACK_VIDEO, inner, 1);
    tw_item items[] = {tw_timeline_item(TW_ITEM_NEST)};
    items[0].tracks = &inner_track;
    items[0].track_count = 1;
    tw_track track = hand_track(TW_TRACK_VIDEO, items, 1);
    const tw_timeline *t = hand_timeline(arena, &track, 1);
    tw_timeline *copy = tw_timeline_copy(arena, t);
    tw_framing framing = {.mode = TW_FRAME_FILL};
    tw_timeline_clips(arena, copy)[0]->framing = &framing;
    assert_null(inner[0].framing);
    assert_ptr_equal(copy->tracks[0].items[0].tracks[0].items[0].framing, &framing);
}

TW_SUITE(build)
{
    const struct CMUnitTest tests[] = {
        TW_TEST(handles_of_a_transition),
        TW_TEST(a_gap_takes_no_handle),
        TW_TEST(indices_run_depth_first),
        TW_TEST(a_copy_is_deep_enough_to_frame),
    };
    return tw_run("timeline/build", tests);
}
