/* SPDX-License-Identifier: Apache-2.0 */
#include "subject/subject_internal.h"
#include "support/support.h"

#include <string.h>

/* A slope: brightness x + 2 y. Bilinear samples of a plane that is a slope are on the slope; averages of 2 x 2 too. */
static void fill_slope(uint8_t *px, int w, int h)
{
    for (int y = 0; y < h; y++)
        for (int x = 0; x < w; x++)
            px[y * w + x] = (uint8_t)(x + 2 * y);
}

static void levels_halve_and_keep_the_slope(void **state)
{
    uint8_t *px = TW_NEW_N(tw_test_arena(state), uint8_t, 80 * 60);
    tw_pyramid p;
    fill_slope(px, 80, 60);
    tw_pyramid_init(tw_test_arena(state), 80, 60, &p);
    tw_pyramid_fill(&p, &(tw_plane){px, 80, 60, 80});
    assert_int_equal(p.count, 2);
    assert_int_equal(p.level[1].w, 40);
    assert_int_equal(p.level[1].h, 30);
    /* (x + 2y, x+1 + 2y, x + 2y+2, x+1 + 2y+2) / 4 = x + 2y + 1.5, rounded up at 2x, 2y. */
    assert_int_equal(p.level[1].px[3 * 40 + 5], 10 + 2 * 6 + 2);
}

static void views_lie_where_they_are_asked_for(void **state)
{
    uint8_t *px = TW_NEW_N(tw_test_arena(state), uint8_t, 80 * 60), out[64];
    tw_pyramid p;
    fill_slope(px, 80, 60);
    tw_pyramid_init(tw_test_arena(state), 80, 60, &p);
    tw_pyramid_fill(&p, &(tw_plane){px, 80, 60, 80});
    /* Eight samples from pixel 16 to 23, 8 to 15: the middle between is at 20, 12 counted from edges. */
    twi_view_take(&p, &(twi_view){20, 12, 1, 1, 1, 0}, 8, out);
    assert_int_equal(out[0], 16 + 2 * 8);
    assert_int_equal(out[63], 23 + 2 * 15);
    /* A quarter turn: to the right in the view is down in the picture. */
    twi_view_take(&p, &(twi_view){20, 12, 1, 1, 0, 1}, 8, out);
    assert_int_equal(out[0], 23 + 2 * 8);
    assert_int_equal(out[7], 23 + 2 * 15);
    /* Twice as long steps down only. */
    twi_view_take(&p, &(twi_view){20, 16, 1, 2, 1, 0}, 8, out);
    assert_int_equal(out[8] - out[0], 4);
    assert_int_equal(out[1] - out[0], 1);
}

static void past_the_edge_the_edge_goes_on(void **state)
{
    uint8_t *px = TW_NEW_N(tw_test_arena(state), uint8_t, 80 * 60), out[64];
    tw_pyramid p;
    fill_slope(px, 80, 60);
    tw_pyramid_init(tw_test_arena(state), 80, 60, &p);
    tw_pyramid_fill(&p, &(tw_plane){px, 80, 60, 80});
    twi_view_take(&p, &(twi_view){-100, -100, 1, 1, 1, 0}, 8, out);
    for (int i = 0; i < 64; i++)
        assert_int_equal(out[i], 0);
    twi_view_take(&p, &(twi_view){1e9, 1e9, 3, 1, 1, 0}, 8, out);
    for (int i = 0; i < 64; i++)
        assert_in_range(out[i], 79 + 2 * 59 - 3, 79 + 2 * 59);
}

TW_SUITE(plane)
{
    const struct CMUnitTest tests[] = {
        TW_TEST(levels_halve_and_keep_the_slope),
        TW_TEST(views_lie_where_they_are_asked_for),
        TW_TEST(past_the_edge_the_edge_goes_on),
    };
    return tw_run("subject/plane", tests);
}
