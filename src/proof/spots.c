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
    bool on, between, retimed;
    double offset, step;  /* record frame of its frame 0, record frames per frame; 0 per frame when frozen */
    double zero, pace;    /* frame at record frame 0, to be rounded down, and frames per record frame */
    int64_t begins, ends; /* record frames between which it is seen */
    int64_t low, high;    /* the same, transitions counted */
} standing;

#define FAR INT64_C(1000000000000000) /* frames: no edit is as long, a double counts them, an integer holds them */
#define NOISE 1e-6                    /* of frames that are whole but for rounding */

static double bounded(double frames)
{
    return tw_clamp(frames, -(double)FAR, (double)FAR);
}

static int64_t up(double frames)
{
    return (int64_t)ceil(bounded(frames) - NOISE);
}

static int64_t down(double frames)
{
    return (int64_t)floor(bounded(frames) + NOISE);
}

static int64_t within(int64_t frame, int64_t low, int64_t high)
{
    return frame < low ? low : frame > high ? high : frame;
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

static int64_t frame_at(const standing *at, int64_t record)
{
    return down(at->zero + at->pace * (double)record);
}

/* From `low` on, the first record frame that has come to the frame `from` (backwards: to below `to`), if before `high`
 * and not past the last of these frames. */
static int64_t come(const standing *at, int64_t from, int64_t to, int64_t low, int64_t high)
{
    int64_t first = low;
    if (at->pace > 0)
        first = up(((double)from - at->zero) / at->pace);
    else if (at->pace < 0)
        first = down(((double)to - at->zero) / at->pace) + 1;
    else if (frame_at(at, low) < from || frame_at(at, low) >= to)
        first = high;
    return within(first, low, high);
}

/* And the first after these frames. */
static int64_t gone(const standing *at, int64_t from, int64_t to, int64_t low, int64_t high)
{
    if (at->pace > 0)
        return come(at, to, FAR, low, high);
    return at->pace < 0 ? come(at, -FAR, from, low, high) : high;
}

/* Its frames among those that its tracks run through while they are seen. */
static void see(const standing *at, int64_t zero, int64_t head, int64_t end, twi_spot *spot)
{
    int64_t a = frame_at(at, at->low) - zero, b = frame_at(at, at->high - 1) - zero;
    if (spot->seen >= spot->last)
        return;
    spot->first = within(a < b ? a : b, -head, end);
    spot->frames = within(a < b ? b + 1 : a + 1, -head, end) - spot->first;
}

static twi_spot spot_of(const walking *w, const tw_track *track, const standing *at, const tw_item *item)
{
    int64_t zero = tw_item_record_in(w->timeline, item), end = tw_item_record_out(w->timeline, item);
    int64_t head = tw_item_head(w->timeline, item), tail = tw_item_tail(w->timeline, item);
    twi_spot spot = {
        .item = item,
        .track = track,
        .video = at->video,
        .nest = at->nest,
        .on = at->on && item->enabled,
        .between = at->between || !is_whole(w, item->record.start) || !is_whole(w, item->record.dur),
        /* half up, as tw_time_round does */
        .place = down(at->offset + frames_of(w, item->record.start) * at->step + 0.5),
        .begins = come(at, zero, end, at->begins, FAR),
        .ends = gone(at, zero, end, -FAR, at->ends),
        .seen = come(at, zero - head, end + tail, at->low, at->high),
        .last = gone(at, zero - head, end + tail, at->low, at->high),
        .step = at->step,
        .retimed = at->retimed,
    };
    see(at, zero, head, end + tail - zero, &spot);
    return spot;
}

static standing inside(walking *w, const standing *at, const twi_spot *nest)
{
    double speed = nest->item->speed, offset = at->offset + frames_of(w, nest->item->record.start) * at->step;
    double into = at->zero - (double)tw_item_record_in(w->timeline, nest->item);
    bool runs = speed > 0 || speed < 0;
    return (standing){
        .video = at->video,
        .nest = w->nests++,
        .on = nest->on,
        .between = nest->between,
        .retimed = at->retimed || fabs(speed - 1) > NOISE,
        .offset = offset,
        .step = runs ? bounded(at->step / speed) : 0,
        .zero = bounded(into * speed),
        .pace = bounded(at->pace * speed),
        .begins = nest->begins,
        .ends = nest->ends,
        .low = nest->seen,
        .high = nest->last,
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
                                                .pace = 1,
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
            if (item->kind == TW_ITEM_NEST || spot.seen < spot.last)
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
