/* SPDX-License-Identifier: Apache-2.0
 *
 * Windows that do not move: one for the whole shot, or one per hold with jumps between.
 */
#include "path_internal.h"

/* The wish of frames [from, to), as near as the interval allows. */
static double composed(const double *wish, const double *care, size_t from, size_t to, const double bounds[2])
{
    double sum = 0, weights = 0;
    for (size_t t = from; t < to; t++) {
        sum += care[t] * wish[t];
        weights += care[t];
    }
    return tw_min(tw_max(sum / weights, bounds[0]), bounds[1]);
}

static bool both_rest(const twi_axis axes[2])
{
    return twi_axis_rests(&axes[0]) && twi_axis_rests(&axes[1]);
}

void twi_solve_still(tw_arena *arena, twi_scene *scene, twi_axis axes[2], tw_path_result *out)
{
    const double *care = twi_scene_care(scene);
    double value[TWI_AXES];
    while (!both_rest(axes) && scene->inset_share > 0) { /* with as much of the inset as lets one value serve all */
        scene->inset_share -= 0.25;
        twi_scene_axes(scene, axes);
    }
    bool holds = both_rest(axes);
    for (int a = TWI_X; a <= TWI_Y; a++) {
        if (!holds)
            twi_cut_still(scene->arena, &axes[a].tube, care, &axes[a].rest[0], &axes[a].rest[1]);
        value[a] = axes[a].still;
        if (!axes[a].pinned)
            value[a] = composed(twi_scene_wish(scene, a), care, 0, scene->n, axes[a].rest);
    }
    value[TWI_W] = scene->width;
    out->keys = TW_NEW(arena, tw_key);
    out->keys[0] = twi_path_key(scene, 0, value, 0);
    out->key_count = 1;
    out->reason = scene->subject ? TW_PATH_STILL : TW_PATH_CENTRED;
}

static tw_key hold_key(const twi_scene *scene, const twi_axis axes[2], double *const wish[2], const double *care,
                       const size_t span[2])
{
    double value[TWI_AXES] = {0, 0, scene->width};
    for (int a = TWI_X; a <= TWI_Y; a++) {
        double bounds[2];
        twi_tube part = {axes[a].tube.lo + span[0], axes[a].tube.hi + span[0], span[1] - span[0]};
        twi_tube_still(&part, &bounds[0], &bounds[1]);
        value[a] = axes[a].pinned ? axes[a].still : composed(wish[a], care, span[0], span[1], bounds);
    }
    return twi_path_key(scene, (double)span[0], value, 0);
}

void twi_solve_steps(tw_arena *arena, twi_scene *scene, twi_axis axes[2], tw_path_result *out)
{
    const double *care = twi_scene_care(scene);
    const twi_tube tubes[2] = {axes[0].tube, axes[1].tube};
    double *const wish[2] = {twi_scene_wish(scene, TWI_X), twi_scene_wish(scene, TWI_Y)};
    size_t *starts = TW_NEW_N(scene->arena, size_t, scene->n);
    size_t holds = twi_tube_stab(tubes, 2, starts);
    out->keys = TW_NEW_N(arena, tw_key, 2 * holds);
    for (size_t h = 0; h < holds; h++) {
        size_t span[2] = {starts[h], h + 1 < holds ? starts[h + 1] : scene->n};
        tw_key key = hold_key(scene, axes, wish, care, span);
        out->keys[out->key_count++] = key;
        key.frame = (int64_t)span[1] - 1;
        if (h + 1 < holds && span[1] - span[0] > 1)
            out->keys[out->key_count++] = key;
    }
    out->fewest = holds;
    out->reason = TW_PATH_STEPS;
}
