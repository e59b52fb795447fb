/* SPDX-License-Identifier: Apache-2.0 */
#include "plan_support.h"

#define NAME(text)                                                                                                     \
    {                                                                                                                  \
        text, sizeof text - 1                                                                                          \
    }
#define R2997                                                                                                          \
    {                                                                                                                  \
        30000, 1001                                                                                                    \
    }

/* An edit whose record counts 30, not dropping: A reels count 24, and one clip of A003 30; of D001 it is said that it
 * drops; C001 counts 60 and nothing is said of dropping. */
static const tw_reel_clock clocks[] = {
    {NAME("a001"), NAME("A001"), {24, 1}, false, false, true, 3},
    {NAME("a003"), NAME("A003"), {24, 1}, false, false, true, 2},
    {NAME("a003"), NAME("A003"), {30, 1}, false, false, true, 1},
    {NAME("c001"), NAME("C001"), {60000, 1001}, false, false, true, 1},
    {NAME("d001"), NAME("D001"), R2997, true, true, true, 1},
    {NAME("n001"), NAME("N001"), R2997, false, true, true, 1},
    {NAME("title"), NAME("TITLE"), {25, 1}, false, false, false, 9},
};

static tw_plan *plan_of(tw_arena *arena, const char *edit, const char *source, const char *reel, const char *in,
                        tw_diags *diags)
{
    tw_str text = tw_arena_printf(arena,
                                  "{\"tallwide_plan\": 1, \"edit\": {\"file\": \"e\"%s}, \"deliveries\": [],\n"
                                  "\"sources\": [{\"reel\": \"*\"%s}],\n"
                                  "\"notes\": [{\"id\": \"n\", \"reel\": \"%s\",\n"
                                  "\"in\": \"%s\", \"window\": [[5, 0, 0, 100]]}]}",
                                  edit, source, reel, in);
    tw_plan *plan;
    assert_int_equal(tw_plan_open(arena, text, TW_STR("x"), diags, &plan), TW_OK);
    plan->clocks = clocks;
    plan->clock_count = sizeof clocks / sizeof clocks[0];
    tw_plan_finish(arena, plan, (tw_rate)R2997, false, diags);
    return plan;
}

/* 10 s at 24 are 240 frames, at 30 300; 3600 s x 30 are 108000, dropping 2 x (60 - 6) fewer; x 60 twice that. */
static void frames_of_labels(void **state)
{
    static const struct {
        const char *name, *edit, *source, *reel, *in;
        int64_t frame;
        const char *told; /* NULL: nothing */
    } rows[] = {
        {"as the clips count", "", "", "A001", "00:00:10:00", 240, NULL},
        {"in any case", "", "", "a001", "00:00:10:00", 240, NULL},
        {"a reel without clips: as the record", "", "", "B001", "00:00:10:00", 300, NULL},
        {"the source says it", "", ", \"rate\": \"24\"", "B001", "00:00:10:00", 240, NULL},
        {"the source says it otherwise", "", ", \"rate\": \"25\"", "A001", "00:00:10:00", 250,
         "this time is counted at 25, and 3 clips of \"A001\" at 24: of those it means other frames"},
        {"most clips", "", "", "A003", "00:00:10:00", 240,
         "this time is counted at 24, and 1 clip of \"A003\" at 30: of that it means other frames"},
        {"a pattern of one kind", "", "", "A001*", "00:00:10:00", 240, NULL},
        {"a pattern of two kinds", "", "", "A*", "00:00:10:00", 240, "1 clip of \"A003\" at 30"},
        {"a pattern does not meet it", "", "", "TIT*", "00:00:10:00", 300, NULL},
        {"a name does", "", "", "TITLE", "00:00:10:00", 250, NULL},
        {"said to drop", "", "", "D001", "01:00:00:00", 107892, NULL},
        {"said not to, in an edit that does", ", \"drop\": true", "", "N001", "01:00:00:00", 108000, NULL},
        {"not said, in an edit that does", ", \"drop\": true", "", "C001", "01:00:00:00", 215784, NULL},
        {"not said, in one that does not", "", "", "C001", "01:00:00:00", 216000, NULL},
        {"not said, the source says it", "", ", \"drop\": true", "C001", "01:00:00:00", 215784, NULL},
        {"said, the source says it otherwise", "", ", \"drop\": false", "D001", "01:00:00:00", 108000,
         "this time is counted at 29.97, and 1 clip of \"D001\" at 29.97 drop frame: of that it means other frames"},
    };
    tw_arena *arena = tw_test_arena(state);
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_row(i, rows[i].name);
        tw_diags *diags = tw_diags_new(arena);
        const tw_plan *plan = plan_of(arena, rows[i].edit, rows[i].source, rows[i].reel, rows[i].in, diags);
        assert_int_equal(plan->notes[0].in, rows[i].frame);
        assert_int_equal(plan->notes[0].window[0].frame, rows[i].frame + 5);
        assert_int_equal(tw_diags_kept(diags), rows[i].told != NULL);
        if (rows[i].told != NULL)
            assert_true(tw_str_holds(tw_diags_get(diags, 0)->message, tw_str_z(rows[i].told)));
    }
}

/* Labels of a frame number come from the clock that reads them. */
static void the_clock_of_a_reel(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    const tw_plan *plan = plan_of(arena, "", "", "A001", "00:00:10:00", tw_diags_new(arena));
    tw_rate rate;
    bool drop;
    tw_plan_clock(plan, TW_STR("A001"), (tw_rate)R2997, false, &rate, &drop);
    tw_assert_text(tw_tc_text(arena, plan->notes[0].in, rate, drop), "00:00:10:00");
    tw_plan_clock(plan, TW_STR("D001"), (tw_rate)R2997, false, &rate, &drop);
    tw_assert_text(tw_tc_text(arena, 107892, rate, drop), "01:00:00;00");
}

/* The start of a file is a label of the reel it is for. */
static void starts_of_files(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    const tw_plan *plan = plan_of(arena, "",
                                  ", \"media\": [{\"file\": \"a\", \"reel\": \"A001\", \"start\": \"00:00:10:00\"}, "
                                  "{\"file\": \"b\", \"reel\": \"B001\", \"start\": \"00:00:10:00\"}]",
                                  "A001", "00:00:10:00", tw_diags_new(arena));
    assert_int_equal(plan->sources[0].media[0].start, 240);
    assert_int_equal(plan->sources[0].media[1].start, 300);
}

TW_SUITE(plan_clock)
{
    const struct CMUnitTest tests[] = {TW_TEST(frames_of_labels), TW_TEST(the_clock_of_a_reel),
                                       TW_TEST(starts_of_files)};
    return tw_run("plan/plan_clock", tests);
}
