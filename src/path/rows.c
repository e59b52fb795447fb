/* SPDX-License-Identifier: Apache-2.0 */
#include "rows.h"

static twi_basis times(const twi_basis *b, double factor)
{
    return (twi_basis){b->key, {factor * b->c[0], factor * b->c[1], factor * b->c[2]}};
}

/* ---- one row --------------------------------------------------------------------------------------------- */

/* lo <= own <= hi. */
static void check(const twi_fitting *f, const twi_basis *own, const double bounds[2], twi_row *worst)
{
    double value = twi_basis_value(own, f->route->p[f->axis]);
    double under = bounds[0] - value, over = value - bounds[1], amount = fmax(under, over);
    if (amount <= worst->amount)
        return;
    *worst = (twi_row){.axis = f->axis, .own = *own, .wide = {.key = own->key}, .amount = amount};
    worst->side = under > over ? 1 : -1;
    worst->bound = under > over ? bounds[0] : bounds[1];
}

/* side 1: own + wide >= bound; side -1: own + wide <= bound. */
static void check_side(const twi_fitting *f, const twi_row *row, twi_row *worst)
{
    double value = twi_basis_value(&row->own, f->route->p[row->axis]) + twi_basis_value(&row->wide, f->route->p[TWI_W]);
    double amount = row->side * (row->bound - value);
    if (amount <= worst->amount)
        return;
    *worst = *row;
    worst->amount = amount;
}

/* |own| <= most, a part of the widths. */
static void check_within(const twi_fitting *f, int axis, const twi_basis *own, const twi_basis *most, twi_row *worst)
{
    for (int side = -1; side <= 1; side += 2) {
        twi_row row = {.axis = axis, .side = side, .own = *own, .wide = times(most, side)};
        check_side(f, &row, worst);
    }
}

/* ---- the tube -------------------------------------------------------------------------------------------- */

double twi_rows_miss(const twi_task *task, const twi_route *route, const twi_basis *b, size_t t, int axis)
{
    double x = twi_basis_value(b, route->p[axis]), lo = task->tube[axis].lo[t], hi = task->tube[axis].hi[t];
    if (task->joint && axis != TWI_W) {
        double w = twi_basis_value(b, route->p[TWI_W]);
        lo += task->lean[axis].lo[t] * w;
        hi += task->lean[axis].hi[t] * w;
    }
    return fmax(lo - x, x - hi);
}

/* The row of the tube that a value at a frame breaks. */
static twi_row tube_row(const twi_fitting *f, size_t t, int axis)
{
    const twi_task *task = f->task;
    const twi_basis *b = &f->basis[t - f->from];
    bool leans = task->joint && axis != TWI_W;
    double x = twi_basis_value(b, f->route->p[axis]), w = leans ? twi_basis_value(b, f->route->p[TWI_W]) : 0;
    double lean_lo = leans ? task->lean[axis].lo[t] : 0, lean_hi = leans ? task->lean[axis].hi[t] : 0;
    double lo = task->tube[axis].lo[t], hi = task->tube[axis].hi[t];
    bool under = lo + lean_lo * w - x > x - hi - lean_hi * w;
    return (twi_row){.axis = axis,
                     .side = under ? 1 : -1,
                     .own = *b,
                     .wide = times(b, under ? -lean_lo : -lean_hi),
                     .bound = under ? lo : hi,
                     .soft = true};
}

/* The frame that misses a tube by more than *most, and most; SIZE_MAX when none does. The first is the loop all fits
 * spend their time in. */
static size_t worst_frame(const twi_fitting *f, int axis, double slack, double *most)
{
    const double *p = f->route->p[axis], *lo = f->task->tube[axis].lo, *hi = f->task->tube[axis].hi;
    size_t worst_at = SIZE_MAX;
    for (size_t t = f->from; t <= f->to; t++) {
        double x = twi_basis_value(&f->basis[t - f->from], p);
        double under = lo[t] - x, over = x - hi[t], amount = (under > over ? under : over) - slack;
        if (amount > *most) {
            *most = amount;
            worst_at = t;
        }
    }
    return worst_at;
}

static size_t worst_leaning(const twi_fitting *f, int axis, double slack, double *most)
{
    size_t worst_at = SIZE_MAX;
    for (size_t t = f->from; t <= f->to; t++) {
        double amount = twi_rows_miss(f->task, f->route, &f->basis[t - f->from], t, axis) - slack;
        if (amount > *most) {
            *most = amount;
            worst_at = t;
        }
    }
    return worst_at;
}

void twi_rows_tube(const twi_fitting *f, double slack, twi_row *worst)
{
    size_t worst_at = SIZE_MAX;
    double most = worst->amount;
    int axis = f->axis;
    for (int a = f->axis; a <= f->last_axis; a++) {
        size_t at = f->task->joint ? worst_leaning(f, a, slack, &most) : worst_frame(f, a, slack, &most);
        if (at == SIZE_MAX)
            continue;
        worst_at = at;
        axis = a;
    }
    if (worst_at == SIZE_MAX)
        return;
    *worst = tube_row(f, worst_at, axis);
    worst->amount = most;
}

/* ---- keys and links -------------------------------------------------------------------------------------- */

/* Windows inside the source: room.lo + half w <= x <= room.hi - half w. */
static void check_window(const twi_fitting *f, size_t k, twi_row *worst)
{
    twi_basis own = {k, {1, 0, 0}};
    size_t t = f->route->t[k];
    for (int a = f->axis; a <= f->last_axis; a++) {
        double half = a == TWI_W ? 0 : f->task->half[a];
        twi_row low = {a, 1, own, times(&own, -half), f->task->room[a].lo[t], 0, false};
        twi_row high = {a, -1, own, times(&own, half), f->task->room[a].hi[t], 0, false};
        check_side(f, &low, worst);
        check_side(f, &high, worst);
    }
}

/* No faster than a share of the window, which is narrowest at one end of the link. */
static void check_link(const twi_fitting *f, size_t k, twi_row *worst)
{
    twi_basis link = {k, {-1, 1, 0}};
    double dt = (double)(f->route->t[k + 1] - f->route->t[k]);
    for (int a = f->axis; a <= f->last_axis; a++) {
        double most = f->task->speed[a] * dt;
        check_within(f, a, &link, &(twi_basis){k, {most, 0, 0}}, worst);
        check_within(f, a, &link, &(twi_basis){k, {0, most, 0}}, worst);
    }
}

void twi_rows_keys(const twi_fitting *f, twi_row *worst)
{
    const twi_route *r = f->route;
    const twi_tube *room = &f->task->room[f->axis];
    for (size_t k = f->first > 0 ? f->first - 1 : 0; k <= f->last; k++) {
        bool link = k + 1 < r->count;
        if (f->task->joint) {
            if (k >= f->first)
                check_window(f, k, worst);
            if (link)
                check_link(f, k, worst);
            continue;
        }
        if (k >= f->first)
            check(f, &(twi_basis){k, {1, 0, 0}}, (double[2]){room->lo[r->t[k]], room->hi[r->t[k]]}, worst);
        double most = link ? f->task->speed[f->axis] * (double)(r->t[k + 1] - r->t[k]) : 0;
        if (link)
            check(f, &(twi_basis){k, {-1, 1, 0}}, (double[2]){-most, most}, worst);
    }
}

/* ---- corners --------------------------------------------------------------------------------------------- */

/* (v2 - v1) r of a key. */
static twi_basis bend_of(const twi_route *r, size_t k)
{
    twi_basis b = {.key = k > 0 ? k - 1 : k};
    if (k > 0) {
        double c = r->r[k] / (double)(r->t[k] - r->t[k - 1]);
        b.c[0] += c;
        b.c[1] -= c;
    }
    if (k + 1 < r->count) {
        double c = r->r[k] / (double)(r->t[k + 1] - r->t[k]);
        b.c[k - b.key] -= c;
        b.c[k + 1 - b.key] += c;
    }
    return b;
}

/* |v2 - v1| <= 2 r a, times r to have it in widths. A key on the shot's first or last frame has no corner. */
void twi_rows_corners(const twi_fitting *f, twi_row *worst)
{
    const twi_route *r = f->route;
    size_t from = f->first > 0 ? f->first - 1 : 0, to = f->last + 1 < r->count ? f->last + 1 : f->last;
    for (size_t k = from; k <= to && isfinite(f->task->accel); k++) {
        if (!(r->r[k] > 0))
            continue;
        twi_basis bend = bend_of(r, k);
        double most = 2 * r->r[k] * r->r[k] * f->task->accel;
        if (!f->task->joint)
            check(f, &bend, (double[2]){-most, most}, worst);
        for (int a = f->axis; f->task->joint && a <= f->last_axis; a++)
            check_within(f, a, &bend, &(twi_basis){k, {most, 0, 0}}, worst);
    }
}

void twi_rows_ways(const twi_fitting *f, twi_row *worst)
{
    for (int a = f->axis; f->directed && a <= f->last_axis; a++) {
        for (size_t k = f->first > 0 ? f->first - 1 : 0; k <= f->last && k + 1 < f->route->count; k++) {
            double way = f->way[a][k + 1 - f->first];
            twi_row row = {.axis = a, .side = 1, .own = {k, {-way, way, 0}}, .wide = {.key = k}};
            check_side(f, &row, worst);
        }
    }
}
