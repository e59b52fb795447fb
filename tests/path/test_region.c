/* SPDX-License-Identifier: Apache-2.0 */
#include <math.h>

#include "path/region.h"

#include "support/support.h"

static void clipping(void **state)
{
    (void)state;
    const tw_size source = {100, 50};
    static const struct {
        tw_path_box in, out;
        bool there;
    } rows[] = {
        {{-5, -5, 10, 10}, {0, 0, 10, 10}, true}, {{90, 40, 200, 200}, {90, 40, 100, 50}, true},
        {{100, 0, 120, 10}, {0, 0, 0, 0}, false}, {{5, 5, 5, 9}, {0, 0, 0, 0}, false},
        {{NAN, 0, 5, 5}, {0, 0, 0, 0}, false},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_row(i, "box");
        tw_path_box got = twi_box_clip(&rows[i].in, source);
        assert_int_equal(twi_box_there(&got), rows[i].there);
        tw_assert_near(got.left, rows[i].out.left, 0);
        tw_assert_near(got.right, rows[i].out.right, 0);
        tw_assert_near(got.bottom, rows[i].out.bottom, 0);
    }
}

/* A jump of one frame goes, a lasting move stays, jitter shrinks. */
static void filtering(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_path_box boxes[100];
    tw_rng rng = {9};
    for (size_t t = 0; t < 100; t++) {
        double x = (t >= 50 ? 400 : 100) + 20 * tw_rng_unit(&rng) + (t == 20 ? 500 : 0);
        boxes[t] = (tw_path_box){x, 100, x + 50, 200};
    }
    twi_region_filter(arena, boxes, 100, 25);
    for (size_t t = 8; t < 92; t++) {
        if (t >= 40 && t < 60)
            continue;
        tw_assert_near(boxes[t].left, t >= 50 ? 410 : 110, 8);
        tw_assert_near(boxes[t].right - boxes[t].left, 50, 1e-9);
    }
}

TW_SUITE(region)
{
    const struct CMUnitTest tests[] = {TW_TEST(clipping), TW_TEST(filtering)};
    return tw_run("path/region", tests);
}
