/* SPDX-License-Identifier: Apache-2.0
 *
 * What is seen at a record frame.
 */
#include <tallwide/preview.h>

#define DEPTH 32 /* nests within nests; readers bound them too */

typedef struct sight {
    const tw_timeline *timeline;
    tw_preview_layer *out;
    size_t count;
    int64_t record;
} sight;

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

static bool see_tracks(sight *s, const tw_track *tracks, size_t count, const tw_nesting *nesting, double weight,
                       int depth);

static int64_t record_in(const sight *s, const tw_item *item)
{
    return tw_item_record_in(s->timeline, item);
}

/* False when it shows nothing. */
static bool see_item(sight *s, const tw_item *item, const level *l, double weight)
{
    if (item == NULL || !item->enabled || (item->kind != TW_ITEM_CLIP && item->kind != TW_ITEM_NEST))
        return false;
    if (item->kind == TW_ITEM_CLIP) {
        bool black = tw_item_is_black(item);
        add(s, black ? NULL : item, black ? 0 : l->frame - record_in(s, item), weight);
        return true;
    }
    const tw_nesting inside = tw_nesting_inside(s->timeline, &l->nesting, item);
    return see_tracks(s, item->tracks, item->track_count, &inside, weight, l->depth + 1);
}

static bool holds(const sight *s, const tw_item *item, int64_t frame)
{
    return frame >= record_in(s, item) && frame < tw_item_record_out(s->timeline, item);
}

static bool is_shown(const tw_item *item)
{
    return item->kind == TW_ITEM_CLIP || item->kind == TW_ITEM_NEST;
}

/* Through a transition: half a frame into each frame, so that both sides get the same share of it. */
static bool see_transition(sight *s, const tw_track *track, size_t index, const level *l, double weight)
{
    const tw_item *t = &track->items[index];
    const tw_item *before = index > 0 ? &track->items[index - 1] : NULL;
    const tw_item *after = index + 1 < track->item_count ? &track->items[index + 1] : NULL;
    int64_t length = tw_item_frames(s->timeline, t);
    double part = ((double)(l->frame - record_in(s, t)) + 0.5) / (double)(length > 0 ? length : 1);
    const tw_item *sides[] = {before, after};
    const double shares[] = {(1 - part) * weight, part * weight};
    bool any = false;
    for (int i = 0; i < 2; i++)
        any = any || (sides[i] != NULL && sides[i]->enabled && is_shown(sides[i]));
    for (int i = 0; any && i < 2; i++)
        if (sides[i] == NULL || !see_item(s, sides[i], l, shares[i]))
            add(s, NULL, 0, shares[i]);
    int wipe = tw_preview_wipe(t->name);
    if (wipe > 0 && s->count == 2 && weight > 1 - 1e-9)
        s->out[1].wipe = wipe;
    return any;
}

static bool see_track(sight *s, const tw_track *track, const level *l, double weight)
{
    for (size_t i = 0; i < track->item_count; i++)
        if (track->items[i].kind == TW_ITEM_TRANSITION && holds(s, &track->items[i], l->frame))
            return see_transition(s, track, i, l, weight);
    for (size_t i = 0; i < track->item_count; i++) {
        const tw_item *item = &track->items[i];
        if (is_shown(item) && holds(s, item, l->frame) && see_item(s, item, l, weight))
            return true;
    }
    return false;
}

static bool see_tracks(sight *s, const tw_track *tracks, size_t count, const tw_nesting *nesting, double weight,
                       int depth)
{
    const level l = {*nesting, tw_nesting_frame(nesting, s->record), depth};
    for (size_t t = count; t-- > 0 && depth < DEPTH;)
        if (tracks[t].kind == TW_TRACK_VIDEO && tracks[t].enabled && see_track(s, &tracks[t], &l, weight))
            return true;
    return false;
}

size_t tw_preview_layers(const tw_timeline *timeline, int64_t frame, tw_preview_layer out[TW_PREVIEW_LAYERS])
{
    const tw_nesting top = tw_nesting_top();
    sight s = {.timeline = timeline, .out = out};
    s.record = tw_time_round(timeline->start, timeline->rate, NULL) + frame;
    if (!see_tracks(&s, timeline->tracks, timeline->track_count, &top, 1, 0))
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
