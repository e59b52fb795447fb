/* SPDX-License-Identifier: Apache-2.0 */
#include "support/support.h"
#include "report/hand.h"
#include "report/report_internal.h"

/* Every radio button is named by a rule, and every rule names a button: the filters work by style alone. */
static void a_rule_for_every_button(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_buf style = {.arena = arena}, form = {.arena = arena};
    hand *h = hand_derived(arena);
    tw_derived_delivery two[] = {h->derived_delivery, h->derived_delivery};
    h->derived.deliveries = two;
    h->derived.delivery_count = 2;
    tw_xml x = {.out = &style}, y = {.out = &form};
    twi_sheet s = {.arena = arena, .derived = &h->derived, .x = &x};
    twi_sheet_style(&s);
    s.x = &y;
    twi_sheet_filter(&s);
    static const char *const ids[] = {"f", "f0", "f1", "k-eyes", "k-moving", "k-open"};
    for (size_t i = 0; i < sizeof ids / sizeof ids[0]; i++) {
        tw_row(i, ids[i]);
        tw_assert_holds(tw_buf_str(&form), tw_arena_printf(arena, "id=\"%s\"", ids[i]).at);
        tw_assert_holds(tw_buf_str(&style), tw_arena_printf(arena, "has(#%s:checked)", ids[i]).at);
    }
    tw_assert_holds(tw_buf_str(&style), ".filter:has(#k-eyes:checked):has(#f1:checked)+.shots .shot:not(.e1)");
    assert_false(tw_str_holds(tw_buf_str(&style), TW_STR("has(#f2:")));
    assert_false(
        tw_str_holds(tw_buf_str(&style), TW_STR("svg text{"))); /* would not reach the names that "use" repeats */
    assert_false(
        tw_str_holds(tw_buf_str(&style), TW_STR("body:has("))); /* asked again after every change of 2,000 shots */
}

TW_SUITE(sheet_style)
{
    const struct CMUnitTest tests[] = {TW_TEST(a_rule_for_every_button)};
    return tw_run("report/sheet_style", tests);
}
