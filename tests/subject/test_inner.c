/* SPDX-License-Identifier: Apache-2.0 */
#include "film.h"
#include "subject/subject_internal.h"

#include <math.h>

/* The subject's own movement, from the points in its box, though the box holds background as well. */
static void the_subject_is_followed_and_not_the_ground(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    const film_kind kind = {.name = "pan", .grow = 1.5, .turn = 0.3, .pan = 3, .speed = 0.2};
    film *made = film_new(arena, &kind, 9);
    tw_pyramid p[2];
    film_truth t[2];
    for (int i = 0; i < 2; i++) {
        uint8_t *px = TW_NEW_N(arena, uint8_t, FILM_W * FILM_H);
        film_draw(made, 30 + i, px, &t[i]);
        tw_pyramid_init(arena, FILM_W, FILM_H, &p[i]);
        tw_pyramid_fill(&p[i], &(tw_plane){px, FILM_W, FILM_H, FILM_W});
    }
    tw_spot box = {t[0].left, t[0].top, t[0].width, t[0].height, 1};
    twi_move m = twi_inner(&p[0], &p[1], &box, 0, 0);
    tw_assert_near(m.x, t[1].left + t[1].width / 2, 0.3);
    tw_assert_near(m.y, t[1].top + t[1].height / 2, 0.3);
    /* size 1 + 0.25 (1 - cos(2 pi t / 120)), angle 0.3 sin(4 pi t / 120), from frame 30 to 31 */
    double a = 6.283185307179586 / FILM_FRAMES;
    tw_assert_near(m.grown, (1.25 - 0.25 * cos(31 * a)) / (1.25 - 0.25 * cos(30 * a)), 0.01);
    tw_assert_near(m.turn, 0.3 * (sin(62 * a) - sin(60 * a)), 0.01);
    assert_true(m.share > 0.6);
}

static void without_points_the_guess_stays(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    uint8_t *px = TW_NEW_N(arena, uint8_t, 64 * 64);
    tw_pyramid p;
    tw_pyramid_init(arena, 64, 64, &p);
    tw_pyramid_fill(&p, &(tw_plane){px, 64, 64, 64});
    twi_move m = twi_inner(&p, &p, &(tw_spot){20, 20, 10, 10, 1}, 2, 3);
    tw_assert_near(m.x, 27, 0);
    tw_assert_near(m.y, 28, 0);
    tw_assert_near(m.share, 0, 0);
    tw_assert_near(m.grown, 1, 0);
}

TW_SUITE(inner)
{
    const struct CMUnitTest tests[] = {
        TW_TEST(the_subject_is_followed_and_not_the_ground),
        TW_TEST(without_points_the_guess_stays),
    };
    return tw_run("subject/inner", tests);
}
