/* SPDX-License-Identifier: Apache-2.0 */
#include "support/support.h"
#include "report/hand.h"
#include "report/sheet_draw.h"

static tw_str regions_of(tw_arena *arena, const hand *h)
{
    tw_buf out = {.arena = arena};
    tw_xml x = {.out = &out};
    const twi_sheet s = {.arena = arena, .derived = &h->derived, .x = &x};
    twi_names taken = {.size = 4320 * TWI_LETTERS};
    twi_sheet_regions(&s, 1, h->source.size, &taken);
    return tw_buf_str(&out);
}

/* Held from 1010 to 1080 of the source frames 1000..1096, so from a share of 10/96 to 80/96; moved from left .4 to .5
 * of 5760 over the shot's first 48 frames, of which the first 10 are not seen: at 10 it is at .4 + .1 * 10/48. Its
 * name begins .3 of a letter (4320 * .06) above it. */
static void come_and_go(void **state)
{
    static tw_region_key keys[] = {{1000, .4, .4, .1, .2}, {1048, .5, .4, .1, .2}};
    hand *h = hand_derived(tw_test_arena(state));
    h->region.keys = keys;
    h->region.key_count = 2;
    h->shots[1].note_count = 1;
    h->note.in = 1010;
    h->note.out = 1080;
    h->note.has_in = h->note.has_out = true;
    tw_assert_text(regions_of(tw_test_arena(state), h),
                   "<g class=\"must\" transform=\"translate(2424 1728)\"><animateTransform attributeName=\"transform\""
                   " dur=\"4.004s\" repeatCount=\"indefinite\" type=\"translate\""
                   " values=\"2424 1728;2424 1728;2880 1728;2880 1728;2880 1728\""
                   " keyTimes=\"0;0.104167;0.5;0.822917;1\"/><animate attributeName=\"opacity\" dur=\"4.004s\""
                   " repeatCount=\"indefinite\" calcMode=\"discrete\" values=\"0;1;0\""
                   " keyTimes=\"0;0.104167;0.833333\"/><rect width=\"576\" height=\"864\"/>"
                   "<text y=\"-77.8\">hands</text></g>\n");
}

TW_SUITE(sheet_region)
{
    const struct CMUnitTest tests[] = {TW_TEST(come_and_go)};
    return tw_run("report/sheet_region", tests);
}
