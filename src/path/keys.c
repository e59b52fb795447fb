/* SPDX-License-Identifier: Apache-2.0
 *
 * The fewest keyframes of a straight-line path through the tubes of up to three axes with shared times (solver.md 3.7).
 * F_k(t), the values reachable as k-th keyframe at frame t, is a list of boxes. F_{k+1} comes from all lines out of
 * F_k.
 *
 * What keeps the search near linear: a line out of (s, x) that passes through F_k(u) at a later frame u is left to u,
 * as soon as u is far enough away to be a link's start. Where F_k is all there is (one keyframe later than anything is
 * reachable at all), nothing is looked at twice; only the frontier of each layer sees far.
 */
#include "keys.h"

#include "sight.h"

#define NONE UINT32_MAX

typedef struct box {
    double lo[TWI_AXES], hi[TWI_AXES];
    uint32_t layer, next;
} box;

typedef struct search {
    tw_arena *arena;
    size_t axes, n, link;
    twi_tube tube[TWI_AXES]; /* eroded: what a path of that speed can have at all */
    double speed[TWI_AXES], eps[TWI_AXES];
    twi_tube end[TWI_AXES]; /* B(t): values that hold from t to the last frame */
    size_t end_from;        /* the first t with any */
    uint32_t *first;        /* by frame: its newest box */
    box *boxes;
    size_t box_count, box_cap;
    struct block *blocks;
    size_t work;      /* gates and runs of gates looked at */
    size_t low, high; /* frames that got boxes in this layer */
    /* the roomiest meeting of F_k and B */
    bool met;
    double room;
    size_t meet_at;
    double meet[TWI_AXES];
} search;

/* A run of frames: the gates that matter to straight lines, the tightest of them, and what is reached at every
 * frame. */
#define BLOCK 16
typedef struct block {
    uint8_t corners[TWI_AXES][2]; /* how many: of the lower hull of hi, of the upper hull of lo */
    uint8_t corner[TWI_AXES][2][BLOCK];
    box gate, reached;
    bool full[TWI_AXES][2]; /* reached up to hi, down to lo, at every frame */
    bool stale;
} block;

/* ---- boxes ----------------------------------------------------------------------------------------------- */

static bool covers(const search *s, const box *outer, const box *inner)
{
    for (size_t a = 0; a < s->axes; a++)
        if (inner->lo[a] < outer->lo[a] - s->eps[a] || inner->hi[a] > outer->hi[a] + s->eps[a])
            return false;
    return true;
}

/* Grows `own` by `other` where the two make one box: the same in all axes but one, and touching in that. */
static void unite(const search *s, box *own, const box *other)
{
    size_t differ = SIZE_MAX;
    for (size_t a = 0; a < s->axes; a++) {
        bool same = fabs(own->lo[a] - other->lo[a]) <= s->eps[a] && fabs(own->hi[a] - other->hi[a]) <= s->eps[a];
        bool touch = own->lo[a] <= other->hi[a] + s->eps[a] && other->lo[a] <= own->hi[a] + s->eps[a];
        if (!touch || (!same && differ != SIZE_MAX))
            return;
        differ = same ? differ : a;
    }
    if (differ != SIZE_MAX) {
        own->lo[differ] = fmin(own->lo[differ], other->lo[differ]);
        own->hi[differ] = fmax(own->hi[differ], other->hi[differ]);
    }
}

/* Removes the boxes of the same layer that the new one covers. */
static void unlink_covered(search *s, size_t t, const box *own)
{
    uint32_t *link = &s->first[t];
    while (*link != NONE) {
        const box *b = &s->boxes[*link];
        if (b->layer == own->layer && covers(s, own, b))
            *link = b->next;
        else
            link = &s->boxes[*link].next;
    }
}

static void meet_end(search *s, size_t t, const box *b)
{
    if (t < s->end_from)
        return;
    double room = INFINITY, at[TWI_AXES];
    for (size_t a = 0; a < s->axes; a++) {
        double lo = fmax(b->lo[a], s->end[a].lo[t]), hi = fmin(b->hi[a], s->end[a].hi[t]);
        if (lo > hi + s->eps[a])
            return;
        room = fmin(room, hi - lo);
        at[a] = lo + (hi - lo) / 2;
    }
    if (s->met && room <= s->room)
        return;
    s->met = true;
    s->room = room;
    s->meet_at = t;
    memcpy(s->meet, at, sizeof at);
}

static void insert(search *s, size_t t, box own)
{
    for (uint32_t i = s->first[t]; i != NONE; i = s->boxes[i].next)
        if (covers(s, &s->boxes[i], &own))
            return;
    for (uint32_t i = s->first[t]; i != NONE; i = s->boxes[i].next)
        unite(s, &own, &s->boxes[i]);
    unlink_covered(s, t, &own);
    own.next = s->first[t];
    s->boxes = tw_arena_grow(s->arena, s->boxes, s->box_count, &s->box_cap, sizeof *s->boxes);
    s->first[t] = (uint32_t)s->box_count;
    s->boxes[s->box_count++] = own;
    s->blocks[t / BLOCK].stale = true;
    s->low = t < s->low ? t : s->low;
    s->high = t > s->high ? t : s->high;
    meet_end(s, t, &own);
}

/* ---- one layer ------------------------------------------------------------------------------------------- */

/* Takes from `own` what boxes of earlier layers have at its ends: they have been looked from before. */
static bool trim(const search *s, size_t t, box *own)
{
    for (uint32_t i = s->first[t]; i != NONE; i = s->boxes[i].next) {
        const box *b = &s->boxes[i];
        size_t open = SIZE_MAX, opens = 0;
        for (size_t a = 0; b->layer < own->layer && a < s->axes; a++) {
            if (own->lo[a] < b->lo[a] - s->eps[a] || own->hi[a] > b->hi[a] + s->eps[a]) {
                open = a;
                opens++;
            }
        }
        if (b->layer >= own->layer || opens > 1)
            continue;
        if (opens == 0)
            return false;
        if (own->lo[open] >= b->lo[open] - s->eps[open])
            own->lo[open] = fmax(own->lo[open], fmin(b->hi[open], own->hi[open]));
        else if (own->hi[open] <= b->hi[open] + s->eps[open])
            own->hi[open] = fmin(own->hi[open], fmax(b->lo[open], own->lo[open]));
    }
    return true;
}

static void ranges(const search *s, const twi_sight *sights, double dt, box *out)
{
    for (size_t a = 0; a < s->axes; a++)
        twi_sight_range(&sights[a], dt, &out->lo[a], &out->hi[a]);
}

/* Takes away the lines that pass through F_k(u): u sees them. False when none is left. */
static bool leave_to(const search *s, size_t u, double dt, uint32_t layer, twi_sight *sights)
{
    box seen;
    ranges(s, sights, dt, &seen);
    for (uint32_t i = s->first[u]; i != NONE; i = s->boxes[i].next) {
        const box *b = &s->boxes[i];
        size_t open = 0, opens = 0;
        for (size_t a = 0; b->layer <= layer && a < s->axes; a++) {
            if (seen.lo[a] < b->lo[a] - s->eps[a] || seen.hi[a] > b->hi[a] + s->eps[a]) {
                open = a;
                opens++;
            }
        }
        if (b->layer > layer || opens > 1)
            continue;
        if (opens == 0)
            return false;
        if (seen.lo[open] >= b->lo[open] - s->eps[open] && seen.lo[open] < b->hi[open])
            twi_sight_clip(&sights[open], dt, b->hi[open], -1, s->eps[open]);
        else if (seen.hi[open] <= b->hi[open] + s->eps[open] && seen.hi[open] > b->lo[open])
            twi_sight_clip(&sights[open], dt, b->lo[open], 1, s->eps[open]);
        else
            continue;
        ranges(s, sights, dt, &seen);
    }
    return true;
}

/* Puts the gate of frame t into the sights; *seen: what is left there. */
static bool pass_gate(const search *s, size_t t, double dt, twi_sight *sights, box *seen)
{
    for (size_t a = 0; a < s->axes; a++) {
        double lo, hi, gate_lo = s->tube[a].lo[t], gate_hi = s->tube[a].hi[t];
        twi_sight_range(&sights[a], dt, &lo, &hi);
        if (lo > gate_hi + s->eps[a] || hi < gate_lo - s->eps[a])
            return false;
        if (hi > gate_hi && !twi_sight_clip(&sights[a], dt, gate_hi, 1, s->eps[a]))
            return false;
        if (lo < gate_lo && !twi_sight_clip(&sights[a], dt, gate_lo, -1, s->eps[a]))
            return false;
        seen->lo[a] = fmin(fmax(lo, gate_lo), gate_hi);
        seen->hi[a] = fmax(fmin(hi, gate_hi), gate_lo);
    }
    return true;
}

/* What the newest boxes of a run of frames have in common. */
static void refresh(const search *s, size_t from, block *b)
{
    for (size_t a = 0; a < s->axes; a++) {
        b->reached.lo[a] = -INFINITY;
        b->reached.hi[a] = INFINITY;
        b->full[a][0] = b->full[a][1] = true;
        for (size_t t = from; t < from + BLOCK; t++) {
            const box *own = s->first[t] != NONE ? &s->boxes[s->first[t]] : NULL;
            double lo = own != NULL ? own->lo[a] : INFINITY, hi = own != NULL ? own->hi[a] : -INFINITY;
            b->reached.lo[a] = fmax(b->reached.lo[a], lo);
            b->reached.hi[a] = fmin(b->reached.hi[a], hi);
            b->full[a][0] = b->full[a][0] && hi >= s->tube[a].hi[t] - s->eps[a];
            b->full[a][1] = b->full[a][1] && lo <= s->tube[a].lo[t] + s->eps[a];
        }
    }
    b->stale = false;
}

/* Clips by the gates of a run of frames; only corners of their hulls can matter to straight lines. */
static bool pass_block(const search *s, size_t from, size_t t, twi_sight *sights)
{
    const block *b = &s->blocks[t / BLOCK];
    for (size_t a = 0; a < s->axes; a++) {
        for (int side = 0; side < 2; side++) {
            const double *gate = side == 0 ? s->tube[a].hi : s->tube[a].lo;
            for (size_t c = 0; c < b->corners[a][side]; c++) {
                size_t at = t + b->corner[a][side][c];
                double lo, hi, dt = (double)(at - from);
                twi_sight_range(&sights[a], dt, &lo, &hi);
                bool outside = side == 0 ? hi > gate[at] : lo < gate[at];
                if (outside && !twi_sight_clip(&sights[a], dt, gate[at], side == 0 ? 1 : -1, s->eps[a]))
                    return false;
            }
        }
    }
    return true;
}

/* Is there nothing new to reach in the run of frames that begins with t? The largest value of a set of lines is convex
 * over time and the least concave, so the two ends tell. *clips: whether the gates matter. */
static bool idle(const search *s, size_t from, size_t t, const twi_sight *sights, bool *clips)
{
    if (t % BLOCK != 0 || t + BLOCK > s->n)
        return false;
    block *b = &s->blocks[t / BLOCK];
    if (b->stale)
        refresh(s, t, b);
    box start, end;
    ranges(s, sights, (double)(t - from), &start);
    ranges(s, sights, (double)(t + BLOCK - 1 - from), &end);
    *clips = false;
    for (size_t a = 0; a < s->axes; a++) {
        double lo = fmin(start.lo[a], end.lo[a]), hi = fmax(start.hi[a], end.hi[a]);
        if ((lo < b->reached.lo[a] - s->eps[a] && !b->full[a][1]) ||
            (hi > b->reached.hi[a] + s->eps[a] && !b->full[a][0]))
            return false;
        *clips = *clips || lo < b->gate.lo[a] || hi > b->gate.hi[a];
    }
    return true;
}

/* The search is exact up to this much work (seconds of it); after that it no longer looks further than SHORT_SIGHT
 * frames, or as far as a link must be, and may miss a path with fewer keyframes. Shots of 20,000 frames stay far
 * below. */
#define MOST_WORK 20000000
#define SHORT_SIGHT 256

static void look_from(search *s, size_t from, const box *own)
{
    twi_sight sights[TWI_AXES];
    for (size_t a = 0; a < s->axes; a++)
        twi_sight_start(&sights[a], own->lo[a], own->hi[a], s->speed[a]);
    box seen = {.layer = own->layer + 1};
    for (size_t t = from + 1; t < s->n; t++) {
        bool clips;
        if (++s->work > MOST_WORK && t - from > SHORT_SIGHT + s->link)
            return;
        if (t - from > s->link && idle(s, from, t, sights, &clips)) {
            if (clips && !pass_block(s, from, t, sights))
                return;
            t += BLOCK - 1;
            continue;
        }
        if (!pass_gate(s, t, (double)(t - from), sights, &seen))
            return;
        if (t - from > s->link) {
            if (!leave_to(s, t - s->link, (double)(t - s->link - from), own->layer, sights))
                return;
            ranges(s, sights, (double)(t - from), &seen);
        }
        if (t - from >= s->link)
            insert(s, t, seen);
    }
}

static void look_from_all(search *s, size_t t, uint32_t layer)
{
    for (uint32_t i = s->first[t]; i != NONE; i = s->boxes[i].next) {
        box own = s->boxes[i];
        if (own.layer == layer && trim(s, t, &own))
            look_from(s, t, &own);
    }
}

/* Far-apart frames first: what they reach covers most of what the frames between them do. */
#define WIDEST_STRIDE 64

/* Everything that one more keyframe reaches; false when there is nothing new. */
static bool next_layer(search *s, uint32_t layer)
{
    size_t low = s->low, high = s->high;
    s->low = SIZE_MAX;
    s->high = 0;
    for (size_t stride = WIDEST_STRIDE; stride > 0; stride /= 2)
        for (size_t t = low + (stride < WIDEST_STRIDE ? stride : 0); t <= high && t < s->n;
             t += stride < WIDEST_STRIDE ? 2 * stride : stride)
            look_from_all(s, t, layer);
    return s->low != SIZE_MAX;
}

/* ---- both ends ------------------------------------------------------------------------------------------- */

static void first_layer(search *s)
{
    box own = {.layer = 1};
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
        insert(s, t, own);
    }
}

static void last_layer(search *s)
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

static bool narrow(const search *s, cone *c, size_t t)
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
static double room_in(const search *s, const cone *c, size_t t, const box *b, double *middle)
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
static void step_back(const search *s, cone *c, uint32_t layer)
{
    double best = -INFINITY, middle[TWI_AXES], value[TWI_AXES] = {0};
    size_t at = c->t > 0 ? c->t - 1 : 0;
    for (size_t t = c->t; t-- > 0;) {
        if (!narrow(s, c, t))
            break;
        if (c->t - t < s->link)
            continue;
        for (uint32_t i = s->first[t]; i != NONE; i = s->boxes[i].next) {
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

static void walk_back(const search *s, size_t keys, twi_vertex *out)
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

/* Lower hull of hi (side 0) or upper hull of lo (side 1), by Andrew's chain. */
static void read_hull(const search *s, size_t from, size_t a, int side, block *b)
{
    const double *gate = side == 0 ? s->tube[a].hi + from : s->tube[a].lo + from;
    size_t count = 0, n = s->n - from < BLOCK ? s->n - from : BLOCK;
    uint8_t *corner = b->corner[a][side];
    for (size_t t = 0; t < n; t++) {
        while (count > 1) {
            size_t u = corner[count - 2], v = corner[count - 1];
            double bend = (gate[v] - gate[u]) * (double)(t - v) - (gate[t] - gate[v]) * (double)(v - u);
            if (side == 0 ? bend < 0 : bend > 0)
                break;
            count--;
        }
        corner[count++] = (uint8_t)t;
    }
    b->corners[a][side] = (uint8_t)count;
}

static void read_block(search *s, size_t from, size_t a)
{
    block *b = &s->blocks[from / BLOCK];
    b->stale = true;
    b->gate.lo[a] = -INFINITY;
    b->gate.hi[a] = INFINITY;
    for (size_t t = from; t < s->n && t < from + BLOCK; t++) {
        b->gate.lo[a] = fmax(b->gate.lo[a], s->tube[a].lo[t]);
        b->gate.hi[a] = fmin(b->gate.hi[a], s->tube[a].hi[t]);
    }
    read_hull(s, from, a, 0, b);
    read_hull(s, from, a, 1, b);
}

static bool prepare(search *s, const twi_keys_job *job)
{
    for (size_t a = 0; a < job->axes; a++) {
        s->tube[a] = twi_tube_copy(s->arena, &job->tubes[a]);
        s->end[a] = twi_tube_new(s->arena, s->n);
        s->speed[a] = job->speed[a];
        double least = INFINITY, most = -INFINITY;
        for (size_t t = 0; t < s->n; t++) {
            least = fmin(least, job->tubes[a].lo[t]);
            most = fmax(most, job->tubes[a].hi[t]);
        }
        s->eps[a] = 1e-10 * (most - least + fmin(job->speed[a], most - least)) + 1e-13 * (fabs(most) + fabs(least));
        s->speed[a] = fmin(s->speed[a], 2 * (most - least) + s->eps[a]);
        if (!twi_tube_erode(&s->tube[a], job->speed[a]))
            return false;
    }
    s->blocks = TW_NEW_N(s->arena, block, s->n / BLOCK + 1);
    for (size_t t = 0; t < s->n; t += BLOCK)
        for (size_t a = 0; a < s->axes; a++)
            read_block(s, t, a);
    s->first = TW_NEW_N(s->arena, uint32_t, s->n);
    for (size_t t = 0; t < s->n; t++)
        s->first[t] = NONE;
    return true;
}

size_t twi_keys_fewest(tw_arena *arena, const twi_keys_job *job, size_t most, twi_vertex **out)
{
    tw_arena *scratch = tw_arena_like(arena);
    search s = {.arena = scratch, .axes = job->axes, .n = job->tubes[0].n, .link = job->link > 0 ? job->link : 1};
    s.low = SIZE_MAX;
    size_t keys = 0;
    if (prepare(&s, job)) {
        last_layer(&s);
        first_layer(&s);
        keys = 1;
        while (!s.met) {
            if ((most > 0 && keys == most) || !next_layer(&s, (uint32_t)keys)) {
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
    tw_arena_free(&scratch);
    return keys;
}
