/* SPDX-License-Identifier: Apache-2.0 */
#include "reach.h"

/* ---- boxes ----------------------------------------------------------------------------------------------- */

static bool covers(const twi_reach *s, const twi_reach_box *outer, const twi_reach_box *inner)
{
    for (size_t a = 0; a < s->axes; a++)
        if (inner->lo[a] < outer->lo[a] - s->near[a] || inner->hi[a] > outer->hi[a] + s->near[a])
            return false;
    return true;
}

/* Grows `own` by `other` where the two make one box: the same in all axes but one, and touching in that. */
static void unite(const twi_reach *s, twi_reach_box *own, const twi_reach_box *other)
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
        own->lo[differ] = tw_min(own->lo[differ], other->lo[differ]);
        own->hi[differ] = tw_max(own->hi[differ], other->hi[differ]);
    }
}

/* Removes the boxes of the same layer that the new one covers. */
static void unlink_covered(twi_reach *s, size_t t, const twi_reach_box *own)
{
    uint32_t *link = &s->first[t];
    while (*link != TWI_NONE) {
        const twi_reach_box *b = &s->boxes[*link];
        if (b->layer == own->layer && covers(s, own, b))
            *link = b->next;
        else
            link = &s->boxes[*link].next;
    }
}

bool twi_reach_meets(const twi_reach *s, size_t t, const twi_reach_box *b)
{
    if (t < s->end_from)
        return false;
    for (size_t a = 0; a < s->axes; a++)
        if (tw_max(b->lo[a], s->end[a].lo[t]) > tw_min(b->hi[a], s->end[a].hi[t]) + s->eps[a])
            return false;
    return true;
}

static void meet_end(twi_reach *s, size_t t, const twi_reach_box *b)
{
    if (!twi_reach_meets(s, t, b))
        return;
    double room = INFINITY, at[TWI_AXES];
    for (size_t a = 0; a < s->axes; a++) {
        double lo = tw_max(b->lo[a], s->end[a].lo[t]), hi = tw_min(b->hi[a], s->end[a].hi[t]);
        room = tw_min(room, hi - lo);
        at[a] = lo + (hi - lo) / 2;
    }
    if (s->met && room <= s->room)
        return;
    s->met = true;
    s->room = room;
    s->meet_at = t;
    memcpy(s->meet, at, sizeof at);
}

bool twi_reach_useful(const twi_reach *s, size_t t, size_t axis, uint32_t layer, double *lo, double *hi)
{
    const twi_reach *back = s->back[axis];
    *lo = s->tube[axis].lo[t];
    *hi = s->tube[axis].hi[t];
    if (back == NULL)
        return true;
    double least = INFINITY, most = -INFINITY;
    for (uint32_t i = back->first[s->n - 1 - t]; i != TWI_NONE; i = back->boxes[i].next) {
        const twi_reach_box *b = &back->boxes[i];
        if (b->layer + layer > s->most_keys + 1)
            continue;
        least = tw_min(least, b->lo[0]);
        most = tw_max(most, b->hi[0]);
    }
    *lo = tw_max(*lo, least);
    *hi = tw_min(*hi, most);
    return *lo <= *hi + s->eps[axis];
}

/* Makes a box larger, up to what is of use. */
static void round_box(const twi_reach *s, size_t t, twi_reach_box *own)
{
    for (size_t a = 0; a < s->axes && s->grid[a] > 0; a++) {
        double lo, hi;
        twi_reach_useful(s, t, a, own->layer, &lo, &hi);
        own->lo[a] = tw_min(own->lo[a], lo + floor((own->lo[a] - lo) / s->grid[a]) * s->grid[a]);
        own->hi[a] = tw_max(own->hi[a], hi - floor((hi - own->hi[a]) / s->grid[a]) * s->grid[a]);
    }
}

/* Leaves of a box what is of use; false when that is nothing. */
static bool keep_useful(twi_reach *s, size_t t, twi_reach_box *own)
{
    for (size_t a = 0; a < s->axes && s->back[a] != NULL; a++) {
        double lo, hi;
        bool any = twi_reach_useful(s, t, a, own->layer, &lo, &hi);
        s->bounded = s->bounded || !any || own->lo[a] < lo || own->hi[a] > hi;
        own->lo[a] = tw_max(own->lo[a], lo);
        own->hi[a] = tw_min(own->hi[a], hi);
        if (!any || own->lo[a] > own->hi[a] + s->eps[a])
            return false;
    }
    return true;
}

static bool fills(const twi_reach *s, size_t t, const twi_reach_box *own)
{
    for (size_t a = 0; a < s->axes; a++) {
        double lo, hi;
        twi_reach_useful(s, t, a, own->layer, &lo, &hi);
        if (own->lo[a] > lo + s->near[a] || own->hi[a] < hi - s->near[a])
            return false;
    }
    return true;
}

bool twi_reach_covered(const twi_reach *s, size_t t, const twi_reach_box *own)
{
    for (uint32_t i = s->first[t]; i != TWI_NONE; i = s->boxes[i].next)
        if (covers(s, &s->boxes[i], own))
            return true;
    return false;
}

static double size_of(const twi_reach *s, const twi_reach_box *own)
{
    double size = 1;
    for (size_t a = 0; a < s->axes; a++)
        size *= own->hi[a] - own->lo[a] + s->eps[a];
    return size;
}

static twi_reach_box around(const twi_reach *s, const twi_reach_box *own, const twi_reach_box *other)
{
    twi_reach_box out = *own;
    for (size_t a = 0; a < s->axes; a++) {
        out.lo[a] = tw_min(own->lo[a], other->lo[a]);
        out.hi[a] = tw_max(own->hi[a], other->hi[a]);
    }
    return out;
}

/* Makes room for `own` among the boxes of its layer: by leaving out the smallest, or by growing to take in the one that
 * makes it grow least. False when `own` itself is the smallest. */
static bool keep_few(twi_reach *s, size_t t, twi_reach_box *own)
{
    size_t count = 0;
    twi_reach_box *best = NULL;
    double least = s->bound == TWI_REACH_INNER ? size_of(s, own) : INFINITY;
    for (uint32_t i = s->first[t]; i != TWI_NONE; i = s->boxes[i].next) {
        twi_reach_box *b = &s->boxes[i];
        if (b->layer != own->layer)
            continue;
        count++;
        twi_reach_box both = around(s, own, b);
        double size = size_of(s, s->bound == TWI_REACH_INNER ? b : &both);
        if (size >= least)
            continue;
        least = size;
        best = b;
    }
    if (count < s->most_boxes)
        return true;
    if (best == NULL)
        return false;
    if (s->bound == TWI_REACH_OUTER)
        *own = around(s, own, best);
    unlink_covered(s, t, s->bound == TWI_REACH_OUTER ? own : best);
    return true;
}

void twi_reach_insert(twi_reach *s, size_t t, twi_reach_box own)
{
    if (!keep_useful(s, t, &own) || twi_reach_covered(s, t, &own))
        return;
    round_box(s, t, &own);
    for (uint32_t i = s->first[t]; i != TWI_NONE; i = s->boxes[i].next)
        unite(s, &own, &s->boxes[i]);
    unlink_covered(s, t, &own);
    if (s->bound != TWI_REACH_EXACT && !keep_few(s, t, &own))
        return;
    own.next = s->first[t];
    s->first[t] = (uint32_t)s->box_count;
    TW_PUSH(s->arena, s->boxes, s->box_count, s->box_cap) = own;
    s->blocks[t / TWI_BLOCK].stale = true;
    if (own.layer < s->full[t] && fills(s, t, &own))
        s->full[t] = own.layer;
    s->low = t < s->low ? t : s->low;
    s->high = t > s->high ? t : s->high;
    meet_end(s, t, &own);
}

bool twi_reach_trim(const twi_reach *s, size_t t, twi_reach_box *own)
{
    for (uint32_t i = s->first[t]; i != TWI_NONE; i = s->boxes[i].next) {
        const twi_reach_box *b = &s->boxes[i];
        size_t open = SIZE_MAX, opens = 0;
        for (size_t a = 0; b->layer < own->layer && a < s->axes; a++) {
            if (own->lo[a] < b->lo[a] - s->near[a] || own->hi[a] > b->hi[a] + s->near[a]) {
                open = a;
                opens++;
            }
        }
        if (b->layer >= own->layer || opens > 1)
            continue;
        if (opens == 0)
            return false;
        if (own->lo[open] >= b->lo[open] - s->near[open])
            own->lo[open] = tw_max(own->lo[open], tw_min(b->hi[open], own->hi[open]));
        else if (own->hi[open] <= b->hi[open] + s->near[open])
            own->hi[open] = tw_min(own->hi[open], tw_max(b->lo[open], own->lo[open]));
    }
    return true;
}

const twi_reach_box *twi_reach_largest(const twi_reach *s, size_t t, uint32_t layer)
{
    const twi_reach_box *best = NULL;
    double most = -INFINITY;
    for (uint32_t i = s->first[t]; i != TWI_NONE; i = s->boxes[i].next) {
        const twi_reach_box *b = &s->boxes[i];
        double size = size_of(s, b);
        if (b->layer > layer || size <= most)
            continue;
        most = size;
        best = b;
    }
    return best;
}

/* ---- runs of frames -------------------------------------------------------------------------------------- */

void twi_reach_refresh(const twi_reach *s, size_t from, uint32_t layer, twi_reach_block *b)
{
    double end[TWI_AXES][2][TWI_BLOCK];
    for (size_t i = 0; i < TWI_BLOCK; i++) {
        const twi_reach_box *own = twi_reach_largest(s, from + i, TWI_NONE);
        for (size_t a = 0; a < s->axes; a++) {
            double hi = own != NULL ? own->hi[a] : -INFINITY, lo = own != NULL ? own->lo[a] : INFINITY, least, most;
            twi_reach_useful(s, from + i, a, layer, &least, &most);
            end[a][0][i] = hi >= most - s->near[a] ? INFINITY : hi;
            end[a][1][i] = lo <= least + s->near[a] ? INFINITY : -lo;
        }
    }
    for (size_t a = 0; a < s->axes; a++)
        for (int side = 0; side < 2; side++)
            b->reached[a][side] = twi_incline_under(end[a][side], TWI_BLOCK);
    b->stale = false;
}

/* Lower hull of hi (side 0) or upper hull of lo (side 1), by Andrew's chain. */
static void read_hull(const twi_reach *s, size_t from, size_t a, int side, twi_reach_block *b)
{
    const double *gate = side == 0 ? s->tube[a].hi + from : s->tube[a].lo + from;
    size_t count = 0, n = s->n - from < TWI_BLOCK ? s->n - from : TWI_BLOCK;
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

static void read_block(twi_reach *s, size_t from, size_t a)
{
    twi_reach_block *b = &s->blocks[from / TWI_BLOCK];
    b->stale = true;
    double end[2][TWI_BLOCK];
    for (size_t i = 0; i < TWI_BLOCK; i++) {
        end[0][i] = from + i < s->n ? s->tube[a].hi[from + i] : INFINITY;
        end[1][i] = from + i < s->n ? -s->tube[a].lo[from + i] : INFINITY;
    }
    for (int side = 0; side < 2; side++)
        b->gate[a][side] = twi_incline_under(end[side], TWI_BLOCK);
    read_hull(s, from, a, 0, b);
    read_hull(s, from, a, 1, b);
}

/* ---- setting up ------------------------------------------------------------------------------------------ */

bool twi_reach_init(tw_arena *arena, const twi_keys_job *job, twi_reach *out)
{
    *out = (twi_reach){.arena = arena, .axes = job->axes, .n = job->tubes[0].n, .low = SIZE_MAX, .most_work = SIZE_MAX};
    out->link = job->link > 0 ? job->link : 1;
    for (size_t a = 0; a < job->axes; a++) {
        out->tube[a] = twi_tube_copy(arena, &job->tubes[a]);
        out->end[a] = twi_tube_new(arena, out->n);
        double least = INFINITY, most = -INFINITY;
        for (size_t t = 0; t < out->n; t++) {
            least = tw_min(least, job->tubes[a].lo[t]);
            most = tw_max(most, job->tubes[a].hi[t]);
        }
        double extent = most - least;
        out->eps[a] = 1e-10 * (extent + tw_min(job->speed[a], extent)) + 1e-13 * (fabs(most) + fabs(least));
        out->near[a] = out->eps[a];
        out->speed[a] = tw_min(job->speed[a], 2 * extent + out->eps[a]);
        if (!twi_tube_erode(&out->tube[a], job->speed[a]))
            return false;
    }
    out->blocks = TW_NEW_N(arena, twi_reach_block, out->n / TWI_BLOCK + 1);
    for (size_t t = 0; t < out->n; t += TWI_BLOCK)
        for (size_t a = 0; a < out->axes; a++)
            read_block(out, t, a);
    out->first = TW_NEW_N(arena, uint32_t, out->n);
    out->full = TW_NEW_N(arena, uint32_t, out->n);
    for (size_t t = 0; t < out->n; t++)
        out->first[t] = out->full[t] = TWI_NONE;
    return true;
}
