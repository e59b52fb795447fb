/* SPDX-License-Identifier: Apache-2.0
 *
 * The solver against the L1 path (least sum of 10 |step| + |bend| + 100 |change of bend|, region held where possible) as a
 * linear programme in glpsol, on the twelve motions; then time per shot by length, and the exponent. Run by hand:
 * bench_path
 */
#define _POSIX_C_SOURCE 200809L
#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "bench/clock.h"
#include "path/glpk.h"
#include "path/keys.h"
#include "path/motions.h"
#include "path/path_internal.h"
#include "support/support.h"

/* Processor seconds of this process, or of the children it has waited for: other work on the machine does not count. */
/* Mean time of a solve: as often as fills a tenth of a second. */
static double time_solve(const tw_path_job *job, tw_arena *arena, tw_path_result *result)
{
    double start = spent(RUSAGE_SELF), passed = 0;
    int times = 0;
    tw_path_solve(arena, job, result);
    for (times = 1; (passed = spent(RUSAGE_SELF) - start) < 0.1; times++) {
        tw_arena *scratch = tw_arena_new(NULL, NULL);
        tw_path_result again;
        tw_path_solve(scratch, job, &again);
        tw_arena_free(&scratch);
    }
    return passed / times;
}

/* ---- what a path does ------------------------------------------------------------------------------------ */

typedef struct figures {
    double travel, speed, accel; /* widths, widths/s, widths/s^2 */
    double held, kept;           /* share of frames: with the whole inset; in the picture */
    size_t keys;
} figures;

static bool inside(const twi_tube *tube, size_t t, double x)
{
    return x >= tube->lo[t] - 0.01 && x <= tube->hi[t] + 0.01;
}

/* From the centre per frame; tubes with the inset and without. */
static figures measure(const twi_scene *scene, const twi_axis axes[2], const double *x)
{
    double w = scene->width, fps = scene->motion.fps, held = 0, kept = 0;
    figures f = {.keys = 1};
    for (size_t t = 0; t < scene->n; t++) {
        double before = t > 0 ? x[t] - x[t - 1] : 0, after = t + 1 < scene->n ? x[t + 1] - x[t] : 0;
        f.travel += fabs(after) / w;
        f.speed = fmax(f.speed, fabs(after) / w * fps);
        if (t > 0 && t + 1 < scene->n)
            f.accel = fmax(f.accel, fabs(after - before) / w * fps * fps);
        f.keys += fabs(after - before) > 1e-3 * w / fps;
        held += inside(&axes[0].tube, t, x[t]);
        kept += inside(&axes[1].tube, t, x[t]);
    }
    f.held = held / (double)scene->n;
    f.kept = kept / (double)scene->n;
    return f;
}

static void print_motion(size_t index)
{
    tw_arena *arena = tw_arena_new(NULL, NULL);
    tw_path_job job;
    tw_path_result r;
    twi_scene scene;
    twi_axis inset[2], bare[2];
    motion_job(arena, index, &job);
    twi_scene_init(arena, &job, &scene);
    twi_scene_scale(&scene);
    twi_scene_drop(&scene);
    double *x = TW_NEW_N(arena, double, scene.n), *l1 = TW_NEW_N(arena, double, scene.n), seconds = 0;
    twi_scene_axes(&scene, inset);
    scene.inset_share = 0;
    twi_scene_axes(&scene, bare);
    const twi_axis axes[2] = {inset[TWI_X], bare[TWI_X]};
    double own = time_solve(&job, arena, &r);
    for (size_t t = 0; t < scene.n; t++)
        x[t] = tw_path_at(r.keys, r.key_count, (double)t).cx;
    figures ours = measure(&scene, axes, x), theirs = {0};
    double start = spent(RUSAGE_CHILDREN), most = scene.motion.speeds[4] * scene.width;
    double cost = glpk_l1(&axes[0].tube, 1e5, most, l1);
    seconds = spent(RUSAGE_CHILDREN) - start;
    if (!isnan(cost))
        theirs = measure(&scene, axes, l1);
    printf("%-22s %7.3f %7.1f %6.0f  %4zu %4zu  %5.2f %5.2f  %5.2f %5.2f  %5.2f %5.2f  %6.2f %6.2f  %6.2f %6.2f\n",
           motions[index].name, own * 1e3, seconds * 1e3, seconds / own, r.key_count, theirs.keys, ours.travel,
           theirs.travel, ours.speed, theirs.speed, ours.accel, theirs.accel, 100 * ours.held, 100 * theirs.held,
           100 * ours.kept, 100 * theirs.kept);
    fflush(stdout);
    tw_arena_free(&arena);
}

/* ---- time by length -------------------------------------------------------------------------------------- */

/* A person who walks about and stops: a move every few seconds. */
static void long_job(tw_arena *arena, size_t n, double half, tw_path_job *job)
{
    tw_path_box *boxes = TW_NEW_N(arena, tw_path_box, n);
    tw_path_region *region = TW_NEW(arena, tw_path_region);
    for (size_t t = 0; t < n; t++) {
        double x = 2880 + 1500 * sin((double)t / 70) + 600 * sin((double)t / 173);
        boxes[t] = (tw_path_box){x - half, 1000, x + half, 2500};
    }
    *region = (tw_path_region){.boxes = boxes, .must = true, .weight = 1};
    motion_job(arena, 0, job);
    job->frames = (int64_t)n;
    job->regions = region;
}

static void print_lengths(double half)
{
    static const size_t lengths[] = {250, 1000, 5000, 20000};
    enum { COUNT = sizeof lengths / sizeof lengths[0] };
    double sx = 0, sy = 0, sxx = 0, sxy = 0;
    printf("\na person %.0f px wide who walks about\n%8s %10s %6s\n", 2 * half, "frames", "ms", "keys");
    for (size_t i = 0; i < COUNT; i++) {
        tw_arena *arena = tw_arena_new(NULL, NULL);
        tw_path_job job;
        tw_path_result r;
        long_job(arena, lengths[i], half, &job);
        double seconds = time_solve(&job, arena, &r), x = log((double)lengths[i]), y = log(seconds);
        printf("%8zu %10.2f %6zu\n", lengths[i], seconds * 1e3, r.key_count);
        fflush(stdout);
        sx += x;
        sy += y;
        sxx += x * x;
        sxy += x * y;
        tw_arena_free(&arena);
    }
    printf("time grows with frames^%.2f\n", (COUNT * sxy - sx * sy) / (COUNT * sxx - sx * sx));
}

/* ---- the search alone ------------------------------------------------------------------------------------ */

/* Tubes that keep their width: two waves and a walk; `period` over `speed` tells how far lines see. */
typedef struct tubes {
    const char *name;
    size_t axes, longest;
    double half, speed, height, period;
} tubes;

static double time_search(const tubes *kind, size_t n, size_t *keys)
{
    tw_arena *arena = tw_arena_new(NULL, NULL);
    tw_rng rng = {42};
    double walk[2] = {0, 0};
    twi_tube tube[2] = {twi_tube_new(arena, n), twi_tube_new(arena, n)};
    for (size_t t = 0; t < n; t++) {
        for (int a = 0; a < 2; a++) {
            double at = (double)t / kind->period;
            walk[a] += (tw_rng_unit(&rng) - 0.5) * kind->speed * 0.3;
            double middle = walk[a] + kind->height * (sin(at + a) + 0.4 * sin(at / 2.47 + 2 * a));
            tube[a].lo[t] = middle - kind->half;
            tube[a].hi[t] = middle + kind->half;
        }
    }
    twi_keys_job job = {.tubes = tube, .axes = kind->axes, .speed = {kind->speed, kind->speed}, .link = 13};
    double start = spent(RUSAGE_SELF);
    *keys = twi_keys_fewest(arena, &job, 0, NULL);
    double passed = spent(RUSAGE_SELF) - start;
    tw_arena_free(&arena);
    return passed;
}

static void print_search(const tubes *kind)
{
    static const size_t lengths[] = {250, 1000, 5000, 20000};
    double sx = 0, sy = 0, sxx = 0, sxy = 0, count = 0;
    printf("\nthe search alone: %s\n%8s %10s %6s\n", kind->name, "frames", "ms", "keys");
    for (size_t i = 0; i < sizeof lengths / sizeof lengths[0] && lengths[i] <= kind->longest; i++) {
        size_t keys;
        double seconds = time_search(kind, lengths[i], &keys), x = log((double)lengths[i]), y = log(seconds);
        printf("%8zu %10.2f %6zu\n", lengths[i], seconds * 1e3, keys);
        fflush(stdout);
        if (keys == 1) /* nothing was searched */
            continue;
        count++;
        sx += x;
        sy += y;
        sxx += x * x;
        sxy += x * y;
    }
    printf("time grows with frames^%.2f\n", (count * sxy - sx * sy) / (count * sxx - sx * sx));
}

int main(void)
{
    if (glpk_found()) {
        printf("ours, and the L1 path under the same hard speed by glpsol\n");
        printf("%-22s %7s %7s %6s  %9s  %11s  %11s  %11s  %13s  %13s\n", "", "ours", "glpsol", "times", "keys",
               "travel", "peak speed", "peak accel.", "held, inset %", "in picture %");
        printf("%-22s %7s %7s %6s  %4s %4s  %5s %5s  %5s %5s  %5s %5s  %6s %6s  %6s %6s\n", "", "ms", "ms", "faster",
               "ours", "L1", "ours", "L1", "ours", "L1", "ours", "L1", "ours", "L1", "ours", "L1");
        for (size_t i = 0; i < motion_count; i++)
            print_motion(i);
        printf("two people: what lies too far apart for the hard speed is lost by both, as little as can be;\n"
               "a pair: we give up some of the inset before comfort\n");
    }
    print_lengths(300);
    print_lengths(900);
    static const tubes kinds[] = {
        {"one axis, moves of seconds", 1, 20000, 900, 14, 1500, 70},
        {"one axis, wide and slow", 1, 20000, 900, 14, 1500, 700},
        {"one axis, slower still", 1, 20000, 900, 2, 3000, 5000},
        {"one axis, ragged: many frames see a little that no other does", 1, 20000, 900, 14, 3000, 2000},
        {"two axes", 2, 5000, 900, 14, 1500, 70},
        {"two axes, narrow and slow", 2, 1000, 300, 14, 1500, 200},
    };
    for (size_t i = 0; i < sizeof kinds / sizeof kinds[0]; i++)
        print_search(&kinds[i]);
    return 0;
}
