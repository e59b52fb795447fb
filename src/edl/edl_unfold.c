/* SPDX-License-Identifier: Apache-2.0
 *
 * A list has no nested timelines: one that is a plain row of pictures becomes the clips in it.
 */
#include "edl_out.h"

typedef struct unfolding {
    twi_out *out;
    tw_track *track; /* the row being made */
    size_t cap;
} unfolding;

static void push(unfolding *u, const tw_item *item)
{
    tw_track *t = u->track;
    TW_PUSH(u->out->arena, t->items, t->item_count, u->cap) = *item;
}

/* A mix with nothing on one side, which would mix with the clip beside the nest. */
static bool is_open(const tw_track *track)
{
    const tw_item *items = track->items;
    size_t count = track->item_count;
    return count > 0 && (items[0].kind == TW_ITEM_TRANSITION || items[count - 1].kind == TW_ITEM_TRANSITION);
}

/* One picture track at normal speed; sound and further layers in it, markers on it, would be lost without a word. */
static bool is_plain(const tw_item *nest)
{
    const tw_track *inner = nest->tracks;
    if (nest->track_count != 1 || is_open(inner))
        return false;
    return nest->enabled && inner->kind == TW_TRACK_VIDEO && inner->enabled && inner->marker_count == 0 &&
           nest->marker_count == 0 && nest->framing == NULL && nest->speed >= 1 && nest->speed <= 1 &&
           !nest->variable_speed;
}

static tw_time scaled(tw_time t, double speed)
{
    bool whole;
    const tw_rate fine = {1000, 1};
    tw_time out = t;
    if (!(speed >= 1 && speed <= 1))
        tw_time_snap(tw_time_seconds(t) * speed * 1000, fine, &out, &whole);
    return out;
}

/* The item moved into the outer track and cut to what the nest shows of it; false when that is nothing. */
static bool moved(const unfolding *u, const tw_item *inner, const tw_item *nest, tw_item *out)
{
    *out = *inner;
    out->record.start = tw_time_add(inner->record.start, nest->record.start);
    const tw_range shown = tw_range_cut(out->record, nest->record);
    if (inner->kind == TW_ITEM_TRANSITION)
        return tw_time_eq(shown.dur, out->record.dur);
    if (tw_time_cmp(shown.dur, TW_TIME_ZERO) <= 0)
        return false;
    if (tw_time_eq(shown.dur, out->record.dur))
        return true;
    tw_time cut = tw_time_sub(shown.start, out->record.start);
    out->record = shown;
    out->source.start = tw_time_add(inner->source.start, scaled(cut, inner->speed));
    out->source.dur = scaled(shown.dur, inner->speed < 0 ? -inner->speed : inner->speed);
    if (inner->framing != NULL && inner->framing->key_count > 1) { /* windows stay on the frames they were on */
        int64_t frames = tw_time_round(cut, u->out->timeline->rate, NULL);
        out->framing = tw_framing_later(u->out->arena, inner->framing, -frames);
    }
    return true;
}

/* Depth is bounded by what readers accept. */
static void unfold(unfolding *u, const tw_item *nest)
{
    for (size_t i = 0; i < nest->tracks->item_count; i++) {
        tw_item item;
        if (!moved(u, &nest->tracks->items[i], nest, &item))
            continue;
        if (item.kind == TW_ITEM_NEST && is_plain(&item))
            unfold(u, &item);
        else
            push(u, &item);
    }
}

tw_track twi_edl_unfold(twi_out *out, const tw_track *track)
{
    tw_track row = *track;
    row.items = NULL;
    row.item_count = 0;
    unfolding u = {.out = out, .track = &row};
    for (size_t i = 0; i < track->item_count; i++) {
        const tw_item *item = &track->items[i];
        if (item->kind == TW_ITEM_NEST && is_plain(item)) {
            twi_edl_lose(out, TWI_LOSS_UNFOLDED, item);
            unfold(&u, item);
        } else {
            push(&u, item);
        }
    }
    return row;
}
