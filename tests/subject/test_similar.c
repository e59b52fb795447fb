/* SPDX-License-Identifier: Apache-2.0 */
#include "subject/subject_internal.h"
#include "support/support.h"

#include <math.h>

/* Sixty points moved by a known similarity with a little noise, forty that go elsewhere together. */
static void the_majority_is_found(void **state)
{
    const twi_similar made = {1.02 * 0.9988, 1.02 * 0.0499, 7, -3};
    twi_point points[100];
    tw_rng rng = {11};
    twi_similar s;
    (void)state;
    for (int i = 0; i < 100; i++) {
        double x = 400 * tw_rng_unit(&rng), y = 300 * tw_rng_unit(&rng), nx = tw_rng_unit(&rng) - 0.5,
               ny = tw_rng_unit(&rng) - 0.5;
        double u = made.a * x - made.b * y + made.c + 0.2 * nx, v = made.b * x + made.a * y + made.d + 0.2 * ny;
        if (i >= 60) {
            u = x - 12;
            v = y + 9 * nx;
        }
        points[i] = (twi_point){(float)x, (float)y, (float)u, (float)v, 1};
    }
    tw_assert_near(twi_similar_fit(points, 100, 1, 1, &s), 0.6, 0.03);
    tw_assert_near(s.a, made.a, 2e-4);
    tw_assert_near(s.b, made.b, 2e-4);
    tw_assert_near(s.a * 200 - s.b * 150 + s.c, made.a * 200 - made.b * 150 + made.c, 0.03);
    tw_assert_near(s.b * 200 + s.a * 150 + s.d, made.b * 200 + made.a * 150 + made.d, 0.03);
    assert_true(points[0].weight > 0 && points[99].weight == 0);
}

static void too_few_say_nothing(void **state)
{
    twi_point points[2] = {{0, 0, 1, 1, 1}, {9, 9, 10, 10, 1}};
    twi_similar s;
    (void)state;
    assert_true(twi_similar_fit(points, 2, 1, 1, &s) == 0);
    points[0].weight = points[1].weight = 0;
    assert_true(twi_similar_fit(points, 2, 1, 1, &s) == 0);
}

TW_SUITE(similar)
{
    const struct CMUnitTest tests[] = {
        TW_TEST(the_majority_is_found),
        TW_TEST(too_few_say_nothing),
    };
    return tw_run("subject/similar", tests);
}
