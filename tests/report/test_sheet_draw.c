/* SPDX-License-Identifier: Apache-2.0 */
#include "support/support.h"
#include "report/hand.h"
#include "report/report_internal.h"

static void draws(void **state, const hand *h, const char *const *parts, size_t count)
{
    tw_buf out = {.arena = tw_test_arena(state)};
    tw_xml x = {.out = &out};
    const twi_sheet s = {.arena = out.arena, .derived = &h->derived, .x = &x};
    twi_sheet_whole(&s, 1, (tw_str){NULL, 0});
    for (size_t i = 0; i < count; i++) {
        tw_row(i, parts[i]);
        tw_assert_holds(tw_buf_str(&out), parts[i]);
    }
}

static void moving_region(hand *h)
{
    static tw_region_key keys[] = {{1000, .4, .4, .1, .2}, {1048, .5, .4, .1, .2}};
    h->region.keys = keys;
    h->region.key_count = 2;
    h->shots[1].note_count = 1;
}

/* Where no window moves nothing does, and the region stands where the clip's first frame, 1000, has it: .4 of 5760. */
static void still_where_no_window_moves(void **state)
{
    hand *h = hand_derived(tw_test_arena(state));
    moving_region(h);
    h->framings[1].key_count = 1;
    tw_buf out = {.arena = tw_test_arena(state)};
    tw_xml x = {.out = &out};
    const twi_sheet s = {.arena = out.arena, .derived = &h->derived, .x = &x};
    twi_sheet_whole(&s, 1, (tw_str){NULL, 0});
    tw_assert_holds(tw_buf_str(&out), "<g class=\"must\" transform=\"translate(2304 1728)\">");
    assert_false(tw_str_holds(tw_buf_str(&out), TW_STR("<animate")));
    h->framings[1].key_count = 2;
    out.len = 0;
    x = (tw_xml){.out = &out};
    twi_sheet_whole(&s, 1, (tw_str){NULL, 0});
    tw_assert_holds(tw_buf_str(&out), "<animateTransform");
}

/* A picture squeezed 2:1 is drawn twice as wide as recorded, and so is what lies in it. */
static void squeezed(void **state)
{
    static const char *const parts[] = {
        "viewBox=\"0 0 11520 4320\"",
        "<rect class=\"win\" x=\"3330\" y=\"-2160\" width=\"4860\" height=\"8640\"/>",
    };
    hand *h = hand_derived(tw_test_arena(state));
    h->source.squeeze = 2;
    h->framings[1].squeeze = 2;
    draws(state, h, parts, sizeof parts / sizeof parts[0]);
}

TW_SUITE(sheet_draw)
{
    const struct CMUnitTest tests[] = {TW_TEST(still_where_no_window_moves), TW_TEST(squeezed)};
    return tw_run("report/sheet_draw", tests);
}
