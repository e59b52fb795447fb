/* SPDX-License-Identifier: Apache-2.0 */
#include "support/support.h"

#include <string.h>

#include <tallwide/edl.h>

#include "timeline/hand.h"

static const char *write(tw_arena *arena, const tw_timeline *t, tw_diags *diags)
{
    tw_buf out = {.arena = arena};
    const tw_write_options options = {.crlf = false};
    assert_int_equal(tw_format_edl.write(arena, t, 0, &options, diags, &out), TW_OK);
    tw_buf_addc(&out, '\0');
    return out.at;
}

/* A nest of three clips of which the outer track shows inner frames 10..40: the first is cut at its head, the last at its
 * tail, and the window of the first stays on the frames it was on. */
static void a_plain_row_becomes_its_clips(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_key keys[] = {{0, 2880, 2160, 2430, 0}, {16, 3380, 2160, 2430, 0}};
    tw_framing framing = {.source = {5760, 4320}, .delivery = {1080, 1920}, .squeeze = 1, .keys = keys, .key_count = 2};
    tw_item inner[] = {hand_clip("B001", -10, 100, 20), hand_clip("B002", 10, 200, 10), hand_clip("B003", 20, 300, 20)};
    inner[0].framing = &framing;
    inner[2].speed = 2;
    inner[2].source.dur = tw_time_frames(40, HAND_RATE);
    tw_track inner_track = hand_track(TW_TRACK_VIDEO, inner, 3);
    tw_item items[] = {hand_clip("A001", 0, 0, 24), tw_timeline_item(TW_ITEM_NEST)};
    items[1].name = TW_STR("ping");
    items[1].record = hand_frames(24, 30);
    items[1].has_source = true;
    items[1].source = hand_frames(10, 30);
    items[1].tracks = &inner_track;
    items[1].track_count = 1;
    tw_track track = hand_track(TW_TRACK_VIDEO, items, 2);
    tw_diags *diags = tw_diags_new(arena);
    const char *list = write(arena, hand_timeline(arena, &track, 1), diags);
    static const char *const lines[] = {
        "A001     V     C        00:00:00:00 00:00:01:00 00:00:00:00 00:00:01:00",
        "B001     V     C        00:00:04:14 00:00:05:00 00:00:01:00 00:00:01:10", /* source 110..120 */
        "* TALLWIDE KEY -10 X 1665.000 Y 0.000 W 2430.000 EASE 0\n",
        "* TALLWIDE KEY 6 X 2165.000 Y 0.000 W 2430.000 EASE 0\n",
        "B002     V     C        00:00:08:08 00:00:08:18 00:00:01:10 00:00:01:20",
        "B003     V     C        00:00:12:12 00:00:13:08 00:00:01:20 00:00:02:06", /* 10 record, 20 source frames */
        "M2   B003           048.0                00:00:12:12",
    };
    for (size_t i = 0; i < sizeof lines / sizeof lines[0]; i++)
        if (strstr(list, lines[i]) == NULL)
            fail_msg("missing: %s\nin\n%s", lines[i], list);
    assert_non_null(strstr(tw_findings(arena, diags), "TW1252: this nested timeline is written as the clips in it"));
}

/* A nest at 0..30 shows frames 10.. of a track on which another nest stands at 4..24, which shows frames 2.. of its clip:
 * at record 0 the clip's frame 10 - 4 + 2 = 8, until record 14. */
static void a_trimmed_nest_in_a_nest(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_item clip = hand_clip("B001", -2, 0, 40);
    tw_track innermost = hand_track(TW_TRACK_VIDEO, &clip, 1);
    tw_item inner = tw_timeline_item(TW_ITEM_NEST), outer = inner;
    inner.record = hand_frames(4 - 10, 20);
    inner.tracks = &innermost;
    inner.track_count = 1;
    tw_track middle = hand_track(TW_TRACK_VIDEO, &inner, 1);
    outer.record = hand_frames(0, 30);
    outer.tracks = &middle;
    outer.track_count = 1;
    tw_track track = hand_track(TW_TRACK_VIDEO, &outer, 1);
    const char *list = write(arena, hand_timeline(arena, &track, 1), tw_diags_new(arena));
    assert_non_null(strstr(list, "B001     V     C        00:00:00:08 00:00:00:22 00:00:00:00 00:00:00:14"));
}

/* Nothing, sound, what is switched off, and a nest of these: a list has no event for them. */
static void without_picture_is_a_gap(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_item clip = hand_clip("B001", 0, 0, 24), off = clip, inner = tw_timeline_item(TW_ITEM_NEST);
    off.enabled = false;
    tw_track sound = hand_track(TW_TRACK_AUDIO, &clip, 1), switched_off = hand_track(TW_TRACK_VIDEO, &off, 1);
    inner.record = hand_frames(0, 24);
    inner.tracks = &sound;
    inner.track_count = 1;
    tw_track nested = hand_track(TW_TRACK_VIDEO, &inner, 1), *const tracks[] = {NULL, &sound, &switched_off, &nested};
    for (size_t i = 0; i < sizeof tracks / sizeof tracks[0]; i++) {
        tw_item items[] = {hand_clip("A001", 0, 0, 24), tw_timeline_item(TW_ITEM_NEST), hand_clip("A002", 48, 0, 24)};
        items[1].record = hand_frames(24, 24);
        items[1].tracks = tracks[i];
        items[1].track_count = tracks[i] != NULL;
        tw_track track = hand_track(TW_TRACK_VIDEO, items, 3);
        tw_diags *diags = tw_diags_new(arena);
        tw_assert_text(tw_str_z(write(arena, hand_timeline(arena, &track, 1), diags)),
                       "TITLE: \n"
                       "FCM: NON-DROP FRAME\n"
                       "001  A001     V     C        00:00:00:00 00:00:01:00 00:00:00:00 00:00:01:00\n"
                       "* FROM CLIP NAME: A001\n"
                       "002  A002     V     C        00:00:00:00 00:00:01:00 00:00:02:00 00:00:03:00\n"
                       "* FROM CLIP NAME: A002\n");
        assert_non_null(strstr(tw_findings(arena, diags), "TW1252: this nested timeline has no picture"));
    }
}

/* Layers, sound or a speed in a nest have no row to unfold into, an open end would mix with the clip beside it. */
static void others_stay_one_event(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    static const struct {
        const char *name;
        size_t tracks;
        double speed;
        tw_track_kind second;
        size_t first, count; /* of a mix, a clip and a mix: which are in the nest */
    } rows[] = {{"two layers", 2, 1, TW_TRACK_VIDEO, 1, 1},
                {"a speed", 1, 2, TW_TRACK_VIDEO, 1, 1},
                {"sound beside it", 2, 1, TW_TRACK_AUDIO, 1, 1},
                {"a mix from nothing", 1, 1, TW_TRACK_VIDEO, 0, 2},
                {"a mix into nothing", 1, 1, TW_TRACK_VIDEO, 1, 2}};
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_row(i, rows[i].name);
        tw_item inner[] = {hand_transition(0, 0, 4), hand_clip("B001", 0, 100, 20), hand_transition(20, 4, 0)};
        tw_track inner_tracks[] = {hand_track(TW_TRACK_VIDEO, inner + rows[i].first, rows[i].count),
                                   hand_track(rows[i].second, inner + rows[i].first, rows[i].count)};
        tw_item item = tw_timeline_item(TW_ITEM_NEST);
        item.name = TW_STR("ping");
        item.record = hand_frames(0, 20);
        item.speed = rows[i].speed;
        item.tracks = inner_tracks;
        item.track_count = rows[i].tracks;
        tw_track track = hand_track(TW_TRACK_VIDEO, &item, 1);
        tw_diags *diags = tw_diags_new(arena);
        const char *list = write(arena, hand_timeline(arena, &track, 1), diags);
        assert_null(strstr(list, "B001"));
        assert_non_null(strstr(tw_findings(arena, diags), "TW1252: this nested timeline is written as one event"));
    }
}

TW_SUITE(edl_unfold)
{
    const struct CMUnitTest tests[] = {TW_TEST(a_plain_row_becomes_its_clips), TW_TEST(a_trimmed_nest_in_a_nest),
                                       TW_TEST(without_picture_is_a_gap), TW_TEST(others_stay_one_event)};
    return tw_run("edl/edl_unfold", tests);
}
