/* SPDX-License-Identifier: Apache-2.0
 *
 * Taking out the camera's shake. Seen from a steady camera the picture trembles under the window: what is always inside
 * it is a smaller picture, and everything to be held trembles with it. The shot is solved there, and the window then
 * goes along with the picture frame by frame. So no frame shows an edge; where a must region would be lost by it, or
 * the picture enlarged past its limit, less of the shake is taken out.
 */
#include "path_internal.h"

#include "region.h"

#define LEAST_PX 0.05 /* source pixels: a smaller shake is none */

void tw_path_shake(tw_arena *arena, const tw_path_offset *movement, size_t count, size_t half, tw_path_offset *shake)
{
    tw_path_offset *smooth = TW_NEW_N(arena, tw_path_offset, count);
    memcpy(smooth, movement, count * sizeof *smooth);
    for (int pass = 0; pass < 2; pass++)
        twi_running_mean(arena, (double *)smooth, count, 2, half);
    for (size_t i = 0; i < count; i++)
        shake[i] = (tw_path_offset){movement[i].x - smooth[i].x, movement[i].y - smooth[i].y};
}

/* ---- the smaller picture --------------------------------------------------------------------------------- */

typedef struct steady {
    const tw_path_job *job;
    twi_scene scene;        /* of the job as it is */
    double share;           /* of its shake */
    int32_t near_x, near_y; /* what is left out at the left and the top */
    double reach;           /* the largest of the offsets */
} steady;

static tw_path_offset offset_at(const steady *s, size_t t)
{
    return (tw_path_offset){s->share * s->job->shake[t].x, s->share * s->job->shake[t].y};
}

/* The part of the source that is inside at every frame; its size is 0 where nothing is. */
static tw_size always_inside(steady *s)
{
    double near_x = 0, near_y = 0, far_x = 0, far_y = 0;
    for (size_t t = 0; t < s->scene.n; t++) {
        tw_path_offset o = offset_at(s, t);
        near_x = tw_max(near_x, -o.x);
        far_x = tw_max(far_x, o.x);
        near_y = tw_max(near_y, -o.y);
        far_y = tw_max(far_y, o.y);
    }
    s->reach = tw_max(tw_max(near_x, far_x), tw_max(near_y, far_y));
    if (near_x + far_x + 3 > s->job->source.w || near_y + far_y + 3 > s->job->source.h)
        return (tw_size){0, 0};
    s->near_x = (int32_t)ceil(near_x);
    s->near_y = (int32_t)ceil(near_y);
    return (tw_size){s->job->source.w - s->near_x - (int32_t)ceil(far_x),
                     s->job->source.h - s->near_y - (int32_t)ceil(far_y)};
}

static tw_path_region steady_region(const steady *s, tw_arena *scratch, size_t index)
{
    tw_path_region region = s->job->regions[index];
    tw_path_box *boxes = TW_NEW_N(scratch, tw_path_box, s->scene.n);
    for (size_t t = 0; t < s->scene.n && s->scene.boxes[index] != NULL; t++) {
        const tw_path_box *b = &s->scene.boxes[index][t];
        tw_path_offset o = offset_at(s, t);
        double x = o.x + s->near_x, y = o.y + s->near_y;
        if (twi_box_there(b))
            boxes[t] = (tw_path_box){b->left - x, b->top - y, b->right - x, b->bottom - y};
    }
    region.boxes = boxes;
    region.must = s->scene.must[index];
    region.detector = false; /* filtered already */
    return region;
}

static tw_path_job steady_job(const steady *s, tw_arena *scratch, tw_size inside)
{
    tw_path_job job = *s->job;
    tw_path_region *regions = TW_NEW_N(scratch, tw_path_region, job.region_count);
    for (size_t i = 0; i < job.region_count; i++)
        regions[i] = steady_region(s, scratch, i);
    job.source = inside;
    job.regions = regions;
    job.shake = NULL;
    job.first_frame = 0;
    return job;
}

/* ---- back in the picture --------------------------------------------------------------------------------- */

/* The window of every frame goes along with the picture. */
static void write_keys(tw_arena *arena, const steady *s, const tw_path_result *still, tw_path_result *out)
{
    out->keys = TW_NEW_N(arena, tw_key, s->scene.n);
    for (size_t t = 0; t < s->scene.n; t++) {
        tw_key key = tw_path_at(still->keys, still->key_count, (double)t);
        tw_path_offset o = offset_at(s, t);
        double value[TWI_AXES] = {key.cx + o.x + s->near_x, key.cy + o.y + s->near_y, key.w};
        out->keys[t] = twi_path_key(&s->scene, (double)t, value, 0);
    }
    out->key_count = twi_path_drop_idle(out->keys, s->scene.n);
}

/* How much of the must regions is lost: frames, and the worst of them. */
static double lost_px(const tw_path_result *r, int64_t *frames)
{
    double px = 0;
    *frames = 0;
    for (size_t i = 0; i < r->compromise_count; i++) {
        const tw_path_compromise *c = &r->compromises[i];
        if (c->what != TW_YIELD_CUT && c->what != TW_YIELD_DROPPED)
            continue;
        *frames += c->frames;
        px = tw_max(px, c->px);
    }
    return px;
}

/* What is said of regions is measured on the windows as written; of speeds, as a steady camera sees them. */
static void account(tw_arena *arena, steady *s, const tw_path_result *still, tw_path_result *out)
{
    tw_path_result own = *out;
    twi_path_report(arena, &s->scene, &own);
    size_t most = still->compromise_count + own.compromise_count;
    out->reason = own.reason;
    out->moving = own.moving;
    out->compromises = TW_NEW_N(arena, tw_path_compromise, most + 1);
    out->compromise_count = 0;
    for (size_t i = 0; i < still->compromise_count; i++) {
        tw_path_compromise c = still->compromises[i];
        c.first += s->job->first_frame;
        if (c.region == SIZE_MAX)
            out->compromises[out->compromise_count++] = c;
    }
    for (size_t i = 0; i < own.compromise_count; i++)
        if (own.compromises[i].region != SIZE_MAX)
            out->compromises[out->compromise_count++] = own.compromises[i];
}

static double margin_taken(const steady *s, const tw_path_result *out)
{
    double w = 0;
    for (size_t i = 0; i < out->key_count; i++)
        w = tw_max(w, out->keys[i].w);
    double h = tw_geom_height(w, s->job->squeeze, s->job->delivery), taken = 0;
    for (size_t t = 0; t < s->scene.n; t++) {
        tw_path_offset o = offset_at(s, t);
        taken = tw_max(taken, 2 * fabs(o.x) / tw_max(s->job->source.w - w, 1));
        taken = tw_max(taken, 2 * fabs(o.y) / tw_max(s->job->source.h - h, 1));
    }
    return tw_min(taken, 1);
}

/* False when the share cannot be taken out without a loss. */
static bool try_share(tw_arena *arena, tw_arena *scratch, steady *s, tw_size inside, const tw_path_result *plain,
                      tw_path_result *out)
{
    if (inside.w <= 0)
        return false;
    double widest = tw_geom_widest(inside, s->job->squeeze, s->job->delivery).w;
    if (widest < tw_min(s->scene.narrowest, s->scene.widest))
        return false;
    tw_path_job job = steady_job(s, scratch, inside);
    tw_path_result still;
    int64_t before, now;
    tw_path_solve(scratch, &job, &still);
    *out = still;
    write_keys(arena, s, &still, out);
    account(arena, s, &still, out);
    bool held = lost_px(out, &now) <= lost_px(plain, &before) + TWI_HELD;
    out->steadied = s->share;
    out->steady_px = s->reach;
    out->steady_margin = margin_taken(s, out);
    return held && now <= before;
}

static void tell_share(tw_arena *arena, const steady *s, tw_path_result *out)
{
    tw_path_compromise *all = TW_NEW_N(arena, tw_path_compromise, out->compromise_count + 1);
    if (out->compromise_count > 0)
        memcpy(all, out->compromises, out->compromise_count * sizeof *all);
    all[out->compromise_count++] = (tw_path_compromise){.what = TW_YIELD_STEADY,
                                                        .region = SIZE_MAX,
                                                        .frames = s->job->frames,
                                                        .first = s->job->first_frame,
                                                        .px = out->steadied};
    out->compromises = all;
}

void twi_path_steady(tw_arena *arena, tw_arena *scratch, const tw_path_job *job, tw_path_result *out)
{
    static const double shares[] = {1, 0.75, 0.5, 0.25};
    steady s = {.job = job};
    twi_scene_init(scratch, job, &s.scene);
    twi_scene_scale(&s.scene);
    twi_scene_drop(&s.scene);
    for (size_t i = 0; i < TW_COUNT(shares); i++) {
        tw_path_result own;
        s.share = shares[i];
        tw_size inside = always_inside(&s);
        if (i == 0 && s.reach < LEAST_PX)
            return;
        if (!try_share(arena, scratch, &s, inside, out, &own))
            continue;
        *out = own;
        if (i > 0)
            tell_share(arena, &s, out);
        return;
    }
    tell_share(arena, &s, out);
}
