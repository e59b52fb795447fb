/* SPDX-License-Identifier: Apache-2.0 */
#include "plan_support.h"

/* The rate of a time: the source's, else the edit's as the plan has it, else the one passed in. */
static tw_plan *plan_in(tw_arena *arena, tw_rate rate, bool drop, const char *edit, const char *sources, const char *in,
                        tw_diags *diags)
{
    tw_str text = tw_arena_printf(arena,
                                  "{\"tallwide_plan\": 1, \"edit\": {\"file\": \"e\"%s}, \"deliveries\": [],\n"
                                  "\"sources\": [%s],\n"
                                  "\"notes\": [{\"id\": \"n\", \"reel\": \"A003\",\n"
                                  "\"in\": \"%s\"}]}",
                                  edit, sources, in);
    tw_plan *plan = NULL;
    tw_plan_read(arena, text, TW_STR("x"), rate, drop, diags, &plan);
    return plan;
}

static tw_plan *plan_of(tw_arena *arena, const char *edit, const char *sources, const char *in, tw_diags *diags)
{
    return plan_in(arena, TW_R24, false, edit, sources, in, diags);
}

static void rates(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    static const struct {
        const char *edit, *sources, *in;
        int64_t frame;
    } rows[] = {
        {"", "", "01:00:00:00", 86400},                   /* 3600 x 24 */
        {", \"rate\": \"25\"", "", "01:00:00:00", 90000}, /* 3600 x 25 */
        {", \"rate\": 25", "", "01:00:00:24", 90024},
        {", \"rate\": \"25\"", "{\"reel\": \"A*\", \"rate\": \"50\"}", "01:00:00:00", 180000},
        {", \"rate\": \"25\"", "{\"reel\": \"B*\", \"rate\": \"50\"}", "01:00:00:00", 90000},
        {", \"rate\": \"25\"", "{\"reel\": \"A*\"}, {\"reel\": \"A00?\", \"rate\": \"50\"}", "01:00:00:00", 90000},
        {"", "{\"reel\": \"a003\", \"rate\": \"24000/1001\"}", "01:00:00:00", 86400},
        /* drop frame: 3600 x 30 - 2 x (60 - 6) */
        {", \"rate\": \"29.97df\"", "", "01:00:00:00", 107892},
        {", \"rate\": \"29.97\", \"drop\": true", "", "01:00:00:00", 107892},
        {", \"rate\": \"29.97\"", "", "01:00:00;00", 107892}, /* ';' says it itself */
        {", \"rate\": \"29.97\"", "", "01:00:00:00", 108000},
        {", \"rate\": \"29.97df\"", "{\"reel\": \"A*\", \"drop\": false}", "01:00:00:00", 108000},
        {", \"rate\": \"29.97df\"", "{\"reel\": \"A*\", \"rate\": \"30\"}", "01:00:00:00", 108000},
        {", \"rate\": \"29.97df\"", "{\"reel\": \"A*\", \"rate\": \"29.97\"}", "01:00:00:00", 107892},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_row(i, rows[i].in);
        tw_diags *diags = tw_diags_new(arena);
        tw_plan *plan = plan_of(arena, rows[i].edit, rows[i].sources, rows[i].in, diags);
        tw_assert_text(tw_str_z(tw_findings(arena, diags)), "");
        assert_int_equal(plan->notes[0].in, rows[i].frame);
    }
}

/* An edit in drop frame stays so where the plan gives a rate and does not speak of drop frame. */
static void drop_of_the_edit(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    static const struct {
        const char *edit, *sources;
        int64_t frame; /* of 01:00:00:00: 3600 x 30, in drop frame less 2 x (60 - 6) */
    } rows[] = {
        {"", "", 107892},
        {", \"rate\": \"29.97\"", "", 107892},
        {", \"rate\": \"29.97\", \"drop\": false", "", 108000},
        {", \"rate\": \"30\"", "", 108000},
        {"", "{\"reel\": \"A*\", \"rate\": \"29.97\"}", 107892},
        {"", "{\"reel\": \"A*\", \"rate\": \"29.97\", \"drop\": false}", 108000},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_row(i, rows[i].edit);
        const tw_plan *plan = plan_in(arena, (tw_rate){30000, 1001}, true, rows[i].edit, rows[i].sources, "01:00:00:00",
                                      tw_diags_new(arena));
        assert_int_equal(plan->notes[0].in, rows[i].frame);
    }
}

static void faults(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    static const struct {
        const char *edit, *in, *told;
    } rows[] = {
        {", \"rate\": \"24\"", "01:00:00:24",
         "error TW1513: the frame number of \"01:00:00:24\" is too high: at 24 frames a second the last is 23\n"
         "  \"in\": \"01:00:00:24\"}]}\n"
         "        ^^^^^^^^^^^^^\n"
         "  -> if the rate is wrong, write the right one in \"sources\" or \"edit\"\n"},
        {", \"rate\": \"29.97df\"", "01:01:00:01",
         "error TW1513: \"01:01:00:01\" does not exist: drop-frame counting leaves this number out\n"
         "  \"in\": \"01:01:00:01\"}]}\n"
         "        ^^^^^^^^^^^^^\n"},
        {"", "01:60:00:00",
         "error TW1513: \"01:60:00:00\" has more than 59 minutes or seconds\n"
         "  \"in\": \"01:60:00:00\"}]}\n"
         "        ^^^^^^^^^^^^^\n"},
        {"", "24:00:00:00",
         "error TW1513: \"24:00:00:00\" has more than 23 hours\n"
         "  \"in\": \"24:00:00:00\"}]}\n"
         "        ^^^^^^^^^^^^^\n"},
        {"", "01:00:00.00",
         "error TW1513: \"01:00:00.00\" has other separators than ':', or ';' before the frames\n"
         "  \"in\": \"01:00:00.00\"}]}\n"
         "        ^^^^^^^^^^^^^\n"},
        {"", "noon",
         "error TW1513: \"noon\" is no time code: write HH:MM:SS:FF\n"
         "  \"in\": \"noon\"}]}\n"
         "        ^^^^^^\n"},
        {", \"rate\": \"25\"", "01:00:00;00",
         "warning TW1515: the ';' of \"01:00:00;00\" means drop frame, which 25 frames a second do not have; it was "
         "read "
         "as ':'\n"
         "  \"in\": \"01:00:00;00\"}]}\n"
         "        ^^^^^^^^^^^^^\n"},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_row(i, rows[i].in);
        tw_diags *diags = tw_diags_new(arena);
        plan_of(arena, rows[i].edit, "", rows[i].in, diags);
        tw_assert_text(tw_str_z(tw_findings(arena, diags)), tw_arena_printf(arena, "x:4:7: %s", rows[i].told).at);
    }
}

/* Asked for once, however many times need it. */
static void no_rate(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_diags *diags = tw_diags_new(arena);
    tw_plan *plan = NULL;
    tw_str text = plan_with(arena, "\"notes\": [{\"id\": \"n\", \"reel\": \"A\", \"in\": \"00:00:00:00\", \"out\": "
                                   "\"00:00:01:00\"}]");
    assert_int_equal(tw_plan_read(arena, text, TW_STR("x"), (tw_rate){0, 0}, false, diags, &plan), TW_ERR_SEMANTIC);
    assert_int_equal(tw_diags_kept(diags), 1);
    assert_int_equal(tw_diags_get(diags, 0)->code, 1514);
    assert_int_equal(tw_diags_get(diags, 0)->place.column, 42);
}

TW_SUITE(plan_times)
{
    const struct CMUnitTest tests[] = {TW_TEST(rates), TW_TEST(drop_of_the_edit), TW_TEST(faults), TW_TEST(no_rate)};
    return tw_run("plan/plan_times", tests);
}
