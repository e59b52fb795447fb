/* SPDX-License-Identifier: Apache-2.0 */
#include "path/path_internal.h"

#include "support/support.h"

#include "path/hand.h"

/* Two that drift apart: the heavier is kept; the other comes back only when it fits for a second. */
static void the_lighter_goes(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_path_box a[200], b[200];
    for (size_t t = 0; t < 200; t++) {
        bool far = (t >= 50 && t < 100) || (t >= 110 && t < 140); /* between: 10 frames, too short */
        a[t] = (tw_path_box){1000, 1000, 1500, 2000};
        b[t] = far ? (tw_path_box){4000, 1000, 4500, 2000} : (tw_path_box){2000, 1000, 2500, 2000};
    }
    const tw_path_region regions[] = {{.boxes = a, .must = true, .weight = 1}, {.boxes = b, .must = true, .weight = 2}};
    tw_path_job job = job_of(regions, 2, 200);
    twi_scene scene;
    twi_scene_init(arena, &job, &scene);
    twi_scene_scale(&scene);
    twi_scene_drop(&scene);
    assert_null(scene.gone[1]);
    assert_non_null(scene.gone[0]);
    for (size_t t = 0; t < 200; t++)
        assert_int_equal(scene.gone[0][t], t >= 50 && t < 140);
}

TW_SUITE(drop)
{
    const struct CMUnitTest tests[] = {TW_TEST(the_lighter_goes)};
    return tw_run("path/drop", tests);
}
