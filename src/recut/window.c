/* SPDX-License-Identifier: Apache-2.0
 *
 * Two framings of the same material, compared frame by frame in source pixels.
 */
#include "recut_internal.h"

#include <math.h>
#include <tallwide/path.h>

tw_frame_map tw_recut_map(const tw_shot *old_shot, const tw_shot *new_shot)
{
    bool freeze = old_shot->step >= 0 && old_shot->step <= 0;
    tw_frame_map map = {.offset = 0, .scale = 1, .from = 0, .to = new_shot->frames};
    if (!freeze) {
        map.offset = (new_shot->start - old_shot->start) / old_shot->step;
        map.scale = new_shot->step / old_shot->step;
    }
    if (fabs(map.offset - floor(map.offset + 0.5)) < 0.01) /* labels are whole frames: take the noise of division out */
        map.offset = floor(map.offset + 0.5);
    if (fabs(map.scale - 1) < 1e-6)
        map.scale = 1;
    /* 0 <= offset + scale * f < old frames */
    if (map.scale > 0) {
        int64_t first = (int64_t)ceil(-map.offset / map.scale);
        int64_t end = (int64_t)ceil(((double)old_shot->frames - map.offset) / map.scale);
        map.from = first > 0 ? first : 0;
        map.to = end < new_shot->frames ? end : new_shot->frames;
    }
    map.from += new_shot->first;
    map.to += new_shot->first;
    map.offset += (double)old_shot->first - map.scale * (double)new_shot->first;
    return map;
}

static double farthest_edge(tw_window a, tw_window b)
{
    double left = fabs(a.x - b.x), right = fabs(a.x + a.w - b.x - b.w);
    double top = fabs(a.y - b.y), bottom = fabs(a.y + a.h - b.y - b.h);
    return tw_max(tw_max(left, right), tw_max(top, bottom));
}

static bool same_kind(const tw_framing *a, const tw_framing *b)
{
    return a->mode == b->mode && tw_size_same(a->delivery, b->delivery) && tw_size_same(a->source, b->source);
}

/* How many frames lie between `at` and the nearest key. */
static double to_key(const tw_framing *f, double at)
{
    size_t i;
    TW_SEARCH(i, f->key_count, (double)f->keys[i].frame < at);
    double after = i < f->key_count ? (double)f->keys[i].frame - at : INFINITY;
    return i > 0 ? tw_min(at - (double)f->keys[i - 1].frame, after) : after;
}

#define EVERY_FRAME 250 /* frames to both sides of a key; farther away windows go straight or rest */

/* The frame to look at after f, no farther on than the last. */
static int64_t step_on(const tw_framing *old_framing, const tw_framing *new_framing, const tw_frame_map *map, int64_t f)
{
    double far = to_key(new_framing, (double)f);
    if (map->scale < 0 || map->scale > 0)
        far = tw_min(far, to_key(old_framing, map->offset + map->scale * (double)f) / fabs(map->scale));
    int64_t step = (int64_t)tw_max(tw_min(far, (double)(map->to - f)) / EVERY_FRAME, 1);
    return f + step;
}

tw_window_change tw_recut_windows(const tw_framing *old_framing, const tw_framing *new_framing, tw_frame_map map,
                                  double slack)
{
    tw_window_change change = {.frame = map.from};
    if (old_framing == NULL && new_framing == NULL)
        return change;
    if (old_framing == NULL || new_framing == NULL || !same_kind(old_framing, new_framing)) {
        change.changed = change.one_side = true;
        return change;
    }
    if (old_framing->mode == TW_FRAME_FIT)
        return change;
    bool still = old_framing->key_count == 1 && new_framing->key_count == 1;
    int64_t to = still && map.to > map.from ? map.from + 1 : map.to;
    for (int64_t f = map.from; f < to; f = step_on(old_framing, new_framing, &map, f)) {
        double px = farthest_edge(tw_framing_window(old_framing, map.offset + map.scale * (double)f),
                                  tw_framing_window(new_framing, (double)f));
        if (px > change.px) {
            change.px = px;
            change.frame = f;
        }
    }
    change.changed = change.px > slack;
    return change;
}
