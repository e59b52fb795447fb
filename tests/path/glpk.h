/* SPDX-License-Identifier: Apache-2.0
 *
 * Asks the general solver glpsol (GLPK) for values our own methods are compared with.
 */
#ifndef TW_TESTS_PATH_GLPK_H
#define TW_TESTS_PATH_GLPK_H

#include <stdbool.h>

#include "path/path_internal.h"

/* Is there a glpsol? If not, says so on the error stream: a comparison that was left out must be seen. */
bool glpk_found(void);

/* The fewest keyframes (solver.md section 5), 0 when there is no path. */
size_t glpk_keys(const twi_tube *tubes, size_t axes, const double *speed);

/* The least weighted sum of distances to the tube. */
double glpk_cut(const twi_tube *tube, const double *weight, double speed);

/* The path of least 10 sum |step| + sum |bend| + 100 sum |change of bend|: those sums. It stays in the tube, or (price
 * > 0) leaves it at that price per frame and unit. No step is larger than `speed`, INFINITY: any may be. x: its values. */
double glpk_l1(const twi_tube *tube, double price, double speed, double *x);

/* Runs glpsol on a file in CPLEX LP format; the objective, or NAN when there is no solution. *seconds (may be NULL): of
 * processor time that the child took. values (may be NULL): the first `count` columns named x0, x1, ... */
double glpk_run(const char *lp_file, double *values, size_t count);

#endif
