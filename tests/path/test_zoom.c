/* SPDX-License-Identifier: Apache-2.0 */
#include "path/sound.h"

#include "support/support.h"

/* ---- towards the camera ---------------------------------------------------------------------------------- */

/* A 1:1 window for somebody whose height goes from `size[0]` to `size[1]` and whose centre from x[0] to x[1], each
 * between its own two frames. */
typedef struct walk {
    double size[2], from, to, x[2], leaves, arrives, width, fill;
} walk;

static double between_frames(const double value[2], double from, double to, double t)
{
    return value[0] + (value[1] - value[0]) * fmin(fmax((t - from) / (to - from), 0), 1);
}

static tw_path_job walk_job(const walk *w, tw_path_region *region, tw_path_box *boxes)
{
    for (size_t t = 0; t < 300; t++) {
        double size = between_frames(w->size, w->from, w->to, (double)t);
        double x = between_frames(w->x, w->leaves, w->arrives, (double)t), half = size * w->width / 2;
        boxes[t] = (tw_path_box){x - half, 2000 - size / 2, x + half, 2000 + size / 2};
    }
    *region = (tw_path_region){.boxes = boxes, .must = true, .weight = 1};
    return (tw_path_job){.frames = 300,
                         .fps = 25,
                         .source = {5760, 4320},
                         .delivery = {1080, 1080},
                         .squeeze = 1,
                         .max_scale = 1,
                         .inset = {0.05, 0.05, 0.05, 0.05},
                         .regions = region,
                         .region_count = 1,
                         .subject_fill = w->fill,
                         .zoom = true};
}

/* The window widens with them and holds them. */
static void walk_towards_camera(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_path_box boxes[300];
    tw_path_region region;
    tw_path_job job =
        walk_job(&(walk){{500, 1400}, 0, 299, {2400, 3000}, 0, 299, .width = 0.5, .fill = 0.4}, &region, boxes);
    tw_path_result r;
    tw_path_solve(arena, &job, &r);
    check_sound(&job, &r);
    assert_int_equal(lost_frames(&job, &r), 0);
    assert_int_equal(r.key_count, 2);
    assert_true(r.keys[1].w > r.keys[0].w + 500);
    job.zoom = false;
    tw_path_solve(arena, &job, &r);
    for (size_t i = 1; i < r.key_count; i++)
        tw_assert_near(r.keys[i].w, r.keys[0].w, 0);
}

/* Width and centre by themselves want two keyframes each, at different times; one fit of both needs two altogether
 * (solver.md 3.12). */
static void shares_keyframes(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_path_box boxes[300];
    tw_path_region region;
    tw_path_job job =
        walk_job(&(walk){{600, 1500}, 50, 250, {1800, 3400}, 100, 200, .width = 0.8, .fill = 0.6}, &region, boxes);
    tw_path_result r;
    tw_path_solve(arena, &job, &r);
    check_sound(&job, &r);
    assert_int_equal(lost_frames(&job, &r), 0);
    assert_int_equal(r.fewest, 4);
    assert_int_equal(r.key_count, 2);
    assert_true(r.keys[1].w > r.keys[0].w + 500 && r.keys[1].cx > r.keys[0].cx + 1000);
}

/* ---- random shots ---------------------------------------------------------------------------------------- */

static double pick(tw_rng *rng, double least, double most)
{
    return least + (most - least) * tw_rng_unit(rng);
}

/* Somebody who comes nearer, goes away, walks and waits. */
static void random_boxes(tw_rng *rng, const tw_path_job *job, tw_path_box *boxes)
{
    double size = pick(rng, 0.1, 0.4) * job->source.h, shape = pick(rng, 0.3, 0.8), grow = 0, vx = 0, vy = 0;
    double x = pick(rng, 0.2, 0.8) * job->source.w, y = pick(rng, 0.3, 0.7) * job->source.h;
    for (int64_t t = 0; t < job->frames; t++) {
        if (t == 0 || tw_rng_between(rng, 0, 59) == 0) {
            bool rests = tw_rng_between(rng, 0, 2) == 0;
            grow = rests ? 0 : pick(rng, -0.008, 0.008);
            vx = rests ? 0 : pick(rng, -0.002, 0.002) * job->source.w;
            vy = rests ? 0 : pick(rng, -0.0005, 0.0005) * job->source.h;
        }
        size = fmin(fmax(size * (1 + grow), 0.05 * job->source.h), 0.8 * job->source.h);
        x = fmin(fmax(x + vx, 0), job->source.w);
        y = fmin(fmax(y + vy, 0), job->source.h);
        boxes[t] = (tw_path_box){x - size * shape / 2, y - size / 2, x + size * shape / 2, y + size / 2};
    }
}

static void random_job(tw_arena *arena, tw_rng *rng, tw_path_job *job)
{
    static const tw_size sources[] = {{5760, 4320}, {3840, 2160}, {4096, 3024}};
    static const tw_size deliveries[] = {{1080, 1920}, {1080, 1080}, {1080, 1350},
                                         {1920, 1080}, {1920, 803},  {1080, 3240}};
    *job = (tw_path_job){.first_frame = tw_rng_between(rng, -20, 5), .frames = tw_rng_between(rng, 25, 400), .fps = 25};
    job->source = sources[tw_rng_between(rng, 0, 2)];
    job->delivery = deliveries[tw_rng_between(rng, 0, 5)];
    job->squeeze = tw_rng_between(rng, 0, 9) == 0 ? 2 : 1;
    job->max_scale = pick(rng, 1, 3);
    job->inset = (tw_inset){pick(rng, 0, 0.1), pick(rng, 0, 0.1), pick(rng, 0, 0.1), pick(rng, 0, 0.1)};
    job->subject_fill = pick(rng, 0.4, 0.8);
    job->zoom = true;
    job->region_count = (size_t)tw_rng_between(rng, 1, 3);
    tw_path_region *regions = TW_NEW_N(arena, tw_path_region, job->region_count);
    for (size_t i = 0; i < job->region_count; i++) {
        tw_path_box *boxes = TW_NEW_N(arena, tw_path_box, (size_t)job->frames);
        random_boxes(rng, job, boxes);
        regions[i] = (tw_path_region){.boxes = boxes, .must = i == 0, .weight = 1};
        regions[i].look = (int)tw_rng_between(rng, -1, 1);
    }
    job->regions = regions;
}

/* Does the must region fit the widest window in every frame? */
static bool can_be_held(const tw_path_job *job)
{
    tw_window most = tw_geom_widest(job->source, job->squeeze, job->delivery);
    for (int64_t t = 0; t < job->frames; t++) {
        const tw_path_box *b = &job->regions[0].boxes[t];
        if (fmin(b->right, job->source.w) - fmax(b->left, 0) > most.w ||
            fmin(b->bottom, job->source.h) - fmax(b->top, 0) > most.h)
            return false;
    }
    return true;
}

/* No narrower than may be, and no link faster than limits say: of the narrower window's width. */
static void check_limits(const tw_path_job *job, const tw_path_result *r)
{
    double widest = tw_geom_widest(job->source, job->squeeze, job->delivery).w;
    double narrowest = fmin(tw_geom_narrowest(job->delivery, job->max_scale), widest);
    for (size_t i = 0; i < r->key_count; i++) {
        const tw_key *a = &r->keys[i], *b = a + 1;
        assert_true(a->w >= narrowest - TWI_HELD);
        if (i + 1 == r->key_count)
            continue;
        double second = (double)(b->frame - a->frame) / job->fps, least = fmin(a->w, b->w);
        assert_true(fabs(b->w - a->w) <= 0.1 * second * least + TWI_HELD);
        assert_true(fmax(fabs(b->cx - a->cx), fabs(b->cy - a->cy)) <= 1.5 * second * least + TWI_HELD);
    }
}

/* 300 shots, 3,000 with TW_LONG=1. From the rounded keys: always inside the source, what can be held is, limits are
 * kept, and there are no more keyframes than width and centre need one after the other. */
static void random_zooms(void **state)
{
    tw_rng rng = {3};
    size_t zooms = 0, keys = 0, joined = 0, settled = 0, rounds = random_rounds(3000);
    (void)state;
    for (size_t round = 0; round < rounds; round++) {
        tw_arena *arena = tw_arena_new(NULL, NULL);
        tw_path_job job;
        tw_path_result r;
        tw_row(round, "random zooming shot, seed 3");
        random_job(arena, &rng, &job);
        tw_path_solve(arena, &job, &r);
        check_sound(&job, &r);
        bool zoom = false;
        for (size_t i = 1; i < r.key_count; i++)
            zoom = zoom || r.keys[i].w < r.keys[0].w || r.keys[i].w > r.keys[0].w;
        if (zoom) {
            assert_true(lost_frames(&job, &r) == 0 || !can_be_held(&job));
            check_limits(&job, &r);
            assert_true(r.key_count <= r.fewest + r.settled);
            zooms++;
            keys += r.key_count;
            joined += r.fewest;
            settled += r.settled;
        }
        tw_arena_free(&arena);
    }
    print_message("%zu random shots: %zu zoom, with %zu keys, %zu of them to rest; one after the other: %zu\n", rounds,
                  zooms, keys, settled, joined);
    assert_true(zooms > rounds / 10);
}

TW_SUITE(zoom)
{
    const struct CMUnitTest tests[] = {TW_TEST(walk_towards_camera), TW_TEST(shares_keyframes), TW_TEST(random_zooms)};
    return tw_run("path/zoom", tests);
}
