/* SPDX-License-Identifier: Apache-2.0
 *
 * What most tests of path ask: 9:16 out of 5760x4320 at 25 frames a second, nothing enlarged; and what those of its
 * fits do: one move of one width.
 */
#ifndef TW_TESTS_PATH_HAND_H
#define TW_TESTS_PATH_HAND_H

#include "path/frames.h"

static inline tw_path_job job_of(const tw_path_region *regions, size_t count, int64_t frames)
{
    return (tw_path_job){.frames = frames,
                         .fps = 25,
                         .source = {5760, 4320},
                         .delivery = {1080, 1920},
                         .squeeze = 1,
                         .max_scale = 1,
                         .regions = regions,
                         .region_count = count};
}

/* One axis of 100 frames, a tube of +-half around a middle that rises by 1 from frame 40 to 60. */
static inline twi_task task_for(tw_arena *arena, double half)
{
    twi_task task = {.arena = arena, .n = 100, .axes = 1, .link = 12, .accel = INFINITY, .ease = 7, .smoothness = 75};
    double *wish = TW_NEW_N(arena, double, 100), *care = TW_NEW_N(arena, double, 100);
    task.tube[0] = twi_tube_new(arena, 100);
    task.room[0] = twi_tube_new(arena, 100);
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
    twi_frames_read(&task);
    return task;
}

static inline twi_route route_of(tw_arena *arena, const twi_task *task, const size_t *times, size_t count)
{
    twi_route route = twi_route_new(arena, 16);
    route.count = count;
    memcpy(route.t, times, count * sizeof *times);
    twi_route_ease(task, &route);
    return route;
}

#endif
