/* SPDX-License-Identifier: Apache-2.0 */
#include "support/support.h"

#include "derive/derive_internal.h"
#include "derive/hand_plan.h"

static void compromises_in_words(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_region wheel = hand_region(arena, "wheel", 0.1, 0.8);
    const tw_region *regions[] = {&wheel};
    const tw_decision d = {.regions = regions, .region_count = 1};
    static const struct {
        tw_path_compromise what;
        const char *words;
    } rows[] = {
        {{.what = TW_YIELD_CUT, .frames = 34, .px = 111.6, .side = 'l'},
         "wheel (must) is cut by up to 112 px on the left in 34 frames"},
        {{.what = TW_YIELD_CUT, .frames = 1, .px = 3, .side = 'b'},
         "wheel (must) is cut by up to 3 px at the bottom in 1 frame"},
        {{.what = TW_YIELD_DROPPED, .frames = 50}, "wheel (must) is let go of in 50 frames"},
        {{.what = TW_YIELD_INSET, .frames = 2}, "wheel (must) is nearer to the edge than the inset in 2 frames"},
        {{.what = TW_YIELD_WIDER, .region = SIZE_MAX}, "the window is wider than asked, to hold everything"},
        {{.what = TW_YIELD_WIDER, .region = SIZE_MAX, .side = 's'},
         "closer than this would be past the largest scale allowed"},
        {{.what = TW_YIELD_SCALE, .region = SIZE_MAX, .px = 1.778}, "the source is too small: enlarged 1.78 times"},
        {{.what = TW_YIELD_SCALE, .region = SIZE_MAX, .px = 0.889},
         "the source is too small for the limit: scale 0.89"},
        {{.what = TW_YIELD_SCALE, .region = SIZE_MAX, .px = 0.889, .side = 'h'},
         "the hand window is past the limit: scale 0.89"},
        {{.what = TW_YIELD_SCALE, .region = SIZE_MAX, .px = 1.2, .side = 'h'},
         "the hand window enlarges past the limit: 1.20 times"},
        {{.what = TW_YIELD_SPEED, .region = SIZE_MAX, .px = 0.5},
         "moves at up to 0.50 window widths a second to keep up"},
        {{.what = TW_YIELD_HARSH, .region = SIZE_MAX, .frames = 2, .px = 5.3}, "starts or stops harshly 2 times"},
        {{.what = TW_YIELD_STEADY, .region = SIZE_MAX, .px = 0.5}, "only 50 % of the shake could be taken out"},
        {{.what = TW_YIELD_STEADY, .region = SIZE_MAX}, "none of the shake could be taken out"},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_row(i, rows[i].words);
        tw_assert_text(tw_derive_say(arena, &d, &rows[i].what), rows[i].words);
    }
}

/* Two notes may speak of the face: which of the two is meant is told. */
static void one_name_twice(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_region faces[] = {hand_region(arena, "face", 0, 0.1), hand_region(arena, "face", 0.6, 0.1)};
    tw_note notes[] = {hand_note("n1", "A001", 0, 50), hand_note("n2", "A001", 20, 90)};
    const tw_note *used[] = {&notes[0], &notes[1]};
    const tw_region *regions[] = {&faces[0], &faces[1]};
    for (size_t n = 0; n < 2; n++) {
        notes[n].regions = &faces[n];
        faces[n].note = &notes[n];
        notes[n].region_count = 1;
    }
    tw_path_compromise dropped = {.what = TW_YIELD_DROPPED, .frames = 50, .region = 1};
    tw_source camera = {.size = {5760, 4320}};
    tw_decision d = {.verdict = TW_VERDICT_COMPROMISE, .source = &camera, .regions = regions, .region_count = 2};
    d.notes = used;
    d.note_count = 2;
    d.path.reason = TW_PATH_CUTS;
    d.path.compromises = &dropped;
    d.path.compromise_count = 1;
    twi_derive_why(arena, &d);
    tw_assert_text(d.why, "still on face (n1) and face (n2); face (must, note n2) is let go of in 50 frames");
}

static void reasons_in_words(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_region a = hand_region(arena, "hands", 0, 0.1), b = hand_region(arena, "face", 0, 0.1),
              c = hand_region(arena, "wheel", 0, 0.1);
    c.must = false;
    const tw_region *regions[] = {&a, &b, &c};
    tw_source camera = {.size = {5760, 4320}};
    static const struct {
        tw_path_reason reason;
        bool moving, shared;
        size_t regions;
        const char *why;
    } rows[] = {
        {TW_PATH_STILL, false, false, 1, "still on hands"},
        {TW_PATH_STILL, false, true, 2, "still on hands and face, as its set-up"},
        {TW_PATH_MOVES, true, false, 3, "follows hands and face"},
        {TW_PATH_HAND, false, false, 0, "by hand"},
        {TW_PATH_CENTRED, false, false, 0, "not framed yet: centred"},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_decision d = {.verdict = TW_VERDICT_FRAMED, .source = &camera, .regions = regions};
        d.region_count = rows[i].regions;
        d.path.reason = rows[i].reason;
        d.moving = rows[i].moving;
        d.shared = rows[i].shared;
        twi_derive_why(arena, &d);
        tw_row(i, rows[i].why);
        tw_assert_text(d.why, rows[i].why);
    }
}

TW_SUITE(say)
{
    const struct CMUnitTest tests[] = {TW_TEST(compromises_in_words), TW_TEST(one_name_twice),
                                       TW_TEST(reasons_in_words)};
    return tw_run("derive/say", tests);
}
