/* SPDX-License-Identifier: Apache-2.0
 *
 * What the notes of a plan ask of a shot, frame by frame.
 */
#include "proof_internal.h"

#include <math.h>
#include <stdlib.h>

#define GONE_SECONDS 0.5 /* without a box in a table after which a thing is gone; our proposal */
#define CALM_FRAMES 9    /* a detector's box counts as the middle one of so many; our proposal */

bool twi_proof_note_at(const tw_note *note, double source)
{
    double shown = floor(source + 1e-6); /* positions that are whole but for rounding */
    if (note->has_in && shown < (double)note->in)
        return false;
    return !note->has_out || shown < (double)note->out;
}

/* The two keys around a position; the same one twice at or past an end. */
static void around(const tw_region *region, double source, const tw_region_key **a, const tw_region_key **b)
{
    size_t low = 0, high = region->key_count; /* keys before `low` lie at or before the position */
    while (low < high) {
        size_t middle = (low + high) / 2;
        if ((double)region->keys[middle].frame > source)
            high = middle;
        else
            low = middle + 1;
    }
    *a = &region->keys[low > 0 ? low - 1 : 0];
    *b = &region->keys[low < region->key_count ? low : region->key_count - 1];
}

static bool in_table(const tw_region_key *a, const tw_region_key *b, double source, double gap)
{
    double from = source - (double)a->frame, to = (double)b->frame - source;
    if (a == b || from < 0)
        return fabs(from) < 1; /* a table says nothing past its ends */
    return from < 1 || from + to <= gap;
}

static double clamped(double v, double least, double most)
{
    return v < least ? least : v > most ? most : v;
}

bool twi_proof_box(const tw_region *region, double source, double gap, tw_size size, tw_path_box *out)
{
    if (region->key_count == 0)
        return false;
    const tw_region_key *a, *b;
    around(region, source, &a, &b);
    if (region->track.len > 0 && !in_table(a, b, source, gap))
        return false;
    double t = b->frame > a->frame ? clamped((source - (double)a->frame) / (double)(b->frame - a->frame), 0, 1) : 0;
    double left = (1 - t) * a->left + t * b->left, top = (1 - t) * a->top + t * b->top;
    double right = left + (1 - t) * a->width + t * b->width;
    double bottom = top + (1 - t) * a->height + t * b->height;
    *out = (tw_path_box){
        .left = clamped(left * size.w, 0, size.w),
        .top = clamped(top * size.h, 0, size.h),
        .right = clamped(right * size.w, 0, size.w),
        .bottom = clamped(bottom * size.h, 0, size.h),
    };
    return out->right > out->left && out->bottom > out->top;
}

/* ---- detectors ------------------------------------------------------------------------------------------- */

static double middle_of(double *values, size_t count)
{
    for (size_t i = 1; i < count; i++) /* at most CALM_FRAMES of them */
        for (size_t j = i; j > 0 && values[j - 1] > values[j]; j--) {
            double swap = values[j];
            values[j] = values[j - 1];
            values[j - 1] = swap;
        }
    return count % 2 == 1 ? values[count / 2] : (values[count / 2 - 1] + values[count / 2]) / 2;
}

static tw_path_box calm_box(const tw_path_box *boxes, int64_t frames, int64_t at)
{
    double edge[4][CALM_FRAMES];
    size_t count = 0;
    for (int64_t i = at - CALM_FRAMES / 2; i <= at + CALM_FRAMES / 2; i++) {
        if (i < 0 || i >= frames || boxes[i].right <= boxes[i].left)
            continue;
        edge[0][count] = boxes[i].left;
        edge[1][count] = boxes[i].top;
        edge[2][count] = boxes[i].right;
        edge[3][count++] = boxes[i].bottom;
    }
    return (tw_path_box){middle_of(edge[0], count), middle_of(edge[1], count), middle_of(edge[2], count),
                         middle_of(edge[3], count)};
}

/* A detector's single wild box is no promise to anybody. */
static tw_path_box *calmed(tw_arena *arena, const tw_path_box *boxes, int64_t frames)
{
    tw_path_box *calm = TW_NEW_N(arena, tw_path_box, (size_t)frames);
    for (int64_t i = 0; i < frames; i++)
        if (boxes[i].right > boxes[i].left)
            calm[i] = calm_box(boxes, frames, i);
    return calm;
}

/* ---- a whole shot ---------------------------------------------------------------------------------------- */

typedef struct asking {
    tw_arena *arena;
    const tw_timeline *master;
    const twi_seen *shot;
    const double *source; /* position by visible frame */
    double gap;
    twi_asked *out;
} asking;

static bool fill(const asking *a, const tw_note *note, const tw_region *region, tw_path_box *boxes)
{
    bool there = false;
    for (int64_t i = 0; i < a->shot->frames; i++) {
        boxes[i] = (tw_path_box){0, 0, 0, 0};
        if (!twi_proof_note_at(note, a->source[i]))
            continue;
        tw_path_box box;
        if (twi_proof_box(region, a->source[i], a->gap, a->shot->source->size, &box)) {
            boxes[i] = box;
            there = true;
        }
    }
    return there;
}

static void add_regions(const asking *a, const tw_note *note)
{
    twi_asked *out = a->out;
    for (size_t r = 0; r < note->region_count; r++) {
        const tw_region *region = &note->regions[r];
        tw_path_box *boxes = TW_NEW_N(a->arena, tw_path_box, (size_t)a->shot->frames);
        if (!fill(a, note, region, boxes))
            continue;
        out->any = true;
        if (!region->must)
            continue;
        if (region->detector)
            boxes = calmed(a->arena, boxes, a->shot->frames);
        out->holds[out->hold_count++] = (twi_hold){note, region, boxes};
    }
}

static void add_window(const asking *a, const tw_note *note)
{
    for (int64_t i = 0; i < a->shot->frames; i++) {
        if (a->out->by_hand[i] != NULL || !twi_proof_note_at(note, a->source[i]))
            continue;
        a->out->by_hand[i] = note;
        a->out->any = true;
    }
}

static const double *positions(tw_arena *arena, const tw_timeline *master, const twi_seen *shot)
{
    double *source = TW_NEW_N(arena, double, (size_t)shot->frames);
    for (int64_t i = 0; i < shot->frames; i++)
        source[i] = tw_item_source_frame(master, shot->clip, shot->first + i);
    return source;
}

void twi_proof_asked(tw_arena *arena, const tw_timeline *master, const twi_seen *shot, const tw_delivery *delivery,
                     twi_asked *out)
{
    *out = (twi_asked){.steps = delivery->moves == TW_PLAN_MOVES_STEPS};
    asking a = {arena, master, shot, positions(arena, master, shot), 0, out};
    double step = tw_item_source_frame(master, shot->clip, 1) - tw_item_source_frame(master, shot->clip, 0);
    a.gap = GONE_SECONDS * tw_rate_fps(master->rate) * fmax(fabs(step), 1);
    size_t most = 0;
    for (size_t n = 0; n < shot->note_count; n++)
        most += shot->notes[n]->region_count;
    out->holds = TW_NEW_N(arena, twi_hold, most);
    out->by_hand = TW_NEW_N(arena, const tw_note *, (size_t)shot->frames);
    for (size_t n = 0; n < shot->note_count; n++) {
        const tw_note *note = shot->notes[n];
        if (!tw_note_covers(note, delivery->name))
            continue;
        if (note->moves != TW_PLAN_MOVES_DEFAULT)
            out->steps = note->moves == TW_PLAN_MOVES_STEPS;
        add_regions(&a, note);
        if (note->window_count > 0)
            add_window(&a, note);
    }
}
