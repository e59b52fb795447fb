/* SPDX-License-Identifier: Apache-2.0 */
#include "support/support.h"

#include <tallwide/derive.h>

#include "derive/counted.h"
#include "proof/scene.h"

/* Keys at 0 and 100, left .2 and .6, width .1: straight between; outside held when keyed by hand, gone in a table. */
static void boxes(void **state)
{
    (void)state;
    static const struct {
        const char *name;
        bool table;
        double source, gap;
        bool there;
        double left; /* pixels of 1000 */
    } rows[] = {
        {"middle", false, 50, 12, true, 400},
        {"quarter", false, 25, 12, true, 300},
        {"before the first", false, -30, 12, true, 200},
        {"past the last", false, 500, 12, true, 600},
        {"table, on the first", true, 0, 12, true, 200},
        {"table, within a frame of the first", true, 0.5, 12, true, 202},
        {"table, in a gap", true, 50, 12, false, 0},
        {"table, gap allowed", true, 50, 100, true, 400},
        {"table, before the first", true, -1, 12, false, 0},
        {"table, within a frame before", true, -0.5, 12, true, 200},
        {"table, past the last", true, 101, 12, false, 0},
    };
    tw_region_key keys[] = {{0, 0.2, 0.4, 0.1, 0.2}, {100, 0.6, 0.4, 0.1, 0.2}};
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_row(i, rows[i].name);
        const tw_region region = {.keys = keys, .key_count = 2, .track = rows[i].table ? TW_STR("a.csv") : TW_STR("")};
        tw_path_box box = {0, 0, 0, 0};
        assert_int_equal(twi_proof_box(&region, rows[i].source, rows[i].gap, (tw_size){1000, 500}, &box),
                         rows[i].there);
        if (!rows[i].there)
            continue;
        tw_assert_near(box.left, rows[i].left, 1e-9);
        tw_assert_near(box.right, rows[i].left + 100, 1e-9);
        tw_assert_near(box.top, 200, 1e-9);
        tw_assert_near(box.bottom, 300, 1e-9);
    }
}

static void cut_to_the_picture(void **state)
{
    (void)state;
    tw_region_key key = {0, -0.2, 0.5, 0.3, 0.9};
    tw_region region = {.keys = &key, .key_count = 1};
    tw_path_box box;
    assert_true(twi_proof_box(&region, 0, 12, (tw_size){1000, 500}, &box));
    tw_assert_near(box.left, 0, 1e-9);
    tw_assert_near(box.right, 100, 1e-9);
    tw_assert_near(box.bottom, 500, 1e-9);
    key.left = 1.1;
    assert_false(twi_proof_box(&region, 0, 12, (tw_size){1000, 500}, &box));
}

/* Proof and derive were written apart: they must see the same boxes at any position, table or not. */
static void same_as_derive(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_rng rng = {20261125};
    for (int round = 0; round < 300; round++) {
        size_t count = (size_t)tw_rng_between(&rng, 1, 8);
        tw_region_key *keys = TW_NEW_N(arena, tw_region_key, count);
        int64_t frame = tw_rng_between(&rng, -50, 50);
        for (size_t k = 0; k < count; k++) {
            keys[k] = (tw_region_key){frame, tw_rng_unit(&rng) / 2, tw_rng_unit(&rng) / 2, 0.1 + tw_rng_unit(&rng) / 3,
                                      0.1 + tw_rng_unit(&rng) / 3};
            frame += tw_rng_between(&rng, 1, 30);
        }
        tw_region region = {.keys = keys, .key_count = count};
        if (round % 2 == 1)
            region.track = TW_STR("a.csv");
        for (double at = -80; at < 300; at += 0.25) {
            tw_region_key theirs;
            tw_path_box ours;
            bool there = tw_derive_box(&region, at, 12, &theirs);
            assert_int_equal(twi_proof_box(&region, at, 12, (tw_size){1, 1}, &ours), there);
            if (!there)
                continue;
            tw_assert_near(ours.left, theirs.left, 1e-12);
            tw_assert_near(ours.right, theirs.left + theirs.width, 1e-12);
            tw_assert_near(ours.bottom, theirs.top + theirs.height, 1e-12);
        }
    }
}

/* Times of a note are labels of its source: here from the first frame on at which the region must be held. */
static void labels_of_the_source(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    for (size_t i = 0; i < sizeof counted / sizeof counted[0]; i++) {
        tw_row(i, counted[i].name);
        tw_timeline *master;
        const tw_plan *plan = counted_plan(arena, i, &master);
        assert_non_null(plan);
        twi_sight sight;
        twi_proof_look(arena, plan, master, &sight);
        twi_asked asked;
        twi_proof_asked(arena, master, &sight.at[counted[i].shot], &plan->deliveries[0], &asked);
        assert_int_equal(asked.hold_count, 1);
        int64_t first = 0;
        while (!(asked.holds[0].boxes[first].right > 0))
            first++;
        assert_int_equal(first, counted[i].frame);
    }
}

/* One wild box of a detector in a calm run is not what must be held; by hand it is. */
static void detectors_are_calmed(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_item clip = hand_clip("A003", 0, 0, 20);
    tw_track track = hand_track(TW_TRACK_VIDEO, &clip, 1);
    scene s;
    scene_make(&s, hand_timeline(arena, &track, 1));
    tw_region_key keys[20];
    for (int64_t i = 0; i < 20; i++)
        keys[i] = (tw_region_key){i, i == 10 ? 0.8 : 0.2, 0.4, 0.1, 0.2};
    tw_region region = {.must = true, .weight = 1, .keys = keys, .key_count = 20};
    tw_note note = hand_note("n001", "A003", 0, 20);
    note.regions = &region;
    note.region_count = 1;
    s.plan.notes = &note;
    s.plan.note_count = 1;
    twi_sight sight;
    twi_proof_look(arena, &s.plan, s.master, &sight);
    for (int detector = 0; detector < 2; detector++) {
        region.detector = detector == 1;
        twi_asked asked;
        twi_proof_asked(arena, s.master, &sight.at[0], &s.tall, &asked);
        assert_int_equal(asked.hold_count, 1);
        tw_assert_near(asked.holds[0].boxes[10].left, (detector ? 0.2 : 0.8) * 5760, 1e-9);
        tw_assert_near(asked.holds[0].boxes[9].left, 0.2 * 5760, 1e-9);
    }
}

TW_SUITE(box)
{
    const struct CMUnitTest tests[] = {TW_TEST(boxes), TW_TEST(cut_to_the_picture), TW_TEST(same_as_derive),
                                       TW_TEST(labels_of_the_source), TW_TEST(detectors_are_calmed)};
    return tw_run("proof/box", tests);
}
