/* SPDX-License-Identifier: Apache-2.0 */
#include "path/reach.h"

#include "support/support.h"

static twi_reach empty(tw_arena *arena, twi_tube *tube, size_t n)
{
    *tube = twi_tube_new(arena, n);
    for (size_t t = 0; t < n; t++)
        tube->hi[t] = 100;
    twi_keys_job job = {.tubes = tube, .axes = 1, .speed = {10}, .link = 3};
    twi_reach s;
    assert_true(twi_reach_init(arena, &job, &s));
    s.end_from = n;
    return s;
}

static size_t count(const twi_reach *s, size_t t)
{
    size_t boxes = 0;
    for (uint32_t i = s->first[t]; i != TWI_NONE; i = s->boxes[i].next)
        boxes++;
    return boxes;
}

/* Two boxes that touch are one, a covered one adds nothing; what earlier layers have at an end is cut off. */
static void boxes(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    twi_tube tube;
    twi_reach s = empty(arena, &tube, 40);
    twi_reach_insert(&s, 5, (twi_reach_box){{10}, {30}, 1, 0});
    twi_reach_insert(&s, 5, (twi_reach_box){{50}, {60}, 1, 0});
    assert_int_equal(count(&s, 5), 2);
    assert_false(twi_reach_covered(&s, 5, &(twi_reach_box){{20}, {40}, 2, 0}));
    twi_reach_insert(&s, 5, (twi_reach_box){{30}, {50}, 1, 0});
    assert_int_equal(count(&s, 5), 1);
    twi_reach_insert(&s, 5, (twi_reach_box){{20}, {40}, 2, 0});
    assert_int_equal(count(&s, 5), 1);
    twi_reach_box own = {{40}, {80}, 2, 0};
    assert_true(twi_reach_trim(&s, 5, &own));
    tw_assert_near(own.lo[0], 60, 1e-12);
    tw_assert_near(own.hi[0], 80, 1e-12);
    assert_int_equal(s.full[5], TWI_NONE);
    twi_reach_insert(&s, 5, (twi_reach_box){{0}, {100}, 2, 0});
    assert_int_equal(s.full[5], 2);
    tw_assert_near(twi_reach_largest(&s, 5, 1)->hi[0], 60, 1e-12);
    tw_assert_near(twi_reach_largest(&s, 5, TWI_NONE)->hi[0], 100, 1e-12);
    assert_null(twi_reach_largest(&s, 6, TWI_NONE));
}

/* No more than two boxes: the smallest is left out, or the two nearest become one. */
static void few_boxes(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    twi_tube tube;
    twi_reach s = empty(arena, &tube, 40);
    s.most_boxes = 2;
    for (int outer = 0; outer <= 1; outer++) {
        size_t t = 5 + (size_t)outer;
        s.bound = outer != 0 ? TWI_REACH_OUTER : TWI_REACH_INNER;
        twi_reach_insert(&s, t, (twi_reach_box){{10}, {30}, 2, 0});
        twi_reach_insert(&s, t, (twi_reach_box){{50}, {55}, 2, 0});
        twi_reach_insert(&s, t, (twi_reach_box){{60}, {75}, 2, 0});
        twi_reach_insert(&s, t, (twi_reach_box){{80}, {82}, 2, 0});
        assert_int_equal(count(&s, t), 2);
        assert_true(twi_reach_covered(&s, t, &(twi_reach_box){{10}, {30}, 2, 0}));
        assert_true(twi_reach_covered(&s, t, &(twi_reach_box){{60}, {75}, 2, 0}));
        assert_int_equal(twi_reach_covered(&s, t, &(twi_reach_box){{50}, {82}, 2, 0}), outer);
        assert_int_equal(twi_reach_covered(&s, t, &(twi_reach_box){{50}, {55}, 2, 0}), outer);
    }
}

/* In frames 16..31 values from 20 to 40 + t are reached, at frame 20 up to 45 only: the line of slope 1 below all upper
 * ends is 45 - 4 = 41 at frame 16. Below, 20 serves all. */
static void a_run(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    twi_tube tube;
    twi_reach s = empty(arena, &tube, 40);
    for (size_t t = 16; t < 32; t++)
        twi_reach_insert(&s, t, (twi_reach_box){{20}, {t == 20 ? 45 : 40 + (double)t}, 1, 0});
    twi_reach_refresh(&s, 16, 1, &s.blocks[1]);
    tw_assert_near(s.blocks[1].reached[0][0].at, 41, 1e-9);
    tw_assert_near(s.blocks[1].reached[0][0].slope, 1, 1e-9);
    tw_assert_near(s.blocks[1].reached[0][1].at, -20, 1e-9);
    assert_false(s.blocks[1].stale);
}

TW_SUITE(reach)
{
    const struct CMUnitTest tests[] = {TW_TEST(boxes), TW_TEST(few_boxes), TW_TEST(a_run)};
    return tw_run("path/reach", tests);
}
