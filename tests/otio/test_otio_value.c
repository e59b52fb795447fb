/* SPDX-License-Identifier: Apache-2.0 */
#include "otio/otio_cases.h"

#define CLIP(start, dur, rate) J_VIDEO(J_CLIP("c", J_RANGE(start, dur, rate), ""))

/* What the first clip's range is read as, in frames and rate, and what is said about it. */
static void times(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    static const struct {
        const char *json, *rate;
        double start, dur; /* frames of that rate */
        const char *said;
    } rows[] = {
        {CLIP("86400", "24", "24"), "24/1", 86400, 24, ""},
        {CLIP("86400.0", "24.0", "23.976023976023978"), "24000/1001", 86400, 24, ""},
        {CLIP("10", "24", "23.976"), "24000/1001", 10, 24, ""},
        {CLIP("10", "24", "23.98"), "24000/1001", 10, 24, ""},
        {CLIP("10", "24", "59.94"), "60000/1001", 10, 24, ""},
        {CLIP("10", "24", "29.970029970029969"), "30000/1001", 10, 24, ""},
        {CLIP("10", "24", "23.9775"), "24000/1001", 10, 24, "1:256 TW1314 a rate of 23.9775 is taken for 24000/1001\n"},
        {CLIP("10", "24.0000001", "24"), "24/1", 10, 24, ""},
        {CLIP("10", "24.5", "24"), "24/1", 10, 24.5,
         "1:267 TW1315 24.5 is no whole frame: kept, and rounded where frames are counted\n"},
        {CLIP("-10", "24", "24"), "24/1", -10, 24, ""},
        {CLIP("0", "0", "24"), "24/1", 0, 0, ""},
        {CLIP("1e3", "24", "24"), "24/1", 1000, 24, ""},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_row(i, rows[i].json);
        tw_diags *diags = tw_diags_new(arena);
        const tw_timeline *timeline = otio_case(arena, tw_str_z(rows[i].json), diags);
        assert_non_null(timeline);
        const tw_item *item = &timeline->tracks[0].items[0];
        tw_buf rate = {.arena = arena};
        tw_rate_write(item->source_rate, &rate);
        tw_assert_text(tw_buf_str(&rate), rows[i].rate);
        tw_assert_near(tw_time_seconds(item->source.start) * tw_rate_fps(item->source_rate), rows[i].start, 1e-6);
        tw_assert_near(tw_time_seconds(item->record.dur) * tw_rate_fps(item->source_rate), rows[i].dur, 1e-6);
        tw_assert_text(tw_str_z(otio_findings(arena, rows[i].json)), rows[i].said);
    }
}

static void times_that_are_none(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    static const struct {
        const char *json, *said;
    } rows[] = {
        {CLIP("0", "24", "1e9"), "a rate of 1e9 frames in a second is no rate: a number above 0 is expected"},
        {CLIP("0", "24", "-25"), "a rate of -25 frames in a second is no rate: a number above 0 is expected"},
        {CLIP("0", "1e300", "24"), "a time of 1e300 frames is more than a year"},
        {CLIP("0", "805306392", "24"), "a time of 805306392 frames is more than a year"}, /* 2^25 s + 1 s */
        {CLIP("0", "-1", "24"), "a length of -1 frames: a length cannot be below 0"},
        {CLIP("0", "true", "24"), "\"value\" of a RationalTime.1 is true where a number is expected"},
        {CLIP("0", "{}", "24"),
         "\"value\" of a RationalTime.1 is an object without OTIO_SCHEMA where a number is expected"},
        {J_VIDEO(J_CLIP("c", J_TIME("0", "24"), "")), "a RationalTime.1 stands where a TimeRange.1 is expected"},
        {J_VIDEO(J_CLIP("c", "[]", "")), "\"source_range\" of a Clip.1 is a list where an object or null is expected"},
        {J_VIDEO(J_CLIP("c", "{}", "")), "an object without OTIO_SCHEMA stands where a TimeRange.1 is expected"},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_row(i, rows[i].json);
        tw_diags *diags = tw_diags_new(arena);
        assert_null(otio_case(arena, tw_str_z(rows[i].json), diags));
        tw_assert_text(tw_diags_get(diags, 0)->message, rows[i].said);
    }
}

/* Rates in use go together, those of sound too; six primes do not, and are no rates in use. */
static void rates_that_go_together(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    static const char *const usual[] = {"24",    "23.976", "25",     "29.97",  "30",    "48",    "47.952", "50",
                                        "59.94", "60",     "119.88", "120",    "12",    "15",    "100",    "90000",
                                        "48000", "44100",  "96000",  "192000", "24000", "30000", "600",    "1000"};
    static const char *const odd[] = {"101", "103", "107", "109", "113", "127"};
    tw_buf good = {.arena = arena}, bad = {.arena = arena};
    for (size_t i = 0; i < sizeof usual / sizeof usual[0]; i++)
        tw_buf_addf(&good, "%s" J_CLIP("c", "%s", ""), i > 0 ? "," : "",
                    tw_arena_printf(arena, J_RANGE("0", "24", "%s"), usual[i], usual[i]).at);
    for (size_t i = 0; i < sizeof odd / sizeof odd[0]; i++)
        tw_buf_addf(&bad, "%s" J_CLIP("c", "%s", ""), i > 0 ? "," : "",
                    tw_arena_printf(arena, J_RANGE("0", "24", "%s"), odd[i], odd[i]).at);
    tw_diags *diags = tw_diags_new(arena);
    tw_buf_addc(&good, '\0');
    tw_buf_addc(&bad, '\0');
    assert_non_null(
        otio_case(arena, tw_arena_printf(arena, J_TIMELINE("", J_TRACK("Audio", "", "%s")), good.at), diags));
    assert_null(otio_case(arena, tw_arena_printf(arena, J_VIDEO("%s"), bad.at), diags));
    tw_assert_text(tw_diags_get(diags, 0)->message,
                   "a rate of 127 goes with none of the other rates in this file: times cannot be added up");
}

/* Sound may be cut between frames. */
static void fractions_in_sound(void **state)
{
    otio_fine(tw_test_arena(state),
              J_TIMELINE("", J_TRACK("Audio", "", J_CLIP("c", J_RANGE("0.25", "10.5", "24"), ""))));
}

TW_SUITE(otio_value)
{
    const struct CMUnitTest tests[] = {TW_TEST(times), TW_TEST(times_that_are_none), TW_TEST(fractions_in_sound),
                                       TW_TEST(rates_that_go_together)};
    return tw_run("otio/otio_value", tests);
}
