/* SPDX-License-Identifier: Apache-2.0 */
#include "sight.h"

#include <math.h>

static void set_columns(twi_sight *s, double *columns)
{
    s->value = columns;
    s->slope = columns + s->cap;
    s->at = columns + 2 * s->cap;
    s->other[0] = columns + 3 * s->cap;
    s->other[1] = columns + 4 * s->cap;
}

void twi_sight_init(tw_arena *arena, twi_sight *sight)
{
    *sight = (twi_sight){.arena = arena, .cap = 64};
    set_columns(sight, TW_NEW_N(arena, double, 5 * sight->cap));
}

/* A clip adds one corner at most, so there is always room for the next. */
static void make_room(twi_sight *s)
{
    if (s->count + 2 < s->cap)
        return;
    twi_sight old = *s;
    s->cap *= 2;
    set_columns(s, TW_NEW_N(s->arena, double, 5 * s->cap));
    for (size_t i = 0; i < s->count; i++) {
        s->value[i] = old.value[i];
        s->slope[i] = old.slope[i];
        s->at[i] = old.at[i];
    }
}

void twi_sight_start(twi_sight *sight, double lo, double hi, double low, double high)
{
    sight->count = 4;
    sight->value[0] = sight->value[3] = lo;
    sight->value[1] = sight->value[2] = hi;
    sight->slope[0] = sight->slope[1] = low;
    sight->slope[2] = sight->slope[3] = high;
}

void twi_sight_range(const twi_sight *sight, double dt, double *lo, double *hi)
{
    double least = INFINITY, most = -INFINITY;
    for (size_t i = 0; i < sight->count; i++) {
        double at = sight->value[i] + sight->slope[i] * dt;
        least = tw_min(at, least);
        most = tw_max(at, most);
    }
    *lo = least;
    *hi = most;
}

/* Fills `at` and finds the corners with the least and the largest value. */
static void look(twi_sight *s, double dt, size_t ends[2])
{
    double least = INFINITY, most = -INFINITY;
    size_t low = 0, high = 0;
    for (size_t i = 0; i < s->count; i++) { /* nothing here can be foreseen: no branches */
        double at = s->at[i] = s->value[i] + s->slope[i] * dt;
        low = at < least ? i : low;
        least = tw_min(at, least);
        high = at > most ? i : high;
        most = tw_max(at, most);
    }
    ends[0] = low;
    ends[1] = high;
}

typedef struct corner {
    double value, slope;
} corner;

/* Where the edge from a corner inside to one outside crosses the bound. */
static corner crossing(const twi_sight *s, size_t in, size_t out, double bound)
{
    double share = tw_min(tw_max((bound - s->at[in]) / (s->at[out] - s->at[in]), 0), 1);
    return (corner){s->value[in] + (s->value[out] - s->value[in]) * share,
                    s->slope[in] + (s->slope[out] - s->slope[in]) * share};
}

static void add_corner(twi_sight *s, corner c)
{
    double dv = fabs(s->value[s->count - 1] - c.value), ds = fabs(s->slope[s->count - 1] - c.slope);
    if (dv <= 1e-13 * fabs(c.value) && ds <= 1e-13 * fabs(c.slope))
        return;
    s->value[s->count] = c.value;
    s->slope[s->count++] = c.slope;
}

static size_t after(const twi_sight *s, size_t i)
{
    return i + 1 < s->count ? i + 1 : 0;
}

static size_t before(const twi_sight *s, size_t i)
{
    return i > 0 ? i - 1 : s->count - 1;
}

static bool outside(const twi_sight *s, size_t i, double bound, int side, double eps)
{
    return side * (s->at[i] - bound) > eps;
}

/* Takes away the run of corners around `worst` that lie outside. Convex: there is one such run. */
static bool cut(twi_sight *s, size_t worst, double bound, int side, double eps)
{
    size_t first = worst, last = worst, gone = 1;
    while (gone < s->count && outside(s, before(s, first), bound, side, eps)) {
        first = before(s, first);
        gone++;
    }
    while (gone < s->count && outside(s, after(s, last), bound, side, eps)) {
        last = after(s, last);
        gone++;
    }
    if (gone == s->count)
        return false;
    make_room(s);
    const corner ends[2] = {crossing(s, before(s, first), first, bound), crossing(s, after(s, last), last, bound)};
    double *value = s->value, *slope = s->slope;
    for (size_t i = 0, from = after(s, last); i < s->count - gone; i++, from = after(s, from)) {
        s->other[0][i] = value[from];
        s->other[1][i] = slope[from];
    }
    s->value = s->other[0];
    s->slope = s->other[1];
    s->other[0] = value;
    s->other[1] = slope;
    s->count -= gone;
    add_corner(s, ends[0]);
    add_corner(s, ends[1]);
    return true;
}

bool twi_sight_clip(twi_sight *sight, double dt, double bound, int side, double eps)
{
    size_t ends[2];
    look(sight, dt, ends);
    size_t worst = ends[side > 0];
    return !outside(sight, worst, bound, side, eps) || cut(sight, worst, bound, side, eps);
}

bool twi_sight_gate(twi_sight *sight, double dt, double eps, double *lo, double *hi)
{
    size_t ends[2];
    look(sight, dt, ends);
    double least = sight->at[ends[0]], most = sight->at[ends[1]];
    if (least > *hi + eps || most < *lo - eps)
        return false;
    if (most > *hi + eps && !cut(sight, ends[1], *hi, 1, eps))
        return false;
    if (least < *lo - eps) {
        look(sight, dt, ends);
        if (!cut(sight, ends[0], *lo, -1, eps))
            return false;
    }
    *lo = tw_min(tw_max(least, *lo), *hi);
    *hi = tw_max(tw_min(most, *hi), *lo);
    return true;
}
