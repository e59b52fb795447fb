/* SPDX-License-Identifier: Apache-2.0 */
#include "film.h"
#include "subject/subject_internal.h"

#include <math.h>

static void a_frame(void **state, tw_pyramid *p, twi_view *view)
{
    tw_arena *arena = tw_test_arena(state);
    uint8_t *px = TW_NEW_N(arena, uint8_t, FILM_W * FILM_H);
    film_truth t;
    film_draw(film_new(arena, &film_kinds[0], 6), 0, px, &t);
    tw_pyramid_init(arena, FILM_W, FILM_H, p);
    tw_pyramid_fill(p, &(tw_plane){px, FILM_W, FILM_H, FILM_W});
    *view = (twi_view){t.left + t.width / 2, t.top + t.height / 2, t.width / TWI_LADDER_VIEW, t.height / t.width, 1, 0};
}

/* A view a tenth too small finds the subject a tenth too large, to less than a step of the ladder, which is 0.025. */
static void sizes_are_told(void **state)
{
    static const double sizes[] = {0.9, 0.95, 1, 1.04, 1.1};
    tw_pyramid p;
    twi_view view;
    a_frame(state, &p, &view);
    twi_ladder *ladder = twi_ladder_new(tw_test_arena(state), false);
    twi_ladder_learn(ladder, &p, &view, 1);
    for (size_t i = 0; i < sizeof sizes / sizeof sizes[0]; i++) {
        twi_view other = view;
        other.step *= sizes[i];
        tw_row(i, "size");
        tw_assert_near(twi_ladder_find(ladder, &p, &other) * sizes[i], 1, 0.02);
    }
}

static void angles_are_told(void **state)
{
    static const double angles[] = {-0.25, -0.1, 0, 0.06, 0.2};
    tw_pyramid p;
    twi_view view;
    a_frame(state, &p, &view);
    twi_ladder *ladder = twi_ladder_new(tw_test_arena(state), true);
    twi_ladder_learn(ladder, &p, &view, 1);
    for (size_t i = 0; i < sizeof angles / sizeof angles[0]; i++) {
        twi_view other;
        twi_turned(&view, angles[i], &other);
        tw_row(i, "angle");
        tw_assert_near(twi_ladder_find(ladder, &p, &other), -angles[i], 0.03);
    }
}

TW_SUITE(ladder)
{
    const struct CMUnitTest tests[] = {
        TW_TEST(sizes_are_told),
        TW_TEST(angles_are_told),
    };
    return tw_run("subject/ladder", tests);
}
