/* SPDX-License-Identifier: Apache-2.0
 *
 * The order of decisions (solver.md section 3).
 */
#include "path_internal.h"

/* The still value: where one serves all frames, as near to the wish as it allows; else the one that cuts least. */
static double still_value(const twi_scene *scene, const twi_axis *axis, const double *care, bool *holds)
{
    double lo, hi, sum = 0, weights = 0;
    if (axis->pinned)
        return axis->still;
    if (!twi_tube_still(&axis->tube, &lo, &hi)) {
        *holds = false;
        twi_cut_still(scene->arena, &axis->tube, care, &lo, &hi);
    }
    for (size_t t = 0; t < axis->tube.n; t++) {
        sum += care[t] * axis->wish[t];
        weights += care[t];
    }
    return fmin(fmax(sum / weights, lo), hi);
}

static void solve_still(tw_arena *arena, const twi_scene *scene, tw_path_result *out)
{
    const double *care = twi_scene_care(scene);
    double value[TWI_AXES];
    bool holds = true;
    for (int axis = TWI_X; axis <= TWI_Y; axis++) {
        twi_axis a;
        twi_scene_axis(scene, axis, &a);
        value[axis] = still_value(scene, &a, care, &holds);
    }
    value[TWI_W] = scene->width;
    out->keys = TW_NEW(arena, tw_key);
    out->keys[0] = twi_path_key(scene, 0, value, 0);
    out->key_count = 1;
    out->reason = scene->subject ? TW_PATH_STILL : TW_PATH_CENTRED;
}

void tw_path_solve(tw_arena *arena, const tw_path_job *job, tw_path_result *out)
{
    tw_arena *scratch = tw_arena_like(arena);
    twi_scene scene;
    *out = (tw_path_result){.fewest = 1};
    twi_scene_init(scratch, job, &scene);
    twi_scene_scale(&scene);
    twi_scene_drop(&scene);
    solve_still(arena, &scene, out);
    twi_path_report(arena, &scene, out);
    for (size_t i = 0; i < out->key_count; i++)
        out->keys[i].frame += job->first_frame;
    tw_arena_free(&scratch);
}
