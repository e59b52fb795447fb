/* SPDX-License-Identifier: Apache-2.0 */
#include "media/media_support.h"

#include <stdio.h>

static void probe(tw_arena *arena, const char *path, tw_media_info *info)
{
    tw_diags *diags = tw_diags_new(arena);
    tw_status status = tw_media_probe(arena, &film_tools, path, diags, info);
    if (status != TW_OK)
        print_error("%s\n", tw_findings(arena, diags));
    assert_int_equal(status, TW_OK);
}

/* Frames [first, first + count) hold their own numbers; `there` is how many the film has. */
static void assert_numbers(tw_arena *arena, const tw_media_info *info, int64_t first, int64_t count, int64_t there)
{
    tw_diags *diags = tw_diags_new(arena);
    const tw_media_ask ask = {.first = first, .count = count};
    tw_media_reader *reader = NULL;
    const tw_media_frame *frame;
    int64_t seen = 0;
    assert_int_equal(tw_media_open(arena, &film_tools, info, &ask, diags, &reader), TW_OK);
    for (;; seen++) {
        tw_status status = tw_media_next(reader, &frame);
        if (status != TW_OK)
            print_error("%s\n", tw_findings(arena, diags));
        assert_int_equal(status, TW_OK);
        if (frame == NULL)
            break;
        assert_int_equal(frame->number, first + seen);
        assert_int_equal(film_number(frame), (first + seen) & 255);
    }
    assert_int_equal(seen, first + count <= there ? count : first < there ? there - first : 0);
    tw_media_close(&reader);
    assert_null(reader);
}

/* Wherever one enters, whatever the container knows of its pictures: key pictures only now and then, pictures that are
 * decoded out of order, no index, clocks that do not begin at 0, time stamps in whole milliseconds. */
static void exact_frames(void **state)
{
    static const struct {
        const char *name, *rate, *options;
    } rows[] = {
        {"long.mov", "24000/1001", "-c:v libx264 -preset ultrafast -g 60 -bf 0"},
        {"reordered.mp4", "30000/1001", "-c:v libx264 -preset veryfast -g 48 -bf 3"},
        {"open.mp4", "25", "-c:v libx264 -preset veryfast -x264-params open-gop=1:keyint=40:bframes=3"},
        {"millis.mkv", "24000/1001", "-c:v libx264 -preset veryfast -g 50 -bf 2"},
        {"stream.ts", "60000/1001", "-c:v libx264 -preset veryfast -g 60 -bf 2"},
        {"programme.mpg", "25", "-c:v mpeg2video -g 15 -bf 2 -q:v 4"},
        {"old.avi", "24", "-c:v mpeg4 -q:v 4 -g 40"},
        {"camera.mov", "24000/1001", "-c:v prores_ks -profile:v 0"},
        {"studio.mxf", "25", "-c:v mpeg2video -g 12 -bf 2 -q:v 4"},
        {"late.mov", "50", "-c:v libx264 -preset ultrafast -g 40 -output_ts_offset 3.2"},
    };
    tw_arena *arena = tw_test_arena(state);
    film_need(arena);
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        static const int64_t firsts[] = {0, 1, 39, 100, 149};
        tw_media_info info;
        tw_row(i, rows[i].name);
        probe(arena, film_numbered(arena, rows[i].name, rows[i].rate, 150, rows[i].options), &info);
        for (size_t f = 0; f < sizeof firsts / sizeof firsts[0]; f++)
            assert_numbers(arena, &info, firsts[f], 3, 150);
    }
}

static void past_the_end(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_media_info info;
    film_need(arena);
    probe(arena, film_numbered(arena, "end.mov", "25", 30, "-c:v libx264 -preset ultrafast -g 10"), &info);
    assert_int_equal(info.frames, 30);
    assert_numbers(arena, &info, 25, 100, 30);
    assert_numbers(arena, &info, 30, 5, 30);
    assert_numbers(arena, &info, 5000, 5, 30);
}

/* A picture left out is shown by the one before it; those after keep their numbers. */
static void uneven(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_media_info info;
    tw_diags *diags = tw_diags_new(arena);
    const tw_media_ask ask = {.first = 8, .count = 5};
    tw_media_reader *reader;
    const tw_media_frame *frame;
    film_need(arena);
    const char *whole = film_numbered(arena, "whole.mkv", "25", 40, "-c:v ffv1"), *path = film_path(arena, "hole.mkv");
    film_make(
        arena,
        tw_arena_printf(arena, "-i %s -vf select='not(eq(n,10))' -fps_mode passthrough -c:v ffv1 %s", whole, path).at);
    probe(arena, path, &info);
    assert_int_equal(tw_media_open(arena, &film_tools, &info, &ask, diags, &reader), TW_OK);
    static const int expected[] = {8, 9, 9, 11, 12};
    for (size_t i = 0; i < 5; i++) {
        assert_int_equal(tw_media_next(reader, &frame), TW_OK);
        assert_non_null(frame);
        assert_int_equal(film_number(frame), expected[i]);
        assert_int_equal(frame->number, 8 + (int64_t)i);
    }
    tw_media_close(&reader);
}

/* Smaller, never larger; height in proportion. */
static void sizes(void **state)
{
    static const struct {
        int32_t ask, w, h;
    } rows[] = {{0, 64, 48}, {32, 32, 24}, {25, 25, 19}, {1, 1, 1}, {4000, 64, 48}};
    tw_arena *arena = tw_test_arena(state);
    tw_media_info info;
    film_need(arena);
    probe(arena, film_numbered(arena, "size.mov", "25", 4, "-c:v ffv1"), &info);
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_diags *diags = tw_diags_new(arena);
        const tw_media_ask ask = {.first = 1, .count = 2, .width = rows[i].ask, .pixels = TW_PIXELS_YUV};
        tw_media_reader *reader;
        const tw_media_frame *frame;
        tw_row(i, "width");
        assert_int_equal(tw_media_open(arena, &film_tools, &info, &ask, diags, &reader), TW_OK);
        assert_int_equal(tw_media_next(reader, &frame), TW_OK);
        assert_non_null(frame);
        assert_int_equal(frame->width, rows[i].w);
        assert_int_equal(frame->height, rows[i].h);
        assert_int_equal(frame->planes[1] - frame->planes[0], rows[i].w * rows[i].h);
        assert_int_equal(frame->planes[2][0], 128);
        tw_media_close(&reader);
    }
}

/* A picture without time shows at any frame. */
static void still_picture(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_media_info info;
    const tw_media_ask ask = {.first = 700, .count = 3};
    tw_media_reader *reader;
    const tw_media_frame *frame;
    film_need(arena);
    static const char *const names[] = {"title.png", "title.jpg", "title.tif"};
    for (size_t i = 0; i < sizeof names / sizeof names[0]; i++) {
        tw_row(i, names[i]);
        const char *path = film_path(arena, names[i]);
        film_make(arena, tw_arena_printf(arena, "-f lavfi -i color=white:size=90x60 -frames:v 1 %s", path).at);
        probe(arena, path, &info);
        assert_true(info.still);
        assert_int_equal(tw_media_open(arena, &film_tools, &info, &ask, tw_diags_new(arena), &reader), TW_OK);
        for (int64_t k = 0; k < 3; k++) {
            assert_int_equal(tw_media_next(reader, &frame), TW_OK);
            assert_non_null(frame);
            assert_int_equal(frame->number, 700 + k);
            assert_true(frame->planes[0][0] > 220);
        }
        assert_int_equal(tw_media_next(reader, &frame), TW_OK);
        assert_null(frame);
        tw_media_close(&reader);
    }
}

/* Closed long before the end: the decoder is ended, not waited for. */
static void left_early(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_media_info info;
    film_need(arena);
    probe(arena, film_numbered(arena, "early.mov", "25", 200, "-c:v ffv1"), &info);
    for (int i = 0; i < 5; i++) {
        const tw_media_ask ask = {.first = i, .count = 190};
        tw_media_reader *reader;
        const tw_media_frame *frame;
        assert_int_equal(tw_media_open(arena, &film_tools, &info, &ask, tw_diags_new(arena), &reader), TW_OK);
        assert_int_equal(tw_media_next(reader, &frame), TW_OK);
        assert_int_equal(film_number(frame), i);
        tw_media_close(&reader);
    }
}

static void broken_file(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_media_info info;
    tw_diags *diags = tw_diags_new(arena);
    const tw_media_ask ask = {.count = 1};
    tw_media_reader *reader;
    const tw_media_frame *frame;
    film_need(arena);
    probe(arena, film_numbered(arena, "gone.mov", "25", 4, "-c:v ffv1"), &info);
    info.path = tw_str_z(film_path(arena, "not there.mov"));
    assert_int_equal(tw_media_open(arena, &film_tools, &info, &ask, diags, &reader), TW_OK);
    assert_int_equal(tw_media_next(reader, &frame), TW_ERR_IO);
    assert_int_equal(tw_media_next(reader, &frame), TW_ERR_IO);
    tw_media_close(&reader);
    assert_int_equal(tw_diags_kept(diags), 1);
    assert_int_equal(tw_diags_get(diags, 0)->code, 2103);
}

/* ---- one frame as a picture ------------------------------------------------------------------------------- */

/* Read back as a picture file: the right frame, the right size, the right brightness. */
static void jpeg_of_a_frame(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_media_info info, still;
    tw_str jpeg;
    tw_diags *diags = tw_diags_new(arena);
    film_need(arena);
    probe(arena, film_numbered(arena, "for-stills.mov", "25", 60, "-c:v libx264 -preset ultrafast -g 30"), &info);
    for (int width = 0; width <= FILM_WIDE / 2; width += FILM_WIDE / 2) {
        assert_int_equal(tw_media_still(arena, &film_tools, &info, 45, width, diags, &jpeg), TW_OK);
        const char *path = film_path(arena, "still.jpg");
        FILE *f = fopen(path, "wb");
        assert_non_null(f);
        assert_int_equal(fwrite(jpeg.at, 1, jpeg.len, f), jpeg.len);
        fclose(f);
        probe(arena, path, &still);
        assert_true(still.still);
        assert_int_equal(still.width, width > 0 ? width : FILM_WIDE);
        tw_media_reader *reader;
        const tw_media_frame *frame;
        const tw_media_ask ask = {.count = 1, .pixels = TW_PIXELS_YUV};
        assert_int_equal(tw_media_open(arena, &film_tools, &still, &ask, diags, &reader), TW_OK);
        assert_int_equal(tw_media_next(reader, &frame), TW_OK);
        assert_int_equal(film_number(frame), 45);
        /* 45 = 0b101101: the first column is bright, 220, the second dark, 30 */
        tw_assert_near(frame->planes[0][frame->width / 16], 220, 6);
        tw_assert_near(frame->planes[0][3 * frame->width / 16], 30, 6);
        tw_media_close(&reader);
    }
    assert_int_equal(tw_diags_kept(diags), 0);
}

static void jpeg_past_the_end(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_media_info info;
    tw_str jpeg = TW_STR("x");
    film_need(arena);
    probe(arena, film_numbered(arena, "short.mov", "25", 3, "-c:v ffv1"), &info);
    assert_int_equal(tw_media_still(arena, &film_tools, &info, 9, 0, tw_diags_new(arena), &jpeg), TW_OK);
    assert_int_equal(jpeg.len, 0);
}

TW_SUITE(frames)
{
    const struct CMUnitTest tests[] = {
        TW_TEST(exact_frames),  TW_TEST(past_the_end),    TW_TEST(uneven),
        TW_TEST(sizes),         TW_TEST(jpeg_of_a_frame), TW_TEST(jpeg_past_the_end),
        TW_TEST(still_picture), TW_TEST(left_early),      TW_TEST(broken_file),
    };
    return tw_run("media/frames", tests);
}
