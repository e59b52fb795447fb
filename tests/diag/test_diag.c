/* SPDX-License-Identifier: Apache-2.0 */
#include "support/support.h"

#include <string.h>

/* 1001 is an error, 1112 a warning (src/diag/codes.h). */
static void keeping(void **state)
{
    tw_diags *diags = tw_diags_new(tw_test_arena(state));
    char line[] = "the line";
    const tw_place place = {.file = TW_STR("a.edl"), .line = 3, .column = 5, .text = tw_str_z(line)};
    assert_false(tw_diags_failed(diags));
    tw_diag_add(diags, 1112, &place, "a %s", "warning");
    assert_false(tw_diags_failed(diags));
    tw_diag_add(diags, 1001, NULL, "an error");
    tw_diag_hint(diags, "try %d", 7);
    assert_true(tw_diags_failed(diags));
    memset(line, '?', sizeof line - 1); /* texts were copied */
    assert_int_equal(tw_diags_kept(diags), 2);
    const tw_diag *first = tw_diags_get(diags, 0), *second = tw_diags_get(diags, 1);
    assert_int_equal(first->severity, TW_WARNING);
    assert_int_equal(first->code, 1112);
    tw_assert_text(first->message, "a warning");
    tw_assert_text(first->place.text, "the line");
    assert_int_equal(first->hint.len, 0);
    tw_assert_text(second->hint, "try 7");
    assert_int_equal(second->place.line, 0);
    assert_null(tw_diags_get(diags, 2));
}

static void unknown_codes_are_errors(void **state)
{
    tw_diags *diags = tw_diags_new(tw_test_arena(state));
    tw_diag_hint(diags, "for nothing");
    tw_diag_add(diags, 9999, NULL, "?");
    assert_int_equal(tw_diags_count(diags, TW_ERROR), 1);
}

/* A hundred of each severity are kept; a flood of warnings does not hide an error; hints of the rest are dropped. */
static void limits(void **state)
{
    tw_diags *diags = tw_diags_new(tw_test_arena(state));
    for (int i = 0; i < 250; i++) {
        tw_diag_add(diags, 1112, NULL, "warning %d", i);
        tw_diag_hint(diags, "hint %d", i);
    }
    tw_diag_add(diags, 1001, NULL, "late error");
    assert_int_equal(tw_diags_count(diags, TW_WARNING), 250);
    assert_int_equal(tw_diags_kept(diags), TW_DIAGS_KEPT + 1);
    tw_assert_text(tw_diags_get(diags, 99)->hint, "hint 99");
    tw_assert_text(tw_diags_get(diags, 100)->message, "late error");
    const char *text = tw_findings(tw_test_arena(state), diags);
    const char *last = strstr(text, "error TW1001");
    assert_non_null(last);
    assert_string_equal(last, "error TW1001: late error\n... and 150 more warnings\n");
}

/* Of 3 notes, 150 warnings and an error: from the warnings on, with their hints, and the 50 that were only counted. */
static void passed_on(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_diags *from = tw_diags_new(arena), *to = tw_diags_new(arena);
    for (int i = 0; i < 3; i++)
        tw_diag_add(from, 1603, NULL, "note %d", i);
    for (int i = 0; i < 150; i++)
        tw_diag_add(from, 1112, TW_IN(TW_STR("a.json")), "warning %d", i);
    tw_diag_add(from, 1001, NULL, "an error");
    tw_diag_hint(from, "try 7");
    tw_diag_add(to, 1001, NULL, "its own");
    tw_diags_pass(from, TW_WARNING, to);
    assert_int_equal(tw_diags_count(to, TW_NOTE), 0);
    assert_int_equal(tw_diags_count(to, TW_WARNING), 150);
    assert_int_equal(tw_diags_count(to, TW_ERROR), 2);
    assert_int_equal(tw_diags_kept(to), 1 + TW_DIAGS_KEPT + 1);
    tw_assert_text(tw_diags_get(to, 1)->place.file, "a.json");
    tw_assert_text(tw_diags_get(to, 101)->hint, "try 7");
    assert_non_null(strstr(tw_findings(arena, to), "... and 50 more warnings\n"));
}

TW_SUITE(diag)
{
    const struct CMUnitTest tests[] = {TW_TEST(keeping), TW_TEST(unknown_codes_are_errors), TW_TEST(limits),
                                       TW_TEST(passed_on)};
    return tw_run("diag/diag", tests);
}
