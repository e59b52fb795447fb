/* SPDX-License-Identifier: Apache-2.0 */
#include "support/support.h"
#include "report/hand.h"
#include "report/sheet_draw.h"

/* The hand-made moving shot has 96 frames at 24000/1001, which last 4.004 s. */
static tw_str written(tw_arena *arena, const char *attribute, twi_window_part part, const twi_motion *motion)
{
    const hand *h = hand_derived(arena);
    tw_buf out = {.arena = arena};
    tw_xml x = {.out = &out};
    const twi_sheet s = {.arena = arena, .derived = &h->derived, .x = &x};
    const twi_clock c = twi_move_clock(&s, &h->shots[1]);
    twi_move_window(&c, motion, attribute, part, 2);
    return tw_buf_str(&out);
}

/* Squeezed 2:1, so left and width are twice what they are in the recorded picture. */
static void parts_of_a_window(void **state)
{
    static twi_point points[] = {{0, {10, 20, 30, 40}, {1.0 / 3, 2.0 / 3}}, {24, {11, 22, 33, 44}, {1.0 / 3, 2.0 / 3}}};
    const twi_motion straight = {.at = points, .len = 2};
    static const struct {
        const char *attribute, *expected;
        twi_window_part part;
    } rows[] = {
        {"viewBox", "values=\"20 20 60 40;22 22 66 44\"", twi_move_add_window},
        {"width", "values=\"60;66\"", twi_move_add_width},
        {"height", "values=\"40;44\"", twi_move_add_height},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_row(i, rows[i].attribute);
        tw_assert_text(written(tw_test_arena(state), rows[i].attribute, rows[i].part, &straight),
                       tw_arena_printf(tw_test_arena(state),
                                       "<animate attributeName=\"%s\" dur=\"4.004s\" repeatCount=\"indefinite\" %s"
                                       " keyTimes=\"0;0.25\"/>\n",
                                       rows[i].attribute, rows[i].expected)
                           .at);
    }
}

static void curved_and_translated(void **state)
{
    static twi_point points[] = {{0, {10, 20, 30, 40}, {0, 0.5}}, {96, {11, 22, 30, 40}, {1.0 / 3, 2.0 / 3}}};
    const twi_motion curved = {.at = points, .len = 2, .curved = true};
    tw_assert_text(written(tw_test_arena(state), "transform", twi_move_add_corner, &curved),
                   "<animateTransform attributeName=\"transform\" dur=\"4.004s\" repeatCount=\"indefinite\""
                   " type=\"translate\" values=\"20 20;22 22\" keyTimes=\"0;1\" calcMode=\"spline\""
                   " keySplines=\".33333 0 .66667 0.5\"/>\n");
}

/* Frames outside the shot are held to its ends: SVG animation refuses times outside 0..1. */
static void shares_of_a_shot(void **state)
{
    const hand *h = hand_derived(tw_test_arena(state));
    tw_buf out = {.arena = tw_test_arena(state)};
    const twi_sheet s = {.arena = out.arena, .derived = &h->derived};
    twi_clock c = twi_move_clock(&s, &h->shots[1]);
    c.first = -12;
    static const double frames[] = {-20, -12, 36, 84, 90};
    for (size_t i = 0; i < 5; i++) {
        twi_move_share(&c, frames[i], &out);
        tw_buf_addc(&out, ' ');
    }
    tw_assert_text(tw_buf_str(&out), "0 0 0.5 1 1 ");
}

TW_SUITE(sheet_move)
{
    const struct CMUnitTest tests[] = {TW_TEST(parts_of_a_window), TW_TEST(curved_and_translated),
                                       TW_TEST(shares_of_a_shot)};
    return tw_run("report/sheet_move", tests);
}
