/* SPDX-License-Identifier: Apache-2.0 */
#include "path/sound.h"

#include "support/support.h"

#include "path/hand.h"

/* Left for 60 frames, right for 40: a still window shows the left whole; steps show both. */
static void still_and_steps(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_path_box boxes[100];
    for (size_t t = 0; t < 100; t++)
        boxes[t] = t < 60 ? (tw_path_box){500, 1000, 900, 2000} : (tw_path_box){5000, 1000, 5400, 2000};
    const tw_path_region region = {.boxes = boxes, .must = true, .weight = 1};
    tw_path_job job = job_of(&region, 1, 100);
    tw_path_result r;
    job.moves = TW_MOVES_STILL;
    tw_path_solve(arena, &job, &r);
    assert_int_equal(r.key_count, 1);
    assert_int_equal(r.reason, TW_PATH_CUTS);
    assert_int_equal(lost_frames(&job, &r), 40);
    job.moves = TW_MOVES_STEPS;
    tw_path_solve(arena, &job, &r);
    assert_int_equal(r.reason, TW_PATH_STEPS);
    assert_int_equal(r.fewest, 2);
    assert_int_equal(lost_frames(&job, &r), 0);
    tw_assert_near(r.peak_speed, 0, 0);
}

TW_SUITE(still)
{
    const struct CMUnitTest tests[] = {TW_TEST(still_and_steps)};
    return tw_run("path/still", tests);
}
