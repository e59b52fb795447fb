/* SPDX-License-Identifier: Apache-2.0
 *
 * The dual method of Goldfarb and Idnani (1983, from memory): start at the unconstrained minimum; take in violated
 * rows, dropping active ones whose multiplier would turn negative. J J' = G^-1 always; the first `active` columns of J
 * span the active rows, the others the directions that are still free.
 */
#include "qp.h"

#include <tallwide/base.h>

#include <math.h>

static bool factor(size_t size, double g[][TWI_QP_MOST])
{
    for (size_t i = 0; i < size; i++) {
        for (size_t k = 0; k <= i; k++) {
            double sum = g[i][k];
            for (size_t m = 0; m < k; m++)
                sum -= g[i][m] * g[k][m];
            if (i == k && !(sum > 0))
                return false;
            g[i][k] = i == k ? sqrt(sum) : sum / g[k][k];
        }
    }
    return true;
}

/* J = L^-T: row r of L^-1 is column r of J, transposed. */
static void invert(twi_qp *qp, double l[][TWI_QP_MOST])
{
    for (size_t c = 0; c < qp->size; c++) {
        for (size_t i = 0; i < qp->size; i++) {
            double sum = i == c ? 1 : 0;
            for (size_t m = c; m < i; m++)
                sum -= l[i][m] * qp->j[m][c];
            qp->j[i][c] = i < c ? 0 : sum / l[i][i];
        }
    }
}

bool twi_qp_start(twi_qp *qp, size_t size, double g[][TWI_QP_MOST], const double *a)
{
    qp->size = size;
    qp->active = 0;
    if (!factor(size, g))
        return false;
    invert(qp, g);
    for (size_t i = 0; i < size; i++)
        qp->x[i] = 0;
    for (size_t c = 0; c < size; c++) {
        double d = 0;
        for (size_t i = 0; i < size; i++)
            d += qp->j[c][i] * a[i];
        for (size_t i = 0; i < size; i++)
            qp->x[i] -= qp->j[c][i] * d;
    }
    return true;
}

/* Turns (a, b) to (h, 0). */
static double turn(double a, double b, double *c, double *s)
{
    double h = hypot(a, b);
    *c = h > 0 ? a / h : 1;
    *s = h > 0 ? b / h : 0;
    return h;
}

static void turn_columns(twi_qp *qp, size_t p, double c, double s)
{
    for (size_t i = 0; i < qp->size; i++) {
        double u = qp->j[p][i], v = qp->j[p + 1][i];
        qp->j[p][i] = c * u + s * v;
        qp->j[p + 1][i] = c * v - s * u;
    }
}

/* d = J'n becomes a new column of R; the free part is turned into its first component. */
static bool take_in(twi_qp *qp, double *d)
{
    double c, s;
    if (qp->active == qp->size)
        return false;
    for (size_t i = qp->size - 1; i > qp->active; i--) {
        d[i - 1] = turn(d[i - 1], d[i], &c, &s);
        turn_columns(qp, i - 1, c, s);
    }
    for (size_t i = 0; i <= qp->active; i++)
        qp->r[qp->active][i] = d[i];
    qp->active++;
    return true;
}

static void let_go(twi_qp *qp, size_t which)
{
    for (size_t k = which; k + 1 < qp->active; k++) {
        for (size_t i = 0; i <= k + 1; i++)
            qp->r[k][i] = qp->r[k + 1][i];
        qp->multiplier[k] = qp->multiplier[k + 1];
    }
    qp->multiplier[qp->active - 1] = qp->multiplier[qp->active];
    qp->active--;
    for (size_t k = which; k < qp->active; k++) {
        double c, s;
        qp->r[k][k] = turn(qp->r[k][k], qp->r[k][k + 1], &c, &s);
        turn_columns(qp, k, c, s);
        for (size_t m = k + 1; m < qp->active; m++) {
            double u = qp->r[m][k], v = qp->r[m][k + 1];
            qp->r[m][k] = c * u + s * v;
            qp->r[m][k + 1] = c * v - s * u;
        }
    }
}

/* Where the step leads: z in the unknowns (the free directions), r in the multipliers. */
typedef struct step {
    double d[TWI_QP_MOST], z[TWI_QP_MOST], r[TWI_QP_MOST];
    double slope; /* z'n */
    size_t blocking;
    double dual; /* longest step before a multiplier turns negative */
} step;

static void find_step(const twi_qp *qp, const double *n, step *s)
{
    double whole = 0;
    size_t own[TWI_QP_MOST], count = 0; /* rows are mostly 0 */
    s->slope = 0;
    s->dual = INFINITY;
    for (size_t i = 0; i < qp->size; i++)
        if (n[i] < 0 || n[i] > 0)
            own[count++] = i;
    for (size_t c = 0; c < qp->size; c++) {
        s->d[c] = 0;
        for (size_t i = 0; i < count; i++)
            s->d[c] += qp->j[c][own[i]] * n[own[i]];
        whole += s->d[c] * s->d[c];
        if (c >= qp->active)
            s->slope += s->d[c] * s->d[c];
    }
    if (s->slope <= 1e-18 * whole)
        s->slope = 0; /* n lies in the span of the active rows */
    for (size_t i = 0; i < qp->size; i++)
        s->z[i] = 0;
    for (size_t c = qp->active; c < qp->size; c++)
        for (size_t i = 0; i < qp->size; i++)
            s->z[i] += qp->j[c][i] * s->d[c];
    for (size_t k = qp->active; k-- > 0;) {
        double sum = s->d[k];
        for (size_t m = k + 1; m < qp->active; m++)
            sum -= qp->r[m][k] * s->r[m];
        s->r[k] = sum / qp->r[k][k];
    }
    for (size_t k = 0; k < qp->active; k++) {
        double length = s->r[k] > 0 ? qp->multiplier[k] / s->r[k] : INFINITY;
        if (length < s->dual) {
            s->dual = length;
            s->blocking = k;
        }
    }
}

bool twi_qp_add(twi_qp *qp, const double *n, double b)
{
    qp->multiplier[qp->active] = 0;
    for (size_t tries = 0; tries < 4 * TWI_QP_MOST; tries++) {
        double missing = b;
        for (size_t i = 0; i < qp->size; i++)
            missing -= n[i] * qp->x[i];
        step s;
        find_step(qp, n, &s);
        double full = s.slope > 0 ? tw_max(missing, 0) / s.slope : INFINITY, length = tw_min(full, s.dual);
        if (isinf(length))
            return false;
        for (size_t k = 0; k < qp->active; k++)
            qp->multiplier[k] = tw_max(qp->multiplier[k] - length * s.r[k], 0);
        qp->multiplier[qp->active] += length;
        for (size_t i = 0; i < qp->size && s.slope > 0; i++)
            qp->x[i] += length * s.z[i];
        if (full <= s.dual)
            return take_in(qp, s.d);
        let_go(qp, s.blocking);
    }
    return false;
}
