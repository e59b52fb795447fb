/* SPDX-License-Identifier: Apache-2.0 */
#include "path/motions.h"

#include <math.h>

#include "support/support.h"

const motion motions[] = {
    {"static talker", 250, 1, 1, true},
    {"slow walk", 300, 2, 2, true},
    {"sway", 400, 4, 6, true},
    {"enters, stops, exits", 350, 2, 2, true},
    {"two people alternating", 200, 6, 6, false},
    {"jitter and outliers", 250, 1, 1, true},
    {"fast throw", 200, 2, 2, false},
    {"walk, stop, walk back", 450, 3, 4, true},
    {"pair drifts apart", 300, 2, 2, false},
    {"walk, changing pace", 300, 2, 2, true},
    {"talker and nice prop", 250, 1, 1, true},
    {"talker and passer-by", 250, 1, 1, true},
};
const size_t motion_count = sizeof motions / sizeof motions[0];

/* A person 600 px wide around cx, breathing a little. */
static tw_path_box person(double cx, double t)
{
    double x = cx + 15 * sin(t / 9), y = 1500 + 10 * sin(t / 13);
    return (tw_path_box){x - 300, y - 700, x + 300, y + 700};
}

/* 0 before from, 1 after to, straight between. */
static double ramp(double t, double from, double to)
{
    return t <= from ? 0 : t >= to ? 1 : (t - from) / (to - from);
}

static double noise(tw_rng *rng, double size)
{
    return (2 * tw_rng_unit(rng) - 1) * size;
}

/* Where the main subject is; false when it is not there. */
static bool centre_of(size_t index, double t, double *cx)
{
    switch (index) {
    case 1: *cx = 1350 + 3060 * ramp(t, 0, 299); break;
    case 2: *cx = 2880 + 1150 * sin(t * 0.03); break;
    case 3: *cx = 300 + 2400 * ramp(t, 60, 150) + 2700 * ramp(t, 230, 330); return t >= 50 && t < 330;
    case 4: *cx = fmod(t, 100) < 50 ? 1500 : 4250; break;
    case 6: *cx = 1400 + 3000 * ramp(t, 90, 108); break;
    case 7: *cx = 1450 + 2900 * (ramp(t, 20, 170) - ramp(t, 280, 430)); break;
    case 9: *cx = 1380 + 1000 * ramp(t, 0, 130) + 1300 * ramp(t, 130, 210) + 750 * ramp(t, 210, 299); break;
    default: *cx = 2900; break;
    }
    return true;
}

static void add_second(tw_arena *arena, size_t index, tw_path_job *job, tw_path_region *second)
{
    tw_path_box *boxes = TW_NEW_N(arena, tw_path_box, (size_t)job->frames);
    for (int64_t i = 0; i < job->frames; i++) {
        double t = (double)i;
        if (index == 8)
            boxes[i] = person(2500 + 1100 * ramp(t, 60, 290), t + 40);
        else if (index == 10)
            boxes[i] = (tw_path_box){3450, 2600, 3750, 2900};
        else if (t >= 60 && t < 180)
            boxes[i] = person(300 + 5200 * ramp(t, 60, 180), t);
    }
    *second = (tw_path_region){.boxes = boxes, .must = index == 8, .weight = 1};
    job->region_count = 2;
}

void motion_job(tw_arena *arena, size_t index, tw_path_job *job)
{
    size_t n = (size_t)motions[index].frames;
    tw_path_region *regions = TW_NEW_N(arena, tw_path_region, 2);
    tw_path_box *boxes = TW_NEW_N(arena, tw_path_box, n);
    tw_rng rng = {index};
    for (size_t i = 0; i < n; i++) {
        double t = (double)i, cx;
        if (!centre_of(index, t, &cx))
            continue;
        boxes[i] = person(index == 8 ? 2300 - 1100 * ramp(t, 60, 290) : cx, t);
        double jump = index == 5 && i % 41 == 20 ? 900 : 0, x = index == 5 ? noise(&rng, 40) + jump : 0;
        boxes[i].left += x;
        boxes[i].right += x + (index == 5 ? noise(&rng, 25) : 0);
    }
    regions[0] = (tw_path_region){.boxes = boxes, .must = true, .weight = 1, .detector = index == 5};
    *job = (tw_path_job){
        .frames = (int64_t)n,
        .fps = 25,
        .source = {5760, 4320},
        .delivery = {1080, 1920},
        .squeeze = 1,
        .max_scale = 1,
        .inset = {0.05, 0.05, 0.05, 0.05},
        .regions = regions,
        .region_count = 1,
    };
    if (index == 8 || index == 10 || index == 11)
        add_second(arena, index, job, &regions[1]);
}
