/* SPDX-License-Identifier: Apache-2.0 */
#include "path/keys.h"

#include "path/checks.h"
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

TW_SUITE(keys)
{
    const struct CMUnitTest tests[] = {TW_TEST(known_values)};
    return tw_run("path/keys", tests);
}
