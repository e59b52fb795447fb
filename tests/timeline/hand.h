/* SPDX-License-Identifier: Apache-2.0
 *
 * Timelines built by hand at 24 frames a second, for tests that need no file.
 */
#ifndef TW_TESTS_TIMELINE_HAND_H
#define TW_TESTS_TIMELINE_HAND_H

#include <tallwide/timeline.h>

#define HAND_RATE ((tw_rate){24, 1})

static inline tw_range hand_frames(int64_t start, int64_t frames)
{
    return (tw_range){tw_time_frames(start, HAND_RATE), tw_time_frames(frames, HAND_RATE)};
}

static inline tw_item hand_clip(const char *reel, int64_t record, int64_t source, int64_t frames)
{
    tw_item item = tw_timeline_item(TW_ITEM_CLIP);
    item.reel = tw_str_z(reel);
    item.name = item.reel;
    item.record = hand_frames(record, frames);
    item.source = hand_frames(source, frames);
    item.has_source = true;
    item.source_rate = HAND_RATE;
    return item;
}

static inline tw_item hand_gap(int64_t record, int64_t frames)
{
    tw_item item = tw_timeline_item(TW_ITEM_GAP);
    item.record = hand_frames(record, frames);
    return item;
}

static inline tw_item hand_transition(int64_t cut, int64_t in, int64_t out)
{
    tw_item item = tw_timeline_item(TW_ITEM_TRANSITION);
    item.name = TW_STR("dissolve");
    item.record = hand_frames(cut - in, in + out);
    item.in_offset = tw_time_frames(in, HAND_RATE);
    item.out_offset = tw_time_frames(out, HAND_RATE);
    return item;
}

/* One track of the given kind whose items are the caller's. */
static inline tw_track hand_track(tw_track_kind kind, tw_item *items, size_t count)
{
    return (tw_track){.kind = kind, .name = TW_STR("V"), .enabled = true, .items = items, .item_count = count};
}

static inline tw_timeline *hand_timeline(tw_arena *arena, tw_track *tracks, size_t count)
{
    tw_timeline *timeline = tw_timeline_new(arena);
    timeline->file = TW_STR("hand");
    timeline->rate = HAND_RATE;
    timeline->tracks = tracks;
    timeline->track_count = count;
    tw_timeline_settle(timeline);
    return timeline;
}

#endif
