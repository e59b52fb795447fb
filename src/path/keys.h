/* SPDX-License-Identifier: Apache-2.0
 *
 * The exact search for the fewest keyframes.
 */
#ifndef TW_PATH_KEYS_H
#define TW_PATH_KEYS_H

#include "path_internal.h"

/* Tubes of the axes that share their keyframe times, the speed of each per frame and the shortest link in frames. */
typedef struct twi_keys_job {
    const twi_tube *tubes;
    size_t axes;
    double speed[TWI_AXES];
    size_t link;
    bool whole; /* all at once, at any cost: what tests compare with */
} twi_keys_job;

typedef struct twi_vertex {
    size_t t;
    double value[TWI_AXES];
} twi_vertex;

/* The fewest keyframes on whole frames of a path that is straight between them and constant outside, in the tubes at
 * every frame, no faster and with no shorter link than said; 0 when there is none, or none with at most `most`
 * keyframes (0: any number). *out (may be NULL): one such path, in the arena. Proved for one axis; for several axes,
 * too, unless that takes millions of steps: then there may be a path with fewer. */
size_t twi_keys_fewest(tw_arena *arena, const twi_keys_job *job, size_t most, twi_vertex **out);

#endif
