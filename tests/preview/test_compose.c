/* SPDX-License-Identifier: Apache-2.0 */
#include "preview/preview_support.h"

#include <string.h>

#include "preview/preview_internal.h"

#define W 40
#define H 30

typedef struct scene {
    tw_timeline *edit;
    tw_item clips[2];
    tw_preview_source sources[2];
    tw_media_frame pictures[2];
    const tw_framing *framings[2];
    tw_preview_pane pane;
    tw_preview_film film;
    tw_preview_job job;
    twi_moment moment;
    uint8_t *canvas;
} scene;

/* Two clips: one is a ramp from left to right, the other all of one level. */
static scene *make_scene(tw_arena *arena)
{
    scene *s = TW_NEW(arena, scene);
    s->edit = tw_timeline_new(arena);
    s->edit->rate = (tw_rate){24, 1};
    for (size_t i = 0; i < 2; i++) {
        uint8_t *bytes = TW_NEW_N(arena, uint8_t, 3 * W * H);
        for (int p = 0; p < W * H; p++)
            bytes[p] = (uint8_t)(i == 0 ? 20 + 5 * (p % W) : 100);
        memset(bytes + W * H, 90, W * H);
        memset(bytes + 2 * W * H, 160, W * H);
        s->clips[i] = tw_timeline_item(TW_ITEM_CLIP);
        s->clips[i].index = i;
        s->pictures[i] = (tw_media_frame){0, W, H, {bytes, bytes + W * H, bytes + 2 * W * H}};
        s->sources[i] = (tw_preview_source){.size = {10 * W, 10 * H}, .squeeze = 1, .reel = TW_STR("A001")};
        s->moment.seen[i] = (twi_seen){{&s->clips[i], 0, 1, 0}, &s->sources[i], &s->pictures[i]};
    }
    s->pane = (tw_preview_pane){TW_STR("tall"), s->framings, 4, 2, 20, 24};
    s->film = (tw_preview_film){NULL, 60, 28, &s->pane, 1};
    s->job.edit = s->edit;
    s->moment.job = &s->job;
    s->moment.count = 1;
    s->canvas = TW_NEW_N(arena, uint8_t, 3 * 60 * 28);
    twi_compose_clear(&s->film, s->canvas);
    return s;
}

static int at(const scene *s, int plane, int x, int y)
{
    return s->canvas[plane * 60 * 28 + (y + 2) * 60 + x + 4];
}

/* The window counts in source pixels, ten for one of this proxy: from 100 on, 200 wide, 240 high. */
static void through_a_window(void **state)
{
    scene *s = make_scene(tw_test_arena(state));
    tw_key key = {0, 200, 150, 200, 0};
    const tw_framing framing = {TW_FRAME_FILL, {10 * W, 10 * H}, {20, 24}, 1, TW_INTERP_EASED, &key, 1};
    s->framings[0] = &framing;
    twi_compose_pane(tw_test_arena(state), &s->moment, &s->film, 0, s->canvas);
    for (int x = 0; x < 20; x++) {
        assert_int_equal(at(s, 0, x, 0), 20 + 5 * (10 + x));
        assert_int_equal(at(s, 0, x, 23), 20 + 5 * (10 + x));
        assert_int_equal(at(s, 1, x, 5), 90);
        assert_int_equal(at(s, 2, x, 5), 160);
    }
    /* nothing beside the pane */
    assert_int_equal(at(s, 0, -1, 0), 16);
    assert_int_equal(at(s, 0, 20, 0), 16);
    assert_int_equal(at(s, 1, 20, 0), 128);
    assert_int_equal(at(s, 0, 0, 24), 16);
}

/* Without a framing the whole picture, with bars: 40x30 in 20x24 is 20x15. */
static void whole(void **state)
{
    scene *s = make_scene(tw_test_arena(state));
    s->moment.seen[0] = s->moment.seen[1];
    twi_compose_pane(tw_test_arena(state), &s->moment, &s->film, 0, s->canvas);
    for (int y = 0; y < 24; y++)
        assert_int_equal(at(s, 0, 10, y), y < 4 || y >= 20 ? 16 : y == 4 || y == 19 ? at(s, 0, 10, y) : 100);
    assert_int_equal(at(s, 0, 10, 5), 100);
}

/* Of a source no plan speaks of size and squeeze are the file's: 40x30 shown twice as wide, 8:3, in 20x24 is 20x7.5. */
static void unspoken(void **state)
{
    scene *s = make_scene(tw_test_arena(state));
    const tw_media_info info = {.width = W, .height = H, .squeeze = 2};
    s->sources[1] = (tw_preview_source){.info = &info};
    s->moment.seen[0] = s->moment.seen[1];
    twi_compose_pane(tw_test_arena(state), &s->moment, &s->film, 0, s->canvas);
    for (int y = 0; y < 24; y++)
        if (y != 8 && y != 15)
            assert_int_equal(at(s, 0, 10, y), y < 8 || y > 15 ? 16 : 100);
}

/* A quarter of one, three quarters of the other, then black. */
static void mixed(void **state)
{
    scene *s = make_scene(tw_test_arena(state));
    tw_key key = {0, 200, 150, 200, 0};
    const tw_framing framing = {TW_FRAME_FILL, {10 * W, 10 * H}, {20, 24}, 1, TW_INTERP_EASED, &key, 1};
    s->framings[0] = s->framings[1] = &framing;
    s->moment.count = 2;
    s->moment.seen[0].layer.weight = 0.25;
    s->moment.seen[1].layer.weight = 0.75;
    twi_compose_pane(tw_test_arena(state), &s->moment, &s->film, 0, s->canvas);
    for (int x = 0; x < 20; x++)
        tw_assert_near(at(s, 0, x, 7), 0.25 * (20 + 5 * (10 + x)) + 0.75 * 100, 1);
    s->moment.seen[0].layer.clip = NULL;
    twi_compose_pane(tw_test_arena(state), &s->moment, &s->film, 0, s->canvas);
    tw_assert_near(at(s, 0, 3, 7), 0.25 * 16 + 0.75 * 100, 1);
    tw_assert_near(at(s, 2, 3, 7), 0.25 * 128 + 0.75 * 160, 1);
}

/* A bar that goes from left to right, half done: the new picture left, the old right, nothing mixed. */
static void wiped(void **state)
{
    scene *s = make_scene(tw_test_arena(state));
    tw_key key = {0, 200, 150, 200, 0};
    const tw_framing framing = {TW_FRAME_FILL, {10 * W, 10 * H}, {20, 24}, 1, TW_INTERP_EASED, &key, 1};
    s->framings[0] = s->framings[1] = &framing;
    s->moment.count = 2;
    s->moment.seen[0].layer.weight = s->moment.seen[1].layer.weight = 0.5;
    s->moment.seen[1].layer.wipe = 1;
    twi_compose_pane(tw_test_arena(state), &s->moment, &s->film, 0, s->canvas);
    for (int x = 0; x < 20; x++)
        assert_int_equal(at(s, 0, x, 7), x < 10 ? 100 : 20 + 5 * (10 + x));
}

/* Letters on a dark ground, not black: one sees that something belongs there. */
static void slate(void **state)
{
    scene *s = make_scene(tw_test_arena(state));
    s->film = (tw_preview_film){NULL, 300, 200, &s->pane, 1};
    s->pane = (tw_preview_pane){TW_STR("tall"), s->framings, 0, 0, 300, 200};
    s->canvas = TW_NEW_N(tw_test_arena(state), uint8_t, 3 * 300 * 200);
    s->moment.seen[0].picture = NULL;
    twi_compose_pane(tw_test_arena(state), &s->moment, &s->film, 0, s->canvas);
    int ground = 0, letters = 0;
    for (int p = 0; p < 300 * 200; p++) {
        ground += s->canvas[p] == 44;
        letters += s->canvas[p] == 210;
    }
    assert_int_equal(ground + letters, 300 * 200);
    assert_true(letters > 500);
    /* burnt in: the name above, two lines below */
    s->job.burn_in = true;
    twi_compose_pane(tw_test_arena(state), &s->moment, &s->film, 0, s->canvas);
    int above = 0, below = 0;
    for (int p = 0; p < 300 * 200; p++) {
        above += s->canvas[p] == 210 && p < 300 * 30;
        below += s->canvas[p] == 210 && p > 300 * 170;
    }
    assert_true(above > 20 && below > 100);
}

static void file_frames(void **state)
{
    scene *s = make_scene(tw_test_arena(state));
    const tw_media_file file = {.rate = {24, 1}, .has_start = true, .start = 100, .frames = 50};
    s->sources[0].file = &file;
    s->sources[0].want.rate = (tw_rate){24, 1};
    s->clips[0].source.start = tw_time_frames(110, s->edit->rate);
    assert_int_equal(twi_preview_file_frame(s->edit, &s->sources[0], &s->clips[0], 5), 15);
    s->clips[0].speed = -2;
    assert_int_equal(twi_preview_file_frame(s->edit, &s->sources[0], &s->clips[0], 5), 0);
}

TW_SUITE(compose)
{
    const struct CMUnitTest tests[] = {
        TW_TEST(through_a_window), TW_TEST(whole), TW_TEST(unspoken), TW_TEST(mixed), TW_TEST(wiped), TW_TEST(slate),
        TW_TEST(file_frames)};
    return tw_run("preview/compose", tests);
}
