/* SPDX-License-Identifier: Apache-2.0 */
#include "path/sound.h"

#include "path/hand.h"
#include "support/support.h"

#define FRAMES 200

static double wave(double t, double period, double phase)
{
    return sin(6.28318530717958648 * t / period + phase);
}

/* A pan of constant speed is no shake; a tremor of 5 frames is nearly all of it, but at the ends, which stay. */
static void what_is_shake(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_path_offset movement[FRAMES], shake[FRAMES];
    for (size_t t = 0; t < FRAMES; t++)
        movement[t] = (tw_path_offset){3.5 * (double)t, 100 - (double)t};
    tw_path_shake(arena, movement, FRAMES, 12, shake);
    for (size_t t = 0; t < FRAMES; t++)
        assert_true(fabs(shake[t].x) < 1e-9 && fabs(shake[t].y) < 1e-9);
    for (size_t t = 0; t < FRAMES; t++)
        movement[t].y += 8 * wave((double)t, 5, 0);
    tw_path_shake(arena, movement, FRAMES, 12, shake);
    tw_assert_near(shake[0].y, 0, 1e-9);
    tw_assert_near(shake[FRAMES - 1].y, 0, 1e-9);
    for (size_t t = 24; t < FRAMES - 24; t++) /* 25 frames are 5 whole waves: their mean is 0 */
        tw_assert_near(shake[t].y, 8 * wave((double)t, 5, 0), 1e-9);
    tw_path_shake(arena, movement, 1, 12, shake);
    tw_assert_near(shake[0].y, 0, 0);
}

typedef struct shot {
    tw_path_box boxes[FRAMES];
    tw_path_offset shake[FRAMES];
    tw_path_region region;
    tw_path_job job;
} shot;

/* Something that trembles in the picture because the camera does, `size` px wide, from x[0] to x[1]. */
static void shaken(shot *s, double size, double height, const double x[2], double amount)
{
    for (size_t t = 0; t < FRAMES; t++) {
        double at = x[0] + (x[1] - x[0]) * (double)t / (FRAMES - 1), end = fmin((double)t, FRAMES - 1.0 - (double)t);
        s->shake[t] = (tw_path_offset){amount * fmin(end / 10, 1) * wave((double)t, 7, 0.3),
                                       amount / 2 * fmin(end / 10, 1) * wave((double)t, 4.5, 1)};
        double cx = at + s->shake[t].x, cy = 2100 + s->shake[t].y;
        s->boxes[t] = (tw_path_box){cx - size / 2, cy - height / 2, cx + size / 2, cy + height / 2};
    }
    s->region = (tw_path_region){.boxes = s->boxes, .must = true, .weight = 1};
    s->job = job_of(&s->region, 1, FRAMES);
    s->job.shake = s->shake;
}

/* The window of a still shot goes along with the picture: without the shake it is one place. 4320 rows less 15 at the
 * top and the bottom for 14.x of them leave 4290, a window 2413.125 wide. */
static void the_picture_stands(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    shot s;
    tw_path_result r;
    shaken(&s, 600, 1200, (double[2]){2600, 2600}, 29);
    tw_path_solve(arena, &s.job, &r);
    check_sound(&s.job, &r);
    assert_int_equal(lost_frames(&s.job, &r), 0);
    assert_int_equal(r.reason, TW_PATH_STILL);
    tw_assert_near(r.steadied, 1, 0);
    assert_true(r.steady_px > 25 && r.steady_px <= 29);
    tw_assert_near(r.peak_speed, 0, 1e-9);
    tw_key first = tw_path_at(r.keys, r.key_count, 0);
    tw_assert_near(first.w, 2413.125, 0.0005);
    for (size_t t = 0; t < FRAMES; t++) {
        tw_key key = tw_path_at(r.keys, r.key_count, (double)t);
        tw_assert_near(key.cx - s.shake[t].x, first.cx, 0.002);
        tw_assert_near(key.cy - s.shake[t].y, first.cy, 0.002);
        tw_assert_near(key.w, first.w, 0);
    }
    /* The room up and down is what steadying takes: all of it, but for whole pixels. */
    assert_true(r.steady_margin > 0.9 && r.steady_margin <= 1);
}

/* A subject that fills the window, or a picture that may not be enlarged further, leaves less room or none. */
static void gives_way_to_promises(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    static const struct {
        const char *name;
        double width, height, scale, least, most;
    } rows[] = {
        {"room for all", 600, 1200, 1, 1, 1},
        {"as wide as the window", 2425, 1200, 1, 0, 0.25},
        {"nearly as wide", 2418, 1200, 1, 0.5, 0.5},
        {"at its limit of scale", 600, 1200, 1080.0 / 2430, 0, 0},
        {"near its limit of scale", 600, 1200, 1080.0 / 2420, 0.25, 0.75},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_row(i, rows[i].name);
        shot s;
        tw_path_result r;
        shaken(&s, rows[i].width, rows[i].height, (double[2]){2700, 2700}, 29);
        s.job.max_scale = rows[i].scale;
        tw_path_solve(arena, &s.job, &r);
        check_sound(&s.job, &r);
        assert_int_equal(lost_frames(&s.job, &r), 0);
        assert_true(r.steadied >= rows[i].least && r.steadied <= rows[i].most);
        bool told = false;
        for (size_t c = 0; c < r.compromise_count; c++) {
            told = told || r.compromises[c].what == TW_YIELD_STEADY;
            assert_true(r.compromises[c].what != TW_YIELD_SCALE);
        }
        assert_int_equal(told, r.steadied < 1);
    }
}

/* A window set by hand is never overruled: the shake stays, and that is said. */
static void beside_a_hand(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    shot s;
    tw_path_result r;
    shaken(&s, 600, 1200, (double[2]){2600, 2600}, 29);
    tw_path_solve(arena, &s.job, &r);
    assert_int_equal(r.shaken, TW_SHAKEN_NOT);
    tw_key key = {0, 2600, 2160, 2430, 0};
    const tw_path_hand hand = {.from = 0, .to = 20, .keys = &key, .key_count = 1};
    s.job.hands = &hand;
    s.job.hand_count = 1;
    tw_path_solve(arena, &s.job, &r);
    tw_assert_near(r.steadied, 0, 0);
    assert_int_equal(r.shaken, TW_SHAKEN_HAND);
}

/* Random shots, steadied: nothing shows an edge, and no must region loses a frame that it keeps without. */
static void random_shakes(void **state)
{
    tw_rng rng = {70};
    size_t steadied = 0, rounds = random_rounds(1000);
    (void)state;
    for (size_t round = 0; round < rounds; round++) {
        tw_arena *arena = tw_arena_new(NULL, NULL);
        static const tw_size deliveries[] = {{1080, 1920}, {1080, 1080}, {1920, 1080}, {1920, 803}};
        shot s;
        tw_path_result plain, r;
        tw_row(round, "random shake of seed 70");
        shaken(&s, 200 + 2600 * tw_rng_unit(&rng), 200 + 4000 * tw_rng_unit(&rng),
               (double[2]){5760 * tw_rng_unit(&rng), 5760 * tw_rng_unit(&rng)}, 60 * tw_rng_unit(&rng));
        s.job.delivery = deliveries[tw_rng_between(&rng, 0, 3)];
        s.job.first_frame = tw_rng_between(&rng, -9, 9);
        s.job.zoom = tw_rng_between(&rng, 0, 3) == 0;
        s.job.subject_fill = tw_rng_between(&rng, 0, 1) ? 0.6 : 0;
        s.job.inset = (tw_inset){0.05, 0.05, 0.05, 0.05};
        s.job.moves = (tw_path_moves)tw_rng_between(&rng, 0, 2);
        tw_path_solve(arena, &s.job, &r);
        check_sound(&s.job, &r);
        s.job.shake = NULL;
        tw_path_solve(arena, &s.job, &plain);
        assert_true(lost_frames(&s.job, &r) <= lost_frames(&s.job, &plain));
        tw_assert_near(plain.steadied, 0, 0);
        steadied += r.steadied > 0;
        tw_arena_free(&arena);
    }
    print_message("%zu random shots that shake: %zu steadied\n", rounds, steadied);
    assert_true(steadied > rounds / 3);
}

TW_SUITE(steady)
{
    const struct CMUnitTest tests[] = {TW_TEST(what_is_shake), TW_TEST(beside_a_hand), TW_TEST(the_picture_stands),
                                       TW_TEST(gives_way_to_promises), TW_TEST(random_shakes)};
    return tw_run("path/steady", tests);
}
