/* SPDX-License-Identifier: Apache-2.0 */
#include "path/refine.h"

#include "support/support.h"

/* One axis, a tube of +-half around a middle that rises by 1 from frame 40 to 60. */
static twi_task task_for(tw_arena *arena, double half)
{
    twi_task task = {.arena = arena, .n = 100, .axes = 1, .link = 12, .accel = INFINITY, .ease = 7, .smoothness = 75};
    double *wish = TW_NEW_N(arena, double, 100), *care = TW_NEW_N(arena, double, 100);
    task.tube[0] = twi_tube_new(arena, 100);
    task.room[0] = twi_tube_new(arena, 100);
    task.rows = TW_NEW_N(arena, twi_basis, 100);
    for (size_t t = 0; t < 100; t++) {
        wish[t] = fmin(fmax(((double)t - 40) / 20, 0), 1);
        care[t] = 1;
        task.tube[0].lo[t] = wish[t] - half;
        task.tube[0].hi[t] = wish[t] + half;
        task.room[0].lo[t] = -5;
        task.room[0].hi[t] = 5;
    }
    task.wish[0] = wish;
    task.care = care;
    task.speed[0] = 1;
    return task;
}

static twi_route route_of(tw_arena *arena, const twi_task *task, const size_t *times, size_t count)
{
    twi_route route = twi_route_new(arena, 16);
    route.count = count;
    memcpy(route.t, times, count * sizeof *times);
    twi_route_ease(task, &route);
    return route;
}

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
