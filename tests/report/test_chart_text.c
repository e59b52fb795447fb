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
    tw_assert_text(
        tw_buf_str(&out),
        "gate, 5760x4320, 4:3\n"
        "  shape      ratio   largest window          used     room      lines across       lines down\n"
        "  wide       16:9    5760x3240 at 0,540      75.0 %   150 %     0.00-100.00 %      12.50-87.50 %\n"
        "  tall       9:16    2430x4320 at 1665,0     42.2 %   225 %     28.91-71.09 %      0.00-100.00 %\n"
        "  all share          2430x3240 at 1665,540   31.6 %             28.91-71.09 %      12.50-87.50 %\n"
        "\n"
        "  recorded in 16:9 instead, 5760x3240:\n"
        "  wide               5760x3240, keeps 100.0 % of that picture (loses 0.0 %), the same pixels as above\n"
        "  tall               1822.5x3240, keeps 31.6 % of that picture (loses 68.4 %), 43.8 % fewer pixels than "
        "above\n"
        "\n"
        "room: how far the window can be punched in before source pixels are enlarged; 100 % is none\n"
        "\n"
        "safe areas by EBU R 95, delivery pixels; insets rounded up\n"
        "  wide       3840x2160  action 3571.2x2008.8 (inset 135,76), graphics 3456x1944 (inset 192,108)\n"
        "  tall       1080x1920  action 1004.4x1785.6 (inset 38,68), graphics 972x1728 (inset 54,96), by analogy\n"
        "\n"
        "whole on a monitor of 3840x2160\n"
        "  gate 2880x2160, wide 3840x2160, tall 1215x2160\n");
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
    const tw_json *mode = tw_json_get(doc.root, "modes")->child, *wide = tw_json_get(mode, "shapes")->child;
    tw_assert_near(number(tw_json_get(mode, "shared"), "w"), 2430, 0);
    tw_assert_near(number(wide, "room_percent"), 150, 0);
    tw_assert_near(number(wide->next, "lost_of_16x9_percent"), 68.359375, 0);
    tw_assert_near(number(tw_json_get(wide->next, "guides_percent"), "left"), 28.90625, 0);
    tw_assert_text(tw_json_get(wide->next, "name")->text, "tall");
    assert_true(tw_json_is(tw_json_get(wide->next, "by_analogy"), TW_JSON_TRUE));
}

TW_SUITE(chart_text)
{
    const struct CMUnitTest tests[] = {TW_TEST(text), TW_TEST(json)};
    return tw_run("report/chart_text", tests);
}
