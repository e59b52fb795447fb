/* SPDX-License-Identifier: Apache-2.0 */
#include "path/fit.h"

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

static void follows_within_limits(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    twi_task task = task_for(arena, 0.3);
    twi_route route = route_of(arena, &task, (size_t[]){38, 62}, 2);
    twi_score score = twi_fit(&task, &route, 0, 1);
    double miss;
    assert_true(score.miss <= TWI_MISS);
    twi_fit_worst(&task, &route, &miss);
    assert_true(miss <= TWI_MISS);
    task.speed[0] = 0.02; /* 24 frames: no more than 0.48 */
    score = twi_fit(&task, &route, 0, 1);
    assert_true(route.p[0][1] - route.p[0][0] <= 0.48 + 1e-9);
    task.speed[0] = 0.01;
    score = twi_fit(&task, &route, 0, 1);
    /* Least at 40, most at 60: 20 frames of the link less what both corners take, 0.01 * 5^2 / (4 * 7) each. */
    tw_assert_near(score.miss, (1 - 0.6 - (0.2 - 2 * 0.01 * 25 / 28)) / 2, 1e-6);
}

/* The best value of one key is the mean of the wishes, as near as the tube allows. */
static void one_key(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    twi_task task = task_for(arena, 2);
    twi_route route = route_of(arena, &task, (size_t[]){50}, 1);
    double sum = 0;
    for (size_t t = 0; t < 100; t++)
        sum += task.wish[0][t];
    assert_true(twi_fit(&task, &route, 0, 0).miss <= TWI_MISS);
    tw_assert_near(route.p[0][0], sum / 100, 1e-8);
}

static void flat_links_stay_flat(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    twi_task task = task_for(arena, 0.6);
    twi_route route = route_of(arena, &task, (size_t[]){10, 30, 50, 90}, 4);
    route.flat[1] = true;
    assert_true(twi_fit(&task, &route, 0, 3).miss <= TWI_MISS);
    tw_assert_near(route.p[0][1], route.p[0][2], 1e-12);
}

TW_SUITE(fit)
{
    const struct CMUnitTest tests[] = {TW_TEST(follows_within_limits), TW_TEST(one_key), TW_TEST(flat_links_stay_flat)};
    return tw_run("path/fit", tests);
}
