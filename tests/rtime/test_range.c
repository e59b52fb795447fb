/* SPDX-License-Identifier: Apache-2.0 */
#include "support/support.h"

#include <tallwide/rtime.h>

static tw_range seconds(int64_t start, int64_t dur)
{
    return (tw_range){tw_time_make(start, 1), tw_time_make(dur, 1)};
}

static void half_open(void **state)
{
    (void)state;
    const tw_range r = seconds(10, 5);
    assert_true(tw_time_eq(tw_range_end(r), tw_time_make(15, 1)));
}

static void from_ends(void **state)
{
    (void)state;
    assert_true(tw_time_eq(tw_range_of(tw_time_make(3, 1), tw_time_make(7, 2)).dur, tw_time_make(1, 2)));
    assert_true(tw_time_eq(tw_range_of(tw_time_make(3, 1), tw_time_make(2, 1)).dur, tw_time_make(-1, 1)));
}

static void common_part(void **state)
{
    (void)state;
    static const struct {
        int64_t a[2], b[2], start, dur;
    } rows[] = {
        {{0, 10}, {5, 10}, 5, 5}, {{5, 10}, {0, 10}, 5, 5}, {{0, 10}, {2, 3}, 2, 3},
        {{0, 5}, {5, 5}, 5, 0},   {{0, 5}, {9, 5}, 9, 0},   {{-4, 8}, {-2, 1}, -2, 1},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_row(i, "cut");
        tw_range cut = tw_range_cut(seconds(rows[i].a[0], rows[i].a[1]), seconds(rows[i].b[0], rows[i].b[1]));
        assert_true(tw_time_eq(cut.start, tw_time_make(rows[i].start, 1)));
        assert_true(tw_time_eq(cut.dur, tw_time_make(rows[i].dur, 1)));
    }
}

TW_SUITE(range)
{
    const struct CMUnitTest tests[] = {TW_TEST(half_open), TW_TEST(from_ends), TW_TEST(common_part)};
    return tw_run("rtime/range", tests);
}
