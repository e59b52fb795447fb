/* SPDX-License-Identifier: Apache-2.0 */
#include "support/support.h"

#include <tallwide/media.h>

static tw_status take(tw_arena *arena, const char *stream, const char *rest, tw_diags *diags, tw_media_info *info)
{
    const char *json = tw_arena_printf(arena, "{\"streams\": [{\"codec_type\": \"video\", %s}]%s}", stream, rest).at;
    return tw_media_read_probe(arena, tw_str_z(json), TW_STR("A001.mov"), diags, info);
}

#define PICTURE "\"index\": 1, \"width\": 5760, \"height\": 4320, \"r_frame_rate\": \"24000/1001\""

/* Sizes are as shown; a picture on its side has its squeeze the other way. */
static void shapes(void **state)
{
    static const struct {
        const char *stream;
        int32_t w, h, rotation;
        double squeeze;
    } rows[] = {
        {PICTURE, 5760, 4320, 0, 1},
        {PICTURE ", \"sample_aspect_ratio\": \"2:1\"", 5760, 4320, 0, 2},
        {PICTURE ", \"sample_aspect_ratio\": \"0:1\"", 5760, 4320, 0, 1},
        {PICTURE ", \"side_data_list\": [{\"rotation\": -90}]", 4320, 5760, 270, 1},
        {PICTURE ", \"side_data_list\": [{}, {\"rotation\": 90}], \"sample_aspect_ratio\": \"4:3\"", 4320, 5760, 90,
         0.75},
        {PICTURE ", \"side_data_list\": [{\"rotation\": 180}]", 5760, 4320, 180, 1},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_media_info info;
        tw_row(i, rows[i].stream);
        assert_int_equal(take(tw_test_arena(state), rows[i].stream, "", tw_diags_new(tw_test_arena(state)), &info),
                         TW_OK);
        assert_int_equal(info.width, rows[i].w);
        assert_int_equal(info.height, rows[i].h);
        assert_int_equal(info.rotation, rows[i].rotation);
        tw_assert_near(info.squeeze, rows[i].squeeze, 1e-12);
        assert_int_equal(info.stream, 1);
    }
}

#define SIZED "\"width\": 640, \"height\": 480, "

static void rates(void **state)
{
    static const struct {
        const char *stream;
        tw_rate rate;
        bool variable;
    } rows[] = {
        {SIZED "\"r_frame_rate\": \"24000/1001\", \"avg_frame_rate\": \"24000/1001\"", {24000, 1001}, false},
        {SIZED "\"r_frame_rate\": \"2997/125\", \"avg_frame_rate\": \"2997/125\"", {24000, 1001}, false},
        {SIZED "\"r_frame_rate\": \"25/1\", \"avg_frame_rate\": \"0/0\"", {25, 1}, false},
        {SIZED "\"r_frame_rate\": \"0/0\", \"avg_frame_rate\": \"50/1\"", {50, 1}, false},
        {SIZED "\"r_frame_rate\": \"30/1\", \"avg_frame_rate\": \"14280/479\"", {30, 1}, true},
        {SIZED "\"r_frame_rate\": \"600/1\", \"avg_frame_rate\": \"30/1\"", {30, 1}, true},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_media_info info;
        tw_row(i, rows[i].stream);
        assert_int_equal(take(tw_test_arena(state), rows[i].stream, "", tw_diags_new(tw_test_arena(state)), &info),
                         TW_OK);
        assert_true(tw_rate_eq(info.rate, rows[i].rate));
        assert_int_equal(info.variable, rows[i].variable);
    }
}

/* Length: of the stream on its clock, else as counted, else of the file less what comes before. */
static void lengths(void **state)
{
    static const struct {
        const char *stream, *rest;
        int64_t frames;
    } rows[] = {
        /* 96096 / 24000 s = 4.004 s = 96 frames */
        {", \"time_base\": \"1/24000\", \"duration_ts\": 96096, \"nb_frames\": \"90\"", "", 96},
        {", \"nb_frames\": \"90\"", "", 90},
        {", \"start_time\": \"1.001\"", ", \"format\": {\"start_time\": \"0\", \"duration\": \"5.005\"}", 96},
        {"", "", 0},
        {"", ", \"format\": {\"duration\": \"N/A\"}", 0},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_arena *arena = tw_test_arena(state);
        tw_media_info info;
        tw_row(i, rows[i].stream);
        const char *stream = tw_arena_printf(arena, PICTURE "%s", rows[i].stream).at;
        assert_int_equal(take(arena, stream, rows[i].rest, tw_diags_new(arena), &info), TW_OK);
        assert_int_equal(info.frames, rows[i].frames);
    }
}

/* The picture's own tag, then another stream's, then the file's; nonsense is passed over. */
static void tags(void **state)
{
    static const struct {
        const char *stream, *rest, *reel;
        bool has_start, drop;
        int64_t start;
    } rows[] = {
        {", \"tags\": {\"timecode\": \"00:00:01:00\"}", ", \"format\": {\"tags\": {\"timecode\": \"00:00:02:00\"}}", "",
         true, false, 24},
        {"}, {\"tags\": {\"timecode\": \"00:00:03:00\", \"reel_name\": \" A001 \"}", "", "A001", true, false, 72},
        {"", ", \"format\": {\"tags\": {\"com.maker.Reel\": \"B002\"}}", "B002", false, false, 0},
        {", \"tags\": {\"timecode\": \"99:00:01:00\"}", "", "", false, false, 0},
        {", \"tags\": {\"timecode\": \"00:00:01;00\"}", "", "", true, false, 24},
        {", \"tags\": {\"reel\": \"\"}", ", \"format\": {\"tags\": {\"tape\": \"C003\"}}", "C003", false, false, 0},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_arena *arena = tw_test_arena(state);
        tw_media_info info;
        tw_row(i, rows[i].stream);
        const char *stream = tw_arena_printf(arena, PICTURE "%s", rows[i].stream).at;
        assert_int_equal(take(arena, stream, rows[i].rest, tw_diags_new(arena), &info), TW_OK);
        tw_assert_text(info.reel, rows[i].reel);
        assert_int_equal(info.has_start, rows[i].has_start);
        assert_int_equal(info.drop, rows[i].drop);
        assert_int_equal(info.start, rows[i].start);
    }
}

/* What cannot be used is one finding at the file's name. */
static void refused(void **state)
{
    static const char *const rows[] = {
        "",
        "{",
        "{}",
        "[]",
        "{\"streams\": {}}",
        "{\"streams\": [{\"codec_type\": \"data\"}]}",
        "{\"streams\": [{\"codec_type\": \"video\", \"width\": 600, \"height\": 400}]}",
        "{\"streams\": [{\"codec_type\": \"video\", \"width\": 600, \"r_frame_rate\": \"25/1\"}]}",
        "{\"streams\": [{\"codec_type\": \"video\", \"width\": 6000000, \"height\": 9, \"r_frame_rate\": \"25/1\"}]}",
        ("{\"streams\": [{\"codec_type\": \"video\", \"width\": 9, \"height\": 9, \"r_frame_rate\": \"25/1\","
         " \"disposition\": {\"attached_pic\": 1}}]}"),
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_arena *arena = tw_test_arena(state);
        tw_diags *diags = tw_diags_new(arena);
        tw_media_info info;
        tw_row(i, rows[i]);
        assert_int_equal(tw_media_read_probe(arena, tw_str_z(rows[i]), TW_STR("x.mov"), diags, &info), TW_ERR_SEMANTIC);
        assert_int_equal(tw_diags_kept(diags), 1);
        assert_int_equal(tw_diags_get(diags, 0)->code, 2102);
    }
}

TW_SUITE(probe_json)
{
    const struct CMUnitTest tests[] = {TW_TEST(shapes), TW_TEST(rates), TW_TEST(lengths), TW_TEST(tags),
                                       TW_TEST(refused)};
    return tw_run("media/probe_json", tests);
}
