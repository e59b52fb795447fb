/* SPDX-License-Identifier: Apache-2.0 */
#include "support/support.h"

#include <math.h>

#include <tallwide/rtime.h>

static const tw_rate ntsc24 = {24000, 1001}, ntsc30 = {30000, 1001}, film = {24, 1}, pal = {25, 1};

static void assert_time(tw_time t, int64_t num, int64_t den)
{
    assert_int_equal(t.num, num);
    assert_int_equal(t.den, den);
}

static void lowest_terms(void **state)
{
    (void)state;
    assert_time(tw_time_make(6, 4), 3, 2);
    assert_time(tw_time_make(6, -4), -3, 2);
    assert_time(tw_time_make(0, -9), 0, 1);
    assert_time(tw_time_frames(24000, ntsc24), 1001, 1); /* 24000 frames last exactly 1001 s */
    assert_time(tw_time_frames(-48, film), -2, 1);
    assert_time(tw_time_frames(1, ntsc30), 1001, 30000);
}

static void arithmetic(void **state)
{
    (void)state;
    tw_time a = tw_time_frames(1, ntsc24), b = tw_time_frames(1, pal);
    assert_time(tw_time_add(a, b), 1961, 24000); /* 1001/24000 + 960/24000 */
    assert_time(tw_time_sub(a, b), 41, 24000);
    assert_time(tw_time_sub(a, a), 0, 1);
    assert_time(tw_time_mul(tw_time_make(3, 4), -2, 3), -1, 2);
    assert_true(tw_time_cmp(a, b) > 0 && tw_time_cmp(b, a) < 0 && tw_time_eq(a, a));
    tw_assert_near(tw_time_seconds(a), 1001.0 / 24000, 0);
}

/* Frame counts come back exactly at every rate, and the halfway moment rounds up. */
static void frames_and_back(void **state)
{
    (void)state;
    static const tw_rate rates[] = {{24000, 1001}, {24, 1}, {25, 1}, {30000, 1001}, {60000, 1001}, {48000, 1}, {25, 2}};
    tw_rng rng = {.state = 1};
    for (size_t r = 0; r < sizeof rates / sizeof rates[0]; r++) {
        for (int i = 0; i < 2000; i++) {
            int64_t frames = tw_rng_between(&rng, -((int64_t)1 << 40), (int64_t)1 << 40);
            tw_time t = tw_time_frames(frames, rates[r]);
            bool exact = false;
            tw_row((size_t)i, "frames");
            assert_int_equal(tw_time_floor(t, rates[r]), frames);
            assert_int_equal(tw_time_round(t, rates[r], &exact), frames);
            assert_true(exact);
            tw_time later = tw_time_add(t, tw_time_mul(tw_time_frames(1, rates[r]), 1, 2));
            assert_int_equal(tw_time_floor(later, rates[r]), frames);
            assert_int_equal(tw_time_round(later, rates[r], &exact), frames + 1);
            assert_false(exact);
        }
    }
    assert_int_equal(tw_time_floor(tw_time_make(-1, 100), pal), -1);
    assert_int_equal(tw_time_round(tw_time_make(-1, 100), pal, NULL), 0);
    assert_int_equal(tw_time_round(tw_time_make(1001, 24000), ntsc30, NULL), 1); /* 1.25 frames */
}

/* A long sum of odd rates: what doubles would lose and 64-bit products would overflow. */
static void no_drift(void **state)
{
    (void)state;
    tw_time sum = tw_time_frames((int64_t)1 << 40, ntsc30), step = tw_time_frames(1, ntsc24);
    tw_time start = sum;
    for (int i = 0; i < 24000; i++)
        sum = tw_time_add(sum, step);
    assert_true(tw_time_eq(tw_time_sub(sum, start), tw_time_make(1001, 1)));
    tw_time big = tw_time_make(((int64_t)1 << 40) * 48000 + 1, 48000);
    assert_int_equal(tw_time_cmp(big, tw_time_make((int64_t)1 << 40, 1)), 1);
    assert_true(tw_time_eq(tw_time_sub(big, tw_time_make((int64_t)1 << 40, 1)), tw_time_make(1, 48000)));
}

static void snapping(void **state)
{
    (void)state;
    static const struct {
        double frames;
        bool fine, whole;
        int64_t num, den; /* of seconds at 25 */
    } rows[] = {
        {50, true, true, 2, 1},
        {49.9995, true, true, 2, 1},
        {50.0009, true, true, 2, 1},
        {50.25, true, false, 201, 100},
        {-0.5, true, false, -1, 50},
        {-25.0001, true, true, -1, 1},
        {1e13, false, false, 0, 0},
        {(double)INFINITY, false, false, 0, 0},
        {(double)NAN, false, false, 0, 0},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_row(i, "snap");
        tw_time t = {0, 0};
        bool whole = false;
        assert_int_equal(tw_time_snap(rows[i].frames, pal, &t, &whole), rows[i].fine);
        assert_int_equal(whole, rows[i].whole);
        assert_time(t, rows[i].num, rows[i].den);
        t = (tw_time){0, 0};
        assert_int_equal(tw_time_snap(rows[i].frames, pal, &t, NULL), rows[i].fine);
        assert_time(t, rows[i].num, rows[i].den);
    }
}

TW_SUITE(rational)
{
    const struct CMUnitTest tests[] = {
        TW_TEST(lowest_terms), TW_TEST(arithmetic), TW_TEST(frames_and_back), TW_TEST(no_drift), TW_TEST(snapping),
    };
    return tw_run("rtime/rational", tests);
}
