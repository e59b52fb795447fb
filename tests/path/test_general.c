/* SPDX-License-Identifier: Apache-2.0
 *
 * Our methods against general solvers and brute force on random tubes. TW_LONG=1 runs the full counts: 2,000 tubes for
 * the keyframes, 500 for the cut; without it a tenth of them.
 */
#include "path/keys.h"

#include "path/checks.h"
#include "path/glpk.h"
#include "path/least.h"
#include "path/sound.h"
#include "support/support.h"

/* Whole numbers, so that ties are common: a wandering middle, a width, now and then a jump. */
static void random_tube(tw_rng *rng, twi_tube *tube)
{
    int64_t middle = 50, stride = tw_rng_between(rng, 1, 12), widest = tw_rng_between(rng, 1, 14);
    for (size_t t = 0; t < tube->n; t++) {
        middle += tw_rng_between(rng, -stride, stride);
        if (tw_rng_between(rng, 0, 9) == 0)
            middle += tw_rng_between(rng, -25, 25);
        tube->lo[t] = (double)middle;
        tube->hi[t] = (double)(middle + tw_rng_between(rng, 0, widest));
    }
}

static void fewest_keys(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    static const double speeds[] = {5, 8, 15, 40};
    tw_rng rng = {20261125};
    size_t feasible = 0, count = random_rounds(2000);
    if (!glpk_found())
        return;
    for (size_t round = 0; round < count; round++) {
        tw_row(round, "random tube, seed 20261125");
        size_t n = (size_t)tw_rng_between(&rng, 6, 14), axes = (size_t)tw_rng_between(&rng, 1, 2);
        twi_tube tubes[2] = {twi_tube_new(arena, n), twi_tube_new(arena, n)};
        twi_keys_job job = {.tubes = tubes, .axes = axes, .link = 1};
        for (size_t a = 0; a < axes; a++) {
            random_tube(&rng, &tubes[a]);
            double least = least_speed_of(&tubes[a]);
            job.speed[a] = speeds[tw_rng_between(&rng, 0, 3)];
            if (tw_rng_between(&rng, 0, 3) > 0) /* most of them can be done */
                job.speed[a] = fmax(job.speed[a], ceil(least));
        }
        size_t keys = twi_keys_fewest(arena, &job, 0, NULL);
        size_t expected = glpk_keys(tubes, axes, job.speed);
        tw_assert_near((double)keys, (double)expected, 0);
        feasible += keys > 0;
    }
    print_message("fewest keyframes: %zu tubes as GLPK says, %zu of them feasible\n", count, feasible);
    assert_true(feasible > count / 2);
}

static void least_cut(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_rng rng = {500};
    size_t cut = 0, count = random_rounds(500);
    if (!glpk_found())
        return;
    for (size_t round = 0; round < count; round++) {
        tw_row(round, "random tube, seed 500");
        twi_tube tube = twi_tube_new(arena, (size_t)tw_rng_between(&rng, 2, 40));
        double weight[40], x[40], speed = (double)tw_rng_between(&rng, 0, 40) / 4;
        random_tube(&rng, &tube);
        for (size_t t = 0; t < tube.n; t++)
            weight[t] = (double)tw_rng_between(&rng, 1, 8) / 2;
        double cost = twi_cut_least(arena, &(twi_gate){&tube, weight, 1}, 1, speed, x);
        tw_assert_near(cost, glpk_cut(&tube, weight, speed), 1e-5 * (1 + cost));
        cut += cost > 0;
    }
    print_message("least cut: %zu tubes as GLPK says, %zu of them cut\n", count, cut);
    assert_true(cut > count / 4);
}

/* 10 sum |step| + sum |bend| + 100 sum |change of bend|. */
static double l1_of(const double *x, size_t n)
{
    double cost = 0;
    for (size_t t = 0; t < n; t++) {
        double step = t + 1 < n ? x[t + 1] - x[t] : 0, next = t + 2 < n ? x[t + 2] - x[t + 1] : 0;
        double after = t + 3 < n ? x[t + 3] - x[t + 2] : 0;
        cost += 10 * fabs(step) + (t + 2 < n ? fabs(next - step) : 0) +
                (t + 3 < n ? 100 * fabs(after - 2 * next + step) : 0);
    }
    return cost;
}

/* The linear programme our benchmark holds the solver against has the optimum that GLPK and CLP gave by themselves; and
 * no path of ours is below it: none in the tube can be. */
static void l1_optimum(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    if (!glpk_found())
        return;
    for (size_t i = 0; i < CHECK_COUNT; i++) {
        double lo[13], hi[13], x[13];
        twi_tube tube = {lo, hi, checks[i].n};
        memcpy(lo, checks[i].lo, sizeof lo);
        memcpy(hi, checks[i].hi, sizeof hi);
        tw_row(i, checks[i].name);
        tw_assert_near(glpk_l1(&tube, 0, INFINITY, x), checks[i].l1, 1e-6 * (1 + checks[i].l1));
        tw_assert_near(l1_of(x, tube.n), checks[i].l1, 1e-3 * (1 + checks[i].l1)); /* x is printed with six digits */
        twi_keys_job job = {.tubes = &tube, .axes = 1, .speed = {1000}, .link = 1};
        twi_vertex *path;
        size_t count = twi_keys_fewest(arena, &job, 0, &path);
        tw_key keys[13];
        for (size_t k = 0; k < count; k++)
            keys[k] = (tw_key){(int64_t)path[k].t, path[k].value[0], 0, 1, 0};
        for (size_t t = 0; t < tube.n; t++) {
            x[t] = tw_path_at(keys, count, (double)t).cx;
            assert_true(x[t] >= lo[t] - 1e-9 && x[t] <= hi[t] + 1e-9);
        }
        assert_true(l1_of(x, tube.n) >= checks[i].l1 * (1 - 1e-9));
    }
}

TW_SUITE(general)
{
    const struct CMUnitTest tests[] = {TW_TEST(fewest_keys), TW_TEST(least_cut), TW_TEST(l1_optimum)};
    return tw_run("path/general", tests);
}
