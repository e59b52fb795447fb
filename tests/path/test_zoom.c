/* SPDX-License-Identifier: Apache-2.0 */
#include "path/sound.h"

#include "support/support.h"

/* Someone walks towards the camera: the window widens with them, by two shared keyframes, and holds them. */
static void walk_towards_camera(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_path_box boxes[300];
    for (size_t t = 0; t < 300; t++) {
        double size = 500 + 3 * (double)t, x = 2400 + 2 * (double)t;
        boxes[t] = (tw_path_box){x - size / 4, 2000 - size / 2, x + size / 4, 2000 + size / 2};
    }
    tw_path_region region = {.boxes = boxes, .must = true, .weight = 1};
    tw_path_job job = {.frames = 300, .fps = 25, .source = {5760, 4320}, .delivery = {1080, 1080}, .squeeze = 1};
    job.max_scale = 1;
    job.inset = (tw_inset){0.05, 0.05, 0.05, 0.05};
    job.regions = &region;
    job.region_count = 1;
    job.subject_fill = 0.4;
    job.zoom = true;
    tw_path_result r;
    tw_path_solve(arena, &job, &r);
    check_sound(&job, &r);
    assert_int_equal(lost_frames(&job, &r), 0);
    assert_true(r.key_count >= 2 && r.key_count <= 4);
    assert_true(r.keys[r.key_count - 1].w > r.keys[0].w + 500);
    job.zoom = false;
    tw_path_solve(arena, &job, &r);
    for (size_t i = 1; i < r.key_count; i++)
        tw_assert_near(r.keys[i].w, r.keys[0].w, 0);
}

TW_SUITE(zoom)
{
    const struct CMUnitTest tests[] = {TW_TEST(walk_towards_camera)};
    return tw_run("path/zoom", tests);
}
