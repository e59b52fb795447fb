/* SPDX-License-Identifier: Apache-2.0 */
#include "path/refine.h"

#include "path/hand.h"
#include "support/support.h"

static void drops_what_is_idle(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    twi_task task = task_for(arena, 0.3);
    twi_route route = route_of(arena, &task, (size_t[]){10, 38, 62, 90}, 4);
    double miss;
    twi_fit_all(&task, &route);
    assert_int_equal(twi_refine_eliminate(&task, &route), 2);
    assert_int_equal(route.count, 2);
    twi_fit_worst(&task, &route, &miss);
    assert_true(miss <= TWI_MISS);
}

static void moves_times_for_the_better(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    twi_task task = task_for(arena, 0.45);
    twi_route route = route_of(arena, &task, (size_t[]){10, 90}, 2);
    twi_score before = twi_fit_all(&task, &route);
    twi_refine_times(&task, &route);
    twi_score after = twi_fit_all(&task, &route);
    assert_true(twi_score_better(&after, &before));
}

TW_SUITE(refine)
{
    const struct CMUnitTest tests[] = {TW_TEST(drops_what_is_idle), TW_TEST(moves_times_for_the_better)};
    return tw_run("path/refine", tests);
}
