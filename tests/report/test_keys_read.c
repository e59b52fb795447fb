/* SPDX-License-Identifier: Apache-2.0 */
#include "support/support.h"
#include "report/hand.h"
#include "report/report_internal.h"

#include <string.h>

#define HEAD                                                                                                           \
    "track,event,reel,clip,source_in,source_out,record_in,record_out,frame,record,source,x,y,w,h,scale,zoom,move_x,"   \
    "move_y,ease,mode\n"
#define ROW "V1,001,A003,wheel,01:00:00:00,01:00:01:00,02:00:00:00,02:00:01:00,"

static tw_status read(tw_arena *arena, const char *text, twi_keys *out, const char **findings)
{
    tw_diags *diags = tw_diags_new(arena);
    tw_status status = twi_report_keys_read(arena, tw_str_z(text), TW_STR("t.csv"), diags, out);
    *findings = tw_findings(arena, diags);
    return status;
}

/* What the writer writes comes back: values as test_keys.c shows their making, quotes and commas in a name too. */
static void what_was_written(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_buf table = {.arena = arena};
    tw_report_keys(&hand_derived(arena)->derived, 0, &table);
    tw_buf_addc(&table, '\0');
    const char *findings;
    twi_keys keys;
    assert_int_equal(read(arena, table.at, &keys, &findings), TW_OK);
    tw_assert_text(tw_str_z(findings), "");
    assert_int_equal(keys.len, 3);
    const twi_keys_row *row = &keys.rows[2];
    assert_int_equal(row->line, 4);
    tw_assert_text(row->track, "V1");
    tw_assert_text(row->event, "002");
    tw_assert_text(row->clip, "wheel, \"close\"");
    tw_assert_text(row->record, "01:00:04:00");
    tw_assert_text(row->mode, "fill");
    assert_int_equal(row->frame, 48);
    tw_assert_near(row->x, 3735, 0);
    tw_assert_near(row->h, 3600, 0);
    tw_assert_near(row->scale, 0.533333, 0);
    tw_assert_near(row->zoom, 1.2, 0);
    tw_assert_near(row->move_x, -996, 0);
    tw_assert_near(row->move_y, -192, 0);
    tw_assert_near(row->ease, 6, 0);
}

/* What spreadsheets make of it: a byte order mark, columns moved and added, other line ends, empty lines. */
static void from_a_spreadsheet(void **state)
{
    const char *findings;
    twi_keys keys;
    assert_int_equal(read(tw_test_arena(state),
                          "\xEF\xBB\xBFmode,seen by,frame,track,event,reel,clip,source_in,source_out,record_in,"
                          "record_out,record,source,x,y,w,h,scale,zoom,move_x,move_y,ease\r"
                          "fill,kim,-12,\"V\r\n1\",,,,,,,,,,1.5,2,3e2,4,0.5,1,0,0,0\r\r"
                          "fit,,7,,,,,,,,,,,0,0,1,1,1,1,0,0,0",
                          &keys, &findings),
                     TW_OK);
    tw_assert_text(tw_str_z(findings), "");
    assert_int_equal(keys.len, 2);
    tw_assert_text(keys.rows[0].track, "V\r\n1");
    assert_int_equal(keys.rows[0].frame, -12);
    tw_assert_near(keys.rows[0].w, 300, 0);
    tw_assert_text(keys.rows[1].mode, "fit");
}

static void what_cannot_be_read(void **state)
{
    static const struct {
        const char *name, *text, *findings;
        tw_status status;
    } rows[] = {
        {"no head", "", "t.csv:1: error TW2201: the first line names no column \"track\"\n", TW_ERR_SYNTAX},
        {"semicolons", "track;event;reel;clip\n", "t.csv:1: error TW2201: the first line names no column \"track\"\n",
         TW_ERR_SYNTAX},
        {"open quote", HEAD "V1,\"001\n",
         "t.csv:2: error TW2201: a quote is not closed, or something follows one that is\n", TW_ERR_SYNTAX},
        {"after a quote", HEAD "V1,\"001\"x,A\n",
         "t.csv:2: error TW2201: a quote is not closed, or something follows one that is\n", TW_ERR_SYNTAX},
        {"short line", HEAD ROW "0,02:00:00:00,01:00:00:00,1,2\n",
         "t.csv:2: error TW2202: the line ends before its \"w\"\n", TW_ERR_SEMANTIC},
        {"no number", HEAD ROW "0,02:00:00:00,01:00:00:00,1,2,3 px,4,1,1,0,0,0,fill\n",
         "t.csv:2: error TW2202: this is no number: \"3 px\"\n", TW_ERR_SEMANTIC},
        {"no frame", HEAD "\n" ROW "0.5,02:00:00:00,01:00:00:00,1,2,3,4,1,1,0,0,0,fill\n",
         "t.csv:3: error TW2202: this is no whole number: \"0.5\"\n", TW_ERR_SEMANTIC},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        const char *findings;
        twi_keys keys;
        tw_row(i, rows[i].name);
        assert_int_equal(read(tw_test_arena(state), rows[i].text, &keys, &findings), rows[i].status);
        tw_assert_text(tw_str_cut(tw_str_z(findings), strlen(rows[i].findings)), rows[i].findings);
    }
}

/* The table of the hand-made edit with `from` replaced by `to`, held against its framings. */
static const char *changed(tw_arena *arena, const hand *h, const char *from, const char *to)
{
    tw_buf text = {.arena = arena};
    tw_report_keys(&hand_derived(arena)->derived, 0, &text);
    tw_diags *diags = tw_diags_new(arena);
    tw_report_keys_check(arena, &h->derived, 0, tw_replaced(arena, tw_buf_str(&text), "", from, to), TW_STR("t.csv"),
                         diags);
    return tw_findings(arena, diags);
}

static void against_framings(void **state)
{
    static const struct {
        const char *from, *to, *findings;
    } rows[] = {
        {"1665.000", "1665.002", ""}, /* a list rounds */
        {"1665.000", "1665.003",
         "t.csv:2: error TW2203: x of the key at frame 0 of event 001 is 1665.003, but 1665 in the "
         "timeline\n"},
        {"1.200000", "1.25",
         "t.csv:4: error TW2203: zoom of the key at frame 48 of event 002 is 1.25, but 1.2 in the timeline\n"},
        {"6.000,fill", "6.000,fit",
         "t.csv:3: error TW2203: mode of the key at frame 24 of event 002 is \"fit\", but \"fill\" in the timeline\n"},
        {",24,", ",25,",
         "t.csv:3: error TW2203: the timeline has no key at frame 25 of event 002, 01:00:02:00\n"
         "t.csv:4: error TW2203: the key at frame 24 of event 002, 01:00:02:00, is missing here\n"},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_arena *arena = tw_test_arena(state);
        tw_row(i, rows[i].to);
        tw_assert_text(tw_str_z(changed(arena, hand_derived(arena), rows[i].from, rows[i].to)), rows[i].findings);
    }
}

/* Of a shot that a format lost anything may be said; one that has no framing may not be given one. */
static void of_shots_not_known(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    hand *h = hand_derived(arena);
    h->shots[0].framing = NULL;
    tw_assert_text(tw_str_z(changed(arena, h, "", "")),
                   "t.csv:2: error TW2203: the timeline has no key at frame 0 of event 001, 01:00:00:00\n");
    h->shots[0].verdict = TW_VERDICT_UNKNOWN;
    tw_assert_text(tw_str_z(changed(arena, h, "", "")), "");
}

TW_SUITE(keys_read)
{
    const struct CMUnitTest tests[] = {TW_TEST(what_was_written), TW_TEST(from_a_spreadsheet),
                                       TW_TEST(what_cannot_be_read), TW_TEST(against_framings),
                                       TW_TEST(of_shots_not_known)};
    return tw_run("report/keys_read", tests);
}
