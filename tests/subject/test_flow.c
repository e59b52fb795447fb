/* SPDX-License-Identifier: Apache-2.0 */
#include "film.h"
#include "subject/subject_internal.h"

#include <math.h>

/* The background of a film that pans four pixels a frame: corners are found in every field and go along. */
static void corners_go_with_the_picture(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    const film_kind kind = {.name = "pan", .grow = 1, .pan = 4, .speed = 0.01};
    film *made = film_new(arena, &kind, 5);
    tw_pyramid p[2];
    film_truth truth;
    for (int i = 0; i < 2; i++) {
        uint8_t *px = TW_NEW_N(arena, uint8_t, FILM_W * FILM_H);
        film_draw(made, i, px, &truth);
        tw_pyramid_init(arena, FILM_W, FILM_H, &p[i]);
        tw_pyramid_fill(&p[i], &(tw_plane){px, FILM_W, FILM_H, FILM_W});
    }
    twi_point points[24];
    size_t found = twi_corners(&p[0], 0, (double[]){20, 10, 120, 80}, 6, 4, 1, points), followed = 0;
    assert_int_equal(found, 24);
    twi_flow(&p[0], &p[1], 3, 0, points, found);
    for (size_t i = 0; i < found; i++) {
        if (!(points[i].weight > 0) || points[i].u < 6)
            continue;
        followed++;
        tw_assert_near(points[i].u - points[i].x, -4, 0.15);
        tw_assert_near(points[i].v - points[i].y, 0, 0.15);
    }
    assert_in_range(followed, 16, 24);
}

static void nothing_is_found_in_nothing(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    uint8_t *px = TW_NEW_N(arena, uint8_t, 64 * 64);
    tw_pyramid p;
    tw_pyramid_init(arena, 64, 64, &p);
    tw_pyramid_fill(&p, &(tw_plane){px, 64, 64, 64});
    twi_point points[4], lost = {30, 30, 30, 30, 1};
    assert_int_equal(twi_corners(&p, 0, (double[]){0, 0, 64, 64}, 2, 2, 1, points), 0);
    twi_flow(&p, &p, 1, 0, &lost, 1);
    assert_true(lost.weight == 0);
}

TW_SUITE(flow)
{
    const struct CMUnitTest tests[] = {
        TW_TEST(corners_go_with_the_picture),
        TW_TEST(nothing_is_found_in_nothing),
    };
    return tw_run("subject/flow", tests);
}
