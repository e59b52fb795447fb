/* SPDX-License-Identifier: Apache-2.0
 *
 * What RFC 8259 allows and what not, row by row. The clause of each group is named; the texts are ours.
 */
#include "support/support.h"

#include <string.h>

#include <tallwide/jsonio.h>

typedef struct row {
    const char *text;
    size_t len; /* 0: strlen */
    int code;   /* of the finding; 0: accepted */
    uint32_t column;
} row;

static const row numbers[] = {
    /* section 6 */
    {"0", 0, 0, 0},
    {"-0", 0, 0, 0},
    {"7", 0, 0, 0},
    {"10", 0, 0, 0},
    {"-12", 0, 0, 0},
    {"0.5", 0, 0, 0},
    {"-0.5", 0, 0, 0},
    {"0.0", 0, 0, 0},
    {"24.0", 0, 0, 0},
    {"1e5", 0, 0, 0},
    {"1E+2", 0, 0, 0},
    {"1E-2", 0, 0, 0},
    {"0e0", 0, 0, 0},
    {"1.5e+300", 0, 0, 0},
    {"1e400", 0, 0, 0},
    {"1e-400", 0, 0, 0},
    {"18446744073709551616", 0, 0, 0},
    {"0.1000000000000000000000000000000000000000000000000000000000000000000000000000001", 0, 0, 0},
    {"01", 0, 1104, 1},
    {"-01", 0, 1104, 1},
    {"00", 0, 1104, 1},
    {"1.", 0, 1104, 1},
    {"1.e3", 0, 1104, 1},
    {"-", 0, 1104, 1},
    {"--1", 0, 1104, 1},
    {"-.5", 0, 1104, 1},
    {"-a", 0, 1104, 1},
    {"1e", 0, 1104, 1},
    {"1e+", 0, 1104, 1},
    {"1E-", 0, 1104, 1},
    {"1e1.5", 0, 1104, 1},
    {"1.2.3", 0, 1104, 1},
    {"0x10", 0, 1104, 1},
    {"1_000", 0, 1104, 1},
    {"1f", 0, 1104, 1},
    {".5", 0, 1102, 1},
    {"+1", 0, 1102, 1},
    {"1,5", 0, 1110, 2},
    {"1 2", 0, 1110, 3},
    {"[1 2]", 0, 1102, 4},
    {"NaN", 0, 1115, 1},
    {"[Infinity]", 0, 1115, 2},
    {"[-Infinity]", 0, 1115, 2},
    {"-Inf", 0, 1115, 1},
    {"nan", 0, 1102, 1},
    {"infinity", 0, 1102, 1},
    {"\xEF\xBC\x91", 0, 1102, 1}, /* a full-width digit one */
};

static const row words[] = {
    /* section 3 */
    {"null", 0, 0, 0},         {"true", 0, 0, 0},         {"false", 0, 0, 0},  {" true ", 0, 0, 0},
    {"True", 0, 1102, 1},      {"NULL", 0, 1102, 1},      {"nul", 0, 1102, 1}, {"nulll", 0, 1102, 1},
    {"truefalse", 0, 1102, 1}, {"undefined", 0, 1102, 1}, {"t", 0, 1102, 1},   {"[true false]", 0, 1102, 7},
    {"true]", 0, 1110, 5},     {"None", 0, 1102, 1},
};

static const row structure[] = {
    /* sections 2, 4 and 5 */
    {"[]", 0, 0, 0},
    {"{}", 0, 0, 0},
    {" [ ] ", 0, 0, 0},
    {"\t\r\n {\n}\n", 0, 0, 0},
    {"[1]", 0, 0, 0},
    {"[1,2,3]", 0, 0, 0},
    {"[[],{},[[]]]", 0, 0, 0},
    {"{\"a\":1}", 0, 0, 0},
    {"{\"a\":{\"a\":{}}}", 0, 0, 0},
    {"{\"\":0}", 0, 0, 0},
    {"{\"a\":1,\"A\":2}", 0, 0, 0},
    {"\"lone text\"", 0, 0, 0},
    {"", 0, 1101, 1},
    {" \n ", 0, 1101, 1},
    {"\0", 1, 1102, 1},
    {"[", 0, 1103, 2},
    {"{", 0, 1103, 2},
    {"[1", 0, 1103, 3},
    {"[1,", 0, 1103, 4},
    {"{\"a\"", 0, 1103, 5},
    {"{\"a\":", 0, 1103, 6},
    {"{\"a\":1", 0, 1103, 7},
    {"{\"a\":1,", 0, 1103, 8},
    {"[1  \n\n", 0, 1103, 3},
    {"]", 0, 1102, 1},
    {"}", 0, 1102, 1},
    {",", 0, 1102, 1},
    {":", 0, 1102, 1},
    {"[1,]", 0, 1102, 4},
    {"[,1]", 0, 1102, 2},
    {"[1,,2]", 0, 1102, 4},
    {"[1}", 0, 1102, 3},
    {"{\"a\":1]", 0, 1102, 7},
    {"{\"a\":1,}", 0, 1102, 8},
    {"{,}", 0, 1102, 2},
    {"{\"a\"}", 0, 1102, 5},
    {"{\"a\",1}", 0, 1102, 5},
    {"{\"a\" 1}", 0, 1102, 6},
    {"{\"a\"=1}", 0, 1102, 5},
    {"{\"a\"::1}", 0, 1102, 6},
    {"{\"a\":}", 0, 1102, 6},
    {"{\"a\":1 \"b\":2}", 0, 1102, 8},
    {"{\"a\":1;\"b\":2}", 0, 1102, 7},
    {"{a:1}", 0, 1102, 2},
    {"{1:1}", 0, 1102, 2},
    {"{'a':1}", 0, 1102, 2},
    {"{[]:1}", 0, 1102, 2},
    {"{null:1}", 0, 1102, 2},
    {"['a']", 0, 1102, 2},
    {"[1]x", 0, 1110, 4},
    {"[1][2]", 0, 1110, 4},
    {"{}{}", 0, 1110, 3},
    {"{} // end", 0, 1110, 4},
    {"[1]\0", 4, 1110, 4},
    {"// head\n1", 0, 1102, 1},
    {"[1 /* one */]", 0, 1102, 4},
    {"# head\n1", 0, 1102, 1},
    {"[\x0C]", 0, 1102, 2},     /* a form feed is no blank here */
    {"[\xC2\xA0]", 0, 1102, 2}, /* nor is a no-break space */
    {"\xEF\xBB\xBF{}", 0, 1111, 1},
    {"\xFF\xFE[\0]\0", 6, 1102, 1}, /* UTF-16 */
    {"(1)", 0, 1102, 1},
};

static const row texts[] = {
    /* section 7 */
    {"\"\"", 0, 0, 0},
    {"\"spoke key\"", 0, 0, 0},
    {"\"\\\" \\\\ \\/ \\b \\f \\n \\r \\t\"", 0, 0, 0},
    {"\"\\u0041\\u00e9\\uABCD\"", 0, 0, 0},
    {"\"\\uD83D\\uDEB2\"", 0, 0, 0},
    {"\"\\u0001\"", 0, 0, 0},
    {"\"\x7F\"", 0, 0, 0},
    {"\"/\"", 0, 0, 0},
    {"\"a", 0, 1103, 1},
    {"\"", 0, 1103, 1},
    {"[\"a]", 0, 1103, 2},
    {"\"a\\\"", 0, 1103, 1},
    {"\"a\\", 0, 1103, 1},
    {"\"a\nb\"", 0, 1105, 3},
    {"\"a\tb\"", 0, 1105, 3},
    {"\"a\0b\"", 5, 1105, 3},
    {"\"a\x1F\"", 0, 1105, 3},
    {"\"\\x41\"", 0, 1106, 2},
    {"\"\\a\"", 0, 1106, 2},
    {"\"\\'\"", 0, 1106, 2},
    {"\"C:\\Wheel\"", 0, 1106, 4},
    {"\"\\\0\"", 4, 1106, 2},
    {"\"\\u12\"", 0, 1106, 2},
    {"\"\\u12G4\"", 0, 1106, 2},
    {"\"\\u\"", 0, 1106, 2},
    {"\"\\u123", 0, 1106, 2},
    {"\"\\U0041\"", 0, 1106, 2},
    {"\"a\\u0000b\"", 0, 1108, 3},
    {"\"\\uD800\"", 0, 1109, 2},
    {"\"\\uDFFF\"", 0, 1109, 2},
    {"\"\\uD83Dx\"", 0, 1109, 2},
    {"\"\\uD83D\\n\"", 0, 1109, 2},
    {"\"\\uD83D\\u0041\"", 0, 1109, 2},
    {"\"\\uD83D\\uD83D\"", 0, 1109, 2},
    {"\"\\uDEB2\\uD83D\"", 0, 1109, 2},
    {"{\"a\\qb\":1}", 0, 1106, 4},
    {"{\"a\nb\":1}", 0, 1105, 4},
};

static const row utf8[] = {
    /* section 8.1; forms of RFC 3629, section 4 */
    {"\"\xC3\xA9\"", 0, 0, 0},
    {"\"\xE2\x82\xAC\"", 0, 0, 0},
    {"\"\xF0\x9F\x9A\xB2\"", 0, 0, 0},
    {"\"\xEF\xBB\xBF\"", 0, 0, 0},
    {"\"\xEF\xBF\xBF\"", 0, 0, 0},
    {"\"\xF4\x8F\xBF\xBF\"", 0, 0, 0},
    {"\"a\x80\"", 0, 1107, 3},     /* a lone continuation */
    {"\"\xE9t\xE9\"", 0, 1107, 2}, /* Latin-1 */
    {"\"\xC0\xAF\"", 0, 1107, 2},  /* overlong */
    {"\"\xC1\xBF\"", 0, 1107, 2},
    {"\"\xE0\x80\xAF\"", 0, 1107, 2},
    {"\"\xF0\x80\x80\xAF\"", 0, 1107, 2},
    {"\"\xED\xA0\x80\"", 0, 1107, 2}, /* a surrogate */
    {"\"\xED\xBF\xBF\"", 0, 1107, 2},
    {"\"\xF4\x90\x80\x80\"", 0, 1107, 2}, /* past U+10FFFF */
    {"\"\xF5\x80\x80\x80\"", 0, 1107, 2},
    {"\"\xFE\"", 0, 1107, 2},
    {"\"\xFF\"", 0, 1107, 2},
    {"\"\xE2\x82\"", 0, 1107, 2}, /* cut short */
    {"\"\xF0\x9F\x9A", 0, 1107, 2},
    {"\"\xE2\x28\xA1\"", 0, 1107, 2},
    {"{\"\xFF\":1}", 0, 1107, 3},
};

static void walk(void **state, const row *rows, size_t count)
{
    tw_arena *arena = tw_test_arena(state);
    for (size_t i = 0; i < count; i++) {
        const row *r = &rows[i];
        tw_row(i, r->text);
        tw_diags *diags = tw_diags_new(arena);
        tw_json_doc doc = {.root = NULL};
        /* a copy of just that many bytes, so that the sanitizers see a step too far */
        size_t len = r->len > 0 ? r->len : strlen(r->text);
        char *bytes = test_malloc(len + (len == 0));
        memcpy(bytes, r->text, len);
        tw_status status = tw_json_read(arena, (tw_str){bytes, len}, TW_STR("x"), NULL, diags, &doc);
        if (r->code == 0) {
            tw_assert_text(tw_str_z(tw_findings(arena, diags)), "");
            assert_int_equal(status, TW_OK);
            assert_non_null(doc.root);
        } else {
            assert_int_equal(status, TW_ERR_SYNTAX);
            assert_null(doc.root);
            assert_int_equal(tw_diags_kept(diags), 1);
            tw_assert_near(tw_diags_get(diags, 0)->code, r->code, 0);
            tw_assert_near(tw_diags_get(diags, 0)->place.column, r->column, 0);
        }
        test_free(bytes);
    }
}

#define WALK(table) walk(state, table, sizeof table / sizeof table[0])

static void number_rows(void **state)
{
    WALK(numbers);
}

static void word_rows(void **state)
{
    WALK(words);
}

static void structure_rows(void **state)
{
    WALK(structure);
}

static void text_rows(void **state)
{
    WALK(texts);
}

static void utf8_rows(void **state)
{
    WALK(utf8);
}

static void messages(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    static const struct {
        const char *text, *told;
    } rows[] = {
        {"{\n  \"name\": \"wide\" x\n}",
         "x:2:18: error TW1102: expected ',' or '}' after the value of \"name\", found 'x'\n"
         "    \"name\": \"wide\" x\n"
         "                   ^\n"},
        {"{\"a\": 1,\n \"rate\": 029.97}",
         "x:2:10: error TW1104: a number must not begin with 0 followed by digits, found '029.97'\n"
         "   \"rate\": 029.97}\n"
         "           ^^^^^^\n"},
        {"[1, 2 3]", "x:1:7: error TW1102: expected ',' or ']' after element 2 of the list, found '3'\n"
                     "  [1, 2 3]\n"
                     "        ^\n"},
        {"[1,\n 2,\n]", "x:3:1: error TW1102: expected a value after ',', found ']'\n"
                        "  ]\n"
                        "  ^\n"},
        {"{\"a\": 1,}", "x:1:9: error TW1102: expected a member name in double quotes after ',', found '}'\n"
                        "  {\"a\": 1,}\n"
                        "          ^\n"},
        {"{\"a\" 1}", "x:1:6: error TW1102: expected ':' after the name \"a\", found '1'\n"
                      "  {\"a\" 1}\n"
                      "       ^\n"},
        {"{\"a\": }", "x:1:7: error TW1102: expected a value for \"a\", found '}'\n"
                      "  {\"a\": }\n"
                      "        ^\n"},
        {"{\"a\": true // on\n}",
         "x:1:12: error TW1102: expected ',' or '}' after the value of \"a\", found a comment, which "
         "JSON does not have\n"
         "  {\"a\": true // on\n"
         "             ^\n"},
        {"[\r\n  'a'\r\n]",
         "x:2:3: error TW1102: expected a value or ']', found a single quote (JSON uses double quotes)\n"
         "    'a'\n"
         "    ^\n"},
        {"{\"list\": [1, 2,\n", "x:1:16: error TW1103: the text ends too early: expected a value after ','\n"
                                "  {\"list\": [1, 2,\n"
                                "                 ^\n"},
        {"[\"\xC3\xA9\", \"\\q\"]", "x:1:9: error TW1106: a backslash must be followed by one of \" \\ / b f n r t u\n"
                                    "  [\"\xC3\xA9\", \"\\q\"]\n"
                                    "         ^^\n"},
        {"[undefined]", "x:1:2: error TW1102: expected a value or ']', found 'undefined'\n"
                        "  [undefined]\n"
                        "   ^^^^^^^^^\n"},
        {"{} extra", "x:1:4: error TW1110: the JSON value is complete, but more text follows: found 'extra'\n"
                     "  {} extra\n"
                     "     ^^^^^\n"},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_row(i, rows[i].text);
        tw_diags *diags = tw_diags_new(arena);
        tw_json_doc doc;
        tw_json_read(arena, tw_str_z(rows[i].text), TW_STR("x"), NULL, diags, &doc);
        tw_assert_text(tw_str_z(tw_findings(arena, diags)), rows[i].told);
    }
}

static tw_status read_nested(tw_arena *arena, int depth, tw_diags *diags)
{
    tw_buf text = {.arena = arena};
    tw_buf_fill(&text, '[', (size_t)depth);
    tw_buf_fill(&text, ']', (size_t)depth);
    tw_json_doc doc;
    return tw_json_read(arena, tw_buf_str(&text), TW_STR("x"), NULL, diags, &doc);
}

static void depth(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_diags *diags = tw_diags_new(arena);
    assert_int_equal(read_nested(arena, TW_JSON_DEPTH, diags), TW_OK);
    assert_int_equal(tw_diags_kept(diags), 0);
    assert_int_equal(read_nested(arena, TW_JSON_DEPTH + 1, diags), TW_ERR_LIMIT);
    assert_int_equal(tw_diags_get(diags, 0)->code, 1117);
    assert_int_equal(tw_diags_get(diags, 0)->place.column, TW_JSON_DEPTH + 1);
    /* a hundred thousand levels must not reach the stack */
    assert_int_equal(read_nested(arena, 100000, diags), TW_ERR_LIMIT);
}

TW_SUITE(json_scan)
{
    const struct CMUnitTest tests[] = {
        TW_TEST(number_rows), TW_TEST(word_rows), TW_TEST(structure_rows), TW_TEST(text_rows),
        TW_TEST(utf8_rows),   TW_TEST(messages),  TW_TEST(depth),
    };
    return tw_run("jsonio/json_scan", tests);
}
