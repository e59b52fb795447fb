/* SPDX-License-Identifier: Apache-2.0
 *
 * The fewest keyframes of a straight-line path through the tubes of up to three axes with shared times (solver.md 3.7).
 * F_k(t), the values reachable as k-th keyframe at frame t, is a list of boxes; F_{k+1} is what lines out of F_k reach.
 */
#include "keys.h"

#include "look.h"

/* ---- both ends ------------------------------------------------------------------------------------------- */

static void first_layer(twi_reach *s)
{
    twi_reach_box own = {.layer = 1};
    for (size_t a = 0; a < s->axes; a++) {
        own.lo[a] = -INFINITY;
        own.hi[a] = INFINITY;
    }
    for (size_t t = 0; t < s->n; t++) {
        for (size_t a = 0; a < s->axes; a++) {
            own.lo[a] = fmax(own.lo[a], s->tube[a].lo[t]);
            own.hi[a] = fmin(own.hi[a], s->tube[a].hi[t]);
            if (own.lo[a] > own.hi[a] + s->eps[a])
                return;
        }
        twi_reach_insert(s, t, own);
    }
}

static void last_layer(twi_reach *s)
{
    s->end_from = s->n;
    for (size_t t = s->n; t-- > 0; s->end_from = t) {
        for (size_t a = 0; a < s->axes; a++) {
            bool last = t + 1 == s->n;
            s->end[a].lo[t] = last ? s->tube[a].lo[t] : fmax(s->end[a].lo[t + 1], s->tube[a].lo[t]);
            s->end[a].hi[t] = last ? s->tube[a].hi[t] : fmin(s->end[a].hi[t + 1], s->tube[a].hi[t]);
            if (s->end[a].lo[t] > s->end[a].hi[t] + s->eps[a])
                return;
        }
    }
}

/* ---- the way back ---------------------------------------------------------------------------------------- */

/* Lines through one point, going back in time. */
typedef struct cone {
    size_t t;
    double at[TWI_AXES], low[TWI_AXES], high[TWI_AXES]; /* value; slopes */
} cone;

static bool narrow(const twi_reach *s, cone *c, size_t t)
{
    double dt = (double)(c->t - t);
    for (size_t a = 0; a < s->axes; a++) {
        c->low[a] = fmax(c->low[a], (c->at[a] - s->tube[a].hi[t] - s->eps[a]) / dt);
        c->high[a] = fmin(c->high[a], (c->at[a] - s->tube[a].lo[t] + s->eps[a]) / dt);
        if (c->low[a] > c->high[a])
            return false;
    }
    return true;
}

/* What of a box the cone sees: the least extent, and the middle. */
static double room_in(const twi_reach *s, const cone *c, size_t t, const twi_reach_box *b, double *middle)
{
    double room = INFINITY, dt = (double)(c->t - t);
    for (size_t a = 0; a < s->axes; a++) {
        double lo = fmax(b->lo[a], c->at[a] - c->high[a] * dt), hi = fmin(b->hi[a], c->at[a] - c->low[a] * dt);
        room = fmin(room, hi - lo);
        middle[a] = lo + (hi - lo) / 2;
    }
    return room;
}

/* Moves the cone's tip to the roomiest box of at most `layer` keyframes that it sees. */
static void step_back(const twi_reach *s, cone *c, uint32_t layer)
{
    double best = -INFINITY, middle[TWI_AXES], value[TWI_AXES] = {0};
    size_t at = c->t > 0 ? c->t - 1 : 0;
    for (size_t t = c->t; t-- > 0;) {
        if (!narrow(s, c, t))
            break;
        if (c->t - t < s->link)
            continue;
        for (uint32_t i = s->first[t]; i != TWI_NONE; i = s->boxes[i].next) {
            double room = s->boxes[i].layer <= layer ? room_in(s, c, t, &s->boxes[i], middle) : -INFINITY;
            if (room <= best)
                continue;
            best = room;
            at = t;
            memcpy(value, middle, sizeof value);
        }
    }
    c->t = at;
    memcpy(c->at, value, sizeof value);
}

static void walk_back(const twi_reach *s, size_t keys, twi_vertex *out)
{
    cone c = {.t = s->meet_at};
    memcpy(c.at, s->meet, sizeof c.at);
    for (size_t k = keys; k > 0; k--) {
        out[k - 1].t = c.t;
        memcpy(out[k - 1].value, c.at, sizeof c.at);
        for (size_t a = 0; a < s->axes; a++) {
            c.low[a] = -s->speed[a];
            c.high[a] = s->speed[a];
        }
        if (k > 1)
            step_back(s, &c, (uint32_t)k - 1);
    }
}

/* ---- all together ---------------------------------------------------------------------------------------- */

/* How many boxes of a layer at a frame, and how much work; what was done of it. */
typedef struct limits {
    twi_reach_bound bound;
    size_t boxes, work, spent;
} limits;

/* The number of keyframes; 0 when there is no such path, or the work was too much. */
static size_t search(tw_arena *arena, const twi_keys_job *job, size_t most, limits *limit, twi_vertex **out)
{
    tw_arena *scratch = tw_arena_like(arena);
    twi_reach s;
    size_t keys = 0;
    if (twi_reach_init(scratch, job, &s)) {
        s.bound = limit->bound;
        s.most_boxes = limit->boxes;
        s.most_work = limit->work;
        last_layer(&s);
        first_layer(&s);
        keys = 1;
        while (!s.met) {
            if ((most > 0 && keys == most) || !twi_look_layer(&s, (uint32_t)keys) || s.work > s.most_work) {
                keys = 0;
                break;
            }
            keys++;
        }
    }
    if (keys > 0 && out != NULL) {
        *out = TW_NEW_N(arena, twi_vertex, keys);
        walk_back(&s, keys, *out);
    }
    limit->spent = s.work;
    tw_arena_free(&scratch);
    return keys;
}

#define MUCH_WORK 100000 /* tens of milliseconds */
#define MOST_WORK 4000000
#define FEW_BOXES 4

/* Two searches that never have many boxes: one that leaves out the smallest finds a path, one that makes few of many
 * proves that there is none with fewer keyframes. Where the two do not agree, they are repeated with more boxes. That
 * ends after seconds, for shots of many minutes: what is found then may have more keyframes than need be. */
static size_t search_bounds(tw_arena *arena, const twi_keys_job *job, size_t most, twi_vertex **out)
{
    limits inner = {TWI_REACH_INNER, FEW_BOXES, SIZE_MAX, 0}, outer = {TWI_REACH_OUTER, FEW_BOXES, SIZE_MAX, 0};
    for (;; inner.boxes *= 4, outer.boxes *= 4) {
        size_t keys = search(arena, job, most, &inner, out);
        if (keys == 1 || search(arena, job, keys > 0 ? keys - 1 : most, &outer, NULL) == 0)
            return keys;
        if (inner.spent + outer.spent > MOST_WORK)
            return keys;
    }
}

size_t twi_keys_fewest(tw_arena *arena, const twi_keys_job *job, size_t most, twi_vertex **out)
{
    limits all = {TWI_REACH_EXACT, 0, job->axes > 1 ? MUCH_WORK : SIZE_MAX, 0};
    if (job->work > 0)
        all.work = job->work;
    size_t keys = search(arena, job, most, &all, out);
    return all.spent > all.work ? search_bounds(arena, job, most, out) : keys;
}
