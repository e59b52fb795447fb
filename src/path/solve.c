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
        if (!axis.pinned && !twi_tube_still(&axis.tube, &lo, &hi))
            return false;
    }
    return true;
}

static void decide(tw_arena *arena, twi_scene *scene, tw_path_result *out)
{
    if (twi_solve_hands(arena, scene, out))
        return;
    if (scene->job->moves == TW_MOVES_AUTO && twi_solve_zoom(arena, scene, out))
        return;
    if (scene->job->moves == TW_MOVES_STILL || can_rest(scene))
        twi_solve_still(arena, scene, out);
    else if (scene->job->moves == TW_MOVES_STEPS)
        twi_solve_steps(arena, scene, out);
    else
        twi_solve_moves(arena, scene, out);
}

#define LONGEST 20000 /* frames solved one by one: 13 minutes at 25 a second */

static void solve(tw_arena *arena, tw_arena *scratch, const tw_path_job *job, tw_path_result *out)
{
    twi_scene scene;
    twi_scene_init(scratch, job, &scene);
    twi_scene_scale(&scene);
    twi_scene_drop(&scene);
    decide(arena, &scene, out);
    twi_path_report(arena, &scene, out);
}

void tw_path_solve(tw_arena *arena, const tw_path_job *job, tw_path_result *out)
{
    TW_ASSERT(job->frames >= 1 && job->source.w > 0 && job->source.h > 0 && job->delivery.w > 0 && job->delivery.h > 0);
    tw_arena *scratch = tw_arena_like(arena);
    *out = (tw_path_result){.fewest = 1};
    if (job->frames > LONGEST && job->hand_count == 0) {
        int64_t step = (job->frames - 1) / LONGEST + 1;
        tw_path_job thin = twi_path_thin(scratch, job, step);
        solve(arena, scratch, &thin, out);
        twi_path_thicken(job, step, out);
    } else {
        solve(arena, scratch, job, out);
        if (job->shake != NULL && job->hand_count == 0)
            twi_path_steady(arena, scratch, job, out);
    }
    if (job->shake != NULL)
        out->shaken = job->hand_count > 0 ? TW_SHAKEN_HAND : job->frames > LONGEST ? TW_SHAKEN_LONG : TW_SHAKEN_NOT;
    for (size_t i = 0; i < out->key_count; i++)
        out->keys[i].frame += job->first_frame;
    tw_arena_free(&scratch);
}
