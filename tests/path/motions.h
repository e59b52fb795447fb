/* SPDX-License-Identifier: Apache-2.0
 *
 * Twelve named motions for the solver, rebuilt from their descriptions (solver.md section 7): a 9:16 window of 2430x4320 in
 * a 5760x4320 source at 25 frames a second. Positions are ours.
 */
#ifndef TW_TESTS_PATH_MOTIONS_H
#define TW_TESTS_PATH_MOTIONS_H

#include <tallwide/path.h>

typedef struct motion {
    const char *name;
    int64_t frames;
    size_t most_fewest, most_keys; /* column B's keyframes, without and with the settle rule */
    bool held;                     /* the table says 100 % */
} motion;

extern const motion motions[];
extern const size_t motion_count;

/* The job of a motion, with boxes in the arena. */
void motion_job(tw_arena *arena, size_t index, tw_path_job *job);

#endif
