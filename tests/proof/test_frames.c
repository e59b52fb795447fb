/* SPDX-License-Identifier: Apache-2.0 */
#include "support/support.h"

#include "proof/scene.h"

typedef struct shown {
    scene s;
    tw_item clip;
    tw_track track;
    twi_sight sight;
    twi_asked asked;
    tw_note note;
    tw_region region;
    tw_region_key box;
    twi_showing showing;
} shown;

/* One clip of 24 frames at 24 fps, a must box 1152..2304 x 1728..2592 when asked for. */
static void show(tw_arena *arena, shown *x, tw_key *keys, size_t count, bool must)
{
    x->clip = hand_clip("A003", 0, 0, 24);
    x->track = hand_track(TW_TRACK_VIDEO, &x->clip, 1);
    scene_make(&x->s, hand_timeline(arena, &x->track, 1));
    x->box = (tw_region_key){0, 0.2, 0.4, 0.2, 0.2};
    x->region = (tw_region){.name = TW_STR("hands"), .must = true, .weight = 1, .keys = &x->box, .key_count = 1};
    x->note = hand_note("n001", "A003", 0, 24);
    x->note.regions = &x->region;
    x->note.region_count = 1;
    x->s.plan.notes = &x->note;
    x->s.plan.note_count = must ? 1 : 0;
    twi_proof_look(arena, &x->s.plan, x->s.master, &x->sight);
    twi_proof_asked(arena, x->s.master, &x->sight.at[0], &x->s.tall, &x->asked);
    tw_framing *framing = TW_NEW(arena, tw_framing);
    *framing = scene_framing(keys, count);
    const twi_view view = {&x->s.in, &x->sight.at[0], &x->asked, framing, 0};
    twi_proof_watch(arena, &view, &x->showing);
}

static void edges(void **state)
{
    static const struct {
        const char *name;
        double x, y, w;
        int64_t outside;
        double px;
    } rows[] = {
        {"inside", 1000, 100, 1080, 0, 0},
        {"at the left edge", 0, 0, 2430, 0, 0},
        {"at the right edge", 3330, 0, 2430, 0, 0},
        {"off by rounding", -0.001, 0, 2430, 0, 0},
        {"one pixel left", -1, 0, 2430, 24, 1},
        {"one pixel right", 3331, 0, 2430, 24, 1},
        {"one pixel above", 1000, -1, 1080, 24, 1},
        {"one pixel below", 1000, 2401, 1080, 24, 1}, /* 2401 + 1920 = 4321 */
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_row(i, rows[i].name);
        shown x;
        tw_key key = scene_key(0, rows[i].x, rows[i].y, rows[i].w);
        show(tw_test_arena(state), &x, &key, 1, false);
        assert_int_equal(x.showing.outside, rows[i].outside);
        tw_assert_near(x.showing.outside_px, rows[i].px, 1e-9);
    }
}

/* Straight from x 0 to -24 over frames 0..24 and on: outside from frame 1. */
static void outside_first(void **state)
{
    shown x;
    tw_key keys[] = {scene_key(0, 0, 0, 1080), scene_key(24, -24, 0, 1080)};
    show(tw_test_arena(state), &x, keys, 2, false);
    assert_int_equal(x.showing.outside, 23);
    assert_int_equal(x.showing.outside_first, 1);
    tw_assert_near(x.showing.outside_px, 23, 1e-9);
    assert_int_equal(x.showing.keys_after, 1);
}

static void scale_limit(void **state)
{
    static const struct {
        const char *name;
        double w;
        int64_t over;
        double scale;
    } rows[] = {
        {"widest", 2430, 0, 1080 / 2430.0},
        {"at the limit", 1080, 0, 1},
        {"within rounding", 1079.9996, 0, 1.0000003703},
        {"past it", 1079, 24, 1080 / 1079.0},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_row(i, rows[i].name);
        shown x;
        tw_key key = scene_key(0, 1000, 0, rows[i].w);
        show(tw_test_arena(state), &x, &key, 1, false);
        assert_int_equal(x.showing.over, rows[i].over);
        tw_assert_near(x.showing.max_scale, rows[i].scale, 1e-9);
        assert_false(x.showing.small);
    }
}

static void musts(void **state)
{
    static const struct {
        const char *name;
        double x, w;
        int64_t held, lost;
        double px;
        char side;
    } rows[] = {
        {"held", 1000, 2430, 24, 0, 0, 0},
        {"at the window's edge", 1152, 2430, 24, 0, 0, 0},
        {"cut on the left", 1252, 2430, 0, 24, 100, 'l'},
        {"cut on the right", 0, 2000, 0, 24, 304, 'r'},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_row(i, rows[i].name);
        shown x;
        tw_key key = scene_key(0, rows[i].x, 0, rows[i].w);
        show(tw_test_arena(state), &x, &key, 1, true);
        assert_int_equal(x.showing.must, 24);
        assert_int_equal(x.showing.held, rows[i].held);
        assert_int_equal(x.showing.lost[0].frames, rows[i].lost);
        tw_assert_near(x.showing.worst_cut, rows[i].px, 1e-9);
        assert_int_equal(x.showing.lost[0].side, rows[i].side);
    }
}

/* A box of 2880 px cannot be held by 2430: the least cut is 450; a window that cuts more lost it for nothing. */
static void too_wide(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    static const struct {
        const char *name;
        double x;
        int64_t forced, lost;
    } rows[] = {{"in the middle", 1377, 24, 0}, {"at its left", 1152, 24, 0}, {"too far", 1100, 0, 24}};
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_row(i, rows[i].name);
        shown x;
        tw_key key = scene_key(0, rows[i].x, 0, 2430);
        show(arena, &x, &key, 1, true);
        x.box.width = 0.5; /* 1152..4032 */
        twi_proof_asked(arena, x.s.master, &x.sight.at[0], &x.s.tall, &x.asked);
        tw_framing framing = scene_framing(&key, 1);
        const twi_view view = {&x.s.in, &x.sight.at[0], &x.asked, &framing, 0};
        twi_proof_watch(arena, &view, &x.showing);
        assert_int_equal(x.showing.lost[0].forced, rows[i].forced);
        assert_int_equal(x.showing.lost[0].frames, rows[i].lost);
    }
}

/* 20 px per frame of a window 2400 wide at 24 fps is 0.2 widths a second; a corner of half-length 6 between slope 0 and
 * 20 gains 20/(2*6) px per frame per frame: 20/12 * 24 * 24 / 2400 = 0.4 a second. */
/* Two boxes, 0..1152 and 4608..5760, that no window of 2430 holds together, the first twice as heavy. */
static void several(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    static const struct {
        const char *name;
        double weight, x; /* of the first */
        int64_t forced[2], lost[2];
    } rows[] = {
        {"the heavier one held", 2, 0, {0, 24}, {0, 0}},
        {"the lighter one held", 2, 3330, {0, 0}, {24, 0}},
        {"either of two as heavy", 1, 3330, {24, 0}, {0, 0}},
        {"none held", 2, 1600, {0, 0}, {24, 24}},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        shown x;
        tw_key key = scene_key(0, rows[i].x, 0, 2430);
        show(arena, &x, &key, 1, true);
        tw_region_key boxes[] = {{0, 0, 0.4, 0.2, 0.2}, {0, 0.8, 0.4, 0.2, 0.2}};
        tw_region regions[] = {x.region, x.region};
        for (size_t r = 0; r < 2; r++)
            regions[r].keys = &boxes[r];
        regions[0].weight = rows[i].weight;
        x.note.regions = regions;
        x.note.region_count = 2;
        twi_proof_asked(arena, x.s.master, &x.sight.at[0], &x.s.tall, &x.asked);
        tw_framing framing = scene_framing(&key, 1);
        const twi_view view = {&x.s.in, &x.sight.at[0], &x.asked, &framing, 0};
        twi_proof_watch(arena, &view, &x.showing);
        tw_row(i, rows[i].name);
        for (size_t r = 0; r < 2; r++) {
            assert_int_equal(x.showing.lost[r].forced, rows[i].forced[r]);
            assert_int_equal(x.showing.lost[r].frames, rows[i].lost[r]);
        }
    }
}

static void motion(void **state)
{
    shown x;
    tw_key keys[] = {scene_key(8, 0, 0, 2400), scene_key(30, 440, 0, 2400)};
    keys[0].ease = 6;
    show(tw_test_arena(state), &x, keys, 2, false);
    tw_assert_near(x.showing.peak_speed, 0.2, 1e-9);
    tw_assert_near(x.showing.peak_accel, 0.4, 1e-9);
}

/* A step of one frame is a jump where the plan allows steps, else a very fast move. */
static void jumps(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    for (int steps = 0; steps < 2; steps++) {
        shown x;
        tw_key keys[] = {scene_key(11, 0, 0, 2400), scene_key(12, 1000, 0, 2400)};
        show(arena, &x, keys, 2, false);
        x.asked.steps = steps == 1;
        tw_framing framing = scene_framing(keys, 2);
        const twi_view view = {&x.s.in, &x.sight.at[0], &x.asked, &framing, 0};
        twi_proof_watch(arena, &view, &x.showing);
        tw_assert_near(x.showing.peak_speed, steps == 1 ? 0 : 10, 1e-9);
    }
}

/* A hand window answers for itself. */
static void by_hand(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    shown x;
    tw_key key = scene_key(0, -10, 0, 900);
    show(arena, &x, &key, 1, true);
    tw_hand_key window = {.w = 900};
    x.note.window = &window;
    x.note.window_count = 1;
    x.note.out = 12; /* the second half is not by hand */
    twi_proof_asked(arena, x.s.master, &x.sight.at[0], &x.s.tall, &x.asked);
    tw_framing framing = scene_framing(&key, 1);
    const twi_view view = {&x.s.in, &x.sight.at[0], &x.asked, &framing, 0};
    twi_proof_watch(arena, &view, &x.showing);
    assert_int_equal(x.showing.outside, 24);
    assert_int_equal(x.showing.outside_by_hand, 12);
    assert_int_equal(x.showing.over_by_hand, 12); /* twelve frames more are room enough to lead back */
    assert_int_equal(x.showing.over_first, 12);
    assert_int_equal(x.showing.lost[0].by_hand, 12);
    assert_int_equal(x.showing.lost[0].frames, 0);
    assert_int_equal(x.showing.moved, 12); /* the note has it at 0 */
    assert_int_equal(x.showing.moved_first, 0);
    /* Frames 0..11 at 900 by hand; 12..23 at 800: narrower than a window by hand is nobody's wish. */
    tw_key keys[] = {scene_key(11, 100, 0, 900), scene_key(12, 100, 0, 800)};
    framing = scene_framing(keys, 2);
    twi_proof_watch(arena, &view, &x.showing);
    assert_int_equal(x.showing.over, 24);
    assert_int_equal(x.showing.over_by_hand, 12);
}

TW_SUITE(frames)
{
    const struct CMUnitTest tests[] = {TW_TEST(edges),  TW_TEST(outside_first), TW_TEST(scale_limit),
                                       TW_TEST(musts),  TW_TEST(too_wide),      TW_TEST(several),
                                       TW_TEST(motion), TW_TEST(jumps),         TW_TEST(by_hand)};
    return tw_run("proof/frames", tests);
}
