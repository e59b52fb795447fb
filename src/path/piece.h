/* SPDX-License-Identifier: Apache-2.0
 *
 * A route as pieces: corners, and the straight lines between them.
 */
#ifndef TW_PATH_PIECE_H
#define TW_PATH_PIECE_H

#include "frames.h"

/* Frames from..to, both included. Straight: `at` is the basis of frame `from`, `step` what each frame adds. A corner:
 * `bases` are those of its frames, `at` and `step` the changes per frame on the links before and behind it. */
typedef struct twi_piece {
    size_t from, to;
    size_t key; /* the first it depends on */
    bool straight;
    size_t steps; /* of a straight piece, the one to the next piece included */
    twi_basis at, step;
    const twi_basis *bases;
} twi_piece;

/* The corner of key i; false when it is sharp. `bases` has room for its frames. */
bool twi_piece_corner(const twi_route *route, size_t i, twi_basis *bases, twi_piece *out);

/* What is straight before key i, 0 to count: at the ends the path rests. False when that is nothing. */
bool twi_piece_straight(const twi_task *task, const twi_route *route, size_t i, twi_piece *out);

/* The basis of a frame. */
twi_basis twi_piece_basis(const twi_piece *piece, size_t t);

/* What a piece costs: p'g p - 2 a'p + square for the values p of its keys. g: lower triangle. */
typedef struct twi_patch {
    double g[3][3], a[3], square;
} twi_patch;
twi_patch twi_patch_of(const twi_task *task, int axis, const twi_piece *piece);

double twi_patch_value(const twi_patch *patch, const double *p);

/* The worst frame of a piece, as twi_frames_worst. */
size_t twi_piece_worst(const twi_task *task, const twi_route *route, const twi_piece *piece, int axis, double *most);

#endif
