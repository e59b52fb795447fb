/* SPDX-License-Identifier: Apache-2.0 */
#include "support/support.h"
#include "timeline/hand.h"

/* m(t) = s + (t - s) k: the source frame at record frame f of a clip that starts at source 100. */
static void source_frames_under_speed(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    static const struct {
        const char *name;
        double speed;
        int64_t frame;
        double source;
    } rows[] = {
        {"as shot", 1, 10, 110}, {"double", 2, 10, 120},  {"half", 0.5, 5, 102.5},
        {"freeze", 0, 9, 100},   {"reverse", -1, 10, 90}, {"handle before", 1, -3, 97},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_row(i, rows[i].name);
        tw_item item = hand_clip("A001", 0, 100, 20);
        item.speed = rows[i].speed;
        tw_track track = hand_track(TW_TRACK_VIDEO, &item, 1);
        const tw_timeline *t = hand_timeline(arena, &track, 1);
        tw_assert_near(tw_item_source_frame(t, &item, rows[i].frame), rows[i].source, 0);
    }
}

static void source_and_record_may_count_differently(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_item item = hand_clip("A001", 0, 0, 60);
    item.source_rate = (tw_rate){48, 1};
    item.source.start = tw_time_frames(480, item.source_rate);
    tw_track track = hand_track(TW_TRACK_VIDEO, &item, 1);
    const tw_timeline *t = hand_timeline(arena, &track, 1);
    tw_assert_near(tw_item_source_frame(t, &item, 10), 480 + 10 * 2, 1e-9);
}

static void totals_over_tracks(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_item low[] = {hand_clip("A001", 0, 0, 10), hand_gap(10, 10), hand_clip("A002", 20, 0, 10)};
    tw_item high[] = {hand_gap(0, 12), hand_clip("B001", 12, 0, 4), hand_clip("B002", 14, 0, 4)};
    tw_item sound[] = {hand_clip("A001", 0, 0, 30)};
    tw_track tracks[] = {hand_track(TW_TRACK_VIDEO, low, 3), hand_track(TW_TRACK_VIDEO, high, 3),
                         hand_track(TW_TRACK_AUDIO, sound, 1)};
    const tw_totals n = tw_timeline_totals(hand_timeline(arena, tracks, 3));
    assert_int_equal(n.video_clips, 4);
    assert_int_equal(n.audio_clips, 1);
    assert_int_equal(n.record_frames, 30);
    assert_int_equal(n.gap_frames, 2 + 2); /* 10..12 and 18..20: the upper track fills the rest */
    assert_int_equal(n.overlap_frames, 2); /* 14..16 of the upper track */
    assert_int_equal(n.whole_frames, 30);
}

/* Two seconds of sound before the first picture and one after the last: an edit is as long as it runs. */
static void sound_around_pictures(void **state)
{
    tw_item picture[] = {hand_gap(0, 48), hand_clip("A001", 48, 0, 96)}, sound[] = {hand_clip("A001", 0, 0, 168)};
    tw_track tracks[] = {hand_track(TW_TRACK_VIDEO, picture, 2), hand_track(TW_TRACK_AUDIO, sound, 1)};
    const tw_totals n = tw_timeline_totals(hand_timeline(tw_test_arena(state), tracks, 2));
    assert_int_equal(n.whole_frames, 48 + 96 + 24);
    assert_int_equal(n.record_in, 48);
    assert_int_equal(n.record_frames, 96);
}

static void names_best_first(void **state)
{
    (void)state;
    tw_media media = {.kind = TW_MEDIA_FILE, .url = TW_STR("/day1/A003C002.mov"), .name = TW_STR("take 2")};
    tw_item item = hand_clip("A003", 0, 0, 1);
    item.name = TW_STR("lacing");
    item.media = &media;
    item.media_count = 1;
    item.media_active = 0;
    tw_names names = tw_item_names(&item);
    assert_int_equal(names.count, 5);
    assert_int_equal(names.loose, 4); /* patterns are for reels and files, not for the clip's name */
    static const char *const expected[] = {"A003", "A003C002.mov", "A003C002", "take 2", "lacing"};
    for (size_t i = 0; i < 5; i++)
        tw_assert_text(names.at[i], expected[i]);
    item.media_active = SIZE_MAX;
    item.reel = TW_STR("ax");
    names = tw_item_names(&item);
    assert_int_equal(names.count, 2);
    assert_int_equal(names.loose, 1); /* "A*" is for cameras */
    tw_assert_text(names.at[0], "lacing");
    tw_assert_text(names.at[1], "ax");
    item.reel = item.name = TW_STR("");
    names = tw_item_names(&item);
    assert_int_equal(names.count, 1);
    assert_int_equal(names.loose, 1);
    tw_assert_text(names.at[0], "");
    item.reel = TW_STR("BL"); /* black is nothing that a pattern means */
    assert_int_equal(tw_item_names(&item).count, 1);
    assert_int_equal(tw_item_names(&item).loose, 0);
}

static void reels_that_say_nothing(void **state)
{
    (void)state;
    tw_media media = {.kind = TW_MEDIA_FILE, .url = TW_STR("/cards/A003C002.mov")};
    static const struct {
        const char *reel, *name, *called;
        bool media;
    } rows[] = {
        {"A003", "lacing", "A003", true},  {"AX", "lacing", "A003C002.mov", true},
        {"ax", "lacing", "lacing", false}, {"", "lacing", "lacing", false},
        {"AX", "", "AX", false},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_item item = hand_clip(rows[i].reel, 0, 0, 1);
        item.name = tw_str_z(rows[i].name);
        item.media = &media;
        item.media_count = 1;
        item.media_active = rows[i].media ? 0 : SIZE_MAX;
        tw_row(i, rows[i].called);
        tw_assert_text(tw_item_source_name(&item), rows[i].called);
    }
}

/* The first clip is 10 frames from source frame 100; two auxiliary sources are two pictures. */
static void cuts_nobody_sees(void **state)
{
    static const struct {
        const char *what, *reels[2], *names[2];
        int64_t record, source;
        double speed;
        bool goes_on;
    } rows[] = {
        {"on and on", {"A001", "A001"}, {"", ""}, 10, 110, 1, true},
        {"in capitals", {"A001", "a001"}, {"", ""}, 10, 110, 1, true},
        {"a frame left out", {"A001", "A001"}, {"", ""}, 10, 111, 1, false},
        {"a gap", {"A001", "A001"}, {"", ""}, 11, 110, 1, false},
        {"another reel", {"A001", "A002"}, {"", ""}, 10, 110, 1, false},
        {"another speed", {"A001", "A001"}, {"", ""}, 10, 110, 2, false},
        {"one graphic", {"AX", "AX"}, {"title", "title"}, 10, 110, 1, true},
        {"two graphics", {"AX", "AX"}, {"title", "logo"}, 10, 110, 1, false},
        {"no name", {"", ""}, {"", ""}, 10, 110, 1, false},
    };
    tw_arena *arena = tw_test_arena(state);
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_item items[] = {hand_clip(rows[i].reels[0], 0, 100, 10),
                           hand_clip(rows[i].reels[1], rows[i].record, rows[i].source, 10)};
        tw_track track = hand_track(TW_TRACK_VIDEO, items, 2);
        items[0].name = tw_str_z(rows[i].names[0]);
        items[1].name = tw_str_z(rows[i].names[1]);
        items[1].speed = rows[i].speed;
        tw_row(i, rows[i].what);
        const tw_timeline *timeline = hand_timeline(arena, &track, 1);
        assert_int_equal(tw_item_goes_on(timeline, &items[0], &items[1]), rows[i].goes_on);
        assert_false(tw_item_goes_on(timeline, &items[1], &items[0]));
    }
}

static void black_is_nothing_to_frame(void **state)
{
    (void)state;
    static const struct {
        const char *reel;
        bool black;
    } rows[] = {{"BL", true},    {"bl", true},  {"blk", true}, {"BLACK", true},
                {"BLUE", false}, {"AX", false}, {"", false}};
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_row(i, rows[i].reel);
        const tw_item item = hand_clip(rows[i].reel, 0, 0, 1);
        assert_int_equal(tw_item_is_black(&item), rows[i].black);
    }
}

/* A fade that runs on past the last clip makes its track no longer; of clips over one another the longer counts. */
static void ends_of_tracks(void **state)
{
    (void)state;
    tw_item items[] = {hand_clip("A001", 10, 0, 30), hand_clip("B001", 12, 0, 20), hand_transition(40, 2, 6)};
    const tw_track all = hand_track(TW_TRACK_VIDEO, items, 3), none = hand_track(TW_TRACK_VIDEO, items, 0);
    assert_true(tw_time_eq(tw_tracks_end(&all, 1), hand_frames(40, 0).start));
    assert_true(tw_time_eq(tw_tracks_end(&none, 1), TW_TIME_ZERO));
}

static void framings_later(void **state)
{
    tw_key keys[2] = {{.frame = 0, .w = 10}, {.frame = 24, .w = 20}};
    const tw_framing from = {.delivery = {1080, 1920}, .keys = keys, .key_count = 2};
    const tw_framing *to = tw_framing_later(tw_test_arena(state), &from, -6);
    assert_int_equal(to->delivery.h, 1920);
    assert_int_equal(to->key_count, 2);
    assert_int_equal(to->keys[0].frame, -6);
    assert_int_equal(to->keys[1].frame, 18);
    tw_assert_near(to->keys[1].w, 20, 0);
    assert_int_equal(keys[1].frame, 24);
}

/* A card may be called "black": what has a file or numbered pictures shows something, whatever it is called. */
static void a_file_called_black_is_a_picture(void **state)
{
    (void)state;
    static const struct {
        const char *name;
        tw_media_kind kind;
        bool black;
    } rows[] = {{"file", TW_MEDIA_FILE, false},
                {"images", TW_MEDIA_IMAGES, false},
                {"missing", TW_MEDIA_MISSING, true},
                {"made", TW_MEDIA_GENERATOR, true}};
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_row(i, rows[i].name);
        tw_media media = {.kind = rows[i].kind, .url = TW_STR("black.mov")};
        tw_item item = hand_clip("black", 0, 0, 1);
        item.media = &media;
        item.media_count = 1;
        item.media_active = 0;
        assert_int_equal(tw_item_is_black(&item), rows[i].black);
    }
}

TW_SUITE(ask)
{
    const struct CMUnitTest tests[] = {
        TW_TEST(source_frames_under_speed),
        TW_TEST(source_and_record_may_count_differently),
        TW_TEST(totals_over_tracks),
        TW_TEST(sound_around_pictures),
        TW_TEST(names_best_first),
        TW_TEST(reels_that_say_nothing),
        TW_TEST(cuts_nobody_sees),
        TW_TEST(black_is_nothing_to_frame),
        TW_TEST(a_file_called_black_is_a_picture),
        TW_TEST(framings_later),
        TW_TEST(ends_of_tracks),
    };
    return tw_run("timeline/ask", tests);
}
