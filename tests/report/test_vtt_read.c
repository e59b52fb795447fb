/* SPDX-License-Identifier: Apache-2.0 */
#include "support/support.h"
#include "report/hand.h"
#include "report/report_internal.h"

#include <string.h>

static tw_status read(tw_arena *arena, const char *text, twi_cues *out, const char **findings)
{
    tw_diags *diags = tw_diags_new(arena);
    tw_status status = twi_report_vtt_read(arena, tw_str_z(text), TW_STR("t.vtt"), diags, out);
    *findings = tw_findings(arena, diags);
    return status;
}

/* Frame 48 at 24000/1001 is at 2.002 s exactly, 72 at 3.003, 96 at 4.004 (test_vtt.c). */
static void what_was_written(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_buf track = {.arena = arena};
    tw_report_vtt(&hand_derived(arena)->derived, 0, &track);
    tw_buf_addc(&track, '\0');
    const char *findings;
    twi_cues cues;
    assert_int_equal(read(arena, track.at, &cues, &findings), TW_OK);
    tw_assert_text(tw_str_z(findings), "");
    static const struct {
        const char *id;
        int64_t from, to;
    } rows[] = {
        {"s1-1", 0, 2002}, {"s2-1", 2002, 3003}, {"s2-2", 3003, 4004}, {"s2-3", 4004, 6006}, {"s3-1", 6006, 7007}};
    assert_int_equal(cues.len, 5);
    for (size_t i = 0; i < cues.len; i++) {
        tw_row(i, rows[i].id);
        tw_assert_text(cues.at[i].id, rows[i].id);
        assert_int_equal(cues.at[i].from, rows[i].from);
        assert_int_equal(cues.at[i].to, rows[i].to);
    }
    tw_assert_text(cues.at[0].text, "001 A003 still on hands, window 1665,0 2430x4320 (1.00x)\n"
                                    "keep the <spoke key> in frame --> please  thanks");
}

/* Forms the W3C text allows that the writer has no use for. */
static void from_elsewhere(void **state)
{
    const char *findings;
    twi_cues cues;
    assert_int_equal(
        read(tw_test_arena(state),
             "\xEF\xBB\xBFWEBVTT\tnotes\rKind: metadata\r\rSTYLE\r::cue{}\r\r00:01.000 --> 00:02.500 line:0\ra\r"
             "\rNOTE\r1\r\rNOTES\r100:00:00.001 -->\t100:00:00.002\rb &amp;lt; c\rd",
             &cues, &findings),
        TW_OK);
    tw_assert_text(tw_str_z(findings), "");
    assert_int_equal(cues.len, 2);
    tw_assert_text(cues.at[0].id, "");
    assert_int_equal(cues.at[0].to, 2500);
    tw_assert_text(cues.at[1].id, "NOTES");
    assert_int_equal(cues.at[1].from, 360000001);
    tw_assert_text(cues.at[1].text, "b &lt; c\nd");
}

static void what_cannot_be_read(void **state)
{
    static const struct {
        const char *text, *findings;
    } rows[] = {
        {"", "t.vtt: error TW2204: the first line of a notes track begins with WEBVTT\n"},
        {"WEBVTTX\n", "t.vtt:1:1: error TW2204: the first line of a notes track begins with WEBVTT\n"},
        {"WEBVTT\n\n1\n00:00:01,000 --> 00:00:02,000\n",
         "t.vtt:4:1: error TW2204: a cue's times were expected here, as 00:00:01.000 --> 00:00:02.000\n"},
        {"WEBVTT\n\n1\n00:61:01.000 --> 00:00:02.000\n",
         "t.vtt:4:1: error TW2204: a cue's times were expected here, as 00:00:01.000 --> 00:00:02.000\n"},
        {"WEBVTT\n\nalone",
         "t.vtt:3:1: error TW2204: a cue's times were expected here, as 00:00:01.000 --> 00:00:02.000\n"},
        {"WEBVTT\n\n00:00:02.000 --> 00:00:02.000\nx\n", "t.vtt:3:1: error TW2204: the cue ends before it begins\n"},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        const char *findings;
        twi_cues cues;
        tw_row(i, rows[i].text);
        assert_int_equal(read(tw_test_arena(state), rows[i].text, &cues, &findings), TW_ERR_SYNTAX);
        tw_assert_text(tw_str_cut(tw_str_z(findings), strlen(rows[i].findings)), rows[i].findings);
    }
}

static const char *changed(tw_arena *arena, const hand *h, const char *from, const char *to)
{
    tw_buf text = {.arena = arena};
    tw_report_vtt(&hand_derived(arena)->derived, 0, &text);
    tw_diags *diags = tw_diags_new(arena);
    tw_report_vtt_check(arena, &h->derived, 0, tw_replaced(arena, tw_buf_str(&text), "", from, to), TW_STR("t.vtt"),
                        diags);
    return tw_findings(arena, diags);
}

static void against_framings(void **state)
{
    static const struct {
        const char *from, *to, *findings;
    } rows[] = {
        {"still on hands", "as we said", ""}, /* words are free */
        {"1665,0 2430", "1666,0 2430", ""},   /* rounded twice */
        {"1665,0 2430", "1667,0 2430",
         "t.vtt:7: error TW2205: cue s1-1 says \"window 1667,0 2430x4320 (1.00x)\", the timeline \"window 1665,0 "
         "2430x4320"
         " (1.00x)\"\n"},
        {"00:00:02.002\n", "00:00:02.003\n",
         "t.vtt:7: error TW2205: cue s1-1 ends at 2003 ms, but at 2002 ms by the timeline\n"},
        {"s2-2\n", "s2-7\n",
         "t.vtt:17: error TW2205: the timeline has nothing for cue s2-7\n"
         "t.vtt:21: error TW2205: cue s2-2 is missing here\n"},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_arena *arena = tw_test_arena(state);
        tw_row(i, rows[i].to);
        tw_assert_text(tw_str_z(changed(arena, hand_derived(arena), rows[i].from, rows[i].to)), rows[i].findings);
    }
}

/* Of a shot that a format lost anything may be said. */
static void of_shots_not_known(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    hand *h = hand_derived(arena);
    h->shots[0].framing = NULL;
    h->shots[0].verdict = TW_VERDICT_UNKNOWN;
    tw_assert_text(tw_str_z(changed(arena, h, "00:00:02.002\n", "00:00:02.003\n")), "");
}

TW_SUITE(vtt_read)
{
    const struct CMUnitTest tests[] = {TW_TEST(what_was_written), TW_TEST(from_elsewhere), TW_TEST(what_cannot_be_read),
                                       TW_TEST(against_framings), TW_TEST(of_shots_not_known)};
    return tw_run("report/vtt_read", tests);
}
