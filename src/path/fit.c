/* SPDX-License-Identifier: Apache-2.0
 *
 * min sum care (x - wish)^2 + smoothness sum (step)^2 over the frames, x linear in the values of the keys. Every limit
 * is a linear row. One slack, dear enough to stay at 0 where it can, relaxes the rows of the tube: what is left of it
 * is the miss.
 *
 * Where travel costs (lam), 2 lam sum |p_{i+1} - p_i| is added. It is linear as long as no link turns round: each
 * is held to its way, and links that come to rest are tried the other way, too.
 */
#include "rows.h"

#include "qp.h"

#define PENALTY 1e7 /* exact as long as the multipliers of the tube's rows sum to less */
#define EXACT 1e-10 /* widths: how well a row must hold */

/* ---- x as a sum of key values ---------------------------------------------------------------------------- */

/* Adds the corner of key i to a basis that starts at key b->key. */
static void add_corner(const twi_route *r, size_t i, double t, twi_basis *b)
{
    double inside = r->r[i] - fabs(t - (double)r->t[i]);
    if (!(inside > 0))
        return;
    double share = inside * inside / (4 * r->r[i]);
    if (i + 1 < r->count) {
        double after = share / (double)(r->t[i + 1] - r->t[i]);
        b->c[i + 1 - b->key] += after;
        b->c[i - b->key] -= after;
    }
    if (i > 0) {
        double before = share / (double)(r->t[i] - r->t[i - 1]);
        b->c[i - b->key] -= before;
        b->c[i - 1 - b->key] += before;
    }
}

/* `link` is the last key at or before t, or SIZE_MAX. */
static twi_basis basis_at(const twi_route *r, size_t link, double t)
{
    twi_basis b = {.c = {0}};
    size_t last = r->count - 1, left = link == SIZE_MAX ? 0 : link,
           right = link == SIZE_MAX || link == last ? left : left + 1;
    double share = right > left ? (t - (double)r->t[left]) / (double)(r->t[right] - r->t[left]) : 0;
    bool in_left = fabs(t - (double)r->t[left]) < r->r[left];
    b.key = in_left && left > 0 ? left - 1 : left;
    b.c[left - b.key] += 1 - share;
    b.c[right - b.key] += share;
    if (in_left)
        add_corner(r, left, t, &b);
    else if (right > left)
        add_corner(r, right, t, &b);
    return b;
}

double twi_route_at(const twi_route *route, int axis, size_t frame)
{
    size_t low = 0, high = route->count;
    while (low < high) {
        size_t middle = low + (high - low) / 2;
        if (route->t[middle] <= frame)
            low = middle + 1;
        else
            high = middle;
    }
    twi_basis b = basis_at(route, low - 1, (double)frame);
    return twi_basis_value(&b, route->p[axis]);
}

/* ---- one fit --------------------------------------------------------------------------------------------- */

/* The unknown of a key's value, SIZE_MAX when that is given. */
static size_t unknown_of(const twi_fitting *f, int axis, size_t key)
{
    size_t own = key >= f->first && key <= f->last ? f->unknown[key - f->first] : SIZE_MAX;
    return own == SIZE_MAX ? own : own + (size_t)(axis - f->axis) * f->unknowns;
}

static size_t all_unknowns(const twi_fitting *f)
{
    return f->unknowns * (size_t)(f->last_axis - f->axis + 1);
}

static void number_unknowns(twi_fitting *f)
{
    f->unknowns = 0;
    for (size_t k = f->first; k <= f->last; k++) {
        size_t i = k - f->first;
        bool tied = k > 0 && f->route->flat[k - 1];
        if (tied && k == f->first)
            f->unknown[i] = SIZE_MAX; /* as the given key before */
        else
            f->unknown[i] = tied ? f->unknown[i - 1] : f->unknowns++;
        if (f->unknown[i] == SIZE_MAX)
            for (int a = 0; a < TWI_AXES; a++)
                f->route->p[a][k] = f->route->p[a][k - 1];
    }
    if (f->last + 1 >= f->route->count || !f->route->flat[f->last])
        return;
    size_t given = f->unknown[f->last - f->first]; /* as the given key behind */
    for (size_t k = f->first; k <= f->last && given != SIZE_MAX; k++) {
        if (f->unknown[k - f->first] != given)
            continue;
        f->unknown[k - f->first] = SIZE_MAX;
        for (int a = 0; a < TWI_AXES; a++)
            f->route->p[a][k] = f->route->p[a][f->last + 1];
    }
    f->unknowns -= given != SIZE_MAX;
}

/* Adds weight * (sum of coefficient * unknown + given - target)^2 / 2 to the quadratic form. */
typedef struct form {
    double g[TWI_QP_MOST][TWI_QP_MOST];
    double a[TWI_QP_MOST];
} form;

typedef struct line {
    size_t unknown[8];
    double c[8];
    size_t count;
    double given;
} line;

static void add_term(const twi_fitting *f, int axis, size_t key, double c, line *out)
{
    if (c == 0)
        return;
    size_t u = unknown_of(f, axis, key);
    if (u == SIZE_MAX) {
        out->given += c * f->route->p[axis][key];
        return;
    }
    for (size_t i = 0; i < out->count; i++) {
        if (out->unknown[i] == u) {
            out->c[i] += c;
            return;
        }
    }
    out->unknown[out->count] = u;
    out->c[out->count++] = c;
}

static void add_basis(const twi_fitting *f, int axis, const twi_basis *b, double sign, line *out)
{
    for (size_t j = 0; j < 3; j++)
        add_term(f, axis, b->key + j, sign * b->c[j], out);
}

static void add_square(form *q, const line *l, double weight, double target)
{
    double miss = l->given - target;
    for (size_t i = 0; i < l->count; i++) {
        for (size_t k = 0; k < l->count; k++)
            q->g[l->unknown[i]][l->unknown[k]] += weight * l->c[i] * l->c[k];
        q->a[l->unknown[i]] += weight * l->c[i] * miss;
    }
}

/* The sum of squares of frames whose bases begin at the same key: lower triangle, and what targets add. */
typedef struct patch {
    double g[3][3], a[3];
} patch;

static void add_to_patch(patch *p, const double c[3], double weight, double target)
{
    size_t size = c[2] != 0 ? 3 : 2; /* only corners need three keys */
    for (size_t i = 0; i < size; i++) {
        double share = weight * c[i];
        for (size_t k = 0; k <= i; k++)
            p->g[i][k] += share * c[k];
        p->a[i] += share * target;
    }
}

/* Puts a patch in its place and empties it. */
static void add_patch(const twi_fitting *f, int axis, size_t key, patch *p, form *q)
{
    for (size_t i = 0; i < 3; i++) {
        size_t own = p->g[i][i] != 0 ? unknown_of(f, axis, key + i) : SIZE_MAX;
        if (own == SIZE_MAX)
            continue;
        q->a[own] -= p->a[i];
        for (size_t k = 0; k < 3; k++) {
            double g = k <= i ? p->g[i][k] : p->g[k][i];
            size_t other = g != 0 ? unknown_of(f, axis, key + k) : SIZE_MAX;
            if (other != SIZE_MAX)
                q->g[own][other] += g;
            else if (g != 0)
                q->a[own] += g * f->route->p[axis][key + k];
        }
    }
    *p = (patch){.a = {0}};
}

/* One axis: being where it is wished for, and standing still. */
static void add_wishes(const twi_fitting *f, int axis, form *q)
{
    const double *care = f->task->care, *wish = f->task->wish[axis], smoothness = 2 * f->task->smoothness;
    patch p = {.a = {0}};
    for (size_t t = f->from; t <= f->to; t++) {
        const twi_basis *b = &f->basis[t - f->from];
        add_to_patch(&p, b->c, 2 * care[t], wish[t]);
        if (t < f->to && b[1].key == b->key) {
            const double step[3] = {b[1].c[0] - b->c[0], b[1].c[1] - b->c[1], b[1].c[2] - b->c[2]};
            add_to_patch(&p, step, smoothness, 0);
            continue;
        }
        add_patch(f, axis, b->key, &p, q);
        if (t == f->to)
            break;
        line step = {.count = 0};
        add_basis(f, axis, b, -1, &step);
        add_basis(f, axis, b + 1, 1, &step);
        add_square(q, &step, smoothness, 0);
    }
}

static void add_travel(const twi_fitting *f, int axis, form *q)
{
    for (size_t k = f->first > 0 ? f->first - 1 : 0; k <= f->last && k + 1 < f->route->count; k++) {
        double price = 2 * f->task->lazy * f->way[axis][k + 1 - f->first];
        size_t from = unknown_of(f, axis, k), to = unknown_of(f, axis, k + 1);
        if (from != SIZE_MAX)
            q->a[from] -= price;
        if (to != SIZE_MAX)
            q->a[to] += price;
    }
}

static void build_form(const twi_fitting *f, form *q)
{
    size_t count = all_unknowns(f);
    for (size_t i = 0; i < count; i++) {
        q->a[i] = 0;
        for (size_t k = 0; k < count; k++)
            q->g[i][k] = 0;
        q->g[i][i] = 1e-9; /* a key no frame feels */
    }
    for (int a = f->axis; a <= f->last_axis; a++) {
        add_wishes(f, a, q);
        if (f->directed)
            add_travel(f, a, q);
    }
}

/* ---- solving --------------------------------------------------------------------------------------------- */

static void hand_out(const twi_fitting *f, const twi_qp *qp)
{
    for (int a = f->axis; a <= f->last_axis; a++)
        for (size_t k = f->first; k <= f->last; k++)
            if (unknown_of(f, a, k) != SIZE_MAX)
                f->route->p[a][k] = qp->x[unknown_of(f, a, k)];
}

static bool add_row(const twi_fitting *f, twi_qp *qp, const twi_row *row)
{
    double n[TWI_QP_MOST] = {0};
    line l = {.count = 0};
    add_basis(f, row->axis, &row->own, 1, &l);
    add_basis(f, TWI_W, &row->wide, 1, &l);
    for (size_t i = 0; i < l.count; i++)
        n[l.unknown[i]] = row->side * l.c[i];
    n[all_unknowns(f)] = row->soft ? 1 : 0;
    return twi_qp_add(qp, n, row->side * (row->bound - l.given));
}

static bool no_slack_below_zero(twi_qp *qp, size_t slack)
{
    double n[TWI_QP_MOST] = {0};
    n[slack] = 1;
    return twi_qp_add(qp, n, 0);
}

/* How far the values miss the tube; INFINITY where a hard limit is broken. */
static double miss_of(const twi_fitting *f)
{
    twi_row worst = {.amount = EXACT};
    twi_rows_keys(f, &worst);
    twi_rows_corners(f, &worst);
    if (worst.amount > 1e-7)
        return INFINITY;
    worst = (twi_row){.amount = 0};
    twi_rows_tube(f, 0, &worst);
    return worst.amount;
}

static bool solve(const twi_fitting *f)
{
    twi_qp qp;
    form q;
    size_t slack = all_unknowns(f);
    build_form(f, &q);
    for (size_t i = 0; i < slack; i++)
        q.g[slack][i] = 0;
    q.g[slack][slack] = 1;
    q.a[slack] = PENALTY;
    if (!twi_qp_start(&qp, slack + 1, q.g, q.a) || !no_slack_below_zero(&qp, slack))
        return false;
    for (size_t step = 0; step < 20 * TWI_QP_MOST; step++) {
        twi_row worst = {.amount = EXACT};
        hand_out(f, &qp);
        twi_rows_keys(f, &worst);
        twi_rows_corners(f, &worst);
        twi_rows_ways(f, &worst);
        twi_rows_tube(f, fmax(qp.x[slack], 0), &worst);
        if (worst.amount <= EXACT) {
            if (qp.x[slack] >= -EXACT)
                return true;
            if (!no_slack_below_zero(&qp, slack))
                return false;
        } else if (!add_row(f, &qp, &worst))
            return false;
    }
    return false;
}

static double axis_cost(const twi_fitting *f, int axis)
{
    const double *p = f->route->p[axis], *wish = f->task->wish[axis];
    double cost = 0, was = twi_basis_value(&f->basis[0], p);
    for (size_t t = f->from; t <= f->to; t++) {
        double x = twi_basis_value(&f->basis[t - f->from], p);
        cost += f->task->care[t] * (x - wish[t]) * (x - wish[t]) + f->task->smoothness * (x - was) * (x - was);
        was = x;
    }
    for (size_t k = f->first > 0 ? f->first - 1 : 0; k <= f->last && k + 1 < f->route->count; k++)
        cost += 2 * f->task->lazy * fabs(p[k + 1] - p[k]);
    return cost;
}

static double cost_of(const twi_fitting *f)
{
    double cost = 0;
    for (int a = f->axis; a <= f->last_axis; a++)
        cost += axis_cost(f, a);
    return cost;
}

/* ---- where travel costs ---------------------------------------------------------------------------------- */

static void copy_keys(const twi_fitting *f, double kept[TWI_AXES][TWI_FIT_MOST], bool back)
{
    for (int a = f->axis; a <= f->last_axis; a++) {
        double *own = f->route->p[a] + f->first;
        size_t bytes = (f->last - f->first + 1) * sizeof *own;
        if (back)
            memcpy(own, kept[a], bytes);
        else
            memcpy(kept[a], own, bytes);
    }
}

static double change_of(const twi_fitting *f, int axis, size_t k)
{
    return f->route->p[axis][k + 1] - f->route->p[axis][k];
}

/* Lets a link that came to rest go the other way, if that is better. */
static void try_other_way(twi_fitting *f, int axis, size_t k)
{
    double kept[TWI_AXES][TWI_FIT_MOST], cost = cost_of(f), miss = miss_of(f);
    signed char *way = &f->way[axis][k + 1 - f->first];
    copy_keys(f, kept, false);
    *way = (signed char)-*way;
    if (solve(f) && miss_of(f) <= fmax(miss, TWI_MISS) && cost_of(f) < cost - 1e-12)
        return;
    *way = (signed char)-*way;
    copy_keys(f, kept, true);
}

static bool solve_lazily(twi_fitting *f)
{
    double kept[TWI_AXES][TWI_FIT_MOST];
    size_t from = f->first > 0 ? f->first - 1 : 0;
    if (!solve(f))
        return false;
    if (!(f->task->lazy > 0))
        return true;
    copy_keys(f, kept, false);
    for (int a = f->axis; a <= f->last_axis; a++)
        for (size_t k = from; k <= f->last && k + 1 < f->route->count; k++)
            f->way[a][k + 1 - f->first] = change_of(f, a, k) < 0 ? -1 : 1;
    f->directed = true;
    if (!solve(f))
        copy_keys(f, kept, true);
    for (int a = f->axis; a <= f->last_axis; a++)
        for (size_t k = from; k <= f->last && k + 1 < f->route->count; k++)
            if (fabs(change_of(f, a, k)) <= 10 * EXACT && !f->route->flat[k])
                try_other_way(f, a, k);
    f->directed = false;
    return true;
}

static void build_basis(twi_fitting *f)
{
    const twi_route *r = f->route;
    f->from = f->first == 0 ? 0 : r->t[f->first - 1] - (size_t)r->r[f->first - 1];
    f->to = f->last + 1 >= r->count ? f->task->n - 1 : r->t[f->last + 1] + (size_t)r->r[f->last + 1];
    size_t link = SIZE_MAX, next = f->first > 1 ? f->first - 2 : 0;
    for (size_t t = f->from; t <= f->to; t++) {
        while (next < r->count && r->t[next] <= t)
            link = next++;
        f->basis[t - f->from] = basis_at(r, link, (double)t);
    }
}

static size_t fit_most(const twi_task *task)
{
    return task->joint ? TWI_JOINT_MOST : TWI_FIT_MOST;
}

twi_score twi_fit(const twi_task *task, twi_route *route, size_t first, size_t last)
{
    twi_fitting f = {.task = task, .route = route, .first = first, .last = last, .basis = task->rows};
    twi_score score = {0, 0};
    TW_ASSERT(last - first < fit_most(task));
    build_basis(&f);
    number_unknowns(&f);
    for (int a = 0; a < (int)task->axes; a = f.last_axis + 1) {
        f.axis = a;
        f.last_axis = task->joint ? TWI_W : a;
        if (f.unknowns > 0 && !solve_lazily(&f))
            score.miss = INFINITY;
        score.miss = fmax(score.miss, miss_of(&f));
        score.cost += cost_of(&f);
    }
    return score;
}

size_t twi_fit_worst(const twi_task *task, const twi_route *route, double *miss)
{
    size_t link = SIZE_MAX, next = 0, at = 0;
    *miss = 0;
    for (size_t t = 0; t < task->n; t++) {
        while (next < route->count && route->t[next] <= t)
            link = next++;
        twi_basis b = basis_at(route, link, (double)t);
        for (size_t a = 0; a < task->axes; a++) {
            double amount = twi_rows_miss(task, route, &b, t, (int)a);
            if (amount > *miss) {
                *miss = amount;
                at = t;
            }
        }
    }
    return at;
}

/* Many keys: stretches that overlap by half, twice over, each with the neighbours' keys as they are by then. */
twi_score twi_fit_all(const twi_task *task, twi_route *route)
{
    twi_score score = {0, 0};
    size_t most = fit_most(task);
    if (route->count <= most)
        return twi_fit(task, route, 0, route->count - 1);
    for (size_t sweep = 0; sweep < 2; sweep++) {
        for (size_t first = 0; first < route->count; first += most / 2) {
            size_t last = first + most < route->count ? first + most - 1 : route->count - 1;
            twi_score s = twi_fit(task, route, first, last);
            score.miss = isinf(s.miss) ? s.miss : score.miss;
        }
    }
    if (!isinf(score.miss))
        twi_fit_worst(task, route, &score.miss);
    return score;
}
