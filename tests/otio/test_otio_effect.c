/* SPDX-License-Identifier: Apache-2.0 */
#include "otio/otio_cases.h"

#define CLIP(effects) J_VIDEO(J_CLIP("c", J_RANGE("100", "48", "24"), "\"effects\":[" effects "],"))

/* The length is not changed; media time at clip time t is s + (t - s) k (the reference library's description of
 * LinearTimeWarp). Media used, source frame of the last frame: worked out from that. */
static void retimes(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    static const struct {
        const char *json;
        double speed, used, last;
    } rows[] = {
        {CLIP(""), 1, 48, 147},
        {CLIP(J_WARP("LinearTimeWarp.1", "2")), 2, 96, 194},
        {CLIP(J_WARP("LinearTimeWarp.1", "0.5")), 0.5, 24, 123.5},
        {CLIP(J_WARP("LinearTimeWarp.1", "-1.0")), -1, 48, 53},
        {CLIP(J_WARP("FreezeFrame.1", "0")), 0, 1, 100},
        {CLIP(J_WARP("LinearTimeWarp.1", "2") "," J_WARP("LinearTimeWarp.1", "1.5")), 3, 144, 241},
        {CLIP(J_WARP("LinearTimeWarp.1", "2") "," J_WARP("FreezeFrame.1", "0")), 0, 1, 100},
        {CLIP(J_WARP("LinearTimeWarp.1", "2,\"enabled\":false")), 1, 48, 147},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_row(i, rows[i].json);
        tw_diags *diags = tw_diags_new(arena);
        const tw_timeline *timeline = otio_case(arena, tw_str_z(rows[i].json), diags);
        const tw_item *item = &timeline->tracks[0].items[0];
        tw_assert_near(item->speed, rows[i].speed, 0);
        tw_assert_near(at24(item->record.dur), 48, 1e-9);
        tw_assert_near(at24(item->source.dur), rows[i].used, 1e-9);
        tw_assert_near(tw_item_source_frame(timeline, item, 47), rows[i].last, 1e-9);
        assert_int_equal(tw_diags_count(diags, TW_WARNING), 0);
    }
}

static void what_is_said(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    static const struct {
        const char *json, *said;
    } rows[] = {
        {CLIP("{\"OTIO_SCHEMA\":\"Effect.1\",\"effect_name\":\"blur\"}"), ""},
        {CLIP("{\"OTIO_SCHEMA\":\"Glow.1\"}"),
         "1:177 TW1313 a Glow.1 is an effect nobody knows: kept as it is, and not followed\n"},
        {CLIP(J_WARP("LinearTimeWarp.1", "-1")),
         "1:177 TW1320 \"c\" plays backwards: the start of its range is taken for the first frame shown\n"},
        {CLIP(J_WARP("LinearTimeWarp.1", "2") "," J_WARP("LinearTimeWarp.1", "2")),
         "1:245 TW1321 2 time effects on \"c\": they multiply to a speed of 4.0\n"},
        {CLIP("{\"OTIO_SCHEMA\":\"TimeEffect.1\",\"effect_name\":\"ramp\"}"),
         "1:177 TW1326 the time effect \"ramp\" bends time in a way the file does not tell: framing goes by normal "
         "speed\n"},
        {CLIP(J_WARP("LinearTimeWarp.1", "1e7")), "1:227 TW1305 a time_scalar of 1e7 is no speed\n"},
        {CLIP("null"), "1:162 TW1305 null stands where an effect is expected\n"},
        {CLIP("{\"OTIO_SCHEMA\":\"Clip.1\"}"), "1:177 TW1305 a Clip.1 stands where an effect is expected\n"},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_row(i, rows[i].json);
        tw_assert_text(tw_str_z(otio_findings(arena, rows[i].json)), rows[i].said);
    }
}

TW_SUITE(otio_effect)
{
    const struct CMUnitTest tests[] = {TW_TEST(retimes), TW_TEST(what_is_said)};
    return tw_run("otio/otio_effect", tests);
}
