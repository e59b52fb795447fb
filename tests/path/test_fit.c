/* SPDX-License-Identifier: Apache-2.0 */
#include "path/fit.h"

#include "path/hand.h"
#include "support/support.h"

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

/* Where travel costs, no change of one value or of two neighbours that stays in the tube is cheaper: the sum is convex,
 * and its bends lie where one link rests or two go on. */
static void lazy_fit_is_best(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    static const double lazy[] = {0.5, 5, 100};
    for (size_t row = 0; row < 3; row++) {
        tw_row(row, "lazy");
        twi_task task = task_for(arena, 0.45);
        task.lazy = lazy[row];
        for (size_t t = 0; t < 100; t++) /* a dip before the rise: links that turn round */
            task.tube[0].lo[t] -= t < 30 ? 0.2 : 0;
        twi_frames_read(&task);
        twi_route route = route_of(arena, &task, (size_t[]){5, 25, 38, 62, 80}, 5), other = twi_route_new(arena, 16);
        twi_score best = twi_fit(&task, &route, 0, 4);
        assert_true(best.miss <= TWI_MISS);
        double travel = fabs(route.p[0][4] - route.p[0][0]);
        for (size_t i = 0; i < 5; i++) {
            for (size_t with = 1; with <= 5 - i; with++) {
                for (int side = -1; side <= 1; side += 2) {
                    double miss;
                    twi_route_copy(&other, &route);
                    for (size_t k = i; k < i + with; k++)
                        other.p[0][k] += side * 1e-3;
                    twi_fit_worst(&task, &other, &miss);
                    double cost = 0, was = twi_route_at(&other, 0, 0);
                    for (size_t t = 0; t < 100; t++) {
                        double x = twi_route_at(&other, 0, t);
                        cost += (x - task.wish[0][t]) * (x - task.wish[0][t]) + 75 * (x - was) * (x - was);
                        was = x;
                    }
                    for (size_t k = 0; k < 4; k++)
                        cost += 2 * task.lazy * fabs(other.p[0][k + 1] - other.p[0][k]);
                    assert_true(miss > 0 || cost >= best.cost - 1e-9);
                }
            }
        }
        if (row == 2) /* as little as can be: from the top of the tube before the rise to the bottom behind it */
            assert_true(travel < 0.15);
    }
}

TW_SUITE(fit)
{
    const struct CMUnitTest tests[] = {TW_TEST(follows_within_limits), TW_TEST(one_key), TW_TEST(flat_links_stay_flat),
                                       TW_TEST(lazy_fit_is_best)};
    return tw_run("path/fit", tests);
}
