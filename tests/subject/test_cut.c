/* SPDX-License-Identifier: Apache-2.0 */
#include "film.h"

#include <string.h>

static void fill(tw_arena *arena, film *made, int t, tw_pyramid *p)
{
    uint8_t *px = TW_NEW_N(arena, uint8_t, FILM_W * FILM_H);
    film_truth truth;
    film_draw(made, t, px, &truth);
    tw_pyramid_init(arena, FILM_W, FILM_H, p);
    tw_pyramid_fill(p, &(tw_plane){px, FILM_W, FILM_H, FILM_W});
}

static void films_hold_no_cut_and_two_films_do(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    for (size_t k = 0; k < film_kind_count; k++) {
        film *made = film_new(arena, &film_kinds[k], k + 1), *other = film_new(arena, &film_kinds[k], k + 100);
        tw_pyramid a, b, c;
        tw_row(k, film_kinds[k].name);
        fill(arena, made, 7, &a);
        fill(arena, made, 8, &b);
        fill(arena, other, 8, &c);
        assert_false(tw_cut_between(&a, &b));
        assert_true(tw_cut_between(&a, &c));
    }
}

/* A flash: twice as bright for a frame, with the brightest parts burnt out. */
static void a_flash_and_black_are_no_cut(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_pyramid a, b;
    fill(arena, film_new(arena, &film_kinds[0], 1), 0, &a);
    fill(arena, film_new(arena, &film_kinds[0], 1), 1, &b);
    uint8_t *px = TW_NEW_N(arena, uint8_t, FILM_W * FILM_H);
    for (size_t i = 0; i < (size_t)FILM_W * FILM_H; i++)
        px[i] = (uint8_t)(b.level[0].px[i] < 120 ? b.level[0].px[i] * 2 : 240);
    tw_pyramid_fill(&b, &(tw_plane){px, FILM_W, FILM_H, FILM_W});
    assert_false(tw_cut_between(&a, &b));
    memset(px, 16, (size_t)FILM_W * FILM_H);
    tw_pyramid_fill(&b, &(tw_plane){px, FILM_W, FILM_H, FILM_W});
    assert_false(tw_cut_between(&a, &b));
}

TW_SUITE(cut)
{
    const struct CMUnitTest tests[] = {
        TW_TEST(films_hold_no_cut_and_two_films_do),
        TW_TEST(a_flash_and_black_are_no_cut),
    };
    return tw_run("subject/cut", tests);
}
