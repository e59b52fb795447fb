/* SPDX-License-Identifier: Apache-2.0 */
#include "edl_support.h"

/* Timelines as another format would give them: 24 frames a second, times in frames. */

static const tw_rate rate = {24, 1};

static tw_item clip(const char *name, int64_t in, int64_t frames, int64_t source)
{
    tw_item item = tw_timeline_item(TW_ITEM_CLIP);
    item.name = tw_str_z(name);
    item.reel = tw_str_z(name);
    item.record = (tw_range){tw_time_frames(in, rate), tw_time_frames(frames, rate)};
    item.has_source = true;
    item.source = (tw_range){tw_time_frames(source, rate), tw_time_frames(frames, rate)};
    item.source_rate = rate;
    return item;
}

static tw_item mix(const char *name, int64_t cut, int64_t before, int64_t after)
{
    tw_item item = tw_timeline_item(TW_ITEM_TRANSITION);
    item.name = tw_str_z(name);
    item.in_offset = tw_time_frames(before, rate);
    item.out_offset = tw_time_frames(after, rate);
    item.record = (tw_range){tw_time_frames(cut - before, rate), tw_time_frames(before + after, rate)};
    return item;
}

static tw_item gap(int64_t in, int64_t frames)
{
    tw_item item = tw_timeline_item(TW_ITEM_GAP);
    item.record = (tw_range){tw_time_frames(in, rate), tw_time_frames(frames, rate)};
    return item;
}

static tw_timeline *one_track(tw_arena *arena, tw_item *items, size_t count)
{
    tw_timeline *timeline = tw_timeline_new(arena);
    timeline->file = TW_STR("t.otio");
    timeline->name = TW_STR("WHEEL");
    timeline->rate = rate;
    timeline->tracks = TW_NEW(arena, tw_track);
    timeline->track_count = 1;
    timeline->tracks[0] = (tw_track){.kind = TW_TRACK_VIDEO, .enabled = true, .items = items, .item_count = count};
    tw_timeline_settle(timeline);
    return timeline;
}

/* The list without its header, and its findings without the one about the rate. */
static void check(tw_arena *arena, const tw_timeline *timeline, const char *list, const char *findings)
{
    static const char header[] = "TITLE: WHEEL\nFCM: NON-DROP FRAME\n";
    static const char about_rate[] =
        "t.otio: warning TW1258: a list does not state its rate: this one counts 24 frames at "
        "24\n  -> pass --rate 24/1 when it is read again\n";
    tw_diags *diags = tw_diags_new(arena);
    tw_str text = edl_rewritten(arena, timeline, 0, diags);
    assert_true(tw_str_starts(text, TW_STR(header)));
    tw_assert_text(tw_str_from(text, sizeof header - 1), list);
    tw_str told = tw_str_z(tw_findings(arena, diags));
    assert_true(tw_str_starts(told, TW_STR(about_rate)));
    tw_assert_text(tw_str_from(told, sizeof about_rate - 1), findings);
}

/* A dissolve 12 frames before and 12 after its cut begins at the cut in a list: the outgoing clip loses 12 frames, the
 * incoming one gains them, and its keys count from its new beginning. */
static void centred_transition(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_item items[] = {clip("A003", 0, 48, 1000), mix("SMPTE_Dissolve", 48, 12, 12), clip("B001", 48, 48, 2000)};
    tw_key key = {.frame = 5, .cx = 1215, .cy = 2160, .w = 2430};
    tw_framing framing = {.source = {5760, 4320}, .delivery = {1080, 1920}, .squeeze = 1, .keys = &key, .key_count = 1};
    items[2].framing = &framing;
    check(arena, one_track(arena, items, 3),
          "001  A003     V     C        00:00:41:16 00:00:43:04 00:00:00:00 00:00:01:12\n"
          "* FROM CLIP NAME: A003\n"
          "002  A003     V     C        00:00:43:04 00:00:43:04 00:00:01:12 00:00:01:12\n"
          "002  B001     V     D    024 00:01:22:20 00:01:25:08 00:00:01:12 00:00:04:00\n"
          "* FROM CLIP NAME: A003\n"
          "* TO CLIP NAME: B001\n"
          "* TALLWIDE FRAME 1080X1920 SOURCE 5760X4320\n"
          "* TALLWIDE KEY 17 X 0.000 Y 0.000 W 2430.000 EASE 0\n",
          "warning TW1253: this transition was changed: in a list it begins at the cut, fits into the incoming event, "
          "takes at most 999 frames, and is a dissolve, wipe or key\n");
}

static void switched_off_transition(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_item items[] = {clip("A003", 0, 48, 1000), mix("SMPTE_Dissolve", 48, 12, 12), clip("B001", 48, 48, 2000)};
    items[1].enabled = false;
    check(arena, one_track(arena, items, 3),
          "001  A003     V     C        00:00:41:16 00:00:43:16 00:00:00:00 00:00:02:00\n"
          "* FROM CLIP NAME: A003\n"
          "002  B001     V     C        00:01:23:08 00:01:25:08 00:00:02:00 00:00:04:00\n"
          "* FROM CLIP NAME: B001\n",
          "warning TW1251: this transition is switched off: a list cannot say so, it is written as a cut\n");
}

/* A clip without a frame of its own has nothing to mix into. */
static void into_no_frame(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_item items[] = {clip("A003", 0, 48, 1000), mix("SMPTE_Dissolve", 48, 12, 12), clip("B001", 48, 0, 2000),
                       clip("C001", 48, 24, 3000)};
    check(arena, one_track(arena, items, 4),
          "001  A003     V     C        00:00:41:16 00:00:43:16 00:00:00:00 00:00:02:00\n"
          "* FROM CLIP NAME: A003\n"
          "002  B001     V     C        00:01:23:08 00:01:23:08 00:00:02:00 00:00:02:00\n"
          "* FROM CLIP NAME: B001\n"
          "003  C001     V     C        00:02:05:00 00:02:06:00 00:00:02:00 00:00:03:00\n"
          "* FROM CLIP NAME: C001\n",
          "warning TW1253: this transition was changed: in a list it begins at the cut, fits into the incoming event, "
          "takes at most 999 frames, and is a dissolve, wipe or key\n");
}

/* The outgoing side comes from a source that counts in whole seconds: 2 s and 24 frames of the list later are 3 s. */
static void out_of_seconds(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_item items[] = {clip("A003", 0, 24, 0), mix("SMPTE_Dissolve", 24, 0, 12), clip("B001", 24, 24, 2000)};
    items[0].source_rate = (tw_rate){1, 1};
    items[0].source.start = tw_time_frames(2, items[0].source_rate);
    check(arena, one_track(arena, items, 3),
          "001  A003     V     C        00:00:02:00 00:00:03:00 00:00:00:00 00:00:01:00\n"
          "* FROM CLIP NAME: A003\n"
          "002  A003     V     C        00:00:03:00 00:00:03:00 00:00:01:00 00:00:01:00\n"
          "002  B001     V     D    012 00:01:23:08 00:01:24:08 00:00:01:00 00:00:02:00\n"
          "* FROM CLIP NAME: A003\n"
          "* TO CLIP NAME: B001\n",
          "warning TW1236: the source of this clip counts frames as no list does: its times are written as the list "
          "counts\n");
}

/* What a nest leaves empty at its end goes out, not what ended before. */
static void out_of_a_hole(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_item items[] = {clip("A003", 0, 24, 1000), mix("SMPTE_Dissolve", 48, 0, 12), clip("B001", 48, 24, 2000)};
    check(arena, one_track(arena, items, 3),
          "001  A003     V     C        00:00:41:16 00:00:42:16 00:00:00:00 00:00:01:00\n"
          "* FROM CLIP NAME: A003\n"
          "002  BL       V     C        00:00:00:00 00:00:00:00 00:00:02:00 00:00:02:00\n"
          "002  B001     V     D    012 00:01:23:08 00:01:24:08 00:00:02:00 00:00:03:00\n"
          "* TO CLIP NAME: B001\n",
          "");
}

/* A fade to black: the remark of the outgoing side's rate stands below the pair like any other. */
static void fade_out_at_another_rate(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_item items[] = {clip("A003", 0, 24, 0), mix("SMPTE_Dissolve", 24, 0, 12)};
    items[0].source_rate = (tw_rate){48, 1};
    items[0].source = (tw_range){tw_time_frames(48, items[0].source_rate), tw_time_frames(48, items[0].source_rate)};
    check(arena, one_track(arena, items, 2),
          "001  A003     V     C        00:00:01:00 00:00:02:00 00:00:00:00 00:00:01:00\n"
          "* FROM CLIP NAME: A003\n"
          "* TALLWIDE RATE 48/1\n"
          "002  A003     V     C        00:00:02:00 00:00:02:00 00:00:01:00 00:00:01:00\n"
          "002  BL       V     D    012 00:00:00:00 00:00:00:12 00:00:01:00 00:00:01:12\n"
          "* TALLWIDE RATE 48/1 FROM\n",
          "warning TW1236: the source of this clip counts other frames in a second than the list\n");
}

/* A key names what is keyed: the clip before it on its track is not its background. */
static void key_after_key(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_item items[] = {clip("T001", 0, 48, 0), mix("key", 48, 0, 12), clip("T002", 48, 48, 0)};
    check(arena, one_track(arena, items, 3),
          "001  T001     V     C        00:00:00:00 00:00:02:00 00:00:00:00 00:00:02:00\n"
          "* FROM CLIP NAME: T001\n"
          "002  T002     V     K    012 00:00:00:00 00:00:02:00 00:00:02:00 00:00:04:00\n"
          "* TO CLIP NAME: T002\n",
          "");
}

/* Nothing mixes from a gap into the end. */
static void from_black_to_black(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_item items[] = {clip("A003", 0, 48, 1000), gap(48, 8), mix("SMPTE_Dissolve", 56, 12, 6)};
    check(arena, one_track(arena, items, 3),
          "001  A003     V     C        00:00:41:16 00:00:43:16 00:00:00:00 00:00:02:00\n"
          "* FROM CLIP NAME: A003\n",
          "warning TW1253: this transition was changed: in a list it begins at the cut, fits into the incoming event, "
          "takes at most 999 frames, and is a dissolve, wipe or key\n");
}

static void fades(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_item items[] = {mix("SMPTE_Dissolve", 0, 0, 24), clip("A003", 0, 48, 1000), mix("SMPTE_Dissolve", 48, 0, 24),
                       gap(48, 48)};
    check(arena, one_track(arena, items, 4),
          "001  BL       V     C        00:00:00:00 00:00:00:00 00:00:00:00 00:00:00:00\n"
          "001  A003     V     D    024 00:00:41:16 00:00:43:16 00:00:00:00 00:00:02:00\n"
          "* TO CLIP NAME: A003\n"
          "002  A003     V     C        00:00:43:16 00:00:43:16 00:00:02:00 00:00:02:00\n"
          "002  BL       V     D    024 00:00:00:00 00:00:01:00 00:00:02:00 00:00:03:00\n",
          "");
}

static void what_a_list_cannot_carry(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_item items[] = {clip("A003", 0, 24, 1000), clip("A004", 24, 24, 0), clip("A005", 48, 24, 0),
                       clip("A006", 72, 24, 0)};
    tw_media media[2] = {{.kind = TW_MEDIA_MISSING}, {.kind = TW_MEDIA_MISSING}};
    items[0].enabled = false;
    tw_item layer = clip("B001", 0, 24, 0);
    tw_track layers[2] = {{.kind = TW_TRACK_VIDEO, .enabled = true, .items = &layer, .item_count = 1}};
    layers[1] = layers[0];
    items[1].kind = TW_ITEM_NEST;
    items[1].tracks = layers;
    items[1].track_count = 2;
    items[2].media = media;
    items[2].media_count = 2;
    items[2].media_active = 0;
    items[2].speed = 1.2345;
    items[3].name = TW_STR("F\xC3\xA9lgen\xE2\x80\x94"
                           "1");
    check(
        arena, one_track(arena, items, 4),
        "001  A004     V     C        00:00:00:00 00:00:01:00 00:00:01:00 00:00:02:00\n"
        "* FROM CLIP NAME: A004\n"
        "002  A005     V     C        00:00:00:00 00:00:01:06 00:00:02:00 00:00:03:00\n"
        "M2   A005           029.6                00:00:00:00\n"
        "* FROM CLIP NAME: A005\n"
        "003  A006     V     C        00:00:00:00 00:00:01:00 00:00:03:00 00:00:04:00\n"
        "* FROM CLIP NAME: Felgen-1\n",
        "warning TW1251: this clip is switched off: a list cannot say so, it is left out\n"
        "warning TW1252: this nested timeline is written as one event; what is in it is not\n"
        "warning TW1254: only the active one of this clip's media references is named\n"
        "warning TW1255: a text here is longer than a list can hold, or has characters that it cannot: it was changed\n"
        "warning TW1259: the speed of this clip is rounded to one decimal of a frame a second\n");
}

static void media_too_short(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_item items[] = {clip("A003", 0, 48, 0), mix("SMPTE_Dissolve", 48, 0, 12), clip("B001", 48, 48, 0)};
    tw_media media = {.kind = TW_MEDIA_FILE, .has_available = true};
    items[0].media = &media;
    items[0].media_count = 1;
    items[0].media_active = 0;
    for (int64_t frames = 59; frames <= 60; frames++) { /* 48 shown and 12 in the mix */
        tw_diags *diags = tw_diags_new(arena);
        media.available = (tw_range){TW_TIME_ZERO, tw_time_frames(frames, rate)};
        edl_rewritten(arena, one_track(arena, items, 3), 0, diags);
        assert_int_equal(tw_diags_kept(diags), frames == 59 ? 2 : 1);
        if (frames == 59)
            assert_int_equal(tw_diags_get(diags, 1)->code, 1230);
    }
}

/* A clip that begins half a frame late, and before the one in front of it has ended: two tracks of another tool on one. */
static void between_frames_and_over_one_another(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_item items[] = {clip("A003", 0, 24, 1000), clip("B001", 12, 24, 2000)};
    items[1].record.start = tw_time_make(25, 48);
    check(arena, one_track(arena, items, 2),
          "001  A003     V     C        00:00:41:16 00:00:42:16 00:00:00:00 00:00:01:00\n"
          "* FROM CLIP NAME: A003\n"
          "002  B001     V     C        00:01:23:08 00:01:24:08 00:00:00:13 00:00:01:13\n"
          "* FROM CLIP NAME: B001\n",
          "warning TW1256: 2 times, here first, lie between two frames: they were rounded\n"
          "warning TW1260: this clip begins before the one before it ends: both are written\n");
}

/* Two dissolves of 30 and 30 frames round a clip of 10 frames. The first cut moves from 48 to 18, so that 30 frames are
 * needed to reach the end of A003; the second may then move from 58 to 48 only, and each clip is still seen to its end. */
static void transitions_longer_than_the_clip_between(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_item items[] = {clip("A003", 0, 48, 1000), mix("SMPTE_Dissolve", 48, 30, 30), clip("B001", 48, 10, 2000),
                       mix("SMPTE_Dissolve", 58, 30, 30), clip("C001", 58, 48, 3000)};
    check(arena, one_track(arena, items, 5),
          "001  A003     V     C        00:00:41:16 00:00:42:10 00:00:00:00 00:00:00:18\n"
          "* FROM CLIP NAME: A003\n"
          "002  A003     V     C        00:00:42:10 00:00:42:10 00:00:00:18 00:00:00:18\n"
          "002  B001     V     D    030 00:01:22:02 00:01:23:08 00:00:00:18 00:00:02:00\n"
          "* FROM CLIP NAME: A003\n"
          "* TO CLIP NAME: B001\n"
          "003  B001     V     C        00:01:23:08 00:01:23:08 00:00:02:00 00:00:02:00\n"
          "003  C001     V     D    040 00:02:04:14 00:02:07:00 00:00:02:00 00:00:04:10\n"
          "* FROM CLIP NAME: B001\n"
          "* TO CLIP NAME: C001\n",
          "warning TW1253: 2 transitions were changed, this one first: in a list they begin at the cut, fit into the "
          "incoming event, take at most 999 frames, and are dissolves, wipes or keys\n");
}

TW_SUITE(edl_collect)
{
    const struct CMUnitTest tests[] = {TW_TEST(centred_transition),
                                       TW_TEST(switched_off_transition),
                                       TW_TEST(fades),
                                       TW_TEST(into_no_frame),
                                       TW_TEST(out_of_seconds),
                                       TW_TEST(out_of_a_hole),
                                       TW_TEST(fade_out_at_another_rate),
                                       TW_TEST(key_after_key),
                                       TW_TEST(from_black_to_black),
                                       TW_TEST(what_a_list_cannot_carry),
                                       TW_TEST(media_too_short),
                                       TW_TEST(between_frames_and_over_one_another),
                                       TW_TEST(transitions_longer_than_the_clip_between)};
    return tw_run("edl/edl_collect", tests);
}
