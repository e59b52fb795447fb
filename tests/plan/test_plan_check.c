/* SPDX-License-Identifier: Apache-2.0 */
#include "plan_support.h"

static void messages(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    read_plan(arena,
              TW_STR("{\n"
                     "  \"tallwide_plan\": 1,\n"
                     "  \"edit\": {\"fil\": \"wheel.edl\", \"drop\": \"no\"},\n"
                     "  \"deliveries\": [\n"
                     "    {\"name\": \"tall\", \"size\": [1080, 0], \"max_scal\": 2, \"moves\": \"jumpy\"},\n"
                     "    7\n"
                     "  ],\n"
                     "  \"sources\": {\"reel\": \"A\"}\n"
                     "}\n"),
              "x:3:12: warning TW1503: \"fil\" is not known here; it is kept, but nothing comes of it\n"
              "    \"edit\": {\"fil\": \"wheel.edl\", \"drop\": \"no\"},\n"
              "             ^^^^^\n"
              "  -> did you mean \"file\"?\n"
              "x:3:40: error TW1505: \"drop\" must be true or false, found \"no\"\n"
              "    \"edit\": {\"fil\": \"wheel.edl\", \"drop\": \"no\"},\n"
              "                                         ^^^^\n"
              "x:3:11: error TW1504: \"file\" is missing here: the edit, relative to the plan\n"
              "    \"edit\": {\"fil\": \"wheel.edl\", \"drop\": \"no\"},\n"
              "            ^\n"
              "x:5:30: error TW1505: \"size\" must be [width, height] in whole pixels, each from 1 to 1000000, found "
              "[1080,0]\n"
              "      {\"name\": \"tall\", \"size\": [1080, 0], \"max_scal\": 2, \"moves\": \"jumpy\"},\n"
              "                               ^\n"
              "x:5:41: warning TW1503: \"max_scal\" is not known here; it is kept, but nothing comes of it\n"
              "      {\"name\": \"tall\", \"size\": [1080, 0], \"max_scal\": 2, \"moves\": \"jumpy\"},\n"
              "                                          ^^^^^^^^^^\n"
              "  -> did you mean \"max_scale\"?\n"
              "x:5:65: error TW1507: \"moves\" must be one of auto|still|steps, found \"jumpy\"\n"
              "  ...{\"name\": \"tall\", \"size\": [1080, 0], \"max_scal\": 2, \"moves\": \"jumpy\"},\n"
              "                                                                 ^^^^^^^\n"
              "x:6:5: error TW1505: \"deliveries\" must hold objects only, found a number\n"
              "      7\n"
              "      ^\n"
              "x:8:14: error TW1505: \"sources\" must be a list of objects, found an object\n"
              "    \"sources\": {\"reel\": \"A\"}\n"
              "               ^\n");
}

/* One wrong thing each, at every level; line 3 is the row's text. */
static void rows(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    static const struct {
        const char *members;
        int code;
        uint32_t column;
    } rows[] = {
        {"\"notes\": []", 0, 0},
        {"\"colour\": 1", 1503, 1},
        {"\"motion\": {\"sped\": 1}", 1503, 12},
        {"\"motion\": {\"accel\": 0}", 1505, 21},
        {"\"motion\": {\"speeds\": [1, 2, 3, 4]}", 1505, 22},
        {"\"motion\": []", 1505, 11},
        {"\"sources\": [{\"reel\": \"A\", \"rate\": \"quick\"}]", 1505, 35},
        {"\"sources\": [{\"reel\": \"A\", \"size\": \"1x1\"}]", 1505, 35},
        {"\"sources\": [{\"reel\": \"A\", \"kind\": \"lamp\"}]", 1507, 35},
        {"\"sources\": [{\"size\": null}]", 1504, 13},
        {"\"sources\": [null]", 1505, 13},
        {"\"notes\": [{\"id\": \"n\"}]", 1504, 11},
        {"\"notes\": [{\"id\": 1, \"reel\": \"A\"}]", 1505, 18},
        {"\"notes\": [{\"id\": \"n\", \"reel\": \"A\", \"state\": \"odd\"}]", 1507, 45},
        {"\"notes\": [{\"id\": \"n\", \"reel\": \"A\", \"state\": \"agreed\", \"agreed\": {\"a\": 1}}]", 0, 0},
        {"\"notes\": [{\"id\": \"n\", \"reel\": \"A\", \"conflict\": []}]", 0, 0},
        {"\"sources\": [{\"reel\": \"A\", \"conflict\": {\"size\": {\"ours\": [2, 1]}}}]", 0, 0},
        {"\"conflict\": {\"edit/rate\": {\"ours\": 1, \"theirs\": 2}}", 0, 0},
        {"\"notes\": [{\"id\": \"n\", \"reel\": \"A\", \"subject_fill\": 1.5}]", 1505, 52},
        {"\"notes\": [{\"id\": \"n\", \"reel\": \"A\", \"in\": 5}]", 1505, 42},
        {"\"notes\": [{\"id\": \"n\", \"reel\": \"A\", \"regions\": [{\"name\": \"r\", \"keys\": [[\"00:00:00:00\", 0, "
         "0, 1, "
         "1]]}]}]",
         1504, 48},
        {"\"notes\": [{\"id\": \"n\", \"reel\": \"A\", \"regions\": [{\"name\": \"r\", \"need\": \"nice\", \"track\": "
         "\"t\", "
         "\"weight\": 0}]}]",
         1505, 102},
        {"\"notes\": [{\"id\": \"n\", \"reel\": \"A\", \"regions\": [{\"name\": \"r\", \"need\": \"nice\", \"track\": "
         "\"t\", "
         "\"focus\": [0.5, 2]}]}]",
         1505, 101},
        {"\"notes\": [{\"id\": \"n\", \"reel\": \"A\", \"regions\": [{\"name\": \"r\", \"need\": \"nice\", \"track\": "
         "\"t\", "
         "\"loook\": \"left\"}]}]",
         1503, 92},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_row(i, rows[i].members);
        read_row_plan(arena, plan_with(arena, rows[i].members), rows[i].code, 3, rows[i].column);
    }
}

/* A wide plan full of slips: told of a hundred, counted all, in linear time. */
static void many_slips(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_buf text = {.arena = arena};
    tw_buf_addz(&text, "{\"tallwide_plan\": 1, \"edit\": {\"file\": \"e\"}, \"deliveries\": [], \"notes\": [");
    for (int i = 0; i < 50000; i++)
        tw_buf_addf(&text, "%s\n{\"id\": \"n%d\", \"reel\": \"A\", \"unknown\": 1}", i > 0 ? "," : "", i);
    tw_buf_addz(&text, "]}");
    tw_diags *diags = tw_diags_new(arena);
    tw_plan *plan = NULL;
    assert_int_equal(tw_plan_read(arena, tw_buf_str(&text), TW_STR("x"), TW_R24, false, diags, &plan), TW_OK);
    assert_int_equal(tw_diags_count(diags, TW_WARNING), 50000);
    assert_int_equal(tw_diags_kept(diags), TW_DIAGS_KEPT);
    assert_int_equal(plan->note_count, 50000);
}

TW_SUITE(plan_check)
{
    const struct CMUnitTest tests[] = {TW_TEST(messages), TW_TEST(rows), TW_TEST(many_slips)};
    return tw_run("plan/plan_check", tests);
}
