/* SPDX-License-Identifier: Apache-2.0 */

#include "edl_support.h"

static void findings_of_files(void **state)
{
    static const struct {
        const char *path, *expected;
    } rows[] = {
        {"edl/ok_scene.edl", "t.edl: note TW1231: 1 audio-only line: kept, nothing in it is framed\n"},
        {"edl/ok_padded.edl", "t.edl:32: warning TW1235: 60 padding bytes (Ctrl-Z or NUL) were passed over\n"
                              "t.edl: note TW1231: 1 audio-only line: kept, nothing in it is framed\n"},
        {"edl/ok_latin1.edl", "t.edl:26:19: warning TW1235: 1 line is not UTF-8, here first: read as Latin-1\n"
                              "  * TO CLIP NAME:  R\xC3\x89GLAGE\n"
                              "                    ^\n"
                              "t.edl: note TW1231: 1 audio-only line: kept, nothing in it is framed\n"},
        {"edl/bad_binary.edl", "t.edl:2:1: error TW1209: there is a NUL byte inside this line: the file is binary\n"
                               "  -> save the list as plain text, or check that the right file was named\n"},
        {"edl/bad_utf16.edl",
         "t.edl: error TW1209: the file is UTF-16 text; lists are read as ASCII, UTF-8 or Latin-1\n"
         "  -> save the list as plain text, or check that the right file was named\n"},
        {"edl/bad_long_line.edl",
         "t.edl:2:1: error TW1209: this line is longer than 16384 bytes: this is no edit list\n"
         "  * spoke spoke spoke spoke spoke spoke spoke spoke spoke spoke spoke spoke spoke spoke spoke spok...\n"
         "  ^\n"
         "  -> save the list as plain text, or check that the right file was named\n"},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_arena *arena = tw_test_arena(state);
        tw_row(i, rows[i].path);
        tw_assert_text(tw_str_z(tw_findings(arena, edl_read(arena, tw_fixture(arena, rows[i].path), "24").diags)),
                       rows[i].expected);
    }
}

static void wrapped_lines(void **state)
{
    static const char head[] = "TITLE: WHEEL\nFCM: NON-DROP FRAME\n";
    static const char event[] = "001  A003     V     C\n";
    static const char times[] = "          01:00:00:00 01:00:02:00 10:00:00:00 10:00:02:00\n";
    tw_arena *arena = tw_test_arena(state);
    tw_str good = tw_arena_printf(arena, "%s%s%s* FROM CLIP NAME: HANDS\n", head, event, times);
    edl_case c = edl_read(arena, good, "24");
    tw_assert_text(
        tw_str_z(tw_findings(arena, c.diags)),
        "t.edl:3:1: warning TW1237: the times of this event stand on the next line: the two are read as one\n"
        "  001  A003     V     C           01:00:00:00 01:00:02:00 10:00:00:00 10:00:02:00\n"
        "  ^^^\n");
    tw_assert_text(edl_item(c.timeline, 0, 0)->name, "HANDS");
    tw_str bad = tw_arena_printf(arena, "%s%s* FROM CLIP NAME: HANDS\n", head, event);
    tw_assert_text(
        tw_str_z(edl_findings(arena, bad.at, "24")),
        "t.edl:3:1: error TW1201: this line begins with a digit but is no event: an event ends in four times; "
        "it is left out\n"
        "  001  A003     V     C\n"
        "  ^^^^^^^^^^^^^^^^^^^^^\n");
}

/* Every prefix of a list is read or refused, never worse. */
static void cut_anywhere(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_str bytes = tw_fixture(arena, "edl/ok_framed.edl");
    for (size_t len = 0; len <= bytes.len; len++)
        edl_read(arena, tw_str_cut(bytes, len), "24");
}

/* One event line more than are read; the line is told. */
static void a_million_lines(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    static const char line[] = "1 A V C 00:00:00:00 00:00:00:01 00:00:00:00 00:00:00:01\n";
    if (tw_test_short())
        return;
    tw_buf text = {.arena = arena};
    for (size_t i = 0; i <= TW_EVENTS_LIMIT; i++)
        tw_buf_addz(&text, line);
    edl_case c = edl_read(arena, tw_buf_str(&text), "24");
    assert_int_equal(c.status, TW_ERR_LIMIT);
    const tw_diag *last = tw_diags_get(c.diags, tw_diags_kept(c.diags) - 1);
    assert_int_equal(last->code, 1212);
    assert_int_equal(last->place.line, TW_EVENTS_LIMIT + 1);
}

TW_SUITE(edl_read)
{
    const struct CMUnitTest tests[] = {TW_TEST(findings_of_files), TW_TEST(wrapped_lines), TW_TEST(cut_anywhere),
                                       TW_TEST(a_million_lines)};
    return tw_run("edl/edl_read", tests);
}
