/* SPDX-License-Identifier: Apache-2.0
 *
 * Improving a route: times, fewer keys, rests (solver.md 3.10).
 */
#ifndef TW_PATH_REFINE_H
#define TW_PATH_REFINE_H

#include "fit.h"

/* Is a better than b: misses the tube less; or, where both hold, costs less? */
bool twi_score_better(const twi_score *a, const twi_score *b);

/* Moves keyframe times as long as that helps, pattern search with halving steps. */
void twi_refine_times(const twi_task *task, twi_route *route);

/* Takes out keys whose absence a refit makes up for; returns how many. */
size_t twi_refine_eliminate(const twi_task *task, twi_route *route);

/* Moves times and takes out keys, in turn; returns how many. */
size_t twi_refine_fewer(const twi_task *task, twi_route *route);

/* Halves corners near what is missed until nothing is, or they are sharp; the miss that is left. */
double twi_refine_sharpen(const twi_task *task, twi_route *route, unsigned most);

/* The last touches to a route that holds: softer corners, rests where they cost nothing or are worth it; returns how
 * many keys that added. */
size_t twi_refine_rest(const twi_task *task, twi_route *route, const twi_scene *scene);

#endif
