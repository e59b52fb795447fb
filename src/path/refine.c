/* SPDX-License-Identifier: Apache-2.0 */
#include "refine.h"

#define AROUND 2 /* keys refitted on both sides of one that is changed */

bool twi_score_better(const twi_score *a, const twi_score *b)
{
    if (b->miss > TWI_MISS)
        return a->miss < b->miss * (1 - 1e-6) - 1e-9;
    return a->miss <= TWI_MISS && a->cost < b->cost * (1 - 1e-6) - 1e-9;
}

/* Keys that are refitted together. */
typedef struct window {
    size_t first, last;
} window;

static window around(const twi_route *route, size_t low, size_t high)
{
    return (window){low > AROUND ? low - AROUND : 0, high + AROUND < route->count ? high + AROUND : route->count - 1};
}

static twi_score fit_around(const twi_task *task, twi_route *route, size_t low, size_t high, const twi_score *than)
{
    const window w = around(route, low, high);
    return twi_fit_better(task, route, w.first, w.last, than);
}

static const twi_score any_score = {INFINITY, INFINITY};

/* ---- times ----------------------------------------------------------------------------------------------- */

static bool may_move(const twi_task *task, const twi_route *route, size_t i, size_t t)
{
    if (t >= task->n)
        return false;
    if (i > 0 && t < route->t[i - 1] + task->link)
        return false;
    return i + 1 >= route->count || t + task->link <= route->t[i + 1];
}

/* Tries keyframe i `step` frames on; keeps it when better than `best`. */
static bool try_move(const twi_task *task, twi_route routes[2], size_t i, int64_t step, twi_score *best)
{
    twi_route *route = &routes[0], *other = &routes[1];
    int64_t t = (int64_t)route->t[i] + step;
    if (t < 0 || !may_move(task, route, i, (size_t)t))
        return false;
    twi_route_copy(other, route);
    other->t[i] = (size_t)t;
    twi_route_ease(task, other);
    twi_score now = fit_around(task, other, i, i, best);
    if (!twi_score_better(&now, best))
        return false;
    twi_route kept = *route;
    routes[0] = *other;
    routes[1] = kept;
    *best = now;
    return true;
}

static size_t longest_link(const twi_task *task, const twi_route *route)
{
    size_t most = route->t[0];
    for (size_t i = 0; i + 1 < route->count; i++)
        most = route->t[i + 1] - route->t[i] > most ? route->t[i + 1] - route->t[i] : most;
    size_t end = task->n - 1 - route->t[route->count - 1];
    return most > end ? most : end;
}

void twi_refine_times(const twi_task *task, twi_route *route)
{
    twi_route routes[2] = {*route, twi_route_new(task->arena, route->cap)};
    size_t step = longest_link(task, route) / 4;
    window known = {1, 0}; /* whose fit is the best so far */
    twi_score best = any_score;
    for (step = step > task->n / 8 ? task->n / 8 : step; step > 0; step /= 2) {
        for (size_t i = 0; i < route->count; i++) {
            const window own = around(&routes[0], i, i);
            if (own.first != known.first || own.last != known.last)
                best = twi_fit(task, &routes[0], own.first, own.last);
            known = own;
            size_t moved = 0;
            while (moved < 3 && try_move(task, routes, i, (int64_t)step, &best))
                moved++;
            for (size_t again = 0; moved == 0 && again < 3; again++)
                if (!try_move(task, routes, i, -(int64_t)step, &best))
                    break;
        }
    }
    *route = routes[0];
}

/* ---- fewer keys ------------------------------------------------------------------------------------------ */

/* The furthest that an eased corner lies from its key: no faster bend than that is left to it (solver.md 2). */
static double furthest_corner(const twi_task *task)
{
    double speed = 0;
    for (size_t a = 0; a < task->axes; a++)
        speed = tw_max(speed, task->speed[a]);
    return tw_min(2 * speed, 2 * task->ease * task->accel) * task->ease / 4;
}

/* Tries key i `move` frames on, its corner halved `sharper` times; keeps it when the window of keys misses less. */
static bool try_change(const twi_task *task, twi_route routes[2], const window *own, size_t i, int64_t move,
                       unsigned sharper, twi_score *best)
{
    int64_t t = (int64_t)routes[0].t[i] + move;
    if (t < 0 || !may_move(task, &routes[0], i, (size_t)t))
        return false;
    twi_route_copy(&routes[1], &routes[0]);
    routes[1].t[i] = (size_t)t;
    routes[1].shrink[i] = (unsigned char)(routes[1].shrink[i] + sharper);
    twi_route_ease(task, &routes[1]);
    twi_score now = twi_fit_better(task, &routes[1], own->first, own->last, best);
    if (!twi_score_better(&now, best))
        return false;
    twi_route kept = routes[0];
    routes[0] = routes[1];
    routes[1] = kept;
    *best = now;
    return true;
}

#define SHARPEST 2 /* a quarter of the corner */

/* A key was taken out before number i, and the refit misses: can its neighbours make up for it at other times, with
 * sharper corners? Fits of all axes at once are too dear to be asked so often. */
static bool move_neighbours(const twi_task *task, twi_route routes[2], size_t i)
{
    size_t count = routes[0].count, low = i > 2 ? i - 2 : 0, high = i + 1 < count ? i + 1 : count - 1;
    const window own = around(&routes[0], low, high);
    twi_score best = twi_fit(task, &routes[0], own.first, own.last);
    size_t most = longest_link(task, &routes[0]) / 4, corner = (size_t)task->ease;
    most = most < corner ? most : corner;
    double far = furthest_corner(task);
    for (size_t step = most > 0 ? most : 1; step > 0 && best.miss <= far; step /= 2) {
        for (size_t k = low; k <= high; k++) {
            for (int side = -1; side <= 1; side += 2)
                for (size_t moves = 0; moves < 3 && best.miss > TWI_MISS; moves++)
                    if (!try_change(task, routes, &own, k, side * (int64_t)step, 0, &best))
                        break;
            for (unsigned sharper = 1; step == 1 && sharper <= SHARPEST && best.miss > TWI_MISS; sharper++)
                if (routes[0].shrink[k] + sharper <= SHARPEST)
                    try_change(task, routes, &own, k, 0, sharper, &best);
        }
        if (best.miss <= TWI_MISS)
            return true;
    }
    return false;
}

size_t twi_refine_eliminate(const twi_task *task, twi_route *route)
{
    twi_route routes[2] = {twi_route_new(task->arena, route->cap), twi_route_new(task->arena, route->cap)};
    size_t gone = 0;
    for (size_t i = 0; i < route->count && route->count > 1;) {
        twi_route_copy(&routes[0], route);
        twi_route_remove(&routes[0], i);
        twi_route_ease(task, &routes[0]);
        size_t next = i < routes[0].count ? i : routes[0].count - 1;
        twi_score now = fit_around(task, &routes[0], i > 0 ? i - 1 : 0, next, &any_score);
        if (now.miss <= TWI_MISS || (isfinite(now.miss) && !task->joint && move_neighbours(task, routes, i))) {
            twi_route_copy(route, &routes[0]);
            gone++;
            i = i > 0 ? i - 1 : 0;
        } else {
            i++;
        }
    }
    return gone;
}

size_t twi_refine_fewer(const twi_task *task, twi_route *route)
{
    twi_refine_times(task, route);
    size_t gone = twi_refine_eliminate(task, route);
    if (gone > 0)
        twi_refine_times(task, route);
    return gone;
}

/* ---- rests ----------------------------------------------------------------------------------------------- */

/* Makes inner links rest where that is possible. */
static void snap(const twi_task *task, twi_route *route)
{
    twi_route other = twi_route_new(task->arena, route->cap);
    for (size_t i = 1; i + 2 < route->count; i++) {
        if (route->flat[i] || route->flat[i - 1] || route->flat[i + 1])
            continue;
        twi_route_copy(&other, route);
        other.flat[i] = true;
        twi_score now = fit_around(task, &other, i, i + 1, &any_score);
        if (now.miss <= TWI_MISS)
            twi_route_copy(route, &other);
    }
}

typedef struct split {
    size_t corner, before, after; /* the rest reaches from t - before to t + after */
    double speed;
} split;

/* Window widths per frame. */
static double steepest(const twi_task *task, const twi_route *r, size_t link)
{
    double most = 0, width = task->joint ? tw_min(r->p[TWI_W][link], r->p[TWI_W][link + 1]) : 1;
    for (size_t a = 0; a < task->axes; a++)
        most = tw_max(most, fabs(r->p[a][link + 1] - r->p[a][link]) / (double)(r->t[link + 1] - r->t[link]));
    return most / width;
}

/* Puts the rest into a copy; false when it does not fit or costs more than `most`. */
static bool try_split(const twi_task *task, const twi_route *route, const split *s, double most, twi_route *other,
                      twi_score *now)
{
    size_t i = s->corner, t = route->t[i];
    if (t < route->t[i - 1] + task->link + s->before || t + s->after + task->link > route->t[i + 1])
        return false;
    twi_route_copy(other, route);
    twi_route_insert(other, i + 1, t + s->after);
    other->t[i] = t - s->before;
    other->flat[i] = true;
    twi_route_ease(task, other);
    *now = fit_around(task, other, i, i + 1, &(twi_score){0, most});
    return now->miss <= TWI_MISS && now->cost <= most && steepest(task, other, i - 1) <= s->speed &&
           steepest(task, other, i + 1) <= s->speed;
}

/* The best rest at corner i that passes; true when there is one. */
static bool best_split(const twi_task *task, const twi_route *route, split s, size_t hold, twi_route routes[2])
{
    static const double lengths[] = {1, 1.5, 2, 3, 4, 6}, shares[] = {0.5, 0.25, 0.75, 0, 1};
    twi_route_copy(&routes[0], route);
    double most = fit_around(task, &routes[0], s.corner, s.corner, &any_score).cost * 1.1 + 1e-9, best = most;
    bool found = false;
    bool passes = true; /* where a short rest does not, a longer one will not */
    for (size_t l = 0; l < TW_COUNT(lengths) && passes; l++) {
        passes = false;
        for (size_t k = 0; k < TW_COUNT(shares); k++) {
            twi_score now;
            size_t length = (size_t)(lengths[l] * (double)hold);
            s.before = (size_t)(shares[k] * (double)length);
            s.after = length - s.before;
            if (!try_split(task, route, &s, most, &routes[1], &now))
                continue;
            passes = true;
            if (now.cost >= best)
                continue;
            best = now.cost;
            found = true;
            twi_route_copy(&routes[0], &routes[1]);
        }
    }
    return found;
}

/* Splits moving corners into a rest of at least `hold` frames where the path stays as good; no faster than `speed`
 * beside it; returns how many keys that added. */
static size_t settle(const twi_task *task, twi_route *route, size_t hold, double speed)
{
    twi_route routes[2] = {twi_route_new(task->arena, route->cap), twi_route_new(task->arena, route->cap)};
    size_t added = 0;
    for (size_t i = 1; i + 1 < route->count && route->count < route->cap; i++) {
        if (route->flat[i - 1] || route->flat[i])
            continue;
        split s = {.corner = i, .speed = speed};
        if (!best_split(task, route, s, hold, routes))
            continue;
        twi_route_copy(route, &routes[0]);
        added++;
        i++;
    }
    return added;
}

/* ---- sharper corners ------------------------------------------------------------------------------------- */

double twi_refine_sharpen(const twi_task *task, twi_route *route, unsigned most)
{
    double miss;
    size_t worst = twi_fit_worst(task, route, &miss);
    for (size_t tries = 0; tries < (size_t)most * route->count + 8 && miss > TWI_MISS; tries++) {
        size_t left = twi_route_key(route, worst), right = left + 1 < route->count ? left + 1 : left;
        bool changed = false;
        for (size_t i = left > 0 ? left - 1 : 0; i <= right; i++) {
            if (route->shrink[i] >= most)
                continue;
            route->shrink[i]++;
            changed = true;
        }
        if (!changed)
            break;
        twi_route_ease(task, route);
        fit_around(task, route, left, right, &any_score);
        worst = twi_fit_worst(task, route, &miss);
    }
    return miss;
}

/* Gives corners that were sharpened their length back where that holds. */
static void soften(const twi_task *task, twi_route *route)
{
    twi_route other = twi_route_new(task->arena, route->cap);
    for (size_t i = 0; i < route->count; i++) {
        while (route->shrink[i] > 0) {
            twi_route_copy(&other, route);
            other.shrink[i]--;
            twi_route_ease(task, &other);
            twi_score now = fit_around(task, &other, i, i, &any_score);
            if (now.miss > TWI_MISS)
                break;
            twi_route_copy(route, &other);
        }
    }
}

size_t twi_refine_rest(const twi_task *task, twi_route *route, const twi_scene *scene)
{
    const twi_motion *motion = &scene->motion;
    soften(task, route);
    snap(task, route);
    return scene->job->params.no_settle ? 0 : settle(task, route, motion->hold, motion->speeds[2]);
}
