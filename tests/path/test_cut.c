/* SPDX-License-Identifier: Apache-2.0 */
#include "path/path_internal.h"

#include <stdlib.h>

#include "path/checks.h"
#include "support/support.h"

static double cost_of(const twi_tube *tube, const double *weight, const double *x)
{
    double cost = 0;
    for (size_t t = 0; t < tube->n; t++)
        cost += (weight != NULL ? weight[t] : 1) * fmax(0, fmax(tube->lo[t] - x[t], x[t] - tube->hi[t]));
    return cost;
}

static void known_values(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    for (size_t i = 0; i < CHECK_COUNT; i++) {
        tw_row(i, checks[i].name);
        double lo[13], hi[13], x[13];
        twi_tube tube = {lo, hi, checks[i].n};
        memcpy(lo, checks[i].lo, sizeof lo);
        memcpy(hi, checks[i].hi, sizeof hi);
        for (int fast = 0; fast < 2; fast++) {
            double speed = fast ? 8 : 4, expected = fast ? checks[i].cut8 : checks[i].cut4;
            tw_assert_near(twi_cut_least(arena, &(twi_gate){&tube, NULL, 1}, 1, speed, x), expected, 1e-9);
            tw_assert_near(cost_of(&tube, NULL, x), expected, 1e-9);
            for (size_t t = 0; t + 1 < tube.n; t++)
                assert_true(fabs(x[t + 1] - x[t]) <= speed + 1e-9);
        }
    }
}

/* Tries every path over whole numbers: with whole gates and a whole speed one of them is best. */
static double brute(const twi_tube *tube, const double *weight, int speed, int most)
{
    double best[32], next[32];
    for (int x = 0; x <= most; x++)
        best[x] = 0;
    for (size_t t = 0; t < tube->n; t++) {
        for (int x = 0; x <= most; x++) {
            double least = t == 0 ? 0 : INFINITY;
            for (int y = 0; y <= most && t > 0; y++)
                least = abs(x - y) <= speed ? fmin(least, best[y]) : least;
            next[x] = least + weight[t] * fmax(0, fmax(tube->lo[t] - x, x - tube->hi[t]));
        }
        memcpy(best, next, sizeof best);
    }
    double least = INFINITY;
    for (int x = 0; x <= most; x++)
        least = fmin(least, best[x]);
    return least;
}

static void weighted_against_brute_force(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_rng rng = {7};
    for (size_t round = 0; round < 1000; round++) {
        tw_row(round, "random tube");
        double lo[9], hi[9], weight[9], x[9], still_lo, still_hi;
        twi_tube tube = {lo, hi, (size_t)tw_rng_between(&rng, 1, 9)};
        int speed = (int)tw_rng_between(&rng, 0, 6);
        for (size_t t = 0; t < tube.n; t++) {
            lo[t] = (double)tw_rng_between(&rng, 0, 20);
            hi[t] = lo[t] + (double)tw_rng_between(&rng, 0, 9);
            weight[t] = (double)tw_rng_between(&rng, 0, 3);
        }
        double expected = brute(&tube, weight, speed, 29);
        tw_assert_near(twi_cut_least(arena, &(twi_gate){&tube, weight, 1}, 1, speed, x), expected, 1e-9);
        tw_assert_near(cost_of(&tube, weight, x), expected, 1e-9);
        if (speed > 0)
            continue;
        twi_cut_still(arena, &tube, weight, &still_lo, &still_hi);
        for (size_t t = 0; t < tube.n; t++)
            x[t] = fmin(fmax(still_lo, 0), 29);
        tw_assert_near(cost_of(&tube, weight, x), expected, 1e-9);
    }
}

TW_SUITE(cut)
{
    const struct CMUnitTest tests[] = {TW_TEST(known_values), TW_TEST(weighted_against_brute_force)};
    return tw_run("path/cut", tests);
}
