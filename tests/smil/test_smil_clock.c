/* SPDX-License-Identifier: Apache-2.0 */
#include "support/support.h"

#include "smil/smil_internal.h"

/* SMIL 3.0 Timing, clock values: full, partial and timecount forms. */
static void clock_values(void **state)
{
    (void)state;
    static const struct {
        const char *text;
        int64_t ms; /* -1: refused */
    } rows[] = {
        {"02:30:03", 9003000},
        {"50:00:10.25", 180010250},
        {"02:33", 153000},
        {"00:10.5", 10500},
        {"3.2h", 11520000},
        {"45min", 2700000},
        {"30s", 30000},
        {"5ms", 5},
        {"12.467", 12467},
        {"npt=10.010s", 10010},
        {" npt=10.010s ", 10010},
        {"0s", 0},
        {"", -1},
        {"s", -1},
        {"indefinite", -1},
        {"marker=x", -1},
        {"-3s", -1},
        {"1:2:3:4", -1},
        {"1e400", -1},
        {"smpte=00:00:01:15", 1500}, /* of 30 */
        {"smpte=09:00:02", 32402000},
        {"smpte-25=01:00:00:01", 3600040},
        {"smpte-25=00:00:00:01.50", 60},
        {"smpte-30-drop=00:01:00;02", 60060}, /* the first label of that minute: frame 1800, times 1001 / 30 */
        {"smpte-30-drop=00:01:00:02", 60060},
        {"smpte-25=00:00:00:25", -1},
        {"smpte=1:00:00:00", -1},
        {"smpte=00:00:01:00.5x", -1},
        {"smpte-24=00:00:01:00", -1},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        int64_t ms = -1;
        tw_row(i, rows[i].text);
        assert_int_equal(twi_smil_read_clock(tw_str_z(rows[i].text), &ms), rows[i].ms >= 0);
        if (rows[i].ms >= 0)
            assert_int_equal(ms, rows[i].ms);
    }
}

/* A time rounded up to milliseconds lies in its own frame, and reading takes it back (10,000 frames at each rate). */
static void rounded_up_and_back(void **state)
{
    (void)state;
    static const tw_rate rates[] = {{24000, 1001}, {25, 1}, {30000, 1001}, {60000, 1001}};
    for (size_t r = 0; r < sizeof rates / sizeof rates[0]; r++) {
        for (int64_t frame = 0; frame < 10000; frame++) {
            int64_t ms = twi_smil_ms(tw_time_frames(frame, rates[r]));
            const tw_time t = tw_time_make(ms, 1000);
            assert_int_equal(tw_time_floor(t, rates[r]), frame);
            assert_int_equal(tw_time_round(t, rates[r], NULL), frame);
        }
    }
}

TW_SUITE(smil_clock)
{
    const struct CMUnitTest tests[] = {TW_TEST(clock_values), TW_TEST(rounded_up_and_back)};
    return tw_run("smil/smil_clock", tests);
}
