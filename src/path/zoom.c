/* SPDX-License-Identifier: Apache-2.0
 *
 * A width that changes (solver.md 3.12): its keyframes first, then those of the centre in the tubes that the width
 * leaves, all on shared times. The width is interpolated, never the scale. Where it does not come out whole the width
 * stays constant.
 */
#include "keys.h"
#include "refine.h"

#define BAND_NARROW 0.8 /* how far from the wished width the style may go; our proposal */
#define BAND_WIDE 1.25

typedef struct zoom {
    twi_scene *scene;
    double unit; /* pixels that fits count as 1: the narrowest width in use */
    const double *care;
    twi_tube width;  /* allowed widths, pixels */
    double *wish;    /* per frame, pixels */
    twi_route w, xy; /* on the same times in the end */
    twi_axis axis[2];
} zoom;

/* Widths that hold the region of each frame and are near the wished one; false when a constant one is. */
static bool read_widths(zoom *z)
{
    twi_scene *scene = z->scene;
    double last = scene->wanted, lo, hi;
    for (size_t t = 0; t < scene->n; t++) {
        tw_path_box hull;
        double need = scene->narrowest;
        if (twi_scene_hull(scene, t, &hull)) {
            need = fmax(need, twi_scene_need(scene, &hull));
            last = scene->shape * (hull.bottom - hull.top) / scene->job->subject_fill;
        }
        need = fmin(need, scene->widest);
        z->wish[t] = fmin(fmax(last, need), scene->widest);
        z->width.lo[t] = fmax(need, BAND_NARROW * z->wish[t]);
        z->width.hi[t] = fmin(scene->widest, fmax(BAND_WIDE * z->wish[t], z->width.lo[t]));
        z->unit = fmin(z->unit, z->width.lo[t]);
    }
    return !twi_tube_still(&z->width, &lo, &hi) && z->unit >= 1;
}

static twi_task blank_task(const zoom *z, size_t axes)
{
    const twi_scene *scene = z->scene;
    twi_task task = {.arena = scene->arena, .n = scene->n, .axes = axes, .link = scene->motion.link, .care = z->care};
    task.accel = scene->motion.accel;
    task.ease = scene->motion.ease;
    task.smoothness = scene->motion.smoothness;
    task.rows = TW_NEW_N(scene->arena, twi_basis, scene->n);
    return task;
}

/* Sets an axis of a task from pixels. */
static void set_axis(const zoom *z, twi_task *task, int axis, const twi_tube *tube, const double *wish)
{
    double *scaled = TW_NEW_N(task->arena, double, task->n);
    task->tube[axis] = twi_tube_copy(task->arena, tube);
    for (size_t t = 0; t < task->n; t++) {
        task->tube[axis].lo[t] /= z->unit;
        task->tube[axis].hi[t] /= z->unit;
        scaled[t] = wish[t] / z->unit;
    }
    task->wish[axis] = scaled;
}

static twi_task width_task(const zoom *z)
{
    twi_task task = blank_task(z, 1);
    set_axis(z, &task, 0, &z->width, z->wish);
    task.room[0] = twi_tube_new(task.arena, task.n);
    for (size_t t = 0; t < task.n; t++) {
        task.room[0].lo[t] = fmin(z->scene->narrowest, z->width.lo[t]) / z->unit;
        task.room[0].hi[t] = z->scene->widest / z->unit;
    }
    task.speed[0] = z->scene->motion.zoom;
    return task;
}

/* Keyframe times of the width alone. */
static bool search_width(zoom *z)
{
    twi_keys_job job = {.tubes = &z->width, .axes = 1, .speed = {z->scene->motion.zoom * z->unit}};
    twi_vertex *path;
    job.link = z->scene->motion.link;
    size_t keys = twi_keys_fewest(z->scene->arena, &job, 0, &path);
    for (size_t t = 0; keys == 0 && t < z->scene->n; t++)
        z->width.hi[t] = z->scene->widest; /* wider than the style likes, to be ready in time */
    if (keys == 0)
        keys = twi_keys_fewest(z->scene->arena, &job, 0, &path);
    if (keys < 2)
        return false;
    z->w = twi_route_new(z->scene->arena, 4 * keys + 64);
    z->w.count = keys;
    for (size_t i = 0; i < keys; i++) {
        z->w.t[i] = path[i].t;
        z->w.p[0][i] = path[i].value[0] / z->unit;
    }
    return true;
}

/* Fits the width on its times; false when it misses. */
static bool fit_width(zoom *z, bool move)
{
    twi_task task = width_task(z);
    double miss;
    twi_route_ease(&task, &z->w);
    if (isinf(twi_fit_all(&task, &z->w).miss))
        return false;
    if (move)
        twi_refine_times(&task, &z->w);
    twi_fit_worst(&task, &z->w, &miss);
    return miss <= TWI_MISS;
}

/* Widths as they will be written, per frame. */
static void set_widths(zoom *z)
{
    double *widths = TW_NEW_N(z->scene->arena, double, z->scene->n);
    for (size_t i = 0; i < z->w.count; i++)
        z->w.p[0][i] = fmin(tw_num_round(z->w.p[0][i] * z->unit, 3), z->scene->widest) / z->unit;
    for (size_t t = 0; t < z->scene->n; t++)
        widths[t] = twi_route_at(&z->w, 0, t) * z->unit;
    z->scene->widths = widths;
    for (int a = TWI_X; a <= TWI_Y; a++)
        twi_scene_axis(z->scene, a, &z->axis[a]);
}

/* Adds the times of the fewest keyframes of the centre to those of the width, at the slowest speed that has any. */
static bool add_times(zoom *z)
{
    twi_scene *scene = z->scene;
    twi_tube tubes[2] = {z->axis[0].tube, z->axis[1].tube};
    twi_keys_job job = {.tubes = tubes, .axes = 2, .link = scene->motion.link};
    twi_vertex *path;
    size_t keys = 0;
    for (size_t step = 0; step < 5 && keys == 0; step++) {
        job.speed[0] = job.speed[1] = scene->motion.speeds[step] * z->unit;
        if (twi_tube_feasible(&tubes[0], job.speed[0]) && twi_tube_feasible(&tubes[1], job.speed[1]))
            keys = twi_keys_fewest(scene->arena, &job, z->w.cap - z->w.count - 8, &path);
    }
    for (size_t k = 0; k < keys && keys > 1; k++) {
        size_t at = 0;
        while (at < z->w.count && z->w.t[at] <= path[k].t)
            at++;
        bool near_left = at > 0 && path[k].t - z->w.t[at - 1] < scene->motion.link;
        bool near_right = at < z->w.count && z->w.t[at] - path[k].t < scene->motion.link;
        if (!near_left && !near_right)
            twi_route_insert(&z->w, at, path[k].t);
    }
    return keys > 0;
}

/* The width between its keys, without corners: what the centre's keys have to keep inside the source. */
static double corner_width(const twi_route *w, size_t t)
{
    size_t i = 0;
    while (i + 1 < w->count && w->t[i + 1] <= t)
        i++;
    if (t <= w->t[i] || i + 1 == w->count)
        return w->p[0][i];
    return w->p[0][i] + (w->p[0][i + 1] - w->p[0][i]) * (double)(t - w->t[i]) / (double)(w->t[i + 1] - w->t[i]);
}

static bool fit_centre(zoom *z)
{
    twi_scene *scene = z->scene;
    twi_task task = blank_task(z, 2);
    double miss;
    for (int a = TWI_X; a <= TWI_Y; a++) {
        set_axis(z, &task, a, &z->axis[a].tube, z->axis[a].wish);
        task.room[a] = twi_tube_new(task.arena, task.n);
        for (size_t i = 0; i < z->w.count; i++) {
            size_t t = z->w.t[i];
            double half = corner_width(&z->w, t) / (a == TWI_X ? 2 : 2 * scene->shape);
            task.room[a].lo[t] = half;
            task.room[a].hi[t] = fmax(twi_scene_room(scene, a) / z->unit - half, half);
        }
        task.speed[a] = scene->motion.speeds[4];
    }
    z->xy = twi_route_new(scene->arena, z->w.cap);
    twi_route_copy(&z->xy, &z->w);
    for (size_t i = 0; i < z->xy.count; i++)
        for (int a = TWI_X; a <= TWI_Y; a++)
            z->xy.p[a][i] = twi_scene_room(scene, a) / 2 / z->unit;
    if (isinf(twi_fit_all(&task, &z->xy).miss))
        return false;
    twi_fit_worst(&task, &z->xy, &miss);
    return miss <= TWI_MISS;
}

static bool solve(zoom *z)
{
    if (!read_widths(z) || !search_width(z) || !fit_width(z, true))
        return false;
    set_widths(z);
    if (!add_times(z) || !fit_width(z, false))
        return false;
    set_widths(z);
    return fit_centre(z);
}

bool twi_solve_zoom(tw_arena *arena, twi_scene *scene, tw_path_result *out)
{
    if (!scene->job->zoom || !(scene->job->subject_fill > 0) || !scene->subject || scene->n < 3)
        return false;
    zoom z = {.scene = scene, .unit = scene->widest, .care = twi_scene_care(scene)};
    z.width = twi_tube_new(scene->arena, scene->n);
    z.wish = TW_NEW_N(scene->arena, double, scene->n);
    if (!solve(&z)) {
        scene->widths = NULL;
        return false;
    }
    out->keys = TW_NEW_N(arena, tw_key, z.w.count);
    out->key_count = out->fewest = z.w.count;
    for (size_t i = 0; i < z.w.count; i++) {
        double value[TWI_AXES] = {z.xy.p[0][i] * z.unit, z.xy.p[1][i] * z.unit, z.w.p[0][i] * z.unit};
        out->keys[i] = twi_path_key(scene, (double)z.w.t[i], value, z.w.r[i]);
    }
    out->reason = TW_PATH_MOVES;
    return true;
}
