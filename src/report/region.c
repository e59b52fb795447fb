/* SPDX-License-Identifier: Apache-2.0 */
#include "report_internal.h"

#include <math.h>

#define MOST_BOXES 48 /* of a table, when drawing: one every few frames shows the way */

/* Source frames per record frame. */
static double step_of(const tw_timeline *master, const tw_item *clip)
{
    return tw_item_source_frame(master, clip, 1) - tw_item_source_frame(master, clip, 0);
}

bool twi_report_box(const tw_timeline *master, const tw_decision *shot, const tw_region *region, double frame,
                    tw_region_key *out)
{
    double step = step_of(master, shot->clip);
    double source = tw_item_source_frame(master, shot->clip, 0) + frame * step;
    double gap = TW_DERIVE_GONE * tw_rate_fps(master->rate) * tw_max(fabs(step), 1);
    return tw_note_holds(region->note, source) && tw_derive_box(region, source, gap, out);
}

static void add_box(tw_arena *arena, twi_boxes *boxes, double frame, const tw_region_key *box)
{
    TW_PUSH(arena, boxes->at, boxes->len, boxes->cap) = (twi_box){frame, *box};
}

/* Frames at which it comes and goes. */
static void find_shown(tw_arena *arena, const tw_timeline *master, const tw_decision *shot, const tw_region *region,
                       twi_boxes *boxes)
{
    bool there = false;
    for (int64_t f = shot->first; f <= shot->first + shot->frames; f++) {
        tw_region_key box;
        bool now = f < shot->first + shot->frames && twi_report_box(master, shot, region, (double)f, &box);
        if (now == there)
            continue;
        there = now;
        TW_PUSH(arena, boxes->shown, boxes->shown_count, boxes->shown_cap) = f;
    }
}

static int by_frame(const void *a, const void *b)
{
    const twi_box *x = a, *y = b;
    return TW_CMP(x->frame, y->frame);
}

/* The keys that fall between the ends, as record frames. */
static void add_keys(tw_arena *arena, const tw_timeline *master, const tw_decision *shot, const tw_region *region,
                     twi_boxes *boxes)
{
    double step = step_of(master, shot->clip), start = tw_item_source_frame(master, shot->clip, 0);
    double first = (double)boxes->shown[0], last = (double)(boxes->shown[boxes->shown_count - 1] - 1);
    if (!(fabs(step) > 0))
        return;
    size_t stride = region->track.len > 0 ? region->key_count / MOST_BOXES + 1 : 1;
    for (size_t k = 0; k < region->key_count; k += stride) {
        double frame = ((double)region->keys[k].frame - start) / step;
        tw_region_key box;
        if (frame > first && frame < last && twi_report_box(master, shot, region, frame, &box))
            add_box(arena, boxes, frame, &box);
    }
}

twi_boxes twi_report_boxes(tw_arena *arena, const tw_timeline *master, const tw_decision *shot, const tw_region *region)
{
    twi_boxes boxes = {.len = 0};
    find_shown(arena, master, shot, region, &boxes);
    if (boxes.shown_count == 0)
        return boxes;
    tw_region_key box;
    double last = (double)(boxes.shown[boxes.shown_count - 1] - 1);
    if (twi_report_box(master, shot, region, (double)boxes.shown[0], &box))
        add_box(arena, &boxes, (double)boxes.shown[0], &box);
    add_keys(arena, master, shot, region, &boxes);
    if (last > (double)boxes.shown[0] && twi_report_box(master, shot, region, last, &box))
        add_box(arena, &boxes, last, &box);
    TW_SORT(boxes.at, boxes.len, by_frame);
    return boxes;
}
