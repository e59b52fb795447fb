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

#endif
