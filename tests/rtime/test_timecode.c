/* SPDX-License-Identifier: Apache-2.0
 *
 * SMPTE ST 12-1 drop-frame counting. The tables below and both formulas were checked against a walk over every frame of
 * 24 hours by the rule itself ("leave out 00 and 01, or 00 to 03, at each minute that is no multiple of ten"); the walk
 * is repeated here.
 */
#include "support/support.h"

#include <stdio.h>

#include <tallwide/rtime.h>

static const tw_rate ntsc30 = {30000, 1001}, ntsc60 = {60000, 1001}, ntsc24 = {24000, 1001}, pal = {25, 1};

static void drop_frame_table(void **state)
{
    static const struct {
        int32_t num;
        int64_t frame;
        const char *label;
    } rows[] = {
        {30000, 0, "00:00:00;00"},       {30000, 1799, "00:00:59;29"},    {30000, 1800, "00:01:00;02"},
        {30000, 3597, "00:01:59;29"},    {30000, 3598, "00:02:00;02"},    {30000, 8991, "00:04:59;29"},
        {30000, 8992, "00:05:00;02"},    {30000, 17981, "00:09:59;29"},   {30000, 17982, "00:10:00;00"},
        {30000, 17983, "00:10:00;01"},   {30000, 19781, "00:10:59;29"},   {30000, 19782, "00:11:00;02"},
        {30000, 107892, "01:00:00;00"},  {30000, 1078920, "10:00:00;00"}, {30000, 1084318, "10:03:00;04"},
        {30000, 1084319, "10:03:00;05"}, {30000, 2589407, "23:59:59;29"}, {60000, 3599, "00:00:59;59"},
        {60000, 3600, "00:01:00;04"},    {60000, 7195, "00:01:59;59"},    {60000, 7196, "00:02:00;04"},
        {60000, 35963, "00:09:59;59"},   {60000, 35964, "00:10:00;00"},   {60000, 215784, "01:00:00;00"},
        {60000, 1084319, "05:01:30;03"}, {60000, 5178815, "23:59:59;59"},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        const tw_rate rate = {rows[i].num, 1001};
        tw_row(i, rows[i].label);
        tw_assert_text(tw_tc_text(tw_test_arena(state), rows[i].frame, rate, true), rows[i].label);
        int64_t frame = -1;
        assert_int_equal(tw_tc_read(tw_str_z(rows[i].label), rate, true, &frame), TW_TC_FINE);
        assert_int_equal(frame, rows[i].frame);
    }
}

/* The next label by the rule of counting alone. */
static void count_on(tw_tc *tc, int32_t count, int32_t dropped)
{
    if (++tc->frames < count)
        return;
    tc->frames = 0;
    if (++tc->seconds < 60)
        return;
    tc->seconds = 0;
    tc->hours += tc->minutes == 59;
    tc->minutes = (tc->minutes + 1) % 60;
    if (tc->minutes % 10 != 0)
        tc->frames = dropped;
}

static void walk_a_day(tw_rate rate, bool drop, int32_t dropped)
{
    int64_t day = tw_tc_day(rate, drop), last = tw_test_short() ? day / 100 : day;
    tw_tc tc = {0};
    for (int64_t frame = 0; frame < last; frame++) {
        int64_t back = -1;
        char label[12], rule[48];
        snprintf(rule, sizeof rule, "%02d:%02d:%02d%c%02d", tc.hours, tc.minutes, tc.seconds, drop ? ';' : ':',
                 tc.frames);
        tw_tc_write(frame, rate, drop, false, label);
        tw_tc_fault fault = tw_tc_frames(tc, rate, drop, &back);
        if (fault != TW_TC_FINE || back != frame || !tw_str_is(tw_str_z(label), rule)) {
            tw_row((size_t)frame, rule);
            assert_int_equal(fault, TW_TC_FINE);
            assert_int_equal(back, frame);
            tw_assert_text(tw_str_z(label), rule);
        }
        count_on(&tc, tw_rate_count(rate), dropped);
    }
    if (last == day)
        assert_int_equal(tc.hours, 24);
}

static void every_frame_of_a_day(void **state)
{
    (void)state;
    walk_a_day(ntsc30, true, 2);
    walk_a_day(ntsc60, true, 4);
    walk_a_day(ntsc24, false, 0);
}

/* The formula alone would take a left-out label without complaint: 00:01:00;00 for frame 1798. */
static void left_out_labels(void **state)
{
    (void)state;
    int64_t frame = -7;
    for (int32_t minute = 0; minute < 60; minute++) {
        for (int32_t f = 0; f < 5; f++) {
            const tw_tc tc = {1, minute, 0, f, true};
            tw_row((size_t)minute, "minute");
            bool tens = minute % 10 == 0;
            assert_int_equal(tw_tc_frames(tc, ntsc30, true, &frame), tens || f >= 2 ? TW_TC_FINE : TW_TC_DROPPED);
            assert_int_equal(tw_tc_frames(tc, ntsc60, true, &frame), tens || f >= 4 ? TW_TC_FINE : TW_TC_DROPPED);
            assert_int_equal(tw_tc_frames(tc, ntsc30, false, &frame), TW_TC_FINE);
            assert_int_equal(tw_tc_frames(tc, pal, true, &frame), TW_TC_FINE); /* no drop frame at 25 */
        }
    }
}

static void splitting(void **state)
{
    (void)state;
    static const struct {
        const char *text;
        tw_tc_fault fault;
        size_t at;
    } rows[] = {
        {"01:02:03:04", TW_TC_FINE, 0},      {"1:02:03:04", TW_TC_FINE, 0},       {"01:02:03;04", TW_TC_FINE, 0},
        {"01;02;03;04", TW_TC_FINE, 0},      {"23:59:59:99", TW_TC_FINE, 0},      {"", TW_TC_FORM, 0},
        {"01:02:03", TW_TC_FORM, 8},         {"01:02:03:", TW_TC_FORM, 9},        {"01:02:03:4", TW_TC_FORM, 10},
        {"01:02:03:045", TW_TC_FORM, 11},    {"001:02:03:04", TW_TC_FORM, 2},     {"01:02:0 :04", TW_TC_FORM, 7},
        {" 01:02:03:04", TW_TC_FORM, 0},     {"-1:02:03:04", TW_TC_FORM, 0},      {"01.02.03.04", TW_TC_SEPARATOR, 2},
        {"01:02:03.04", TW_TC_SEPARATOR, 8}, {"01:02:03,04", TW_TC_SEPARATOR, 8}, {"01:02;03:04", TW_TC_SEPARATOR, 5},
        {"01;02;03:04", TW_TC_SEPARATOR, 8}, {"01:60:03:04", TW_TC_MINUTE, 3},    {"01:02:60:04", TW_TC_MINUTE, 6},
        {"24:00:00:00", TW_TC_HOUR, 0},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_row(i, rows[i].text);
        tw_tc tc;
        size_t at = 99;
        assert_int_equal(tw_tc_split(tw_str_z(rows[i].text), &tc, &at), rows[i].fault);
        if (rows[i].fault != TW_TC_FINE)
            assert_int_equal(at, rows[i].at);
    }
    tw_tc tc;
    assert_int_equal(tw_tc_split(TW_STR("01:02:03;04"), &tc, NULL), TW_TC_FINE);
    assert_true(tc.semicolon && tc.hours == 1 && tc.minutes == 2 && tc.seconds == 3 && tc.frames == 4);
}

static void frame_numbers_against_the_count(void **state)
{
    (void)state;
    static const struct {
        tw_rate rate;
        const char *text;
        tw_tc_fault fault;
        int64_t frame;
    } rows[] = {
        {{24000, 1001}, "00:00:01:23", TW_TC_FINE, 47}, {{24000, 1001}, "00:00:01:24", TW_TC_FRAME, 0},
        {{25, 1}, "01:00:00:00", TW_TC_FINE, 90000},    {{25, 1}, "00:00:00:25", TW_TC_FRAME, 0},
        {{50, 1}, "00:00:01:49", TW_TC_FINE, 99},       {{60000, 1001}, "00:00:00:60", TW_TC_FRAME, 0},
        {{24, 1}, "00:61:00:00", TW_TC_MINUTE, 0},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_row(i, rows[i].text);
        int64_t frame = 0;
        assert_int_equal(tw_tc_read(tw_str_z(rows[i].text), rows[i].rate, false, &frame), rows[i].fault);
        assert_int_equal(frame, rows[i].frame);
    }
}

static void days_and_midnight(void **state)
{
    (void)state;
    char label[12];
    assert_int_equal(tw_tc_day(ntsc30, true), 2589408);
    assert_int_equal(tw_tc_day(ntsc60, true), 5178816);
    assert_int_equal(tw_tc_day(ntsc30, false), 2592000);
    assert_int_equal(tw_tc_day(ntsc24, false), 2073600);
    tw_tc_write(2589408, ntsc30, true, false, label);
    tw_assert_text(tw_str_z(label), "00:00:00;00");
    tw_tc_write(-1, pal, false, false, label);
    tw_assert_text(tw_str_z(label), "23:59:59:24");
    tw_tc_write(1800, ntsc30, true, true, label);
    tw_assert_text(tw_str_z(label), "00:01:00:02");
    tw_tc_write(1500, pal, true, false, label); /* drop is ignored where the rate cannot */
    tw_assert_text(tw_str_z(label), "00:01:00:00");
}

TW_SUITE(timecode)
{
    const struct CMUnitTest tests[] = {
        TW_TEST(drop_frame_table),
        TW_TEST(every_frame_of_a_day),
        TW_TEST(left_out_labels),
        TW_TEST(splitting),
        TW_TEST(frame_numbers_against_the_count),
        TW_TEST(days_and_midnight),
    };
    return tw_run("rtime/timecode", tests);
}
