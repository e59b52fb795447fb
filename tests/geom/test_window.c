/* SPDX-License-Identifier: Apache-2.0 */
#include "support/support.h"

#include <tallwide/geom.h>

static const tw_size full = {5760, 4320}, uhd = {3840, 2160}, tall = {1080, 1920}, square = {1080, 1080};

static void assert_window(tw_window win, double x, double y, double w, double h)
{
    tw_assert_near(win.x, x, 1e-9);
    tw_assert_near(win.y, y, 1e-9);
    tw_assert_near(win.w, w, 1e-9);
    tw_assert_near(win.h, h, 1e-9);
}

/* ASC FDL 2.0.1 section 7.3.4.10 on 5760x4320: all numbers are whole, whatever the rounding rule. */
static void four_shapes(void **state)
{
    (void)state;
    static const struct {
        tw_size delivery;
        double x, y, w, h, scale;
    } rows[] = {
        {{1920, 1080}, 0, 540, 5760, 3240, 1.0 / 3},
        {{1080, 1920}, 1665, 0, 2430, 4320, 4.0 / 9},
        {{1080, 1080}, 720, 0, 4320, 4320, 1.0 / 4},
        {{1080, 1350}, 1152, 0, 3456, 4320, 5.0 / 16},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_row(i, "shape");
        tw_window win = tw_geom_widest(full, 1, rows[i].delivery);
        assert_window(win, rows[i].x, rows[i].y, rows[i].w, rows[i].h);
        tw_assert_near(tw_geom_scale(win.w, rows[i].delivery), rows[i].scale, 1e-12);
        tw_assert_near(tw_geom_zoom(win.w, full, 1, rows[i].delivery), 1, 0);
        assert_true(tw_geom_inside(win, full, 0));
        double right = 1, down = 1;
        tw_geom_move(win, full, rows[i].delivery, &right, &down);
        tw_assert_near(right, 0, 1e-9);
        tw_assert_near(down, 0, 1e-9);
    }
}

/* Facts of the trade, each by the arithmetic beside it. */
static void trade_facts(void **state)
{
    (void)state;
    /* 5760 / 3840: a 16:9 UHD window in a 5760-wide picture has 150 % punch-in room. */
    tw_assert_near(tw_geom_zoom(tw_geom_narrowest(uhd, 1), full, 1, uhd), 1.5, 1e-12);
    /* 4320 / 2: half the picture fills a 2160-line monitor as 2880x2160. */
    tw_window shown = tw_geom_fit(full, 1, uhd);
    tw_assert_near(tw_geom_scale(shown.w, uhd) * full.w, 2880, 1e-9);
    tw_assert_near(tw_geom_scale(shown.w, uhd) * full.h, 2160, 1e-9);
    /* 9:16 out of 16:9: the width kept is h * 9/16 = w * (9/16)^2. */
    tw_assert_near(tw_geom_widest((tw_size){1920, 1080}, 1, tall).w / 1920, 81.0 / 256, 1e-12);
    /* 5760 wide 16:9 is 3240 high, 4320 high 9:16 is 2430 wide: they share 2430x3240. */
    tw_assert_near(tw_geom_widest(full, 1, tall).w, 2430, 0);
    tw_assert_near(tw_geom_widest(full, 1, uhd).h, 3240, 0);
}

/* A squeeze of 2 doubles the width shown: 16:9 of 4448x3096 is 3096 * 16/9 / 2 = 2752 wide. */
static void squeezed(void **state)
{
    (void)state;
    tw_window win = tw_geom_widest((tw_size){4448, 3096}, 2, (tw_size){1920, 1080});
    assert_window(win, 848, 0, 2752, 3096);
    tw_assert_near(tw_geom_height(2752, 2, (tw_size){1920, 1080}), 3096, 1e-9);
    tw_assert_near(tw_geom_zoom(1376, (tw_size){4448, 3096}, 2, (tw_size){1920, 1080}), 2, 1e-12);
}

/* ASC FDL section 7: 16:9 shown whole in 1080x1920 stands at (0, 656.25), 1080x607.5 large. */
static void fitted(void **state)
{
    (void)state;
    const tw_size hd = {1920, 1080};
    tw_window win = tw_geom_fit(hd, 1, tall);
    double k = tw_geom_scale(win.w, tall);
    tw_assert_near(k * hd.h, 607.5, 1e-9);
    tw_assert_near(k * -win.x, 0, 1e-9);
    tw_assert_near(k * -win.y, 656.25, 1e-9);
    assert_false(tw_geom_inside(win, hd, 1));
    assert_window(tw_geom_fit(hd, 1, hd), 0, 0, 1920, 1080);
}

static void placing(void **state)
{
    (void)state;
    tw_window win = tw_geom_window(1215, 2160, 2430, 1, tall);
    assert_window(win, 0, 0, 2430, 4320);
    assert_window(tw_geom_key_window((tw_key){.cx = 2880, .cy = 2160, .w = 1080}, 1, square), 2340, 1620, 1080, 1080);
    double right, down;
    tw_geom_move(win, full, tall, &right, &down);
    tw_assert_near(right, 4.0 / 9 * (2880 - 1215), 1e-9); /* the picture's middle lies 740 pixels to the right */
    tw_assert_near(down, 0, 1e-9);
    tw_geom_move(tw_geom_window(1000, 3000, 1080, 1, square), full, square, &right, &down);
    tw_assert_near(right, 1880, 1e-9);
    tw_assert_near(down, -840, 1e-9);
}

static void inside_and_cut(void **state)
{
    (void)state;
    const tw_window win = {100, 200, 1000, 500};
    assert_true(tw_geom_inside(win, (tw_size){1100, 700}, 0));
    assert_false(tw_geom_inside(win, (tw_size){1099, 700}, 0.5));
    assert_true(tw_geom_inside(win, (tw_size){1099, 700}, 1));
    assert_false(tw_geom_inside((tw_window){-0.2, 0, 10, 10}, full, 0.1));
    tw_cut cut = tw_geom_cut(win, 90, 250, 1130, 600);
    tw_assert_near(cut.left, 10, 0);
    tw_assert_near(cut.top, 0, 0);
    tw_assert_near(cut.right, 30, 0);
    tw_assert_near(cut.bottom, 0, 0);
}

static void sizes(void **state)
{
    (void)state;
    static const struct {
        const char *text;
        tw_size size; /* {0,0}: refused */
    } rows[] = {
        {"5760x4320", {5760, 4320}},
        {"1080X1920", {1080, 1920}},
        {"1x1000000", {1, 1000000}},
        {"0x5", {0, 0}},
        {"5x", {0, 0}},
        {"x5", {0, 0}},
        {"5", {0, 0}},
        {"1000001x1", {0, 0}},
        {"-5x5", {0, 0}},
        {"5x5x5", {0, 0}},
        {"5 x5", {0, 0}},
        {"", {0, 0}},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_row(i, rows[i].text);
        tw_size size = {0, 0};
        assert_int_equal(tw_size_read(tw_str_z(rows[i].text), &size), rows[i].size.w != 0);
        assert_int_equal(size.w, rows[i].size.w);
        assert_int_equal(size.h, rows[i].size.h);
    }
}

static void same_sizes(void **state)
{
    (void)state;
    assert_true(tw_size_same(tall, (tw_size){1080, 1920}));
    assert_false(tw_size_same(tall, square));
    assert_false(tw_size_same(square, (tw_size){1920, 1080}));
}

static void past(void **state)
{
    static const struct {
        tw_window win;
        double px;
        const char *side;
    } rows[] = {
        {{-10, 0, 100, 50}, 10, "left"}, {{1830, 5, 100, 50}, 10, "right"}, /* 1830 + 100 - 1920 */
        {{3, -4, 100, 50}, 4, "upper"},  {{3, 1040, 100, 50}, 10, "lower"}, /* 1040 + 50 - 1080 */
        {{7, 20, 100, 50}, -7, "left"},
    };
    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        const char *side;
        tw_row(i, rows[i].side);
        tw_assert_near(tw_geom_past(rows[i].win, (tw_size){1920, 1080}, &side), rows[i].px, 1e-9);
        assert_string_equal(side, rows[i].side);
    }
}

TW_SUITE(window)
{
    const struct CMUnitTest tests[] = {
        TW_TEST(past),    TW_TEST(four_shapes),    TW_TEST(trade_facts), TW_TEST(squeezed),   TW_TEST(fitted),
        TW_TEST(placing), TW_TEST(inside_and_cut), TW_TEST(sizes),       TW_TEST(same_sizes),
    };
    return tw_run("geom/window", tests);
}
