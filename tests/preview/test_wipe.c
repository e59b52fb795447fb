/* SPDX-License-Identifier: Apache-2.0 */
#include "support/support.h"

#include <tallwide/preview.h>

/* From memory of SMIL 3.0, table of wipes: what is seen of the new picture first, and what last. */
static const struct {
    int number;
    double first[2], last[2];
} rows[] = {
    {1, {0.01, 0.5}, {0.99, 0.5}},    /* bar, from left to right */
    {2, {0.5, 0.01}, {0.5, 0.99}},    /* bar, from top to bottom */
    {3, {0.01, 0.01}, {0.99, 0.99}},  /* box, from the left top corner */
    {4, {0.99, 0.01}, {0.01, 0.99}},  /* right top */
    {5, {0.99, 0.99}, {0.01, 0.01}},  /* right bottom */
    {6, {0.01, 0.99}, {0.99, 0.01}},  /* left bottom */
    {21, {0.5, 0.01}, {0.01, 0.5}},   /* doors that open from an upright line */
    {22, {0.01, 0.5}, {0.5, 0.99}},   /* from a level line */
    {41, {0.01, 0.01}, {0.99, 0.99}}, /* slope, from the left top corner */
    {42, {0.99, 0.01}, {0.01, 0.99}}, /* from the right top corner */
    {101, {0.5, 0.5}, {0.01, 0.99}},  /* iris, a rectangle */
    {102, {0.5, 0.5}, {0.99, 0.01}},  /* iris, a diamond */
};

#define ROWS (sizeof rows / sizeof rows[0])

static void directions(void **state)
{
    (void)state;
    for (size_t i = 0; i < ROWS; i++) {
        tw_row(i, "wipe");
        assert_true(tw_preview_wiped(rows[i].number, rows[i].first[0], rows[i].first[1], 0.1));
        assert_false(tw_preview_wiped(rows[i].number, rows[i].last[0], rows[i].last[1], 0.9));
        assert_true(tw_preview_wiped(rows[i].number, rows[i].last[0], rows[i].last[1], 1));
        assert_false(tw_preview_wiped(rows[i].number, rows[i].first[0], rows[i].first[1], 0));
    }
}

static void names(void **state)
{
    (void)state;
    for (size_t i = 0; i < ROWS; i++) {
        tw_arena *arena = tw_test_arena(state);
        assert_int_equal(tw_preview_wipe(tw_arena_printf(arena, "wipe %03d", rows[i].number)), rows[i].number);
    }
    assert_int_equal(tw_preview_wipe(TW_STR("SMPTE_Dissolve")), 0);
    assert_int_equal(tw_preview_wipe(TW_STR("dissolve")), 0);
    assert_int_equal(tw_preview_wipe(TW_STR("wipe 231")), -1);
    assert_int_equal(tw_preview_wipe(TW_STR("wipe")), -1);
    assert_int_equal(tw_preview_wipe(TW_STR("Custom_Transition")), -1);
}

TW_SUITE(wipe)
{
    const struct CMUnitTest tests[] = {TW_TEST(directions), TW_TEST(names)};
    return tw_run("preview/wipe", tests);
}
