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
        assert_non_null(f->mark);
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
    *framing =
        (tw_framing){.source = {5760, 4320}, .delivery = {1080, 1920}, .squeeze = 1, .keys = key, .key_count = 1};
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
            bool fine =
                depth == TW_NESTS_LIMIT || f == tw_formats_named(TW_STR("edl")); /* which writes what is in them */
            tw_row((size_t)depth, f->name);
            assert_int_equal(f->write(arena, nested(arena, depth), 0, &write, tw_diags_new(arena), &text), TW_OK);
            tw_status status = f->read(arena, tw_buf_str(&text), TW_STR("t"), &read, diags, &back);
            assert_int_equal(status, fine ? TW_OK : TW_ERR_SEMANTIC);
            assert_true(fine == (strstr(tw_findings(arena, diags), ": error TW1403: ") == NULL));
        }
    }
}

/* ---- written, or told ------------------------------------------------------------------------------------ */

typedef struct model {
    tw_timeline *timeline;
    tw_track *tracks; /* picture, sound, what is in the nest */
    tw_item *items;   /* of the picture: clip, mix, clip, gap, nest, clip */
    tw_item *inner;
    tw_media *media; /* of the first clip */
    tw_marker *marker;
    tw_remark *remark;
    tw_framing *framing;
    tw_stamp *stamp;
} model;

static model make_model(tw_arena *arena)
{
    model m = {.tracks = TW_NEW_N(arena, tw_track, 3), .items = TW_NEW_N(arena, tw_item, 6)};
    m.inner = TW_NEW(arena, tw_item);
    *m.inner = hand_clip("B001", 0, 48, 24);
    m.media = TW_NEW_N(arena, tw_media, 2);
    m.media[0] = (tw_media){.kind = TW_MEDIA_FILE,
                            .name = TW_STR("A003.mov"),
                            .url = TW_STR("day1/A003.mov"),
                            .has_available = true,
                            .available = hand_frames(0, 480),
                            .rate = HAND_RATE};
    m.media[1] = m.media[0];
    m.items[0] = hand_clip("A003", 0, 96, 48);
    m.items[0].media = m.media;
    m.items[0].media_count = 1;
    m.items[0].media_active = 0;
    m.items[1] = hand_transition(48, 0, 8);
    m.items[2] = hand_clip("A004", 48, 48, 24);
    m.items[3] = hand_gap(72, 24);
    m.items[4] = tw_timeline_item(TW_ITEM_NEST);
    m.items[4].record = hand_frames(96, 24);
    m.items[4].tracks = &m.tracks[2];
    m.items[4].track_count = 1;
    m.items[5] = hand_clip("A005", 120, 48, 24);
    m.tracks[0] = hand_track(TW_TRACK_VIDEO, m.items, 6);
    m.tracks[1] = hand_track(TW_TRACK_AUDIO, TW_NEW(arena, tw_item), 1);
    m.tracks[1].items[0] = hand_clip("S001", 0, 48, 144);
    m.tracks[2] = hand_track(TW_TRACK_VIDEO, m.inner, 1);
    m.marker = TW_NEW(arena, tw_marker);
    *m.marker = (tw_marker){
        .name = TW_STR("hub"), .comment = TW_STR("true it"), .color = TW_STR("RED"), .at = hand_frames(50, 1)};
    m.remark = TW_NEW(arena, tw_remark);
    m.remark->text = TW_STR("* COMMENT: FORTY SPOKES");
    m.framing = TW_NEW(arena, tw_framing);
    *m.framing = (tw_framing){
        .source = {5760, 4320}, .delivery = {1080, 1920}, .squeeze = 1, .keys = TW_NEW(arena, tw_key), .key_count = 1};
    m.framing->keys[0] = (tw_key){0, 2880, 2160, 2430, 0};
    m.stamp = TW_NEW(arena, tw_stamp);
    *m.stamp = (tw_stamp){.delivery = TW_STR("tall"), .size = {1080, 1920}, .master_hash = 1, .plan_hash = 2};
    m.timeline = hand_timeline(arena, m.tracks, 2);
    return m;
}

#define SET(name, what)                                                                                                \
    static void name(model *m)                                                                                         \
    {                                                                                                                  \
        what;                                                                                                          \
    }
SET(timeline_name, m->timeline->name = TW_STR("WHEEL V2"))
SET(timeline_start, m->timeline->start = tw_time_frames(-24, HAND_RATE))
SET(timeline_marker, (m->timeline->markers = m->marker, m->timeline->marker_count = 1))
SET(timeline_remark, (m->timeline->remarks = m->remark, m->timeline->remark_count = 1))
SET(timeline_stamp, m->timeline->stamp = m->stamp)
SET(track_name, m->tracks[0].name = TW_STR("PICTURE"))
SET(track_off, m->tracks[0].enabled = false)
SET(sound_off, m->tracks[1].enabled = false)
SET(track_marker, (m->tracks[0].markers = m->marker, m->tracks[0].marker_count = 1))
SET(other_track, m->tracks[1].kind = TW_TRACK_OTHER)
SET(clip_name, m->items[0].name = TW_STR("LACING"))
SET(clip_name_odd, m->items[0].name = TW_STR("LACING\x01"))
SET(clip_event, m->items[0].event = TW_STR("017"))
SET(clip_reel, m->items[0].reel = TW_STR("A009"))
SET(clip_reel_odd, m->items[0].reel = TW_STR("A 003"))
SET(clip_off, m->items[0].enabled = false)
SET(clip_source, m->items[0].source.start = tw_time_frames(99, HAND_RATE))
SET(clip_source_part, m->items[0].source.start = tw_time_make(97, 48))
SET(clip_record_part, m->items[5].record.start = tw_time_make(241, 48))
SET(clip_late, m->items[5].record.start = tw_time_frames(130, HAND_RATE))
SET(clip_early, m->items[5].record.start = tw_time_frames(110, HAND_RATE))
SET(clip_source_rate, m->items[0].source_rate = ((tw_rate){48, 1}))
SET(clip_speed, m->items[0].speed = 2)
SET(clip_variable, m->items[0].variable_speed = true)
SET(clip_marker, (m->items[0].markers = m->marker, m->items[0].marker_count = 1))
SET(clip_remark, (m->items[0].remarks = m->remark, m->items[0].remark_count = 1))
SET(clip_framing, m->items[0].framing = m->framing)
SET(media_second, m->items[0].media_count = 2)
SET(media_url, m->media[0].url = TW_STR("day2/A003.mov"))
SET(media_name, m->media[0].name = TW_STR("A003 proxy"))
SET(media_length, m->media[0].available = hand_frames(0, 500))
SET(mix_kind, m->items[1].name = TW_STR("wipe 001"))
SET(mix_length, m->items[1].out_offset = tw_time_frames(12, HAND_RATE))
SET(mix_early, m->items[1].in_offset = tw_time_frames(4, HAND_RATE))
SET(gap_marker, (m->items[3].markers = m->marker, m->items[3].marker_count = 1))
SET(nest_name, m->items[4].name = TW_STR("TRUING"))
SET(nest_off, m->items[4].enabled = false)
SET(nest_speed, m->items[4].speed = 2)
SET(nest_variable, m->items[4].variable_speed = true)
SET(nest_marker, (m->items[4].markers = m->marker, m->items[4].marker_count = 1))
SET(nest_shorter, m->items[4].record.dur = tw_time_frames(20, HAND_RATE))
SET(inner_off, m->tracks[2].enabled = false)
SET(inner_early, m->inner->record.start = tw_time_frames(-4, HAND_RATE))

/* What is read of what is written, and the findings of writing. */
typedef struct outcome {
    tw_str model;
    const char *told;
    size_t clips, framed;
} outcome;

static bool count_item(void *context, const tw_track *track, const tw_item *item)
{
    outcome *o = context;
    (void)track;
    o->clips += item->kind == TW_ITEM_CLIP;
    o->framed += item->framing != NULL;
    return true;
}

static outcome outcome_of(tw_arena *arena, const tw_format *f, const tw_timeline *timeline)
{
    const tw_write_options write = {.crlf = false};
    const tw_read_options read = {.rate = HAND_RATE};
    tw_buf text = {.arena = arena}, dump = {.arena = arena};
    tw_diags *losses = tw_diags_new(arena);
    tw_timeline *back = NULL;
    outcome out = {.clips = 0};
    if (f->write(arena, timeline, 0, &write, losses, &text) == TW_OK) {
        assert_int_equal(f->read(arena, tw_buf_str(&text), TW_STR("t"), &read, tw_diags_new(arena), &back), TW_OK);
        tw_timeline_dump(back, &dump);
        for (size_t i = 0; i < back->remark_count; i++)
            tw_buf_add(&dump, back->remarks[i].text);
        tw_timeline_walk(back, count_item, &out);
    }
    out.model = tw_buf_str(&dump);
    out.told = tw_findings(arena, losses);
    return out;
}

/* Each member that a reader sets in turn, but channels, which follow from the tracks: every format writes it so that it
 * comes back in some way, or says that it does not, or is known not to carry it. */
static void written_or_told(void **state)
{
    static const struct {
        const char *what;
        void (*set)(model *m);
        const char *known; /* said by cannot_carry, if neither */
    } rows[] = {
#define ROW(name) #name, name
        {ROW(timeline_name), NULL},
        {ROW(timeline_start), "a start before"},
        {ROW(timeline_marker), NULL},
        {ROW(timeline_remark), NULL},
        {ROW(timeline_stamp), NULL},
        {ROW(track_name), "names of tracks"},
        {ROW(track_off), NULL},
        {ROW(sound_off), NULL},
        {ROW(track_marker), NULL},
        {ROW(other_track), NULL},
        {ROW(clip_name), NULL},
        {ROW(clip_name_odd), NULL},
        {ROW(clip_event), "event numbers"},
        {ROW(clip_reel), NULL},
        {ROW(clip_reel_odd), NULL},
        {ROW(clip_off), NULL},
        {ROW(clip_source), NULL},
        {ROW(clip_source_part), NULL},
        {ROW(clip_record_part), NULL},
        {ROW(clip_late), NULL},
        {ROW(clip_early), NULL},
        {ROW(clip_source_rate), NULL},
        {ROW(clip_speed), NULL},
        {ROW(clip_variable), NULL},
        {ROW(clip_marker), NULL},
        {ROW(clip_remark), NULL},
        {ROW(clip_framing), NULL},
        {ROW(media_second), NULL},
        {ROW(media_url), NULL},
        {ROW(media_name), "all "},
        {ROW(media_length), "all "},
        {ROW(mix_kind), NULL},
        {ROW(mix_length), NULL},
        {ROW(mix_early), NULL},
        {ROW(gap_marker), NULL},
        {ROW(nest_name), "nested timelines"},
        {ROW(nest_off), NULL},
        {ROW(nest_speed), NULL},
        {ROW(nest_variable), NULL},
        {ROW(nest_marker), NULL},
        {ROW(nest_shorter), NULL},
        {ROW(inner_off), NULL},
        {ROW(inner_early), NULL},
    };
    tw_arena *arena = tw_test_arena(state);
    size_t lost = 0;
    for (size_t f = 0; tw_formats_at(f) != NULL; f++) {
        const tw_format *format = tw_formats_at(f);
        model plain = make_model(arena);
        const outcome before = outcome_of(arena, format, plain.timeline);
        for (size_t i = 0; i < TW_COUNT(rows); i++) {
            model m = make_model(arena);
            tw_row(i, tw_arena_printf(arena, "%s %s", format->name, rows[i].what).at);
            rows[i].set(&m);
            const outcome after = outcome_of(arena, format, m.timeline);
            bool written = !tw_str_eq(after.model, before.model), told = strcmp(after.told, before.told) != 0;
            bool known = rows[i].known != NULL && strstr(format->cannot_carry, rows[i].known) != NULL;
            if (!(written || told || known))
                print_error("%s: %s is lost without a word\n", format->name, rows[i].what);
            lost += !(written || told || known);
        }
    }
    assert_int_equal(lost, 0);
}

/* Every text of the model says the same. */
static void say_everywhere(model *m, tw_str text)
{
    tw_str *const texts[] = {
        &m->timeline->name,  &m->tracks[0].name, &m->tracks[1].name, &m->tracks[2].name,  &m->items[0].name,
        &m->items[0].event,  &m->items[0].reel,  &m->items[1].name,  &m->items[2].reel,   &m->items[3].name,
        &m->items[4].name,   &m->inner->name,    &m->inner->reel,    &m->media[0].name,   &m->media[0].url,
        &m->media[0].key,    &m->marker->name,   &m->marker->color,  &m->marker->comment, &m->remark->text,
        &m->stamp->delivery,
    };
    for (size_t i = 0; i < TW_COUNT(texts); i++)
        *texts[i] = text;
    timeline_marker(m);
    timeline_remark(m);
    timeline_stamp(m);
    track_marker(m);
    clip_marker(m);
    clip_remark(m);
    nest_marker(m);
}

/* No text makes a line, an element or a member of its own, and none makes a document that its reader refuses. */
static void texts_stay_texts(void **state)
{
    static const char *const rows[] = {
        "x\n099  ZZ       V     C        00:00:00:00 00:00:01:00 00:00:20:00 00:00:21:00\ny",
        "\r\nFCM: DROP FRAME\r\nTITLE: other\r\n* TALLWIDE FRAME 1080X1920 SOURCE 3840X2160\r\n",
        "M2   A003       048.0                00:00:04:00",
        "\"/></seq><seq><video src='x' dur='1s'/></seq><seq title=\"",
        "\", \"OTIO_SCHEMA\": \"Track.1\", \"x\": \"\\",
        "\x01\x1A\x7F \xFF\xC3",
        "   ",
        "\xE2\x80\xA8",
    };
    tw_arena *arena = tw_test_arena(state);
    tw_buf longest = {.arena = arena};
    tw_buf_fill(&longest, 'x', 40000);
    for (size_t f = 0; tw_formats_at(f) != NULL; f++) {
        model plain = make_model(arena);
        say_everywhere(&plain, TW_STR("SPOKE"));
        for (size_t i = 0; i <= TW_COUNT(rows); i++) {
            model m = make_model(arena);
            say_everywhere(&m, i < TW_COUNT(rows) ? tw_str_z(rows[i]) : tw_buf_str(&longest));
            tw_row(i, tw_formats_at(f)->name);
            const outcome want = outcome_of(arena, tw_formats_at(f), plain.timeline);
            const outcome got = outcome_of(arena, tw_formats_at(f), m.timeline);
            assert_int_equal(got.clips, want.clips);
            assert_int_equal(got.framed, want.framed);
        }
    }
}

TW_SUITE(formats)
{
    const struct CMUnitTest tests[] = {
        TW_TEST(nested_as_deep_as_may_be),   TW_TEST(written_or_told),    TW_TEST(texts_stay_texts),
        TW_TEST(found_by_bytes_and_by_name), TW_TEST(every_row_is_whole), TW_TEST(foreign_bytes_are_refused),
    };
    return tw_run("formats/formats", tests);
}
