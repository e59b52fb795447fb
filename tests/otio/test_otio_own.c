/* SPDX-License-Identifier: Apache-2.0 */
#include "otio/otio_cases.h"

#define CLIP(own) J_VIDEO(J_CLIP("c", J_RANGE("0", "24", "24"), "\"metadata\":{\"tallwide\":" own "},"))

static void kept_for_lists(void **state)
{
    const tw_timeline *timeline = otio_fine(
        tw_test_arena(state), CLIP("{\"channels\":3,\"event\":\"012\",\"reel\":\"A003\",\"remarks\":[\"* ONE\",\"\"],"
                                   "\"record_frames\":24,\"source_drop\":true,\"source_frames\":25}"));
    const tw_item *item = &timeline->tracks[0].items[0];
    tw_assert_text(item->event, "012");
    tw_assert_text(item->reel, "A003");
    assert_int_equal(item->channels, 3);
    assert_true(item->source_drop);
    assert_int_equal(item->remark_count, 2);
    tw_assert_text(item->remarks[0].text, "* ONE");
    tw_assert_near(at24(item->source.dur), 25, 1e-9);
    tw_assert_near(at24(item->record.dur), 24, 1e-9);
}

/* Kept numbers that no longer go with the clip, and values of another kind, are not taken. */
static void passed_over(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    static const struct {
        const char *json, *said;
    } rows[] = {
        {CLIP("{\"source_frames\":48}"), ""},
        {CLIP("{\"record_frames\":48,\"source_frames\":49}"), ""}, /* the clip has been trimmed to 24 since */
        {CLIP("{\"channels\":-1}"), ""},
        {CLIP("{\"event\":12}"), "1:183 TW1332 \"event\" is the number 12 where a text is expected: passed over\n"},
        {CLIP("{\"remarks\":\"x\"}"),
         "1:185 TW1332 \"remarks\" is the text \"x\" where a list is expected: passed over\n"},
        {CLIP("[]"), ""},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_row(i, rows[i].json);
        tw_assert_text(tw_str_z(otio_findings(arena, rows[i].json)), rows[i].said);
        tw_diags *diags = tw_diags_new(arena);
        const tw_item *item = &otio_case(arena, tw_str_z(rows[i].json), diags)->tracks[0].items[0];
        tw_assert_near(at24(item->source.dur), 24, 1e-9);
        assert_int_equal(item->event.len + item->channels + item->remark_count, 0);
    }
}

static void drop_frame(void **state)
{
    tw_arena *arena = tw_test_arena(state);
#define TIMELINE_AT(rate)                                                                                              \
    J_TIMELINE("\"metadata\":{\"tallwide\":{\"drop\":true}},",                                                         \
               J_TRACK("Video", "", J_CLIP("c", J_RANGE("0", "24", rate), "")))
    assert_true(otio_fine(arena, TIMELINE_AT("29.97"))->drop);
    assert_false(otio_fine(arena, TIMELINE_AT("24"))->drop);
    assert_false(otio_fine(arena, J_VIDEO(J_CLIP("c", J_RANGE("0", "24", "29.97"), "")))->drop);
}

/* Said where most clips count otherwise; and the start counts so, or the rate is of no concern. */
static void rate(void **state)
{
    tw_arena *arena = tw_test_arena(state);
#define TIMELINE_FROM(rate)                                                                                            \
    J_TIMELINE("\"global_start_time\":" J_TIME("0", rate) ",\"metadata\":{\"tallwide\":{\"rate\":25.0}},",             \
               J_TRACK("Video", "", J_CLIP("c", J_RANGE("0", "24", "24"), "")))
    assert_int_equal(otio_fine(arena, TIMELINE_FROM("25"))->rate.num, 25);
    assert_int_equal(otio_fine(arena, TIMELINE_FROM("30"))->rate.num, 24);
}

TW_SUITE(otio_own)
{
    const struct CMUnitTest tests[] = {TW_TEST(kept_for_lists), TW_TEST(passed_over), TW_TEST(drop_frame),
                                       TW_TEST(rate)};
    return tw_run("otio/otio_own", tests);
}
