/* SPDX-License-Identifier: Apache-2.0 */
#include "support/support.h"

#include <string.h>

#include "proof/scene.h"

typedef struct judged {
    scene s;
    tw_item clip;
    tw_track track;
    twi_sight sight;
    twi_asked asked;
    twi_told told;
    tw_diags *diags;
    tw_proof numbers;
} judged;

static void judge(tw_arena *arena, judged *j, tw_key *keys, size_t count)
{
    tw_framing *framing = TW_NEW(arena, tw_framing);
    *framing = scene_framing(keys, count);
    const twi_view view = {&j->s.in, &j->sight.at[0], &j->asked, framing, 0};
    const tw_proof_file file = {.name = TW_STR("a.edl")};
    twi_proof_judge(arena, &view, &file, &j->clip, &j->told, j->diags, &j->numbers);
}

static void prepare(tw_arena *arena, judged *j)
{
    *j = (judged){.clip = hand_clip("A003", 0, 0, 24), .diags = tw_diags_new(arena)};
    j->track = hand_track(TW_TRACK_VIDEO, &j->clip, 1);
    scene_make(&j->s, hand_timeline(arena, &j->track, 1));
    twi_proof_look(arena, &j->s.plan, j->s.master, &j->sight);
    twi_proof_asked(arena, j->s.master, &j->sight.at[0], &j->s.tall, &j->asked);
}

static void says_where(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    judged j;
    prepare(arena, &j);
    tw_key keys[] = {scene_key(0, 0, 0, 1080), scene_key(24, -24, 0, 1080)};
    judge(arena, &j, keys, 2);
    assert_non_null(
        strstr(tw_findings(arena, j.diags),
               "TW1701: tall, clip \"A003\" at 00:00:00:00: the window leaves the picture by up to 23.000 px in "
               "23 frames, first at frame 1 of the clip (record 00:00:00:01)"));
    assert_int_equal(j.numbers.outside_frames, 23);
}

/* A second file with the same fault is counted but not told again. */
static void told_once(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    judged j;
    prepare(arena, &j);
    tw_key key = scene_key(0, 0, 0, 1000);
    judge(arena, &j, &key, 1);
    judge(arena, &j, &key, 1);
    assert_int_equal(tw_diags_count(j.diags, TW_ERROR), 1);
    assert_int_equal(j.numbers.over_scale_frames, 48);
}

/* A source smaller than the delivery: 1280x720 to 1080x1920 gives a window 405 wide, 2.667 times enlarged: a note. */
static void too_small(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    judged j;
    prepare(arena, &j);
    j.s.source.size = (tw_size){1280, 720};
    tw_key key = scene_key(0, 400, 0, 405);
    tw_framing framing = scene_framing(&key, 1);
    framing.source = j.s.source.size;
    const twi_view view = {&j.s.in, &j.sight.at[0], &j.asked, &framing, 0};
    const tw_proof_file file = {.name = TW_STR("a.edl")};
    twi_proof_judge(arena, &view, &file, &j.clip, &j.told, j.diags, &j.numbers);
    assert_int_equal(tw_diags_count(j.diags, TW_ERROR), 0);
    assert_non_null(strstr(tw_findings(arena, j.diags), "note TW1725"));
    assert_non_null(strstr(tw_findings(arena, j.diags), "enlarged 2.667 times"));
    assert_int_equal(j.numbers.over_scale_frames, 0);
}

/* Keys past the end belong to a move that goes on over a through-edit, or are stray. */
static void keys_past_the_end(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    for (int joined = 0; joined < 2; joined++) {
        judged j;
        prepare(arena, &j);
        j.sight.at[1].joined = joined == 1;
        tw_key keys[] = {scene_key(0, 0, 0, 2430), scene_key(100, 100, 0, 2430)};
        judge(arena, &j, keys, 2);
        assert_non_null(strstr(tw_findings(arena, j.diags), joined ? "note TW1727" : "warning TW1728"));
    }
}

/* A window set by hand may enlarge and cut what must be held: notes, each with its frames. It may not show an edge. */
static void by_hand(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    judged j;
    prepare(arena, &j);
    tw_region region = hand_region(arena, "hands", 0.5, 0.1); /* 2880..3456 */
    tw_hand_key window = {.frame = 0, .x = -10, .y = 0, .w = 900};
    tw_note note = hand_note("n001", "A003", 0, 24);
    note.regions = &region;
    note.region_count = 1;
    note.window = &window;
    note.window_count = 1;
    j.s.plan.notes = &note;
    j.s.plan.note_count = 1;
    twi_proof_look(arena, &j.s.plan, j.s.master, &j.sight);
    twi_proof_asked(arena, j.s.master, &j.sight.at[0], &j.s.tall, &j.asked);
    tw_key key = scene_key(0, -10, 0, 900);
    judge(arena, &j, &key, 1);
    /* 3456 - 890 px are cut on the right */
    assert_string_equal(
        tw_findings(arena, j.diags),
        "a.edl: error TW1729: tall, clip \"A003\" at 00:00:00:00: the window set by hand leaves the picture in 24 "
        "frames\n"
        "a.edl: note TW1730: tall, clip \"A003\" at 00:00:00:00: the window set by hand is past the limit of scale in "
        "24 "
        "frames\n"
        "a.edl: note TW1731: tall, clip \"A003\" at 00:00:00:00: the window set by hand cuts hands (must, note n001) "
        "by "
        "up to 2566.0 px in 24 frames\n");
}

/* A detector's box that jumps for one frame is no loss, but told of. */
static void single_boxes_of_a_detector(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    judged j;
    prepare(arena, &j);
    tw_region_key keys[24];
    for (int64_t i = 0; i < 24; i++)
        keys[i] = (tw_region_key){i, i == 12 ? 0.6 : 0.5, 0.4, 0.1, 0.2};
    tw_region region = {.name = TW_STR("hands"), .must = true, .weight = 1, .detector = true, .keys = keys};
    region.key_count = 24;
    tw_note note = hand_note("n001", "A003", 0, 24);
    note.regions = &region;
    note.region_count = 1;
    j.s.plan.notes = &note;
    j.s.plan.note_count = 1;
    twi_proof_look(arena, &j.s.plan, j.s.master, &j.sight);
    twi_proof_asked(arena, j.s.master, &j.sight.at[0], &j.s.tall, &j.asked);
    tw_key key = scene_key(0, 1100, 0, 2430); /* up to 3530; the wild box ends at 0.7 * 5760 = 4032 */
    judge(arena, &j, &key, 1);
    assert_string_equal(
        tw_findings(arena, j.diags),
        "a.edl: note TW1736: tall, clip \"A003\" at 00:00:00:00: hands (must, note n001) is held; single "
        "boxes of its detector stick out by up to 502.0 px in 1 frame\n");
    assert_int_equal(j.numbers.must_held_frames, 24);
}

TW_SUITE(verdict)
{
    const struct CMUnitTest tests[] = {TW_TEST(says_where), TW_TEST(told_once),
                                       TW_TEST(too_small),  TW_TEST(keys_past_the_end),
                                       TW_TEST(by_hand),    TW_TEST(single_boxes_of_a_detector)};
    return tw_run("proof/verdict", tests);
}
