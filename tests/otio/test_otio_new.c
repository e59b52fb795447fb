/* SPDX-License-Identifier: Apache-2.0 */
#include "otio/otio_cases.h"

#include <string.h>

/* A timeline as a reader of text lists makes it. */

static const tw_rate ntsc = {30000, 1001};

static tw_range frames(int64_t start, int64_t dur)
{
    return (tw_range){tw_time_frames(start, ntsc), tw_time_frames(dur, ntsc)};
}

static tw_item event(const char *number, const char *reel, int64_t at, int64_t dur, int64_t source)
{
    tw_item item = tw_timeline_item(TW_ITEM_CLIP);
    item.event = tw_str_z(number);
    item.reel = tw_str_z(reel);
    item.name = tw_str_z("hands");
    item.record = frames(at, dur);
    item.has_source = true;
    item.source = frames(source, dur);
    item.source_rate = ntsc;
    item.channels = 1;
    return item;
}

static tw_timeline *with_items(tw_arena *arena, tw_item *items, size_t count)
{
    tw_timeline *timeline = tw_timeline_new(arena);
    timeline->name = TW_STR("WHEEL");
    timeline->rate = ntsc;
    timeline->drop = true;
    timeline->start = tw_time_frames(107892, ntsc); /* 01:00:00;00 */
    timeline->tracks = TW_NEW(arena, tw_track);
    timeline->track_count = 1;
    *timeline->tracks =
        (tw_track){.kind = TW_TRACK_VIDEO, .name = TW_STR("V"), .enabled = true, .items = items, .item_count = count};
    tw_timeline_settle(timeline);
    return timeline;
}

static tw_timeline *a_list(tw_arena *arena)
{
    enum { START = 107892, COUNT = 7 };
    tw_item *items = TW_NEW_N(arena, tw_item, COUNT);
    items[0] = event("001", "A003", START, 90, 5000);
    items[0].remarks = TW_NEW_N(arena, tw_remark, 2);
    items[0].remarks[0].text = TW_STR("* FROM CLIP NAME:  HANDS \"ON\" SPOKE");
    items[0].remarks[1].text = TW_STR("* \\ A BACKSLASH");
    items[0].remark_count = 2;
    items[0].source_drop = true;
    items[1] = tw_timeline_item(TW_ITEM_TRANSITION);
    items[1].name = TW_STR("wipe 012");
    items[1].event = TW_STR("002");
    items[1].record = frames(START + 90, 24);
    items[1].out_offset = items[1].record.dur;
    items[2] = event("002", "B001", START + 90, 60, 800);
    items[2].channels = 7;
    items[3] = tw_timeline_item(TW_ITEM_GAP);
    items[3].record = frames(START + 150, 30);
    items[4] = event("003", "A003", START + 180, 48, 9000);
    items[4].speed = -1.25;
    items[4].source.dur = tw_time_frames(61, ntsc); /* 60 follow: the list rounds up */
    items[5] = event("004", "BL", START + 228, 12, 0);
    items[5].media = TW_NEW(arena, tw_media);
    *items[5].media = (tw_media){.kind = TW_MEDIA_GENERATOR, .key = TW_STR("DEFAULT_MEDIA"), .name = TW_STR("black")};
    items[5].media_count = 1;
    items[5].media_active = 0;
    items[6] = event("005", "C001", START + 240, 20, 77);
    items[6].speed = 0;
    items[6].source.dur = tw_time_frames(20, ntsc);
    items[6].enabled = false;
    return with_items(arena, items, COUNT);
}

/* What the model holds, without what only one of the two formats has: media of a clip, place in a file. */
static tw_str shape(tw_arena *arena, tw_timeline *timeline)
{
    tw_item **clips = tw_timeline_clips(arena, timeline);
    for (size_t i = 0; i < timeline->clip_count; i++)
        clips[i]->media_count = 0;
    return otio_dump(arena, timeline);
}

static void list_and_back(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_timeline *timeline = a_list(arena);
    timeline->remarks = TW_NEW(arena, tw_remark);
    timeline->remarks[0].text = TW_STR("* CUT 7");
    timeline->remark_count = 1;
    tw_diags *diags = tw_diags_new(arena);
    tw_str bytes = otio_written(arena, timeline, diags);
    tw_assert_text(tw_str_z(tw_findings(arena, diags)), "");
    tw_timeline *again = otio_case(arena, bytes, diags);
    assert_non_null(again);
    assert_true(again->drop);
    assert_int_equal(again->remark_count, 1);
    tw_assert_text(again->remarks[0].text, "* CUT 7");
    assert_true(again->tracks[0].items[0].source_drop);
    assert_true(tw_item_is_black(&again->tracks[0].items[5]));
    tw_assert_text(shape(arena, again), shape(arena, timeline).at);
    /* the second document is the first */
    assert_true(tw_str_eq(bytes, otio_written(arena, again, diags)));
}

/* What release 0.12 does not know must not be written: later releases bring the rest up by themselves. */
static void for_every_release(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_timeline *timeline = a_list(arena);
    tw_item *first = &timeline->tracks[0].items[0];
    first->markers = TW_NEW(arena, tw_marker);
    *first->markers = (tw_marker){.name = TW_STR("spoke key"), .at = frames(5010, 0)};
    first->marker_count = 1;
    tw_diags *diags = tw_diags_new(arena);
    tw_str bytes = otio_written(arena, timeline, diags);
    char *text = tw_arena_dupz(arena, bytes);
    static const char *const never[] = {"Clip.2", "Marker.3", "media_references", "available_image_bounds",
                                        "color\": {"};
    for (size_t i = 0; i < sizeof never / sizeof never[0]; i++) {
        tw_row(i, never[i]);
        assert_null(strstr(text, never[i]));
    }
    static const char *const there[] = {"\"Clip.1\"",
                                        "\"Marker.2\"",
                                        "\"Gap.1\"",
                                        "\"Transition.1\"",
                                        "\"Stack.1\"",
                                        "\"FreezeFrame.1\"",
                                        "\"LinearTimeWarp.1\"",
                                        "\"Track.1\"",
                                        "\"Timeline.1\"",
                                        "\"GeneratorReference.1\"",
                                        "\"MissingReference.1\"",
                                        "29.97002997002997"};
    for (size_t i = 0; i < sizeof there / sizeof there[0]; i++) {
        tw_row(i, there[i]);
        assert_non_null(strstr(text, there[i]));
    }
    assert_int_equal(otio_case(arena, bytes, diags)->tracks[0].items[0].marker_count, 1);
}

/* One clip, whole. */
static void layout(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_item one = event("001", "A003", 107892, 24, 5000);
    one.media = TW_NEW(arena, tw_media);
    *one.media = (tw_media){.kind = TW_MEDIA_FILE, .url = TW_STR("A003.mov")};
    one.media_count = 1;
    one.media_active = 0;
    tw_diags *diags = tw_diags_new(arena);
    tw_assert_text(otio_written(arena, with_items(arena, &one, 1), diags),
                   tw_fixture(arena, "otio/new_one_clip.otio").at);
}

static void overlaps(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_item items[4];
    items[0] = event("001", "A003", 107892, 48, 5000);
    items[1] = event("002", "B001", 107892 + 24, 48, 0);
    items[2] = event("003", "C001", 107892 + 48, 10, 0);
    items[3] = event("004", "C001", 107892 + 30, 10, 0);
    tw_timeline *timeline = with_items(arena, items, 4);
    tw_diags *diags = tw_diags_new(arena);
    tw_str bytes = otio_written(arena, timeline, diags);
    assert_int_equal(tw_diags_count(diags, TW_NOTE), 2);
    tw_assert_text(tw_diags_get(diags, 0)->message,
                   "\"002\" overlaps what comes before it: it is put on a track of its own");
    tw_timeline *again = otio_case(arena, bytes, diags);
    assert_int_equal(again->track_count, 3);
    size_t found = 0;
    for (size_t t = 0; t < 3; t++)
        for (size_t i = 0; i < again->tracks[t].item_count; i++)
            for (size_t k = 0; k < 4; k++)
                if (tw_str_eq(again->tracks[t].items[i].event, items[k].event)) {
                    found++;
                    assert_true(tw_time_eq(again->tracks[t].items[i].record.start, items[k].record.start));
                    assert_true(tw_time_eq(again->tracks[t].items[i].record.dur, items[k].record.dur));
                }
    assert_int_equal(found, 4);
}

/* Of two clips that end where a mix begins, the mix comes from the one before it in the list, on its track. */
static void a_mix_stays_behind_its_clip(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_item items[4];
    items[0] = event("001", "A003", 107892, 48, 5000);
    items[1] = event("001", "A004", 107892, 48, 6000);
    items[2] = tw_timeline_item(TW_ITEM_TRANSITION);
    items[2].name = TW_STR("dissolve");
    items[2].record = frames(107892 + 48, 12);
    items[2].out_offset = items[2].record.dur;
    items[3] = event("002", "B001", 107892 + 48, 48, 0);
    tw_diags *diags = tw_diags_new(arena);
    const tw_timeline *again = otio_case(arena, otio_written(arena, with_items(arena, items, 4), diags), diags);
    assert_int_equal(again->track_count, 2);
    assert_int_equal(again->tracks[0].item_count, 1);
    assert_int_equal(again->tracks[1].item_count, 3);
    tw_assert_text(again->tracks[1].items[0].reel, "A004");
    assert_int_equal(tw_item_tail(again, &again->tracks[1].items[0]), 12);
    assert_int_equal(tw_item_tail(again, &again->tracks[0].items[0]), 0);
}

/* A mix from black leads into a clip that does not follow on the one before: the gap comes first. */
static void a_mix_stays_before_its_clip(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_item items[3];
    items[0] = event("001", "A003", 107892, 48, 5000);
    items[1] = tw_timeline_item(TW_ITEM_TRANSITION);
    items[1].name = TW_STR("dissolve");
    items[1].record = frames(107892 + 60, 12);
    items[1].out_offset = items[1].record.dur;
    items[2] = event("002", "B001", 107892 + 60, 48, 0);
    tw_diags *diags = tw_diags_new(arena);
    const tw_timeline *again = otio_case(arena, otio_written(arena, with_items(arena, items, 3), diags), diags);
    assert_int_equal(again->tracks[0].item_count, 4);
    assert_int_equal(again->tracks[0].items[1].kind, TW_ITEM_GAP);
    assert_int_equal(tw_item_tail(again, &again->tracks[0].items[0]), 0);
}

static void losses(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_item one = event("001", "A003", 107892, 24, 5000);
    tw_media media[2] = {{.kind = TW_MEDIA_FILE, .url = TW_STR("A003.mov")}, {.kind = TW_MEDIA_MISSING}};
    one.media = media;
    one.media_count = 2;
    one.media_active = 0;
    one.variable_speed = true;
    tw_diags *diags = tw_diags_new(arena);
    otio_written(arena, with_items(arena, &one, 1), diags);
    assert_int_equal(tw_diags_kept(diags), 2);
    assert_int_equal(tw_diags_get(diags, 0)->code, 1336);
    assert_int_equal(tw_diags_get(diags, 1)->code, 1335);
}

/* Is any value of the document told from that which would be made? A number, a text or a member gone, one after the
 * other. */
static void each_change_is_seen(tw_arena *arena, const tw_timeline *timeline, tw_json *root, tw_json *value)
{
    if (value->kind == TW_JSON_NUMBER || value->kind == TW_JSON_STRING) {
        tw_str text = value->text;
        value->text = TW_STR("7");
        assert_false(twi_otio_is_new(arena, timeline, root));
        value->text = text;
    }
    tw_json *first = tw_json_first(value);
    for (tw_json *child = first; child != NULL; child = child->next)
        each_change_is_seen(arena, timeline, root, child);
    if (first == NULL)
        return;
    value->in.first = first->next;
    value->count--;
    assert_false(twi_otio_is_new(arena, timeline, root));
    value->in.first = first;
    value->count++;
}

static void what_is_written_is_known_again(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_item items[4] = {event("001", "A003", 107892, 24, 5000), event("002", "A004", 107900, 24, 5000),
                        event("003", "A003", 107930, 10, 6000), event("004", "A003", 107940, 5, 7000)};
    items[3].speed = 0.5;
    const tw_timeline *timeline = with_items(arena, items, 4); /* two tracks, and a gap */
    tw_json *root = twi_otio_new(arena, timeline, tw_diags_new(arena));
    assert_true(twi_otio_is_new(arena, timeline, root));
    each_change_is_seen(arena, timeline, root, root);
    assert_true(twi_otio_is_new(arena, timeline, root));
    assert_false(twi_otio_is_new(arena, with_items(arena, items, 3), root)); /* an item too many */
}

/* A list that repeats one record time 101 times: a hundred tracks, and one clip left out and told. */
static void too_many_over_one_another(void **state)
{
    enum { COUNT = 101 };
    tw_arena *arena = tw_test_arena(state);
    tw_item items[COUNT];
    for (size_t i = 0; i < COUNT; i++) {
        items[i] = event("001", "A003", 107892, 24, 5000);
        items[i].event = tw_arena_printf(arena, "%03zu", i + 1);
    }
    tw_diags *diags = tw_diags_new(arena);
    const tw_timeline *again = otio_case(arena, otio_written(arena, with_items(arena, items, COUNT), diags), diags);
    assert_int_equal(again->track_count, 100);
    const tw_diag *last = tw_diags_get(diags, tw_diags_kept(diags) - 1);
    assert_int_equal(last->code, 1337);
    tw_assert_text(last->message, "more than 100 items lie over one another here: \"101\" is left out");
}

/* A nest that is shown shorter than what it holds says so. */
static void nest_cut_short(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_item inner[] = {event("001", "A003", 0, 48, 0)}, outer[] = {tw_timeline_item(TW_ITEM_NEST)};
    tw_track track = {.kind = TW_TRACK_VIDEO, .enabled = true, .items = inner, .item_count = 1};
    outer[0].record = frames(107892, 24);
    outer[0].tracks = &track;
    outer[0].track_count = 1;
    tw_diags *diags = tw_diags_new(arena);
    const tw_timeline *again = otio_case(arena, otio_written(arena, with_items(arena, outer, 1), diags), diags);
    assert_true(tw_time_eq(again->tracks[0].items[0].record.dur, outer[0].record.dur));
}

/* There is no time before the beginning to put it in: refused, not put later. */
static void before_the_beginning(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_item items[] = {event("001", "A003", 107882, 24, 0), event("002", "A004", 107906, 24, 0)};
    tw_diags *diags = tw_diags_new(arena);
    tw_buf out = {.arena = arena};
    assert_int_equal(tw_format_otio.write(arena, with_items(arena, items, 2), 0, NULL, diags, &out), TW_ERR_SEMANTIC);
    assert_int_equal(tw_diags_kept(diags), 1);
    assert_int_equal(tw_diags_get(diags, 0)->code, 1342);
}

/* 24.976, 22.976 and 24000/1001 frames a second have a common measure of 1/(24000 x 1561 x 359) s = 1/1.3e10 s; with
 * thousandths of a frame it would be 1/1.3e13 s, finer than a reader adds up. Lengths go by their own rate; a gap has
 * none, and is put on the nearest frame: 48 frames at 24.976 are 46.08. */
static void rates_that_hardly_go_together(void **state)
{
    static const char json[] = J_VIDEO(
        J_CLIP("a", J_RANGE("0", "48", "24.976"), "") "," J_CLIP("b", J_RANGE("0", "48", "22.976"), "") "," J_CLIP(
            "c", J_RANGE("0", "48", "23.976"),
            "") ",{\"OTIO_SCHEMA\":\"Gap.1\",\"source_range\":" J_RANGE("0", "48",
                                                                        "24.976") "}," J_CLIP("d",
                                                                                              J_RANGE("0", "48",
                                                                                                      "23.976"),
                                                                                              ""));
    tw_arena *arena = tw_test_arena(state);
    tw_diags *diags = tw_diags_new(arena);
    tw_timeline *timeline = otio_fine(arena, json);
    timeline->format = NULL;
    const tw_timeline *again = otio_case(arena, otio_written(arena, timeline, diags), diags);
    assert_non_null(again);
    for (size_t i = 0; i < 3; i++)
        assert_true(tw_time_eq(again->tracks[0].items[i].record.dur, timeline->tracks[0].items[i].record.dur));
    assert_int_equal(tw_item_frames(again, &again->tracks[0].items[3]), 46);
    assert_int_equal(tw_diags_kept(diags), 1);
    tw_assert_text(
        tw_diags_get(diags, 0)->message,
        "1 time lies between two frames: the nearest one is written, since parts of frames cannot be added up at "
        "the rates in this edit");
}

TW_SUITE(otio_new)
{
    const struct CMUnitTest tests[] = {TW_TEST(list_and_back),
                                       TW_TEST(for_every_release),
                                       TW_TEST(layout),
                                       TW_TEST(overlaps),
                                       TW_TEST(a_mix_stays_behind_its_clip),
                                       TW_TEST(a_mix_stays_before_its_clip),
                                       TW_TEST(losses),
                                       TW_TEST(what_is_written_is_known_again),
                                       TW_TEST(too_many_over_one_another),
                                       TW_TEST(before_the_beginning),
                                       TW_TEST(nest_cut_short),
                                       TW_TEST(rates_that_hardly_go_together)};
    return tw_run("otio/otio_new", tests);
}
