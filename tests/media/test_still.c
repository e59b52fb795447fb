/* SPDX-License-Identifier: Apache-2.0 */
#include "media/media_support.h"

#include <stdio.h>

static void probe(tw_arena *arena, const char *path, tw_media_info *info)
{
    assert_int_equal(tw_media_probe(arena, &film_tools, path, tw_diags_new(arena), info), TW_OK);
}

/* Read back as a picture file: the right frame, the right size, the right brightness. */
static void is_the_frame(void **state)
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

static void past_the_end(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_media_info info;
    tw_str jpeg = TW_STR("x");
    film_need(arena);
    probe(arena, film_numbered(arena, "short.mov", "25", 3, "-c:v ffv1"), &info);
    assert_int_equal(tw_media_still(arena, &film_tools, &info, 9, 0, tw_diags_new(arena), &jpeg), TW_OK);
    assert_int_equal(jpeg.len, 0);
}

TW_SUITE(still)
{
    const struct CMUnitTest tests[] = {TW_TEST(is_the_frame), TW_TEST(past_the_end)};
    return tw_run("media/still", tests);
}
