/* SPDX-License-Identifier: Apache-2.0 */
#define _POSIX_C_SOURCE 200809L
#include "media/media_support.h"

#include <string.h>
#include <unistd.h>

#define W 48
#define H 32

static void put_frames(tw_media_writer *w, int count)
{
    uint8_t planes[3 * W * H];
    for (int k = 0; k < count; k++) {
        memset(planes, 20 + k, W * H);
        memset(planes + W * H, 100, W * H);
        memset(planes + 2 * W * H, 150, W * H);
        assert_int_equal(tw_media_put(w, planes), TW_OK);
    }
}

/* Without loss: what was put in comes out, with its rate and time code. */
static void exact(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_diags *diags = tw_diags_new(arena);
    film_need(arena);
    const tw_media_film film = {.path = film_path(arena, "exact.mkv"),
                                .width = W,
                                .height = H,
                                .rate = {30000, 1001},
                                .start = 107892,
                                .drop = true};
    tw_media_writer *w;
    assert_int_equal(tw_media_create(arena, &film_tools, &film, diags, &w), TW_OK);
    put_frames(w, 20);
    assert_int_equal(tw_media_finish(w), TW_OK);
    tw_media_drop(&w);
    tw_media_info info;
    tw_media_reader *reader;
    const tw_media_frame *frame;
    const tw_media_ask ask = {.count = 20, .pixels = TW_PIXELS_YUV};
    assert_int_equal(tw_media_probe(arena, &film_tools, film.path, diags, &info), TW_OK);
    assert_true(tw_rate_eq(info.rate, film.rate) && info.has_start && info.drop);
    assert_int_equal(info.start, 107892);
    assert_int_equal(tw_media_open(arena, &film_tools, &info, &ask, diags, &reader), TW_OK);
    for (int k = 0; k < 20; k++) {
        assert_int_equal(tw_media_next(reader, &frame), TW_OK);
        for (int p = 0; p < W * H; p++)
            assert_int_equal(frame->planes[0][p], 20 + k);
        assert_int_equal(frame->planes[1][5], 100);
        assert_int_equal(frame->planes[2][5], 150);
    }
    tw_media_close(&reader);
}

/* As people watch it: close in brightness and colour, the same length. */
static void watched(void **state)
{
    static const char *const names[] = {"watched.mp4", "watched.mov"};
    tw_arena *arena = tw_test_arena(state);
    film_need(arena);
    for (int i = 0; i < 2; i++) {
        tw_diags *diags = tw_diags_new(arena);
        const tw_media_film film = {.path = film_path(arena, names[i]),
                                    .width = W,
                                    .height = H,
                                    .rate = {25, 1},
                                    .start = 90000,
                                    .draft = i == 1};
        tw_media_writer *w;
        assert_int_equal(tw_media_create(arena, &film_tools, &film, diags, &w), TW_OK);
        put_frames(w, 30);
        assert_int_equal(tw_media_finish(w), TW_OK);
        tw_media_drop(&w);
        tw_media_info info;
        tw_media_reader *reader;
        const tw_media_frame *frame;
        const tw_media_ask ask = {.first = 25, .count = 1, .pixels = TW_PIXELS_YUV};
        assert_int_equal(tw_media_probe(arena, &film_tools, film.path, diags, &info), TW_OK);
        assert_int_equal(info.frames, 30);
        assert_int_equal(info.start, 90000);
        assert_int_equal(tw_media_open(arena, &film_tools, &info, &ask, diags, &reader), TW_OK);
        assert_int_equal(tw_media_next(reader, &frame), TW_OK);
        tw_assert_near(frame->planes[0][W * H / 2], 45, 3);
        tw_assert_near(frame->planes[1][W * H / 2], 100, 3);
        tw_assert_near(frame->planes[2][W * H / 2], 150, 3);
        tw_media_close(&reader);
    }
}

static void dropped(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_diags *diags = tw_diags_new(arena);
    film_need(arena);
    const tw_media_film film = {.path = film_path(arena, "dropped.mp4"),
                                .hidden = film_path(arena, ".dropped.mp4"),
                                .width = W,
                                .height = H,
                                .rate = {25, 1}};
    tw_media_writer *w;
    assert_int_equal(tw_media_create(arena, &film_tools, &film, diags, &w), TW_OK);
    put_frames(w, 5);
    tw_media_drop(&w);
    assert_null(w);
    tw_media_paths left;
    assert_int_not_equal(access(film.path, F_OK), 0);
    assert_int_not_equal(access(film.hidden, F_OK), 0);
    assert_int_equal(tw_media_scan(arena, film.path, diags, &left), TW_ERR_IO);
}

TW_SUITE(film)
{
    const struct CMUnitTest tests[] = {TW_TEST(exact), TW_TEST(watched), TW_TEST(dropped)};
    return tw_run("media/film", tests);
}
