/* SPDX-License-Identifier: Apache-2.0 */
#include "preview/preview_support.h"

/* "A001 5 1.00, B001 -3 0.25" */
static tw_str seen(tw_arena *arena, const tw_timeline *t, int64_t frame)
{
    tw_preview_layer layers[TW_PREVIEW_LAYERS];
    tw_buf out = {.arena = arena};
    size_t count = tw_preview_layers(tw_preview_lay(arena, t), frame, layers);
    for (size_t i = 0; i < count; i++) {
        tw_buf_addz(&out, i > 0 ? ", " : "");
        if (layers[i].clip != NULL)
            tw_buf_addf(&out, "%.*s %lld ", TW_ARG(layers[i].clip->reel), (long long)layers[i].frame);
        else
            tw_buf_addz(&out, "black ");
        tw_buf_add_fixed(&out, layers[i].weight, 3);
        if (layers[i].wipe > 0)
            tw_buf_addf(&out, " wipe %d", layers[i].wipe);
    }
    return tw_buf_str(&out);
}

typedef struct row {
    int64_t frame;
    const char *expected;
} row;

static void assert_rows(tw_arena *arena, const tw_timeline *t, const row *rows, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        tw_row(i, rows[i].expected);
        tw_assert_text(seen(arena, t, rows[i].frame), rows[i].expected);
    }
}

/* A wipe that can be drawn says so; one that cannot is mixed. */
static void wipes(void **state)
{
    static const row rows[] = {
        {47, "A001 47 1.000"},
        {48, "A001 48 0.958, B001 0 0.042 wipe 2"},
        {96, "B001 48 0.958, C001 0 0.042"},
    };
    tw_arena *arena = tw_test_arena(state);
    const tw_timeline *t = read_list(arena,
                                     "001  A001 V C        00:00:00:00 00:00:02:00 00:00:00:00 00:00:02:00\n"
                                     "002  A001 V C        00:00:02:00 00:00:02:00 00:00:02:00 00:00:02:00\n"
                                     "002  B001 V W002 012 00:00:00:00 00:00:02:00 00:00:02:00 00:00:04:00\n"
                                     "003  B001 V C        00:00:02:00 00:00:02:00 00:00:04:00 00:00:04:00\n"
                                     "003  C001 V W231 012 00:00:00:00 00:00:02:00 00:00:04:00 00:00:06:00\n",
                                     "24");
    assert_rows(arena, t, rows, sizeof rows / sizeof rows[0]);
}

/* A list's mix begins at the cut: of 12 frames, frame i is (i + 1/2) / 12 of what comes. */
static void cuts_and_mixes(void **state)
{
    static const row rows[] = {
        {0, "A001 0 1.000"},
        {47, "A001 47 1.000"},
        {48, "A001 48 0.958, B001 0 0.042"},
        {59, "A001 59 0.042, B001 11 0.958"},
        {60, "B001 12 1.000"},
        {72, "black 1.000"},
        {95, "black 1.000"},
        {96, "C001 0 1.000"},
        {120, "black 1.000"},
        {-1, "black 1.000"},
    };
    tw_arena *arena = tw_test_arena(state);
    const tw_timeline *t = read_list(arena,
                                     "001  A001 V C        01:00:00:00 01:00:02:00 00:00:00:00 00:00:02:00\n"
                                     "002  A001 V C        01:00:02:00 01:00:02:00 00:00:02:00 00:00:02:00\n"
                                     "002  B001 V D    012 02:00:00:00 02:00:01:00 00:00:02:00 00:00:03:00\n"
                                     "003  C001 V C        03:00:00:00 03:00:01:00 00:00:04:00 00:00:05:00\n",
                                     "24");
    assert_int_equal(tw_preview_length(t), 120);
    assert_rows(arena, t, rows, sizeof rows / sizeof rows[0]);
}

static tw_item clip(const char *reel, int64_t in, int64_t frames, tw_rate rate)
{
    tw_item item = tw_timeline_item(TW_ITEM_CLIP);
    item.reel = tw_str_z(reel);
    item.record = (tw_range){tw_time_frames(in, rate), tw_time_frames(frames, rate)};
    return item;
}

/* Upper tracks hide lower ones where they show something; nests show theirs; what is disabled shows nothing. */
static void stacks_and_nests(void **state)
{
    static const row rows[] = {
        {0, "LOW 0 1.000"},  {10, "HIGH 0 1.000"}, {15, "LOW 15 1.000"}, {20, "IN1 0 1.000"},
        {24, "IN2 0 1.000"}, {27, "LOW 27 1.000"}, {29, "LOW 29 1.000"}, {32, "LOW 32 1.000"},
    };
    tw_arena *arena = tw_test_arena(state);
    const tw_rate rate = {25, 1};
    tw_timeline *t = tw_timeline_new(arena);
    tw_item low[] = {clip("LOW", 0, 40, rate)};
    tw_item inner[] = {clip("IN1", 0, 4, rate), clip("IN2", 4, 3, rate)}; /* its last three frames are a gap */
    tw_item high[] = {clip("HIGH", 10, 5, rate), tw_timeline_item(TW_ITEM_NEST), clip("OFF", 32, 4, rate)};
    tw_track inside = {.kind = TW_TRACK_VIDEO, .enabled = true, .items = inner, .item_count = 2};
    tw_track tracks[] = {{.kind = TW_TRACK_VIDEO, .enabled = true, .items = low, .item_count = 1},
                         {.kind = TW_TRACK_VIDEO, .enabled = true, .items = high, .item_count = 3}};
    high[1].record = (tw_range){tw_time_frames(20, rate), tw_time_frames(10, rate)};
    high[1].tracks = &inside;
    high[1].track_count = 1;
    high[2].enabled = false;
    t->rate = rate;
    t->tracks = tracks;
    t->track_count = 2;
    assert_rows(arena, t, rows, sizeof rows / sizeof rows[0]);
    tracks[1].enabled = false;
    tw_assert_text(seen(arena, t, 20), "LOW 20 1.000");
    tracks[1].enabled = true;
    high[1].speed = 0; /* frozen on its first frame */
    tw_assert_text(seen(arena, t, 26), "IN1 0 1.000");
    high[1].speed = 2;
    tw_assert_text(seen(arena, t, 22), "IN2 0 1.000");
}

/* A list may show two things at once, on one track and in any order: what stands first in it counts. */
static void one_over_another(void **state)
{
    static const row rows[] = {
        {0, "LONG 0 1.000"},    {12, "LONG 12 1.000"}, {35, "LONG 35 1.000"}, {39, "LONG 39 1.000"},
        {40, "black 1.000"},    {44, "EARLY 0 1.000"}, {50, "LATE 0 1.000"},  {53, "LATE 3 1.000"},
        {56, "EARLY 12 1.000"}, {60, "black 1.000"},
    };
    tw_arena *arena = tw_test_arena(state);
    const tw_rate rate = {25, 1};
    tw_timeline *t = tw_timeline_new(arena);
    tw_item items[] = {clip("LONG", 0, 40, rate), clip("SHORT", 10, 5, rate), clip("SHORT", 20, 5, rate),
                       clip("LATE", 50, 5, rate), clip("EARLY", 44, 16, rate)};
    tw_track track = {.kind = TW_TRACK_VIDEO, .enabled = true, .items = items, .item_count = 5};
    t->rate = rate;
    t->tracks = &track;
    t->track_count = 1;
    assert_rows(arena, t, rows, sizeof rows / sizeof rows[0]);
}

TW_SUITE(layers)
{
    const struct CMUnitTest tests[] = {TW_TEST(cuts_and_mixes), TW_TEST(wipes), TW_TEST(stacks_and_nests),
                                       TW_TEST(one_over_another)};
    return tw_run("preview/layers", tests);
}
