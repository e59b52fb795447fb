/* SPDX-License-Identifier: Apache-2.0
 *
 * A derived edit built by hand: three shots at 24000/1001, one delivery of 1080x1920 from 5760x4320. The first is
 * still, the second holds, moves over 24 frames and holds again, the third has no known size.
 */
#ifndef TW_TESTS_REPORT_HAND_H
#define TW_TESTS_REPORT_HAND_H

#include <tallwide/report.h>

#define FILM ((tw_rate){24000, 1001})

static inline tw_item shot_clip(const char *reel, int64_t record, int64_t source, int64_t frames)
{
    tw_item item = tw_timeline_item(TW_ITEM_CLIP);
    item.reel = tw_str_z(reel);
    item.name = TW_STR("wheel, \"close\"");
    item.record = (tw_range){tw_time_frames(record, FILM), tw_time_frames(frames, FILM)};
    item.source = (tw_range){tw_time_frames(source, FILM), tw_time_frames(frames, FILM)};
    item.has_source = true;
    item.source_rate = FILM;
    return item;
}

typedef struct hand {
    tw_item items[3];
    tw_track track;
    tw_timeline *timeline;
    tw_region region;
    tw_region_key box;
    const tw_region *regions[1];
    tw_note note;
    const tw_note *notes[1];
    tw_path_compromise cut;
    tw_key still, moving[2];
    tw_framing framings[2];
    tw_source source;
    tw_delivery delivery;
    tw_plan plan;
    tw_decision shots[3];
    tw_derived_delivery derived_delivery;
    tw_derived derived;
} hand;

/* 86400 = 01:00:00:00 counted at 24: the programme starts there. */
static inline void hand_edit(hand *h, tw_arena *arena)
{
    h->items[0] = shot_clip("A003", 86400, 90000, 48);
    h->items[0].event = TW_STR("001");
    h->items[1] = shot_clip("B001", 86448, 1000, 96);
    h->items[1].event = TW_STR("002");
    h->items[2] = shot_clip("C001", 86544, 0, 24);
    h->track =
        (tw_track){.kind = TW_TRACK_VIDEO, .name = TW_STR("V1"), .enabled = true, .items = h->items, .item_count = 3};
    h->timeline = tw_timeline_new(arena);
    h->timeline->file = TW_STR("wheel.edl");
    h->timeline->name = TW_STR("wheel & spokes");
    h->timeline->rate = FILM;
    h->timeline->start = tw_time_frames(86400, FILM);
    h->timeline->tracks = &h->track;
    h->timeline->track_count = 1;
    tw_timeline_settle(h->timeline);
}

static inline void hand_notes(hand *h)
{
    h->box = (tw_region_key){.frame = 90000, .left = 0.4, .top = 0.4, .width = 0.2, .height = 0.2};
    h->region = (tw_region){.name = TW_STR("hands"), .must = true, .weight = 1, .keys = &h->box, .key_count = 1};
    h->region.note = &h->note;
    h->regions[0] = &h->region;
    h->note = (tw_note){.id = TW_STR("n001"),
                        .reel = TW_STR("A003"),
                        .regions = &h->region,
                        .region_count = 1,
                        .say = TW_STR("keep the <spoke key> in frame --> please\n\033thanks"),
                        .by = TW_STR("editor")};
    h->notes[0] = &h->note;
    h->cut = (tw_path_compromise){.what = TW_YIELD_CUT, .frames = 12, .px = 112, .side = 'l'};
}

static inline void hand_decisions(hand *h)
{
    h->source = (tw_source){.reel = TW_STR("*"), .size = {5760, 4320}, .squeeze = 1};
    h->delivery = (tw_delivery){.name = TW_STR("tall"),
                                .size = {1080, 1920},
                                .max_scale = 1,
                                .safe = TW_STR("st2046-1"),
                                .inset = {.05, .1, .05, .2},
                                .has_inset = true};
    h->still = (tw_key){.frame = 0, .cx = 2880, .cy = 2160, .w = 2430};
    h->moving[0] = (tw_key){.frame = 24, .cx = 2880, .cy = 2160, .w = 2430, .ease = 6};
    h->moving[1] = (tw_key){.frame = 48, .cx = 4747.5, .cy = 2520, .w = 2025, .ease = 6};
    for (int i = 0; i < 2; i++)
        h->framings[i] = (tw_framing){.source = h->source.size,
                                      .delivery = h->delivery.size,
                                      .squeeze = 1,
                                      .keys = i == 0 ? &h->still : h->moving,
                                      .key_count = i == 0 ? 1 : 2};
    const tw_decision first = {.clip = &h->items[0],
                               .track = &h->track,
                               .source = &h->source,
                               .frames = 48,
                               .verdict = TW_VERDICT_FRAMED,
                               .parts = 1,
                               .framing = &h->framings[0],
                               .notes = h->notes,
                               .note_count = 1,
                               .regions = h->regions,
                               .region_count = 1,
                               .path = {.reason = TW_PATH_STILL},
                               .why = TW_STR("still on hands")};
    h->shots[0] = first;
    h->shots[1] = first;
    h->shots[1].clip = &h->items[1];
    h->shots[1].frames = 96;
    h->shots[1].verdict = TW_VERDICT_COMPROMISE;
    h->shots[1].moving = true;
    h->shots[1].framing = &h->framings[1];
    h->shots[1].note_count = 0;
    h->shots[1].path = (tw_path_result){.reason = TW_PATH_CUTS, .compromises = &h->cut, .compromise_count = 1};
    h->shots[1].why = TW_STR("follows hands");
    h->shots[2] = (tw_decision){.clip = &h->items[2],
                                .track = &h->track,
                                .frames = 24,
                                .verdict = TW_VERDICT_UNKNOWN,
                                .parts = 1,
                                .why = TW_STR("no source in the plan matches")};
}

/* Again when items have changed. */
static inline void hand_stands(hand *h)
{
    const tw_stand *stands = tw_timeline_stands(h->timeline->arena, h->timeline);
    for (size_t i = 0; i < 3; i++)
        h->shots[i].stand = &stands[h->items[i].index];
}

static inline hand *hand_derived(tw_arena *arena)
{
    hand *h = TW_NEW(arena, hand);
    hand_edit(h, arena);
    hand_notes(h);
    hand_decisions(h);
    hand_stands(h);
    h->plan = (tw_plan){.file = TW_STR("wheel.plan.json"),
                        .deliveries = &h->delivery,
                        .delivery_count = 1,
                        .notes = &h->note,
                        .note_count = 1};
    h->derived_delivery = (tw_derived_delivery){.delivery = &h->delivery,
                                                .shots = h->shots,
                                                .shot_count = 3,
                                                .framed = 2,
                                                .compromised = 1,
                                                .unknown = 1,
                                                .moving = 1,
                                                .keys = 3,
                                                .frames = 168,
                                                .max_scale = 0.533};
    h->derived =
        (tw_derived){.plan = &h->plan, .master = h->timeline, .deliveries = &h->derived_delivery, .delivery_count = 1};
    return h;
}

#endif
