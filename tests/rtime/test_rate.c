/* SPDX-License-Identifier: Apache-2.0 */
#include "support/support.h"

#include <math.h>

#include <tallwide/rtime.h>

/* The rates of ST 12-1 and the ways files and people write them. */
static void snapping(void **state)
{
    (void)state;
    static const struct {
        double fps;
        tw_rate rate;
        bool exact;
    } rows[] = {
        {23.976, {24000, 1001}, false},
        {23.98, {24000, 1001}, false},
        {23.976023976023978, {24000, 1001}, true},
        {24, {24, 1}, true},
        {24.0001, {24, 1}, false},
        {25, {25, 1}, true},
        {29.97, {30000, 1001}, false},
        {29.97002997002997, {30000, 1001}, true},
        {30, {30, 1}, true},
        {47.952, {48000, 1001}, false},
        {48, {48, 1}, true},
        {50, {50, 1}, true},
        {59.94, {60000, 1001}, false},
        {60, {60, 1}, true},
        {12, {12, 1}, true},
        {120, {120, 1}, true},
        {119.88, {120000, 1001}, false},
        {14.985, {15000, 1001}, false},
        {12.5, {25, 2}, true},
        {23.9, {239, 10}, true},
        {17.0 / 3, {17, 3}, true},
        {33585.0 / 1001, {33585, 1001}, true},
        {33.333333, {33333, 1000}, false}, /* is no double of 100/3 */
        {1, {1, 1}, true},
        {90000, {90000, 1}, true},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_row(i, "snap");
        tw_rate rate = {0, 0};
        bool exact = !rows[i].exact;
        assert_true(tw_rate_snap(rows[i].fps, &rate, &exact));
        assert_int_equal(rate.num, rows[i].rate.num);
        assert_int_equal(rate.den, rows[i].rate.den);
        assert_int_equal(exact, rows[i].exact);
    }
    const double bad[] = {0, -24, 1e6, 1e300, (double)NAN, (double)INFINITY, -(double)INFINITY, 1e-9};
    for (size_t i = 0; i < sizeof bad / sizeof bad[0]; i++) {
        tw_row(i, "not a rate");
        tw_rate rate = {7, 7};
        assert_false(tw_rate_snap(bad[i], &rate, NULL));
        assert_int_equal(rate.num, 7);
    }
}

static void reading(void **state)
{
    (void)state;
    static const struct {
        const char *text;
        tw_rate rate; /* {0,0}: refused */
        bool drop;
    } rows[] = {
        {"24", {24, 1}, false},
        {"25/1", {25, 1}, false},
        {"30000/1001", {30000, 1001}, false},
        {"29.97", {30000, 1001}, false},
        {"29.97df", {30000, 1001}, true},
        {"29.97DF", {30000, 1001}, true},
        {"59.94ndf", {60000, 1001}, false},
        {"59.94 df", {60000, 1001}, true},
        {"30000/1001df", {30000, 1001}, true},
        {"30df", {30000, 1001}, true},
        {"50/2", {25, 1}, false},
        {"17/3", {17, 3}, false},
        {"1199/50", {24000, 1001}, false}, /* 23.98 */
        {" 23.976 ", {24000, 1001}, false},
        {"25df", {0, 0}, false},
        {"23.976df", {0, 0}, false},
        {"", {0, 0}, false},
        {"df", {0, 0}, false},
        {"24/0", {0, 0}, false},
        {"0", {0, 0}, false},
        {"-24", {0, 0}, false},
        {"1001", {0, 0}, false},
        {"24p", {0, 0}, false},
        {"24/1/1", {0, 0}, false},
        {"1/2", {0, 0}, false},
        {"nan", {0, 0}, false},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_row(i, rows[i].text);
        tw_rate rate = {0, 0};
        bool drop = false;
        assert_int_equal(tw_rate_read(tw_str_z(rows[i].text), &rate, &drop), rows[i].rate.num != 0);
        assert_int_equal(rate.num, rows[i].rate.num);
        assert_int_equal(rate.den, rows[i].rate.den);
        assert_int_equal(drop, rows[i].drop);
    }
}

static void counts(void **state)
{
    (void)state;
    static const struct {
        tw_rate rate;
        int32_t count;
        bool drop;
    } rows[] = {
        {{24000, 1001}, 24, false}, {{24, 1}, 24, false}, {{25, 1}, 25, false},
        {{30000, 1001}, 30, true},  {{30, 1}, 30, false}, {{50, 1}, 50, false},
        {{60000, 1001}, 60, true},  {{25, 2}, 13, false}, {{1, 1}, 1, false},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_row(i, "count");
        assert_int_equal(tw_rate_count(rows[i].rate), rows[i].count);
        assert_int_equal(tw_rate_can_drop(rows[i].rate), rows[i].drop);
    }
}

static void writing_and_order(void **state)
{
    tw_buf out = {.arena = tw_test_arena(state)};
    tw_rate_write((tw_rate){24000, 1001}, &out);
    tw_buf_addc(&out, ' ');
    tw_rate_write((tw_rate){24, 1}, &out);
    tw_buf_addc(&out, ' ');
    tw_rate_write_spoken((tw_rate){24000, 1001}, false, &out);
    tw_buf_addc(&out, ' ');
    tw_rate_write_spoken((tw_rate){30000, 1001}, true, &out);
    tw_buf_addc(&out, ' ');
    tw_rate_write_spoken((tw_rate){12, 1}, false, &out);
    tw_buf_addc(&out, ' ');
    tw_rate_write_spoken((tw_rate){25, 2}, false, &out);
    tw_assert_text(tw_buf_str(&out), "24000/1001 24/1 23.976 29.97 drop frame 12 25/2");

    assert_true(tw_rate_cmp((tw_rate){24000, 1001}, (tw_rate){24, 1}) < 0);
    assert_true(tw_rate_cmp((tw_rate){25, 1}, (tw_rate){24, 1}) > 0);
    assert_int_equal(tw_rate_cmp((tw_rate){25, 1}, (tw_rate){25, 1}), 0);
    assert_true(tw_rate_eq((tw_rate){25, 1}, (tw_rate){25, 1}));
    assert_false(tw_rate_known((tw_rate){0, 0}));
    assert_true(tw_rate_known((tw_rate){24000, 1001}));
}

TW_SUITE(rate)
{
    const struct CMUnitTest tests[] = {TW_TEST(snapping), TW_TEST(reading), TW_TEST(counts),
                                       TW_TEST(writing_and_order)};
    return tw_run("rtime/rate", tests);
}
