/* SPDX-License-Identifier: Apache-2.0
 *
 * Plans built by hand for tests of derive: one source 5760x4320, whatever notes a test gives.
 */
#ifndef TW_TESTS_DERIVE_HAND_PLAN_H
#define TW_TESTS_DERIVE_HAND_PLAN_H

#include <tallwide/derive.h>

#include "timeline/hand.h"

#define HAND_TALL                                                                                                      \
    {                                                                                                                  \
        .name = TW_STR("tall"), .size = {1080, 1920}, .max_scale = 1, .moves = TW_PLAN_MOVES_AUTO                      \
    }

/* Hand keys of one box that stays where it is. */
static inline tw_region hand_region(tw_arena *arena, const char *name, double left, double width)
{
    tw_region_key *key = TW_NEW(arena, tw_region_key);
    *key = (tw_region_key){.frame = 0, .left = left, .top = 0.4, .width = width, .height = 0.2};
    return (tw_region){.name = tw_str_z(name), .must = true, .weight = 1, .keys = key, .key_count = 1};
}

static inline tw_note hand_note(const char *id, const char *reel, int64_t in, int64_t out)
{
    return (tw_note){.id = tw_str_z(id), .reel = tw_str_z(reel), .in = in, .out = out, .has_in = true, .has_out = true};
}

typedef struct hand_plan {
    tw_source source;
    tw_delivery tall;
    tw_region region;
    tw_note note;
    tw_plan plan;
} hand_plan;

/* One shape, one source for every reel, and note n001 on frames 0..1000 of a reel; with keys of a region it must hold,
 * or without one. */
static inline const tw_plan *hand_plan_make(hand_plan *h, const char *reel, tw_region_key *keys, size_t count)
{
    *h = (hand_plan){.source = {.reel = TW_STR("*"), .size = {5760, 4320}, .squeeze = 1}, .tall = HAND_TALL};
    h->region = (tw_region){.name = TW_STR("hands"), .must = true, .weight = 1, .keys = keys, .key_count = count};
    h->note = hand_note("n001", reel, 0, 1000);
    h->note.regions = &h->region;
    h->region.note = &h->note;
    h->note.region_count = count > 0;
    h->plan = (tw_plan){.file = TW_STR("p"), .deliveries = &h->tall, .delivery_count = 1, .sources = &h->source};
    h->plan.source_count = h->plan.note_count = 1;
    h->plan.notes = &h->note;
    return &h->plan;
}

#endif
