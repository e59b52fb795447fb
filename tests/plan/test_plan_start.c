/* SPDX-License-Identifier: Apache-2.0 */
#include "plan_support.h"

static void starter(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    const tw_delivery deliveries[] = {
        {.name = TW_STR("wide"), .size = {3840, 2160}},
        {.name = TW_STR("tall"), .size = {1080, 1920}, .max_scale = 1.5},
    };
    const tw_source sources[] = {
        {.reel = TW_STR("A003"), .size = {5760, 4320}},
        {.reel = TW_STR("B001"), .squeeze = 2, .rate = {30000, 1001}, .drop = true},
        {.reel = TW_STR("AX"), .size = {1920, 1080}, .kind = TW_SOURCE_GRAPHIC, .rate = {24, 1}},
    };
    const tw_starter given = {.edit_file = TW_STR("wheel.edl"),
                              .rate = {24, 1},
                              .deliveries = deliveries,
                              .delivery_count = 2,
                              .sources = sources,
                              .source_count = 3};
    tw_buf out = {.arena = arena};
    tw_plan_start(arena, &given, &out);
    tw_assert_text(
        tw_buf_str(&out),
        "{\n"
        "  \"tallwide_plan\": 1,\n"
        "  \"edit\": {\"file\": \"wheel.edl\", \"rate\": \"24/1\"},\n"
        "  \"deliveries\": [\n"
        "    {\"name\": \"wide\", \"size\": [3840, 2160]},\n"
        "    {\"name\": \"tall\", \"size\": [1080, 1920], \"max_scale\": 1.5}\n"
        "  ],\n"
        "  \"sources\": [\n"
        "    {\"reel\": \"A003\", \"size\": [5760, 4320]},\n"
        "    {\"reel\": \"B001\", \"size\": null, \"squeeze\": 2.0, \"rate\": \"30000/1001\", \"drop\": true},\n"
        "    {\"reel\": \"AX\", \"size\": [1920, 1080], \"kind\": \"graphic\"}\n"
        "  ],\n"
        "  \"notes\": []\n"
        "}\n");
    /* it is a plan, and already canonical */
    tw_plan *plan = read_plan(arena, tw_buf_str(&out), "");
    tw_buf again = {.arena = arena};
    tw_plan_write(plan->doc.root, &again);
    assert_true(tw_str_eq(tw_buf_str(&out), tw_buf_str(&again)));
}

TW_SUITE(plan_start)
{
    const struct CMUnitTest tests[] = {TW_TEST(starter)};
    return tw_run("plan/plan_start", tests);
}
