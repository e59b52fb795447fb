/* SPDX-License-Identifier: Apache-2.0 */
#include "support/support.h"

#include <stddef.h>
#include <string.h>

#include "derive/derive_internal.h"
#include "derive/hand_plan.h"

/* A question with something in every field, and what it points at. */
typedef struct question {
    tw_path_job job;
    tw_path_region region;
    tw_path_box boxes[3];
    tw_path_hand hand;
    tw_key key;
    tw_path_offset shake[3];
} question;

static void ask(question *q)
{
    memset(q, 0, sizeof *q);
    for (size_t i = 0; i < 3; i++)
        q->boxes[i] = (tw_path_box){10, 20, 30, 40};
    q->region = (tw_path_region){.boxes = q->boxes, .must = true, .weight = 1};
    q->key = (tw_key){.frame = 1, .cx = 2, .cy = 3, .w = 4, .ease = 5};
    q->hand = (tw_path_hand){0, 2, &q->key, 1};
    q->job = (tw_path_job){.frames = 3, .fps = 24, .source = {5760, 4320}, .delivery = {1080, 1920}, .squeeze = 1};
    q->job.regions = &q->region;
    q->job.region_count = 1;
    q->job.hands = &q->hand;
    q->job.hand_count = 1;
    q->job.shake = q->shake;
}

/* Every number of the question, by where it stands. */
#define AT(field)                                                                                                      \
    {                                                                                                                  \
#field, offsetof(question, field), sizeof(((question *)0)->field)                                              \
    }

static void any_change_makes_another_question(void **state)
{
    (void)state;
    static const struct {
        const char *name;
        size_t offset, size;
    } rows[] = {
        AT(job.first_frame),  AT(job.fps),          AT(job.source.w),         AT(job.source.h),
        AT(job.delivery.w),   AT(job.delivery.h),   AT(job.squeeze),          AT(job.max_scale),
        AT(job.inset.left),   AT(job.inset.top),    AT(job.inset.right),      AT(job.inset.bottom),
        AT(job.moves),        AT(job.subject_fill), AT(job.params.speeds[0]), AT(job.params.speeds[4]),
        AT(job.params.accel), AT(job.params.ease),  AT(job.params.move_time), AT(job.params.link),
        AT(job.params.hold),  AT(job.params.zoom),  AT(job.params.lazy),      AT(job.region_count),
        AT(job.hand_count),   AT(job.shake),        AT(region.weight),        AT(region.look),
        AT(region.focus_x),   AT(region.focus_y),   AT(boxes[0].left),        AT(boxes[2].bottom),
        AT(hand.from),        AT(hand.to),          AT(hand.key_count),       AT(key.frame),
        AT(key.cx),           AT(key.ease),         AT(shake[0].x),           AT(shake[2].y),
    };
    question a, b;
    ask(&a);
    ask(&b);
    assert_true(twi_derive_same_job(&a.job, &b.job));
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_row(i, rows[i].name);
        ask(&b);
        memset((char *)&b + rows[i].offset, 0, rows[i].size);
        if (memcmp((char *)&a + rows[i].offset, (char *)&b + rows[i].offset, rows[i].size) == 0)
            *((char *)&b + rows[i].offset) = 1;
        assert_false(twi_derive_same_job(&a.job, &b.job));
    }
    bool *const flags[] = {&b.job.zoom, &b.job.params.no_settle, &b.region.must, &b.region.detector,
                           &b.region.has_focus};
    for (size_t i = 0; i < sizeof flags / sizeof flags[0]; i++) {
        tw_row(i, "a flag");
        ask(&b);
        *flags[i] = !*flags[i];
        assert_false(twi_derive_same_job(&a.job, &b.job));
    }
    ask(&b);
    b.job.frames = 2;
    assert_false(twi_derive_same_job(&a.job, &b.job));
}

/* Two cuts of one take, one later in its record and one 5 frames shorter: only that one is solved again, and all comes
 * out as if nothing had been known. */
static void what_is_asked_again_is_not_solved_again(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_note notes[] = {hand_note("n001", "A001", 0, 60), hand_note("n002", "A002", 0, 60)};
    tw_region regions[] = {hand_region(arena, "hands", 0.7, 0.1), hand_region(arena, "wheel", 0.2, 0.1)};
    for (size_t i = 0; i < 2; i++) {
        notes[i].regions = &regions[i];
        notes[i].region_count = 1;
    }
    tw_source source = {.reel = TW_STR("*"), .size = {5760, 4320}, .squeeze = 1};
    tw_delivery tall = HAND_TALL;
    tw_plan plan = {.deliveries = &tall, .delivery_count = 1, .sources = &source, .source_count = 1, .notes = notes};
    plan.note_count = 2;
    tw_item before[] = {hand_clip("A001", 0, 0, 50), hand_clip("A002", 50, 0, 50)};
    tw_item after[] = {hand_clip("A002", 0, 0, 45), hand_clip("A001", 45, 0, 50)};
    tw_track tracks[] = {hand_track(TW_TRACK_VIDEO, before, 2), hand_track(TW_TRACK_VIDEO, after, 2)};
    tw_derived *was = NULL, *now = NULL, *alone = NULL;
    tw_derive_options options = {.threads = 1};
    const tw_timeline *old = hand_timeline(arena, &tracks[0], 1), *cut = hand_timeline(arena, &tracks[1], 1);
    assert_int_equal(tw_derive(arena, &plan, old, &options, tw_diags_new(arena), &was), TW_OK);
    assert_int_equal(tw_derive(arena, &plan, cut, &options, tw_diags_new(arena), &alone), TW_OK);
    options.like = was;
    assert_int_equal(tw_derive(arena, &plan, cut, &options, tw_diags_new(arena), &now), TW_OK);
    const tw_decision *o = was->deliveries[0].shots, *n = now->deliveries[0].shots, *a = alone->deliveries[0].shots;
    assert_ptr_equal(n[1].path.keys, o[0].path.keys);
    assert_ptr_not_equal(n[0].path.keys, o[1].path.keys);
    for (size_t i = 0; i < 2; i++) {
        assert_int_equal(n[i].framing->key_count, a[i].framing->key_count);
        assert_memory_equal(n[i].framing->keys, a[i].framing->keys,
                            a[i].framing->key_count * sizeof *a[i].framing->keys);
    }
}

TW_SUITE(again)
{
    const struct CMUnitTest tests[] = {TW_TEST(any_change_makes_another_question),
                                       TW_TEST(what_is_asked_again_is_not_solved_again)};
    return tw_run("derive/again", tests);
}
