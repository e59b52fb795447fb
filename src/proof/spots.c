/* SPDX-License-Identifier: Apache-2.0
 *
 * Where clips and nests stand on the record, counted once more: the proof does not take the word of what it proves.
 */
#include "proof_internal.h"

#include <math.h>

/* A walk, and where it stands. */
typedef struct walking {
    const tw_timeline *timeline;
    twi_spot_fn *fn;
    void *context;
    size_t nests; /* met so far */
} walking;

typedef struct standing {
    size_t video, nest;
    bool on, between;
    double offset, step; /* record frame of its frame 0, record frames per frame; 0 per frame when frozen */
    double begins, ends; /* record frames between which it is seen */
    double low, high;    /* the same, transitions counted */
} standing;

#define FAR 1e15 /* frames: no edit is as long, a double counts them, an integer holds them */

/* Half up, as tw_time_round does; the small part is for halves that are not quite. */
static int64_t whole(double frames)
{
    return (int64_t)floor(tw_clamp(frames, -FAR, FAR) + 0.5 + 1e-6);
}

static double frames_of(const walking *w, tw_time t)
{
    return tw_time_seconds(t) * tw_rate_fps(w->timeline->rate);
}

static bool is_whole(const walking *w, tw_time t)
{
    bool exact;
    tw_time_round(t, w->timeline->rate, &exact);
    return exact;
}

static twi_spot spot_of(const walking *w, const tw_track *track, const standing *at, const tw_item *item)
{
    double place = at->offset + frames_of(w, item->record.start) * at->step;
    double end = place + frames_of(w, item->record.dur) * at->step;
    double head = (double)tw_item_head(w->timeline, item) * at->step,
           tail = (double)tw_item_tail(w->timeline, item) * at->step;
    return (twi_spot){
        .item = item,
        .track = track,
        .video = at->video,
        .nest = at->nest,
        .on = at->on && item->enabled,
        .between = at->between || !is_whole(w, item->record.start) || !is_whole(w, item->record.dur),
        .place = whole(place),
        .begins = whole(tw_max(place, at->begins)),
        .ends = whole(tw_min(end, at->ends)),
        .seen = whole(tw_max(place - head, at->low)),
        .last = whole(tw_min(end + tail, at->high)),
        .step = at->step,
    };
}

static standing inside(walking *w, const standing *at, const twi_spot *nest)
{
    double speed = nest->item->speed, offset = at->offset + frames_of(w, nest->item->record.start) * at->step;
    bool runs = speed > 0 || speed < 0;
    return (standing){
        .video = at->video,
        .nest = w->nests++,
        .on = nest->on,
        .between = nest->between,
        .offset = offset,
        .step = runs ? tw_clamp(at->step / speed, -FAR, FAR) : 0,
        .begins = (double)nest->begins,
        .ends = (double)nest->ends,
        .low = (double)nest->seen,
        .high = (double)nest->last,
    };
}

/* Depth is bounded by what readers accept. */
static void walk(walking *w, const tw_track *tracks, size_t count, const standing *nest)
{
    size_t video = 0;
    for (size_t t = 0; t < count; t++) {
        if (tracks[t].kind != TW_TRACK_VIDEO)
            continue;
        standing at = nest != NULL ? *nest
                                   : (standing){.video = video,
                                                .nest = SIZE_MAX,
                                                .on = true,
                                                .step = 1,
                                                .begins = -FAR,
                                                .ends = FAR,
                                                .low = -FAR,
                                                .high = FAR};
        at.on = at.on && tracks[t].enabled;
        for (size_t i = 0; i < tracks[t].item_count; i++) {
            const tw_item *item = &tracks[t].items[i];
            if (item->kind != TW_ITEM_CLIP && item->kind != TW_ITEM_NEST)
                continue;
            const twi_spot spot = spot_of(w, &tracks[t], &at, item);
            if (item->kind == TW_ITEM_NEST || tw_item_frames(w->timeline, item) > 0)
                w->fn(w->context, &spot);
            if (item->kind == TW_ITEM_NEST) {
                const standing within = inside(w, &at, &spot);
                walk(w, item->tracks, item->track_count, &within);
            }
        }
        video++;
    }
}

void twi_proof_spots(const tw_timeline *timeline, twi_spot_fn *fn, void *context)
{
    walking w = {timeline, fn, context, 0};
    walk(&w, timeline->tracks, timeline->track_count, NULL);
}
