/* SPDX-License-Identifier: Apache-2.0
 *
 * The order of decisions (solver.md section 3).
 */
#include "path_internal.h"

/* One value for all frames, with the whole inset? */
static bool can_rest(const twi_axis *axis)
{
    return axis->pinned || twi_axis_rests(axis);
}

static void decide(tw_arena *arena, twi_scene *scene, tw_path_result *out)
{
    if (twi_solve_hands(arena, scene, out))
        return;
    if (scene->job->moves == TW_MOVES_AUTO && twi_solve_zoom(arena, scene, out))
        return;
    twi_axis axes[2];
    twi_scene_axes(scene, axes);
    if (scene->job->moves == TW_MOVES_STILL || (can_rest(&axes[0]) && can_rest(&axes[1])))
        twi_solve_still(arena, scene, axes, out);
    else if (scene->job->moves == TW_MOVES_STEPS)
        twi_solve_steps(arena, scene, axes, out);
    else
        twi_solve_moves(arena, scene, axes, out);
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
