/* SPDX-License-Identifier: Apache-2.0 */
#include "path/path_internal.h"

#include "support/support.h"

#include "path/hand.h"

/* A region 3000 wide in a window of 2430 is cut by 570 at least; the report counts what the keys show. */
static void cuts_are_counted(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_path_box boxes[10];
    for (size_t t = 0; t < 10; t++)
        boxes[t] = t < 4 ? (tw_path_box){.left = 0} : (tw_path_box){1000, 1000, 4000, 2000};
    const tw_path_region region = {.boxes = boxes, .must = true, .weight = 1};
    tw_path_job job = job_of(&region, 1, 10);
    twi_scene scene;
    twi_scene_init(arena, &job, &scene);
    twi_scene_scale(&scene);
    job.first_frame = -2;
    tw_key key = {0, 2300, 2160, 2430, 0}; /* left edge 1085, right edge 3515 */
    tw_path_result r = {.keys = &key, .key_count = 1};
    twi_path_report(arena, &scene, &r);
    assert_int_equal(r.reason, TW_PATH_CUTS);
    assert_int_equal(r.compromise_count, 1);
    assert_int_equal(r.compromises[0].what, TW_YIELD_CUT);
    assert_int_equal(r.compromises[0].frames, 6);
    assert_int_equal(r.compromises[0].first, 2);
    assert_int_equal(r.compromises[0].side, 'r');
    tw_assert_near(r.compromises[0].px, 485, 1e-9);
}

static void speeds_are_measured(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_path_job job = job_of(NULL, 0, 100);
    twi_scene scene;
    twi_scene_init(arena, &job, &scene);
    twi_scene_scale(&scene);
    tw_key keys[] = {{20, 2000, 2160, 2430, 5}, {70, 3215, 2160, 2430, 5}}; /* half a width in two seconds */
    tw_path_result r = {.keys = keys, .key_count = 2, .reason = TW_PATH_MOVES};
    twi_path_report(arena, &scene, &r);
    assert_true(r.moving);
    tw_assert_near(r.peak_speed, 0.25, 1e-12);
    tw_assert_near(r.peak_accel, 0.25 / 25 / 10 * 625, 1e-9); /* v / 2r */
    assert_int_equal(r.compromises[0].what, TW_YIELD_SPEED);
    assert_int_equal(r.compromises[0].frames, 50);
    assert_int_equal(r.compromise_count, 1);
    keys[0].ease = keys[1].ease = 1; /* 0.25 / 25 / 2 * 625 = 3.125 where 3 is the limit */
    twi_path_report(arena, &scene, &r);
    assert_int_equal(r.compromise_count, 2);
    assert_int_equal(r.compromises[1].what, TW_YIELD_HARSH);
    assert_int_equal(r.compromises[1].frames, 2);
    tw_assert_near(r.compromises[1].px, 3.125, 1e-9);
}

TW_SUITE(report)
{
    const struct CMUnitTest tests[] = {TW_TEST(cuts_are_counted), TW_TEST(speeds_are_measured)};
    return tw_run("path/report", tests);
}
