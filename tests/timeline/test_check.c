/* SPDX-License-Identifier: Apache-2.0 */
#include "support/support.h"
#include "timeline/hand.h"

static const char *check(tw_arena *arena, tw_item *items, size_t count)
{
    tw_track track = hand_track(TW_TRACK_VIDEO, items, count);
    tw_diags *diags = tw_diags_new(arena);
    tw_timeline_check(hand_timeline(arena, &track, 1), diags);
    return tw_findings(arena, diags);
}

static void transitions_longer_than_clips(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_item items[] = {hand_clip("A001", 0, 0, 6), hand_transition(6, 7, 4), hand_clip("A002", 6, 0, 3)};
    assert_string_equal(check(arena, items, 3), "warning TW1401: the transition begins before \"A001\" does\n"
                                                "warning TW1401: the transition runs past the end of \"A002\"\n");
}

/* Gaps and clips without a name are told in words, never as "". */
static void neighbours_without_a_name(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_item items[] = {hand_gap(0, 6), hand_transition(6, 7, 4), hand_clip("", 6, 0, 3)};
    assert_string_equal(check(arena, items, 3),
                        "warning TW1401: the transition begins before the gap beside it does\n"
                        "warning TW1401: the transition runs past the end of a clip without a name\n");
}

static void frames_the_media_lacks(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_media media = {.kind = TW_MEDIA_FILE, .has_available = true, .available = hand_frames(100, 50)};
    tw_item items[] = {hand_clip("A001", 0, 120, 30), hand_transition(30, 0, 8), hand_clip("A002", 30, 0, 20)};
    items[0].media = &media;
    items[0].media_count = 1;
    items[0].media_active = 0;
    /* 30 frames from 120 end at 150 exactly; the dissolve asks for 8 more. */
    assert_string_equal(check(arena, items, 3),
                        "warning TW1402: \"A001\" shows 8 frames that its media does not have\n");
    assert_string_equal(check(arena, items, 1), "");
    items[0].source = hand_frames(95, 30);
    assert_string_equal(check(arena, items, 1),
                        "warning TW1402: \"A001\" shows 5 frames that its media does not have\n");
    /* of no length, nothing */
    items[0] = hand_clip("A001", 0, 100, 0);
    items[0].media = &media;
    items[0].media_count = 1;
    items[0].media_active = 0;
    assert_string_equal(check(arena, items, 1), "");
}

TW_SUITE(check)
{
    const struct CMUnitTest tests[] = {TW_TEST(transitions_longer_than_clips), TW_TEST(neighbours_without_a_name),
                                       TW_TEST(frames_the_media_lacks)};
    return tw_run("timeline/check", tests);
}
