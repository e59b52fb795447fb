/* SPDX-License-Identifier: Apache-2.0
 *
 * The moving path: fewest keyframes, slowest speed that keeps their number, best values (solver.md 3.4 - 3.10).
 */
#include "frames.h"
#include "keys.h"
#include "refine.h"

#include "region.h"

#define SPARE_KEYS 2 /* more keyframes than the straight path needs, before corners are left sharp */

/* The axes that can move, in pixels. */
typedef struct plot {
    twi_scene *scene;
    const twi_axis *axis; /* both */
    int which[2];         /* of free axis i: x or y */
    twi_tube tube[2];     /* of free axis i */
    size_t count;
    size_t link;
    twi_vertex *path;
    size_t keys;
    size_t known; /* step of the ladder for which `path` is the answer; TWI_SPEEDS: none */
} plot;

static plot plot_of(twi_scene *scene, const twi_axis axes[2])
{
    plot p = {.scene = scene, .axis = axes};
    for (int a = TWI_X; a <= TWI_Y; a++) {
        if (axes[a].pinned)
            continue;
        p.which[p.count] = a;
        p.tube[p.count++] = axes[a].tube;
    }
    return p;
}

static double speed_of(const plot *p, size_t step)
{
    return p->scene->motion.speeds[step] * p->scene->width;
}

static bool feasible(const plot *p, size_t step)
{
    for (size_t i = 0; i < p->count; i++)
        if (!twi_tube_feasible(&p->tube[i], speed_of(p, step)))
            return false;
    return true;
}

/* The slowest speed of the ladder at which there is a path; TWI_SPEEDS when there is none. */
static size_t first_feasible(const plot *p)
{
    size_t step = 0;
    while (step < TWI_SPEEDS && !feasible(p, step))
        step++;
    return step;
}

/* Gives up the inset for a while around the frames in which x leaves the tube: corners need room, too. */
static void open_around(const plot *p, twi_tube *tube, const twi_tube *bare, const double *x)
{
    size_t n = tube->n, reach = p->scene->motion.hold, last = SIZE_MAX, done = 0;
    bool *outside = TW_NEW_N(p->scene->arena, bool, n);
    for (size_t t = 0; t < n; t++)
        outside[t] = x[t] < tube->lo[t] - TWI_DIGIT || x[t] > tube->hi[t] + TWI_DIGIT;
    for (size_t t = 0; t < n; t++) {
        if (!outside[t])
            continue;
        size_t from = t > reach ? t - reach : 0;
        last = t + reach < n - 1 ? t + reach : n - 1;
        for (size_t u = from > done ? from : done; u <= last; u++) {
            tube->lo[u] = tw_min(tube->lo[u], bare->lo[u]);
            tube->hi[u] = tw_max(tube->hi[u], bare->hi[u]);
        }
        done = last + 1;
    }
    for (size_t t = 0; t < n; t++) {
        tube->lo[t] = tw_min(tube->lo[t], x[t]);
        tube->hi[t] = tw_max(tube->hi[t], x[t]);
    }
}

/* Opens the tubes for a path of that speed that misses `bare` (the tubes without inset) as little as can be and, after
 * that, the tubes themselves. Every path in the result misses `bare` no more than that one in any frame. */
static void open_tubes(plot *p, const plot *bare, size_t step)
{
    const double *care = twi_scene_care(p->scene);
    double *x = TW_NEW_N(p->scene->arena, double, p->scene->n);
    for (size_t i = 0; i < p->count; i++) {
        const twi_gate gates[] = {{&bare->tube[i], care, 1}, {&p->tube[i], care, 1e-3}};
        twi_cut_least(p->scene->arena, gates, 2, speed_of(p, step), x);
        open_around(p, &p->tube[i], &bare->tube[i], x);
    }
}

static plot plot_without_inset(twi_scene *scene, twi_axis axes[2])
{
    scene->inset_share = 0;
    twi_scene_axes(scene, axes);
    scene->inset_share = 1;
    return plot_of(scene, axes);
}

/* What yields first is the inset, then the width, then the speed; a must region is cut last (3.5). */
static void make_feasible(plot *p, twi_axis axes[2])
{
    twi_scene *scene = p->scene;
    size_t wanted = first_feasible(p);
    if (wanted == 0)
        return;
    twi_axis without[2];
    plot bare = plot_without_inset(scene, without);
    if (!feasible(&bare, TWI_SPEEDS - 1) && scene->width < scene->widest) {
        scene->width = scene->widest;
        twi_scene_axes(scene, axes);
        *p = plot_of(scene, axes);
        wanted = first_feasible(p);
        bare = plot_without_inset(scene, without);
    }
    size_t least = first_feasible(&bare);
    if (wanted > least || wanted == TWI_SPEEDS)
        open_tubes(p, &bare, least < TWI_SPEEDS ? least : TWI_SPEEDS - 1);
}

static twi_keys_job job_of(const plot *p, const twi_tube *tubes, size_t step)
{
    twi_keys_job job = {.tubes = tubes, .axes = p->count, .link = p->link};
    for (size_t i = 0; i < p->count; i++)
        job.speed[i] = speed_of(p, step) * (1 + 1e-9);
    return job;
}

static size_t search(plot *p, const twi_tube *tubes, size_t step, size_t most)
{
    const twi_keys_job job = job_of(p, tubes, step);
    twi_vertex *path = NULL;
    size_t keys = twi_keys_fewest(p->scene->arena, &job, most, &path);
    if (keys > 0)
        p->path = path;
    return keys;
}

/* The fewest keyframes at the hard speed. The slowest speed that has a path at all mostly needs no more: then there is
 * little left to search for. */
static size_t fewest_of(plot *p)
{
    size_t slow = first_feasible(p), keys = slow < TWI_SPEEDS ? search(p, p->tube, slow, 0) : 0;
    p->known = keys > 0 ? slow : TWI_SPEEDS;
    if (keys == 1 || (keys > 0 && slow == TWI_SPEEDS - 1))
        return keys;
    const twi_keys_job job = job_of(p, p->tube, TWI_SPEEDS - 1);
    if (keys > 0 && twi_keys_fewest(p->scene->arena, &job, keys - 1, NULL) == 0)
        return keys;
    size_t fast = search(p, p->tube, TWI_SPEEDS - 1, keys > 0 ? keys - 1 : 0);
    if (fast == 0)
        return keys;
    p->known = TWI_SPEEDS - 1;
    return fast;
}

/* Links as long as wanted where there is such a path; a must region is not given up for them. */
static void count_keys(plot *p)
{
    for (p->link = p->scene->motion.link;; p->link = p->link / 2 > 0 ? p->link / 2 : 1) {
        p->keys = fewest_of(p);
        if (p->keys > 0 || p->link == 1)
            return;
    }
}

/* ---- nice to hold ---------------------------------------------------------------------------------------- */

/* The tubes with a nice region held, too; false where that leaves nothing. */
static bool narrowed(const plot *p, size_t region, twi_tube out[2])
{
    for (size_t i = 0; i < p->count; i++) {
        out[i] = twi_tube_copy(p->scene->arena, &p->tube[i]);
        for (size_t t = 0; t < p->scene->n; t++) {
            double lo, hi;
            if (!twi_scene_hold(p->scene, region, t, p->which[i], &lo, &hi))
                continue;
            out[i].lo[t] = tw_max(out[i].lo[t], lo);
            out[i].hi[t] = tw_min(out[i].hi[t], hi);
            if (out[i].lo[t] > out[i].hi[t])
                return false;
        }
    }
    return true;
}

/* Grants nice regions that cost no keyframe. */
static void grant_nice(plot *p)
{
    bool *asked = TW_NEW_N(p->scene->arena, bool, p->scene->job->region_count);
    for (size_t n = 0, region; n < TWI_NICE_MOST && (region = twi_scene_next_nice(p->scene, asked)) != SIZE_MAX; n++) {
        twi_tube tubes[2];
        if (!narrowed(p, region, tubes))
            continue;
        if (search(p, tubes, TWI_SPEEDS - 1, p->keys) != p->keys)
            continue;
        memcpy(p->tube, tubes, sizeof p->tube);
        p->known = TWI_SPEEDS - 1;
    }
}

/* ---- values ---------------------------------------------------------------------------------------------- */

static twi_task task_of(const plot *p)
{
    const twi_scene *scene = p->scene;
    tw_arena *arena = scene->arena;
    double w = scene->width;
    twi_task task = twi_task_new(scene, p->count, twi_scene_care(scene));
    task.link = p->link;
    for (size_t i = 0; i < p->count; i++) {
        double *wish = twi_scene_wish(scene, p->which[i]), half = twi_scene_side(scene, 0, p->which[i]) / 2;
        task.tube[i] = twi_tube_copy(arena, &p->tube[i]);
        task.room[i] = twi_tube_new(arena, scene->n);
        for (size_t t = 0; t < scene->n; t++) {
            task.tube[i].lo[t] /= w;
            task.tube[i].hi[t] /= w;
            task.room[i].lo[t] = half / w;
            task.room[i].hi[t] = (twi_scene_room(scene, p->which[i]) - half) / w;
            wish[t] /= w;
        }
        task.wish[i] = wish;
    }
    twi_frames_read(&task);
    return task;
}

static void start_route(const plot *p, const twi_task *task, twi_route *route)
{
    route->count = p->keys;
    for (size_t i = 0; i < p->keys; i++) {
        route->t[i] = p->path[i].t;
        route->flat[i] = false;
        route->shrink[i] = 0;
        for (size_t a = 0; a < p->count; a++)
            route->p[a][i] = p->path[i].value[a] / p->scene->width;
    }
    twi_route_ease(task, route);
}

/* Eases the straight path at a speed: moved times, then sharper corners. */
static bool ease_path(const plot *p, const twi_task *task, twi_route *route)
{
    start_route(p, task, route);
    twi_score score = twi_fit_all(task, route);
    if (!isinf(score.miss) && twi_fit_holds(task, route))
        return true;
    if (!isinf(score.miss))
        twi_refine_times(task, route);
    if (twi_fit_holds(task, route))
        return true;
    return twi_refine_sharpen(task, route, 2) <= TWI_MISS;
}

/* The straight path itself when nothing eased will do: corners as sharp as they have to be, any acceleration. */
static void sharp_path(const plot *p, twi_task *task, twi_route *route)
{
    task->accel = INFINITY;
    start_route(p, task, route);
    twi_fit_all(task, route);
    if (!twi_fit_holds(task, route))
        twi_refine_sharpen(task, route, 5);
    if (twi_fit_holds(task, route))
        return;
    start_route(p, task, route);
    for (size_t i = 0; i < route->count; i++)
        route->shrink[i] = 5;
    twi_route_ease(task, route);
}

static void set_speed(const plot *p, twi_task *task, size_t step)
{
    for (size_t i = 0; i < p->count; i++)
        task->speed[i] = p->scene->motion.speeds[step];
}

/* Eases a path of at most `most` keyframes at the slowest speed that allows it. */
static bool ease_slowest(plot *p, twi_task *task, twi_route *route, size_t most)
{
    for (size_t step = 0; step < TWI_SPEEDS; step++) {
        if (!feasible(p, step))
            continue;
        size_t keys = step == p->known ? p->keys : search(p, p->tube, step, most);
        if (keys == 0)
            continue;
        p->keys = keys;
        p->known = step;
        set_speed(p, task, step);
        if (ease_path(p, task, route))
            return true;
    }
    return false;
}

/* ---- keys ------------------------------------------------------------------------------------------------ */

static void write_keys(tw_arena *arena, const plot *p, const twi_route *route, tw_path_result *out)
{
    double value[TWI_AXES] = {p->axis[0].still, p->axis[1].still, p->scene->width};
    out->keys = TW_NEW_N(arena, tw_key, route->count);
    for (size_t i = 0; i < route->count; i++) {
        for (size_t a = 0; a < p->count; a++)
            value[p->which[a]] = route->p[a][i] * p->scene->width;
        out->keys[i] = twi_path_key(p->scene, (double)route->t[i], value, route->r[i]);
    }
    out->key_count = twi_path_drop_idle(out->keys, route->count);
    if (out->key_count == 1)
        out->keys[0].ease = 0;
}

void twi_solve_moves(tw_arena *arena, twi_scene *scene, twi_axis axes[2], tw_path_result *out)
{
    plot p = plot_of(scene, axes);
    make_feasible(&p, axes);
    if (p.count > 0)
        count_keys(&p);
    if (p.keys == 0) { /* cannot be, but for numbers at the end of their precision */
        twi_scene_axes(scene, axes);
        twi_solve_still(arena, scene, axes, out);
        return;
    }
    grant_nice(&p);
    size_t fewest = p.keys;
    twi_task task = task_of(&p);
    twi_route route = twi_route_new(scene->arena, 2 * (fewest + SPARE_KEYS) + 8);
    bool eased = false;
    for (size_t spare = 0; spare <= SPARE_KEYS && !eased; spare++)
        eased = ease_slowest(&p, &task, &route, fewest + spare);
    if (!eased) {
        p.keys = search(&p, p.tube, TWI_SPEEDS - 1, fewest);
        set_speed(&p, &task, TWI_SPEEDS - 1);
        sharp_path(&p, &task, &route);
    }
    out->fewest = fewest;
    if (twi_fit_holds(&task, &route)) {
        out->eliminated = twi_refine_fewer(&task, &route);
        out->settled = twi_refine_rest(&task, &route, scene);
    }
    out->reason = TW_PATH_MOVES;
    write_keys(arena, &p, &route, out);
}
