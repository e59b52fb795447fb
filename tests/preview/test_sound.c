/* SPDX-License-Identifier: Apache-2.0 */
#include "preview/preview_support.h"

#include <string.h>

#include "preview/preview_internal.h"

/* Samples of a record frame: at 23.976, frame 24 begins at 48000 * 1001 / 1000 = 48048. */
static void samples(void **state)
{
    (void)state;
    assert_int_equal(twi_sound_sample((tw_rate){24000, 1001}, 24), 48048);
    assert_int_equal(twi_sound_sample((tw_rate){30000, 1001}, 1), 1602); /* 1601.6 */
    assert_int_equal(twi_sound_sample((tw_rate){25, 1}, -1), -1920);
    assert_int_equal(twi_sound_sample((tw_rate){60000, 1001}, 60000), (int64_t)48000 * 1001);
}

/* A recording of 4 s whose left channel holds 4000 from second 1 on, before that 1000; right holds 2000. */
static const char *recording(tw_arena *arena, const char *name, const char *layout)
{
    const char *path = film_path(arena, name);
    film_make(arena, tw_arena_printf(arena,
                                     "-f lavfi -i aevalsrc=exprs='if(gte(n,48000),4000,1000)/32768|2000/32768':"
                                     "s=48000:d=4 %s -c:a pcm_s16le %s",
                                     layout, path)
                         .at);
    return path;
}

typedef struct mix {
    tw_preview_source sources[16];
    tw_media_info info;
    tw_media_file file;
    tw_str bytes;
    bool any;
} mix;

static mix *mix_of(tw_arena *arena, const char *path, tw_timeline *t)
{
    mix *m = TW_NEW(arena, mix);
    tw_diags *diags = tw_diags_new(arena);
    assert_int_equal(tw_media_probe(arena, &film_tools, path, diags, &m->info), TW_OK);
    m->file = tw_media_file_of(&m->info, t->rate);
    assert_true(t->clip_count <= 16);
    for (size_t i = 0; i < t->clip_count; i++)
        m->sources[i] = (tw_preview_source){.info = &m->info, .file = &m->file, .want = {.rate = t->rate}};
    const tw_preview_job job = {.edit = t, .tools = &film_tools, .sources = m->sources};
    const char *out = film_path(arena, "mix.raw");
    tw_str why;
    assert_int_equal(twi_sound_mix(arena, &job, out, diags, &m->any), TW_OK);
    if (m->any)
        assert_int_equal(tw_file_read(arena, out, TW_FILE_LIMIT, &m->bytes, &why), TW_OK);
    if (tw_diags_kept(diags) > 0)
        print_error("%s\n", tw_findings(arena, diags));
    assert_int_equal(tw_diags_kept(diags), 0);
    return m;
}

static mix *mixed(tw_arena *arena, const char *path, const char *list)
{
    return mix_of(arena, path, read_list(arena, list, "24"));
}

static int level(const mix *m, int64_t pair, int side)
{
    int16_t v;
    assert_true((size_t)(4 * pair + 2 * side + 2) <= m->bytes.len);
    memcpy(&v, m->bytes.at + 4 * pair + 2 * side, 2);
    return v;
}

/* Source 00:00:00:12 on at record second 1: the step in it comes 12 frames later, to the sample. */
static void in_place(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    film_need(arena);
    const mix *m = mixed(arena, recording(arena, "both.wav", ""),
                         "001  A001 V C        00:00:00:00 00:00:01:00 00:00:00:00 00:00:01:00\n"
                         "002  A001 A C        00:00:00:12 00:00:02:12 00:00:01:00 00:00:03:00\n");
    assert_true(m->any);
    assert_int_equal(m->bytes.len, 4 * 3 * 48000);
    assert_int_equal(level(m, 47999, 0), 0);
    assert_int_equal(level(m, 48000, 0), 1000);
    assert_int_equal(level(m, 71999, 0), 1000);
    assert_int_equal(level(m, 72000, 0), 4000);
    assert_int_equal(level(m, 72000, 1), 2000);
    assert_int_equal(level(m, 143999, 0), 4000);
}

/* Both tracks of one recording: its channels, left and right, once each. */
static void two_tracks(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    film_need(arena);
    const mix *m = mixed(arena, recording(arena, "pair.wav", ""),
                         "001  A001 AA C       00:00:00:00 00:00:02:00 00:00:00:00 00:00:02:00\n");
    assert_int_equal(level(m, 100, 0), 1000);
    assert_int_equal(level(m, 100, 1), 2000);
    assert_int_equal(level(m, 50000, 0), 4000);
}

/* A recording of one channel on two tracks is heard once, in the middle. */
static void one_channel(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    film_need(arena);
    const mix *m = mixed(arena, recording(arena, "mono.wav", "-af pan=mono|c0=c1"),
                         "001  A001 AA C       00:00:00:00 00:00:02:00 00:00:00:00 00:00:02:00\n");
    assert_int_equal(level(m, 100, 0), 2000);
    assert_int_equal(level(m, 100, 1), 2000);
}

/* Half a second in each, from record second 1 on: backwards from source 00:00:01:12, the step comes after 12 frames. */
static void backwards(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    film_need(arena);
    tw_timeline *t = read_list(arena,
                               "001  A001 V C        00:00:00:00 00:00:01:00 00:00:00:00 00:00:01:00\n"
                               "002  A001 A C        00:00:01:11 00:00:02:11 00:00:01:00 00:00:02:00\n",
                               "24");
    tw_item *clip = &t->tracks[1].items[t->tracks[1].item_count - 1];
    assert_int_equal(clip->kind, TW_ITEM_CLIP);
    clip->speed = -1;
    const mix *m = mix_of(arena, recording(arena, "back.wav", ""), t);
    assert_int_equal(level(m, 47999, 0), 0);
    assert_int_equal(level(m, 48000, 0), 4000);
    assert_int_equal(level(m, 71999, 0), 4000);
    assert_int_equal(level(m, 72000, 0), 1000);
    assert_int_equal(level(m, 95999, 1), 2000);
}

/* Two seconds of sound in a nest that shows its frames from 12 on and lies at record second 1: heard from there on, and
 * no longer than the nest is; on a picture track as on a sound track, and once where it stands on both. */
static void nested(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    film_need(arena);
    const char *path = recording(arena, "nested.wav", "");
    for (int way = 0; way < 3; way++) {
        tw_timeline *t = read_list(arena,
                                   "001  A001 V C        00:00:00:00 00:00:02:00 00:00:00:00 00:00:02:00\n"
                                   "002  A001 A C        00:00:00:12 00:00:02:12 00:00:00:00 00:00:02:00\n",
                                   "24");
        tw_item nest = tw_timeline_item(TW_ITEM_NEST);
        tw_track *outer = TW_NEW_N(arena, tw_track, 2);
        tw_row((size_t)way, "nested");
        nest.name = TW_STR("scene");
        nest.tracks = t->tracks;
        nest.track_count = t->track_count;
        nest.record = (tw_range){tw_time_make(1, 1), tw_time_make(1, 1)};
        for (int k = 0; k < 2; k++) {
            outer[k] = t->tracks[k];
            outer[k].items = TW_NEW(arena, tw_item);
            *outer[k].items = nest;
            outer[k].item_count = way == 2 || way == k ? 1 : 0;
        }
        t->tracks = outer;
        const mix *m = mix_of(arena, path, t);
        assert_true(m->any);
        assert_int_equal(m->bytes.len, 4 * 2 * 48000);
        assert_int_equal(level(m, 47999, 1), 0);
        assert_int_equal(level(m, 48000, 0), 1000);
        assert_int_equal(level(m, 71999, 0), 1000);
        assert_int_equal(level(m, 72000, 0), 4000);
        assert_int_equal(level(m, 95999, 1), 2000);
    }
}

static void no_sound(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    film_need(arena);
    const mix *m = mixed(arena, recording(arena, "none.wav", ""),
                         "001  A001 V C        00:00:00:00 00:00:01:00 00:00:00:00 00:00:01:00\n");
    assert_false(m->any);
}

TW_SUITE(sound)
{
    const struct CMUnitTest tests[] = {TW_TEST(samples),   TW_TEST(in_place), TW_TEST(two_tracks), TW_TEST(one_channel),
                                       TW_TEST(backwards), TW_TEST(nested),   TW_TEST(no_sound)};
    return tw_run("preview/sound", tests);
}
