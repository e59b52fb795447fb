/* SPDX-License-Identifier: Apache-2.0 */
#include "support/support.h"

#include <tallwide/report.h>

#include <string.h>

static bool holds(tw_str text, const char *part)
{
    size_t len = strlen(part);
    for (size_t i = 0; i + len <= text.len; i++)
        if (memcmp(text.at + i, part, len) == 0)
            return true;
    return false;
}

/* A squeezed picture is drawn as it is seen: 4448x3096 with a squeeze of 2 fills the 400 pixels of the drawing's picture
 * column 400 * 3096 / 8896 = 139.21 high; its 16:9 window of 2752 recorded pixels is 2752/4448 * 400 = 247.48 wide. */
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
        if (!holds(tw_buf_str(&out), parts[i]))
            tw_assert_text(tw_buf_str(&out), parts[i]);
    }
}

TW_SUITE(chart_svg)
{
    const struct CMUnitTest tests[] = {TW_TEST(squeezed_as_seen)};
    return tw_run("report/chart_svg", tests);
}
