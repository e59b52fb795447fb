/* SPDX-License-Identifier: Apache-2.0 */
#include "support/support.h"

#include <string.h>

#include <tallwide/formats.h>
#include <tallwide/otio.h>

#include "proof/scene.h"

/* The demo edit: what the proof counts, and what derive counted on its own way, must be the same. */
static void counts_as_derive_does(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_diags *diags = tw_diags_new(arena);
    tw_timeline *master;
    tw_plan *plan;
    tw_derived *derived;
    tw_str bytes = tw_fixture(arena, "demo/wheel.otio");
    const tw_read_options options = {.rate = {0, 0}};
    const tw_derive_options how = {.threads = 1};
    assert_int_equal(tw_formats_read(arena, bytes, TW_STR("wheel.otio"), &options, diags, &master), TW_OK);
    tw_str text = tw_fixture(arena, "demo/wheel.plan.json");
    assert_int_equal(tw_plan_read(arena, text, TW_STR("plan"), master->rate, false, diags, &plan), TW_OK);
    assert_int_equal(tw_derive(arena, plan, master, &how, diags, &derived), TW_OK);
    for (size_t d = 0; d < plan->delivery_count; d++) {
        const tw_derived_delivery *theirs = &derived->deliveries[d];
        tw_timeline *made = tw_derive_timeline(arena, derived, d, tw_str_hash(bytes));
        made->format = master->format;
        const tw_proof_file file = {.name = TW_STR("made"), .written = made};
        const tw_proof_input in = {plan, master, tw_str_hash(bytes), d, &file, 1, {NULL, NULL}};
        tw_proof ours;
        tw_diags *found = tw_diags_new(arena);
        tw_row(d, "delivery");
        tw_proof_run(arena, &in, found, &ours);
        if (!ours.ok)
            print_error("%s", tw_findings(arena, found));
        assert_true(ours.ok);
        assert_int_equal(ours.shots, theirs->shot_count);
        assert_int_equal(ours.not_framed, theirs->not_framed);
        assert_int_equal(ours.moving, theirs->moving);
        assert_int_equal(ours.keys, theirs->keys);
        assert_int_equal(ours.frames, theirs->frames);
        tw_assert_near(ours.max_scale, theirs->max_scale, 1e-6);
        for (size_t i = 0; i < ours.shots; i++) {
            const tw_decision *shot = &theirs->shots[i];
            assert_ptr_equal(ours.told[i].clip, shot->clip);
            assert_false(ours.told[i].lost);
            assert_int_equal(ours.told[i].black, shot->verdict == TW_VERDICT_BLACK);
            assert_int_equal(ours.told[i].framing != NULL, shot->framing != NULL);
            if (shot->framing != NULL)
                assert_int_equal(ours.told[i].framing->key_count, shot->framing->key_count);
        }
    }
}

static void missing_framings(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_item items[] = {hand_clip("A003", 0, 0, 24), hand_clip("X001", 24, 0, 24), hand_clip("BL", 48, 0, 24)};
    tw_track track = hand_track(TW_TRACK_VIDEO, items, 3);
    scene s;
    scene_make(&s, hand_timeline(arena, &track, 1));
    s.source.reel = TW_STR("A*");
    const tw_stamp stamp = {.delivery = TW_STR("tall"), .size = {1080, 1920}};
    tw_timeline *written = tw_timeline_copy(arena, s.master);
    written->stamp = TW_NEW(arena, tw_stamp);
    *written->stamp = stamp;
    written->format = &tw_format_otio;
    ((tw_timeline *)s.master)->format = &tw_format_otio;
    const tw_proof_file file = {.name = TW_STR("a.otio"), .written = written};
    s.in.files = &file;
    s.in.file_count = 1;
    tw_proof proof;
    tw_diags *diags = tw_diags_new(arena);
    tw_proof_run(arena, &s.in, diags, &proof);
    const char *said = tw_findings(arena, diags);
    assert_non_null(strstr(said, "error TW1732: tall, clip \"A003\": the clip has no framing"));
    assert_non_null(
        strstr(said, "warning TW1733: tall, clip \"X001\": the clip has no framing, since the plan does not"));
    assert_null(strstr(said, "BL"));
    assert_int_equal(proof.frames, 48);
    assert_false(proof.ok);
}

static void notes_nobody_uses(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_diags *diags = tw_diags_new(arena);
    tw_plan *plan;
    tw_str text = TW_STR("{\"tallwide_plan\": 1, \"edit\": {\"file\": \"a.edl\", \"rate\": \"24/1\"},\n"
                         "\"deliveries\": [{\"name\": \"tall\", \"size\": [1080, 1920]}], \"sources\": [],\n"
                         "\"notes\": [{\"id\": \"n001\", \"reel\": \"A003\", \"in\": \"00:00:00:00\", \"out\": "
                         "\"00:00:01:00\"},\n{\"id\": \"n002\", \"reel\": \"A003\", \"in\": \"00:00:05:00\", \"out\": "
                         "\"00:00:06:00\"}]}");
    assert_int_equal(tw_plan_read(arena, text, TW_STR("plan"), (tw_rate){0, 0}, false, diags, &plan), TW_OK);
    tw_item clip = hand_clip("A003", 0, 12, 24);
    tw_track track = hand_track(TW_TRACK_VIDEO, &clip, 1);
    diags = tw_diags_new(arena);
    tw_proof_notes(arena, plan, hand_timeline(arena, &track, 1), diags);
    assert_int_equal(tw_diags_count(diags, TW_NOTE), 1);
    assert_non_null(
        strstr(tw_findings(arena, diags), "plan:4:1: note TW1603: no shot of this edit shows what note n002"));
}

/* 51 shots of two million frames are 102 million: nothing is looked at. */
static void endless_edit(void **state)
{
    enum { SHOTS = 51, FRAMES = 2000000 };
    tw_arena *arena = tw_test_arena(state);
    tw_item items[SHOTS];
    for (size_t i = 0; i < SHOTS; i++)
        items[i] = hand_clip("A001", (int64_t)i * FRAMES, 0, FRAMES);
    tw_track track = hand_track(TW_TRACK_VIDEO, items, SHOTS);
    scene s;
    scene_make(&s, hand_timeline(arena, &track, 1));
    tw_proof proof;
    tw_diags *diags = tw_diags_new(arena);
    assert_int_equal(tw_proof_run(arena, &s.in, diags, &proof), TW_ERR_LIMIT);
    assert_non_null(strstr(tw_findings(arena, diags), "error TW1610: the shots of this edit have 102000000 frames"));
}

TW_SUITE(proof)
{
    const struct CMUnitTest tests[] = {TW_TEST(counts_as_derive_does), TW_TEST(missing_framings),
                                       TW_TEST(notes_nobody_uses), TW_TEST(endless_edit)};
    return tw_run("proof/proof", tests);
}
