/* SPDX-License-Identifier: Apache-2.0 */
#include "support/support.h"

#include "derive/counted.h"
#include "derive/derive_internal.h"
#include "derive/hand_plan.h"

static const char *told(tw_arena *arena, const tw_plan *plan)
{
    tw_buf out = {.arena = arena};
    for (size_t i = 0; i < plan->clock_count; i++) {
        const tw_reel_clock *c = &plan->clocks[i];
        tw_buf_addf(&out, "%.*s ", TW_ARG(c->name));
        tw_rate_write_spoken(c->rate, c->drop, &out);
        tw_buf_addf(&out, "%s%s x%zu\n", c->says_drop ? " said" : "", c->loose ? "" : " strict", c->clips);
    }
    return tw_arena_dupz(arena, tw_buf_str(&out));
}

/* Clips of A003 count 24, two of them, and 30; B001 as the record. The name of a clip with a reel is for notes alone,
 * not for patterns. */
static void by_names(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_item items[] = {hand_clip("A003", 0, 0, 24), hand_clip("B001", 24, 0, 24), hand_clip("A003", 48, 0, 24),
                       hand_clip("A003", 72, 0, 24), hand_clip("BL", 96, 0, 24)};
    items[1].name = TW_STR("Hub");
    items[3].source_rate = (tw_rate){30, 1};
    items[4].source_rate = (tw_rate){30, 1};
    tw_track track = hand_track(TW_TRACK_VIDEO, items, 5), sound = hand_track(TW_TRACK_AUDIO, items, 5);
    tw_plan plan = {.notes = NULL};
    tw_derive_clocks(arena, hand_timeline(arena, &track, 1), &plan);
    assert_string_equal(told(arena, &plan), "a003 24 x2\na003 30 x1\n"
                                            "b001 24 x1\nhub 24 strict x1\n");
    plan = (tw_plan){.notes = NULL};
    tw_derive_clocks(arena, hand_timeline(arena, &sound, 1), &plan);
    assert_int_equal(plan.clock_count, 0);
}

/* Where all count alike there is nothing to hold, but for a plan that says otherwise of a source. */
static void all_alike(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_item items[] = {hand_clip("A003", 0, 0, 24)};
    tw_track track = hand_track(TW_TRACK_VIDEO, items, 1);
    const tw_timeline *master = hand_timeline(arena, &track, 1);
    static const struct {
        const char *name, *source, *edit;
        size_t count;
    } rows[] = {{"nothing", "", "", 0},
                {"a rate", ", \"rate\": \"24\"", "", 1},
                {"drop", ", \"drop\": false", "", 1},
                {"the edit's rate", "", ", \"rate\": \"24\", \"drop\": false", 0},
                {"another rate for the edit", "", ", \"rate\": \"25\"", 1},
                {"drop for the edit", "", ", \"rate\": \"30000/1001\", \"drop\": true", 1}};
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_row(i, rows[i].name);
        tw_plan *plan;
        tw_str text = tw_arena_printf(
            arena, "{\"tallwide_plan\": 1, \"edit\": {\"file\": \"e\"%s}, \"sources\": [{\"reel\": \"A*\"%s}]}",
            rows[i].edit, rows[i].source);
        assert_int_equal(tw_plan_open(arena, text, TW_STR("x"), tw_diags_new(arena), &plan), TW_OK);
        tw_derive_clocks(arena, master, plan);
        assert_int_equal(plan->clock_count, rows[i].count);
    }
}

/* A list says of every source whether it drops frames, other edits of those that do, or where the record does. */
static void who_says_drop(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    static const struct {
        const char *name, *said;
        bool record, source, list;
    } rows[] = {{"nobody", "a003 29.97 x1\n", false, false, false},
                {"a list", "a003 29.97 said x1\n", false, false, true},
                {"the source", "a003 29.97 drop frame said x1\n", false, true, false},
                {"the record", "a003 29.97 said x1\n", true, false, false}};
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_row(i, rows[i].name);
        tw_item items[] = {hand_clip("A003", 0, 0, 24)};
        items[0].source_rate = (tw_rate){30000, 1001};
        items[0].source_drop = rows[i].source;
        items[0].channels = rows[i].list;
        tw_track track = hand_track(TW_TRACK_VIDEO, items, 1);
        tw_timeline *master = hand_timeline(arena, &track, 1);
        master->drop = rows[i].record;
        tw_plan plan = {.notes = NULL};
        tw_derive_clocks(arena, master, &plan);
        assert_string_equal(told(arena, &plan), rows[i].said);
    }
}

/* The first frame that is asked to hold the region. */
static void labels_of_the_source(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    for (size_t i = 0; i < sizeof counted / sizeof counted[0]; i++) {
        tw_row(i, counted[i].name);
        tw_timeline *master;
        const tw_plan *plan = counted_plan(arena, i, &master);
        assert_non_null(plan);
        twi_shots shots = {.len = 0};
        twi_derive_shots(arena, plan, master, &shots);
        const twi_asking asking = {plan, master, &plan->deliveries[0]};
        twi_ask ask;
        twi_derive_ask(arena, &asking, &shots.at[counted[i].shot], &ask);
        assert_int_equal(ask.region_count, 1);
        const tw_path_box *boxes = ask.job.regions[0].boxes;
        int64_t first = 0;
        while (!(boxes[first].right > boxes[first].left))
            first++;
        assert_int_equal(first, counted[i].frame);
    }
}

TW_SUITE(clock)
{
    const struct CMUnitTest tests[] = {TW_TEST(by_names), TW_TEST(all_alike), TW_TEST(who_says_drop),
                                       TW_TEST(labels_of_the_source)};
    return tw_run("derive/clock", tests);
}
