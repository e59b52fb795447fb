/* SPDX-License-Identifier: Apache-2.0
 *
 * Very long shots are solved on every k-th frame. A thinned box is the union of the boxes around it, so that a straight
 * line that holds it at two neighbouring frames of the thinned shot holds what lies between.
 */
#include "path_internal.h"

#include "region.h"

static tw_path_box joined(const tw_path_box *boxes, int64_t from, int64_t to, tw_size source)
{
    tw_path_box hull = {.left = 0};
    for (int64_t t = from; t < to; t++) {
        tw_path_box b = twi_box_clip(&boxes[t], source);
        hull = twi_box_around(&hull, &b);
    }
    return hull;
}

tw_path_job twi_path_thin(tw_arena *scratch, const tw_path_job *job, int64_t step)
{
    tw_path_job thin = *job;
    thin.first_frame = 0;
    thin.frames = (job->frames - 1) / step + 1;
    thin.fps = job->fps / (double)step;
    thin.hand_count = 0;
    tw_path_region *regions = TW_NEW_N(scratch, tw_path_region, job->region_count);
    for (size_t i = 0; i < job->region_count; i++) {
        tw_path_box *boxes = TW_NEW_N(scratch, tw_path_box, (size_t)thin.frames);
        for (int64_t t = 0; t < thin.frames; t++) {
            int64_t from = t > 0 ? (t - 1) * step + 1 : 0, to = (t + 1) * step;
            boxes[t] = joined(job->regions[i].boxes, from, to < job->frames ? to : job->frames, job->source);
        }
        regions[i] = job->regions[i];
        regions[i].boxes = boxes;
        regions[i].detector = false;
    }
    thin.regions = regions;
    return thin;
}

/* Back to the job's own frames; corners are no longer than the ease asked for. */
void twi_path_thicken(const tw_path_job *job, int64_t step, tw_path_result *result)
{
    double most = twi_path_motion(job).ease;
    for (size_t i = 0; i < result->key_count; i++) {
        result->keys[i].frame *= step;
        result->keys[i].ease = tw_min(result->keys[i].ease * (double)step, most);
    }
    for (size_t i = 0; i < result->compromise_count; i++) {
        tw_path_compromise *c = &result->compromises[i];
        c->first *= step;
        c->frames = c->frames * step < job->frames ? c->frames * step : job->frames;
    }
}
