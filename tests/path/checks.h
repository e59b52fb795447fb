/* SPDX-License-Identifier: Apache-2.0
 *
 * Twelve integer tubes. The values are from GLPK (keys, holds and cuts as MILP/LP) and CLP (the LPs again). l1 is the
 * least 10 sum |step| + sum |bend| + 100 sum |change of bend| of any path in the tube: weights of Grundmann, Kwatra and
 * Essa, "Auto-directed video stabilization with robust L1 optimal camera paths", CVPR 2011, as two public
 * re-implementations quote them.
 */
#ifndef TW_TESTS_PATH_CHECKS_H
#define TW_TESTS_PATH_CHECKS_H

#include <stddef.h>

/* Speeds the counts of keys are for; 0 keys: no path. */
static const double check_speeds[4] = {1000, 15, 8, 4};

static const struct {
    const char *name;
    size_t n;
    double lo[13], hi[13];
    size_t keys[4];
    double least_speed, cut8, cut4, travel, l1;
    size_t holds;
} checks[] = {
    {"static", 5, {10, 12, 8, 11, 9}, {20, 19, 21, 22, 18}, {1, 1, 1, 1}, 0.0, 0.0, 0.0, 0.0, 0.0, 1},
    {"one point", 5, {0, 0, 5, 5, 5}, {5, 5, 9, 9, 9}, {1, 1, 1, 1}, 0.0, 0.0, 0.0, 0.0, 0.0, 1},
    {"step",
     8,
     {0, 0, 0, 0, 30, 30, 30, 30},
     {10, 10, 10, 10, 40, 40, 40, 40},
     {2, 0, 0, 0},
     20.0,
     12.0,
     24.0,
     20.0,
     2660.0,
     2},
    {"step with gap",
     12,
     {0, 0, 0, 0, -100, -100, -100, -100, 30, 30, 30, 30},
     {10, 10, 10, 10, 100, 100, 100, 100, 40, 40, 40, 40},
     {2, 2, 2, 2},
     4.0,
     0.0,
     0.0,
     20.0,
     450.0,
     2},
    {"ramp",
     7,
     {0, 10, 20, 30, 40, 50, 60},
     {4, 14, 24, 34, 44, 54, 64},
     {2, 2, 0, 0},
     28.0 / 3,
     12.0,
     60.0,
     56.0,
     560.0,
     7},
    {"there and back",
     11,
     {0, 0, 0, 20, 40, 40, 40, 20, 0, 0, 0},
     {5, 5, 5, 25, 45, 45, 45, 25, 5, 5, 5},
     {4, 0, 0, 0},
     17.5,
     41.0,
     83.0,
     70.0,
     7080.0,
     5},
    {"zigzag",
     10,
     {0, 20, 0, 20, 0, 20, 0, 20, 0, 20},
     {5, 25, 5, 25, 5, 25, 5, 25, 5, 25},
     {10, 10, 0, 0},
     15.0,
     35.0,
     55.0,
     135.0,
     43590.0,
     10},
    {"triangle",
     9,
     {0, 9, 19, 29, 39, 29, 19, 9, 0},
     {4, 13, 23, 33, 43, 33, 23, 13, 4},
     {3, 3, 0, 0},
     8.75,
     4.0,
     42.0,
     70.0,
     3004.0,
     9},
    {"staircase",
     12,
     {0, 0, 0, 10, 10, 10, 20, 20, 20, 30, 30, 30},
     {6, 6, 6, 16, 16, 16, 26, 26, 26, 36, 36, 36},
     {6, 6, 6, 6},
     4.0,
     0.0,
     0.0,
     24.0,
     1300.0,
     4},
    {"fast throw",
     11,
     {0, 0, 0, 0, 0, 50, 100, 100, 100, 100, 100},
     {8, 8, 8, 8, 8, 58, 108, 108, 108, 108, 108},
     {2, 0, 0, 0},
     46.0,
     220.0,
     340.0,
     92.0,
     16009 + 1.0 / 3,
     3},
    {"pinned sine",
     13,
     {0, 17, 30, 35, 30, 17, 0, -17, -30, -35, -30, -17, 0},
     {0, 17, 30, 35, 30, 17, 0, -17, -30, -35, -30, -17, 0},
     {12, 0, 0, 0},
     17.0,
     96.0,
     170.0,
     140.0,
     4668.0,
     13},
    {"one outlier",
     13,
     {0, 0, 0, 0, 0, 0, 40, 0, 0, 0, 0, 0, 0},
     {12, 12, 12, 12, 12, 12, 52, 12, 12, 12, 12, 12, 12},
     {3, 0, 0, 0},
     28.0,
     20.0,
     24.0,
     56.0,
     18364.0,
     3},
};

#define CHECK_COUNT (sizeof checks / sizeof checks[0])

#endif
