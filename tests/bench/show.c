/* SPDX-License-Identifier: Apache-2.0 */
#include "show.h"

#include <math.h>
#include <stdio.h>

#define SHOTS_PER_REEL 25
#define SHOT_ROOM 200 /* source frames from one use of a reel to the next */
#define RATE 24

/* What shot number i shows: its reel and the frames of it. */
typedef struct shot {
    char reel[8];
    long source, record, frames;
} shot;

static bool is_there(const show *s, long i)
{
    return s->version < 2 || i % 1000 != 999;
}

static shot shot_at(const show *s, long i, long record)
{
    long reel = i / SHOTS_PER_REEL;
    shot out = {.source = 3600 * RATE + i % SHOTS_PER_REEL * SHOT_ROOM, .record = record, .frames = SHOW_SHOT_FRAMES};
    snprintf(out.reel, sizeof out.reel, "%c%03ld", (char)('A' + reel % 3), reel / 3 % 10000);
    if (s->version > 1 && i % 100 == 50)
        out.frames -= 2;
    return out;
}

static void add_code(tw_buf *out, long frames)
{
    tw_buf_addf(out, "%02ld:%02ld:%02ld:%02ld", frames / (3600 * RATE) % 24, frames / (60 * RATE) % 60,
                frames / RATE % 60, frames % RATE);
}

/* ---- OTIO ------------------------------------------------------------------------------------------------ */

static void add_time(tw_buf *out, const char *name, long frames)
{
    tw_buf_addf(out,
                "\"%s\": {\n                                \"OTIO_SCHEMA\": \"RationalTime.1\",\n"
                "                                \"rate\": 24.0,\n"
                "                                \"value\": %ld.0\n                            }",
                name, frames);
}

static void add_range(tw_buf *out, const char *name, long start, long frames)
{
    tw_buf_addf(out,
                "\"%s\": {\n                            \"OTIO_SCHEMA\": \"TimeRange.1\",\n"
                "                            ",
                name);
    add_time(out, "duration", frames);
    tw_buf_addz(out, ",\n                            ");
    add_time(out, "start_time", start);
    tw_buf_addz(out, "\n                        }");
}

static void add_marker(tw_buf *out, const shot *s)
{
    tw_buf_addz(out, "\n                        {\n                        \"OTIO_SCHEMA\": \"Marker.2\",\n"
                     "                        \"metadata\": {},\n                        \"name\": \"SPOKE\",\n"
                     "                        \"color\": \"CYAN\",\n                        ");
    add_range(out, "marked_range", s->source + 10, 1);
    tw_buf_addz(out, ",\n                        \"comment\": \"TRUING STARTS\"\n                        }\n"
                     "                        ");
}

static void add_clip(tw_buf *out, const shot *s, long i, bool marked)
{
    tw_buf_addf(out,
                "%s\n                    {\n                        \"OTIO_SCHEMA\": \"Clip.2\",\n"
                "                        \"metadata\": {\n                            \"log\": {\n"
                "                                \"scene\": \"%ld\",\n"
                "                                \"reel\": \"%s\"\n                            }\n"
                "                        },\n                        \"name\": \"%s HANDS %ld\",\n"
                "                        ",
                i > 0 ? "," : "", i / 12, s->reel, s->reel, i);
    add_range(out, "source_range", s->source, s->frames);
    tw_buf_addz(out, ",\n                        \"effects\": [],\n                        \"markers\": [");
    if (marked)
        add_marker(out, s);
    tw_buf_addz(out, "],\n                        \"enabled\": true,\n"
                     "                        \"media_references\": {\n"
                     "                        \"DEFAULT_MEDIA\": {\n"
                     "                        \"OTIO_SCHEMA\": \"ExternalReference.1\",\n"
                     "                        \"metadata\": {},\n                        \"name\": \"\",\n"
                     "                        ");
    add_range(out, "available_range", 3600 * RATE, SHOTS_PER_REEL * SHOT_ROOM);
    tw_buf_addf(out,
                ",\n                        \"available_image_bounds\": null,\n"
                "                        \"target_url\": \"wheel/%s.mov\"\n                        }\n"
                "                        },\n"
                "                        \"active_media_reference_key\": \"DEFAULT_MEDIA\"\n"
                "                    }",
                s->reel);
}

static void add_track(tw_buf *out, const show *s, const char *kind, const char *name)
{
    tw_buf_addf(out,
                "            {\n                \"OTIO_SCHEMA\": \"Track.1\",\n                \"metadata\": {},\n"
                "                \"name\": \"%s\",\n                \"source_range\": null,\n"
                "                \"effects\": [],\n                \"markers\": [],\n"
                "                \"enabled\": true,\n                \"children\": [",
                name);
    for (long i = 0; i < s->shots; i++) {
        const shot here = shot_at(s, i, 0);
        if (is_there(s, i))
            add_clip(out, &here, i, kind[0] == 'V' && i % 20 == 0);
    }
    tw_buf_addf(out, "\n                ],\n                \"kind\": \"%s\"\n            }", kind);
}

static tw_str otio_master(tw_arena *arena, const show *s)
{
    tw_buf out = {.arena = arena};
    tw_buf_addz(&out, "{\n    \"OTIO_SCHEMA\": \"Timeline.1\",\n    \"metadata\": {},\n    \"name\": \"show\",\n"
                      "    \"global_start_time\": {\n        \"OTIO_SCHEMA\": \"RationalTime.1\",\n"
                      "        \"rate\": 24.0,\n        \"value\": 86400.0\n    },\n    \"tracks\": {\n"
                      "        \"OTIO_SCHEMA\": \"Stack.1\",\n        \"metadata\": {},\n"
                      "        \"name\": \"tracks\",\n        \"source_range\": null,\n        \"effects\": [],\n"
                      "        \"markers\": [],\n        \"enabled\": true,\n        \"children\": [\n");
    add_track(&out, s, "Video", "V1");
    tw_buf_addz(&out, ",\n");
    add_track(&out, s, "Audio", "A1");
    tw_buf_addz(&out, "\n        ]\n    }\n}\n");
    return tw_buf_str(&out);
}

/* ---- text lists ------------------------------------------------------------------------------------------ */

static void add_event(tw_buf *out, const shot *s, long number)
{
    const long at[4] = {s->source, s->source + s->frames, s->record, s->record + s->frames};
    tw_buf_addf(out, "%06ld  %s     V     C       ", number, s->reel);
    for (size_t t = 0; t < 4; t++) {
        tw_buf_addc(out, ' ');
        add_code(out, at[t]);
    }
    tw_buf_addf(out, "\n* FROM CLIP NAME: %s HANDS %ld\n* SOURCE FILE: %s.MOV\n", s->reel, number, s->reel);
}

/* A list's clock starts again at midnight: shows past a day go on counting there. */
static tw_str list_master(tw_arena *arena, const show *s)
{
    tw_buf out = {.arena = arena};
    tw_buf_addz(&out, "TITLE: SHOW\nFCM: NON-DROP FRAME\n");
    long record = 3600 * RATE;
    for (long i = 0; i < s->shots; i++) {
        if (!is_there(s, i))
            continue;
        const shot here = shot_at(s, i, record);
        add_event(&out, &here, i + 1);
        record += here.frames;
    }
    return tw_buf_str(&out);
}

tw_str show_master(tw_arena *arena, const show *s)
{
    return s->list ? list_master(arena, s) : otio_master(arena, s);
}

/* ---- the plan -------------------------------------------------------------------------------------------- */

/* Centre of the subject, 0..1, at a part of the shot: every third shot it rests, pans or wanders. */
static void subject_at(long i, double part, double *x, double *y)
{
    double phase = (double)(i % 17) / 17;
    *y = 0.45 + 0.1 * phase;
    switch (i % 3) {
    case 0: *x = 0.3 + 0.4 * phase; break;
    case 1: *x = 0.25 + 0.2 * phase + 0.25 * part; break;
    default: *x = 0.5 + 0.18 * sin(6.28 * (part * 1.5 + phase)); break;
    }
}

static void add_keys(tw_buf *out, long i, long source)
{
    for (long k = 0; k < SHOW_SHOT_KEYS; k++) {
        long frame = k * (SHOW_SHOT_FRAMES - 1) / (SHOW_SHOT_KEYS - 1);
        double x, y;
        subject_at(i, (double)frame / SHOW_SHOT_FRAMES, &x, &y);
        tw_buf_addz(out, k > 0 ? ",\n    [\"" : "\n    [\"");
        add_code(out, source + frame);
        tw_buf_addz(out, "\", ");
        tw_buf_add_fixed(out, x - 0.06, 4);
        tw_buf_addz(out, ", ");
        tw_buf_add_fixed(out, y - 0.1, 4);
        tw_buf_addz(out, ", 0.12, 0.2]");
    }
}

static void add_note(tw_buf *out, long i)
{
    static const show whole = {.version = 1};
    const shot s = shot_at(&whole, i, 0);
    tw_buf_addf(out, "%s\n  {\"id\": \"n%06ld\", \"reel\": \"%s\", \"in\": \"", i > 0 ? "," : "", i + 1, s.reel);
    add_code(out, s.source);
    tw_buf_addz(out, "\", \"out\": \"");
    add_code(out, s.source + s.frames);
    tw_buf_addf(out, "\",\n   \"regions\": [\n    {\"name\": \"%s\", \"need\": \"%s\", \"keys\": [",
                i % 2 == 0 ? "hands" : "wheel", i % 10 == 9 ? "nice" : "must");
    add_keys(out, i, s.source);
    tw_buf_addz(out, "]}],\n   \"say\": \"keep the spoke key in frame\", \"by\": \"editor\", \"state\": \"open\"}");
}

tw_str show_plan(tw_arena *arena, const show *s, const char *edit_file)
{
    tw_buf out = {.arena = arena};
    tw_buf_addf(&out,
                "{\n \"tallwide_plan\": 1,\n \"edit\": {\"file\": \"%s\", \"rate\": \"24/1\"},\n \"deliveries\": [\n"
                "  {\"name\": \"wide\", \"size\": [3840, 2160]},\n  {\"name\": \"tall\", \"size\": [1080, 1920]},\n"
                "  {\"name\": \"square\", \"size\": [1080, 1080]}\n ],\n"
                " \"sources\": [\n  {\"reel\": \"*\", \"size\": [5760, 4320]}\n ],\n \"notes\": [",
                edit_file);
    for (long i = 0; i < s->shots; i++)
        add_note(&out, i);
    tw_buf_addz(&out, "\n ]\n}\n");
    return tw_buf_str(&out);
}
