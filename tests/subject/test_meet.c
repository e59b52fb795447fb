/* SPDX-License-Identifier: Apache-2.0 */
#include <tallwide/subject.h>

#include "support/support.h"

/* Two boxes 10 x 10, 5 apart across: 50 in common of 150. */
static void overlap_is_what_it_says(void **state)
{
    const tw_spot a = {0, 0, 10, 10, 1}, b = {5, 0, 10, 10, 1}, c = {20, 0, 10, 10, 1};
    (void)state;
    tw_assert_near(tw_spot_overlap(&a, &b), 1 / 3.0, 1e-12);
    tw_assert_near(tw_spot_overlap(&a, &a), 1, 1e-12);
    tw_assert_near(tw_spot_overlap(&a, &c), 0, 0);
}

static void nearer_and_surer_counts_for_more(void **state)
{
    tw_spot forth[3], back[3], out[3];
    size_t first = 99;
    (void)state;
    for (size_t i = 0; i < 3; i++) {
        forth[i] = (tw_spot){100, 0, 40, 40, 1};
        back[i] = (tw_spot){104, 0, 40, 40, 1};
    }
    assert_int_equal(tw_spots_meet(forth, back, 3, out, &first), 0);
    assert_int_equal(first, 99);
    tw_assert_near(out[0].left, 101, 0.01); /* shares 3 : 1 */
    tw_assert_near(out[1].left, 102, 0.01);
    tw_assert_near(out[2].left, 103, 0.01);
    back[1].sure = 0; /* a guess is not asked */
    tw_spots_meet(forth, back, 3, out, &first);
    tw_assert_near(out[1].left, 100, 0);
    tw_assert_near(out[1].sure, 1, 0);
}

static void where_they_do_not_meet_is_told(void **state)
{
    tw_spot forth[5], back[5], out[5];
    size_t first = 99;
    (void)state;
    for (size_t i = 0; i < 5; i++) {
        forth[i] = (tw_spot){100, 0, 40, 40, 0.8};
        back[i] = (tw_spot){i < 3 ? 200 : 100, 0, 40, 40, 0.8};
    }
    assert_int_equal(tw_spots_meet(forth, back, 5, out, &first), 3);
    assert_int_equal(first, 0);
    tw_assert_near(out[0].left, 100, 0);
    tw_assert_near(out[0].sure, 0.4, 1e-12);
    tw_assert_near(out[4].sure, 0.8, 1e-12);
}

TW_SUITE(meet)
{
    const struct CMUnitTest tests[] = {
        TW_TEST(overlap_is_what_it_says),
        TW_TEST(nearer_and_surer_counts_for_more),
        TW_TEST(where_they_do_not_meet_is_told),
    };
    return tw_run("subject/meet", tests);
}
