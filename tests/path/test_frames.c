/* SPDX-License-Identifier: Apache-2.0 */
#include "path/frames.h"

#include "support/support.h"

#define FRAMES 700

/* Tubes, wishes and cares of which no two frames are alike. */
static twi_task ragged(tw_arena *arena, tw_rng *rng, bool joint)
{
    twi_task task = {.arena = arena, .n = FRAMES, .axes = 1, .joint = joint};
    double *wish = TW_NEW_N(arena, double, FRAMES), *care = TW_NEW_N(arena, double, FRAMES);
    task.tube[0] = twi_tube_new(arena, FRAMES);
    task.lean[0] = twi_tube_new(arena, FRAMES);
    for (size_t t = 0; t < FRAMES; t++) {
        wish[t] = 3 * tw_rng_unit(rng);
        care[t] = tw_rng_unit(rng);
        task.tube[0].lo[t] = sin((double)t / 60) + 0.1 * tw_rng_unit(rng);
        task.tube[0].hi[t] = task.tube[0].lo[t] + 0.5 + 0.1 * tw_rng_unit(rng);
        task.lean[0].lo[t] = -0.3 * tw_rng_unit(rng);
        task.lean[0].hi[t] = 0.3 * tw_rng_unit(rng);
    }
    task.wish[0] = wish;
    task.care = care;
    twi_frames_read(&task);
    return task;
}

static void sums_are_those_of_all_frames(void **state)
{
    tw_rng rng = {5};
    twi_task task = ragged(tw_test_arena(state), &rng, false);
    for (int round = 0; round < 200; round++) {
        size_t from = (size_t)tw_rng_between(&rng, 0, FRAMES - 1), to = (size_t)tw_rng_between(&rng, 0, FRAMES - 1);
        size_t first = from < to ? from : to, last = from < to ? to : from;
        twi_moments sum = twi_frames_sum(&task, 0, first, last, first), own = {.square = 0};
        for (size_t t = first; t <= last; t++) {
            double u = (double)(t - first), care = task.care[t], wish = task.wish[0][t];
            for (int k = 0; k < 3; k++)
                own.care[k] += care * pow(u, k);
            for (int k = 0; k < 2; k++)
                own.wish[k] += care * wish * pow(u, k);
            own.square += care * wish * wish;
        }
        for (int k = 0; k < 3; k++)
            tw_assert_near(sum.care[k], own.care[k], 1e-12 * (own.care[k] + 1000));
        for (int k = 0; k < 2; k++)
            tw_assert_near(sum.wish[k], own.wish[k], 1e-12 * (own.wish[k] + 1000));
        tw_assert_near(sum.square, own.square, 1e-11);
    }
}

static void worst_frames_are_found(void **state)
{
    tw_rng rng = {6};
    for (int round = 0; round < 400; round++) {
        twi_task task = ragged(tw_test_arena(state), &rng, round % 2 > 0);
        size_t from = (size_t)tw_rng_between(&rng, 0, FRAMES / 2),
               to = (size_t)tw_rng_between(&rng, FRAMES / 2, FRAMES - 1);
        double x[2] = {2 * tw_rng_unit(&rng) - 1, 0.01 * tw_rng_unit(&rng) - 0.005};
        double w[2] = {1 + tw_rng_unit(&rng), 0.001 * tw_rng_unit(&rng)}, least = 0.3 * (round % 5), most = least,
               own = least;
        size_t worst = twi_frames_worst(&task, 0, from, to, x, w, &most), at = SIZE_MAX;
        for (size_t t = from; t <= to; t++) {
            double u = (double)(t - from), miss = twi_frames_miss(&task, 0, t, x[0] + x[1] * u, w[0] + w[1] * u);
            at = miss > own ? t : at;
            own = fmax(miss, own);
        }
        assert_int_equal(worst, at);
        tw_assert_near(most, own, 0);
    }
}

TW_SUITE(frames)
{
    const struct CMUnitTest tests[] = {TW_TEST(sums_are_those_of_all_frames), TW_TEST(worst_frames_are_found)};
    return tw_run("path/frames", tests);
}
