/* SPDX-License-Identifier: Apache-2.0 */
#include "support/support.h"

#include <math.h>

#include "subject/subject_internal.h"

#define W 640
#define H 360

/* A textured world that can be looked at from anywhere: noise on a grid of 16 pixels, linear between. */
static double world(double x, double y, uint64_t seed)
{
    const double u = x / 16, v = y / 16, i = floor(u), j = floor(v);
    double corner[4];
    for (int k = 0; k < 4; k++) {
        tw_rng rng = {seed + (uint64_t)(int64_t)(i + k % 2) * 7919 + (uint64_t)(int64_t)(j + k / 2) * 104729};
        corner[k] = (double)tw_rng_between(&rng, 40, 215);
    }
    const double fx = u - i, fy = v - j;
    return (corner[0] * (1 - fx) + corner[1] * fx) * (1 - fy) + (corner[2] * (1 - fx) + corner[3] * fx) * fy;
}

typedef struct scene {
    double pan_x, pan_y; /* of the camera, pixels a frame */
    double x, y, vx, vy,
        size; /* the subject in the first frame, its own movement in the picture; none when size is 0 */
    int noise;
} scene;

static void draw(uint8_t *px, const scene *s, int frame)
{
    tw_rng rng = {(uint64_t)frame + 99};
    for (int y = 0; y < H; y++) {
        for (int x = 0; x < W; x++) {
            const double u = x - s->x - s->vx * frame, v = y - s->y - s->vy * frame;
            const bool subject = u >= 0 && v >= 0 && u < s->size && v < s->size;
            const double value = (subject ? world(u, v, 5) : world(x + s->pan_x * frame, y + s->pan_y * frame, 1)) +
                                 (double)tw_rng_between(&rng, -s->noise, s->noise);
            px[y * W + x] = (uint8_t)(value < 0 ? 0 : value > 255 ? 255 : value);
        }
    }
}

static size_t look(tw_arena *arena, const scene *s, tw_spot *out, size_t most)
{
    tw_pyramid p[3];
    for (int i = 0; i < 3; i++) {
        uint8_t *px = TW_NEW_N(arena, uint8_t, W * H);
        draw(px, s, i);
        tw_pyramid_init(arena, W, H, &p[i]);
        tw_pyramid_fill(&p[i], &(tw_plane){px, W, H, W});
    }
    const tw_camera camera = {-s->pan_x, -s->pan_y, 0, 1, 1}; /* the picture goes against the camera */
    twi_moving *moving = twi_moving_new(arena, &p[0]);
    return twi_moving_areas(moving, &(twi_moving_frames){&p[0], &p[1], &p[2], camera, camera}, most, out);
}

static void what_moves_is_boxed_whatever_the_camera_does(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    static const struct {
        const char *name;
        scene scene;
    } rows[] = {
        {"camera still", {0, 0, 200, 120, 5, 2, 80, 0}},
        {"noise", {0, 0, 200, 120, 5, 2, 80, 12}},
        {"pan", {9, 0, 300, 100, 1, 3, 90, 4}},
        {"panned with the subject", {12, 4, 280, 140, 0, 0, 100, 4}},
        {"fractions of pixels", {3.4, -1.7, 100, 60, 4, 4, 70, 4}},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_row(i, rows[i].name);
        const scene *s = &rows[i].scene;
        tw_spot spot[4];
        assert_true(look(arena, s, spot, 4) >= 1);
        tw_assert_near(spot[0].left, s->x + s->vx, 12); /* cells of 8 pixels and what shines through at the edges */
        tw_assert_near(spot[0].top, s->y + s->vy, 12);
        tw_assert_near(spot[0].left + spot[0].width, s->x + s->vx + s->size, 12);
        tw_assert_near(spot[0].top + spot[0].height, s->y + s->vy + s->size, 12);
        assert_true(spot[0].sure > 0.9); /* nearly nothing else moves */
    }
}

static void nothing_moves_but_the_camera(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    static const scene rows[] = {{0, 0, 0, 0, 0, 0, 0, 0}, {0, 0, 0, 0, 0, 0, 0, 15}, {7.5, -3.2, 0, 0, 0, 0, 0, 6}};
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_row(i, "noise and pan");
        tw_spot spot[4];
        assert_int_equal(look(arena, &rows[i], spot, 4), 0);
    }
}

TW_SUITE(moving)
{
    const struct CMUnitTest tests[] = {TW_TEST(what_moves_is_boxed_whatever_the_camera_does),
                                       TW_TEST(nothing_moves_but_the_camera)};
    return tw_run("subject/moving", tests);
}
