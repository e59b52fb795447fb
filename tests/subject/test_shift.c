/* SPDX-License-Identifier: Apache-2.0 */
#include "subject/subject_internal.h"
#include "support/support.h"

#define W 320
#define H 180

/* Something between 0 and 1 for a place, from its whole numbers alone. */
static double speck(int x, int y)
{
    uint32_t h = (uint32_t)x * 0x9e3779b1u ^ (uint32_t)y * 0x85ebca77u;
    h = (h ^ h >> 15) * 0x2c1b3c6du;
    return (double)((h ^ h >> 13) & 0xffff) / 0xffff;
}

/* A window on a plane of specks, large ones and small ones, whose top left corner lies at (x, y). */
static void window(tw_arena *arena, int x, int y, double light, tw_pyramid *out)
{
    uint8_t *px = TW_NEW_N(arena, uint8_t, W * H);
    for (int j = 0; j < H; j++)
        for (int i = 0; i < W; i++) {
            double v = speck((x + i) / 40, (y + j) / 40) + speck((x + i) / 15, (y + j) / 15) / 2;
            px[j * W + i] = (uint8_t)(40 + light * 120 * v);
        }
    tw_pyramid_init(arena, W, H, out);
    tw_pyramid_fill(out, &(tw_plane){px, W, H, W});
}

/* Up to a 64th of the picture, whatever the light: 5 x 3 pixels. */
static void jumps_are_found(void **state)
{
    static const int jumps[][2] = {{0, 0}, {40, 0}, {0, 30}, {-60, 25}, {75, -40}};
    for (size_t k = 0; k < sizeof jumps / sizeof *jumps; k++) {
        tw_arena *arena = tw_test_arena(state);
        tw_pyramid before, now;
        double dx, dy;
        tw_row(k, "jump");
        window(arena, 500, 400, 1, &before);
        window(arena, 500 - jumps[k][0], 400 - jumps[k][1], 0.7, &now);
        twi_shift(&before, &now, &dx, &dy);
        tw_assert_near(dx, jumps[k][0], W / 64.0);
        tw_assert_near(dy, jumps[k][1], H / 64.0);
    }
}

/* Nothing to be seen: no jump. */
static void grey_stays(void **state)
{
    tw_pyramid p;
    double dx, dy;
    window(tw_test_arena(state), 0, 0, 0, &p);
    twi_shift(&p, &p, &dx, &dy);
    assert_true(dx == 0 && dy == 0);
}

TW_SUITE(shift)
{
    const struct CMUnitTest tests[] = {
        TW_TEST(jumps_are_found),
        TW_TEST(grey_stays),
    };
    return tw_run("subject/shift", tests);
}
