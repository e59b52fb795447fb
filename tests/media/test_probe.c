/* SPDX-License-Identifier: Apache-2.0 */
#include "media/media_support.h"

/* What ffmpeg wrote into real files is found in them. */
static void real_files(void **state)
{
    static const struct {
        const char *name, *rate, *options;
        int64_t start;
        bool has_start, drop;
        const char *reel;
    } rows[] = {
        /* 01:00:00:00 at 24 counted frames: 3600 * 24; 29.97 drop: 3600 * 30 - 2 * (60 - 6) = 107892 */
        {"A001.mov", "24000/1001", "-c:v mpeg4 -timecode 01:00:00:00 -metadata:s:v reel_name=A001", 86400, true, false,
         "A001"},
        {"drop.mov", "30000/1001", "-c:v mpeg4 -timecode 01:00:00;00", 107892, true, true, ""},
        {"ndf.mxf", "25", "-c:v mpeg2video -timecode 10:00:00:05", 900005, true, false, ""},
        {"none.mp4", "60000/1001", "-c:v mpeg4", 0, false, false, ""},
        {"tag.mkv", "25", "-c:v mpeg4 -metadata timecode=00:00:10:00 -metadata REEL=B002", 250, true, false, "B002"},
    };
    tw_arena *arena = tw_test_arena(state);
    film_need(arena);
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_media_info info;
        tw_diags *diags = tw_diags_new(arena);
        tw_rate rate;
        bool drop;
        tw_row(i, rows[i].name);
        const char *path = film_numbered(arena, rows[i].name, rows[i].rate, 20, rows[i].options);
        assert_int_equal(tw_media_probe(arena, &film_tools, path, diags, &info), TW_OK);
        tw_rate_read(tw_str_z(rows[i].rate), &rate, &drop);
        assert_true(tw_rate_eq(info.rate, rate));
        assert_int_equal(info.width, FILM_WIDE);
        assert_int_equal(info.height, FILM_HIGH);
        assert_int_equal(info.frames, 20);
        assert_int_equal(info.has_start, rows[i].has_start);
        assert_int_equal(info.start, rows[i].start);
        assert_int_equal(info.drop, rows[i].drop);
        tw_assert_text(info.reel, rows[i].reel);
        assert_false(info.variable);
    }
}

static void sound_and_shape(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_media_info info;
    film_need(arena);
    const char *path = film_path(arena, "sound.mov");
    film_make(arena, tw_arena_printf(arena,
                                     "-f lavfi -i testsrc=size=720x576:rate=25 -f lavfi -i sine=sample_rate=48000 -t 1 "
                                     "-vf setsar=16/15 -c:v mpeg4 -c:a pcm_s16le %s",
                                     path)
                         .at);
    assert_int_equal(tw_media_probe(arena, &film_tools, path, tw_diags_new(arena), &info), TW_OK);
    tw_assert_near(info.squeeze, 16.0 / 15, 1e-9);
    assert_int_equal(info.sound_count, 1);
    assert_int_equal(info.sounds[0].rate, 48000);
    assert_int_equal(info.sounds[0].channels, 1);
}

/* No file of ours: said in one finding that names it. */
static void refused(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    film_need(arena);
    const char *const paths[] = {film_path(arena, "missing.mov"), "/dev/null", "/", "-version"};
    for (size_t i = 0; i < sizeof paths / sizeof paths[0]; i++) {
        tw_media_info info;
        tw_diags *diags = tw_diags_new(arena);
        tw_row(i, paths[i]);
        assert_int_equal(tw_media_probe(arena, &film_tools, paths[i], diags, &info), TW_ERR_SEMANTIC);
        assert_int_equal(tw_diags_kept(diags), 1);
        assert_int_equal(tw_diags_get(diags, 0)->code, 2102);
        tw_assert_text(tw_diags_get(diags, 0)->place.file, paths[i]);
    }
}

/* Sound alone is fine until somebody wants to see it. Its first sample: 172800000 / 48000 s = one o'clock. */
static void sound_alone(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_diags *diags = tw_diags_new(arena);
    tw_media_info info;
    const tw_media_ask ask = {.count = 1};
    tw_media_reader *reader;
    film_need(arena);
    const char *path = film_path(arena, "S001.wav");
    film_make(arena, tw_arena_printf(arena,
                                     "-f lavfi -i sine=sample_rate=48000 -t 1 -write_bext 1 -metadata "
                                     "time_reference=172800000 %s",
                                     path)
                         .at);
    assert_int_equal(tw_media_probe(arena, &film_tools, path, diags, &info), TW_OK);
    assert_int_equal(info.stream, -1);
    assert_int_equal(info.width, 0);
    assert_true(info.has_clock);
    assert_true(tw_time_eq(info.clock, (tw_time){3600, 1}));
    tw_assert_near(info.seconds, 1, 1e-9);
    assert_int_equal(tw_media_open(arena, &film_tools, &info, &ask, diags, &reader), TW_ERR_SEMANTIC);
    assert_null(reader);
    assert_int_equal(tw_diags_get(diags, 0)->code, 2102);
}

static void programs_missing(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_media_tools tools = {.ffmpeg = "no-such-ffmpeg", .ffprobe = "no-such-ffprobe"};
    tw_diags *diags = tw_diags_new(arena);
    tw_media_info info;
    assert_int_equal(tw_media_ready(arena, &tools, diags), TW_ERR_IO);
    assert_int_equal(tw_media_probe(arena, &tools, "x.mov", diags, &info), TW_ERR_IO);
    assert_int_equal(tw_diags_kept(diags), 2);
    assert_int_equal(tw_diags_get(diags, 1)->code, 2101);
}

TW_SUITE(probe)
{
    const struct CMUnitTest tests[] = {TW_TEST(real_files), TW_TEST(sound_and_shape), TW_TEST(refused),
                                       TW_TEST(sound_alone), TW_TEST(programs_missing)};
    return tw_run("media/probe", tests);
}
