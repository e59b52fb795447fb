/* SPDX-License-Identifier: Apache-2.0 */
#include "support/support.h"

/* RFC 8259 section 7; broken UTF-8 becomes U+FFFD. */
static void strings(void **state)
{
    static const struct {
        tw_str text;
        const char *expected;
    } rows[] = {
        {{"", 0}, "\"\""},
        {{NULL, 0}, "\"\""},
        {{"a\"b\\c/", 6}, "\"a\\\"b\\\\c/\""},
        {{"\b\f\n\r\t", 5}, "\"\\b\\f\\n\\r\\t\""},
        {{"\0\x1F\x7F", 3}, "\"\\u0000\\u001f\x7F\""},
        {{"\xC3\xA4\xE2\x82\xAC\xF0\x9F\x9A\xB2", 9}, "\"\xC3\xA4\xE2\x82\xAC\xF0\x9F\x9A\xB2\""},
        {{"x\xFFy", 3}, "\"x\xEF\xBF\xBDy\""},
        {{"\xC3", 1}, "\"\xEF\xBF\xBD\""},
        {{"\xE2\x82z", 3}, "\"\xEF\xBF\xBD\xEF\xBF\xBDz\""},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_row(i, rows[i].expected);
        tw_buf out = {.arena = tw_test_arena(state)};
        tw_diag_json_string(rows[i].text, &out);
        tw_assert_text(tw_buf_str(&out), rows[i].expected);
    }
}

static void lists(void **state)
{
    tw_diags *diags = tw_diags_new(tw_test_arena(state));
    tw_buf out = {.arena = tw_test_arena(state)};
    tw_diags_write_json(diags, 4, &out);
    tw_assert_text(tw_buf_str(&out), "[]");
    const tw_place place = {.file = TW_STR("a\"b"), .line = 4, .column = 30, .text = TW_STR("not told")};
    tw_diag_add(diags, 1112, &place, "say \"%s\"", "x");
    const tw_place model = {.column = 3, .pointer = TW_STR("/tracks/0")};
    tw_diag_add(diags, 1001, &model, "second");
    tw_diag_hint(diags, "do");
    out.len = 0;
    tw_diags_write_json(diags, 2, &out);
    tw_assert_text(
        tw_buf_str(&out),
        "[\n"
        "  {\"severity\": \"warning\", \"code\": \"TW1112\", \"file\": \"a\\\"b\", \"line\": 4, \"column\": 30, "
        "\"message\": \"say \\\"x\\\"\"},\n"
        "  {\"severity\": \"error\", \"code\": \"TW1001\", \"pointer\": \"/tracks/0\", \"message\": \"second\", "
        "\"hint\": \"do\"}]");
}

/* A report as a command writes one: commas stand between members and elements, and nowhere else. */
static void reports(void **state)
{
    tw_buf out = {.arena = tw_test_arena(state)};
    tw_buf_addc(&out, '{');
    tw_diag_json_bool("ok", false, &out);
    tw_diag_json_key("list", &out);
    tw_buf_addc(&out, '[');
    for (int i = 0; i < 2; i++) {
        tw_diag_json_next("\n ", &out);
        tw_buf_addc(&out, '{');
        tw_diag_json_count("n", i - 1, &out);
        tw_diag_json_number("px", 0.12345, 3, &out);
        tw_diag_json_text("end", TW_STR("in [ or "), &out);
        tw_buf_addc(&out, '}');
    }
    tw_buf_addc(&out, ']');
    tw_diag_json_end(tw_diags_new(tw_test_arena(state)), &out);
    tw_assert_text(tw_buf_str(&out), "{\"ok\": false, \"list\": [\n {\"n\": -1, \"px\": 0.123, \"end\": \"in [ or \"},"
                                     "\n {\"n\": 0, \"px\": 0.123, \"end\": \"in [ or \"}], \"findings\": []}\n");
}

TW_SUITE(diag_json)
{
    const struct CMUnitTest tests[] = {TW_TEST(strings), TW_TEST(lists), TW_TEST(reports)};
    return tw_run("diag/diag_json", tests);
}
