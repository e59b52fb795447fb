/* SPDX-License-Identifier: Apache-2.0 */
#include "sight.h"

#include <math.h>

void twi_sight_start(twi_sight *sight, double lo, double hi, double speed)
{
    sight->count = 4;
    sight->corner[0].value = sight->corner[3].value = lo;
    sight->corner[1].value = sight->corner[2].value = hi;
    sight->corner[0].slope = sight->corner[1].slope = -speed;
    sight->corner[2].slope = sight->corner[3].slope = speed;
}

void twi_sight_range(const twi_sight *sight, double dt, double *lo, double *hi)
{
    *lo = *hi = sight->corner[0].value + sight->corner[0].slope * dt;
    for (size_t i = 1; i < sight->count; i++) {
        double at = sight->corner[i].value + sight->corner[i].slope * dt;
        *lo = at < *lo ? at : *lo;
        *hi = at > *hi ? at : *hi;
    }
}

/* Twice the area of the triangle of a corner and its neighbours. */
static double area_at(const twi_sight *s, size_t i)
{
    size_t a = (i + s->count - 1) % s->count, b = (i + 1) % s->count;
    return fabs((s->corner[i].value - s->corner[a].value) * (s->corner[b].slope - s->corner[a].slope) -
                (s->corner[i].slope - s->corner[a].slope) * (s->corner[b].value - s->corner[a].value));
}

/* Makes room by leaving out the corner that matters least: the polygon only ever gets smaller. */
static void drop_corner(twi_sight *s)
{
    size_t least = 0;
    for (size_t i = 1; i < s->count; i++)
        if (area_at(s, i) < area_at(s, least))
            least = i;
    for (size_t i = least; i + 1 < s->count; i++)
        s->corner[i] = s->corner[i + 1];
    s->count--;
}

static void add_corner(twi_sight *s, double value, double slope)
{
    if (s->count > 0) {
        double dv = fabs(s->corner[s->count - 1].value - value), ds = fabs(s->corner[s->count - 1].slope - slope);
        if (dv <= 1e-13 * fabs(value) && ds <= 1e-13 * fabs(slope))
            return;
    }
    s->corner[s->count].value = value;
    s->corner[s->count++].slope = slope;
}

/* Sutherland and Hodgman's clipping by one half-plane. */
bool twi_sight_clip(twi_sight *sight, double dt, double bound, int side, double eps)
{
    if (sight->count + 2 > TWI_SIGHT_MOST)
        drop_corner(sight);
    twi_sight out;
    out.count = 0;
    for (size_t i = 0; i < sight->count; i++) {
        size_t j = i + 1 < sight->count ? i + 1 : 0;
        double value = sight->corner[i].value, slope = sight->corner[i].slope;
        double next_value = sight->corner[j].value, next_slope = sight->corner[j].slope;
        double here = side * (value + slope * dt - bound), there = side * (next_value + next_slope * dt - bound);
        if (here <= eps)
            add_corner(&out, value, slope);
        if ((here <= eps) == (there <= eps))
            continue;
        double share = here / (here - there);
        share = share < 0 ? 0 : share > 1 ? 1 : share;
        add_corner(&out, value + (next_value - value) * share, slope + (next_slope - slope) * share);
    }
    sight->count = out.count;
    for (size_t i = 0; i < out.count; i++)
        sight->corner[i] = out.corner[i];
    return out.count > 0;
}
