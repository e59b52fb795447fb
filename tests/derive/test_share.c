/* SPDX-License-Identifier: Apache-2.0 */
#include "support/support.h"

#include "derive/derive_internal.h"
#include "derive/hand_plan.h"

/* Two cuts to one set-up, each of which alone would sit somewhere else: one window serves both when one exists. */
static void a_set_up_keeps_its_framing(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    static const struct {
        const char *name;
        double second_left; /* of the box in the second shot; the first has it at 0.40..0.45 */
        bool shared;
    } rows[] = {
        {"near: one window holds both", 0.50, true},
        {"far: no window of 2430 px holds 0.40 and 0.95", 0.90, false},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_row(i, rows[i].name);
        tw_region_key keys[] = {{100, 0.40, 0.4, 0.05, 0.1}, {200, rows[i].second_left, 0.4, 0.05, 0.1}};
        hand_plan h;
        tw_item items[] = {hand_clip("A003", 0, 50, 50), hand_clip("B001", 50, 0, 10), hand_clip("A003", 60, 200, 50)};
        tw_track track = hand_track(TW_TRACK_VIDEO, items, 3);
        tw_derived *derived = NULL;
        const tw_derive_options options = {.threads = 1};
        assert_int_equal(tw_derive(arena, hand_plan_make(&h, "A003", keys, 2), hand_timeline(arena, &track, 1),
                                   &options, tw_diags_new(arena), &derived),
                         TW_OK);
        const tw_decision *shots = derived->deliveries[0].shots;
        assert_int_equal(shots[0].shared, rows[i].shared);
        assert_int_equal(shots[2].shared, rows[i].shared);
        assert_false(shots[1].shared);
        bool same = shots[0].framing->keys[0].cx == shots[2].framing->keys[0].cx;
        assert_int_equal(same, rows[i].shared);
    }
}

TW_SUITE(share)
{
    const struct CMUnitTest tests[] = {TW_TEST(a_set_up_keeps_its_framing)};
    return tw_run("derive/share", tests);
}
