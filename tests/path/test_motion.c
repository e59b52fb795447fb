/* SPDX-License-Identifier: Apache-2.0 */
#include "path/path_internal.h"

#include "support/support.h"

static void defaults(void **state)
{
    (void)state;
    tw_path_job job = {.fps = 25};
    twi_motion m = twi_path_motion(&job); /* solver.md section 8 */
    tw_assert_near(m.speeds[0] * 25, 1.0 / 7, 1e-12);
    tw_assert_near(m.speeds[4] * 25, 1.5, 1e-12);
    tw_assert_near(m.accel * 625, 3, 1e-12);
    tw_assert_near(m.smoothness, 75, 1e-9); /* (1.2 * 25)^2 / 12 */
    tw_assert_near(m.ease, 7, 0);           /* whole frames of 7.5 */
    assert_int_equal(m.link, 13);
    assert_int_equal(m.hold, 25);
}

static void odd_numbers_take_the_default(void **state)
{
    (void)state;
    tw_path_job job = {.fps = NAN, .params = {.speeds = {2, 1}, .accel = -1, .ease = INFINITY, .link = 1e-9}};
    twi_motion m = twi_path_motion(&job);
    tw_assert_near(m.fps, 25, 0);
    tw_assert_near(m.accel * 625, 3, 1e-12);
    tw_assert_near(m.ease, 7, 0);
    assert_int_equal(m.link, 1);
    for (size_t i = 1; i < 5; i++) /* the ladder never falls */
        assert_true(m.speeds[i] >= m.speeds[i - 1]);
}

TW_SUITE(motion)
{
    const struct CMUnitTest tests[] = {TW_TEST(defaults), TW_TEST(odd_numbers_take_the_default)};
    return tw_run("path/motion", tests);
}
