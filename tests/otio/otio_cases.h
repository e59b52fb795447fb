/* SPDX-License-Identifier: Apache-2.0
 *
 * Small documents for the OTIO tests, on one line, so that a column names a place.
 */
#ifndef TW_TESTS_OTIO_CASES_H
#define TW_TESTS_OTIO_CASES_H

#include "support/support.h"

#include "otio/otio_internal.h"

#define J_TIME(value, rate) "{\"OTIO_SCHEMA\":\"RationalTime.1\",\"rate\":" rate ",\"value\":" value "}"
#define J_RANGE(start, dur, rate)                                                                                      \
    "{\"OTIO_SCHEMA\":\"TimeRange.1\",\"duration\":" J_TIME(dur, rate) ",\"start_time\":" J_TIME(start, rate) "}"
/* more: further members, each with a comma behind it */
#define J_CLIP(name, range, more)                                                                                      \
    "{\"OTIO_SCHEMA\":\"Clip.1\"," more "\"name\":\"" name "\",\"source_range\":" range "}"
#define J_WARP(schema, scalar) "{\"OTIO_SCHEMA\":\"" schema "\",\"effect_name\":\"\",\"time_scalar\":" scalar "}"
#define J_TRANSITION(in, out)                                                                                          \
    "{\"OTIO_SCHEMA\":\"Transition.1\",\"in_offset\":" J_TIME(in, "24") ",\"out_offset\":" J_TIME(                     \
        out, "24") ",\"transition_type\":\"SMPTE_Dissolve\"}"
#define J_TRACK(kind, more, children)                                                                                  \
    "{\"OTIO_SCHEMA\":\"Track.1\"," more "\"kind\":\"" kind "\",\"children\":[" children "]}"
#define J_STACK(more, children) "{\"OTIO_SCHEMA\":\"Stack.1\"," more "\"children\":[" children "]}"
#define J_TIMELINE(more, tracks) "{\"OTIO_SCHEMA\":\"Timeline.1\"," more "\"tracks\":" J_STACK("", tracks) "}"
#define J_VIDEO(children) J_TIMELINE("", J_TRACK("Video", "", children))

/* Reads the text; NULL when it cannot be. */
static inline tw_timeline *otio_case(tw_arena *arena, tw_str json, tw_diags *diags)
{
    const tw_read_options options = {.drop = false};
    tw_timeline *timeline = NULL;
    tw_status status = tw_format_otio.read(arena, json, TW_STR("t.otio"), &options, diags, &timeline);
    assert_int_equal(status == TW_OK, timeline != NULL);
    assert_int_equal(status == TW_OK, !tw_diags_failed(diags));
    return timeline;
}

/* The same where nothing may be found wrong. */
static inline tw_timeline *otio_fine(tw_arena *arena, const char *json)
{
    tw_diags *diags = tw_diags_new(arena);
    tw_timeline *timeline = otio_case(arena, tw_str_z(json), diags);
    tw_assert_text(tw_str_z(tw_findings(arena, diags)), "");
    assert_non_null(timeline);
    return timeline;
}

/* All findings of a text, without the lines that show it. */
static inline const char *otio_findings(tw_arena *arena, const char *json)
{
    tw_diags *diags = tw_diags_new(arena);
    otio_case(arena, tw_str_z(json), diags);
    tw_buf out = {.arena = arena};
    for (size_t i = 0; i < tw_diags_kept(diags); i++) {
        const tw_diag *d = tw_diags_get(diags, i);
        tw_buf_addf(&out, "%u:%u TW%d %.*s\n", d->place.line, d->place.column, d->code, TW_ARG(d->message));
    }
    tw_buf_addc(&out, '\0');
    return out.at;
}

static inline tw_str otio_written(tw_arena *arena, const tw_timeline *timeline, tw_diags *diags)
{
    const tw_write_options options = {.crlf = false};
    tw_buf out = {.arena = arena};
    assert_int_equal(tw_format_otio.write(arena, timeline, 0, &options, diags, &out), TW_OK);
    return tw_buf_str(&out);
}

static inline tw_str otio_dump(tw_arena *arena, const tw_timeline *timeline)
{
    tw_buf out = {.arena = arena};
    tw_timeline_dump(timeline, &out);
    return tw_buf_str(&out);
}

/* A time in frames of 24. */
static inline double at24(tw_time t)
{
    return tw_time_seconds(t) * 24;
}

#endif
