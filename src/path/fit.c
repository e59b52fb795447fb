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

/* The quadratic form, in full. */
typedef struct form {
    double g[TWI_QP_MOST][TWI_QP_MOST];
    double a[TWI_QP_MOST];
} form;

/* Puts the patch of a piece in its place. */
static void add_patch(const twi_fitting *f, int axis, size_t key, const twi_patch *p, form *q)
{
    for (size_t i = 0; i < 3; i++) {
        size_t own = unknown_of(f, axis, key + i);
        if (own == SIZE_MAX)
            continue;
        q->a[own] -= 2 * p->a[i];
        for (size_t k = 0; k < 3; k++) {
            double g = 2 * (k <= i ? p->g[i][k] : p->g[k][i]);
            size_t other = unknown_of(f, axis, key + k);
            if (other != SIZE_MAX)
                q->g[own][other] += g;
            else
                q->a[own] += g * f->route->p[axis][key + k];
        }
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
        for (size_t i = 0; i < f->pieces; i++)
            add_patch(f, a, f->piece[i].key, &f->patch[a][i], q);
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

/* Adds sign * b of an axis: unknowns to n, the rest to what it returns. */
static double add_basis(const twi_fitting *f, int axis, const twi_basis *b, double sign, double *n)
{
    double given = 0;
    for (size_t k = 0; k < 3; k++) {
        size_t u = unknown_of(f, axis, b->key + k);
        if (u != SIZE_MAX)
            n[u] += sign * b->c[k];
        else
            given += sign * b->c[k] * f->route->p[axis][b->key + k];
    }
    return given;
}

static bool add_row(const twi_fitting *f, twi_qp *qp, const twi_row *row)
{
    double n[TWI_QP_MOST] = {0}, given = add_basis(f, row->axis, &row->own, row->side, n);
    if (f->last_axis == TWI_W)
        given += add_basis(f, TWI_W, &row->wide, row->side, n);
    n[all_unknowns(f)] = row->soft ? 1 : 0;
    return twi_qp_add(qp, n, row->side * row->bound - given);
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
    twi_rows rows;
    double miss = 0;
    twi_rows_broken(f, 0, EXACT, &rows);
    for (size_t i = 0; i < rows.count; i++) {
        if (!rows.row[i].soft && rows.row[i].amount > 1e-7)
            return INFINITY;
        miss = rows.row[i].soft ? tw_max(miss, rows.row[i].amount) : miss;
    }
    return miss;
}

/* Hands in what is broken and still is when it is its turn. */
static bool add_rows(const twi_fitting *f, twi_qp *qp, const twi_rows *rows)
{
    size_t slack = all_unknowns(f);
    for (size_t i = 0; i < rows->count; i++) {
        if (i > 0 && twi_rows_amount(f, &rows->row[i], tw_max(qp->x[slack], 0)) <= EXACT)
            continue;
        if (!add_row(f, qp, &rows->row[i]))
            return false;
        hand_out(f, qp);
    }
    return true;
}

static double axis_cost(const twi_fitting *f, int axis)
{
    const double *p = f->route->p[axis];
    double cost = 0;
    for (size_t i = 0; i < f->pieces; i++)
        cost += twi_patch_value(&f->patch[axis][i], p + f->piece[i].key);
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

/* Can this no longer become better than what is known? The values so far are the best within some of the limits: within
 * all of them they cost no less, the slack's penalty included. */
static bool hopeless(const twi_fitting *f, double slack)
{
    if (f->than->miss > TWI_MISS)
        return slack > f->than->miss + f->dearest / PENALTY;
    return f->so_far.cost + cost_of(f) + PENALTY * slack > f->than->cost + PENALTY * EXACT;
}

/* *miss: how far the tube is missed. */
static bool solve(const twi_fitting *f, double *miss)
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
    hand_out(f, &qp);
    for (size_t step = 0; step < 20 * TWI_QP_MOST; step++) {
        twi_rows rows;
        if (hopeless(f, tw_max(qp.x[slack], 0)))
            return false;
        twi_rows_broken(f, tw_max(qp.x[slack], 0), EXACT, &rows);
        if (!add_rows(f, &qp, &rows))
            return false;
        if (rows.count > 0)
            continue;
        *miss = tw_max(qp.x[slack], 0);
        if (qp.x[slack] >= -EXACT)
            return true;
        if (!no_slack_below_zero(&qp, slack))
            return false;
        hand_out(f, &qp);
    }
    return false;
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
    double kept[TWI_AXES][TWI_FIT_MOST], cost = cost_of(f), miss = miss_of(f), now;
    signed char *way = &f->way[axis][k + 1 - f->first];
    copy_keys(f, kept, false);
    *way = (signed char)-*way;
    if (solve(f, &now) && now <= tw_max(miss, TWI_MISS) && cost_of(f) < cost - 1e-12)
        return;
    *way = (signed char)-*way;
    copy_keys(f, kept, true);
}

static bool solve_lazily(twi_fitting *f, double *miss)
{
    double kept[TWI_AXES][TWI_FIT_MOST];
    size_t from = f->first > 0 ? f->first - 1 : 0;
    if (!solve(f, miss))
        return false;
    if (!(f->task->lazy > 0))
        return true;
    copy_keys(f, kept, false);
    for (int a = f->axis; a <= f->last_axis; a++)
        for (size_t k = from; k <= f->last && k + 1 < f->route->count; k++)
            f->way[a][k + 1 - f->first] = change_of(f, a, k) < 0 ? -1 : 1;
    f->directed = true;
    if (!solve(f, miss))
        copy_keys(f, kept, true);
    for (int a = f->axis; a <= f->last_axis; a++)
        for (size_t k = from; k <= f->last && k + 1 < f->route->count; k++)
            if (fabs(change_of(f, a, k)) <= 10 * EXACT && !f->route->flat[k])
                try_other_way(f, a, k);
    f->directed = false;
    *miss = miss_of(f);
    return true;
}

/* All pieces that the free keys matter for. */
static void read_pieces(twi_fitting *f)
{
    const twi_route *r = f->route;
    twi_basis *bases = f->task->corners;
    f->pieces = 0;
    for (size_t i = f->first > 0 ? f->first - 1 : 0; i <= f->last + 1 && i < r->count; i++) {
        if (i >= f->first && twi_piece_straight(f->task, r, i, &f->piece[f->pieces]))
            f->pieces++;
        const twi_piece *corner = &f->piece[f->pieces];
        if (!twi_piece_corner(r, i, bases, &f->piece[f->pieces]))
            continue;
        bases += corner->to - corner->from + 1;
        f->pieces++;
    }
    if (f->last + 1 == r->count && twi_piece_straight(f->task, r, r->count, &f->piece[f->pieces]))
        f->pieces++;
    for (int a = 0; a < (int)f->task->axes; a++)
        for (size_t i = 0; i < f->pieces; i++)
            f->patch[a][i] = twi_patch_of(f->task, a, &f->piece[i]);
}

static size_t fit_most(const twi_task *task)
{
    return task->joint ? TWI_JOINT_MOST : TWI_FIT_MOST;
}

/* Centres and wishes lie within a window's width of the source, and steps keep to the speed. */
static double dearest(const twi_fitting *f)
{
    const twi_task *task = f->task;
    double most = 0, frames = (double)(f->piece[f->pieces - 1].to - f->piece[0].from + 1);
    for (size_t a = 0; a < task->axes; a++) {
        double far = task->room[a].lo[0] + task->room[a].hi[0] + 1;
        most += frames * (far * far + task->smoothness * task->speed[a] * task->speed[a]);
    }
    return task->joint ? INFINITY : most;
}

static const twi_score any = {INFINITY, INFINITY};

twi_score twi_fit_better(const twi_task *task, twi_route *route, size_t first, size_t last, const twi_score *than)
{
    twi_fitting f;
    f.task = task;
    f.route = route;
    f.first = first;
    f.last = last;
    f.directed = false;
    f.than = task->lazy > 0 ? &any : than; /* the cost of travel is not part of every form */
    f.so_far = (twi_score){0, 0};
    TW_ASSERT(last - first < fit_most(task));
    read_pieces(&f);
    number_unknowns(&f);
    f.dearest = dearest(&f);
    for (int a = 0; a < (int)task->axes; a = f.last_axis + 1) {
        f.axis = a;
        f.last_axis = task->joint ? TWI_W : a;
        double miss = INFINITY;
        if (f.unknowns == 0)
            miss = miss_of(&f);
        else if (!solve_lazily(&f, &miss))
            miss = INFINITY;
        f.so_far.miss = tw_max(f.so_far.miss, miss);
        f.so_far.cost += cost_of(&f);
    }
    return f.so_far;
}

twi_score twi_fit(const twi_task *task, twi_route *route, size_t first, size_t last)
{
    return twi_fit_better(task, route, first, last, &any);
}

twi_task twi_task_new(const twi_scene *scene, size_t axes, const double *care)
{
    const twi_motion *m = &scene->motion;
    return (twi_task){.arena = scene->arena,
                      .n = scene->n,
                      .axes = axes,
                      .link = m->link,
                      .care = care,
                      .accel = m->accel,
                      .ease = m->ease,
                      .smoothness = m->smoothness,
                      .lazy = m->lazy};
}

size_t twi_fit_worst(const twi_task *task, const twi_route *route, double *miss)
{
    size_t worst = 0;
    *miss = 0;
    for (size_t i = 0; i <= route->count; i++) {
        twi_piece pieces[2];
        size_t count = twi_piece_straight(task, route, i, &pieces[0]);
        count += i < route->count && twi_piece_corner(route, i, task->corners, &pieces[count]);
        for (size_t k = 0; k < count; k++) {
            for (int a = 0; a < (int)task->axes; a++) {
                size_t at = twi_piece_worst(task, route, &pieces[k], a, miss);
                worst = at != SIZE_MAX ? at : worst;
            }
        }
    }
    return worst;
}

bool twi_fit_holds(const twi_task *task, const twi_route *route)
{
    double miss;
    twi_fit_worst(task, route, &miss);
    return miss <= TWI_MISS;
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
