/* SPDX-License-Identifier: Apache-2.0 */
#include "support/support.h"

#include <string.h>

static const char *told(void **state, const tw_place *place)
{
    tw_diags *diags = tw_diags_new(tw_test_arena(state));
    tw_diag_add(diags, 1001, place, "it is wrong");
    return tw_findings(tw_test_arena(state), diags);
}

static tw_place at(const char *text, uint32_t column, uint32_t width)
{
    return (tw_place){.file = TW_STR("f"), .line = 7, .column = column, .width = width, .text = tw_str_z(text)};
}

static void places(void **state)
{
    static const struct {
        tw_place place;
        const char *expected;
    } rows[] = {
        {{.line = 0}, "error TW1001: it is wrong\n"},
        {{.file = {"a b.edl", 7}}, "a b.edl: error TW1001: it is wrong\n"},
        {{.file = {"f", 1}, .line = 12}, "f:12: error TW1001: it is wrong\n"},
        {{.file = {"f", 1}, .line = 12, .column = 3}, "f:12:3: error TW1001: it is wrong\n"},
        {{.file = {"f", 1}, .pointer = {"/tracks/0", 9}}, "f: error TW1001: it is wrong (at /tracks/0)\n"},
        {{.file = {"f", 1}, .line = 2, .pointer = {"/t", 2}}, "f:2: error TW1001: it is wrong\n"},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_row(i, "place");
        tw_assert_text(tw_str_z(told(state, &rows[i].place)), rows[i].expected);
    }
}

static void carets(void **state)
{
    static const struct {
        const char *text;
        uint32_t column, width;
        const char *expected; /* what follows the head line */
    } rows[] = {
        {"001  A003", 6, 4, "  001  A003\n       ^^^^\n"},
        {"001  A003", 6, 0, "  001  A003\n       ^\n"},
        {"001  A003", 1, 1, "  001  A003\n  ^\n"},
        {"ab", 3, 1, "  ab\n    ^\n"}, /* just past the end: something is missing */
        {"ab", 2, 50, "  ab\n   ^\n"}, /* the run stops at the line's end */
        {"ab", 4, 1, ""},              /* no such column: no line */
        {"", 1, 1, ""},
        {"\tab\tcd", 5, 2, "  \tab\tcd\n  \t  \t^^\n"},
        {"\xC3\xA4\xC3\xB6 x", 6, 1, "  \xC3\xA4\xC3\xB6 x\n     ^\n"}, /* two letters of two bytes */
        {"\xC3\xA4\xC3\xB6 x", 1, 4, "  \xC3\xA4\xC3\xB6 x\n  ^^\n"},
        {"a\x01"
         "b\x7F\xFFz",
         6, 1, "  a?b??z\n       ^\n"}, /* control bytes and broken UTF-8 */
        {"a\xC2\x9B"
         "b\xC2\xA0z",
         4, 3, "  a?b\xC2\xA0z\n    ^^\n"}, /* U+009B is an order, U+00A0 a blank */
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_row(i, rows[i].text);
        const tw_place place = at(rows[i].text, rows[i].column, rows[i].width);
        const char *text = told(state, &place);
        tw_assert_text(tw_str_z(strchr(text, '\n') + 1), rows[i].expected);
    }
}

/* A line of 300 is cut around the caret, 60 bytes before it and 96 in all. */
static void long_lines(void **state)
{
    char line[301], expected[400];
    memset(line, 'x', 300);
    line[300] = '\0';
    line[200] = 'Y';
    tw_place place = at(line, 201, 1);
    tw_buf out = {.arena = tw_test_arena(state)};
    tw_buf_addz(&out, "  ...");
    tw_buf_fill(&out, 'x', 60);
    tw_buf_addc(&out, 'Y');
    tw_buf_fill(&out, 'x', 35);
    tw_buf_addz(&out, "...\n");
    tw_buf_fill(&out, ' ', 65);
    tw_buf_addz(&out, "^\n");
    memcpy(expected, out.at, out.len);
    expected[out.len] = '\0';
    tw_assert_text(tw_str_z(strchr(told(state, &place), '\n') + 1), expected);

    place = at(line, 3, 1);
    const char *text = strchr(told(state, &place), '\n') + 1;
    assert_int_equal(strcspn(text, "\n"), 2 + 96 + 3);
    assert_string_equal(strchr(text, '\n'), "\n    ^\n");
}

static void selection_and_hints(void **state)
{
    tw_diags *diags = tw_diags_new(tw_test_arena(state));
    tw_diag_add(diags, 1112, NULL, "small");
    tw_diag_add(diags, 1001, NULL, "large");
    tw_diag_hint(diags, "do this");
    tw_buf out = {.arena = tw_test_arena(state)};
    tw_diags_write_text(diags, TW_ERROR, &out);
    tw_assert_text(tw_buf_str(&out), "error TW1001: large\n  -> do this\n");
    for (int i = 0; i < TW_DIAGS_KEPT; i++)
        tw_diag_add(diags, 1001, NULL, "again");
    out.len = 0;
    tw_diags_write_text(diags, TW_ERROR, &out);
    tw_assert_text(tw_str_from(tw_buf_str(&out), out.len - 21), "... and 1 more error\n");
}

/* Six of one code in a file, each in a line of its own: two are told, four counted. Those whose line does not tell them
 * apart stay, and so does another file between them. */
static void many_of_one_kind(void **state)
{
    tw_diags *diags = tw_diags_new(tw_test_arena(state));
    const tw_place other = {.file = TW_STR("b"), .line = 1};
    static const uint32_t lines[] = {0, 10, 20, 30, 30, 40, 50, 60, 70};
    for (size_t i = 0; i < TW_COUNT(lines); i++) {
        const tw_place place = {.file = TW_STR("a"), .line = lines[i]};
        tw_diag_add(diags, 1001, &place, "again");
        if (i == 3)
            tw_diag_add(diags, 1001, &other, "here");
    }
    tw_buf out = {.arena = tw_test_arena(state)};
    tw_diags_write_text(diags, TW_WARNING, &out);
    tw_assert_text(tw_buf_str(&out), "a: error TW1001: again\na:10: error TW1001: again\n"
                                     "a:20: error TW1001: again\na:30: error TW1001: again\n"
                                     "b:1: error TW1001: here\na:30: error TW1001: again\n"
                                     "... and 4 more of TW1001 in a: lines 40, 50, 60, 70 (-v tells each)\n");
    out.len = 0;
    tw_diags_write_text(diags, TW_NOTE, &out);
    assert_false(tw_str_holds(tw_buf_str(&out), TW_STR("more")));
    for (uint32_t i = 0; i < TW_DIAGS_KEPT; i++) /* what is not kept no option tells */
        tw_diag_add(diags, 1001, &(tw_place){.file = TW_STR("a"), .line = 100 + i}, "again");
    out.len = 0;
    tw_diags_write_text(diags, TW_WARNING, &out);
    assert_true(
        tw_str_holds(tw_buf_str(&out), TW_STR("... and 94 more of TW1001 in a: lines 40, 50, 60, 70, 100, 101 "
                                              "... (-v tells the first 100 errors)\n... and 10 more errors\n")));
}

TW_SUITE(diag_text)
{
    const struct CMUnitTest tests[] = {TW_TEST(places), TW_TEST(carets), TW_TEST(long_lines),
                                       TW_TEST(selection_and_hints), TW_TEST(many_of_one_kind)};
    return tw_run("diag/diag_text", tests);
}
