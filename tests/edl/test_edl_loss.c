/* SPDX-License-Identifier: Apache-2.0 */
#include "edl/edl_out.h"
#include "edl_support.h"

static void one_sentence_each(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    static const tw_timeline timeline = {.file = {"t.otio", 6}};
    tw_item item = tw_timeline_item(TW_ITEM_CLIP);
    item.place = (tw_place){.file = TW_STR("t.otio"), .pointer = TW_STR("/tracks/0")};
    twi_out out = {.arena = arena, .timeline = &timeline, .diags = tw_diags_new(arena)};
    twi_edl_say_losses(&out);
    assert_int_equal(tw_diags_kept(out.diags), 0);
    twi_edl_lose(&out, TWI_LOSS_NEST, &item);
    for (size_t i = 0; i < 12; i++)
        twi_edl_lose(&out, TWI_LOSS_DISABLED, i == 0 ? &item : NULL);
    twi_edl_lose(&out, TWI_LOSS_MARKER, NULL);
    twi_edl_say_losses(&out);
    tw_assert_text(
        tw_str_z(tw_findings(arena, out.diags)),
        "t.otio: warning TW1251: 12 clips are switched off, this one first: a list cannot say so, they are left "
        "out (at /tracks/0)\n"
        "t.otio: warning TW1252: this nested timeline is written as one event; what is in it is not (at "
        "/tracks/0)\n"
        "t.otio: warning TW1257: a marker of something other than a clip has no place in a list: it is left "
        "out\n");
}

/* Whole frames pass, the nearest one is taken for others and counted. */
static void whole_frames(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    twi_out out = {.arena = arena};
    assert_int_equal(twi_edl_whole(&out, tw_time_make(1, 2), (tw_rate){24, 1}, NULL), 12);
    assert_int_equal(out.lost[TWI_LOSS_SUBFRAME].count, 0);
    assert_int_equal(twi_edl_whole(&out, tw_time_make(13, 50), (tw_rate){24, 1}, NULL), 6); /* 6.24 */
    assert_int_equal(out.lost[TWI_LOSS_SUBFRAME].count, 1);
}

TW_SUITE(edl_loss)
{
    const struct CMUnitTest tests[] = {TW_TEST(one_sentence_each), TW_TEST(whole_frames)};
    return tw_run("edl/edl_loss", tests);
}
