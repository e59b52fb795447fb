/* SPDX-License-Identifier: Apache-2.0
 *
 * Inputs of several files, one behind the other with a line of four equals signs between: a plan and its edit first.
 */
#ifndef TW_TESTS_FUZZ_SHOW_H
#define TW_TESTS_FUZZ_SHOW_H

#include "fuzz.h"

#include <string.h>

#include <tallwide/derive.h>
#include <tallwide/formats.h>

#define MOST_FRAMES 3000 /* of all pictures: what takes long finds nothing else */

typedef struct fuzz_show {
    tw_arena *arena;
    tw_plan *plan;
    tw_timeline *master;
    uint64_t hash;
} fuzz_show;

/* Cuts the first file off the input; false when there is no line between files. */
static inline bool fuzz_split(tw_str bytes, tw_str *first, tw_str *rest)
{
    static const char line[] = "\n====\n";
    for (size_t i = 0; i + sizeof line - 1 <= bytes.len; i++) {
        if (memcmp(bytes.at + i, line, sizeof line - 1) != 0)
            continue;
        *first = tw_str_cut(bytes, i + 1);
        *rest = tw_str_from(bytes, i + sizeof line - 1);
        return true;
    }
    return false;
}

static inline bool fuzz_add_frames(void *context, const tw_track *track, const tw_item *item)
{
    int64_t *frames = context;
    if (track->kind == TW_TRACK_VIDEO)
        *frames += (int64_t)(tw_time_seconds(item->record.dur) * 60) + 1;
    return *frames <= MOST_FRAMES;
}

static inline bool fuzz_is_small(const tw_timeline *timeline)
{
    int64_t frames = 0;
    tw_timeline_walk(timeline, fuzz_add_frames, &frames);
    return frames <= MOST_FRAMES;
}

/* False unless both readers take their part and the show is small. */
static inline bool fuzz_load(fuzz_show *s, tw_str plan, tw_str edit_bytes)
{
    tw_diags *diags = tw_diags_new(s->arena);
    if (tw_plan_open(s->arena, plan, TW_STR("plan"), diags, &s->plan) != TW_OK)
        return false;
    const tw_read_options options = {.rate = s->plan->rate, .drop = s->plan->drop, .timeline = s->plan->edit_timeline};
    if (tw_formats_read(s->arena, edit_bytes, TW_STR("edit"), &options, diags, &s->master) != TW_OK)
        return false;
    s->hash = tw_str_hash(edit_bytes);
    tw_derive_clocks(s->arena, s->master, s->plan);
    return tw_plan_finish(s->arena, s->plan, s->master->rate, s->master->drop, diags) == TW_OK &&
           fuzz_is_small(s->master);
}

#endif
