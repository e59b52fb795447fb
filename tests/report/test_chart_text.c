/* SPDX-License-Identifier: Apache-2.0 */
#include "support/support.h"

#include <tallwide/report.h>

static tw_chart *chart(tw_arena *arena)
{
    static const tw_chart_picture modes[] = {{.name = {"gate", 4}, .size = {5760, 4320}}};
    static const tw_chart_picture shapes[] = {{.name = {"wide", 4}, .size = {3840, 2160}},
                                              {.name = {"tall", 4}, .size = {1080, 1920}}};
    const tw_chart_ask ask = {
        .modes = modes,
        .mode_count = 1,
        .shapes = shapes,
        .shape_count = 2,
        .safe = tw_safe_find(TW_STR("ebu-r95")),
        .monitor = {3840, 2160},
    };
    return tw_chart_make(arena, &ask);
}

/* The numbers are those of test_chart.c. */
static void text(void **state)
{
    tw_buf out = {.arena = tw_test_arena(state)};
    tw_chart_text(chart(out.arena), &out);
    tw_assert_text(tw_buf_str(&out),
                   "gate, 5760x4320, 4:3\n"
                   "  shape      ratio  largest window         used %  room %  across %     down %\n"
                   "  wide       16:9   5760x3240 at 0,540     75.0    150     0.00-100.00  12.50-87.50\n"
                   "  tall       9:16   2430x4320 at 1665,0    42.2    225     28.91-71.09  0.00-100.00\n"
                   "  all share         2430x3240 at 1665,540  31.6            28.91-71.09  12.50-87.50\n"
                   "\n"
                   "  recorded in 16:9 instead, 5760x3240:\n"
                   "  wide  5760x3240    loses 0.0 % of it   as many pixels as above\n"
                   "  tall  1822.5x3240  loses 68.4 % of it  43.8 % fewer pixels than above\n"
                   "\n"
                   "across, down: where guide lines go\n"
                   "room: how far to punch in before source pixels are enlarged; 100 % is not at all\n"
                   "\n"
                   "safe areas by EBU R 95, delivery pixels; insets rounded up\n"
                   "  shape  action         inset   graphics   inset\n"
                   "  wide   3571.2x2008.8  135,76  3456x1944  192,108\n"
                   "  tall   1004.4x1785.6  38,68   972x1728   54,96    by analogy\n"
                   "\n"
                   "whole on a monitor of 3840x2160\n"
                   "  gate  2880x2160\n"
                   "  wide  3840x2160\n"
                   "  tall  1215x2160\n");
}

/* Columns are counted in characters: a name of two bytes more than letters moves nothing. */
static void names_of_any_length(void **state)
{
    static const tw_chart_picture modes[] = {{.name = {"3840x2160", 9}, .size = {3840, 2160}}};
    static const tw_chart_picture shapes[] = {{.name = {"f\xC3\xBCr das Fenster", 16}, .size = {1080, 1920}},
                                              {.name = {"1", 1}, .size = {1080, 1080}}};
    const tw_chart_ask ask = {.modes = modes, .mode_count = 1, .shapes = shapes, .shape_count = 2};
    tw_buf out = {.arena = tw_test_arena(state)};
    tw_chart_text(tw_chart_make(out.arena, &ask), &out);
    static const char expected[] =
        "3840x2160, 16:9\n"
        "  shape            ratio  largest window         used %  room %  across %     down %\n"
        "  f\xC3\xBCr das Fenster  9:16   1215x2160 at 1312.5,0  31.6    113     34.18-65.82  0.00-100.00\n"
        "  1                1:1    2160x2160 at 840,0     56.3    200     21.88-78.13  0.00-100.00\n"
        "  all share               1215x2160 at 1312.5,0  31.6            34.18-65.82  0.00-100.00\n";
    assert_true(out.len > sizeof expected);
    out.len = sizeof expected - 1;
    tw_assert_text(tw_buf_str(&out), expected);
}

static double number(const tw_json *object, const char *name)
{
    double value = -1;
    assert_true(tw_json_double(tw_json_get(object, name), &value));
    return value;
}

static void json(void **state)
{
    tw_buf out = {.arena = tw_test_arena(state)};
    tw_chart_json(chart(out.arena), &out);
    tw_json_doc doc;
    tw_diags *diags = tw_diags_new(out.arena);
    assert_int_equal(tw_json_read(out.arena, tw_buf_str(&out), TW_STR("chart"), NULL, diags, &doc), TW_OK);
    const tw_json *mode = tw_json_first(tw_json_get(doc.root, "modes")),
                  *wide = tw_json_first(tw_json_get(mode, "shapes"));
    tw_assert_near(number(tw_json_get(mode, "shared"), "w"), 2430, 0);
    tw_assert_near(number(wide, "room_percent"), 150, 0);
    tw_assert_near(number(wide->next, "lost_of_16x9_percent"), 68.359375, 0);
    tw_assert_near(number(tw_json_get(wide->next, "guides_percent"), "left"), 28.90625, 0);
    tw_assert_text(tw_json_get(wide->next, "name")->text, "tall");
    assert_true(tw_json_is(tw_json_get(wide->next, "by_analogy"), TW_JSON_TRUE));
}

TW_SUITE(chart_text)
{
    const struct CMUnitTest tests[] = {TW_TEST(text), TW_TEST(names_of_any_length), TW_TEST(json)};
    return tw_run("report/chart_text", tests);
}
