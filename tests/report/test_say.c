/* SPDX-License-Identifier: Apache-2.0 */
#include "support/support.h"

#include "report/report_internal.h"

static void ratios(void **state)
{
    static const struct {
        double w, h;
        const char *text;
    } rows[] = {{5760, 4320, "4:3"},    {1080, 1920, "9:16"},   {1080, 1350, "4:5"},    {1080, 1080, "1:1"},
                {4096, 2160, "1.90:1"}, {8896, 3096, "2.87:1"}, {4448, 3096, "1.44:1"}, {1, 40, "0.03:1"}};
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_row(i, rows[i].text);
        tw_buf out = {.arena = tw_test_arena(state)};
        twi_report_ratio(rows[i].w, rows[i].h, &out);
        tw_assert_text(tw_buf_str(&out), rows[i].text);
    }
}

static void names(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_item clip = tw_timeline_item(TW_ITEM_CLIP);
    clip.reel = TW_STR("AX");
    clip.name = TW_STR("title card");
    tw_assert_text(tw_item_source_name(&clip), "title card");
    const tw_decision shot = {.clip = &clip};
    tw_assert_text(twi_report_event(arena, &shot, 6), "007");
    clip.event = TW_STR("0041");
    tw_assert_text(twi_report_event(arena, &shot, 6), "0041");
}

TW_SUITE(say)
{
    const struct CMUnitTest tests[] = {TW_TEST(ratios), TW_TEST(names)};
    return tw_run("report/say", tests);
}
