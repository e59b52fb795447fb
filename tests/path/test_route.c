/* SPDX-License-Identifier: Apache-2.0 */
#include "path/fit.h"

#include "support/support.h"

static void in_and_out(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    twi_route route = twi_route_new(arena, 4);
    twi_task task = {.n = 100, .ease = 7};
    route.count = 2;
    route.t[0] = 3;
    route.t[1] = 63;
    route.p[0][1] = 6;
    twi_route_ease(&task, &route);
    tw_assert_near(route.r[0], 3, 0); /* no further than the first frame */
    tw_assert_near(route.r[1], 7, 0);
    twi_route_insert(&route, 1, 33);
    tw_assert_near(route.p[0][1], 3, 1e-12); /* on the line */
    assert_int_equal(route.t[2], 63);
    twi_route_remove(&route, 0);
    assert_int_equal(route.count, 2);
    assert_int_equal(route.t[0], 33);
    route.t[1] = 43;
    route.shrink[1] = 1;
    twi_route_ease(&task, &route);
    tw_assert_near(route.r[0], 5, 0); /* half of the link */
    tw_assert_near(route.r[1], 3, 0); /* halved once: 3.5 */
}

TW_SUITE(route)
{
    const struct CMUnitTest tests[] = {TW_TEST(in_and_out)};
    return tw_run("path/route", tests);
}
