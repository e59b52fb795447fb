/* SPDX-License-Identifier: Apache-2.0
 *
 * What the notes of a plan ask of a shot, frame by frame. Which frames a note holds for is the plan's to say; the boxes
 * are worked out here once more and not asked of `derive`, so that a fault there is found.
 */
#include "proof_internal.h"

#include <math.h>
#include <stdlib.h>

#define GONE_SECONDS 0.5 /* without a box in a table after which a thing is gone; our proposal */

/* The two keys around a position; the same one twice at or past an end. */
static void around(const tw_region *region, double source, const tw_region_key **a, const tw_region_key **b)
{
    size_t i;
    TW_SEARCH(i, region->key_count, (double)region->keys[i].frame <= source);
    *a = &region->keys[i > 0 ? i - 1 : 0];
    *b = &region->keys[i < region->key_count ? i : region->key_count - 1];
}

static bool in_table(const tw_region_key *a, const tw_region_key *b, double source, double gap)
{
    double from = source - (double)a->frame, to = (double)b->frame - source;
    if (a == b || from < 0)
        return fabs(from) < 1; /* a table says nothing past its ends */
    return from < 1 || from + to <= gap;
}

bool twi_proof_box(const tw_region *region, double source, double gap, tw_size size, tw_path_box *out)
{
    if (region->key_count == 0)
        return false;
    const tw_region_key *a, *b;
    around(region, source, &a, &b);
    if (region->track.len > 0 && !in_table(a, b, source, gap))
        return false;
    double t = b->frame > a->frame ? tw_clamp((source - (double)a->frame) / (double)(b->frame - a->frame), 0, 1) : 0;
    double left = (1 - t) * a->left + t * b->left, top = (1 - t) * a->top + t * b->top;
    double right = left + (1 - t) * a->width + t * b->width;
    double bottom = top + (1 - t) * a->height + t * b->height;
    *out = (tw_path_box){
        .left = tw_clamp(left * size.w, 0, size.w),
        .top = tw_clamp(top * size.h, 0, size.h),
        .right = tw_clamp(right * size.w, 0, size.w),
        .bottom = tw_clamp(bottom * size.h, 0, size.h),
    };
    return out->right > out->left && out->bottom > out->top;
}

/* ---- a whole shot ---------------------------------------------------------------------------------------- */

typedef struct asking {
    tw_arena *arena;
    const tw_timeline *master;
    const twi_seen *shot;
    const double *source; /* position by visible frame */
    double gap, step;     /* source frames; per record frame */
    twi_asked *out;
} asking;

/* The region at `count` frames from position `from` on; true when it is there at any. */
static bool fill(const asking *a, const tw_note *note, const tw_region *region, double from, int64_t count,
                 tw_path_box *boxes)
{
    bool there = false;
    for (int64_t i = 0; i < count; i++) {
        double source = from + a->step * (double)i;
        tw_path_box box;
        boxes[i] = (tw_path_box){0, 0, 0, 0};
        if (!tw_note_holds(note, source) || !twi_proof_box(region, source, a->gap, a->shot->source->size, &box))
            continue;
        boxes[i] = box;
        there = true;
    }
    return there;
}

#define FAR 256 /* frames: further away nothing changes what counts of a detector's box */

/* Frames of the same path before or after a shot: a through-edit is one take to a detector. */
static int64_t beside(const twi_seen *shot, int side)
{
    int64_t frames = 0;
    for (const twi_seen *s = shot; frames < FAR && (side < 0 ? s->joined : s[1].joined); s += side)
        frames += s[side].frames;
    return frames < FAR ? frames : FAR;
}

/* What counts of a detector's boxes, looked at over the cuts of a through-edit. */
static tw_path_box *calmed(const asking *a, const tw_note *note, const tw_region *region)
{
    int64_t before = beside(a->shot, -1), count = before + a->shot->frames + beside(a->shot, 1);
    tw_path_box *boxes = TW_NEW_N(a->arena, tw_path_box, (size_t)count);
    fill(a, note, region, a->source[0] - a->step * (double)before, count, boxes);
    return twi_proof_calm(a->arena, boxes, count, a->shot->fps) + before;
}

static void add_regions(const asking *a, const tw_note *note)
{
    twi_asked *out = a->out;
    for (size_t r = 0; r < note->region_count; r++) {
        const tw_region *region = &note->regions[r];
        tw_path_box *boxes = TW_NEW_N(a->arena, tw_path_box, (size_t)a->shot->frames);
        if (!fill(a, note, region, a->source[0], a->shot->frames, boxes))
            continue;
        out->any = true;
        if (!region->must)
            continue;
        twi_hold *hold = &out->holds[out->hold_count++];
        *hold = (twi_hold){.note = note, .region = region, .boxes = boxes};
        if (region->detector) {
            hold->raw = boxes;
            hold->boxes = calmed(a, note, region);
        }
    }
}

static void add_window(const asking *a, const tw_note *note)
{
    for (int64_t i = 0; i < a->shot->frames; i++) {
        if (!tw_note_holds(note, a->source[i]))
            continue;
        a->out->shared[i] = a->out->by_hand[i] != NULL;
        if (!a->out->shared[i])
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
    asking a = {.arena = arena, .master = master, .shot = shot, .source = positions(arena, master, shot), .out = out};
    a.step = tw_item_source_frame(master, shot->clip, 1) - tw_item_source_frame(master, shot->clip, 0);
    a.gap = GONE_SECONDS * tw_rate_fps(master->rate) * tw_max(fabs(a.step), 1);
    size_t most = 0;
    for (size_t n = 0; n < shot->note_count; n++)
        most += shot->notes[n]->region_count;
    out->holds = TW_NEW_N(arena, twi_hold, most);
    out->by_hand = TW_NEW_N(arena, const tw_note *, (size_t)shot->frames);
    out->shared = TW_NEW_N(arena, bool, (size_t)shot->frames);
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
