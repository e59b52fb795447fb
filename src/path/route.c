/* SPDX-License-Identifier: Apache-2.0
 *
 * Keyframes as a list: copying, taking out, putting in, easing.
 */
#include "fit.h"

twi_route twi_route_new(tw_arena *arena, size_t cap)
{
    twi_route route = {.cap = cap, .t = TW_NEW_N(arena, size_t, cap), .r = TW_NEW_N(arena, double, cap)};
    for (int a = 0; a < TWI_AXES; a++)
        route.p[a] = TW_NEW_N(arena, double, cap + 2);
    route.flat = TW_NEW_N(arena, bool, cap);
    route.shrink = TW_NEW_N(arena, unsigned char, cap);
    return route;
}

/* Moves the keys from `from` on to `to`, in all columns. */
static void shift(twi_route *route, size_t to, size_t from, size_t count)
{
    memmove(route->t + to, route->t + from, count * sizeof *route->t);
    memmove(route->r + to, route->r + from, count * sizeof *route->r);
    for (int a = 0; a < TWI_AXES; a++)
        memmove(route->p[a] + to, route->p[a] + from, count * sizeof *route->p[a]);
    memmove(route->flat + to, route->flat + from, count * sizeof *route->flat);
    memmove(route->shrink + to, route->shrink + from, count * sizeof *route->shrink);
}

void twi_route_copy(twi_route *to, const twi_route *from)
{
    TW_ASSERT(to->cap >= from->count);
    to->count = from->count;
    memcpy(to->t, from->t, from->count * sizeof *to->t);
    memcpy(to->r, from->r, from->count * sizeof *to->r);
    for (int a = 0; a < TWI_AXES; a++)
        memcpy(to->p[a], from->p[a], from->count * sizeof *to->p[a]);
    memcpy(to->flat, from->flat, from->count * sizeof *to->flat);
    memcpy(to->shrink, from->shrink, from->count * sizeof *to->shrink);
}

void twi_route_remove(twi_route *route, size_t i)
{
    bool rests = i > 0 && route->flat[i - 1] && route->flat[i];
    shift(route, i, i + 1, route->count - i - 1);
    route->count--;
    if (i > 0)
        route->flat[i - 1] = rests;
    route->flat[route->count - 1] = false;
}

void twi_route_insert(twi_route *route, size_t i, size_t t)
{
    TW_ASSERT(route->count < route->cap && i <= route->count);
    double value[TWI_AXES];
    for (int a = 0; a < TWI_AXES; a++)
        value[a] = twi_route_at(route, a, t);
    shift(route, i + 1, i, route->count - i);
    route->count++;
    route->t[i] = t;
    for (int a = 0; a < TWI_AXES; a++)
        route->p[a][i] = value[a];
    route->flat[i] = false;
    route->shrink[i] = 0;
    if (i > 0)
        route->flat[i - 1] = false;
}

void twi_route_ease(const twi_task *task, twi_route *route)
{
    for (size_t i = 0; i < route->count; i++) {
        bool first = i == 0, last = i + 1 == route->count;
        double before = first ? (double)route->t[i] : (double)(route->t[i] - route->t[i - 1]) / 2;
        double after = last ? (double)(task->n - 1 - route->t[i]) : (double)(route->t[i + 1] - route->t[i]) / 2;
        double ease = task->ease / (double)(1u << route->shrink[i]);
        route->r[i] = route->shrink[i] > 4 ? 0 : floor(tw_min(ease, tw_min(before, after)));
    }
}
