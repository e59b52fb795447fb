/* SPDX-License-Identifier: Apache-2.0 */
#include "support/support.h"

#include "subject/boxes.h"

static tw_found window(double left, double top, double size)
{
    return (tw_found){{left, top, size, size, 1}, 1};
}

static void windows_that_agree_become_their_mean(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_found hits[] = {window(10, 20, 40), window(200, 20, 40), window(12, 22, 42), window(14, 18, 38)};
    tw_found *out;
    assert_int_equal(twi_found_group(arena, hits, 4, 2, &out), 1);
    assert_int_equal(out[0].votes, 3);
    tw_assert_near(out[0].box.left, 12, 1e-9); /* (10 + 12 + 14) / 3 */
    tw_assert_near(out[0].box.top, 20, 1e-9);
    tw_assert_near(out[0].box.width, 40, 1e-9);
    assert_int_equal(twi_found_group(arena, hits, 4, 1, &out), 2);
    tw_assert_near(out[1].box.left, 200, 1e-9);
    assert_int_equal(twi_found_group(arena, hits, 4, 4, &out), 0);
    assert_int_equal(twi_found_group(arena, hits, 0, 1, &out), 0);
}

/* A fifth of the mean size, 8 of 40: just within, and just beyond. */
static void how_far_apart_is_the_same(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_found near[] = {window(0, 0, 40), window(8, 0, 40)}, far[] = {window(0, 0, 40), window(8.1, 0, 40)};
    tw_found *out;
    assert_int_equal(twi_found_group(arena, near, 2, 1, &out), 1);
    assert_int_equal(twi_found_group(arena, far, 2, 1, &out), 2);
}

/* A chain joins though its ends alone would not. */
static void chains_join(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_found hits[] = {window(0, 0, 40), window(16, 0, 40), window(8, 0, 40)};
    tw_found *out;
    assert_int_equal(twi_found_group(arena, hits, 3, 3, &out), 1);
    tw_assert_near(out[0].box.left, 8, 1e-9);
}

static void small_ones_inside_give_way_to_more_votes(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_found hits[] = {window(0, 0, 100), window(1, 1, 100), window(2, 0, 100), window(30, 30, 40),
                       window(300, 30, 40)};
    tw_found *out;
    assert_int_equal(twi_found_group(arena, hits, 5, 1, &out), 2);
    tw_assert_near(out[0].box.left, 1, 1e-9);
    tw_assert_near(out[1].box.left, 300, 1e-9);
    tw_found other[] = {window(0, 0, 100), window(30, 30, 40), window(31, 30, 40)};
    assert_int_equal(twi_found_group(arena, other, 3, 1, &out), 2); /* the inner one has more: both stay */
    assert_int_equal(out[0].votes, 2);
}

static void the_best_are_kept_in_order(void **state)
{
    (void)state;
    static const double sure[] = {0.3, 0.9, 0.1, 0.5, 0.9, 0.2};
    tw_spot list[3];
    size_t count = 0;
    for (int i = 0; i < 6; i++)
        count = twi_keep_best(list, count, 3, (tw_spot){i, 0, 1, 1, sure[i]});
    assert_int_equal(count, 3);
    assert_int_equal(list[0].left, 1); /* of two alike the earlier comes first */
    assert_int_equal(list[1].left, 4);
    assert_int_equal(list[2].left, 3);
}

TW_SUITE(boxes)
{
    const struct CMUnitTest tests[] = {
        TW_TEST(windows_that_agree_become_their_mean), TW_TEST(how_far_apart_is_the_same), TW_TEST(chains_join),
        TW_TEST(small_ones_inside_give_way_to_more_votes), TW_TEST(the_best_are_kept_in_order)};
    return tw_run("subject/boxes", tests);
}
