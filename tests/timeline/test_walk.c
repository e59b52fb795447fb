/* SPDX-License-Identifier: Apache-2.0 */
#include "support/support.h"
#include "timeline/hand.h"

static bool note_down(void *context, const tw_track *track, const tw_item *item)
{
    tw_buf *seen = context;
    (void)track;
    tw_buf_addf(seen, "%.*s ", TW_ARG(item->name));
    return !tw_str_is(item->name, "STOP");
}

static void nests_after_themselves(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_item inner[] = {hand_clip("B001", 0, 0, 5)};
    tw_track inner_track = hand_track(TW_TRACK_VIDEO, inner, 1);
    tw_item items[] = {hand_clip("A001", 0, 0, 5), tw_timeline_item(TW_ITEM_NEST), hand_clip("A002", 10, 0, 5)};
    items[1].name = TW_STR("nest");
    items[1].tracks = &inner_track;
    items[1].track_count = 1;
    tw_track track = hand_track(TW_TRACK_VIDEO, items, 3);
    tw_buf seen = {.arena = arena};
    tw_timeline_walk(hand_timeline(arena, &track, 1), note_down, &seen);
    tw_assert_text(tw_buf_str(&seen), "A001 nest B001 A002 ");
}

static void stops_when_told(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_item items[] = {hand_clip("A001", 0, 0, 5), hand_clip("STOP", 5, 0, 5), hand_clip("A002", 10, 0, 5)};
    tw_track tracks[] = {hand_track(TW_TRACK_VIDEO, items, 3), hand_track(TW_TRACK_VIDEO, items, 3)};
    tw_buf seen = {.arena = arena};
    tw_timeline_walk(hand_timeline(arena, tracks, 2), note_down, &seen);
    tw_assert_text(tw_buf_str(&seen), "A001 STOP ");
}

static void framed_like_another(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_item a[] = {hand_clip("A001", 0, 0, 5), hand_clip("A002", 5, 0, 5)};
    tw_item b[] = {hand_clip("A001", 0, 0, 5), hand_clip("A002", 5, 0, 5)};
    tw_framing framing = {.squeeze = 1};
    tw_stamp stamp = {.delivery = TW_STR("tall")};
    tw_track ta = hand_track(TW_TRACK_VIDEO, a, 2), tb = hand_track(TW_TRACK_VIDEO, b, 2);
    tw_timeline *mine = hand_timeline(arena, &ta, 1), *theirs = hand_timeline(arena, &tb, 1);
    a[0].framing = b[1].framing = &framing;
    theirs->stamp = &stamp;
    tw_timeline_frame_like(arena, mine, theirs);
    assert_null(a[0].framing);
    assert_ptr_equal(a[1].framing, &framing);
    assert_ptr_equal(mine->stamp, &stamp);
}

TW_SUITE(walk)
{
    const struct CMUnitTest tests[] = {TW_TEST(nests_after_themselves), TW_TEST(stops_when_told),
                                       TW_TEST(framed_like_another)};
    return tw_run("timeline/walk", tests);
}
