/* SPDX-License-Identifier: Apache-2.0
 *
 * A plan of one delivery and an edit built by hand, for tests of proof.
 */
#ifndef TW_TESTS_PROOF_SCENE_H
#define TW_TESTS_PROOF_SCENE_H

#include "derive/hand_plan.h"
#include "proof/proof_internal.h"

/* 5760x4320 to 1080x1920 at most 1:1. The widest window is min(5760, 4320 * 1080/1920) = 2430 wide and 4320 high, the
 * narrowest 1080 wide; an edge may be off by 0.0005 (1 + 1920/1080) = 0.00139 px. */
typedef struct scene {
    tw_delivery tall;
    tw_source source;
    tw_plan plan;
    const tw_timeline *master;
    tw_proof_input in;
} scene;

static inline void scene_make(scene *s, const tw_timeline *master)
{
    *s = (scene){.tall = HAND_TALL, .master = master};
    s->source = (tw_source){.reel = TW_STR("*"), .size = {5760, 4320}, .squeeze = 1};
    s->plan = (tw_plan){.deliveries = &s->tall, .delivery_count = 1, .sources = &s->source, .source_count = 1};
    s->in = (tw_proof_input){.plan = &s->plan, .master = master};
}

static inline tw_framing scene_framing(tw_key *keys, size_t count)
{
    return (tw_framing){
        .source = {5760, 4320}, .delivery = {1080, 1920}, .squeeze = 1, .keys = keys, .key_count = count};
}

/* A window of the delivery's shape by its left, top and width. */
static inline tw_key scene_key(int64_t frame, double x, double y, double w)
{
    return (tw_key){.frame = frame, .cx = x + w / 2, .cy = y + w * 1920 / 1080 / 2, .w = w};
}

#endif
