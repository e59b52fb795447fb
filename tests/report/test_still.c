/* SPDX-License-Identifier: Apache-2.0 */
#include "support/support.h"

#include <tallwide/report.h>

/* Source frame 90 at 24 counted frames is 00:00:03:18; reversed and slowed clips name the picture they show. */
static void names(void **state)
{
    static const struct {
        const char *reel, *name;
        double speed;
        int64_t frame;
        const char *expected;
    } rows[] = {
        {"A003", "hands", 1, 0, "A003_00000318"},
        {"A003", "hands", 1, 6, "A003_00000400"},
        {"A003", "hands", -1, 90, "A003_00000000"},
        {"A003", "hands", 0.5, 3, "A003_00000319"},
        {"A003", "hands", 0, 500, "A003_00000318"},
        {"take 1/b:\xC3\xA9.mov", "", 1, 0, "take_1_b___.mov_00000318"},
        {"AX", "hands & rim", 1, 0, "hands___rim_00000318"},
        {"A003C012/day 2", "", 1, 910, "A003C012_day_2_00004116"},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_arena *arena = tw_test_arena(state);
        tw_timeline *t = tw_timeline_new(arena);
        tw_item clip = tw_timeline_item(TW_ITEM_CLIP);
        t->rate = (tw_rate){24, 1};
        clip.reel = tw_str_z(rows[i].reel);
        clip.name = tw_str_z(rows[i].name);
        clip.source.start = tw_time_frames(90, t->rate);
        clip.speed = rows[i].speed;
        tw_row(i, rows[i].expected);
        tw_assert_text(tw_report_still_name(arena, t, &clip, rows[i].frame), rows[i].expected);
    }
}

TW_SUITE(still)
{
    const struct CMUnitTest tests[] = {TW_TEST(names)};
    return tw_run("report/still", tests);
}
