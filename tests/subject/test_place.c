/* SPDX-License-Identifier: Apache-2.0 */
#include "film.h"
#include "subject/subject_internal.h"

#include <math.h>

static void a_frame(void **state, tw_pyramid *p, film_truth *truth)
{
    tw_arena *arena = tw_test_arena(state);
    uint8_t *px = TW_NEW_N(arena, uint8_t, FILM_W * FILM_H);
    film_draw(film_new(arena, &film_kinds[0], 4), 0, px, truth);
    tw_pyramid_init(arena, FILM_W, FILM_H, p);
    tw_pyramid_fill(p, &(tw_plane){px, FILM_W, FILM_H, FILM_W});
}

#define STEP 2.0 /* pixels from one sample to the next */

/* Trained in one place and looked for from another, the filter points back: to a pixel and a half. */
static void it_points_to_what_it_was_taught(void **state)
{
    static const int shifts[][2] = {{0, 0}, {4, 0}, {-9, 6}, {17, -13}, {-30, 0}};
    tw_pyramid p;
    film_truth t;
    a_frame(state, &p, &t);
    twi_place *place = twi_place_new(tw_test_arena(state));
    twi_view view = {t.left + t.width / 2, t.top + t.height / 2, STEP, 1, 1, 0};
    twi_place_learn(place, &p, &view, 1);
    for (size_t i = 0; i < sizeof shifts / sizeof shifts[0]; i++) {
        twi_view off = view;
        off.x += shifts[i][0];
        off.y += shifts[i][1];
        twi_peak peak = twi_place_find(place, &p, &off);
        tw_row(i, "shift");
        tw_assert_near(peak.x, -shifts[i][0] / STEP, i == 0 ? 0.05 : 1.5 / STEP);
        tw_assert_near(peak.y, -shifts[i][1] / STEP, i == 0 ? 0.05 : 1.5 / STEP);
        assert_true(peak.clear > 8);
    }
}

static void elsewhere_it_sees_nothing(void **state)
{
    tw_pyramid p;
    film_truth t;
    a_frame(state, &p, &t);
    twi_place *place = twi_place_new(tw_test_arena(state));
    twi_view view = {t.left + t.width / 2, t.top + t.height / 2, STEP, 1, 1, 0}, away = view;
    away.x += view.x > FILM_W / 2.0 ? -170 : 170;
    twi_place_learn(place, &p, &view, 1);
    twi_peak here = twi_place_find(place, &p, &view), there = twi_place_find(place, &p, &away);
    assert_true(there.height < 0.3 * here.height);
}

/* Lessons on something else are forgotten on demand. */
static void what_was_learnt_of_late_is_forgotten(void **state)
{
    tw_pyramid p;
    film_truth t;
    a_frame(state, &p, &t);
    twi_place *place = twi_place_new(tw_test_arena(state));
    twi_view view = {t.left + t.width / 2, t.top + t.height / 2, STEP, 1, 1, 0}, away = view;
    away.x += view.x > FILM_W / 2.0 ? -170 : 170;
    for (int i = 0; i <= TWI_RECALL; i++)
        twi_place_learn(place, &p, &view, i > 0 ? 0.1 : 1);
    double before = twi_place_find(place, &p, &view).height;
    for (int i = 0; i < TWI_RECALL - 2; i++)
        twi_place_learn(place, &p, &away, 0.1);
    assert_true(twi_place_find(place, &p, &view).height < 0.8 * before);
    twi_place_recall(place);
    assert_true(twi_place_find(place, &p, &view).height > 0.95 * before);
}

TW_SUITE(place)
{
    const struct CMUnitTest tests[] = {
        TW_TEST(it_points_to_what_it_was_taught),
        TW_TEST(elsewhere_it_sees_nothing),
        TW_TEST(what_was_learnt_of_late_is_forgotten),
    };
    return tw_run("subject/place", tests);
}
