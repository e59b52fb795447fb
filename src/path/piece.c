/* SPDX-License-Identifier: Apache-2.0 */
#include "piece.h"

/* The values u frames from key i, inside its corner. Without a link at a side the path rests there. */
static twi_basis corner_at(const twi_route *r, size_t i, double u)
{
    double inside = r->r[i] - fabs(u), share = inside * inside / (4 * r->r[i]);
    double before = i > 0 ? (share - tw_min(u, 0)) / (double)(r->t[i] - r->t[i - 1]) : 0;
    double after = i + 1 < r->count ? (share + tw_max(u, 0)) / (double)(r->t[i + 1] - r->t[i]) : 0;
    if (i == 0)
        return (twi_basis){i, {1 - after, after, 0}};
    return (twi_basis){i - 1, {before, 1 - before - after, after}};
}

/* The values u frames before (u < 0) or after key i, outside corners. */
static twi_basis straight_at(const twi_route *r, size_t i, double u)
{
    if ((u <= 0 && i == 0) || (u >= 0 && i + 1 == r->count))
        return (twi_basis){i, {1, 0, 0}};
    size_t key = u < 0 ? i - 1 : i;
    double frames = (double)(r->t[key + 1] - r->t[key]), share = (u < 0 ? frames + u : u) / frames;
    return (twi_basis){key, {1 - share, share, 0}};
}

size_t twi_route_key(const twi_route *route, size_t frame)
{
    size_t i;
    TW_SEARCH(i, route->count, route->t[i] <= frame);
    return i > 0 ? i - 1 : 0;
}

double twi_route_at(const twi_route *route, int axis, size_t frame)
{
    size_t left = twi_route_key(route, frame);
    size_t right = left + 1 < route->count && route->t[left] <= frame ? left + 1 : left;
    double after = (double)frame - (double)route->t[left], before = (double)frame - (double)route->t[right];
    twi_basis b = straight_at(route, left, after);
    if (fabs(after) < route->r[left])
        b = corner_at(route, left, after);
    else if (fabs(before) < route->r[right])
        b = corner_at(route, right, before);
    return twi_basis_value(&b, route->p[axis]);
}

/* The change per frame on a link beside key i; SIZE_MAX: none. */
static twi_basis slope_of(const twi_route *r, size_t i, size_t link)
{
    twi_basis b = {.key = i > 0 ? i - 1 : i};
    if (link == SIZE_MAX)
        return b;
    double share = 1 / (double)(r->t[link + 1] - r->t[link]);
    b.c[link - b.key] = -share;
    b.c[link + 1 - b.key] = share;
    return b;
}

bool twi_piece_corner(const twi_route *route, size_t i, twi_basis *bases, twi_piece *out)
{
    size_t r = (size_t)route->r[i];
    if (r == 0)
        return false;
    *out = (twi_piece){.from = route->t[i] - r + 1, .to = route->t[i] + r - 1, .bases = bases};
    for (size_t k = 0; k < 2 * r - 1; k++)
        bases[k] = corner_at(route, i, (double)k + 1 - (double)r);
    out->key = bases->key;
    out->at = slope_of(route, i, i > 0 ? i - 1 : SIZE_MAX);
    out->step = slope_of(route, i, i + 1 < route->count ? i : SIZE_MAX);
    return true;
}

bool twi_piece_straight(const twi_task *task, const twi_route *route, size_t i, twi_piece *out)
{
    size_t from = i > 0 ? route->t[i - 1] + (size_t)route->r[i - 1] : 0, end = task->n; /* behind the last frame */
    if (i < route->count)
        end = route->t[i] - (size_t)route->r[i] + (route->r[i] > 0);
    if (from >= end)
        return false;
    *out = (twi_piece){.from = from, .to = end - 1, .straight = true};
    out->steps = end - 1 - from + (i < route->count && !(route->r[i] > 0));
    bool rests = i == 0 || i == route->count;
    size_t key = i > 0 ? i - 1 : 0;
    double frames = rests ? INFINITY : (double)(route->t[i] - route->t[i - 1]);
    double share = rests ? 0 : (double)(from - route->t[i - 1]) / frames;
    out->key = key;
    out->at = (twi_basis){key, {1 - share, share, 0}};
    out->step = (twi_basis){key, {-1 / frames, 1 / frames, 0}};
    return true;
}

twi_basis twi_piece_basis(const twi_piece *piece, size_t t)
{
    if (!piece->straight)
        return piece->bases[t - piece->from];
    double u = (double)(t - piece->from);
    twi_basis b = piece->at;
    for (size_t j = 0; j < 3; j++)
        b.c[j] += piece->step.c[j] * u;
    return b;
}

size_t twi_piece_worst(const twi_task *task, const twi_route *route, const twi_piece *piece, int axis, double *most)
{
    const double *p = route->p[axis], *wide = route->p[TWI_W];
    bool leans = task->joint && axis != TWI_W;
    if (piece->straight) {
        double x[2] = {twi_basis_value(&piece->at, p), twi_basis_value(&piece->step, p)}, w[2] = {0, 0};
        for (size_t k = 0; k < 2 && leans; k++)
            w[k] = twi_basis_value(k == 0 ? &piece->at : &piece->step, wide);
        return twi_frames_worst(task, axis, piece->from, piece->to, x, w, most);
    }
    size_t worst = SIZE_MAX;
    for (size_t t = piece->from; t <= piece->to; t++) {
        const twi_basis *b = &piece->bases[t - piece->from];
        double w = leans ? twi_basis_value(b, wide) : 0;
        double amount = twi_frames_miss(task, axis, t, twi_basis_value(b, p), w);
        if (amount > *most) {
            *most = amount;
            worst = t;
        }
    }
    return worst;
}

/* ---- what it costs --------------------------------------------------------------------------------------- */

static void add_square(twi_patch *p, const double c[3], double weight, double target)
{
    for (size_t i = 0; i < 3; i++) {
        double share = weight * c[i];
        for (size_t k = 0; k <= i; k++)
            p->g[i][k] += share * c[k];
        p->a[i] += share * target;
    }
    p->square += weight * target * target;
}

/* Standing still: the steps of a corner go from those of one link, a, to those of the other, b, each by as much more.
 * N of them; sum ((N - k - 1/2) a + (k + 1/2) b)^2 / N^2 over k = 0..N - 1. */
static void add_steps(twi_patch *p, const double a[3], const double b[3], double count, double weight)
{
    const double both[3] = {a[0] + b[0], a[1] + b[1], a[2] + b[2]};
    double same = count / 3 - 1 / (12 * count), mixed = count / 2 - same;
    add_square(p, a, weight * (same - mixed), 0);
    add_square(p, b, weight * (same - mixed), 0);
    add_square(p, both, weight * mixed, 0);
}

static twi_patch patch_of_corner(const twi_task *task, int axis, const twi_piece *piece)
{
    twi_patch p = {.square = 0};
    const twi_basis *b = piece->bases;
    for (size_t t = piece->from; t <= piece->to; t++)
        add_square(&p, b[t - piece->from].c, task->care[t], task->wish[axis][t]);
    add_steps(&p, piece->at.c, piece->step.c, (double)(piece->to - piece->from + 2), task->smoothness);
    return p;
}

twi_patch twi_patch_of(const twi_task *task, int axis, const twi_piece *piece)
{
    if (!piece->straight)
        return patch_of_corner(task, axis, piece);
    twi_moments m = twi_frames_sum(task, axis, piece->from, piece->to, piece->from);
    const double *at = piece->at.c, *step = piece->step.c, steps = (double)piece->steps * task->smoothness;
    twi_patch p = {.square = m.square};
    for (size_t i = 0; i < 2; i++) {
        for (size_t k = 0; k <= i; k++)
            p.g[i][k] = at[i] * at[k] * m.care[0] + (at[i] * step[k] + step[i] * at[k]) * m.care[1] +
                        step[i] * step[k] * (m.care[2] + steps);
        p.a[i] = at[i] * m.wish[0] + step[i] * m.wish[1];
    }
    return p;
}

double twi_patch_value(const twi_patch *patch, const double *p)
{
    double value = patch->square;
    for (size_t i = 0; i < 3; i++) {
        double sum = patch->g[i][i] * p[i] - 2 * patch->a[i];
        for (size_t k = 0; k < i; k++)
            sum += 2 * patch->g[i][k] * p[k];
        value += sum * p[i];
    }
    return value;
}
