/* SPDX-License-Identifier: Apache-2.0
 *
 * The limits of a fit (fit.c) as linear rows: which of them do the values at hand break?
 */
#ifndef TW_PATH_ROWS_H
#define TW_PATH_ROWS_H

#include "piece.h"

#define TWI_PIECES_MOST (2 * TWI_FIT_MOST + 5)

/* One fit: keys first..last of the axes at hand, over the frames they matter for. */
typedef struct twi_fitting {
    const twi_task *task;
    twi_route *route;
    int axis, last_axis;              /* one of them, or all of them where they are fitted as one */
    size_t first, last;               /* free keys */
    twi_piece piece[TWI_PIECES_MOST]; /* all they matter for */
    twi_patch patch[TWI_AXES][TWI_PIECES_MOST];
    size_t pieces;
    size_t unknown[TWI_FIT_MOST + 1]; /* of key first + i: its unknown; keys of a flat link share one */
    size_t unknowns;                  /* of one axis */
    const twi_score *than;            /* what is no better than this is of no use */
    double dearest;                   /* the most that values within the hard limits can cost */
    twi_score so_far;                 /* of the axes before */
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

typedef struct twi_rows {
    twi_row row[TWI_FIT_MOST + 2 + TWI_AXES * TWI_PIECES_MOST];
    size_t count;
} twi_rows;

/* Takes in the row of key k, the link behind it or its corner that is broken most, and by more than worst->amount. */
void twi_rows_key(const twi_fitting *f, size_t k, twi_row *worst);

/* Takes in the row of the tube at a piece that is broken most, relaxed by `slack`, and by more than worst->amount. */
void twi_rows_piece(const twi_fitting *f, size_t piece, int axis, double slack, twi_row *worst);

/* The worst row of every key and of every piece, where it is broken by more than `least`. */
void twi_rows_broken(const twi_fitting *f, double slack, double least, twi_rows *out);

/* By how much the values at hand break a row. */
double twi_rows_amount(const twi_fitting *f, const twi_row *row, double slack);

#endif
