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

static bool shows(const tw_track *tracks, size_t count);

static bool any_shown(const tw_track *track)
{
    for (size_t i = 0; i < track->item_count; i++) {
        const tw_item *item = &track->items[i];
        if (item->enabled && (item->kind == TW_ITEM_CLIP || shows(item->tracks, item->track_count)))
            return true;
    }
    return false;
}

/* Is there any picture? */
static bool shows(const tw_track *tracks, size_t count)
{
    for (size_t t = 0; t < count; t++)
        if (tracks[t].kind == TW_TRACK_VIDEO && tracks[t].enabled && any_shown(&tracks[t]))
            return true;
    return false;
}

static bool is_empty(const tw_item *item)
{
    return item->kind == TW_ITEM_NEST && item->enabled && !shows(item->tracks, item->track_count);
}

/* Told is the item of the edit. */
static void push_gap(unfolding *u, const tw_item *nest, const tw_item *told)
{
    tw_item gap = *nest;
    gap.kind = TW_ITEM_GAP;
    twi_edl_lose(u->out, TWI_LOSS_EMPTY, told);
    push(u, &gap);
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

/* Depth is bounded by what readers accept. */
static void unfold(unfolding *u, const tw_item *nest)
{
    for (size_t i = 0; i < nest->tracks->item_count; i++) {
        tw_item item = nest->tracks->items[i];
        item.record.start = tw_time_add(item.record.start, nest->record.start);
        if (!tw_item_within(u->out->arena, u->out->timeline, nest->record, &item))
            continue;
        if (is_empty(&item))
            push_gap(u, &item, &nest->tracks->items[i]);
        else if (item.kind == TW_ITEM_NEST && is_plain(&item))
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
        if (is_empty(item)) {
            push_gap(&u, item, item);
        } else if (item->kind == TW_ITEM_NEST && is_plain(item)) {
            twi_edl_lose(out, TWI_LOSS_UNFOLDED, item);
            unfold(&u, item);
        } else {
            push(&u, item);
        }
    }
    return row;
}
