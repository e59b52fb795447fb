/* SPDX-License-Identifier: Apache-2.0
 *
 * What keeps this near linear: a line out of (s, x) that passes through F_k(u) at a later frame u is left to u, as soon
 * as u is far enough away to be a link's start. Where F_k is all there is, nothing is looked at twice; only the
 * frontier of each layer sees far. And there, most starts see nothing that others have not seen: what reaches the
 * frontier is bounded by straight lines, so a few lines bound all that the starts between two frames can add.
 */
#include "look.h"

#include "sight.h"

typedef struct look {
    twi_reach *reach;
    uint32_t layer; /* of the starts */
    bool last;      /* only B matters: what links lead to before it is as good as known */
    twi_sight sight[TWI_AXES];
} look;

static void ranges(const look *l, double dt, twi_reach_box *out)
{
    for (size_t a = 0; a < l->reach->axes; a++)
        twi_sight_range(&l->sight[a], dt, &out->lo[a], &out->hi[a]);
}

/* Is all known that one more keyframe has at frame t? */
static bool is_known(const look *l, size_t t)
{
    return l->reach->full[t] <= l->layer + 1 || (l->last && t < l->reach->end_from);
}

/* ---- gates ----------------------------------------------------------------------------------------------- */

/* Puts the gate of frame t into the sights; false when no line is left. *seen: what they have there. */
static bool pass_gate(look *l, size_t t, double dt, twi_reach_box *seen)
{
    const twi_reach *s = l->reach;
    for (size_t a = 0; a < s->axes; a++) {
        seen->lo[a] = s->tube[a].lo[t];
        seen->hi[a] = s->tube[a].hi[t];
        if (!twi_sight_gate(&l->sight[a], dt, s->eps[a], &seen->lo[a], &seen->hi[a]))
            return false;
    }
    return true;
}

/* Clips by the gates of a run of frames; only corners of their hulls can matter to straight lines. */
static bool pass_block(look *l, size_t from, size_t t)
{
    const twi_reach *s = l->reach;
    const twi_reach_block *b = &s->blocks[t / TWI_BLOCK];
    for (size_t a = 0; a < s->axes; a++) {
        for (int side = 0; side < 2; side++) {
            const double *gate = side == 0 ? s->tube[a].hi : s->tube[a].lo;
            for (size_t c = 0; c < b->corners[a][side]; c++) {
                size_t at = t + b->corner[a][side][c];
                if (!twi_sight_clip(&l->sight[a], (double)(at - from), gate[at], side == 0 ? 1 : -1, s->eps[a]))
                    return false;
            }
        }
    }
    return true;
}

/* Are the values at both ends of a run below the bound? */
static bool below(const twi_incline *b, double first, double last, double eps)
{
    return first <= b->at + eps && last <= b->at + b->slope * (TWI_BLOCK - 1) + eps;
}

/* Is there nothing new to reach in the run of frames that begins with t? The largest value of a set of lines is convex
 * over time and the least concave, so the two ends tell. *clips: whether the gates matter. */
static bool idle(const look *l, size_t from, size_t t, bool *clips)
{
    const twi_reach *s = l->reach;
    if (t % TWI_BLOCK != 0 || t + TWI_BLOCK > s->n)
        return false;
    twi_reach_block *b = &s->blocks[t / TWI_BLOCK];
    bool known = l->last && t + TWI_BLOCK <= s->end_from;
    if (b->stale && !known)
        twi_reach_refresh(s, t, l->layer + 1, b);
    twi_reach_box start, end;
    ranges(l, (double)(t - from), &start);
    ranges(l, (double)(t + TWI_BLOCK - 1 - from), &end);
    *clips = false;
    for (size_t a = 0; a < s->axes; a++) {
        if (!known && (!below(&b->reached[a][0], start.hi[a], end.hi[a], s->near[a]) ||
                       !below(&b->reached[a][1], -start.lo[a], -end.lo[a], s->near[a])))
            return false;
        *clips = *clips || !below(&b->gate[a][0], start.hi[a], end.hi[a], 0) ||
                 !below(&b->gate[a][1], -start.lo[a], -end.lo[a], 0);
    }
    return true;
}

/* ---- what others see ------------------------------------------------------------------------------------- */

/* Takes away the lines that pass values at u that cannot be gone on from: with a keyframe there, too, they would get to
 * nothing of use. False when none is left. */
static bool keep_useful(look *l, size_t u, double dt)
{
    const twi_reach *s = l->reach;
    for (size_t a = 0; a < s->axes && s->back[a] != NULL; a++) {
        double lo, hi;
        if (!twi_reach_useful(s, u, a, l->layer, &lo, &hi) || !twi_sight_gate(&l->sight[a], dt, s->eps[a], &lo, &hi))
            return false;
    }
    return true;
}

/* Takes away the lines that pass through F_k(u): u sees them. False when none is left. */
static bool leave_to(look *l, size_t u, double dt)
{
    const twi_reach *s = l->reach;
    twi_reach_box seen;
    if (!keep_useful(l, u, dt))
        return false;
    ranges(l, dt, &seen);
    for (uint32_t i = s->first[u]; i != TWI_NONE; i = s->boxes[i].next) {
        const twi_reach_box *b = &s->boxes[i];
        size_t open = 0, opens = 0;
        for (size_t a = 0; b->layer <= l->layer && a < s->axes; a++) {
            if (seen.lo[a] < b->lo[a] - s->near[a] || seen.hi[a] > b->hi[a] + s->near[a]) {
                open = a;
                opens++;
            }
        }
        if (b->layer > l->layer || opens > 1)
            continue;
        if (opens == 0)
            return false;
        double end = b->hi[open];
        int side = -1;
        if (seen.lo[open] < b->lo[open] - s->near[open] || seen.lo[open] >= end) {
            end = b->lo[open];
            side = 1;
            if (seen.hi[open] > b->hi[open] + s->near[open] || seen.hi[open] <= end)
                continue;
        }
        if (!twi_sight_clip(&l->sight[open], dt, end, side, s->eps[open]))
            return false;
        ranges(l, dt, &seen);
    }
    return true;
}

/* Where a look has come to: lines are left to frames before `left`, frames before `target` are known to be full. */
typedef struct trail {
    size_t left, target;
} trail;

/* Lines up to frame t are left to the frames that are a link's length before t. Or to later ones, as long as there is
 * nothing to reach in between. */
static bool leave_behind(look *l, size_t from, size_t t, trail *on)
{
    const twi_reach *s = l->reach;
    for (; on->left <= t; on->left++) {
        while (on->target < s->n && on->target < on->left + s->link && is_known(l, on->target))
            on->target++;
        if (on->left + s->link > t && on->target < s->n && on->target < on->left + s->link)
            return true;
        if (!leave_to(l, on->left, (double)(on->left - from)))
            return false;
    }
    return true;
}

/* Follows the sights out of `from` and notes what they reach; or, when only asked, stops with true at the first thing
 * that is not known to be reached. */
static bool follow(look *l, size_t from, bool asked)
{
    twi_reach *s = l->reach;
    twi_reach_box seen = {.layer = l->layer + 1};
    if (l->last && s->met)
        return false;
    trail on = {from + 1, from + s->link};
    size_t first = asked ? from + 1 : from + s->link;
    for (size_t t = from + 1; t < s->n; t++) {
        bool clips;
        if (++s->work > s->most_work)
            return asked;
        if (idle(l, from, t, &clips)) {
            if (clips && !pass_block(l, from, t))
                return false;
            t += TWI_BLOCK - 1;
            on.left = on.left + s->link > t ? on.left : t - s->link + 1;
            continue;
        }
        if (!pass_gate(l, t, (double)(t - from), &seen) || !leave_behind(l, from, t, &on))
            return false;
        if (t < first || is_known(l, t))
            continue;
        ranges(l, (double)(t - from), &seen);
        bool news = l->last ? twi_reach_meets(s, t, &seen) : asked && !twi_reach_covered(s, t, &seen);
        s->met = s->met || (l->last && news && !asked);
        if (news)
            return true;
        if (!asked && !l->last)
            twi_reach_insert(s, t, seen);
    }
    return false;
}

static void look_from(look *l, size_t t)
{
    const twi_reach *s = l->reach;
    for (uint32_t i = s->first[t]; i != TWI_NONE; i = s->boxes[i].next) {
        twi_reach_box own = s->boxes[i];
        if (own.layer != l->layer || !twi_reach_trim(s, t, &own))
            continue;
        for (size_t a = 0; a < s->axes; a++)
            twi_sight_start(&l->sight[a], own.lo[a], own.hi[a], -s->speed[a], s->speed[a]);
        follow(l, t, false);
    }
}

/* ---- many starts at once --------------------------------------------------------------------------------- */

/* Are all frames full that links out of first..last lead to, up to the first that links out of last + 1 lead to? */
static bool all_full(const look *l, size_t first, size_t last)
{
    const twi_reach *s = l->reach;
    for (size_t t = first + s->link; t <= last + s->link && t < s->n; t++)
        if (!is_known(l, t))
            return false;
    return true;
}

/* Starts with the lines out of the boxes of frames first..last that pass above (side 1) or below (side -1) what is
 * `reached` at the frame after them, and some more lines; false when there are none. All boxes lie on one side of the
 * straight line through that end and one of theirs: a line that comes from behind it is steeper than it, and behind it
 * at all frames before. */
static bool start_escapes(look *l, size_t first, size_t last, const twi_reach_box *reached, int side)
{
    const twi_reach *s = l->reach;
    double gate = side > 0 ? s->tube[0].hi[last + 1] : s->tube[0].lo[last + 1];
    double end = side > 0 ? reached->hi[0] : reached->lo[0], fall = -INFINITY, speed = s->speed[0];
    for (size_t t = first; t <= last; t++) {
        for (uint32_t i = s->first[t]; i != TWI_NONE; i = s->boxes[i].next) {
            double own = side > 0 ? s->boxes[i].hi[0] : s->boxes[i].lo[0];
            if (s->boxes[i].layer == l->layer)
                fall = tw_max(fall, side * (own - end) / (double)(last + 1 - t));
        }
    }
    if (side * (gate - end) <= s->eps[0] || fall < -speed)
        return false;
    double slope = -side * fall, back = (double)(last + 1 - first);
    if (side > 0)
        twi_sight_start(&l->sight[0], end, gate, tw_max(slope, -speed), speed);
    else
        twi_sight_start(&l->sight[0], gate, end, -speed, tw_min(slope, speed));
    return twi_sight_clip(&l->sight[0], -back, end - slope * back, side, s->eps[0]);
}

/* Is everything known that the frames first..last see? False where it cannot be told from all of them at once. */
static bool all_known(look *l, size_t first, size_t last)
{
    const twi_reach *s = l->reach;
    if (s->axes > 1 || last + 1 >= s->n || !all_full(l, first, last))
        return false;
    const twi_reach_box *reached = twi_reach_largest(s, last + 1, l->layer);
    if (reached == NULL)
        return false;
    for (int side = -1; side <= 1; side += 2)
        if (start_escapes(l, first, last, reached, side) && follow(l, last + 1, true))
            return false;
    return true;
}

static void look_between(look *l, size_t first, size_t last)
{
    if (first > last || all_known(l, first, last))
        return;
    size_t middle = first + (last - first) / 2;
    look_from(l, middle);
    if (middle > first)
        look_between(l, first, middle - 1);
    look_between(l, middle + 1, last);
}

/* Far-apart frames first: what they reach covers most of what the frames between them do. */
#define STRIDE 64

static void look_all(twi_reach *s, uint32_t layer, bool last)
{
    look l = {.reach = s, .layer = layer, .last = last};
    size_t low = s->low, high = s->high;
    s->low = SIZE_MAX;
    s->high = 0;
    for (size_t a = 0; a < s->axes; a++)
        twi_sight_init(s->arena, &l.sight[a]);
    for (size_t t = low; t <= high; t += STRIDE)
        look_from(&l, t);
    for (size_t t = low; t <= high; t += STRIDE)
        look_between(&l, t + 1, t + STRIDE - 1 < high ? t + STRIDE - 1 : high);
}

bool twi_look_layer(twi_reach *s, uint32_t layer)
{
    look_all(s, layer, false);
    return s->low != SIZE_MAX;
}

bool twi_look_end(twi_reach *s, uint32_t layer)
{
    look_all(s, layer, true);
    return s->met;
}
