/* SPDX-License-Identifier: Apache-2.0 */
#include "plan_support.h"

#include "plan/plan_internal.h"

static void first_match_counts(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_source sources[] = {{.reel = TW_STR("A003")}, {.reel = TW_STR("B0?1")}, {.reel = TW_STR("a0*")},
                           {.reel = TW_STR("A004")}, {.reel = TW_STR("B001")}, {.reel = TW_STR("C*")}};
    tw_plan plan = {.sources = sources, .source_count = 6};
    static const struct {
        const char *name;
        int source; /* -1: none */
    } rows[] = {
        {"A003", 0}, {"a003", 0}, {"A004", 2}, {"A0", 2}, {"B001", 1},
        {"B011", 1}, {"C", 5},    {"D", -1},   {"", -1},  {"A", -1},
    };
    /* by trying one after another, and by the index: the same */
    for (int indexed = 0; indexed < 2; indexed++) {
        for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
            tw_row(i, rows[i].name);
            tw_str name = tw_str_z(rows[i].name);
            assert_ptr_equal(tw_plan_source(&plan, &name, 1, 1), rows[i].source >= 0 ? &sources[rows[i].source] : NULL);
        }
        twi_plan_index(arena, &plan);
    }
    tw_str names[] = {TW_STR("D"), TW_STR("C7"), TW_STR("A003")};
    assert_ptr_equal(tw_plan_source(&plan, names, 3, 3), &sources[5]);
    const tw_str nameless = TW_STR("");
    assert_null(tw_plan_source(&plan, &nameless, 1, 1));
    sources[5].reel = TW_STR("*"); /* whatever has no name is any */
    assert_ptr_equal(tw_plan_source(&plan, &nameless, 1, 1), &sources[5]);
}

/* Of a clip's names the first that has a source of its own counts: patterns are for some of the names only, and a lone
 * "*" is for what has none. */
static void names_of_a_clip(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    static const struct {
        const char *sources[3], *names[2];
        size_t loose;
        int source;
    } rows[] = {
        {{"*", "LOGO", "AX"}, {"LOGO", "AX"}, 2, 0}, /* the first in the plan still comes first */
        {{"LOGO", "AX", "*"}, {"LOGO", "AX"}, 2, 0},    {{"AX", "LOGO", "*"}, {"LOGO", "AX"}, 2, 1},
        {{"AX", "L*", "*"}, {"LOGO", "AX"}, 2, 1},      {{"AX", "*", "B"}, {"LOGO", "AX"}, 2, 0},
        {{"B", "*", "AX"}, {"LOGO", "AX"}, 2, 1},       {{"A*", "*", "C"}, {"B001", "ARRIVAL"}, 1, 1},
        {{"A*", "C", "D"}, {"B001", "ARRIVAL"}, 1, -1}, {{"A*", "ARRIVAL", "*"}, {"B001", "arrival"}, 1, 1},
        {{"*", "?L", "B*"}, {"BL", ""}, 0, -1},         {{"*", "BL", "B*"}, {"BL", ""}, 0, 1},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_row(i, rows[i].names[0]);
        tw_source sources[3] = {{.reel = tw_str_z(rows[i].sources[0])},
                                {.reel = tw_str_z(rows[i].sources[1])},
                                {.reel = tw_str_z(rows[i].sources[2])}};
        const tw_str names[] = {tw_str_z(rows[i].names[0]), tw_str_z(rows[i].names[1])};
        tw_plan plan = {.sources = sources, .source_count = 3};
        for (int indexed = 0; indexed < 2; indexed++) {
            assert_ptr_equal(tw_plan_source(&plan, names, 2, rows[i].loose),
                             rows[i].source >= 0 ? &sources[rows[i].source] : NULL);
            twi_plan_index(arena, &plan);
        }
    }
}

/* The index must find what a walk finds, whatever the patterns. */
static void random_patterns(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    static const char letters[] = "aAbB*?";
    tw_rng rng = {258};
    for (size_t round = 0; round < 200; round++) {
        tw_source sources[12] = {{.reel = {NULL, 0}}};
        char text[12][3];
        for (int i = 0; i < 12; i++) {
            size_t len = (size_t)tw_rng_between(&rng, 1, 3);
            for (size_t j = 0; j < len; j++)
                text[i][j] = letters[tw_rng_between(&rng, 0, 5)];
            sources[i].reel = (tw_str){text[i], len};
        }
        tw_plan walked = {.sources = sources, .source_count = 12}, indexed = walked;
        twi_plan_index(arena, &indexed);
        for (int i = 0; i < 40; i++) {
            char name[3];
            for (int j = 0; j < 3; j++)
                name[j] = letters[tw_rng_between(&rng, 0, 3)];
            tw_str view = {name, (size_t)tw_rng_between(&rng, 0, 3)};
            size_t loose = (size_t)i % 2;
            assert_ptr_equal(tw_plan_source(&walked, &view, 1, loose), tw_plan_source(&indexed, &view, 1, loose));
        }
    }
}

TW_SUITE(plan_source)
{
    const struct CMUnitTest tests[] = {TW_TEST(first_match_counts), TW_TEST(names_of_a_clip), TW_TEST(random_patterns)};
    return tw_run("plan/plan_source", tests);
}
