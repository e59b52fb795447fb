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
            own.lo[a] = tw_max(own.lo[a], s->tube[a].lo[t]);
            own.hi[a] = tw_min(own.hi[a], s->tube[a].hi[t]);
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
            s->end[a].lo[t] = last ? s->tube[a].lo[t] : tw_max(s->end[a].lo[t + 1], s->tube[a].lo[t]);
            s->end[a].hi[t] = last ? s->tube[a].hi[t] : tw_min(s->end[a].hi[t + 1], s->tube[a].hi[t]);
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
        c->low[a] = tw_max(c->low[a], (c->at[a] - s->tube[a].hi[t] - s->eps[a]) / dt);
        c->high[a] = tw_min(c->high[a], (c->at[a] - s->tube[a].lo[t] + s->eps[a]) / dt);
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
        double lo = tw_max(b->lo[a], c->at[a] - c->high[a] * dt), hi = tw_min(b->hi[a], c->at[a] - c->low[a] * dt);
        room = tw_min(room, hi - lo);
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

/* What a search may do, and what it did. */
typedef struct limits {
    twi_reach_bound bound;
    size_t boxes;  /* of a layer at a frame */
    double coarse; /* share of a gate that does not matter */
    size_t work, spent;
    const twi_reach *back; /* by axis, for at most so many keyframes; NULL: not known */
    bool bounded;          /* keyframes more than that might help */
} limits;

static void set_limits(const limits *limit, size_t most, twi_reach *s)
{
    s->bound = limit->bound;
    s->most_boxes = limit->boxes;
    s->most_work = limit->work;
    s->most_keys = most;
    for (size_t a = 0; a < s->axes; a++) {
        double width = 0;
        for (size_t t = 0; t < s->n; t++)
            width += (s->tube[a].hi[t] - s->tube[a].lo[t]) / (double)s->n;
        s->near[a] = tw_max(s->eps[a], s->bound == TWI_REACH_INNER ? limit->coarse * width : 0);
        s->grid[a] = s->bound == TWI_REACH_OUTER ? limit->coarse * width : 0;
        s->back[a] = limit->back != NULL ? &limit->back[a] : NULL;
    }
}

/* The number of keyframes, at most `most` (0: any number); 0 when there is no such path, or the work was too much. */
static size_t search(tw_arena *arena, const twi_keys_job *job, size_t most, limits *limit, twi_vertex **out)
{
    tw_arena *scratch = tw_arena_like(arena);
    twi_reach s;
    size_t keys = 0;
    if (twi_reach_init(scratch, job, &s)) {
        set_limits(limit, most, &s);
        last_layer(&s);
        first_layer(&s);
        keys = 1;
        while (
            !s.met) { /* of the last layer allowed nothing is of use but that it meets B, where no path is asked for */
            bool last = out == NULL && keys + 1 == most && s.bound == TWI_REACH_EXACT;
            if (keys == most || !(last ? twi_look_end : twi_look_layer)(&s, (uint32_t)keys) || s.work > s.most_work) {
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
    limit->spent += s.work;
    limit->bounded = s.bounded;
    tw_arena_free(&scratch);
    return keys;
}

#define MOST_WORK 2000000 /* gates and runs of gates: about a second */

/* The fewest keyframes, at most `most` (0: any number), where `least` are known to be needed; 0: there is no such path.
 * Two searches that are not exact: one leaves out what adds little, so it finds a path; one takes in too much, so it
 * proves that there is none with fewer. Where they do not agree, they are repeated with less of that. False when that
 * took too long: then there may be a path with fewer. */
static bool search_bounds(tw_arena *arena, const twi_keys_job *job, size_t least, size_t most, limits *limit,
                          size_t *keys, twi_vertex **out)
{
    limits own = *limit;
    bool agree = false;
    for (; !agree; own.boxes *= 4, own.coarse /= 8) {
        own.bound = TWI_REACH_INNER;
        *keys = search(arena, job, most, &own, out);
        own.bound = TWI_REACH_OUTER;
        agree = *keys > 0 && *keys <= least;
        if (!agree && own.spent > MOST_WORK)
            break;
        agree = agree || search(arena, job, *keys > 0 ? *keys - 1 : most, &own, NULL) == 0;
    }
    limit->spent = own.spent;
    limit->bounded = own.bounded;
    return agree;
}

/* ---- several axes ---------------------------------------------------------------------------------------- */

static twi_tube reversed(tw_arena *arena, const twi_tube *tube)
{
    twi_tube out = twi_tube_new(arena, tube->n);
    for (size_t t = 0; t < tube->n; t++) {
        out.lo[t] = tube->lo[tube->n - 1 - t];
        out.hi[t] = tube->hi[tube->n - 1 - t];
    }
    return out;
}

/* Each axis by itself, from the last frame back: how many keyframes every value still needs at least. */
typedef struct back {
    twi_reach axis[TWI_AXES];
    uint32_t layers[TWI_AXES];
} back;

/* As many layers as paths of `keys` keyframes have. */
static void look_back(back *b, size_t axes, size_t keys)
{
    for (size_t a = 0; a < axes; a++)
        while (b->layers[a] < keys && twi_look_layer(&b->axis[a], b->layers[a]))
            b->layers[a]++;
}

/* The fewest keyframes of the axis that needs most; 0 when one of them has no path. */
static size_t most_of_axes(tw_arena *scratch, const twi_keys_job *job, back *b)
{
    size_t most = 1;
    for (size_t a = 0; a < job->axes; a++) {
        twi_tube tube = reversed(scratch, &job->tubes[a]);
        twi_keys_job own = {.tubes = &tube, .axes = 1, .speed = {job->speed[a]}, .link = job->link};
        if (!twi_reach_init(scratch, &own, &b->axis[a]))
            return 0;
        last_layer(&b->axis[a]);
        first_layer(&b->axis[a]);
        for (b->layers[a] = 1; !b->axis[a].met; b->layers[a]++)
            if (!twi_look_layer(&b->axis[a], b->layers[a]))
                return 0;
        most = b->layers[a] > most ? b->layers[a] : most;
    }
    return most;
}

#define MOST_FAILS 3

/* No fewer than one of the axes needs by itself; mostly no more. */
static size_t search_axes(tw_arena *arena, const twi_keys_job *job, size_t most, twi_vertex **out)
{
    tw_arena *scratch = tw_arena_like(arena);
    back b;
    limits limit = {.back = b.axis, .boxes = 1, .coarse = 0.005, .work = SIZE_MAX}, free = limit;
    free.back = NULL;
    free.boxes = 4;
    size_t least = most_of_axes(scratch, job, &b), found = 0, any = 0;
    for (size_t keys = least; least > 0 && (most == 0 || keys <= most); keys++) {
        look_back(&b, job->axes, keys);
        if (any == keys) {
            found = any;
            break;
        }
        bool proved = search_bounds(arena, job, keys, keys, &limit, &found, out);
        if (found > 0 || (proved && !limit.bounded))
            break;
        if (any == 0 && (!proved || keys == least + MOST_FAILS)) {
            search_bounds(arena, job, keys + 1, most, &free, &any, out); /* is there one at all? */
            if (any == 0 || !proved) {
                found = any;
                break;
            }
        }
    }
    tw_arena_free(&scratch);
    return found;
}

#define FRAME_WORK 64 /* gates and runs of gates per frame: few shots of one axis need more */

size_t twi_keys_fewest(tw_arena *arena, const twi_keys_job *job, size_t most, twi_vertex **out)
{
    if (job->axes > 1 && !job->whole)
        return search_axes(arena, job, most, out);
    limits all = {.bound = TWI_REACH_EXACT, .work = job->whole ? SIZE_MAX : FRAME_WORK * job->tubes[0].n};
    size_t keys = search(arena, job, most, &all, out);
    if (all.spent <= all.work)
        return keys;
    limits some = {.boxes = 1, .coarse = 0.005, .work = SIZE_MAX};
    all.work = SIZE_MAX;
    return search_bounds(arena, job, 1, most, &some, &keys, out) ? keys : search(arena, job, most, &all, out);
}
