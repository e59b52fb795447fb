/* SPDX-License-Identifier: Apache-2.0 */
#include "support/support.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "path/region.h"
#include "proof/scene.h"

/* A run of noisy boxes, now and then a wild one or nothing. */
static void random_boxes(tw_rng *rng, tw_path_box *boxes, size_t n)
{
    double x = 2000, v = 0, noise = 40 * tw_rng_unit(rng);
    int64_t gaps = tw_rng_between(rng, 0, 40);
    for (size_t t = 0; t < n; t++) {
        if (tw_rng_between(rng, 0, 29) == 0)
            v = (tw_rng_between(rng, 0, 3) == 0 ? 300 : 30) * (tw_rng_unit(rng) - 0.5);
        x = fmin(fmax(x + v, 0), 5000);
        if (tw_rng_between(rng, 0, 99) == 0) /* faster than a window may go */
            x = 5000 - x;
        double at = x + noise * (tw_rng_unit(rng) - 0.5), w = 500 + noise * tw_rng_unit(rng);
        if (tw_rng_between(rng, 0, 24) == 0)
            at += 900;
        boxes[t] = gaps > 0 && tw_rng_between(rng, 0, gaps) == 0
                       ? (tw_path_box){.left = 0}
                       : (tw_path_box){at, 1000 + noise * tw_rng_unit(rng), at + w, 2200};
    }
}

/* Two readings of one definition, written apart. */
static void as_the_solver_reads_it(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_rng rng = {5};
    static const double rates[] = {23.976, 25, 60, 200};
    for (size_t round = 0; round < (tw_test_short() ? 20 : 200); round++) {
        tw_row(round, "track of seed 5");
        tw_path_box boxes[150], own[150];
        size_t n = (size_t)tw_rng_between(&rng, 1, 150);
        random_boxes(&rng, boxes, n);
        memcpy(own, boxes, sizeof own);
        const tw_path_box *calm = twi_proof_calm(arena, boxes, (int64_t)n, rates[round % 4]);
        twi_region_filter(arena, own, n, rates[round % 4]);
        for (size_t t = 0; t < n; t++) {
            assert_int_equal(calm[t].right > calm[t].left, own[t].right > own[t].left);
            tw_assert_near(calm[t].left, own[t].left, 1e-6);
            tw_assert_near(calm[t].top, own[t].top, 1e-6);
            tw_assert_near(calm[t].right, own[t].right, 1e-6);
            tw_assert_near(calm[t].bottom, own[t].bottom, 1e-6);
        }
    }
}

/* What the solver says it holds the proof says, too, over a cut inside the take; the boxes as they came are told of. */
static void the_proof_agrees_with_fork(void **state)
{
    tw_rng rng = {77};
    size_t lost_shots = 0, raw_shots = 0;
    (void)state;
    for (size_t round = 0; round < 60; round++) {
        tw_arena *arena = tw_arena_new(NULL, NULL);
        tw_row(round, "noisy shot of seed 77");
        tw_path_box boxes[160];
        tw_region_key keys[160];
        random_boxes(&rng, boxes, 160);
        size_t count = 0;
        for (int64_t t = 0; t < 160; t++)
            if (boxes[t].right > boxes[t].left)
                keys[count++] =
                    (tw_region_key){t, boxes[t].left / 5760, boxes[t].top / 4320,
                                    (boxes[t].right - boxes[t].left) / 5760, (boxes[t].bottom - boxes[t].top) / 4320};
        tw_region region = {.name = TW_STR("rim"), .must = true, .weight = 1, .detector = true, .keys = keys};
        region.key_count = count;
        region.track = TW_STR("rim.csv");
        tw_note note = hand_note("n001", "A003", 0, 160);
        note.regions = &region;
        note.region_count = 1;
        int64_t cut = tw_rng_between(&rng, 20, 140);
        tw_item clips[] = {hand_clip("A003", 0, 0, cut), hand_clip("A003", cut, cut, 160 - cut)};
        tw_track track = hand_track(TW_TRACK_VIDEO, clips, 2);
        scene s;
        scene_make(&s, hand_timeline(arena, &track, 1));
        s.plan.notes = &note;
        s.plan.note_count = 1;
        tw_derived *derived = NULL;
        assert_int_equal(
            tw_derive(arena, &s.plan, s.master, &(tw_derive_options){.threads = 1}, tw_diags_new(arena), &derived),
            TW_OK);
        const tw_decision *shots = derived->deliveries[0].shots;
        int64_t lost = 0, raw = 0, said = 0;
        twi_sight sight;
        twi_proof_look(arena, &s.plan, s.master, &sight);
        for (size_t i = 0; i < 2; i++) {
            twi_asked asked;
            twi_showing showing;
            twi_proof_asked(arena, s.master, &sight.at[i], &s.tall, &asked);
            twi_proof_watch(arena, &(twi_view){&s.in, &sight.at[i], &asked, shots[i].framing, 0}, &showing);
            for (size_t h = 0; h < asked.hold_count; h++) {
                lost += showing.lost[h].frames + showing.lost[h].forced;
                raw += showing.lost[h].raw;
            }
        }
        for (size_t c = 0; c < shots[0].path.compromise_count; c++)
            said += shots[0].path.compromises[c].what == TW_YIELD_CUT ? shots[0].path.compromises[c].frames : 0;
        assert_true(llabs(lost - said) <= (said > 0 ? 2 : 0)); /* a frame on the edge of what rounding may do */
        lost_shots += lost > 0;
        raw_shots += raw > 0;
        tw_arena_free(&arena);
    }
    print_message("%zu of 60 noisy shots lose something, %zu have boxes that stick out\n", lost_shots, raw_shots);
    assert_true(raw_shots > 5 && lost_shots > 5 && lost_shots < 60);
}

TW_SUITE(calm)
{
    const struct CMUnitTest tests[] = {TW_TEST(as_the_solver_reads_it), TW_TEST(the_proof_agrees_with_fork)};
    return tw_run("proof/calm", tests);
}
