/* SPDX-License-Identifier: Apache-2.0 */
#include "path/piece.h"

#include "path/hand.h"
#include "support/support.h"

/* Routes with corners that touch, sharp ones, and keys on both ends of the shot. */
static twi_route random_route(tw_arena *arena, const twi_task *task, tw_rng *rng)
{
    size_t times[12], count = 0;
    for (size_t t = (size_t)tw_rng_between(rng, 0, 9); t < task->n && count < 12; count++) {
        times[count] = t;
        t += (size_t)tw_rng_between(rng, 1, 40);
    }
    twi_route route = route_of(arena, task, times, count);
    for (size_t i = 0; i < count; i++) {
        route.shrink[i] = (unsigned char)tw_rng_between(rng, 0, 5);
        route.p[0][i] = tw_rng_unit(rng);
    }
    twi_route_ease(task, &route);
    return route;
}

static size_t read_pieces(const twi_task *task, const twi_route *route, twi_basis *bases, twi_piece *out)
{
    size_t count = 0;
    const twi_basis *end = bases + task->n; /* what a task has room for */
    for (size_t i = 0; i <= route->count; i++) {
        count += twi_piece_straight(task, route, i, &out[count]);
        if (i == route->count || !twi_piece_corner(route, i, bases, &out[count]))
            continue;
        bases += out[count].to - out[count].from + 1;
        count++;
        assert_true(bases <= end);
    }
    return count;
}

/* All frames once, each as tw_path_at plays it; and the cost of all pieces is that of all frames. */
static void pieces_make_the_path(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_rng rng = {77};
    twi_task task = task_for(arena, 0.3);
    for (int round = 0; round < 300; round++) {
        twi_route route = random_route(arena, &task, &rng);
        twi_basis bases[100]; /* as many as there are frames */
        twi_piece pieces[30];
        tw_key keys[12];
        size_t count = read_pieces(&task, &route, bases, pieces), next = 0;
        double sum = 0, cost = 0, was = 0;
        for (size_t i = 0; i < route.count; i++)
            keys[i] = (tw_key){(int64_t)route.t[i], route.p[0][i], 0, 1, route.r[i]};
        for (size_t i = 0; i < count; i++) {
            twi_patch patch = twi_patch_of(&task, 0, &pieces[i]);
            sum += twi_patch_value(&patch, route.p[0] + pieces[i].key);
            assert_int_equal(pieces[i].from, next);
            for (; next <= pieces[i].to; next++) {
                twi_basis b = twi_piece_basis(&pieces[i], next);
                double x = tw_path_at(keys, route.count, (double)next).cx, off = x - task.wish[0][next];
                tw_assert_near(twi_basis_value(&b, route.p[0]), x, 1e-12);
                tw_assert_near(twi_route_at(&route, 0, next), x, 1e-12);
                cost += task.care[next] * off * off + (next > 0 ? task.smoothness * (x - was) * (x - was) : 0);
                was = x;
            }
        }
        assert_int_equal(next, task.n);
        tw_assert_near(sum, cost, 1e-10 * (1 + cost));
    }
}

TW_SUITE(piece)
{
    const struct CMUnitTest tests[] = {TW_TEST(pieces_make_the_path)};
    return tw_run("path/piece", tests);
}
