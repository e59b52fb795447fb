/* SPDX-License-Identifier: Apache-2.0
 *
 * Small strictly convex quadratic programmes: min x'Gx/2 + a'x subject to rows n'x >= b that are handed in one by one.
 */
#ifndef TW_PATH_QP_H
#define TW_PATH_QP_H

#include <stdbool.h>
#include <stddef.h>

#define TWI_QP_MOST 40

typedef struct twi_qp {
    size_t size;   /* unknowns */
    size_t active; /* rows that hold with equality */
    double x[TWI_QP_MOST];
    double multiplier[TWI_QP_MOST + 1];
    double j[TWI_QP_MOST][TWI_QP_MOST]; /* column c of J = L^-T Q is j[c] */
    double r[TWI_QP_MOST][TWI_QP_MOST]; /* column c of the triangular factor of the active rows is r[c] */
} twi_qp;

/* The unconstrained minimum. g: the lower triangle of G, row by row in rows of TWI_QP_MOST; overwritten. False when G
 * is not positive definite. */
bool twi_qp_start(twi_qp *qp, size_t size, double g[][TWI_QP_MOST], const double *a);

/* Makes n'x >= b hold, keeping the optimum of all rows handed in that still matter; false when rows contradict each
 * other or rounding stands in the way. Rows that were let go may have to be handed in again. */
bool twi_qp_add(twi_qp *qp, const double *n, double b);

#endif
