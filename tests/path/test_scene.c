/* SPDX-License-Identifier: Apache-2.0 */
#include "path/path_internal.h"

#include "support/support.h"

#include "path/hand.h"

/* Arithmetic of solver.md section 7: 5760x4320, kmax 1. */
static void widths(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    static const struct {
        tw_size delivery;
        double widest, narrowest;
    } rows[] = {
        {{3840, 2160}, 5760, 3840}, {{1080, 1920}, 2430, 1080}, {{1080, 1080}, 4320, 1080}, {{1080, 1350}, 3456, 1080}};
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_row(i, "delivery");
        tw_path_job job = job_of(NULL, 0, 1);
        job.delivery = rows[i].delivery;
        twi_scene scene;
        twi_scene_init(arena, &job, &scene);
        twi_scene_scale(&scene);
        tw_assert_near(scene.widest, rows[i].widest, 0);
        tw_assert_near(scene.narrowest, rows[i].narrowest, 0);
        tw_assert_near(scene.width, rows[i].widest, 0);
    }
}

/* A box 600 wide at 2000: its centres are [2600 - 1215 + 121.5, 2000 + 1215 - 121.5]; at the source's edge the inset is
 * waived; wider than the window: any centre that shows nothing else. */
static void centres(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    static const tw_path_box boxes[] = {{2000, 10, 2600, 900}, {0, 10, 600, 900}, {100, 10, 3000, 900}, {0, 0, 0, 0}};
    static const double lo[] = {1506.5, 1215, 1315, 1215}, hi[] = {3093.5, 1215, 1785, 4545};
    const tw_path_region region = {.boxes = boxes, .must = true, .weight = 1};
    tw_path_job job = job_of(&region, 1, 4);
    job.inset = (tw_inset){0.05, 0.05, 0.05, 0.05};
    twi_scene scene;
    twi_axis axis[2];
    twi_scene_init(arena, &job, &scene);
    twi_scene_scale(&scene);
    twi_scene_axes(&scene, axis);
    for (size_t t = 0; t < 4; t++) {
        tw_row(t, "frame");
        tw_assert_near(axis[TWI_X].tube.lo[t], lo[t], TWI_DIGIT + 1e-9);
        tw_assert_near(axis[TWI_X].tube.hi[t], t == 1 ? 1215 : hi[t], t == 1 ? 0 : TWI_DIGIT + 1e-9);
    }
}

/* Bounds that go along with the width: at the frame's own width the same as above, at any other they hold the box. */
static void leaning_centres(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    static const tw_path_box boxes[] = {{2000, 10, 2600, 900}, {20, 10, 620, 900}, {5100, 3000, 5755, 4310}};
    const tw_path_region region = {.boxes = boxes, .must = true, .weight = 1};
    tw_path_job job = job_of(&region, 1, 3);
    job.inset = (tw_inset){0.05, 0.02, 0.1, 0.02};
    twi_scene scene;
    twi_scene_init(arena, &job, &scene);
    twi_scene_scale(&scene);
    scene.width = 1600;
    for (size_t row = 0; row < 6; row++) {
        int axis = (int)(row % 2);
        size_t t = row / 2;
        twi_axis fixed[2];
        double lo[2], hi[2], shape = axis == TWI_X ? 1 : scene.shape;
        twi_scene_axes(&scene, fixed);
        twi_scene_lean(&scene, &boxes[t], t, axis, lo, hi);
        tw_row(row, "frame and axis");
        double room = twi_scene_room(&scene, axis), half = scene.width / shape / 2;
        double low = fmin(fmax(lo[0] + lo[1] * scene.width, half), room - half);
        double high = fmin(fmax(hi[0] + hi[1] * scene.width, half), room - half);
        tw_assert_near(low, fixed[axis].tube.lo[t], 2 * TWI_HELD);
        tw_assert_near(high, fixed[axis].tube.hi[t], 2 * TWI_HELD);
        for (double w = 1300; w <= 2400; w += 100) {
            half = w / shape / 2;
            double near = axis == TWI_X ? boxes[t].left : boxes[t].top;
            double far = axis == TWI_X ? boxes[t].right : boxes[t].bottom;
            low = fmax(lo[0] + lo[1] * w, half);
            high = fmin(hi[0] + hi[1] * w, room - half);
            assert_true(low > high || (low + half >= far && high - half <= near));
        }
    }
}

TW_SUITE(scene)
{
    const struct CMUnitTest tests[] = {TW_TEST(widths), TW_TEST(centres), TW_TEST(leaning_centres)};
    return tw_run("path/scene", tests);
}
