/* SPDX-License-Identifier: Apache-2.0
 *
 * The limits of a fit (fit.c) as linear rows: which of them do the values at hand break most?
 */
#ifndef TW_PATH_ROWS_H
#define TW_PATH_ROWS_H

#include "fit.h"

/* One fit: keys first..last of the axes at hand, over the frames they matter for. */
typedef struct twi_fitting {
    const twi_task *task;
    twi_route *route;
    int axis, last_axis;              /* one of them, or all of them where they are fitted as one */
    size_t first, last;               /* free keys */
    size_t from, to;                  /* frames they matter for, both included */
    twi_basis *basis;                 /* by frame - from */
    size_t unknown[TWI_FIT_MOST + 1]; /* of key first + i: its unknown; keys of a flat link share one */
    size_t unknowns;                  /* of one axis */
    bool directed;                    /* links only go the way `way` says; of link first - 1 + i */
    signed char way[TWI_AXES][TWI_FIT_MOST + 1];
} twi_fitting;

/* A row that is broken: `own` of the axis's values, plus `wide` of the widths', must be at least (side 1) or at most
 * (side -1) `bound`. */
typedef struct twi_row {
    int axis, side;
    twi_basis own, wide;
    double bound, amount;
    bool soft; /* the slack relaxes it */
} twi_row;

/* Routes have room for two values past the last key: a coefficient of 0 may point there. Asked at every frame of every
 * fit, so it is here to be inlined. */
static inline double twi_basis_value(const twi_basis *b, const double *p)
{
    return b->c[0] * p[b->key] + b->c[1] * p[b->key + 1] + b->c[2] * p[b->key + 2];
}

/* Takes in the row that is broken by more than worst->amount, and most: of the tube, relaxed by `slack`; of the keys
 * and links; of the corners. */
void twi_rows_tube(const twi_fitting *f, double slack, twi_row *worst);
void twi_rows_keys(const twi_fitting *f, twi_row *worst);
void twi_rows_corners(const twi_fitting *f, twi_row *worst);

/* And of the way links go, where that is set. */
void twi_rows_ways(const twi_fitting *f, twi_row *worst);

/* How far the tube of an axis is missed at a frame whose basis is given; <= 0: not at all. */
double twi_rows_miss(const twi_task *task, const twi_route *route, const twi_basis *b, size_t t, int axis);

#endif
