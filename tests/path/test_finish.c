/* SPDX-License-Identifier: Apache-2.0 */
#include "path/path_internal.h"

#include "support/support.h"

#include "path/hand.h"

/* Written with three decimals of left, top and width, inside the source. */
static void three_decimals(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_path_job job = job_of(NULL, 0, 1);
    twi_scene scene;
    twi_scene_init(arena, &job, &scene);
    tw_key key = twi_path_key(&scene, 7, (double[]){2000.12345678, 9999, 2000.98765}, 3);
    tw_assert_near(key.w, 2000.988, 1e-12);
    tw_assert_near((key.cx - key.w / 2) * 1000, floor((key.cx - key.w / 2) * 1000 + 0.5), 1e-6);
    tw_window win = tw_geom_key_window(key, 1, job.delivery);
    assert_true(tw_geom_inside(win, job.source, 1e-9));
    assert_true(win.y + win.h > 4320 - 0.002);
    key = twi_path_key(&scene, 7, (double[]){-50, 0, 99999}, 3);
    tw_assert_near(key.w, 2430, 0);
    tw_assert_near(key.cx, 1215, 0);
}

/* (5760 - 1842.217) / 2 = 1958.8915: what a sum leaves in the last bits does not decide which thousandth it is. */
static void half_way(void **state)
{
    tw_path_job job = job_of(NULL, 0, 1);
    twi_scene scene;
    twi_scene_init(tw_test_arena(state), &job, &scene);
    for (int bit = -1; bit <= 1; bit++) {
        tw_key key = twi_path_key(&scene, 0, (double[]){2880 + bit * 1e-12, 2160, 1842.217}, 0);
        tw_assert_near(key.cx - key.w / 2, 1958.891, 1e-9);
    }
}

TW_SUITE(finish)
{
    const struct CMUnitTest tests[] = {TW_TEST(three_decimals), TW_TEST(half_way)};
    return tw_run("path/finish", tests);
}
