/* SPDX-License-Identifier: Apache-2.0 */
#include "support/support.h"

#include <math.h>
#include <string.h>

#include <tallwide/subject.h>

#define W 320
#define H 240

/* A window 12 wide and 8 high whose middle third is bright: one stage asks for a little of that, a second for more, a
 * third, a tree of two nodes, for the upper and the lower half to be alike. With 0 outside and 1 in the middle,
 * 3 x 32 - 32 = 64; of the inner 10 x 6 pixels 4 in 10 are bright, their deviation is sqrt(0.4 x 0.6) = 0.49, and
 * 64 / (60 x 0.49) = 2.18. */
static const tw_cascade_feature features[] = {
    {{{0, 0, 12, 8, -1}, {4, 0, 4, 8, 3}}, 2, false},
    {{{0, 0, 12, 8, -1}, {0, 0, 12, 4, 2}}, 2, false},
};
static const tw_cascade_node nodes[] = {{0, -1, 0, 0.6f}, {0, -1, 0, 1.9f}, {1, -1, 1, 0.25f}, {-1, 0, 1, -0.25f}};
static const float leaves[] = {0, 1, 0, 1, 1, 0};
static const tw_cascade_tree trees[] = {{0, 0}, {1, 2}, {2, 4}};
static const tw_cascade_stage stages[] = {{0, 1, 0.5f}, {1, 1, 0.5f}, {2, 1, 0.5f}};
static const tw_cascade bar = {12, 8, stages, trees, nodes, leaves, features, 3, 3, 4, 6, 2};

static uint8_t *grey(tw_arena *arena, tw_rng *rng)
{
    uint8_t *px = TW_NEW_N(arena, uint8_t, W * H);
    for (size_t i = 0; i < W * H; i++)
        px[i] = (uint8_t)tw_rng_between(rng, 120, 136);
    return px;
}

/* Adds to the grey: `side` over the whole window, `middle` over its middle third. */
static void draw(uint8_t *px, int left, int top, double scale, int side, int middle)
{
    const int w = (int)(12 * scale), h = (int)(8 * scale);
    for (int y = 0; y < h; y++) {
        for (int x = 0; x < w; x++) {
            uint8_t *at = &px[(top + y) * W + left + x];
            const int value = *at + (3 * x >= w && 3 * x < 2 * w ? middle : side);
            *at = (uint8_t)(value < 0 ? 0 : value > 255 ? 255 : value);
        }
    }
}

static double overlap(const tw_spot *a, double left, double top, double w, double h)
{
    const double x = fmin(a->left + a->width, left + w) - fmax(a->left, left);
    const double y = fmin(a->top + a->height, top + h) - fmax(a->top, top);
    return x > 0 && y > 0 ? x * y / (a->width * a->height + w * h - x * y) : 0;
}

static void found_at_every_size_and_light(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    static const struct {
        int left, top;
        double scale;
        int side, middle;
    } rows[] = {{40, 30, 1.6, -68, 72}, {41, 77, 2, -108, -68}, {100, 50, 3.3, -128, 128},
                {3, 120, 7, 60, 120},   {150, 20, 12, -28, 32}, {200, 100, 5, -98, -37}};
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_row(i, "place and light");
        tw_rng rng = {i};
        uint8_t *px = grey(arena, &rng);
        draw(px, rows[i].left, rows[i].top, rows[i].scale, rows[i].side, rows[i].middle);
        const tw_plane plane = {px, W, H, W};
        tw_found *found;
        const size_t n = tw_cascade_find(arena, &bar, &plane, &(tw_cascade_ask){.votes = 1}, &found);
        assert_true(n >= 1);
        double best = 0;
        for (size_t k = 0; k < n; k++)
            best = fmax(best, overlap(&found[k].box, rows[i].left, rows[i].top, 12 * rows[i].scale, 8 * rows[i].scale));
        assert_true(best > 0.6);
    }
}

static void not_found_where_it_is_not(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_rng rng = {7};
    uint8_t *px = grey(arena, &rng);
    const tw_plane plane = {px, W, H, W};
    tw_found *found;
    assert_int_equal(tw_cascade_find(arena, &bar, &plane, &(tw_cascade_ask){0}, &found), 0);
    draw(px, 60, 60, 6, 0, -25); /* dark */
    assert_int_equal(tw_cascade_find(arena, &bar, &plane, &(tw_cascade_ask){0}, &found), 0);
    draw(px, 60, 60, 6, 0, 50); /* as bright as it was dark */
    assert_true(tw_cascade_find(arena, &bar, &plane, &(tw_cascade_ask){0}, &found) >= 1);
    memset(px, 90, W * H); /* without any contrast nothing is divided by nothing */
    assert_int_equal(tw_cascade_find(arena, &bar, &plane, &(tw_cascade_ask){0}, &found), 0);
}

static void sizes_are_bounded_as_asked(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_rng rng = {8};
    uint8_t *px = grey(arena, &rng);
    draw(px, 20, 20, 2, 0, 90);
    draw(px, 120, 40, 10, 0, 90);
    const tw_plane plane = {px, W, H, W};
    tw_found *found;
    const size_t small = tw_cascade_find(arena, &bar, &plane, &(tw_cascade_ask){.most = 40, .votes = 1}, &found);
    for (size_t i = 0; i < small; i++)
        assert_true(found[i].box.width <= 40);
    assert_true(small >= 1);
    const size_t large = tw_cascade_find(arena, &bar, &plane, &(tw_cascade_ask){.least = 80, .votes = 1}, &found);
    double best = 0;
    for (size_t i = 0; i < large; i++) {
        assert_true(found[i].box.width >= 80);
        best = fmax(best, overlap(&found[i].box, 120, 40, 120, 80));
    }
    assert_true(best > 0.6);
}

/* The rectangle with its top corner at (5, 1) and 4 along both diagonals against its lower right half, from (7, 3) on and
 * 2 along the diagonal to the right, 16 pixels each: over an edge of 100 along the other diagonal the difference is 1600,
 * the deviation 50, and 1600 / (9 x 9 x 50) = 0.395. */
static void turned_features(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    static const tw_cascade_feature turned[] = {{{{5, 1, 4, 4, -1}, {7, 3, 2, 4, 2}}, 2, true}};
    static const tw_cascade_node node[] = {{0, -1, 0, 0.3f}};
    static const float leaf[] = {0, 1};
    static const tw_cascade_tree tree[] = {{0, 0}};
    static const tw_cascade_stage stage[] = {{0, 1, 0.5f}};
    const tw_cascade diamond = {11, 11, stage, tree, node, leaf, turned, 1, 1, 1, 2, 1};
    uint8_t *px = TW_NEW_N(arena, uint8_t, W * H);
    for (int y = 0; y < H; y++) {
        for (int x = 0; x < W; x++) /* brighter beyond the diagonal x + y = 200 */
            px[y * W + x] = x + y >= 200 ? 180 : 80;
    }
    const tw_plane plane = {px, W, H, W};
    tw_found *found;
    const size_t n = tw_cascade_find(arena, &diamond, &plane, &(tw_cascade_ask){.votes = 1, .most = 12}, &found);
    assert_true(n >= 1);
    for (size_t i = 0; i < n; i++) /* windows whose middle is on the diagonal */
        tw_assert_near(found[i].box.left + found[i].box.top + found[i].box.width, 200, 5);
    for (int i = 0; i < W * H; i++)
        px[i] = (uint8_t)(255 - px[i]);
    assert_int_equal(tw_cascade_find(arena, &diamond, &plane, &(tw_cascade_ask){.votes = 1, .most = 12}, &found), 0);
}

TW_SUITE(cascade)
{
    const struct CMUnitTest tests[] = {TW_TEST(found_at_every_size_and_light), TW_TEST(not_found_where_it_is_not),
                                       TW_TEST(sizes_are_bounded_as_asked), TW_TEST(turned_features)};
    return tw_run("subject/cascade", tests);
}
