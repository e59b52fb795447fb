/* SPDX-License-Identifier: Apache-2.0
 *
 * The order of decisions (solver.md section 3).
 */
#include "path_internal.h"

/* One value for all frames, with the whole inset, on both axes? */
static bool can_rest(twi_scene *scene)
{
    for (int a = TWI_X; a <= TWI_Y; a++) {
        twi_axis axis;
        double lo, hi;
        twi_scene_axis(scene, a, &axis);
        if (!twi_tube_still(&axis.tube, &lo, &hi))
            return false;
    }
    return true;
}

static void decide(tw_arena *arena, twi_scene *scene, tw_path_result *out)
{
    if (twi_solve_hands(arena, scene, out))
        return;
    if (scene->job->moves == TW_MOVES_STILL || can_rest(scene))
        twi_solve_still(arena, scene, out);
    else if (scene->job->moves == TW_MOVES_STEPS)
        twi_solve_steps(arena, scene, out);
    else
        twi_solve_moves(arena, scene, out);
}

void tw_path_solve(tw_arena *arena, const tw_path_job *job, tw_path_result *out)
{
    tw_arena *scratch = tw_arena_like(arena);
    twi_scene scene;
    *out = (tw_path_result){.fewest = 1};
    twi_scene_init(scratch, job, &scene);
    twi_scene_scale(&scene);
    twi_scene_drop(&scene);
    decide(arena, &scene, out);
    twi_path_report(arena, &scene, out);
    for (size_t i = 0; i < out->key_count; i++)
        out->keys[i].frame += job->first_frame;
    tw_arena_free(&scratch);
}
