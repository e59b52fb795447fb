/* SPDX-License-Identifier: Apache-2.0 */
#include "support/support.h"

#include <math.h>
#include <string.h>

#include "subject/subject_internal.h"

#define W 640
#define H 360
#define COLUMNS 8
#define ROWS 5
#define PITCH_X (W / COLUMNS)
#define PITCH_Y (H / ROWS)

typedef struct item {
    int half, thick, bright;
    bool mirrored;
} item;

static void noise(uint8_t *px, tw_rng *rng, int least, int most)
{
    for (size_t i = 0; i < W * H; i++)
        px[i] = (uint8_t)tw_rng_between(rng, least, most);
}

/* A bar along a diagonal about (x, y). */
static void draw_bar(uint8_t *px, int x, int y, const item *bar)
{
    for (int v = -bar->half; v <= bar->half; v++) {
        for (int u = -bar->half; u <= bar->half; u++) {
            const int across = bar->mirrored ? u + v : u - v;
            if (across >= -bar->thick && across <= bar->thick)
                px[(y + v) * W + x + u] = (uint8_t)bar->bright;
        }
    }
}

/* A field of bars all alike but one: A. Treisman, G. Gelade, A feature-integration theory of attention (1980). It must
 * come first in at least 19 of 20 drawings of each kind. */
static void the_odd_one_comes_first(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    static const item usual = {16, 4, 200, false};
    static const struct {
        const char *name;
        item odd;
    } rows[] = {{"turned", {16, 4, 200, true}}, {"larger", {26, 9, 200, false}}, {"dark", {16, 4, 40, false}}};
    uint8_t *px = TW_NEW_N(arena, uint8_t, W * H);
    for (size_t kind = 0; kind < sizeof rows / sizeof rows[0]; kind++) {
        int first = 0;
        for (uint64_t seed = 0; seed < 20; seed++) {
            tw_rng rng = {seed};
            noise(px, &rng, 120, 136);
            const int64_t odd = tw_rng_between(&rng, 0, COLUMNS * ROWS - 1);
            for (int i = 0; i < COLUMNS * ROWS; i++)
                draw_bar(px, PITCH_X / 2 + i % COLUMNS * PITCH_X, PITCH_Y / 2 + i / COLUMNS * PITCH_Y,
                         i == odd ? &rows[kind].odd : &usual);
            tw_spot spot;
            if (twi_standing_out(&(tw_plane){px, W, H, W}, 1, &spot) == 1)
                first += fabs(spot.left + spot.width / 2 - PITCH_X * ((double)(odd % COLUMNS) + 0.5)) < PITCH_X / 2.0 &&
                         fabs(spot.top + spot.height / 2 - PITCH_Y * ((double)(odd / COLUMNS) + 0.5)) < PITCH_Y / 2.0;
        }
        tw_row(kind, rows[kind].name);
        assert_true(first >= 19);
    }
}

static void a_thing_on_even_ground(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    uint8_t *px = TW_NEW_N(arena, uint8_t, W * H);
    tw_rng rng = {5};
    noise(px, &rng, 90, 110);
    for (int y = 200; y < 260; y++)
        memset(px + y * W + 420, 150, 50);
    tw_spot spot[4];
    assert_true(twi_standing_out(&(tw_plane){px, W, H, W}, 4, spot) >= 1);
    assert_true(spot[0].left <= 430 && spot[0].left + spot[0].width >= 460);
    assert_true(spot[0].top <= 210 && spot[0].top + spot[0].height >= 250);
    assert_true(spot[0].width < 150 && spot[0].height < 150);
    assert_true(spot[0].sure > 0.1 && spot[0].sure <= 1);
}

/* Nothing stands out of nothing; the bound of the list is kept; the heaviest are the ones kept. */
static void edges(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    uint8_t *px = TW_NEW_N(arena, uint8_t, W * H);
    tw_spot all[16], few[2];
    memset(px, 77, W * H);
    assert_int_equal(twi_standing_out(&(tw_plane){px, W, H, W}, 16, all), 0);
    for (int i = 0; i < 5; i++) {
        for (int y = 0; y < 20 + 6 * i; y++)
            memset(px + (40 + 60 * i + y) * W + 50 + 110 * i, 190, 30);
    }
    const size_t count = twi_standing_out(&(tw_plane){px, W, H, W}, 16, all);
    assert_true(count >= 3);
    for (size_t i = 1; i < count; i++)
        assert_true(all[i].sure <= all[i - 1].sure);
    assert_int_equal(twi_standing_out(&(tw_plane){px, W, H, W}, 2, few), 2);
    assert_memory_equal(few, all, sizeof few);
    tw_spot small[4]; /* the smallest plane there is has fewer pixels than the map has cells */
    for (int i = 0; i < 256; i++)
        px[i] = (uint8_t)(i / 16 > 4 && i / 16 < 8 && i % 16 > 9 && i % 16 < 13 ? 200 : 60);
    assert_true(twi_standing_out(&(tw_plane){px, 16, 16, 16}, 4, small) >= 1);
    assert_true(small[0].left <= 10 && small[0].left + small[0].width >= 13);
}

TW_SUITE(saliency)
{
    const struct CMUnitTest tests[] = {TW_TEST(the_odd_one_comes_first), TW_TEST(a_thing_on_even_ground),
                                       TW_TEST(edges)};
    return tw_run("subject/saliency", tests);
}
