/* SPDX-License-Identifier: Apache-2.0 */
#include "path/path_internal.h"

#include <stdlib.h>

#include "path/motions.h"
#include "support/support.h"

/* Does every window lie inside the source, and how many frames cut a must region? From the keys alone. */
static size_t lost_frames(const tw_path_job *job, const tw_path_result *r)
{
    size_t lost = 0;
    assert_true(tw_path_valid(r->keys, r->key_count, NULL));
    for (int64_t t = 0; t < job->frames; t++) {
        tw_key key = tw_path_at(r->keys, r->key_count, (double)(job->first_frame + t));
        tw_window win = tw_geom_key_window(key, job->squeeze, job->delivery);
        assert_true(tw_geom_inside(win, job->source, 1e-6));
        bool cut = false;
        for (size_t i = 0; i < job->region_count; i++) {
            const tw_path_box *b = &job->regions[i].boxes[t];
            if (!job->regions[i].must || !(b->right > b->left))
                continue;
            tw_cut c = tw_geom_cut(win, fmax(b->left, 0), fmax(b->top, 0), fmin(b->right, job->source.w),
                                   fmin(b->bottom, job->source.h));
            cut = cut || fmax(fmax(c.left, c.right), fmax(c.top, c.bottom)) > TWI_HELD;
        }
        lost += cut;
    }
    return lost;
}

static void twelve_motions(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    for (size_t i = 0; i < motion_count; i++) {
        tw_row(i, motions[i].name);
        tw_path_job job;
        tw_path_result r;
        motion_job(arena, i, &job);
        tw_path_solve(arena, &job, &r);
        if (r.fewest - r.eliminated > motions[i].most_fewest || r.key_count > motions[i].most_keys)
            fail_msg("%s: %zu fewest, %zu keys", motions[i].name, r.fewest, r.key_count);
        size_t lost = lost_frames(&job, &r);
        if (motions[i].held && !job.regions[0].detector && lost > 0)
            fail_msg("%s: %zu frames lost", motions[i].name, lost);
    }
}

/* ---- random shots ---------------------------------------------------------------------------------------- */

static double step_of(tw_rng *rng, double most)
{
    return (2 * tw_rng_unit(rng) - 1) * most;
}

/* A box that walks, waits, turns, now and then jumps. */
static void random_boxes(tw_rng *rng, const tw_path_job *job, tw_path_box *boxes)
{
    double x = tw_rng_unit(rng) * job->source.w, y = tw_rng_unit(rng) * job->source.h, vx = 0, vy = 0;
    double w = job->source.w * (0.02 + 0.2 * tw_rng_unit(rng)), h = job->source.h * (0.02 + 0.5 * tw_rng_unit(rng));
    double fast = tw_rng_unit(rng) * job->source.w / 40;
    int64_t from = tw_rng_between(rng, 0, 3) == 0 ? tw_rng_between(rng, 0, job->frames) : 0;
    for (int64_t t = 0; t < job->frames; t++) {
        if (tw_rng_between(rng, 0, 24) == 0) {
            vx = tw_rng_between(rng, 0, 2) > 0 ? step_of(rng, fast) : 0;
            vy = tw_rng_between(rng, 0, 2) > 0 ? step_of(rng, fast / 4) : 0;
        }
        if (tw_rng_between(rng, 0, 199) == 0)
            x += step_of(rng, job->source.w / 4.0);
        x = fmin(fmax(x + vx, 0), job->source.w);
        y = fmin(fmax(y + vy, 0), job->source.h);
        boxes[t] = t < from ? (tw_path_box){.left = 0} : (tw_path_box){x - w / 2, y - h / 2, x + w / 2, y + h / 2};
    }
}

static void random_job(tw_arena *arena, tw_rng *rng, tw_path_job *job)
{
    static const tw_size sources[] = {{5760, 4320}, {3840, 2160}, {1920, 1080}, {1998, 1080}};
    static const tw_size deliveries[] = {{1080, 1920}, {1080, 1080}, {1080, 1350}, {1920, 1080}, {1920, 803}};
    *job = (tw_path_job){.first_frame = tw_rng_between(rng, -20, 5), .frames = tw_rng_between(rng, 1, 160), .fps = 25};
    job->source = sources[tw_rng_between(rng, 0, 3)];
    job->delivery = deliveries[tw_rng_between(rng, 0, 4)];
    job->squeeze = tw_rng_between(rng, 0, 9) == 0 ? 2 : 1;
    job->max_scale = tw_rng_between(rng, 0, 1) ? 1 : 2;
    double inset = 0.1 * tw_rng_unit(rng);
    job->inset = (tw_inset){inset, 0.05, inset, 0.1 * tw_rng_unit(rng)};
    job->subject_fill = tw_rng_between(rng, 0, 2) == 0 ? 0.2 + 0.6 * tw_rng_unit(rng) : 0;
    job->zoom = tw_rng_between(rng, 0, 1) == 0;
    job->region_count = (size_t)tw_rng_between(rng, 0, 3);
    tw_path_region *regions = TW_NEW_N(arena, tw_path_region, job->region_count);
    for (size_t i = 0; i < job->region_count; i++) {
        tw_path_box *boxes = TW_NEW_N(arena, tw_path_box, (size_t)job->frames);
        random_boxes(rng, job, boxes);
        regions[i] = (tw_path_region){.boxes = boxes, .must = i == 0 || tw_rng_between(rng, 0, 2) == 0, .weight = 1};
        regions[i].look = (int)tw_rng_between(rng, -1, 1);
        regions[i].weight = (double)tw_rng_between(rng, 1, 3);
    }
    job->regions = regions;
}

/* Is there a path of windows of that width that holds every must region, at the hard speed? Straight from the boxes. */
static bool can_be_held(tw_arena *arena, const tw_path_job *job, double w)
{
    size_t n = (size_t)job->frames;
    double side[2] = {w, tw_geom_height(w, job->squeeze, job->delivery)};
    for (int a = 0; a < 2; a++) {
        twi_tube tube = twi_tube_new(arena, n);
        double room = a == 0 ? job->source.w : job->source.h;
        for (size_t t = 0; t < n; t++) {
            tube.lo[t] = side[a] / 2;
            tube.hi[t] = room - side[a] / 2;
            for (size_t i = 0; i < job->region_count; i++) {
                const tw_path_box *b = &job->regions[i].boxes[t];
                bool there = fmin(b->right, job->source.w) > fmax(b->left, 0) &&
                             fmin(b->bottom, job->source.h) > fmax(b->top, 0);
                if (!job->regions[i].must || !there)
                    continue;
                double near = fmax(a == 0 ? b->left : b->top, 0), far = fmin(a == 0 ? b->right : b->bottom, room);
                tube.lo[t] = fmax(tube.lo[t], far - side[a] / 2);
                tube.hi[t] = fmin(tube.hi[t], near + side[a] / 2);
            }
            if (tube.lo[t] > tube.hi[t])
                return false;
        }
        if (!twi_tube_feasible(&tube, 1.5 * w / 25))
            return false;
    }
    return true;
}

/* 1,000 shots, 10,000 with TW_LONG=1: nothing outside the source, and no must region lost where a path at the hard speed
 * holds them all; what is lost is reported, frame for frame. */
static void random_shots(void **state)
{
    tw_rng rng = {10000};
    size_t held = 0, moving = 0, rounds = getenv("TW_LONG") != NULL ? 10000 : 1000;
    (void)state;
    for (size_t round = 0; round < rounds; round++) {
        tw_arena *arena = tw_arena_new(NULL, NULL);
        tw_path_job job;
        tw_path_result r;
        random_job(arena, &rng, &job);
        tw_path_solve(arena, &job, &r);
        size_t lost = lost_frames(&job, &r), reported = 0;
        for (size_t i = 0; i < r.compromise_count; i++)
            if (r.compromises[i].what == TW_YIELD_CUT || r.compromises[i].what == TW_YIELD_DROPPED)
                reported += (size_t)r.compromises[i].frames;
        bool holdable = can_be_held(arena, &job, r.keys[0].w);
        if ((holdable && lost > 0) || (lost > 0) != (reported > 0) || reported < lost)
            fail_msg("shot %zu of seed 10000: %zu frames lost, %zu reported, holdable %d", round, lost, reported,
                     holdable);
        held += holdable && r.key_count > 1;
        moving += r.moving;
        tw_arena_free(&arena);
    }
    print_message("%zu random shots: %zu move, %zu of them hold everything\n", rounds, moving, held);
    assert_true(held > rounds / 20);
}

/* ---- odd jobs -------------------------------------------------------------------------------------------- */

static const tw_path_box odd_boxes[][3] = {
    {{100, 100, 300, 300}, {100, 100, 300, 300}, {100, 100, 300, 300}},
    {{-500, -500, -100, -100}, {-500, 0, -1, 10}, {9000, 0, 9100, 10}},      /* outside the source */
    {{50, 50, 50, 80}, {50, 80, 80, 80}, {90, 80, 50, 90}},                  /* no size */
    {{NAN, 0, 10, 10}, {0, 0, INFINITY, NAN}, {-INFINITY, 0, INFINITY, 10}}, /* not numbers */
    {{-50, -50, 9999, 9999}, {0, 0, 5760, 4320}, {0, 0, 10, 4320}},          /* larger than any window */
    {{0, 0, 40, 40}, {5700, 4000, 5760, 4320}, {0, 0, 40, 40}},              /* from corner to corner */
};

static void check_sound(const tw_path_job *job, const tw_path_result *r)
{
    assert_true(r->key_count >= 1);
    lost_frames(job, r);
    assert_true(isfinite(r->peak_speed) && isfinite(r->peak_accel));
    for (size_t i = 0; i < r->compromise_count; i++) {
        const tw_path_compromise *c = &r->compromises[i];
        assert_true(isfinite(c->px) && c->px >= 0 && c->frames > 0 && c->frames <= job->frames);
        assert_true(c->first >= job->first_frame && c->first < job->first_frame + job->frames);
        assert_true(c->region == SIZE_MAX || c->region < job->region_count);
    }
}

static void odd_jobs(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    static const tw_size sizes[] = {{5760, 4320}, {1080, 1920}, {1, 1}, {3, 100000}, {640, 480}, {1000000, 1000000}};
    static const double weights[] = {1, 0, -3, 1e300};
    for (size_t row = 0; row < 6 * 6 * 6 * 4 * 3 * 2; row++) {
        size_t left = row;
        tw_path_region region = {.must = left % 2 == 0, .weight = weights[left / 2 % 4], .detector = left % 3 == 0};
        left /= 8;
        region.boxes = odd_boxes[left % 6];
        tw_path_job job = {.first_frame = -1, .regions = &region, .region_count = left / 6 % 7 > 0, .squeeze = 1};
        job.source = sizes[left / 6 % 6];
        job.delivery = sizes[left / 36 % 6];
        job.frames = 1 + (int64_t)(row % 3);
        job.moves = (tw_path_moves)(row / 5 % 3);
        job.subject_fill = row % 7 == 0 ? 0.5 : row % 7 == 1 ? 99 : 0;
        job.zoom = row % 2 == 0;
        job.inset = row % 5 == 0 ? (tw_inset){0.49, 0.49, 0.49, 0.49} : (tw_inset){.left = 0.1};
        tw_path_result r;
        tw_row(row, "odd job");
        tw_path_solve(arena, &job, &r);
        check_sound(&job, &r);
    }
}

/* Ten million frames: bounded work and memory. */
static void endless_shot(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_path_job job = {.frames = 10000000, .fps = 25, .source = {5760, 4320}, .delivery = {1080, 1920}, .squeeze = 1};
    tw_path_result r;
    job.max_scale = 1;
    tw_path_solve(arena, &job, &r);
    assert_int_equal(r.key_count, 1);
    assert_int_equal(r.reason, TW_PATH_CENTRED);
    tw_path_box *boxes = TW_NEW_N(arena, tw_path_box, 200000);
    for (size_t t = 0; t < 200000; t++) {
        double x = 2880 + 2000 * sin((double)t / 1500);
        boxes[t] = (tw_path_box){x - 100, 1000, x + 100, 2000};
    }
    tw_path_region region = {.boxes = boxes, .must = true, .weight = 1};
    job.frames = 200000;
    job.regions = &region;
    job.region_count = 1;
    tw_path_solve(arena, &job, &r);
    assert_true(r.moving);
    assert_int_equal(lost_frames(&job, &r), 0);
}

/* ---- by hand --------------------------------------------------------------------------------------------- */

/* The hand's windows, frame for frame, and a solved, sound path around them. */
static void hand_windows(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    const tw_key moving[] = {{100, 2000, 2160, 2430, 0}, {140, 3000, 2160, 2430, 10}, {190, 2500, 2000, 2000, 10}};
    const tw_key still[] = {{0, 1500, 2160, 1800, 0}};
    static const struct {
        const char *name;
        int64_t from, to;
        bool moving;
    } rows[] = {
        {"all", -5, 400, true},          {"middle", 100, 180, true},    {"start", 0, 60, false},
        {"end", 250, 300, false},        {"one frame", 50, 51, true},   {"still", 120, 150, false},
        {"in a corner", 136, 144, true}, {"nearly all", 2, 297, false},
    };
    tw_path_job job;
    motion_job(arena, 1, &job);
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_row(i, rows[i].name);
        tw_path_hand hand = {rows[i].from, rows[i].to, rows[i].moving ? moving : still, rows[i].moving ? 3 : 1};
        tw_path_result r;
        job.hands = &hand;
        job.hand_count = 1;
        tw_path_solve(arena, &job, &r);
        check_sound(&job, &r);
        assert_int_equal(r.reason, TW_PATH_HAND);
        for (int64_t t = rows[i].from > 0 ? rows[i].from : 0; t < rows[i].to && t < 300; t++) {
            tw_key own = tw_path_at(hand.keys, hand.key_count, (double)t),
                   got = tw_path_at(r.keys, r.key_count, (double)t);
            tw_assert_near(got.cx, own.cx, 0.002);
            tw_assert_near(got.cy, own.cy, 0.002);
            tw_assert_near(got.w, own.w, 0.002);
        }
        for (int64_t t = 1; t < 300; t++) { /* nothing jumps */
            tw_key a = tw_path_at(r.keys, r.key_count, (double)t - 1), b = tw_path_at(r.keys, r.key_count, (double)t);
            assert_true(fabs(a.cx - b.cx) < 200 && fabs(a.w - b.w) < 200);
        }
    }
}

/* Someone walks towards the camera: the window widens with them, by two shared keyframes, and holds them. */
static void walk_towards_camera(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_path_box boxes[300];
    for (size_t t = 0; t < 300; t++) {
        double size = 500 + 3 * (double)t, x = 2400 + 2 * (double)t;
        boxes[t] = (tw_path_box){x - size / 4, 2000 - size / 2, x + size / 4, 2000 + size / 2};
    }
    tw_path_region region = {.boxes = boxes, .must = true, .weight = 1};
    tw_path_job job = {.frames = 300, .fps = 25, .source = {5760, 4320}, .delivery = {1080, 1080}, .squeeze = 1};
    job.max_scale = 1;
    job.inset = (tw_inset){0.05, 0.05, 0.05, 0.05};
    job.regions = &region;
    job.region_count = 1;
    job.subject_fill = 0.4;
    job.zoom = true;
    tw_path_result r;
    tw_path_solve(arena, &job, &r);
    check_sound(&job, &r);
    assert_int_equal(lost_frames(&job, &r), 0);
    assert_true(r.key_count >= 2 && r.key_count <= 4);
    assert_true(r.keys[r.key_count - 1].w > r.keys[0].w + 500);
    job.zoom = false;
    tw_path_solve(arena, &job, &r);
    for (size_t i = 1; i < r.key_count; i++)
        tw_assert_near(r.keys[i].w, r.keys[0].w, 0);
}

TW_SUITE(solve)
{
    const struct CMUnitTest tests[] = {TW_TEST(twelve_motions), TW_TEST(random_shots), TW_TEST(odd_jobs),
                                       TW_TEST(endless_shot),   TW_TEST(hand_windows), TW_TEST(walk_towards_camera)};
    return tw_run("path/solve", tests);
}
