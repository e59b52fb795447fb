/* SPDX-License-Identifier: Apache-2.0 */
#include "path/look.h"

#include "support/support.h"

/* A tube [0, 10]; a start at frame 2 with [3, 4], speed 4, links of 5 frames at least: frame 7 is the first a link leads
 * to, and all of it can be had, 3 - 5 * 4 to 4 + 5 * 4. Nothing is left for a third keyframe. */
static void first_target(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    twi_tube tube = twi_tube_new(arena, 20);
    for (size_t t = 0; t < 20; t++)
        tube.hi[t] = 10;
    twi_keys_job job = {.tubes = &tube, .axes = 1, .speed = {4}, .link = 5};
    twi_reach s;
    assert_true(twi_reach_init(arena, &job, &s));
    s.end_from = 20;
    twi_reach_insert(&s, 2, (twi_reach_box){{3}, {4}, 1, 0});
    assert_true(twi_look_layer(&s, 1));
    assert_int_equal(s.first[6], TWI_NONE);
    for (size_t t = 7; t < 20; t++)
        assert_int_equal(s.full[t], 2);
    assert_false(twi_look_layer(&s, 2));
}

static twi_tube gate(tw_arena *arena)
{
    twi_tube tube = twi_tube_new(arena, 11);
    for (size_t t = 0; t < 11; t++) {
        tube.lo[t] = t == 4 ? 8 : -100;
        tube.hi[t] = t == 4 ? 12 : 100;
    }
    return tube;
}

/* From 0 at frame 0, past a gate [8, 12] at frame 4: slopes 2 to 3, so 20 to 30 at frame 10. */
static void past_a_gate(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    twi_tube tube = gate(arena);
    twi_keys_job job = {.tubes = &tube, .axes = 1, .speed = {50}, .link = 1};
    twi_reach s;
    assert_true(twi_reach_init(arena, &job, &s));
    s.end_from = 11;
    twi_reach_insert(&s, 0, (twi_reach_box){{0}, {0}, 1, 0});
    assert_true(twi_look_layer(&s, 1));
    const twi_reach_box *seen = twi_reach_largest(&s, 10, 2);
    tw_assert_near(seen->lo[0], 20, 1e-6);
    tw_assert_near(seen->hi[0], 30, 1e-6);
}

/* The same gate; B from frame 8 on: up to 30 is met at frame 10 by slopes of 2 to 3, from 31 on it is not. */
static void as_far_as_the_end(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    for (int far = 0; far <= 1; far++) {
        twi_tube tube = gate(arena);
        twi_keys_job job = {.tubes = &tube, .axes = 1, .speed = {50}, .link = 1};
        twi_reach s;
        assert_true(twi_reach_init(arena, &job, &s));
        s.end_from = 8;
        for (size_t t = 8; t < 11; t++) {
            s.end[0].lo[t] = 29 + 2 * far;
            s.end[0].hi[t] = 90;
        }
        twi_reach_insert(&s, 0, (twi_reach_box){{0}, {0}, 1, 0});
        assert_int_equal(twi_look_end(&s, 1), far == 0);
        assert_int_equal(s.first[10], TWI_NONE); /* nothing is noted */
    }
}

TW_SUITE(look)
{
    const struct CMUnitTest tests[] = {TW_TEST(first_target), TW_TEST(past_a_gate), TW_TEST(as_far_as_the_end)};
    return tw_run("path/look", tests);
}
