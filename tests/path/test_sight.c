/* SPDX-License-Identifier: Apache-2.0 */
#include "path/sight.h"

#include "support/support.h"

/* From [0, 10] with slopes up to 3; a gate [20, 30] ten frames on, then one of [35, 50] another ten on: the lines left
 * reach 35..50 there: from 0 through 20 gives 40, from 10 through 20 gives 30, from 0 through 30 gives 60. */
static void two_gates(void **state)
{
    twi_sight s;
    double lo, hi;
    twi_sight_init(tw_test_arena(state), &s);
    twi_sight_start(&s, 0, 10, -3, 3);
    twi_sight_range(&s, 10, &lo, &hi);
    tw_assert_near(lo, -30, 1e-12);
    tw_assert_near(hi, 40, 1e-12);
    assert_true(twi_sight_clip(&s, 10, 30, 1, 1e-9));
    assert_true(twi_sight_clip(&s, 10, 20, -1, 1e-9));
    twi_sight_range(&s, 20, &lo, &hi);
    tw_assert_near(lo, 30, 1e-9);
    tw_assert_near(hi, 60, 1e-9);
    assert_true(twi_sight_clip(&s, 20, 50, 1, 1e-9));
    assert_true(twi_sight_clip(&s, 20, 35, -1, 1e-9));
    twi_sight_range(&s, 20, &lo, &hi);
    tw_assert_near(lo, 35, 1e-9);
    tw_assert_near(hi, 50, 1e-9);
    assert_false(twi_sight_clip(&s, 20, 34, 1, 1e-9));
}

TW_SUITE(sight)
{
    const struct CMUnitTest tests[] = {TW_TEST(two_gates)};
    return tw_run("path/sight", tests);
}
