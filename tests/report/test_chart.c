/* SPDX-License-Identifier: Apache-2.0 */
#include "support/support.h"

#include <tallwide/report.h>

static tw_chart *chart_of(tw_arena *arena, tw_size source, double squeeze, const tw_size *shapes, size_t count)
{
    tw_chart_picture *pictures = TW_NEW_N(arena, tw_chart_picture, count + 1);
    for (size_t i = 0; i < count; i++)
        pictures[i].size = shapes[i];
    pictures[count].size = source;
    const tw_chart_ask ask = {
        .modes = &pictures[count],
        .mode_count = 1,
        .shapes = pictures,
        .shape_count = count,
        .squeeze = squeeze,
        .safe = tw_safe_find(TW_STR("st2046-1")),
        .monitor = {3840, 2160},
    };
    return tw_chart_make(arena, &ask);
}

static void same_window(tw_window got, tw_window expected)
{
    tw_assert_near(got.x, expected.x, 1e-9);
    tw_assert_near(got.y, expected.y, 1e-9);
    tw_assert_near(got.w, expected.w, 1e-9);
    tw_assert_near(got.h, expected.h, 1e-9);
}

/* ASC FDL 2.0.1 section 7.3.4.10 (fit the whole intent inside the canvas, centred), four shapes in 5760x4320. */
static void largest_windows(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    static const struct {
        const char *name;
        tw_size size;
        tw_window window;
        double used;
    } rows[] = {
        {"16:9", {1920, 1080}, {0, 540, 5760, 3240}, 3240.0 / 4320},
        {"9:16", {1080, 1920}, {1665, 0, 2430, 4320}, 2430.0 / 5760},
        {"1:1", {1080, 1080}, {720, 0, 4320, 4320}, 4320.0 / 5760},
        {"4:5", {1080, 1350}, {1152, 0, 3456, 4320}, 3456.0 / 5760},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_row(i, rows[i].name);
        const tw_chart *c = chart_of(arena, (tw_size){5760, 4320}, 0, &rows[i].size, 1);
        same_window(c->modes[0].shapes[0].window, rows[i].window);
        tw_assert_near(c->modes[0].shapes[0].used, rows[i].used, 1e-12);
    }
}

/* Facts of the trade: UHD in a 5760-wide picture has 150 % of room (5760 / 3840); a UHD camera has none for UHD, 2.25
 * times for a 9:16 of 1080 from 4320 lines (4320 / 1920); 1920 wide must be doubled for UHD. */
static void room_to_punch_in(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    static const struct {
        tw_size source, size;
        double room;
    } rows[] = {
        {{5760, 4320}, {3840, 2160}, 1.5},
        {{3840, 2160}, {3840, 2160}, 1},
        {{5760, 4320}, {1080, 1920}, 2.25},
        {{1920, 1080}, {3840, 2160}, 0.5},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_row(i, "room");
        const tw_chart *c = chart_of(arena, rows[i].source, 0, &rows[i].size, 1);
        tw_assert_near(c->modes[0].shapes[0].room, rows[i].room, 1e-12);
    }
}

/* Full-width 16:9 and full-height 9:16 of a 4:3 picture share 2430x3240. */
static void what_shapes_share(void **state)
{
    static const tw_size shapes[] = {{3840, 2160}, {1080, 1920}};
    const tw_chart *c = chart_of(tw_test_arena(state), (tw_size){5760, 4320}, 0, shapes, 2);
    same_window(c->modes[0].shared, (tw_window){1665, 540, 2430, 3240});
    tw_assert_near(c->modes[0].shared_used, 2430.0 * 3240 / (5760.0 * 4320), 1e-12);
}

/* A 9:16 cut from a 16:9 picture keeps (9/16)^2 of it and loses 1 - (9/16)^2, more than two thirds; from the 4:3
 * picture of the same width it has (4/3)^2 times the pixels: 7/16 fewer the other way. */
static void loss_against_sixteen_nine(void **state)
{
    static const tw_size tall = {1080, 1920};
    const tw_chart *c = chart_of(tw_test_arena(state), (tw_size){5760, 4320}, 0, &tall, 1);
    const tw_chart_shape *s = &c->modes[0].shapes[0];
    tw_assert_near(c->modes[0].wide.h, 3240, 1e-9);
    tw_assert_near(s->if_wide.w, 1822.5, 1e-9);
    tw_assert_near(1 - s->wide_kept, 1 - 81.0 / 256, 1e-12);
    assert_true(1 - s->wide_kept > 2.0 / 3);
    tw_assert_near(s->fewer, 7.0 / 16, 1e-12);
}

/* 5760x4320 on 2160 lines: half size, 2880x2160. A 9:16 of any size: 1215x2160. */
static void whole_on_a_monitor(void **state)
{
    static const tw_size tall = {1080, 1920};
    const tw_chart *c = chart_of(tw_test_arena(state), (tw_size){5760, 4320}, 0, &tall, 1);
    tw_assert_near(c->modes[0].on_monitor.w, 2880, 1e-9);
    tw_assert_near(c->modes[0].on_monitor.h, 2160, 1e-9);
    tw_assert_near(c->modes[0].shapes[0].on_monitor.w, 1215, 1e-9);
    tw_assert_near(c->modes[0].shapes[0].on_monitor.h, 2160, 1e-9);
}

/* SMPTE ST 2046-1:2009: action 93 %, title 90 % of 1920x1080 (1785.6x1004.4 and 1728x972); EBU R 95: 67.2 / 37.8 and
 * 96 / 54 pixels from the edges. On 1080x1920 neither standard speaks: the same percentages by analogy. Whole-pixel
 * insets are rounded up. */
static void safe_areas(void **state)
{
    static const struct {
        tw_size size;
        tw_extent action, graphics;
        int32_t action_left, action_top, graphics_left, graphics_top;
        bool by_analogy;
    } rows[] = {
        {{1920, 1080}, {1785.6, 1004.4}, {1728, 972}, 68, 38, 96, 54, false},
        {{1080, 1920}, {1004.4, 1785.6}, {972, 1728}, 38, 68, 54, 96, true},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_row(i, rows[i].by_analogy ? "tall" : "wide");
        const tw_chart *c = chart_of(tw_test_arena(state), (tw_size){5760, 4320}, 0, &rows[i].size, 1);
        const tw_chart_shape *s = &c->modes[0].shapes[0];
        tw_assert_near(s->action.exact.w, rows[i].action.w, 1e-9);
        tw_assert_near(s->action.exact.h, rows[i].action.h, 1e-9);
        tw_assert_near(s->graphics.exact.w, rows[i].graphics.w, 1e-9);
        tw_assert_near(s->graphics.exact.h, rows[i].graphics.h, 1e-9);
        assert_int_equal(s->action.left, rows[i].action_left);
        assert_int_equal(s->action.top, rows[i].action_top);
        assert_int_equal(s->graphics.left, rows[i].graphics_left);
        assert_int_equal(s->graphics.top, rows[i].graphics_top);
        assert_int_equal(s->by_analogy, rows[i].by_analogy);
    }
}

/* 4448x3096 recorded with a squeeze of 2 is seen as 8896x3096: 16:9 takes 2752x3096 of it (3096 * 16/9 / 2). On
 * 3840x2160 the whole picture is as wide as the monitor: 3840 x 3096 * 3840/8896. */
static void squeezed(void **state)
{
    static const tw_size wide = {3840, 2160};
    const tw_chart *c = chart_of(tw_test_arena(state), (tw_size){4448, 3096}, 2, &wide, 1);
    same_window(c->modes[0].shapes[0].window, (tw_window){848, 0, 2752, 3096});
    tw_assert_near(c->modes[0].on_monitor.w, 3840, 1e-9);
    tw_assert_near(c->modes[0].on_monitor.h, 3096 * 3840.0 / 8896, 1e-9);
}

TW_SUITE(chart)
{
    const struct CMUnitTest tests[] = {
        TW_TEST(largest_windows),    TW_TEST(room_to_punch_in),
        TW_TEST(what_shapes_share),  TW_TEST(loss_against_sixteen_nine),
        TW_TEST(whole_on_a_monitor), TW_TEST(safe_areas),
        TW_TEST(squeezed),
    };
    return tw_run("report/chart", tests);
}
