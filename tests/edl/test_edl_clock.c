/* SPDX-License-Identifier: Apache-2.0 */
#include "edl_support.h"

#include <math.h>
#include <string.h>

#define HOUR (24 * 3600) /* frames */
#define DAY (24 * HOUR)

static const tw_rate rate = {24, 1};

/* A clip of `frames` at `in`, whose source begins at `source` and runs `speed` times as fast. */
static tw_timeline *one_clip(tw_arena *arena, int64_t in, int64_t frames, int64_t source, double speed)
{
    tw_timeline *timeline = tw_timeline_new(arena);
    tw_track *track = TW_NEW(arena, tw_track);
    tw_item *clip = TW_NEW(arena, tw_item);
    *clip = tw_timeline_item(TW_ITEM_CLIP);
    clip->reel = TW_STR("A003");
    clip->record = (tw_range){tw_time_frames(in, rate), tw_time_frames(frames, rate)};
    clip->has_source = true;
    clip->source = (tw_range){tw_time_frames(source, rate), tw_time_frames(frames, rate)};
    clip->source_rate = rate;
    clip->speed = speed;
    clip->place = (tw_place){.file = TW_STR("t.otio"), .line = 7, .column = 3};
    *track = (tw_track){.kind = TW_TRACK_VIDEO, .enabled = true, .items = clip, .item_count = 1};
    timeline->file = TW_STR("t.otio");
    timeline->rate = rate;
    timeline->tracks = track;
    timeline->track_count = 1;
    tw_timeline_settle(timeline);
    return timeline;
}

static void what_a_day_can_tell(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    static const struct {
        const char *name;
        int64_t in, frames, source;
        double speed;
        const char *finding; /* beside the one about the rate, which comes first; "" none */
        const char *times;   /* as written; "" when refused */
    } rows[] = {
        {"inside the day", HOUR, 48, HOUR, 1, "", "01:00:00:00 01:00:02:00 01:00:00:00 01:00:02:00"},
        {"a day but one frame", 0, DAY - 1, 0, 1, "", "00:00:00:00 23:59:59:23 00:00:00:00 23:59:59:23"},
        {"a whole day", 0, DAY, 0, 0,
         "t.otio:7:3: error TW1262: with this clip the programme runs for 24.00 hours: ", ""},
        {"over midnight", DAY - 24, 48, DAY - 24, 1, "", "23:59:59:00 00:00:01:00 23:59:59:00 00:00:01:00"},
        {"half a day over midnight", DAY - 24, DAY / 2, 0, 0,
         "t.otio:7:3: error TW1262: with this clip the programme runs for 12.00 hours: ", ""},
        {"less than that", DAY - 24, DAY / 2 - 1, 0, 0, "", "00:00:00:00 00:00:00:01 23:59:59:00 11:59:58:23"},
        {"begins before midnight", -24, 48, 0, 1, "t.otio:7:3: warning TW1263: the programme begins outside ",
         "00:00:00:00 00:00:02:00 23:59:59:00 00:00:01:00"},
        {"begins on the third day", 2 * DAY, 48, 0, 1, "t.otio:7:3: warning TW1263: the programme begins outside ",
         "00:00:00:00 00:00:02:00 00:00:00:00 00:00:02:00"},
        {"a source from before midnight", 0, 48, -5, 1, "t.otio:7:3: warning TW1263: the source of this clip begins ",
         "23:59:59:19 00:00:01:19 00:00:00:00 00:00:02:00"},
        {"a source of more than a day", 0, HOUR, 0, 25,
         "t.otio:7:3: error TW1262: the source of this clip runs for 25.00 hours: ", ""},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_row(i, rows[i].name);
        tw_timeline *t = one_clip(arena, rows[i].in, rows[i].frames, rows[i].source, rows[i].speed);
        tw_diags *diags = tw_diags_new(arena);
        tw_buf out = {.arena = arena};
        tw_status status = tw_format_edl.write(arena, t, 0, NULL, diags, &out);
        const char *findings = tw_findings(arena, diags);
        tw_buf_addc(&out, '\0');
        assert_int_equal(status, rows[i].times[0] == '\0' ? TW_ERR_LIMIT : TW_OK);
        if (strstr(out.at, rows[i].times) == NULL)
            fail_msg("missing: %s\nin\n%s", rows[i].times, out.at);
        if (strstr(findings, rows[i].finding) == NULL)
            fail_msg("missing: %s\nin\n%s", rows[i].finding, findings);
        assert_int_equal(tw_diags_kept(diags), (rows[i].times[0] != '\0') + (rows[i].finding[0] != '\0'));
    }
}

/* Frame numbers have two digits: 100 frames a second are 00 to 99, 120 are more. */
static void what_two_digits_can_tell(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    for (int fast = 0; fast < 2; fast++) {
        tw_timeline *t = one_clip(arena, HOUR, 48, HOUR, 1);
        t->rate = (tw_rate){fast ? 120 : 100, 1};
        tw_diags *diags = tw_diags_new(arena);
        tw_buf out = {.arena = arena};
        assert_int_equal(tw_format_edl.write(arena, t, 0, NULL, diags, &out), fast ? TW_ERR_LIMIT : TW_OK);
        bool said = strstr(tw_findings(arena, diags), "error TW1264: 120 frames a second: ") != NULL;
        assert_int_equal(said, fast);
    }
}

/* A source of `count` frames a second in a list of 24, at speed: read again as it was, whatever its frame numbers, or,
 * where no list counts so, at the time it was. */
static void counts_of_sources(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    static const struct {
        int32_t count;
        double speed;
        bool kept;
    } rows[] = {{48, 1, true}, {48, 2, true},   {48, 0.5, true}, {48, 0, true},  {60, -1, true},  {60, 2, true},
                {50, 1, true}, {120, 1, false}, {96, 2, false},  {40, 0, false}, {25, 0.5, true}, {12, 1, false}};
    for (size_t i = 0; i < 2 * sizeof rows / sizeof rows[0]; i++) {
        const size_t row = i / 2, before = i % 2;
        tw_row(i, before > 0 ? "from the last frame before the second" : "from the second");
        tw_timeline *t = one_clip(arena, HOUR, 48, HOUR, rows[row].speed);
        tw_item *clip = &t->tracks[0].items[0];
        clip->source_rate = (tw_rate){rows[row].count, 1};
        clip->source.start = tw_time_sub(clip->source.start, tw_time_frames((int64_t)before, clip->source_rate));
        edl_case again = edl_read(arena, edl_rewritten(arena, t, 0, tw_diags_new(arena)), "24");
        assert_int_equal(again.status, TW_OK);
        const tw_item *item = edl_item(again.timeline, 0, 0);
        tw_time off = tw_time_sub(item->source.start, clip->source.start);
        assert_true(fabs(tw_time_seconds(off)) <= (rows[row].kept ? 0 : 1.0 / 24));
        assert_true(fabs(item->speed - rows[row].speed) < 1e-9);
    }
}

/* A dissolve from a clip whose source has passed midnight goes out from that clip. */
static void joined_over_midnight(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    edl_case c = edl_read(arena,
                          TW_STR("001  A003     V     C        23:59:59:19 00:00:00:13 01:00:00:00 01:00:00:18\n"
                                 "002  A003     V     C        00:00:00:13 00:00:00:13 01:00:00:18 01:00:00:18\n"
                                 "002  A004     V     D    012 10:00:00:00 10:00:01:06 01:00:00:18 01:00:02:00\n"),
                          "24");
    assert_int_equal(c.status, TW_OK);
    assert_int_equal(c.timeline->tracks[0].item_count, 3); /* no clip without length between */
    assert_int_equal(tw_item_tail(c.timeline, edl_item(c.timeline, 0, 0)), 12);
}

TW_SUITE(edl_clock)
{
    const struct CMUnitTest tests[] = {TW_TEST(what_a_day_can_tell), TW_TEST(what_two_digits_can_tell),
                                       TW_TEST(counts_of_sources), TW_TEST(joined_over_midnight)};
    return tw_run("edl/edl_clock", tests);
}
