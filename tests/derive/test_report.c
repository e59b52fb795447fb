/* SPDX-License-Identifier: Apache-2.0 */
#include "support/support.h"

#include <string.h>

#include "derive/derive_internal.h"
#include "derive/hand_plan.h"

typedef struct show {
    tw_delivery tall;
    tw_source source;
    tw_plan plan;
    tw_diags *diags;
    tw_derived *derived;
} show;

static tw_status derive(tw_arena *arena, tw_item *items, size_t count, tw_note *note, show *s)
{
    *s = (show){.tall = HAND_TALL, .diags = tw_diags_new(arena)};
    s->source = (tw_source){.reel = TW_STR("A*"), .size = {5760, 4320}, .squeeze = 1};
    s->plan = (tw_plan){.deliveries = &s->tall, .delivery_count = 1, .sources = &s->source, .source_count = 1};
    s->plan.notes = note;
    s->plan.note_count = note != NULL;
    tw_track track = hand_track(TW_TRACK_VIDEO, items, count);
    const tw_derive_options options = {.threads = 1};
    return tw_derive(arena, &s->plan, hand_timeline(arena, &track, 1), &options, s->diags, &s->derived);
}

static void check(tw_arena *arena, const show *s, const bool *endless, const char *said)
{
    for (size_t i = 0; i < s->derived->deliveries[0].shot_count; i++) {
        const tw_decision *shot = &s->derived->deliveries[0].shots[i];
        tw_row(i, "shot");
        assert_int_equal(shot->endless, endless[i]);
        assert_int_equal(shot->verdict, endless[i] ? TW_VERDICT_UNKNOWN : TW_VERDICT_NOT_FRAMED);
        assert_int_equal(shot->framing == NULL, endless[i]);
    }
    assert_non_null(strstr(tw_findings(arena, s->diags), said));
}

#define DAY 2073600 /* frames at 24 a second */

/* A day is past two million frames, and is left out alone; half a day is not, but two halves that go on are one path. */
static void endless_shots(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    show s;
    tw_item day[] = {hand_clip("A001", 0, 0, 10), hand_clip("A002", 10, 0, DAY), hand_clip("A003", 10 + DAY, 0, 10)};
    assert_int_equal(derive(arena, day, 3, NULL, &s), TW_OK);
    check(arena, &s, (const bool[]){false, true, false},
          "warning TW1609: this shot runs for 24.0 hours, 2073600 frames: at most 2000000 are framed, it is left "
          "without framing");
    assert_int_equal(s.derived->deliveries[0].frames, 20);
    tw_item halves[] = {hand_clip("A001", 0, 0, DAY / 2), hand_clip("A001", DAY / 2, DAY / 2, DAY / 2),
                        hand_clip("A001", DAY, 0, DAY / 2)};
    assert_int_equal(derive(arena, halves, 3, NULL, &s), TW_OK);
    check(arena, &s, (const bool[]){true, true, false}, "TW1609: this shot runs for 24.0 hours, 2073600 frames");
}

/* 33 regions in each of a million frames are 33 million boxes, past 32. */
static void too_many_boxes(void **state)
{
    enum { MOST = 33, FRAMES = 1000000 };
    tw_arena *arena = tw_test_arena(state);
    show s;
    tw_region regions[MOST];
    for (size_t i = 0; i < MOST; i++)
        regions[i] = hand_region(arena, "hands", 0.4, 0.05);
    tw_note note = hand_note("n001", "A002", 0, FRAMES);
    note.regions = regions;
    note.region_count = MOST;
    tw_item items[] = {hand_clip("A001", 0, 0, 10), hand_clip("A002", 10, 0, FRAMES)};
    assert_int_equal(derive(arena, items, 2, &note, &s), TW_OK);
    check(arena, &s, (const bool[]){false, true},
          "TW1609: this shot runs for 11.6 hours, and its notes have too many regions");
}

/* 51 shots of two million frames are 102 million, past 100. */
static void endless_edit(void **state)
{
    enum { SHOTS = 51, FRAMES = 2000000 };
    tw_arena *arena = tw_test_arena(state);
    show s;
    tw_item items[SHOTS];
    for (size_t i = 0; i < SHOTS; i++)
        items[i] = hand_clip("A001", (int64_t)i * FRAMES, 0, FRAMES);
    assert_int_equal(derive(arena, items, SHOTS, NULL, &s), TW_ERR_LIMIT);
    assert_null(s.derived);
    assert_non_null(strstr(tw_findings(arena, s.diags),
                           "error TW1610: the shots of this edit have 102000000 frames together: at most 100000000 are "
                           "framed"));
}

TW_SUITE(report)
{
    const struct CMUnitTest tests[] = {TW_TEST(endless_shots), TW_TEST(too_many_boxes), TW_TEST(endless_edit)};
    return tw_run("derive/report", tests);
}
