/* SPDX-License-Identifier: Apache-2.0 */
#include <tallwide/timeline.h>

#include <string.h>

tw_timeline *tw_timeline_new(tw_arena *arena)
{
    tw_timeline *timeline = TW_NEW(arena, tw_timeline);
    timeline->start = TW_TIME_ZERO;
    timeline->arena = arena;
    return timeline;
}

tw_read_options tw_timeline_reading(const tw_timeline *timeline)
{
    return (tw_read_options){.rate = timeline->rate, .drop = timeline->drop, .number = timeline->number};
}

tw_item tw_timeline_item(tw_item_kind kind)
{
    const tw_range nothing = {TW_TIME_ZERO, TW_TIME_ZERO};
    return (tw_item){
        .kind = kind,
        .enabled = true,
        .record = nothing,
        .source = nothing,
        .speed = 1,
        .head = TW_TIME_ZERO,
        .tail = TW_TIME_ZERO,
        .media_active = SIZE_MAX,
    };
}

static bool shows_picture(const tw_item *item)
{
    return item->kind == TW_ITEM_CLIP || item->kind == TW_ITEM_NEST;
}

static tw_time longer(tw_time a, tw_time b)
{
    return tw_time_cmp(a, b) < 0 ? b : a;
}

/* A list may have the outgoing side of a transition, of no length, stand elsewhere: then it shows nothing. */
static bool meets(const tw_item *item, const tw_item *transition)
{
    return tw_time_cmp(item->record.dur, TW_TIME_ZERO) > 0 ||
           tw_time_eq(tw_time_add(transition->record.start, transition->in_offset), item->record.start);
}

/* A transition beside a clip asks it to start early, or to run on. */
static void settle_handles(tw_track *track, size_t i)
{
    tw_item *item = &track->items[i];
    const tw_item *before = i > 0 ? item - 1 : NULL, *after = i + 1 < track->item_count ? item + 1 : NULL;
    bool comes_in = before != NULL && before->kind == TW_ITEM_TRANSITION && meets(item, before);
    bool goes_out = after != NULL && after->kind == TW_ITEM_TRANSITION && meets(item, after);
    item->head = comes_in ? longer(TW_TIME_ZERO, before->in_offset) : TW_TIME_ZERO;
    item->tail = goes_out ? longer(TW_TIME_ZERO, after->out_offset) : TW_TIME_ZERO;
}

/* Depth is bounded by what readers accept. */
static void settle_tracks(tw_track *tracks, size_t count, size_t *index)
{
    for (size_t t = 0; t < count; t++) {
        for (size_t i = 0; i < tracks[t].item_count; i++) {
            tw_item *item = &tracks[t].items[i];
            if (shows_picture(item))
                settle_handles(&tracks[t], i);
            if (item->kind == TW_ITEM_CLIP)
                item->index = (*index)++;
            else if (item->kind == TW_ITEM_NEST)
                settle_tracks(item->tracks, item->track_count, index);
        }
    }
}

void tw_timeline_settle(tw_timeline *timeline)
{
    timeline->clip_count = 0;
    settle_tracks(timeline->tracks, timeline->track_count, &timeline->clip_count);
}

static tw_track *copy_tracks(tw_arena *arena, const tw_track *tracks, size_t count)
{
    tw_track *copy = TW_NEW_N(arena, tw_track, count);
    for (size_t t = 0; t < count; t++) {
        copy[t] = tracks[t];
        copy[t].items = TW_NEW_N(arena, tw_item, tracks[t].item_count);
        for (size_t i = 0; i < tracks[t].item_count; i++) {
            tw_item *item = &copy[t].items[i];
            *item = tracks[t].items[i];
            if (item->kind == TW_ITEM_NEST)
                item->tracks = copy_tracks(arena, item->tracks, item->track_count);
        }
    }
    return copy;
}

tw_timeline *tw_timeline_copy(tw_arena *arena, const tw_timeline *timeline)
{
    tw_timeline *copy = TW_NEW(arena, tw_timeline);
    *copy = *timeline;
    copy->arena = arena;
    copy->tracks = copy_tracks(arena, timeline->tracks, timeline->track_count);
    return copy;
}
