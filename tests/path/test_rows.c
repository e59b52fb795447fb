/* SPDX-License-Identifier: Apache-2.0 */
#include "path/rows.h"

#include "path/hand.h"
#include "support/support.h"

/* Three axes of one fit: a window of half its width around x, wider by 1 from frame 40 to 60 while its centre moves. */
static twi_task joint_task(tw_arena *arena, double half)
{
    twi_task task = task_for(arena, half);
    task.axes = TWI_AXES;
    task.joint = true;
    task.half[0] = task.half[1] = 0.5;
    for (int a = 0; a < TWI_AXES; a++) {
        task.tube[a] = twi_tube_copy(arena, &task.tube[0]);
        task.room[a] = twi_tube_copy(arena, &task.room[0]);
        task.wish[a] = task.wish[0];
        task.speed[a] = 0.05;
    }
    for (int a = 0; a < 2; a++) { /* holds what lies at the middle: x - w / 4 <= middle <= x + w / 4 */
        task.lean[a] = twi_tube_new(arena, 100);
        for (size_t t = 0; t < 100; t++) {
            task.tube[a].lo[t] = task.tube[a].hi[t] = task.wish[0][t];
            task.lean[a].lo[t] = -0.25;
            task.lean[a].hi[t] = 0.25;
        }
    }
    double *wish = TW_NEW_N(arena, double, 100);
    for (size_t t = 0; t < 100; t++) {
        wish[t] = 1 + task.wish[0][t];
        task.tube[TWI_W].lo[t] = wish[t] - half;
        task.tube[TWI_W].hi[t] = wish[t] + half;
    }
    task.wish[TWI_W] = wish;
    twi_frames_read(&task);
    return task;
}

static void all_keys(const twi_fitting *f, twi_row *worst)
{
    for (size_t k = f->first; k <= f->last; k++)
        twi_rows_key(f, k, worst);
}

/* The rows at two keys by hand: at frames 30 and 70 the window is 1 and 2 wide around 0 and 1. */
static void broken_rows(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    twi_task task = joint_task(arena, 0.5);
    twi_route route = route_of(arena, &task, (size_t[]){30, 70}, 2);
    for (size_t i = 0; i < 2; i++) {
        route.p[TWI_X][i] = route.p[TWI_Y][i] = (double)i;
        route.p[TWI_W][i] = 1 + (double)i;
    }
    twi_fitting f = {.task = &task, .route = &route, .last_axis = TWI_W, .last = 1, .pieces = 1};
    f.piece[0] = (twi_piece){50, 50, .straight = true, .at = {0, {0.5, 0.5, 0}}};
    twi_row worst = {.amount = 1e-9};
    all_keys(&f, &worst);
    tw_assert_near(worst.amount, 1e-9, 0); /* 1 in 40 frames is 0.025 of the narrower window: allowed */
    task.speed[TWI_X] = 0.02;              /* 0.8 are allowed of the narrower, 1.6 of the wider */
    all_keys(&f, &worst);
    assert_int_equal(worst.axis, TWI_X);
    assert_int_equal(worst.side, -1);
    tw_assert_near(worst.amount, 0.2, 1e-12);
    worst = (twi_row){.amount = 1e-9};
    task.room[TWI_Y].lo[30] = -0.25; /* the window of key 0 reaches to -0.5 */
    task.speed[TWI_X] = 1;
    all_keys(&f, &worst);
    assert_int_equal(worst.axis, TWI_Y);
    tw_assert_near(worst.amount, 0.25, 1e-12);
    worst = (twi_row){.amount = 1e-9};
    task.room[TWI_Y].lo[30] = -5;
    task.accel = 0.001; /* corners of 7 frames: |v2 - v1| = 1 / 40 is 7 / 40 a corner, 2 * 49 * 0.001 are allowed */
    all_keys(&f, &worst);
    tw_assert_near(worst.amount, 7.0 / 40 - 0.098, 1e-12);
    worst = (twi_row){.amount = 1e-9};
    route.p[TWI_X][1] = 3; /* frame 50: 1.5, a whole 1 beyond the middle and a quarter of 1.5 may be */
    twi_rows_piece(&f, 0, TWI_X, 0.125, &worst);
    assert_true(worst.soft);
    tw_assert_near(twi_rows_amount(&f, &worst, 0.125), worst.amount, 1e-12);
    tw_assert_near(worst.amount, 1 - 0.375 - 0.125, 1e-12);
}

static twi_score score_of(const twi_task *task, const twi_route *route)
{
    twi_score score = {0, 0};
    for (int a = 0; a < TWI_AXES; a++) {
        double was = twi_route_at(route, a, 0);
        for (size_t t = 0; t < task->n; t++) {
            double x = twi_route_at(route, a, t), off = x - task->wish[a][t];
            score.cost += task->care[t] * off * off + task->smoothness * (x - was) * (x - was);
            was = x;
        }
    }
    twi_fit_worst(task, route, &score.miss);
    return score;
}

static bool within_limits(const twi_task *task, twi_route *route)
{
    twi_fitting f = {.task = task, .route = route, .last_axis = TWI_W, .last = route->count - 1};
    twi_row worst = {.amount = 0};
    all_keys(&f, &worst);
    return worst.amount <= 0;
}

/* The problem is convex: when no small change that keeps all rows costs less, nothing does. 2,000 changes of every size
 * down to 1e-6, of one value or of all. */
static void one_fit_of_three_is_best(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_rng rng = {12};
    twi_task task = joint_task(arena, 0.3);
    task.accel = 0.01;
    twi_route route = route_of(arena, &task, (size_t[]){25, 45, 70}, 3), other = twi_route_new(arena, 16);
    assert_true(twi_fit(&task, &route, 0, 2).miss <= TWI_MISS);
    twi_score best = score_of(&task, &route);
    size_t feasible = 0;
    for (int round = 0; round < 2000; round++) {
        double size = pow(10, -1 - 5 * tw_rng_unit(&rng));
        int64_t only = tw_rng_between(&rng, 0, 17);
        twi_route_copy(&other, &route);
        for (int64_t v = 0; v < 9; v++)
            if (only > 8 || only == v)
                other.p[v % 3][v / 3] += (2 * tw_rng_unit(&rng) - 1) * size;
        twi_score now = score_of(&task, &other);
        if (now.miss > 0 || !within_limits(&task, &other))
            continue;
        feasible++;
        assert_true(now.cost >= best.cost - 1e-6);
    }
    assert_true(feasible > 200);
}

TW_SUITE(rows)
{
    const struct CMUnitTest tests[] = {TW_TEST(broken_rows), TW_TEST(one_fit_of_three_is_best)};
    return tw_run("path/rows", tests);
}
