/* SPDX-License-Identifier: Apache-2.0 */
#include "path/path_internal.h"

#include "path/checks.h"
#include "path/least.h"
#include "support/support.h"

static twi_tube tube_of(tw_arena *arena, size_t i)
{
    twi_tube tube = twi_tube_new(arena, checks[i].n);
    for (size_t t = 0; t < checks[i].n; t++) {
        tube.lo[t] = checks[i].lo[t];
        tube.hi[t] = checks[i].hi[t];
    }
    return tube;
}

static void known_values(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    for (size_t i = 0; i < CHECK_COUNT; i++) {
        tw_row(i, checks[i].name);
        twi_tube tube = tube_of(arena, i);
        size_t starts[13];
        double lo, hi;
        tw_assert_near(least_speed_of(&tube), checks[i].least_speed, 1e-9);
        tw_assert_near(least_travel_of(&tube), checks[i].travel, 1e-9);
        assert_int_equal(twi_tube_stab(&tube, 1, starts), checks[i].holds);
        assert_int_equal(twi_tube_still(&tube, &lo, &hi), checks[i].keys[0] == 1);
        for (size_t v = 0; v < 4; v++) {
            twi_tube eroded = tube_of(arena, i);
            assert_int_equal(twi_tube_feasible(&tube, check_speeds[v]), checks[i].keys[v] > 0);
            assert_int_equal(twi_tube_erode(&eroded, check_speeds[v]), checks[i].keys[v] > 0);
        }
    }
}

/* Two axes jump together: three holds where each axis alone needs two. */
static void holds_of_two_axes(void **state)
{
    (void)state;
    double xl[] = {0, 0, 5, 5, 5, 5}, xh[] = {1, 1, 6, 6, 6, 6}, yl[] = {0, 0, 0, 0, 5, 5}, yh[] = {1, 1, 1, 1, 6, 6};
    twi_tube tubes[] = {{xl, xh, 6}, {yl, yh, 6}};
    size_t starts[6];
    assert_int_equal(twi_tube_stab(tubes, 2, starts), 3);
    assert_int_equal(starts[0], 0);
    assert_int_equal(starts[1], 2);
    assert_int_equal(starts[2], 4);
}

TW_SUITE(tube)
{
    const struct CMUnitTest tests[] = {TW_TEST(known_values), TW_TEST(holds_of_two_axes)};
    return tw_run("path/tube", tests);
}
