/* SPDX-License-Identifier: Apache-2.0
 *
 * A width that changes (solver.md 3.12). The fewest keyframes of the width and, in the tubes such a width leaves, those
 * of the centre give the times to begin with; then one fit finds width and centre together, and what it can do without
 * goes. The width is interpolated, never the scale. Where nothing comes out whole the width stays constant.
 */
#include "frames.h"
#include "keys.h"
#include "refine.h"
#include "region.h"

#define BAND_NARROW 0.8 /* how far from the wished width the style may go; our proposal */
#define BAND_WIDE 1.25

/* The fewest keyframes of the centre at a speed, 0 when there is no path. */
typedef struct centre {
    bool known;
    size_t keys;
    twi_vertex *path;
} centre;

typedef struct zoom {
    twi_scene *scene;
    double unit; /* pixels that fits count as 1: the narrowest width in use */
    const double *care;
    tw_path_box *hull; /* to be held, per frame */
    twi_tube width;    /* allowed widths, pixels */
    double *wish;      /* per frame, pixels */
    twi_route w;       /* the width by itself, as axis 0 */
    twi_axis axis[2];  /* of the centre, at that width */
    centre at[TWI_SPEEDS];
} zoom;

static double need_of(const zoom *z, size_t t)
{
    const tw_path_box *hull = &z->hull[t];
    double need = twi_box_there(hull) ? twi_scene_need(z->scene, hull) : 0;
    return tw_min(tw_max(twi_ceil3(z->scene->narrowest), need), z->scene->widest);
}

/* Widths that hold the region of each frame and are near the wished one; false when a constant one is. */
static bool read_widths(zoom *z)
{
    twi_scene *scene = z->scene;
    double last = scene->wanted, lo, hi;
    for (size_t t = 0; t < scene->n; t++) {
        if (twi_box_there(&z->hull[t]))
            last = scene->shape * (z->hull[t].bottom - z->hull[t].top) / scene->job->subject_fill;
        double need = need_of(z, t);
        z->wish[t] = tw_min(tw_max(last, need), scene->widest);
        z->width.lo[t] = tw_max(need, BAND_NARROW * z->wish[t]);
        z->width.hi[t] = tw_min(scene->widest, tw_max(BAND_WIDE * z->wish[t], z->width.lo[t]));
        z->unit = tw_min(z->unit, z->width.lo[t]);
    }
    return !twi_tube_still(&z->width, &lo, &hi) && z->unit >= 1;
}

/* ---- tasks ----------------------------------------------------------------------------------------------- */

/* Tube, room and wish of an axis from pixels. */
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

static void set_room(const zoom *z, twi_task *task, int axis, double lo, double hi)
{
    task->room[axis] = twi_tube_new(task->arena, task->n);
    for (size_t t = 0; t < task->n; t++) {
        task->room[axis].lo[t] = lo / z->unit;
        task->room[axis].hi[t] = hi / z->unit;
    }
}

static twi_task width_task(const zoom *z)
{
    twi_task task = twi_task_new(z->scene, 1, z->care);
    set_axis(z, &task, 0, &z->width, z->wish);
    set_room(z, &task, 0, tw_min(z->scene->narrowest, z->scene->widest), z->scene->widest);
    task.speed[0] = z->scene->motion.zoom;
    twi_frames_read(&task);
    return task;
}

/* What holds the hull at every width: the tube of the centre as lines in the width. */
static void set_hold(const zoom *z, twi_task *task, int axis)
{
    const twi_scene *scene = z->scene;
    twi_tube *tube = &task->tube[axis], *lean = &task->lean[axis];
    *tube = twi_tube_new(task->arena, task->n);
    *lean = twi_tube_new(task->arena, task->n);
    for (size_t t = 0; t < task->n; t++) {
        double lo[2] = {0, task->half[axis]}, hi[2] = {twi_scene_room(scene, axis), -task->half[axis]};
        if (twi_box_there(&z->hull[t]))
            twi_scene_lean(scene, &z->hull[t], t, axis, lo, hi);
        tube->lo[t] = lo[0] / z->unit;
        tube->hi[t] = hi[0] / z->unit;
        lean->lo[t] = lo[1];
        lean->hi[t] = hi[1];
    }
}

static twi_task joint_task(const zoom *z, size_t step)
{
    const twi_scene *scene = z->scene;
    twi_task task = twi_task_new(scene, TWI_AXES, z->care);
    task.joint = true;
    task.half[TWI_X] = 0.5;
    task.half[TWI_Y] = 0.5 / scene->shape;
    for (int a = TWI_X; a <= TWI_Y; a++) {
        set_axis(z, &task, a, &z->axis[a].tube, twi_scene_wish(scene, a));
        set_hold(z, &task, a);
        set_room(z, &task, a, 0, twi_scene_room(scene, a));
        task.speed[a] = scene->motion.speeds[step];
    }
    set_axis(z, &task, TWI_W, &z->width, z->wish);
    set_room(z, &task, TWI_W, tw_min(scene->narrowest, scene->widest), scene->widest);
    task.speed[TWI_W] = scene->motion.zoom;
    twi_frames_read(&task);
    return task;
}

/* ---- the width by itself --------------------------------------------------------------------------------- */

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
    z->w = twi_route_new(z->scene->arena, keys);
    z->w.count = keys;
    for (size_t i = 0; i < keys; i++) {
        z->w.t[i] = path[i].t;
        z->w.p[0][i] = path[i].value[0] / z->unit;
    }
    return true;
}

static bool fit_width(zoom *z)
{
    twi_task task = width_task(z);
    twi_route_ease(&task, &z->w);
    if (isinf(twi_fit_all(&task, &z->w).miss))
        return false;
    twi_refine_times(&task, &z->w);
    return twi_fit_holds(&task, &z->w);
}

/* The width by itself at each frame, and what it leaves to the centre. */
static void set_widths(zoom *z)
{
    double *widths = TW_NEW_N(z->scene->arena, double, z->scene->n);
    for (size_t t = 0; t < z->scene->n; t++)
        widths[t] = tw_min(twi_route_at(&z->w, 0, t) * z->unit, z->scene->widest);
    z->scene->widths = widths;
    twi_scene_axes(z->scene, z->axis);
}

/* ---- all three ------------------------------------------------------------------------------------------- */

static centre search_centre(const zoom *z, size_t step)
{
    const twi_scene *scene = z->scene;
    twi_tube tubes[2] = {z->axis[0].tube, z->axis[1].tube};
    twi_keys_job job = {.tubes = tubes, .axes = 2, .link = scene->motion.link};
    centre out = {.known = true};
    job.speed[0] = job.speed[1] = scene->motion.speeds[step] * z->unit;
    if (twi_tube_feasible(&tubes[0], job.speed[0]) && twi_tube_feasible(&tubes[1], job.speed[1]))
        out.keys = twi_keys_fewest(scene->arena, &job, 0, &out.path);
    return out;
}

/* A slower speed's path serves, too, where the hard speed needs no fewer keyframes. */
static const centre *centre_at(zoom *z, size_t step)
{
    centre *own = &z->at[step], *hard = &z->at[TWI_SPEEDS - 1];
    size_t slow = 0;
    while (slow < step && z->at[slow].keys == 0)
        slow++;
    if (slow < step && !own->known) {
        if (!hard->known)
            *hard = search_centre(z, TWI_SPEEDS - 1);
        if (hard->keys == z->at[slow].keys)
            *own = z->at[slow];
    }
    if (!own->known)
        *own = search_centre(z, step);
    return own;
}

/* The times of the width's keyframes and of the fewest of the centre at a speed; false when that speed has none. */
static bool join_times(zoom *z, size_t step, twi_route *out)
{
    size_t link = z->scene->motion.link;
    const centre *c = centre_at(z, step);
    *out = twi_route_new(z->scene->arena, 2 * (z->w.count + c->keys) + 8);
    twi_route_copy(out, &z->w);
    for (size_t k = 0; k < c->keys && c->keys > 1; k++) {
        size_t at = 0, t = c->path[k].t;
        while (at < out->count && out->t[at] <= t)
            at++;
        bool near_left = at > 0 && t - out->t[at - 1] < link;
        bool near_right = at < out->count && out->t[at] - t < link;
        if (!near_left && !near_right)
            twi_route_insert(out, at, t);
    }
    return c->keys > 0;
}

/* Centred windows of the width that was found by itself: within all limits but the tubes. */
static void start_values(const zoom *z, twi_route *route)
{
    for (size_t i = 0; i < route->count; i++) {
        route->p[TWI_W][i] = z->scene->widths[route->t[i]] / z->unit;
        for (int a = TWI_X; a <= TWI_Y; a++)
            route->p[a][i] = twi_scene_room(z->scene, a) / 2 / z->unit;
    }
}

static bool fit_joint(const twi_task *task, twi_route *route)
{
    twi_route_ease(task, route);
    if (isinf(twi_fit_all(task, route).miss))
        return false;
    if (!twi_fit_holds(task, route))
        twi_refine_times(task, route);
    return twi_fit_holds(task, route) || twi_refine_sharpen(task, route, 2) <= TWI_MISS;
}

/* A route and what it took. */
typedef struct joint {
    twi_route route;
    size_t step, joined, eliminated;
} joint;

static bool fit_at(zoom *z, size_t step, joint *out)
{
    out->step = step;
    if (!join_times(z, step, &out->route))
        return false;
    out->joined = out->route.count;
    twi_task task = joint_task(z, step);
    start_values(z, &out->route);
    if (!fit_joint(&task, &out->route))
        return false;
    out->eliminated = twi_refine_fewer(&task, &out->route);
    return true;
}

/* The route with as few keyframes as the hard speed needs, at the slowest speed that needs no more. */
static bool fit_slowest(zoom *z, joint *out)
{
    joint hard, other;
    size_t step = 0;
    while (step < TWI_SPEEDS && !fit_at(z, step, out))
        step++;
    if (step >= TWI_SPEEDS - 1 || out->route.count <= 2)
        return step < TWI_SPEEDS;
    if (!fit_at(z, TWI_SPEEDS - 1, &hard) || hard.route.count >= out->route.count)
        return true;
    while (++step < TWI_SPEEDS - 1) {
        if (!fit_at(z, step, &other) || other.route.count > hard.route.count)
            continue;
        *out = other;
        return true;
    }
    *out = hard;
    return true;
}

/* ---- nice to hold ---------------------------------------------------------------------------------------- */

/* The hull with a nice region in it, and widths for it; false where that is wider than anything allowed. */
static bool take_in(zoom *z, size_t region)
{
    const tw_path_box *boxes = z->scene->boxes[region];
    for (size_t t = 0; t < z->scene->n; t++) {
        tw_path_box *hull = &z->hull[t];
        if (!twi_box_there(&boxes[t]))
            continue;
        *hull = twi_box_around(hull, &boxes[t]);
        z->width.lo[t] = tw_max(z->width.lo[t], need_of(z, t));
        if (z->width.lo[t] > z->width.hi[t] || twi_scene_need(z->scene, hull) > z->scene->widest)
            return false;
    }
    return true;
}

/* Grants the nice regions that cost no keyframe, heaviest first. */
static void grant_nice(zoom *z, size_t step, twi_route *route)
{
    bool *asked = TW_NEW_N(z->scene->arena, bool, z->scene->job->region_count);
    twi_route other = twi_route_new(z->scene->arena, route->cap);
    for (size_t n = 0, region; n < TWI_NICE_MOST && (region = twi_scene_next_nice(z->scene, asked)) != SIZE_MAX; n++) {
        zoom with = *z;
        with.hull = TW_NEW_N(z->scene->arena, tw_path_box, z->scene->n);
        memcpy(with.hull, z->hull, z->scene->n * sizeof *z->hull);
        with.width = twi_tube_copy(z->scene->arena, &z->width);
        if (!take_in(&with, region))
            continue;
        twi_task task = joint_task(&with, step);
        twi_route_copy(&other, route);
        if (!fit_joint(&task, &other))
            continue;
        twi_route_copy(route, &other);
        *z = with;
    }
}

/* ---- keys ------------------------------------------------------------------------------------------------ */

static void write_keys(tw_arena *arena, const zoom *z, const twi_route *route, tw_path_result *out)
{
    out->keys = TW_NEW_N(arena, tw_key, route->count);
    for (size_t i = 0; i < route->count; i++) {
        double value[TWI_AXES];
        for (int a = 0; a < TWI_AXES; a++)
            value[a] = route->p[a][i] * z->unit;
        out->keys[i] = twi_path_key(z->scene, (double)route->t[i], value, route->r[i]);
    }
    out->key_count = twi_path_drop_idle(out->keys, route->count);
    out->reason = TW_PATH_MOVES;
}

static bool solve(tw_arena *arena, zoom *z, tw_path_result *out)
{
    joint j;
    if (!read_widths(z) || !search_width(z) || !fit_width(z))
        return false;
    set_widths(z);
    if (!fit_slowest(z, &j))
        return false;
    grant_nice(z, j.step, &j.route);
    twi_task task = joint_task(z, j.step);
    out->fewest = j.joined;
    out->eliminated = j.eliminated;
    out->settled = twi_refine_rest(&task, &j.route, z->scene);
    write_keys(arena, z, &j.route, out);
    return true;
}

bool twi_solve_zoom(tw_arena *arena, twi_scene *scene, tw_path_result *out)
{
    if (!scene->job->zoom || !(scene->job->subject_fill > 0) || !scene->subject || scene->n < 3)
        return false;
    zoom z = {.scene = scene, .unit = scene->widest, .care = twi_scene_care(scene)};
    z.hull = scene->hull;
    z.width = twi_tube_new(scene->arena, scene->n);
    z.wish = TW_NEW_N(scene->arena, double, scene->n);
    if (solve(arena, &z, out))
        return true;
    scene->widths = NULL;
    return false;
}
