/* SPDX-License-Identifier: Apache-2.0 */
#include "support/support.h"
#include "timeline/hand.h"

static void every_field_shows(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_marker marker = {.name = TW_STR("true"), .color = TW_STR("RED"), .at = hand_frames(101, 0)};
    tw_key key = {.frame = 0, .cx = 2880, .cy = 2160, .w = 2430};
    tw_framing framing = {.source = {5760, 4320}, .delivery = {1080, 1920}, .squeeze = 1, .keys = &key, .key_count = 1};
    tw_item items[] = {hand_clip("A003", 0, 96, 24), hand_transition(24, 0, 12), hand_clip("B001", 24, 0, 24)};
    items[0].markers = &marker;
    items[0].marker_count = 1;
    items[0].framing = &framing;
    items[2].speed = 0.5;
    items[2].enabled = false;
    tw_track track = hand_track(TW_TRACK_VIDEO, items, 3);
    tw_buf dump = {.arena = arena};
    tw_timeline_dump(hand_timeline(arena, &track, 1), &dump);
    tw_assert_text(tw_buf_str(&dump),
                   "timeline rate=24/1 start=0\n"
                   " track video name=\"V\"\n"
                   "  clip #0 name=\"A003\" reel=\"A003\" record=0+1 source=4+1@24/1 tail=1/2\n"
                   "   marker name=\"true\" color=\"RED\" at=101/24+0\n"
                   "   framing fill 1080x1920 of 5760x4320 eased squeeze 1.0\n"
                   "    key 0 2880.0 2160.0 2430.0 0.0\n"
                   "  transition name=\"dissolve\" record=1+1/2 out=1/2\n"
                   "  clip #1 name=\"B001\" reel=\"B001\" record=1+1 source=0+1@24/1 speed=0.5 disabled\n");
}

TW_SUITE(dump)
{
    const struct CMUnitTest tests[] = {TW_TEST(every_field_shows)};
    return tw_run("timeline/dump", tests);
}
