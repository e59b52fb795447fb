/* SPDX-License-Identifier: Apache-2.0
 *
 * Where what is inside nests stands on the record, and what of it they show.
 */
#include <tallwide/timeline.h>

#include <math.h>

#define FAR (INT64_C(1) << 50) /* frames: past any edit, and a double still counts them one by one */
#define CLOSE 1e-6             /* for positions that are whole but for rounding */

static int64_t whole(double frames)
{
    return (int64_t)tw_clamp(frames, -2.0 * (double)FAR, 2.0 * (double)FAR);
}

tw_nesting tw_nesting_top(void)
{
    return (tw_nesting){-FAR, FAR, -(double)FAR, 1, {-FAR, FAR}};
}

static double frame_at(const tw_nesting *n, int64_t record)
{
    return tw_clamp(n->from + (double)(record - n->in) * n->speed, -(double)FAR, (double)FAR);
}

int64_t tw_nesting_frame(const tw_nesting *nesting, int64_t record)
{
    return whole(floor(frame_at(nesting, record) + CLOSE));
}

/* A frame is on screen from the first record frame that has come to it, backwards from the first that has come below
 * the one before. */
static int64_t record_of(const tw_nesting *n, int64_t frame)
{
    double way = (double)frame - n->from;
    if (n->speed > 0)
        return n->in + whole(ceil(way / n->speed - CLOSE));
    return n->speed < 0 ? n->in + whole(floor((way + 1) / n->speed + CLOSE)) + 1 : n->in;
}

static int64_t clamped(int64_t frame, int64_t least, int64_t most)
{
    return frame < least ? least : frame > most ? most : frame;
}

/* Of the record frames within `bounds` those at which some of the tracks' frames [from, to) are on screen. */
static tw_span span_of(const tw_nesting *n, tw_span bounds, int64_t from, int64_t to)
{
    bool back = n->speed < 0;
    if (!back && !(n->speed > 0)) { /* frozen: on one of these frames, or not */
        bool on = n->from + CLOSE >= (double)from && n->from + CLOSE < (double)to;
        return (tw_span){bounds.first, on ? bounds.end : bounds.first};
    }
    int64_t first = clamped(record_of(n, back ? to - 1 : from), bounds.first, bounds.end);
    return (tw_span){first, clamped(record_of(n, back ? from - 1 : to), first, bounds.end)};
}

static tw_span as_cut(const tw_nesting *n)
{
    return (tw_span){n->in, n->out};
}

/* Of an item's frames [from, to) those that lie among the ones its tracks run through within `bounds`. A speed may
 * leave out some of them, but clips that go on from one to the next still do. */
static tw_span frames_within(const tw_nesting *n, tw_span bounds, int64_t zero, int64_t from, int64_t to)
{
    const tw_span span = span_of(n, bounds, zero + from, zero + to);
    if (span.end == span.first)
        return (tw_span){0, 0};
    int64_t a = tw_nesting_frame(n, bounds.first), b = tw_nesting_frame(n, bounds.end - 1);
    return (tw_span){clamped((a < b ? a : b) - zero, from, to), clamped((a < b ? b : a) + 1 - zero, from, to)};
}

tw_stand tw_stand_of(const tw_timeline *timeline, const tw_nesting *nesting, const tw_item *item)
{
    int64_t in = tw_item_record_in(timeline, item), frames = tw_item_record_out(timeline, item) - in;
    int64_t head = tw_item_head(timeline, item), tail = tw_item_tail(timeline, item);
    const tw_span shown = frames_within(nesting, nesting->reach, in, -head, frames + tail);
    const tw_span body = frames_within(nesting, as_cut(nesting), in, 0, frames);
    return (tw_stand){*nesting, in,
                      frames,   span_of(nesting, as_cut(nesting), in, in + frames),
                      shown,    body.end > body.first ? body : shown};
}

tw_nesting tw_nesting_inside(const tw_timeline *timeline, const tw_nesting *around, const tw_item *nest)
{
    tw_stand stand = tw_stand_of(timeline, around, nest);
    double into = frame_at(around, stand.seen.first) - (double)stand.zero;
    double speed = tw_clamp(nest->speed, -(double)FAR, (double)FAR);
    int64_t head = tw_item_head(timeline, nest), tail = tw_item_tail(timeline, nest);
    tw_span reach = span_of(around, around->reach, stand.zero - head, stand.zero + stand.frames + tail);
    return (tw_nesting){stand.seen.first, stand.seen.end, into * speed, around->speed * speed, reach};
}

typedef struct placing {
    const tw_timeline *timeline;
    tw_stand *out;
} placing;

static void place_tracks(const placing *p, const tw_nesting *nesting, const tw_track *tracks, size_t count)
{
    for (size_t t = 0; t < count; t++) {
        for (size_t i = 0; i < tracks[t].item_count; i++) {
            const tw_item *item = &tracks[t].items[i];
            if (item->kind == TW_ITEM_CLIP)
                p->out[item->index] = tw_stand_of(p->timeline, nesting, item);
            if (item->kind != TW_ITEM_NEST)
                continue;
            const tw_nesting inside = tw_nesting_inside(p->timeline, nesting, item);
            place_tracks(p, &inside, item->tracks, item->track_count);
        }
    }
}

tw_stand *tw_timeline_stands(tw_arena *arena, const tw_timeline *timeline)
{
    const placing p = {timeline, TW_NEW_N(arena, tw_stand, timeline->clip_count)};
    const tw_nesting top = tw_nesting_top();
    place_tracks(&p, &top, timeline->tracks, timeline->track_count);
    return p.out;
}

int64_t tw_stand_record(const tw_stand *stand, int64_t f)
{
    return record_of(&stand->nesting, stand->zero + f);
}

tw_span tw_stand_span(const tw_stand *stand, int64_t from, int64_t to)
{
    return span_of(&stand->nesting, as_cut(&stand->nesting), stand->zero + from, stand->zero + to);
}

int64_t tw_stand_frame(const tw_stand *stand, int64_t record)
{
    int64_t frame = tw_nesting_frame(&stand->nesting, record) - stand->zero;
    return record == stand->seen.end && frame > stand->frames ? stand->frames : frame;
}

/* ---- what a nest shows ----------------------------------------------------------------------------------- */

static tw_time at_speed(tw_time t, double speed, tw_rate rate)
{
    tw_time out = t;
    if (!(speed >= 1 && speed <= 1))
        tw_time_snap(tw_time_seconds(t) * speed * tw_rate_fps(rate), rate, &out, NULL);
    return out;
}

/* How far a nest has come into its tracks, which show whole frames (tw_nesting_frame). */
static tw_time whole_frames(const tw_timeline *timeline, tw_time cut, double speed)
{
    if (speed >= 1 && speed <= 1)
        return cut;
    double frames = floor(tw_time_seconds(cut) * tw_rate_fps(timeline->rate) * speed + CLOSE);
    return tw_time_frames((int64_t)tw_clamp(frames, -(double)FAR, (double)FAR), timeline->rate);
}

/* The tracks of a nest that begins later by so much of them. */
static tw_track *later(tw_arena *arena, const tw_item *nest, tw_time cut)
{
    tw_track *tracks = TW_NEW_N(arena, tw_track, nest->track_count);
    for (size_t t = 0; t < nest->track_count; t++) {
        const tw_track *from = &nest->tracks[t];
        tracks[t] = *from;
        tracks[t].items = TW_NEW_N(arena, tw_item, from->item_count);
        for (size_t i = 0; i < from->item_count; i++) {
            tracks[t].items[i] = from->items[i];
            tracks[t].items[i].record.start = tw_time_sub(from->items[i].record.start, cut);
        }
    }
    return tracks;
}

bool tw_item_within(tw_arena *arena, const tw_timeline *timeline, tw_range range, tw_item *item)
{
    const tw_range shown = tw_range_cut(item->record, range);
    if (tw_time_eq(shown.dur, item->record.dur))
        return item->kind == TW_ITEM_TRANSITION || tw_time_cmp(shown.dur, TW_TIME_ZERO) > 0;
    if (item->kind == TW_ITEM_TRANSITION || tw_time_cmp(shown.dur, TW_TIME_ZERO) <= 0)
        return false;
    const tw_rate rate = tw_item_source_rate(timeline, item);
    const tw_time cut = tw_time_sub(shown.start, item->record.start), into = at_speed(cut, item->speed, rate);
    int64_t frames = tw_time_round(shown.start, timeline->rate, NULL) - tw_item_record_in(timeline, item);
    item->record = shown;
    item->source.start = tw_time_add(item->source.start, into);
    if (fabs(item->speed) > 0) /* of a freeze, one frame */
        item->source.dur = at_speed(shown.dur, fabs(item->speed), rate);
    if (item->framing != NULL)
        item->framing = tw_framing_later(arena, item->framing, -frames);
    if (item->kind == TW_ITEM_NEST && tw_time_cmp(into, TW_TIME_ZERO) != 0)
        item->tracks = later(arena, item, whole_frames(timeline, cut, item->speed));
    return true;
}

static tw_track *without_heads(tw_arena *arena, const tw_timeline *timeline, const tw_track *tracks, size_t count,
                               bool nested, size_t *mixes)
{
    tw_track *out = TW_NEW_N(arena, tw_track, count);
    for (size_t t = 0; t < count; t++) {
        out[t] = tracks[t];
        out[t].items = TW_NEW_N(arena, tw_item, tracks[t].item_count);
        out[t].item_count = 0;
        for (size_t i = 0; i < tracks[t].item_count; i++) {
            tw_item *item = &out[t].items[out[t].item_count];
            *item = tracks[t].items[i];
            const tw_time end = tw_range_end(item->record);
            if (nested && tw_time_cmp(item->record.start, TW_TIME_ZERO) < 0 &&
                !tw_item_within(arena, timeline, tw_range_of(TW_TIME_ZERO, end), item)) {
                *mixes += item->kind == TW_ITEM_TRANSITION && tw_time_cmp(end, TW_TIME_ZERO) > 0;
                continue;
            }
            if (item->kind == TW_ITEM_NEST)
                item->tracks = without_heads(arena, timeline, item->tracks, item->track_count, true, mixes);
            out[t].item_count++;
        }
    }
    return out;
}

tw_track *tw_timeline_without_heads(tw_arena *arena, const tw_timeline *timeline, size_t *mixes)
{
    size_t none = 0;
    return without_heads(arena, timeline, timeline->tracks, timeline->track_count, false,
                         mixes != NULL ? mixes : &none);
}
