/* SPDX-License-Identifier: Apache-2.0 */
#include "film.h"

#include <math.h>

/* The worst error of the estimate over a film, in pixels where the error is largest: half the diagonal away from the
 * centre (275 pixels) a turn or growth of 0.001 is 0.28 pixels. */
static double worst(tw_arena *arena, const film_kind *kind, int frames)
{
    film *made = film_new(arena, kind, 2);
    tw_pyramid p[2];
    uint8_t *px[2];
    double worst = 0;
    for (int i = 0; i < 2; i++) {
        px[i] = TW_NEW_N(arena, uint8_t, FILM_W * FILM_H);
        tw_pyramid_init(arena, FILM_W, FILM_H, &p[i]);
    }
    for (int t = 0; t < frames; t++) {
        film_truth truth;
        film_draw(made, t, px[t & 1], &truth);
        tw_pyramid_fill(&p[t & 1], &(tw_plane){px[t & 1], FILM_W, FILM_H, FILM_W});
        if (t == 0)
            continue;
        tw_camera c = tw_camera_between(&p[!(t & 1)], &p[t & 1], NULL, 0);
        double x[2] = {0, 0}, y[2] = {0, 0};
        tw_camera_point(&c, FILM_W, FILM_H, &x[0], &y[0]);
        tw_camera_point(&truth.camera, FILM_W, FILM_H, &x[1], &y[1]);
        worst = fmax(worst, hypot(x[0] - x[1], y[0] - y[1]));
        worst = fmax(worst, hypot(c.dx - truth.camera.dx, c.dy - truth.camera.dy));
    }
    return worst;
}

static void the_camera_is_told_from_the_subject(void **state)
{
    static const struct row {
        film_kind kind;
        double most; /* pixels, in the corner of the picture */
    } rows[] = {
        {{.name = "still", .grow = 1, .speed = 0.25}, 0.1},
        {{.name = "hand", .grow = 1, .shake = 5, .speed = 0.25}, 0.15},
        {{.name = "pan", .grow = 1, .pan = 6, .speed = 0.25}, 0.15},
        {{.name = "noisy hand", .grow = 1, .shake = 5, .noise = 10, .speed = 0.25}, 0.5},
        {{.name = "light", .grow = 1, .shake = 3, .light = 0.3, .speed = 0.25}, 0.2},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_row(i, rows[i].kind.name);
        double got = worst(tw_test_arena(state), &rows[i].kind, tw_test_short() ? 4 : 24);
        tw_assert_near(got, 0, rows[i].most);
    }
}

static void taken_back_it_is_undone(void **state)
{
    const tw_camera c = {12, -7, 0.06, 1.05, 0.8};
    tw_camera back = tw_camera_inverse(&c);
    double x = 37, y = 190;
    (void)state;
    tw_camera_point(&c, FILM_W, FILM_H, &x, &y);
    tw_camera_point(&back, FILM_W, FILM_H, &x, &y);
    tw_assert_near(x, 37, 1e-6);
    tw_assert_near(y, 190, 1e-6);
}

/* A quarter of pi up from the middle's right: dx + s cos, dy + s sin, by hand. */
static void a_point_goes_where_the_numbers_say(void **state)
{
    const tw_camera c = {3, 4, 0.5, 2, 1};
    double x = 100 + 10, y = 50;
    (void)state;
    tw_camera_point(&c, 200, 100, &x, &y);
    tw_assert_near(x, 103 + 20 * cos(0.5), 1e-6);
    tw_assert_near(y, 54 + 20 * sin(0.5), 1e-6);
}

TW_SUITE(camera)
{
    const struct CMUnitTest tests[] = {
        TW_TEST(the_camera_is_told_from_the_subject),
        TW_TEST(taken_back_it_is_undone),
        TW_TEST(a_point_goes_where_the_numbers_say),
    };
    return tw_run("subject/camera", tests);
}
