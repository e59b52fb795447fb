/* SPDX-License-Identifier: Apache-2.0 */
#include "film.h"
#include "subject/subject_internal.h"

#include <string.h>

/* The subject walks off, the camera shaking; the place it comes to looks like ground before it is there and not when it
 * is. */
static void ground_is_known_again(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    const film_kind kind = {.name = "walk", .grow = 1, .shake = 3, .post = true, .speed = 0.3};
    film *made = film_new(arena, &kind, 3);
    uint8_t *px = TW_NEW_N(arena, uint8_t, FILM_W * FILM_H);
    tw_pyramid p;
    film_truth t;
    twi_past *past = twi_past_new(arena, FILM_W, FILM_H);
    tw_pyramid_init(arena, FILM_W, FILM_H, &p);
    for (int i = 0; i <= 40; i++) {
        film_draw(made, i, px, &t);
        tw_pyramid_fill(&p, &(tw_plane){px, FILM_W, FILM_H, FILM_W});
        if (i > 0)
            twi_past_step(past, &t.camera);
        tw_spot box = {t.left, t.top, t.width, t.height, 1};
        twi_past_keep(past, &p, &box);
        assert_false(twi_past_shows(past, &p, &box));
    }
    /* Beside the subject, where it has not been: ground then and now. */
    tw_spot ahead = {t.left, t.top + (t.top > FILM_H / 2.0 ? -100 : 100), t.width, t.height, 1};
    assert_true(twi_past_shows(past, &p, &ahead));
}

static void likeness_is_correlation(void **state)
{
    uint8_t a[64], b[64], c[64];
    (void)state;
    for (int i = 0; i < 64; i++) {
        a[i] = (uint8_t)(i * 37 % 101);
        b[i] = (uint8_t)(a[i] * 2 + 20); /* other light: the same */
        c[i] = (uint8_t)(220 - a[i]);    /* a negative */
    }
    tw_assert_near(twi_alike(a, b, 64, 1), 1, 1e-12);
    tw_assert_near(twi_alike(a, c, 64, 1), -1, 1e-12);
    memset(b, 7, sizeof b);
    tw_assert_near(twi_alike(a, b, 64, 1), 0, 0);
}

TW_SUITE(past)
{
    const struct CMUnitTest tests[] = {
        TW_TEST(ground_is_known_again),
        TW_TEST(likeness_is_correlation),
    };
    return tw_run("subject/past", tests);
}
