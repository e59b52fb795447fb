/* SPDX-License-Identifier: Apache-2.0 */
#include "support/support.h"

#include <tallwide/media.h>

#define HOUR 86400 /* frames of an hour at 24 counted frames a second */

static const tw_rate film = {24000, 1001};

static tw_media_file file(const char *path, const char *reel, int64_t start, int64_t frames)
{
    return (tw_media_file){.path = tw_str_z(path),
                           .reel = tw_str_z(reel),
                           .rate = film,
                           .has_start = start >= 0,
                           .start = start < 0 ? 0 : start,
                           .frames = frames,
                           .width = 1920,
                           .height = 1080};
}

static tw_media_match find(const tw_media_file *files, size_t count, const char *name, int64_t in, int64_t out)
{
    const tw_str names[] = {tw_str_z(name)};
    const tw_media_want want = {.names = names, .name_count = 1, .in = in, .out = out, .rate = film};
    return tw_media_find(files, count, &want);
}

static void names(void **state)
{
    static const struct {
        const char *path, *reel, *name;
        bool found;
    } rows[] = {
        {"m/x.mov", "A001", "A001", true},          {"m/x.mov", "a001", "A001", true},
        {"m/A001.mov", "", "A001", true},           {"m/A001.mov", "", "A001.mov", true},
        {"m/A001_C002.mov", "", "A001", true},      {"m/A001.proxy.mov", "", "A001", true},
        {"m/A0012.mov", "", "A001", false},         {"m/A001_C002_0114AB.mov", "", "A001C002", true},
        {"m/A001_C003.mov", "", "A001C002", false}, {"A001/clip.mov", "", "A001", true},
        {"A001/clip.mov", "B001", "A001", false},   {"A001\\clip.mov", "", "a001", true},
        {"m/B001.mov", "", "A001", false},          {"m/B001.mov", "", "", false},
    };
    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        const tw_media_file f = file(rows[i].path, rows[i].reel, HOUR, 240);
        tw_row(i, rows[i].path);
        tw_media_match m = find(&f, 1, rows[i].name, HOUR, HOUR + 24);
        assert_int_equal(m.miss, rows[i].found ? TW_MISS_NONE : TW_MISS_NAME);
        assert_int_equal(m.original, rows[i].found ? 0 : TW_MEDIA_NONE);
    }
}

static void times(void **state)
{
    static const struct {
        int64_t in, out;
        tw_media_miss miss;
        bool whole;
        size_t near;
    } rows[] = {
        {HOUR, HOUR + 240, TW_MISS_NONE, true, TW_MEDIA_NONE},
        {HOUR + 239, HOUR + 240, TW_MISS_NONE, true, TW_MEDIA_NONE},
        {HOUR + 239, HOUR + 241, TW_MISS_NONE, false, TW_MEDIA_NONE},
        {HOUR - 1, HOUR + 1, TW_MISS_NONE, false, TW_MEDIA_NONE},
        {HOUR - 10, HOUR, TW_MISS_TIME, false, 0},
        {HOUR + 240, HOUR + 250, TW_MISS_TIME, false, 0},
        {3 * HOUR - 50, 3 * HOUR - 10, TW_MISS_TIME, false, 1},
        {3 * HOUR + 10, 3 * HOUR + 10, TW_MISS_NONE, true, TW_MEDIA_NONE}, /* a freeze of no length */
    };
    const tw_media_file files[] = {file("A001_1.mov", "", HOUR, 240), file("A001_2.mov", "", 3 * HOUR, 240)};
    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_row(i, "range");
        tw_media_match m = find(files, 2, "A001", rows[i].in, rows[i].out);
        assert_int_equal(m.miss, rows[i].miss);
        assert_int_equal(m.whole, rows[i].whole);
        assert_int_equal(m.near, rows[i].near);
    }
}

/* Files without time code: from 0, or from where the edit says its file begins; else nothing is guessed. */
static void without_time_code(void **state)
{
    const tw_media_file f = file("phone.mov", "", -1, 240);
    const tw_str name = TW_STR("phone");
    tw_media_want want = {.names = &name, .name_count = 1, .in = 10, .out = 20, .rate = film};
    (void)state;
    assert_int_equal(tw_media_find(&f, 1, &want).miss, TW_MISS_NONE);
    assert_int_equal(tw_media_frame_of(&f, &want, 10.5), 10);
    want.in = HOUR + 10;
    want.out = HOUR + 20;
    assert_int_equal(tw_media_find(&f, 1, &want).miss, TW_MISS_NO_TIME);
    assert_int_equal(tw_media_find(&f, 1, &want).near, 0);
    want.has_base = true;
    want.base = HOUR;
    assert_int_equal(tw_media_find(&f, 1, &want).miss, TW_MISS_NONE);
    assert_int_equal(tw_media_frame_of(&f, &want, HOUR + 10), 10);
}

static void proxies(void **state)
{
    tw_media_file files[] = {file("proxies/A001.mov", "", HOUR, 240), file("cards/A001.mov", "", HOUR, 240),
                             file("small/A001.mov", "", HOUR, 240), file("cards/A001_2.mov", "", 9 * HOUR, 240)};
    (void)state;
    files[0].width = 960;
    files[2].width = 480;
    files[1].width = 5760;
    files[0].proxy = true;
    tw_media_match m = find(files, 4, "A001", HOUR, HOUR + 24);
    assert_int_equal(m.original, 1);
    assert_int_equal(m.proxy, 2);
    m = find(files, 1, "A001", HOUR, HOUR + 24);
    assert_int_equal(m.original, TW_MEDIA_NONE);
    assert_int_equal(m.proxy, 0);
    m = find(files + 1, 1, "A001", HOUR, HOUR + 24);
    assert_int_equal(m.original, 0);
    assert_int_equal(m.proxy, TW_MEDIA_NONE);
    /* One that ends early does not stand in for one that does not. */
    files[2].frames = 10;
    m = find(files, 4, "A001", HOUR, HOUR + 24);
    assert_int_equal(m.proxy, 0);
}

/* Time code that begins anew in every file makes two that might be meant; a copy, or a smaller one, is none. */
static void rivals(void **state)
{
    static const struct {
        const char *path;
        int32_t width;
        int64_t frames;
        bool sound;
        size_t rival;
    } rows[] = {
        {"cards/A001_C002.mov", 1920, 240, false, 1},
        {"cards/A001_C002.mov", 1920, 250, false, 1},
        {"cards/A001_C002.mov", 1920, 20, false, TW_MEDIA_NONE}, /* ends before */
        {"cards/A001_C002.mov", 960, 240, false, TW_MEDIA_NONE},
        {"cards/B001_C001.mov", 1920, 240, false, TW_MEDIA_NONE},
        {"copy/A001_C001.MOV", 1920, 240, false, TW_MEDIA_NONE},
        {"copy/A001_C001.mov", 1920, 250, false, 1}, /* the same name, but another recording */
        {"cards/A001_C002.mov", 1920, 240, true, TW_MEDIA_NONE},
    };
    const tw_str name = TW_STR("A001");
    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_media_file files[] = {file("cards/A001_C001.mov", "", 0, 240), file(rows[i].path, "", 0, rows[i].frames)};
        tw_media_want want = {.names = &name, .name_count = 1, .in = 24, .out = 48, .rate = film};
        files[1].width = rows[i].width;
        files[0].sound = files[1].sound = want.sound = rows[i].sound;
        tw_row(i, rows[i].path);
        tw_media_match m = tw_media_find(files, 2, &want);
        assert_int_equal(m.original, 0);
        assert_int_equal(m.rival, rows[i].rival);
    }
}

/* A recording of the same name is no picture, and a film without sound is not heard. */
static void seen_and_heard(void **state)
{
    tw_media_file files[] = {file("A001.wav", "", HOUR, 240), file("A001.mov", "", HOUR, 240)};
    const tw_str name = TW_STR("A001");
    tw_media_want want = {.names = &name, .name_count = 1, .in = HOUR, .out = HOUR + 24, .rate = film};
    (void)state;
    files[0].width = files[0].height = 0;
    files[0].sound = true;
    tw_media_match m = tw_media_find(files, 2, &want);
    assert_int_equal(m.original, 1);
    assert_int_equal(m.proxy, TW_MEDIA_NONE);
    assert_int_equal(tw_media_find(files, 1, &want).miss, TW_MISS_NAME);
    want.sound = true;
    m = tw_media_find(files, 2, &want);
    assert_int_equal(m.original, 0);
    assert_int_equal(m.proxy, TW_MEDIA_NONE);
}

/* Time code of 48 frames a second: label 01:00:00:00 is frame 172800 there and 86400 at 24. */
static void other_rates(void **state)
{
    tw_media_file f = file("A001.mov", "", 2 * HOUR, 480);
    const tw_str name = TW_STR("A001");
    const tw_media_want want = {.names = &name, .name_count = 1, .in = HOUR + 24, .out = HOUR + 48, .rate = film};
    (void)state;
    f.rate = (tw_rate){48, 1};
    assert_int_equal(tw_media_find(&f, 1, &want).miss, TW_MISS_NONE);
    assert_int_equal(tw_media_frame_of(&f, &want, HOUR + 24), 48);
    assert_int_equal(tw_media_frame_of(&f, &want, HOUR + 24.5), 49);
    f.rate = (tw_rate){24, 1}; /* counts as 23.976 does */
    f.start = HOUR;
    assert_int_equal(tw_media_frame_of(&f, &want, HOUR + 24), 24);
}

static void from_infos(void **state)
{
    const tw_media_info picture = {.path = TW_STR("/x/Proxies/A.mov"),
                                   .stream = 1,
                                   .width = 960,
                                   .height = 540,
                                   .rate = film,
                                   .has_start = true,
                                   .start = 5,
                                   .frames = 7};
    /* 3600 s of samples after midnight at 25 frames: frame 90000; 2.5 s are 62 whole frames */
    const tw_media_info sound = {
        .path = TW_STR("S001.wav"), .stream = -1, .has_clock = true, .clock = {3600, 1}, .seconds = 2.5};
    (void)state;
    tw_media_file f = tw_media_file_of(&picture, (tw_rate){25, 1});
    assert_true(f.proxy && f.has_start && f.start == 5 && f.frames == 7 && tw_rate_eq(f.rate, film));
    f = tw_media_file_of(&sound, (tw_rate){25, 1});
    assert_true(!f.proxy && f.has_start && f.start == 90000 && f.frames == 62);
}

TW_SUITE(match)
{
    const struct CMUnitTest tests[] = {TW_TEST(names),       TW_TEST(times),     TW_TEST(without_time_code),
                                       TW_TEST(proxies),     TW_TEST(rivals),    TW_TEST(seen_and_heard),
                                       TW_TEST(other_rates), TW_TEST(from_infos)};
    return tw_run("media/match", tests);
}
