/* SPDX-License-Identifier: Apache-2.0 */
#include "media/media_support.h"

typedef struct heard {
    int64_t pairs;
    int16_t first[2], last[2];
    int64_t stop_after;
} heard;

static bool take(void *context, const int16_t *pairs, size_t count)
{
    heard *h = context;
    if (h->pairs == 0) {
        h->first[0] = pairs[0];
        h->first[1] = pairs[1];
    }
    h->pairs += (int64_t)count;
    h->last[0] = pairs[2 * count - 2];
    h->last[1] = pairs[2 * count - 1];
    return h->stop_after == 0 || h->pairs < h->stop_after;
}

/* Left rises by one a sample in 48000 Hz, right is -500 throughout; past the end there is silence. */
static void samples(void **state)
{
    static const struct {
        tw_sound_ask ask;
        int left, right, last;
    } rows[] = {
        {{0, -1, 0, 1000, 1}, 0, -500, 999},       {{0, -1, 0.25, 1000, 1}, 12000, -500, 12999},
        {{0, 0, 0.5, 10, 1}, 24000, 24000, 24009}, {{0, 1, 0.5, 10, 1}, -500, -500, -500},
        {{0, -1, 0.6, 48000, 1}, 28800, -500, 0},  {{0, -1, 0.5, 1000, -1}, 23999, -500, 23000},
        {{0, -1, 0.01, 1000, -1}, 479, -500, 0},   {{0, -1, 0.66, 1000, -1}, 0, 0, 31680 - 1000},
    };
    tw_arena *arena = tw_test_arena(state);
    tw_media_info info;
    tw_diags *diags = tw_diags_new(arena);
    film_need(arena);
    const char *path = film_path(arena, "rise.wav");
    film_make(
        arena,
        tw_arena_printf(arena, "-f lavfi -i aevalsrc=exprs='n/32768|-500/32768':s=48000:d=0.65 -c:a pcm_s16le %s", path)
            .at);
    assert_int_equal(tw_media_probe(arena, &film_tools, path, diags, &info), TW_OK);
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        heard h = {.pairs = 0};
        tw_row(i, "sound");
        assert_int_equal(tw_media_sound_read(arena, &film_tools, &info, &rows[i].ask, diags, take, &h), TW_OK);
        assert_int_equal(h.pairs, rows[i].ask.samples);
        tw_assert_near(h.first[0], rows[i].left, 1);
        tw_assert_near(h.first[1], rows[i].right, 1);
        tw_assert_near(h.last[0], rows[i].last, 1);
    }
}

/* As long as asked for, at any speed, and what does not change stays. */
static void speeds(void **state)
{
    static const double rows[] = {0.01, 0.2, 0.45, 0.9, 1.5, 7, -0.3, -2};
    tw_arena *arena = tw_test_arena(state);
    tw_media_info info;
    tw_diags *diags = tw_diags_new(arena);
    film_need(arena);
    const char *path = film_path(arena, "even.wav");
    film_make(arena,
              tw_arena_printf(arena, "-f lavfi -i aevalsrc=exprs=-500/32768:s=48000:d=8 -c:a pcm_s16le %s", path).at);
    assert_int_equal(tw_media_probe(arena, &film_tools, path, diags, &info), TW_OK);
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        heard h = {.pairs = 0};
        tw_row(i, "speed");
        const tw_sound_ask ask = {0, -1, 4, 24000, rows[i]};
        assert_int_equal(tw_media_sound_read(arena, &film_tools, &info, &ask, diags, take, &h), TW_OK);
        assert_int_equal(h.pairs, 24000);
        tw_assert_near(h.first[0], -500, 10);
        tw_assert_near(h.last[0], -500, 10);
    }
}

static void enough(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_media_info info;
    tw_diags *diags = tw_diags_new(arena);
    film_need(arena);
    const char *path = film_path(arena, "long.wav");
    film_make(arena, tw_arena_printf(arena, "-f lavfi -i sine=sample_rate=44100 -t 60 %s", path).at);
    assert_int_equal(tw_media_probe(arena, &film_tools, path, diags, &info), TW_OK);
    heard h = {.stop_after = 5000};
    const tw_sound_ask ask = {0, -1, 1, 48000 * 50, 1};
    assert_int_equal(tw_media_sound_read(arena, &film_tools, &info, &ask, diags, take, &h), TW_OK);
    assert_true(h.pairs >= 5000 && h.pairs < 48000);
    info.path = TW_STR("/not/there.wav");
    assert_int_equal(tw_media_sound_read(arena, &film_tools, &info, &ask, diags, take, &h), TW_ERR_IO);
    assert_int_equal(tw_diags_get(diags, 0)->code, 2103);
}

TW_SUITE(sound)
{
    const struct CMUnitTest tests[] = {TW_TEST(samples), TW_TEST(speeds), TW_TEST(enough)};
    return tw_run("media/sound", tests);
}
