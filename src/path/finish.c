/* SPDX-License-Identifier: Apache-2.0
 *
 * From solved values to keys as they are written.
 */
#include "path_internal.h"

/* A centred window of an odd width lies half way between two thousandths: what a solver leaves in the last bits must
 * not decide which. */
#define TIE 1e-7

/* Three decimals of the left or top edge, inside the source. */
static double edge(double centre, double side, double room)
{
    return tw_min(tw_max(tw_num_round(centre - side / 2 - TIE, 3), 0), tw_max(twi_floor3(room - side), 0));
}

tw_key twi_path_key(const twi_scene *scene, double frame, const double value[TWI_AXES], double ease)
{
    tw_key key = {.frame = (int64_t)frame, .ease = ease};
    key.w = tw_min(tw_geom_written(value[TWI_W]), scene->widest);
    double h = tw_geom_height(key.w, scene->job->squeeze, scene->job->delivery);
    key.cx = edge(value[TWI_X], key.w, scene->job->source.w) + key.w / 2;
    key.cy = edge(value[TWI_Y], h, scene->job->source.h) + h / 2;
    return key;
}

static bool same_place(const tw_key *a, const tw_key *b)
{
    return fabs(a->cx - b->cx) < TWI_DIGIT && fabs(a->cy - b->cy) < TWI_DIGIT && fabs(a->w - b->w) < TWI_DIGIT;
}

size_t twi_path_drop_idle(tw_key *keys, size_t count)
{
    size_t kept = 0;
    for (size_t i = 0; i < count; i++) {
        bool before = kept == 0 || same_place(&keys[kept - 1], &keys[i]);
        bool after = i + 1 == count || same_place(&keys[i + 1], &keys[i]);
        if (before && after && !(i + 1 == count && kept == 0))
            continue;
        keys[kept++] = keys[i];
    }
    return kept;
}
