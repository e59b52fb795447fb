/* SPDX-License-Identifier: Apache-2.0
 *
 * What is seen at a record frame.
 */
#include <tallwide/preview.h>

#define DEPTH 32 /* nests within nests; readers bound them too */

/* An item on its own tracks. */
typedef struct place {
    int64_t in, out;
    int64_t until, from;      /* the last end of it and those before, the first beginning of it and those after it */
    const struct laid *inner; /* the tracks of a nest */
} place;

typedef struct laid {
    const tw_track *track;
    place *at; /* by item */
} laid;

struct tw_preview_order {
    const tw_timeline *timeline;
    const laid *tracks;
};

typedef struct sight {
    const tw_timeline *timeline;
    tw_preview_layer *out;
    size_t count;
    int64_t record;
} sight;

/* ---- order ------------------------------------------------------------------------------------------------- */

static const laid *lay_all(tw_arena *arena, const tw_timeline *timeline, const tw_track *tracks, size_t count)
{
    laid *all = TW_NEW_N(arena, laid, count);
    for (size_t t = 0; t < count; t++) {
        const tw_track *track = &tracks[t];
        size_t n = track->item_count;
        place *at = TW_NEW_N(arena, place, n);
        all[t] = (laid){track, at};
        for (size_t i = 0; i < n; i++) {
            const tw_item *item = &track->items[i];
            at[i].in = tw_item_record_in(timeline, item);
            at[i].out = tw_item_record_out(timeline, item);
            at[i].until = i > 0 && at[i - 1].until > at[i].out ? at[i - 1].until : at[i].out;
            if (item->kind == TW_ITEM_NEST)
                at[i].inner = lay_all(arena, timeline, item->tracks, item->track_count);
        }
        for (size_t i = n; i-- > 0;)
            at[i].from = i + 1 < n && at[i + 1].from < at[i].in ? at[i + 1].from : at[i].in;
    }
    return all;
}

tw_preview_order *tw_preview_lay(tw_arena *arena, const tw_timeline *timeline)
{
    tw_preview_order *order = TW_NEW(arena, tw_preview_order);
    *order = (tw_preview_order){timeline, lay_all(arena, timeline, timeline->tracks, timeline->track_count)};
    return order;
}

/* The first item that does not end before the frame: all before it do. */
static size_t first_at(const laid *l, int64_t frame)
{
    size_t i;
    TW_SEARCH(i, l->track->item_count, l->at[i].until <= frame);
    return i;
}

/* ---- layers ------------------------------------------------------------------------------------------------ */

/* Black is one layer, however much of it there is. */
static void add(sight *s, const tw_item *clip, int64_t frame, double weight)
{
    for (size_t i = 0; i < s->count; i++) {
        if (clip == NULL && s->out[i].clip == NULL) {
            s->out[i].weight += weight;
            return;
        }
    }
    if (s->count == TW_PREVIEW_LAYERS)
        return;
    s->out[s->count++] = (tw_preview_layer){clip, frame, weight, 0};
}

/* Tracks, and how they stand on the record. */
typedef struct level {
    tw_nesting nesting;
    int64_t frame; /* of their own */
    int depth;
} level;

static bool see_tracks(sight *s, const laid *tracks, size_t count, const tw_nesting *nesting, double weight, int depth);

/* False when it shows nothing. */
static bool see_item(sight *s, const laid *on, size_t i, const level *l, double weight)
{
    const tw_item *item = &on->track->items[i];
    if (!item->enabled || (item->kind != TW_ITEM_CLIP && item->kind != TW_ITEM_NEST))
        return false;
    if (item->kind == TW_ITEM_CLIP) {
        bool black = tw_item_is_black(item);
        add(s, black ? NULL : item, black ? 0 : l->frame - on->at[i].in, weight);
        return true;
    }
    const tw_nesting inside = tw_nesting_inside(s->timeline, &l->nesting, item);
    return see_tracks(s, on->at[i].inner, item->track_count, &inside, weight, l->depth + 1);
}

static bool holds(const place *at, int64_t frame)
{
    return frame >= at->in && frame < at->out;
}

static bool is_shown(const tw_item *item)
{
    return item->kind == TW_ITEM_CLIP || item->kind == TW_ITEM_NEST;
}

/* Through a transition: half a frame into each frame, so that both sides get the same share of it. */
static bool see_transition(sight *s, const laid *on, size_t index, const level *l, double weight)
{
    const tw_item *items = on->track->items, *t = &items[index];
    const place *at = &on->at[index];
    int64_t length = at->out - at->in;
    double part = ((double)(l->frame - at->in) + 0.5) / (double)(length > 0 ? length : 1);
    const bool there[] = {index > 0, index + 1 < on->track->item_count};
    const size_t sides[] = {index - 1, index + 1};
    const double shares[] = {(1 - part) * weight, part * weight};
    bool any = false;
    for (int i = 0; i < 2; i++)
        any = any || (there[i] && items[sides[i]].enabled && is_shown(&items[sides[i]]));
    for (int i = 0; any && i < 2; i++)
        if (!there[i] || !see_item(s, on, sides[i], l, shares[i]))
            add(s, NULL, 0, shares[i]);
    int wipe = tw_preview_wipe(t->name);
    if (wipe > 0 && s->count == 2 && weight > 1 - 1e-9)
        s->out[1].wipe = wipe;
    return any;
}

static bool see_track(sight *s, const laid *on, const level *l, double weight)
{
    const tw_item *items = on->track->items;
    size_t first = first_at(on, l->frame), end = first;
    for (; end < on->track->item_count && on->at[end].from <= l->frame; end++)
        if (items[end].kind == TW_ITEM_TRANSITION && holds(&on->at[end], l->frame))
            return see_transition(s, on, end, l, weight);
    for (size_t i = first; i < end; i++)
        if (is_shown(&items[i]) && holds(&on->at[i], l->frame) && see_item(s, on, i, l, weight))
            return true;
    return false;
}

static bool see_tracks(sight *s, const laid *tracks, size_t count, const tw_nesting *nesting, double weight, int depth)
{
    const level l = {*nesting, tw_nesting_frame(nesting, s->record), depth};
    for (size_t t = count; t-- > 0 && depth < DEPTH;)
        if (tracks[t].track->kind == TW_TRACK_VIDEO && tracks[t].track->enabled && see_track(s, &tracks[t], &l, weight))
            return true;
    return false;
}

size_t tw_preview_layers(const tw_preview_order *order, int64_t frame, tw_preview_layer out[TW_PREVIEW_LAYERS])
{
    const tw_timeline *timeline = order->timeline;
    const tw_nesting top = tw_nesting_top();
    sight s = {.timeline = timeline, .out = out};
    s.record = tw_time_round(timeline->start, timeline->rate, NULL) + frame;
    if (!see_tracks(&s, order->tracks, timeline->track_count, &top, 1, 0))
        add(&s, NULL, 0, 1);
    double sum = 0;
    for (size_t i = 0; i < s.count; i++)
        sum += out[i].weight;
    if (sum < 1 - 1e-9 && s.count < TW_PREVIEW_LAYERS)
        add(&s, NULL, 0, 1 - sum);
    return s.count;
}

int64_t tw_preview_length(const tw_timeline *timeline)
{
    int64_t start = tw_time_round(timeline->start, timeline->rate, NULL), last = start;
    for (size_t t = 0; t < timeline->track_count; t++) {
        const tw_track *track = &timeline->tracks[t];
        for (size_t i = 0; i < track->item_count; i++) {
            if (!is_shown(&track->items[i]) || track->kind == TW_TRACK_OTHER)
                continue;
            int64_t out = tw_item_record_out(timeline, &track->items[i]);
            last = out > last ? out : last;
        }
    }
    return last - start;
}
