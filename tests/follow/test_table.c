/* SPDX-License-Identifier: Apache-2.0 */
#include <tallwide/follow.h>

#include "support/support.h"

/* Pictures at a quarter of the source's size; boxes are cut off at the source's edge, and what is not there has no row. */
static void rows_are_in_pixels_of_the_source(void **state)
{
    const tw_follow_scale scale = {4, 4, 400, 200};
    const tw_spot spots[] = {
        {10, 5, 20, 10, 1}, {0, 0, 0, 0, 0}, {-5, 5, 20, 10, 0.5}, {95, 45, 20, 10, 0}, {120, 5, 20, 10, 1},
    };
    tw_buf out = {.arena = tw_test_arena(state)};
    tw_follow_table(spots, 5, 2, &scale, &out);
    tw_assert_text(tw_buf_str(&out), "3,1,40.00,20.00,80.00,40.00,1.000,-1,-1,-1\n"
                                     "5,1,0.00,20.00,60.00,40.00,0.500,-1,-1,-1\n"
                                     "6,1,380.00,180.00,20.00,20.00,0.000,-1,-1,-1\n");
}

static void motion_is_in_pixels_of_the_source(void **state)
{
    const tw_follow_scale scale = {4, 2, 400, 200};
    const tw_camera cameras[] = {TW_CAMERA_STILL, {1.5, -2, 0.001, 1.01, 0.75}};
    tw_buf out = {.arena = tw_test_arena(state)};
    tw_follow_motion(cameras, 2, 0, &scale, &out);
    tw_assert_text(tw_buf_str(&out), "frame,dx,dy,sure\n"
                                     "1,0.000,0.000,0.000\n"
                                     "2,6.000,-4.000,0.750\n");
}

TW_SUITE(table)
{
    const struct CMUnitTest tests[] = {
        TW_TEST(rows_are_in_pixels_of_the_source),
        TW_TEST(motion_is_in_pixels_of_the_source),
    };
    return tw_run("follow/table", tests);
}
