/* SPDX-License-Identifier: Apache-2.0 */
#include "path/sound.h"

#include "support/support.h"

/* Ten million frames: bounded work and memory. */
static void endless_shot(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_path_job job = {.frames = 10000000, .fps = 25, .source = {5760, 4320}, .delivery = {1080, 1920}, .squeeze = 1};
    tw_path_result r;
    job.max_scale = 1;
    tw_path_solve(arena, &job, &r);
    assert_int_equal(r.key_count, 1);
    assert_int_equal(r.reason, TW_PATH_CENTRED);
    tw_path_box *boxes = TW_NEW_N(arena, tw_path_box, 200000);
    for (size_t t = 0; t < 200000; t++) {
        double x = 2880 + 2000 * sin((double)t / 1500);
        boxes[t] = (tw_path_box){x - 100, 1000, x + 100, 2000};
    }
    tw_path_region region = {.boxes = boxes, .must = true, .weight = 1};
    job.frames = 200000;
    job.regions = &region;
    job.region_count = 1;
    tw_path_solve(arena, &job, &r);
    assert_true(r.moving);
    assert_int_equal(lost_frames(&job, &r), 0);
}

TW_SUITE(thin)
{
    const struct CMUnitTest tests[] = {TW_TEST(endless_shot)};
    return tw_run("path/thin", tests);
}
