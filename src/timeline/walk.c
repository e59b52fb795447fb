/* SPDX-License-Identifier: Apache-2.0 */
#include <tallwide/timeline.h>

typedef struct walker {
    tw_item_fn fn;
    void *context;
} walker;

static bool walk_tracks(const walker *w, const tw_track *tracks, size_t count)
{
    for (size_t t = 0; t < count; t++) {
        for (size_t i = 0; i < tracks[t].item_count; i++) {
            const tw_item *item = &tracks[t].items[i];
            if (!w->fn(w->context, &tracks[t], item))
                return false;
            if (item->kind == TW_ITEM_NEST && !walk_tracks(w, item->tracks, item->track_count))
                return false;
        }
    }
    return true;
}

void tw_timeline_walk(const tw_timeline *timeline, tw_item_fn fn, void *context)
{
    const walker w = {fn, context};
    walk_tracks(&w, timeline->tracks, timeline->track_count);
}

/* Not by tw_timeline_walk, since the caller wants to change what it gets. */
static void gather(tw_track *tracks, size_t count, tw_item **clips)
{
    for (size_t t = 0; t < count; t++) {
        for (size_t i = 0; i < tracks[t].item_count; i++) {
            tw_item *item = &tracks[t].items[i];
            if (item->kind == TW_ITEM_NEST)
                gather(item->tracks, item->track_count, clips);
            if (item->kind == TW_ITEM_CLIP)
                clips[item->index] = item;
        }
    }
}

tw_item **tw_timeline_clips(tw_arena *arena, const tw_timeline *timeline)
{
    tw_item **clips = TW_NEW_N(arena, tw_item *, timeline->clip_count);
    gather(timeline->tracks, timeline->track_count, clips);
    return clips;
}

void tw_timeline_frame_like(tw_arena *arena, tw_timeline *timeline, const tw_timeline *like)
{
    tw_item **mine = tw_timeline_clips(arena, timeline), **theirs = tw_timeline_clips(arena, like);
    for (size_t i = 0; i < timeline->clip_count; i++)
        mine[i]->framing = theirs[i]->framing;
    timeline->stamp = like->stamp;
}
