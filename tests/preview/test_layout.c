/* SPDX-License-Identifier: Apache-2.0 */
#include "support/support.h"

#include <tallwide/preview.h>

/* One height, whole even pixels, nothing outside the film, shapes kept to a pixel. */
static void side_by_side(void **state)
{
    static const tw_size shapes[] = {{3840, 2160}, {1080, 1920}, {1080, 1080}, {1080, 1350}, {2048, 858}};
    static const tw_size most[] = {{1920, 1080}, {960, 360}, {400, 4000}, {40, 40}};
    (void)state;
    for (size_t m = 0; m < sizeof most / sizeof most[0]; m++) {
        for (size_t n = 1; n <= sizeof shapes / sizeof shapes[0] && (m < 3 || n == 1); n++) {
            tw_preview_pane panes[5] = {{.x = -1}};
            tw_size film = tw_preview_layout(shapes, n, most[m], panes);
            tw_row(m * 10 + n, "layout");
            assert_true(film.w <= most[m].w + 2 * (int32_t)n && film.h <= most[m].h && film.w % 2 == 0 &&
                        film.h % 2 == 0);
            for (size_t i = 0; i < n; i++) {
                assert_int_equal(panes[i].h, film.h);
                assert_int_equal(panes[i].x % 2 + panes[i].w % 2, 0);
                assert_true(i == 0 ? panes[i].x == 0 : panes[i].x > panes[i - 1].x + panes[i - 1].w);
                assert_true(panes[i].x + panes[i].w <= film.w);
                tw_assert_near(panes[i].w, (double)film.h * shapes[i].w / shapes[i].h, 1.001);
            }
        }
    }
}

/* Decoded as wide as the narrowest window needs: 5760 shown through 2430 in a pane of 540 is 5760 * 540 / 2430 = 1280. */
static void decoded_width(void **state)
{
    tw_key keys[] = {{0, 1000, 1000, 3000, 0}, {20, 1000, 1000, 2430, 0}};
    const tw_framing framing = {.source = {5760, 4320}, .delivery = {1080, 1920}, .keys = keys, .key_count = 2};
    const tw_framing *framings[] = {&framing, NULL};
    const tw_preview_pane pane = {.framings = framings, .w = 540, .h = 960};
    const tw_preview_film film = {.panes = &pane, .pane_count = 1};
    const tw_item first = {.index = 0}, second = {.index = 1};
    (void)state;
    assert_int_equal(tw_preview_width(&film, 1, &first, (tw_size){5760, 4320}), 1280);
    assert_int_equal(tw_preview_width(&film, 1, &second, (tw_size){5760, 4320}), 540);
    /* tall in wide: height decides; 1080x1920 in 540x304 is 171 wide */
    const tw_preview_pane flat = {.framings = framings, .w = 540, .h = 304};
    const tw_preview_film other = {.panes = &flat, .pane_count = 1};
    assert_int_equal(tw_preview_width(&other, 1, &second, (tw_size){1080, 1920}), 171);
    keys[1].w = 300;
    assert_int_equal(tw_preview_width(&film, 1, &first, (tw_size){5760, 4320}), 5760);
}

TW_SUITE(layout)
{
    const struct CMUnitTest tests[] = {TW_TEST(side_by_side), TW_TEST(decoded_width)};
    return tw_run("preview/layout", tests);
}
