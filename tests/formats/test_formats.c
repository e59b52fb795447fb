/* SPDX-License-Identifier: Apache-2.0 */
#include "support/support.h"

#include <string.h>

#include <tallwide/formats.h>

#include "timeline/hand.h"

static const char *name_of(const tw_format *format)
{
    return format != NULL ? format->name : "none";
}

static void found_by_bytes_and_by_name(void **state)
{
    (void)state;
    static const struct {
        const char *bytes, *format;
    } probes[] = {
        {"TITLE: WHEEL\nFCM: NON-DROP FRAME\n", "edl"},
        {"001  A003     V     C        01:00:00:00 01:00:04:00 01:00:00:00 01:00:04:00\n", "edl"},
        {"{\n    \"OTIO_SCHEMA\": \"Timeline.1\"", "otio"},
        {"<?xml version=\"1.0\"?><smil/>", "smil"},
        {"GIF89a", "none"},
        {"", "none"},
    };
    for (size_t i = 0; i < sizeof probes / sizeof probes[0]; i++) {
        tw_row(i, probes[i].bytes);
        assert_string_equal(name_of(tw_formats_probe(tw_str_z(probes[i].bytes))), probes[i].format);
    }
    static const struct {
        const char *path, *format;
    } paths[] = {
        {"cuts/wheel.EDL", "edl"}, {"wheel.otio", "otio"}, {"a.b.smil", "smil"}, {"otio", "none"}, {"x.mov", "none"}};
    for (size_t i = 0; i < sizeof paths / sizeof paths[0]; i++) {
        tw_row(i, paths[i].path);
        assert_string_equal(name_of(tw_formats_for_path(tw_str_z(paths[i].path))), paths[i].format);
    }
}

/* Whatever the row says must be there; a format nobody can reach by name, ending or bytes is no format. */
static void every_row_is_whole(void **state)
{
    (void)state;
    for (size_t i = 0; tw_formats_at(i) != NULL; i++) {
        const tw_format *f = tw_formats_at(i);
        tw_row(i, f->name);
        assert_ptr_equal(tw_formats_named(tw_str_z(f->name)), f);
        assert_non_null(f->extensions[0]);
        assert_true(strlen(f->title) > 0 && strlen(f->cannot_carry) > 0);
        assert_true(f->probe != NULL && f->read != NULL && f->parts != NULL && f->write != NULL);
    }
}

static void foreign_bytes_are_refused(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_diags *diags = tw_diags_new(arena);
    tw_timeline *t = NULL;
    const tw_read_options options = {.drop = false};
    assert_int_equal(tw_formats_read(arena, TW_STR("GIF89a"), TW_STR("wheel.gif"), &options, diags, &t), TW_ERR_SYNTAX);
    assert_null(t);
    assert_non_null(strstr(tw_findings(arena, diags), "wheel.gif: error TW1001: "));
}

/* Nests in nests, `depth` of them around one clip, its window, key and marker. */
static tw_timeline *nested(tw_arena *arena, int depth)
{
    tw_key *key = TW_NEW(arena, tw_key);
    tw_framing *framing = TW_NEW(arena, tw_framing);
    tw_marker *marker = TW_NEW(arena, tw_marker);
    tw_item *inner = TW_NEW(arena, tw_item);
    *key = (tw_key){0, 2880, 2160, 2430, 0};
    *framing = (tw_framing){
        .source = {5760, 4320}, .delivery = {1080, 1920}, .squeeze = 1, .keys = key, .key_count = 1};
    *marker = (tw_marker){.name = TW_STR("true"), .at = hand_frames(0, 1)};
    *inner = hand_clip("A003", 0, 0, 24);
    inner->framing = framing;
    inner->markers = marker;
    inner->marker_count = 1;
    for (int i = 0; i <= depth; i++) {
        tw_track *track = TW_NEW(arena, tw_track);
        tw_item *nest = TW_NEW(arena, tw_item);
        *track = hand_track(TW_TRACK_VIDEO, inner, 1);
        *nest = tw_timeline_item(TW_ITEM_NEST);
        nest->record = hand_frames(0, 24);
        nest->tracks = track;
        nest->track_count = 1;
        inner = nest;
    }
    return hand_timeline(arena, inner->tracks, 1);
}

/* What a reader accepts, every writer can write, and its own reader accepts it in turn; one nest more is refused. */
static void nested_as_deep_as_may_be(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    const tw_write_options write = {.crlf = false};
    for (size_t i = 0; tw_formats_at(i) != NULL; i++) {
        const tw_format *f = tw_formats_at(i);
        for (int depth = TW_NESTS_LIMIT; depth <= TW_NESTS_LIMIT + 1; depth++) {
            tw_buf text = {.arena = arena};
            tw_diags *diags = tw_diags_new(arena);
            const tw_read_options read = {.rate = HAND_RATE};
            tw_timeline *back = NULL;
            bool fine = depth == TW_NESTS_LIMIT || f == tw_formats_named(TW_STR("edl")); /* which writes what is in them */
            tw_row((size_t)depth, f->name);
            assert_int_equal(f->write(arena, nested(arena, depth), 0, &write, tw_diags_new(arena), &text), TW_OK);
            tw_status status = f->read(arena, tw_buf_str(&text), TW_STR("t"), &read, diags, &back);
            assert_int_equal(status, fine ? TW_OK : TW_ERR_SEMANTIC);
            assert_true(fine == (strstr(tw_findings(arena, diags), ": error TW1403: ") == NULL));
        }
    }
}

TW_SUITE(formats)
{
    const struct CMUnitTest tests[] = {
        TW_TEST(nested_as_deep_as_may_be),
        TW_TEST(found_by_bytes_and_by_name),
        TW_TEST(every_row_is_whole),
        TW_TEST(foreign_bytes_are_refused),
    };
    return tw_run("formats/formats", tests);
}
