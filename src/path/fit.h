/* SPDX-License-Identifier: Apache-2.0
 *
 * Values for given keyframe times, with the easing inside the constraints (solver.md 3.9).
 */
#ifndef TW_PATH_FIT_H
#define TW_PATH_FIT_H

#include "path_internal.h"

/* x(t) = sum of c[j] * p[key + j]. */
typedef struct twi_basis {
    size_t key;
    double c[3];
} twi_basis;

/* Routes have room for two values past the last key: a coefficient of 0 may point there. Asked at every frame of every
 * corner, so it is here to be inlined. */
static inline double twi_basis_value(const twi_basis *b, const double *p)
{
    return b->c[0] * p[b->key] + b->c[1] * p[b->key + 1] + b->c[2] * p[b->key + 2];
}

typedef struct twi_moments twi_moments; /* frames.h */
typedef struct twi_bounds twi_bounds;

/* What a fit is about; lengths are window widths, times are frames.
 * joint: the axes are x, y and the width, and one fit finds all three (solver.md 3.12). Then the limits of x and y
 * depend on the width: their tube is tube + lean * width, their room is narrower by half * width on both sides, and
 * speeds and acceleration are shares of the width at hand instead of whole lengths. */
typedef struct twi_task {
    tw_arena *arena; /* scratch */
    size_t n, axes, link;
    bool joint;
    twi_tube tube[TWI_AXES], lean[2];
    twi_tube room[TWI_AXES]; /* what a keyframe's value may be: window inside the source */
    double half[2];
    const double *wish[TWI_AXES];
    const double *care;
    double speed[TWI_AXES];
    double accel; /* INFINITY: no limit */
    double ease, smoothness;
    double lazy; /* lam: what a length of travel costs, half; 0: nothing */
    /* by twi_frames_read */
    const twi_moments *moments[TWI_AXES];
    const twi_bounds *bounds[TWI_AXES];
    twi_basis *corners; /* scratch: the bases of a fit's corners */
} twi_task;

/* With what the style says; tubes, room, wishes and speeds are still to be set. */
twi_task twi_task_new(const twi_scene *scene, size_t axes, const double *care);

/* Keyframes of all axes. flat[i]: the link from i to i + 1 rests. shrink[i]: how often the corner was halved. */
typedef struct twi_route {
    size_t count, cap;
    size_t *t;
    double *r;
    double *p[TWI_AXES];
    bool *flat;
    unsigned char *shrink;
} twi_route;

/* How well a route does: widths by which the tube is missed, then the cost. Only what changed counts. */
typedef struct twi_score {
    double miss, cost;
} twi_score;

#define TWI_MISS 1e-7 /* widths: a smaller miss is none */

twi_route twi_route_new(tw_arena *arena, size_t cap);
void twi_route_copy(twi_route *to, const twi_route *from);

/* Half-lengths of the corners: the ease asked for, at most half of either link, and no further than the shot's ends. */
void twi_route_ease(const twi_task *task, twi_route *route);

/* Best values of keys first..last with all others as they are, over the frames those keys matter for. */
twi_score twi_fit(const twi_task *task, twi_route *route, size_t first, size_t last);

/* The same, but where that can be told before the end not to become better than another score: then with a miss of
 * INFINITY, and values half done. A miss below 1e-10 of a width is none here. */
twi_score twi_fit_better(const twi_task *task, twi_route *route, size_t first, size_t last, const twi_score *than);

/* Best values of all keys: at once, or in overlapping stretches where there are many. */
twi_score twi_fit_all(const twi_task *task, twi_route *route);

/* The last key at or before a frame; the first when there is none. */
size_t twi_route_key(const twi_route *route, size_t frame);

/* The value of an axis at a frame. */
double twi_route_at(const twi_route *route, int axis, size_t frame);

/* The frame that misses its tube most, and by how much. */
size_t twi_fit_worst(const twi_task *task, const twi_route *route, double *miss);
bool twi_fit_holds(const twi_task *task, const twi_route *route); /* by no more than TWI_MISS? */

/* Takes a key out, or puts one in before number i. Links beside it move. */
void twi_route_remove(twi_route *route, size_t i);
void twi_route_insert(twi_route *route, size_t i, size_t t);

#define TWI_FIT_MOST 24   /* keys fitted at once */
#define TWI_JOINT_MOST 12 /* three unknowns each */

#endif
