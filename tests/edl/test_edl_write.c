/* SPDX-License-Identifier: Apache-2.0 */
#include "edl_support.h"

/* The columns of every line: source in at number + reel + 18, the line number + reel + 65 long. */
static void columns(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    edl_case c = edl_read(arena, tw_fixture(arena, "edl/ok_scene.edl"), "24");
    tw_str text = edl_rewritten(arena, c.timeline, 0, tw_diags_new(arena));
    size_t events = 0;
    for (size_t i = 0, end; i < text.len; i = end + 1) {
        for (end = i; end < text.len && text.at[end] != '\n';)
            end++;
        if (text.at[i] < '0' || text.at[i] > '9')
            continue;
        events++;
        assert_int_equal(end - i, 3 + 8 + 65);
        assert_int_equal(text.at[i + 3 + 8 + 18 + 2], ':');
        assert_int_equal(text.at[i + 3 + 8 + 18 - 1], ' ');
    }
    assert_int_equal(events, 11); /* as many as the list has */
}

/* Read, written as a new list and read again: the same model. */
static void round_trip(void **state)
{
    static const char *const paths[] = {"edl/ok_scene.edl", "edl/ok_crlf.edl",   "edl/ok_trailer.edl",
                                        "edl/ok_sound.edl", "edl/ok_framed.edl", "edl/ok_blank_lines.edl"};
    for (size_t i = 0; i < sizeof paths / sizeof paths[0]; i++) {
        tw_arena *arena = tw_test_arena(state);
        tw_buf before = {.arena = arena}, after = {.arena = arena};
        tw_row(i, paths[i]);
        edl_case c = edl_read(arena, tw_fixture(arena, paths[i]), "24");
        tw_str text = edl_rewritten(arena, c.timeline, 0, tw_diags_new(arena));
        edl_case again = edl_read(arena, text, "24");
        assert_non_null(again.timeline);
        tw_timeline_dump(c.timeline, &before);
        tw_timeline_dump(again.timeline, &after);
        tw_buf_addc(&before, '\0');
        tw_assert_text(tw_buf_str(&after), before.at);
    }
}

static void whole_scene(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    edl_case c = edl_read(arena, tw_fixture(arena, "edl/ok_scene.edl"), "24");
    tw_diags *diags = tw_diags_new(arena);
    tw_assert_text(edl_rewritten(arena, c.timeline, 0, diags),
                   "TITLE: THE WHEEL BUILDER CUT 3\n"
                   "FCM: NON-DROP FRAME\n"
                   "001  A003     V     C        01:02:03:04 01:02:07:04 01:00:00:00 01:00:04:00\n"
                   "* FROM CLIP NAME:  HANDS ON THE HUB\n"
                   "* SOURCE FILE: A003C002_260114\n"
                   "009  MIX_01   NONE  C        00:00:00:00 00:00:21:12 01:00:00:00 01:00:21:12\n"
                   "AUD  3    4\n"
                   "002  B001     AA/V  C        01:02:06:10 01:02:09:22 01:00:04:00 01:00:07:12\n"
                   "* FROM CLIP NAME:  SPOKES, CLOSE\n"
                   "* LOC: 01:00:05:00 GREEN   KEEP THE SPOKE KEY\n"
                   "* SOURCE FILE: B001C002_260114\n"
                   "003  B001     V     C        01:02:09:22 01:02:09:22 01:00:07:12 01:00:07:12\n"
                   "003  C001     V     D    024 01:02:30:00 01:02:33:00 01:00:07:12 01:00:10:12\n"
                   "* FROM CLIP NAME:  SPOKES, CLOSE\n"
                   "* TO CLIP NAME:  THE SHOP, WIDE\n"
                   "* SOURCE FILE: C001C001_260114\n"
                   "004  A004     V     C        02:00:00:00 02:00:04:00 01:00:10:12 01:00:12:12\n"
                   "M2   A004           048.0                02:00:00:00\n"
                   "* FROM CLIP NAME:  TRUING STAND\n"
                   "005  A004     V     C        02:00:10:00 02:00:10:01 01:00:12:12 01:00:14:12\n"
                   "M2   A004           000.0                02:00:10:00\n"
                   "* FROM CLIP NAME:  TRUING STAND FF\n"
                   "* * FREEZE FRAME\n"
                   "006  A005     V     C        03:00:00:00 03:00:02:00 01:00:14:12 01:00:16:12\n"
                   "006  B002     V     W001 012 03:10:00:00 03:10:01:00 01:00:16:12 01:00:17:12\n"
                   "* FROM CLIP NAME:  RIM\n"
                   "* TO CLIP NAME:  TYRE\n"
                   "007  BL       V     C        00:00:00:00 00:00:01:00 01:00:17:12 01:00:18:12\n"
                   "008  AX       V     C        00:00:00:00 00:00:03:00 01:00:18:12 01:00:21:12\n"
                   "* FROM CLIP NAME:  TITLE CARD\n");
    tw_assert_text(tw_str_z(tw_findings(arena, diags)),
                   "t.edl: warning TW1258: a list does not state its rate: this one counts 24 frames at 24\n"
                   "  -> pass --rate 24/1 when it is read again\n");
}

/* Twenty tracks of the same 50,000 sounds: a million events, since channels past the fourth share none. */
static void more_than_can_be_numbered(void **state)
{
    enum { TRACKS = 20, SOUNDS = 50000 };
    tw_arena *arena = tw_test_arena(state);
    if (tw_test_short())
        return;
    tw_timeline *timeline = tw_timeline_new(arena);
    tw_item *items = TW_NEW_N(arena, tw_item, SOUNDS);
    for (int64_t i = 0; i < SOUNDS; i++) {
        items[i] = tw_timeline_item(TW_ITEM_CLIP);
        items[i].reel = TW_STR("S001");
        items[i].record = (tw_range){tw_time_frames(i, (tw_rate){24, 1}), tw_time_frames(1, (tw_rate){24, 1})};
    }
    timeline->file = TW_STR("t.otio");
    timeline->rate = (tw_rate){24, 1};
    timeline->tracks = TW_NEW_N(arena, tw_track, TRACKS);
    timeline->track_count = TRACKS;
    for (size_t t = 0; t < TRACKS; t++)
        timeline->tracks[t] = (tw_track){.kind = TW_TRACK_AUDIO,
                                         .name = tw_arena_printf(arena, "A%zu", t + 5),
                                         .enabled = true,
                                         .items = items,
                                         .item_count = SOUNDS};
    tw_diags *diags = tw_diags_new(arena);
    tw_buf out = {.arena = arena};
    assert_int_equal(tw_format_edl.write(arena, timeline, 0, NULL, diags, &out), TW_ERR_LIMIT);
    tw_assert_text(tw_str_z(tw_findings(arena, diags)),
                   "t.otio: error TW1261: 1000000 events are more than a list can number\n");
}

TW_SUITE(edl_write)
{
    const struct CMUnitTest tests[] = {TW_TEST(columns), TW_TEST(round_trip), TW_TEST(whole_scene),
                                       TW_TEST(more_than_can_be_numbered)};
    return tw_run("edl/edl_write", tests);
}
