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
    double under = bounds[0] - value, over = value - bounds[1], amount = tw_max(under, over);
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

double twi_rows_amount(const twi_fitting *f, const twi_row *row, double slack)
{
    double value = twi_basis_value(&row->own, f->route->p[row->axis]);
    if (f->last_axis == TWI_W)
        value += twi_basis_value(&row->wide, f->route->p[TWI_W]);
    return row->side * (row->bound - value) - (row->soft ? slack : 0);
}

/* ---- the tube -------------------------------------------------------------------------------------------- */

/* The row of the tube that a value at a frame breaks. */
static twi_row tube_row(const twi_fitting *f, const twi_basis *b, size_t t, int axis)
{
    const twi_task *task = f->task;
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

void twi_rows_piece(const twi_fitting *f, size_t piece, int axis, double slack, twi_row *worst)
{
    double most = worst->amount + slack;
    size_t t = twi_piece_worst(f->task, f->route, &f->piece[piece], axis, &most);
    if (t == SIZE_MAX)
        return;
    twi_basis b = twi_piece_basis(&f->piece[piece], t);
    *worst = tube_row(f, &b, t, axis);
    worst->amount = most - slack;
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
static void check_corner(const twi_fitting *f, size_t k, twi_row *worst)
{
    const twi_route *r = f->route;
    if (!isfinite(f->task->accel) || !(r->r[k] > 0))
        return;
    twi_basis bend = bend_of(r, k);
    double most = 2 * r->r[k] * r->r[k] * f->task->accel;
    if (!f->task->joint)
        check(f, &bend, (double[2]){-most, most}, worst);
    for (int a = f->axis; f->task->joint && a <= f->last_axis; a++)
        check_within(f, a, &bend, &(twi_basis){k, {most, 0, 0}}, worst);
}

/* ---- all ------------------------------------------------------------------------------------------------- */

/* A link goes its way only. */
static void check_way(const twi_fitting *f, size_t k, twi_row *worst)
{
    for (int a = f->axis; a <= f->last_axis; a++) {
        double way = f->way[a][k + 1 - f->first];
        twi_row row = {.axis = a, .side = 1, .own = {k, {-way, way, 0}}, .wide = {.key = k}};
        check_side(f, &row, worst);
    }
}

void twi_rows_key(const twi_fitting *f, size_t k, twi_row *worst)
{
    const twi_route *r = f->route;
    const twi_tube *room = &f->task->room[f->axis];
    bool link = k <= f->last && k + 1 < r->count, own = k >= f->first && k <= f->last, joint = f->task->joint;
    if (joint && own)
        check_window(f, k, worst);
    else if (own)
        check(f, &(twi_basis){k, {1, 0, 0}}, (double[2]){room->lo[r->t[k]], room->hi[r->t[k]]}, worst);
    if (joint && link) {
        check_link(f, k, worst);
    } else if (link) {
        double most = f->task->speed[f->axis] * (double)(r->t[k + 1] - r->t[k]);
        check(f, &(twi_basis){k, {-1, 1, 0}}, (double[2]){-most, most}, worst);
    }
    if (f->directed && link)
        check_way(f, k, worst);
    check_corner(f, k, worst);
}

void twi_rows_broken(const twi_fitting *f, double slack, double least, twi_rows *out)
{
    size_t first = f->first > 0 ? f->first - 1 : 0, end = f->last + 1 < f->route->count ? f->last + 2 : f->last + 1;
    out->count = 0;
    for (size_t k = first; k < end; k++) {
        out->row[out->count].amount = least;
        twi_rows_key(f, k, &out->row[out->count]);
        out->count += out->row[out->count].amount > least;
    }
    for (size_t i = 0; i < f->pieces; i++) {
        for (int a = f->axis; a <= f->last_axis; a++) {
            out->row[out->count].amount = least;
            twi_rows_piece(f, i, a, slack, &out->row[out->count]);
            out->count += out->row[out->count].amount > least;
        }
    }
}
