/* SPDX-License-Identifier: Apache-2.0 */
#include "support/support.h"

#include <tallwide/jsonio.h>

static tw_json *sample(tw_arena *arena)
{
    static const char text[] = "{\"OTIO_SCHEMA\":\"RationalTime.1\",\"rate\":24.0,\"empty\":{},\"none\":[],"
                               "\"list\":[1,[2],{\"a\":\"b/c\"}]}";
    tw_diags *diags = tw_diags_new(arena);
    tw_json_doc doc = {.root = NULL};
    tw_json_read(arena, TW_STR(text), TW_STR("x"), NULL, diags, &doc);
    assert_non_null(doc.root);
    return doc.root;
}

/* The layout of the reference library: four blanks, one element a line, no line end after the root. */
static void layout(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_buf out = {.arena = arena};
    tw_json_write(sample(arena), &(tw_json_style){.indent = 4}, &out);
    tw_assert_text(tw_buf_str(&out), "{\n"
                                     "    \"OTIO_SCHEMA\": \"RationalTime.1\",\n"
                                     "    \"rate\": 24.0,\n"
                                     "    \"empty\": {},\n"
                                     "    \"none\": [],\n"
                                     "    \"list\": [\n"
                                     "        1,\n"
                                     "        [\n"
                                     "            2\n"
                                     "        ],\n"
                                     "        {\n"
                                     "            \"a\": \"b/c\"\n"
                                     "        }\n"
                                     "    ]\n"
                                     "}");
}

static void compact(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_buf out = {.arena = arena};
    tw_json_write(sample(arena)->in.last, &(tw_json_style){.indent = 0, .final_newline = true}, &out);
    tw_assert_text(tw_buf_str(&out), "[1,[2],{\"a\":\"b/c\"}]\n");
    tw_buf spaced = {.arena = arena};
    tw_json_write(sample(arena)->in.last, &(tw_json_style){.spaced = true}, &spaced);
    tw_assert_text(tw_buf_str(&spaced), "[1, [2], {\"a\": \"b/c\"}]");
}

static void texts(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    static const struct {
        const char *text, *written;
    } rows[] = {
        {"plain", "\"plain\""},
        {"say \"no\"", "\"say \\\"no\\\"\""},
        {"a\\b", "\"a\\\\b\""},
        {"\b\f\n\r\t\x01\x1F", "\"\\b\\f\\n\\r\\t\\u0001\\u001f\""},
        {"\xC3\xA9/\x7F", "\"\xC3\xA9/\x7F\""},
        {"\xC3\xA9\n", "\"\xC3\xA9\\n\""},
        {"\xE9", "\"\xEF\xBF\xBD\""}, /* not UTF-8: a caller's text, mended so that the file stays JSON */
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_row(i, rows[i].text);
        tw_buf out = {.arena = arena};
        tw_json_write(tw_json_new_text(arena, tw_str_z(rows[i].text)), &(tw_json_style){.indent = 2}, &out);
        tw_assert_text(tw_buf_str(&out), rows[i].written);
    }
}

static void new_numbers(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_json *list = tw_json_new(arena, TW_JSON_ARRAY);
    tw_json_append(list, tw_json_new_double(arena, 24));
    tw_json_append(list, tw_json_new_double(arena, 24000.0 / 1001.0));
    tw_json_append(list, tw_json_new_double(arena, 0.1));
    tw_json_append(list, tw_json_new_int(arena, -7));
    tw_json_append(list, tw_json_new_number(arena, TW_STR("1.50")));
    tw_buf out = {.arena = arena};
    tw_json_write(list, &(tw_json_style){.indent = 0}, &out);
    tw_assert_text(tw_buf_str(&out), "[24.0,23.976023976023978,0.1,-7,1.50]");
}

TW_SUITE(json_write)
{
    const struct CMUnitTest tests[] = {TW_TEST(layout), TW_TEST(compact), TW_TEST(texts), TW_TEST(new_numbers)};
    return tw_run("jsonio/json_write", tests);
}
