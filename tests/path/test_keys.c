/* SPDX-License-Identifier: Apache-2.0 */
#include "path/keys.h"

#include "path/checks.h"
#include "path/least.h"
#include "path/sound.h"
#include "support/support.h"

/* Does the path of these keyframes do what is said of it? */
static void verify(const twi_keys_job *job, const twi_vertex *path, size_t count)
{
    for (size_t a = 0; a < job->axes; a++) {
        const twi_tube *tube = &job->tubes[a];
        for (size_t t = 0; t < tube->n; t++) {
            size_t i = 0;
            while (i + 1 < count && path[i + 1].t <= t)
                i++;
            double x = path[i].value[a];
            if (path[i].t < t && i + 1 < count)
                x += (path[i + 1].value[a] - x) * (double)(t - path[i].t) / (double)(path[i + 1].t - path[i].t);
            assert_true(x >= tube->lo[t] - 1e-6 && x <= tube->hi[t] + 1e-6);
        }
        for (size_t i = 0; i + 1 < count; i++) {
            double length = (double)(path[i + 1].t - path[i].t);
            assert_true(path[i + 1].t >= path[i].t + job->link);
            assert_true(fabs(path[i + 1].value[a] - path[i].value[a]) <= job->speed[a] * length + 1e-6);
        }
    }
}

static void known_values(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    for (size_t i = 0; i < CHECK_COUNT; i++) {
        for (size_t v = 0; v < 4; v++) {
            tw_row(i, checks[i].name);
            double lo[13], hi[13];
            twi_tube tube = {lo, hi, checks[i].n};
            memcpy(lo, checks[i].lo, sizeof lo);
            memcpy(hi, checks[i].hi, sizeof hi);
            twi_keys_job job = {.tubes = &tube, .axes = 1, .speed = {check_speeds[v]}, .link = 1};
            twi_vertex *path = NULL;
            size_t keys = twi_keys_fewest(arena, &job, 0, &path);
            tw_assert_near((double)keys, (double)checks[i].keys[v], 0);
            if (keys > 0)
                verify(&job, path, keys);
        }
    }
}

/* ---- what must not matter, and what may only help (solver.md section 5) ---------------------------------- */

static void wander(tw_rng *rng, twi_tube *tube)
{
    double middle = 0, drift = 0;
    int64_t half = tw_rng_between(rng, 3, 30);
    for (size_t t = 0; t < tube->n; t++) {
        if (tw_rng_between(rng, 0, 19) == 0)
            drift = (double)tw_rng_between(rng, -3, 3);
        middle += drift + (double)tw_rng_between(rng, -1, 1);
        tube->lo[t] = middle - (double)half;
        tube->hi[t] = middle + (double)tw_rng_between(rng, 1, half);
    }
}

/* The tube seen differently: time backwards, upside down, moved, scaled, wider, fewer frames. */
typedef struct view {
    const char *name;
    bool backwards;
    double scale, shift, wider, faster;
    size_t skip;
    bool same; /* the count stays; else it must not grow */
} view;

static size_t keys_seen(tw_arena *arena, const twi_tube *tube, double speed, const view *v)
{
    size_t n = tube->n - 2 * v->skip;
    twi_tube other = twi_tube_new(arena, n);
    for (size_t i = 0; i < n; i++) {
        size_t t = v->backwards ? tube->n - 1 - v->skip - i : v->skip + i;
        double a = v->scale * tube->lo[t] + v->shift, b = v->scale * tube->hi[t] + v->shift;
        other.lo[i] = fmin(a, b) - v->wider;
        other.hi[i] = fmax(a, b) + v->wider;
    }
    twi_keys_job job = {.tubes = &other, .axes = 1, .speed = {speed * fabs(v->scale) * v->faster}, .link = 1};
    return twi_keys_fewest(arena, &job, 0, NULL);
}

static void views_of_a_tube(void **state)
{
    static const view views[] = {
        {"backwards", true, 1, 0, 0, 1, 0, true}, {"upside down", false, -1, 0, 0, 1, 0, true},
        {"moved", false, 1, 777, 0, 1, 0, true},  {"scaled", false, 3, 0, 0, 1, 0, true},
        {"wider", false, 1, 0, 1, 1, 0, false},   {"faster", false, 1, 0, 0, 2, 0, false},
        {"shorter", false, 1, 0, 0, 1, 5, false},
    };
    static const view itself = {"itself", false, 1, 0, 0, 1, 0, true};
    tw_rng rng = {50500};
    size_t rounds = random_rounds(2000);
    (void)state;
    for (size_t round = 0; round < rounds; round++) {
        tw_arena *arena = tw_arena_new(NULL, NULL);
        twi_tube tube = twi_tube_new(arena, (size_t)tw_rng_between(&rng, 50, 500));
        wander(&rng, &tube);
        double lo, hi, speed = fmax(1, ceil(least_speed_of(&tube))) * (double)tw_rng_between(&rng, 1, 2);
        size_t keys = keys_seen(arena, &tube, speed, &itself);
        assert_true(keys > 0);
        assert_int_equal(keys == 1, twi_tube_still(&tube, &lo, &hi));
        for (size_t i = 0; i < sizeof views / sizeof views[0]; i++) {
            size_t seen = keys_seen(arena, &tube, speed, &views[i]);
            if (seen == 0 || seen > keys || (views[i].same && seen != keys))
                fail_msg("tube %zu of seed 50500, %s: %zu keys, %zu before", round, views[i].name, seen, keys);
        }
        twi_keys_job job = {.tubes = &tube, .axes = 1, .speed = {speed}, .link = 1 + round % 12};
        twi_vertex *path = NULL;
        size_t linked = twi_keys_fewest(arena, &job, 0, &path);
        double travel = 0;
        assert_true(linked == 0 || linked >= keys);
        if (linked > 1) { /* where only the number is asked for, it is the same */
            assert_int_equal(twi_keys_fewest(arena, &job, linked, NULL), linked);
            assert_int_equal(twi_keys_fewest(arena, &job, linked - 1, NULL), 0);
        }
        for (size_t i = 0; i + 1 < linked; i++)
            travel += fabs(path[i + 1].value[0] - path[i].value[0]);
        if (linked > 0) {
            verify(&job, path, linked);
            assert_true(travel >= least_travel_of(&tube) - 1e-6);
        }
        tw_arena_free(&arena);
    }
}

/* One tube after the other: no more than both and the link between them, without a speed limit. */
static void two_in_a_row(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_rng rng = {77};
    for (size_t round = 0; round < 200; round++) {
        tw_row(round, "pair of seed 77");
        size_t n = (size_t)tw_rng_between(&rng, 5, 60), m = (size_t)tw_rng_between(&rng, 5, 60);
        twi_tube both = twi_tube_new(arena, n + m), a = {both.lo, both.hi, n}, b = {both.lo + n, both.hi + n, m};
        wander(&rng, &a);
        wander(&rng, &b);
        twi_keys_job job = {.tubes = &both, .axes = 1, .speed = {1e6}, .link = 1};
        size_t all = twi_keys_fewest(arena, &job, 0, NULL);
        job.tubes = &a;
        size_t first = twi_keys_fewest(arena, &job, 0, NULL);
        job.tubes = &b;
        assert_true(all <= first + twi_keys_fewest(arena, &job, 0, NULL) + 2);
    }
}

/* Two axes with shared times: bounded by each axis, from below and from above, as all at once. */
static void bounds_meet(void **state)
{
    tw_rng rng = {1357};
    size_t rounds = random_rounds(400);
    (void)state;
    for (size_t round = 0; round < rounds; round++) {
        tw_row(round, "pair of seed 1357");
        tw_arena *arena = tw_arena_new(NULL, NULL);
        size_t n = (size_t)tw_rng_between(&rng, 20, 150);
        twi_tube tubes[2] = {twi_tube_new(arena, n), twi_tube_new(arena, n)};
        twi_keys_job job = {.tubes = tubes, .axes = 2, .link = 1 + round % 12, .whole = true};
        for (size_t a = 0; a < 2; a++) {
            wander(&rng, &tubes[a]);
            job.speed[a] = fmax(1, ceil(least_speed_of(&tubes[a]))) * 2;
        }
        twi_vertex *path = NULL;
        size_t all = twi_keys_fewest(arena, &job, 0, NULL);
        job.whole = false;
        assert_int_equal(twi_keys_fewest(arena, &job, 0, &path), all);
        if (all > 0)
            verify(&job, path, all);
        assert_int_equal(twi_keys_fewest(arena, &job, all > 1 ? all - 1 : 0, NULL), all > 1 ? 0 : all);
        tw_arena_free(&arena);
    }
}

TW_SUITE(keys)
{
    const struct CMUnitTest tests[] = {TW_TEST(known_values), TW_TEST(views_of_a_tube), TW_TEST(two_in_a_row),
                                       TW_TEST(bounds_meet)};
    return tw_run("path/keys", tests);
}
