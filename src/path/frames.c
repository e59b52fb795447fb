/* SPDX-License-Identifier: Apache-2.0 */
#include "frames.h"

/* ---- sums ------------------------------------------------------------------------------------------------ */

/* Sums go on over this many frames, then start anew: u stays small. */
#define STRETCH 256

static void add_moments(const twi_moments *m, double factor, double shift, twi_moments *out)
{
    out->care[0] += factor * m->care[0];
    out->care[1] += factor * (m->care[1] + shift * m->care[0]);
    out->care[2] += factor * (m->care[2] + shift * (2 * m->care[1] + shift * m->care[0]));
    out->wish[0] += factor * m->wish[0];
    out->wish[1] += factor * (m->wish[1] + shift * m->wish[0]);
    out->square += factor * m->square;
}

static twi_moments *read_moments(const twi_task *task, int axis)
{
    twi_moments *out = TW_NEW_N(task->arena, twi_moments, task->n), sum;
    for (size_t t = 0; t < task->n; t++) {
        double u = (double)(t % STRETCH), care = task->care[t], wish = care * task->wish[axis][t];
        if (t % STRETCH == 0)
            sum = (twi_moments){.square = 0};
        add_moments(&(twi_moments){{care}, {wish}, wish * task->wish[axis][t]}, 1, u, &sum);
        out[t] = sum;
    }
    return out;
}

twi_moments twi_frames_sum(const twi_task *task, int axis, size_t from, size_t to, size_t origin)
{
    const twi_moments *m = task->moments[axis];
    twi_moments out = {.square = 0};
    for (size_t t = from / STRETCH * STRETCH; t <= to; t += STRETCH) {
        double shift = (double)t - (double)origin;
        size_t last = to < t + STRETCH - 1 ? to : t + STRETCH - 1;
        add_moments(&m[last], 1, shift, &out);
        if (from > t)
            add_moments(&m[from - 1], -1, shift, &out);
    }
    return out;
}

/* ---- bounds ---------------------------------------------------------------------------------------------- */

static twi_bounds *read_bounds(const twi_task *task, int axis)
{
    size_t count = task->n / TWI_RUN;
    twi_bounds *out = TW_NEW_N(task->arena, twi_bounds, count + 1);
    const twi_tube *tube = &task->tube[axis], *lean = task->joint && axis != TWI_W ? &task->lean[axis] : NULL;
    for (size_t b = 0; b < count; b++) {
        double upside_down[TWI_RUN];
        size_t from = b * TWI_RUN;
        for (size_t i = 0; i < TWI_RUN; i++)
            upside_down[i] = -tube->lo[from + i];
        twi_incline lo = twi_incline_under(upside_down, TWI_RUN), hi = twi_incline_under(tube->hi + from, TWI_RUN);
        out[b] = (twi_bounds){.lo = {-lo.at, -lo.at - lo.slope * (TWI_RUN - 1)},
                              .hi = {hi.at, hi.at + hi.slope * (TWI_RUN - 1)}};
        for (size_t i = 0; i < TWI_RUN && lean != NULL; i++) {
            out[b].lean_lo = i == 0 ? lean->lo[from] : tw_max(out[b].lean_lo, lean->lo[from + i]);
            out[b].lean_hi = i == 0 ? lean->hi[from] : tw_min(out[b].lean_hi, lean->hi[from + i]);
        }
    }
    return out;
}

void twi_frames_read(twi_task *task)
{
    for (int a = 0; a < (int)task->axes; a++) {
        task->moments[a] = read_moments(task, a);
        task->bounds[a] = read_bounds(task, a);
    }
    task->corners = TW_NEW_N(task->arena, twi_basis, task->n);
}

/* Is no frame of a run missed by more than `most`? What is missed of straight bounds is most at an end. */
static bool run_holds(const twi_bounds *b, const double x[2], const double w[2], double u, double most)
{
    bool holds = true;
    for (int end = 0; end < 2; end++) {
        double at = x[0] + x[1] * (u + end * (TWI_RUN - 1)), wide = w[0] + w[1] * (u + end * (TWI_RUN - 1));
        holds = holds && b->lo[end] + b->lean_lo * wide - at <= most && at - b->hi[end] - b->lean_hi * wide <= most;
    }
    return holds;
}

size_t twi_frames_worst(const twi_task *task, int axis, size_t from, size_t to, const double x[2], const double w[2],
                        double *most)
{
    size_t worst = SIZE_MAX;
    for (size_t t = from; t <= to; t++) {
        double u = (double)(t - from);
        if (t % TWI_RUN == 0 && t + TWI_RUN - 1 <= to && run_holds(&task->bounds[axis][t / TWI_RUN], x, w, u, *most)) {
            t += TWI_RUN - 1;
            continue;
        }
        double amount = twi_frames_miss(task, axis, t, x[0] + x[1] * u, w[0] + w[1] * u);
        if (amount > *most) {
            *most = amount;
            worst = t;
        }
    }
    return worst;
}
