/* SPDX-License-Identifier: Apache-2.0 */
#include "support/support.h"

#include <tallwide/report.h>

/* A squeezed picture is drawn as it is seen: 4448x3096 with a squeeze of 2 fills the 400 pixels of the drawing's
 * picture column 400 * 3096 / 8896 = 139.21 high; its 16:9 window of 2752 recorded pixels is 2752/4448 * 400 = 247.48
 * wide. */
static void squeezed_as_seen(void **state)
{
    static const tw_chart_picture mode = {.name = {"a < b & c", 9}, .size = {4448, 3096}};
    static const tw_chart_picture wide = {.name = {NULL, 0}, .size = {3840, 2160}};
    const tw_chart_ask ask = {.modes = &mode, .mode_count = 1, .shapes = &wide, .shape_count = 1, .squeeze = 2};
    tw_buf out = {.arena = tw_test_arena(state)};
    tw_chart_svg(tw_chart_make(out.arena, &ask), &out);
    static const char *const parts[] = {
        "<rect class=\"plate\" x=\"0\" y=\"40\" width=\"400\" height=\"139.21\"/>",
        "<rect class=\"win c0\" x=\"76.26\" y=\"40\" width=\"247.48\" height=\"139.21\"/>",
        "a &lt; b &amp; c, 4448x3096, 2.87:1",
    };
    for (size_t i = 0; i < sizeof parts / sizeof parts[0]; i++) {
        tw_row(i, parts[i]);
        tw_assert_holds(tw_buf_str(&out), parts[i]);
    }
}

/* Windows stand beside the longest name: nine letters of 9 pixels and 10 more from 436 on; what is longer than 130
 * pixels is smaller, 14 * 130 / 189, and windows stand at 576. */
static void names_of_any_length(void **state)
{
    static const tw_chart_picture mode = {.name = {NULL, 0}, .size = {5760, 4320}};
    static const tw_chart_picture sized = {.name = {"3840x2160", 9}, .size = {3840, 2160}};
    static const tw_chart_picture named = {.name = {"for the second screen", 21}, .size = {1080, 1920}};
    static const struct {
        const tw_chart_picture *shape;
        const char *name, *window;
    } rows[] = {
        {&sized, "<text x=\"436\" y=\"84\" class=\"t0\">3840x2160</text>",
         "<text x=\"527\" y=\"84\">5760x3240 at 0,540</text>"},
        {&named, "<text x=\"436\" y=\"84\" class=\"t0\" font-size=\"9.6\">for the",
         "<text x=\"576\" y=\"84\">2430x4320 at 1665,0</text>"},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        const tw_chart_ask ask = {.modes = &mode, .mode_count = 1, .shapes = rows[i].shape, .shape_count = 1};
        tw_buf out = {.arena = tw_test_arena(state)};
        tw_row(i, rows[i].name);
        tw_chart_svg(tw_chart_make(out.arena, &ask), &out);
        tw_assert_holds(tw_buf_str(&out), rows[i].name);
        tw_assert_holds(tw_buf_str(&out), rows[i].window);
    }
}

TW_SUITE(chart_svg)
{
    const struct CMUnitTest tests[] = {TW_TEST(squeezed_as_seen), TW_TEST(names_of_any_length)};
    return tw_run("report/chart_svg", tests);
}
