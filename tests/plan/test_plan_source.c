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
            assert_ptr_equal(tw_plan_source(&plan, &name, 1), rows[i].source >= 0 ? &sources[rows[i].source] : NULL);
        }
        twi_plan_index(arena, &plan);
    }
    tw_str names[] = {TW_STR("D"), TW_STR("C7"), TW_STR("A003")};
    assert_ptr_equal(tw_plan_source(&plan, names, 3), &sources[5]);
    assert_null(tw_plan_source(&plan, names, 0));
    sources[5].reel = TW_STR("*"); /* whatever has no name is any */
    assert_ptr_equal(tw_plan_source(&plan, names, 0), &sources[5]);
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
            assert_ptr_equal(tw_plan_source(&walked, &view, 1), tw_plan_source(&indexed, &view, 1));
        }
    }
}

TW_SUITE(plan_source)
{
    const struct CMUnitTest tests[] = {TW_TEST(first_match_counts), TW_TEST(random_patterns)};
    return tw_run("plan/plan_source", tests);
}
