/* SPDX-License-Identifier: Apache-2.0
 *
 * Reading and writing located JSON against bare cJSON on the same bytes, in one run: an OTIO-like document of about
 * 50 MB. Not a test: prints times and their ratio. The bound is 2.
 */
#define _POSIX_C_SOURCE 200809L
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cjson/cJSON.h>

#include <tallwide/jsonio.h>

#include "clock.h"

#define CLIPS 26000
#define ROUNDS 5

static void add_range(tw_buf *text, const char *name, int start, int frames)
{
    tw_buf_addf(text,
                "                        \"%s\": {\n"
                "                            \"OTIO_SCHEMA\": \"TimeRange.1\",\n"
                "                            \"duration\": {\n"
                "                                \"OTIO_SCHEMA\": \"RationalTime.1\",\n"
                "                                \"rate\": 23.976023976023978,\n"
                "                                \"value\": %d.0\n"
                "                            },\n"
                "                            \"start_time\": {\n"
                "                                \"OTIO_SCHEMA\": \"RationalTime.1\",\n"
                "                                \"rate\": 23.976023976023978,\n"
                "                                \"value\": %d.0\n"
                "                            }\n"
                "                        },\n",
                name, frames, start);
}

static void add_clip(tw_buf *text, int i)
{
    tw_buf_addf(text,
                "%s\n"
                "                    {\n"
                "                        \"OTIO_SCHEMA\": \"Clip.2\",\n"
                "                        \"metadata\": {\n"
                "                            \"wheel\": {\n"
                "                                \"reel\": \"A%03d\",\n"
                "                                \"note\": \"spoke key \\\"left\\\"\"\n"
                "                            }\n"
                "                        },\n"
                "                        \"name\": \"A%03d_C%04d\",\n",
                i > 0 ? "," : "", i % 40, i % 40, i);
    add_range(text, "source_range", 86400 + i, 24 + i % 200);
    tw_buf_addz(text, "                        \"effects\": [],\n"
                      "                        \"markers\": [],\n"
                      "                        \"enabled\": true,\n");
    add_range(text, "available_range", 86400, 5000);
    tw_buf_addf(text,
                "                        \"target_url\": \"file:///wheel/A%03d/A%03d_C%04d.mov\"\n"
                "                    }",
                i % 40, i % 40, i);
}

static tw_str document(tw_arena *arena)
{
    tw_buf text = {.arena = arena};
    tw_buf_addz(&text, "{\n    \"OTIO_SCHEMA\": \"Timeline.1\",\n    \"children\": [");
    for (int i = 0; i < CLIPS; i++)
        add_clip(&text, i);
    tw_buf_addz(&text, "\n    ]\n}\n");
    return tw_buf_str(&text);
}

static double by_cjson(tw_str text)
{
    double start = now();
    cJSON *tree = cJSON_ParseWithLength(text.at, text.len);
    char *printed = cJSON_Print(tree);
    size_t len = printed != NULL ? strlen(printed) : 0;
    free(printed);
    cJSON_Delete(tree);
    double took = now() - start;
    if (len == 0)
        abort();
    return took;
}

static double by_us(tw_str text, double *reading, size_t *held)
{
    double start = now();
    tw_arena *arena = tw_arena_new(NULL, NULL);
    tw_diags *diags = tw_diags_new(arena);
    tw_json_doc doc = {.root = NULL};
    if (tw_json_read(arena, text, TW_STR("bench"), NULL, diags, &doc) != TW_OK)
        abort();
    *reading = now() - start;
    *held = tw_arena_held(arena);
    tw_buf out = {.arena = arena};
    tw_json_write(doc.root, &(tw_json_style){.indent = 4}, &out);
    tw_arena_free(&arena);
    return now() - start;
}

int main(void)
{
    tw_arena *arena = tw_arena_new(NULL, NULL);
    tw_str text = document(arena);
    double theirs = 1e9, ours = 1e9, reading = 0;
    size_t held = 0;
    for (int i = 0; i < ROUNDS; i++) {
        double a = by_cjson(text), part, b = by_us(text, &part, &held);
        theirs = a < theirs ? a : theirs;
        reading = b < ours ? part : reading;
        ours = b < ours ? b : ours;
    }
    printf("%.1f MB; cJSON parse + print %.3f s; tallwide read %.3f s + write %.3f s = %.3f s; ratio %.2f (bound 2); "
           "tree %.1f x the bytes\n",
           (double)text.len / 1e6, theirs, reading, ours - reading, ours, ours / theirs,
           (double)held / (double)text.len);
    tw_arena_free(&arena);
    return 0;
}
