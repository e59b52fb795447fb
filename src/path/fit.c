/* SPDX-License-Identifier: Apache-2.0
 *
 * min sum care (x - wish)^2 + smoothness sum (step)^2 over the frames, x linear in the values of the keys. Every limit
 * is a linear row. One slack, dear enough to stay at 0 where it can, relaxes the rows of the tube: what is left of it
 * is the miss.
 */
#include "fit.h"

#include "qp.h"

#define PENALTY 1e7 /* exact as long as the multipliers of the tube's rows sum to less */
#define EXACT 1e-10 /* widths: how well a row must hold */

/* ---- x as a sum of key values ---------------------------------------------------------------------------- */

/* Routes have room for two values past the last key: a coefficient of 0 may point there. */
static double value_of(const twi_basis *b, const double *p)
{
    return b->c[0] * p[b->key] + b->c[1] * p[b->key + 1] + b->c[2] * p[b->key + 2];
}

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
    return value_of(&b, route->p[axis]);
}

/* ---- one fit --------------------------------------------------------------------------------------------- */

typedef struct fitting {
    const twi_task *task;
    twi_route *route;
    int axis;
    size_t first, last;               /* free keys */
    size_t from, to;                  /* frames they matter for, both included */
    twi_basis *rows;                  /* by frame - from */
    size_t unknown[TWI_FIT_MOST + 1]; /* of key first + i: its unknown; keys of a flat link share one */
    size_t unknowns;
} fitting;

/* The unknown of a key, SIZE_MAX when its value is given. */
static size_t unknown_of(const fitting *f, size_t key)
{
    return key >= f->first && key <= f->last ? f->unknown[key - f->first] : SIZE_MAX;
}

static void number_unknowns(fitting *f)
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
    size_t unknown[4];
    double c[4];
    size_t count;
    double given;
} line;

static void add_term(const fitting *f, size_t key, double c, line *out)
{
    if (c == 0)
        return;
    size_t u = unknown_of(f, key);
    if (u == SIZE_MAX) {
        out->given += c * f->route->p[f->axis][key];
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

static line line_of(const fitting *f, const twi_basis *b)
{
    line out = {.count = 0};
    for (size_t j = 0; j < 3; j++)
        add_term(f, b->key + j, b->c[j], &out);
    return out;
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

/* The difference of the bases of two neighbouring frames. */
static line step_line(const fitting *f, const twi_basis *a, const twi_basis *b)
{
    line out = {.count = 0};
    for (size_t j = 0; j < 3; j++) {
        add_term(f, a->key + j, -a->c[j], &out);
        add_term(f, b->key + j, b->c[j], &out);
    }
    return out;
}

static void build_form(const fitting *f, form *q)
{
    const twi_task *task = f->task;
    for (size_t i = 0; i < f->unknowns; i++) {
        q->a[i] = 0;
        for (size_t k = 0; k < f->unknowns; k++)
            q->g[i][k] = 0;
        q->g[i][i] = 1e-9; /* a key no frame feels */
    }
    for (size_t t = f->from; t <= f->to; t++) {
        line l = line_of(f, &f->rows[t - f->from]);
        add_square(q, &l, 2 * task->care[t], task->wish[f->axis][t]);
        if (t == f->to)
            break;
        line s = step_line(f, &f->rows[t - f->from], &f->rows[t - f->from + 1]);
        add_square(q, &s, 2 * task->smoothness, 0);
    }
}

/* ---- rows ------------------------------------------------------------------------------------------------ */

/* A row that is violated: value of `b` must be at least (side 1) or at most (side -1) `bound`. */
typedef struct breach {
    twi_basis b;
    int side;
    double bound, amount;
    bool soft;
} breach;

static void check(const twi_basis *b, double value, const double bounds[2], bool soft, breach *worst)
{
    double under = bounds[0] - value, over = value - bounds[1];
    double amount = under > over ? under : over;
    if (amount <= worst->amount)
        return;
    *worst = (breach){*b, under > over ? 1 : -1, under > over ? bounds[0] : bounds[1], amount, soft};
}

static void check_tube(const fitting *f, double slack, breach *worst)
{
    const double *p = f->route->p[f->axis], *lo = f->task->tube[f->axis].lo, *hi = f->task->tube[f->axis].hi;
    size_t worst_at = SIZE_MAX;
    double most = worst->amount;
    for (size_t t = f->from; t <= f->to; t++) {
        double x = value_of(&f->rows[t - f->from], p);
        double amount = fmax(lo[t] - x, x - hi[t]) - slack;
        if (amount > most) {
            most = amount;
            worst_at = t;
        }
    }
    if (worst_at == SIZE_MAX)
        return;
    const twi_basis *b = &f->rows[worst_at - f->from];
    double x = value_of(b, p);
    check(b, x, (double[2]){lo[worst_at] - slack, hi[worst_at] + slack}, true, worst);
    worst->bound = worst->side > 0 ? lo[worst_at] : hi[worst_at];
}

static void check_keys(const fitting *f, breach *worst)
{
    const twi_route *r = f->route;
    const double *p = r->p[f->axis];
    size_t before = f->first > 0 ? f->first - 1 : 0;
    for (size_t k = before; k <= f->last; k++) {
        if (k >= f->first) {
            twi_basis own = {k, {1, 0, 0}};
            const twi_tube *room = &f->task->room[f->axis];
            check(&own, p[k], (double[2]){room->lo[r->t[k]], room->hi[r->t[k]]}, false, worst);
        }
        if (k + 1 >= r->count)
            continue;
        twi_basis link = {k, {-1, 1, 0}};
        double most = f->task->speed[f->axis] * (double)(r->t[k + 1] - r->t[k]);
        check(&link, p[k + 1] - p[k], (double[2]){-most, most}, false, worst);
    }
}

/* |v2 - v1| <= 2 r a, times r to have it in widths. A key on the shot's first or last frame has no corner. */
static void check_corners(const fitting *f, breach *worst)
{
    const twi_route *r = f->route;
    const double *p = r->p[f->axis];
    size_t from = f->first > 0 ? f->first - 1 : 0, to = f->last + 1 < r->count ? f->last + 1 : f->last;
    for (size_t k = from; k <= to && isfinite(f->task->accel); k++) {
        if (!(r->r[k] > 0))
            continue;
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
        double most = 2 * r->r[k] * r->r[k] * f->task->accel;
        check(&b, value_of(&b, p), (double[2]){-most, most}, false, worst);
    }
}

/* ---- solving --------------------------------------------------------------------------------------------- */

static void hand_out(const fitting *f, const twi_qp *qp)
{
    for (size_t k = f->first; k <= f->last; k++)
        if (unknown_of(f, k) != SIZE_MAX)
            f->route->p[f->axis][k] = qp->x[unknown_of(f, k)];
}

static bool add_row(const fitting *f, twi_qp *qp, const breach *row)
{
    double n[TWI_QP_MOST] = {0};
    line l = line_of(f, &row->b);
    for (size_t i = 0; i < l.count; i++)
        n[l.unknown[i]] = row->side * l.c[i];
    n[f->unknowns] = row->soft ? 1 : 0;
    return twi_qp_add(qp, n, row->side * (row->bound - l.given));
}

static bool no_slack_below_zero(twi_qp *qp, size_t slack)
{
    double n[TWI_QP_MOST] = {0};
    n[slack] = 1;
    return twi_qp_add(qp, n, 0);
}

/* How far the values miss the tube; INFINITY where a hard limit is broken. */
static double miss_of(const fitting *f)
{
    breach worst = {.amount = EXACT};
    check_keys(f, &worst);
    check_corners(f, &worst);
    if (worst.amount > 1e-7)
        return INFINITY;
    worst = (breach){.amount = 0};
    check_tube(f, 0, &worst);
    return worst.amount;
}

static bool solve_axis(const fitting *f)
{
    twi_qp qp;
    form q;
    size_t slack = f->unknowns;
    build_form(f, &q);
    for (size_t i = 0; i < slack; i++)
        q.g[slack][i] = 0;
    q.g[slack][slack] = 1;
    q.a[slack] = PENALTY;
    if (!twi_qp_start(&qp, slack + 1, q.g, q.a) || !no_slack_below_zero(&qp, slack))
        return false;
    for (size_t step = 0; step < 20 * TWI_QP_MOST; step++) {
        breach worst = {.amount = EXACT};
        hand_out(f, &qp);
        check_keys(f, &worst);
        check_corners(f, &worst);
        check_tube(f, fmax(qp.x[slack], 0), &worst);
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

static double cost_of(const fitting *f)
{
    const double *p = f->route->p[f->axis], *wish = f->task->wish[f->axis];
    double cost = 0, was = value_of(&f->rows[0], p);
    for (size_t t = f->from; t <= f->to; t++) {
        double x = value_of(&f->rows[t - f->from], p);
        cost += f->task->care[t] * (x - wish[t]) * (x - wish[t]) + f->task->smoothness * (x - was) * (x - was);
        was = x;
    }
    return cost;
}

static void build_rows(fitting *f)
{
    const twi_route *r = f->route;
    f->from = f->first == 0 ? 0 : r->t[f->first - 1] - (size_t)r->r[f->first - 1];
    f->to = f->last + 1 >= r->count ? f->task->n - 1 : r->t[f->last + 1] + (size_t)r->r[f->last + 1];
    size_t link = SIZE_MAX, next = f->first > 1 ? f->first - 2 : 0;
    for (size_t t = f->from; t <= f->to; t++) {
        while (next < r->count && r->t[next] <= t)
            link = next++;
        f->rows[t - f->from] = basis_at(r, link, (double)t);
    }
}

twi_score twi_fit(const twi_task *task, twi_route *route, size_t first, size_t last)
{
    fitting f = {.task = task, .route = route, .first = first, .last = last, .rows = task->rows};
    twi_score score = {0, 0};
    TW_ASSERT(last - first < TWI_FIT_MOST);
    build_rows(&f);
    number_unknowns(&f);
    for (size_t a = 0; a < task->axes; a++) {
        f.axis = (int)a;
        if (f.unknowns > 0 && !solve_axis(&f))
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
            double x = value_of(&b, route->p[a]);
            double amount = fmax(task->tube[a].lo[t] - x, x - task->tube[a].hi[t]);
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
    if (route->count <= TWI_FIT_MOST)
        return twi_fit(task, route, 0, route->count - 1);
    for (size_t sweep = 0; sweep < 2; sweep++) {
        for (size_t first = 0; first < route->count; first += TWI_FIT_MOST / 2) {
            size_t last = first + TWI_FIT_MOST < route->count ? first + TWI_FIT_MOST - 1 : route->count - 1;
            twi_score s = twi_fit(task, route, first, last);
            score.miss = isinf(s.miss) ? s.miss : score.miss;
        }
    }
    if (!isinf(score.miss))
        twi_fit_worst(task, route, &score.miss);
    return score;
}
