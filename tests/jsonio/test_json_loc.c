/* SPDX-License-Identifier: Apache-2.0 */
#include "support/support.h"

#include <tallwide/jsonio.h>

static tw_json_doc read_doc(tw_arena *arena, const char *text)
{
    tw_diags *diags = tw_diags_new(arena);
    tw_json_doc doc = {.root = NULL};
    tw_json_read(arena, tw_str_z(text), TW_STR("x"), NULL, diags, &doc);
    assert_non_null(doc.root);
    return doc;
}

static void places(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_json_doc doc = read_doc(arena, "{\n"
                                      "  \"size\": [1080, 1920],\r\n"
                                      "\t\"a \\\"b\\\\\" :\n"
                                      "   \"c\\\"d\", \"on\": true, \"off\": false, \"no\": null, \"o\": {}\n"
                                      "}\n");
    static const struct {
        const char *name;
        uint32_t name_line, name_column, name_width, line, column, width;
    } rows[] = {
        {"size", 2, 3, 6, 2, 11, 1}, {"a \"b\\", 3, 2, 9, 4, 4, 6}, {"on", 4, 12, 4, 4, 18, 4},
        {"off", 4, 24, 5, 4, 31, 5}, {"no", 4, 38, 4, 4, 44, 4},    {"o", 4, 50, 3, 4, 55, 1},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_row(i, rows[i].name);
        const tw_json *value = tw_json_get(doc.root, rows[i].name);
        assert_non_null(value);
        tw_place name = tw_json_name_place(&doc, value), place = tw_json_place(&doc, value);
        tw_assert_near(name.line, rows[i].name_line, 0);
        tw_assert_near(name.column, rows[i].name_column, 0);
        tw_assert_near(name.width, rows[i].name_width, 0);
        tw_assert_near(place.line, rows[i].line, 0);
        tw_assert_near(place.column, rows[i].column, 0);
        tw_assert_near(place.width, rows[i].width, 0);
    }
    tw_place first = tw_json_place(&doc, tw_json_first(tw_json_get(doc.root, "size")));
    tw_assert_text(first.text, "  \"size\": [1080, 1920],");
    assert_int_equal(first.column, 12);
    assert_int_equal(first.width, 4);
    tw_place made = tw_json_place(&doc, tw_json_new_int(arena, 1));
    assert_int_equal(made.line, 0);
    tw_assert_text(made.file, "x");
}

static void pointers(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    /* the escapes of RFC 6901, section 3: ~ is ~0 and / is ~1 */
    tw_json_doc doc = read_doc(arena, "{\"a/b\": [10, {\"m~n\": 20}], \"\": 30, \"deep\": [[[40]]]}");
    const tw_json *list = tw_json_get(doc.root, "a/b");
    tw_assert_text(tw_json_pointer(arena, &doc, doc.root), "");
    tw_assert_text(tw_json_pointer(arena, &doc, list), "/a~1b");
    tw_assert_text(tw_json_pointer(arena, &doc, tw_json_first(list)), "/a~1b/0");
    tw_assert_text(tw_json_pointer(arena, &doc, tw_json_get(list->in.last, "m~n")), "/a~1b/1/m~0n");
    tw_assert_text(tw_json_pointer(arena, &doc, tw_json_get(doc.root, "")), "/");
    tw_assert_text(tw_json_pointer(arena, &doc, tw_json_first(tw_json_first(tw_json_first(doc.root->in.last)))),
                   "/deep/0/0/0");
    tw_assert_text(tw_json_pointer(arena, &doc, tw_json_new_int(arena, 1)), "");
}

/* A file on one line: what is kept of it is bounded. */
static void one_long_line(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_buf text = {.arena = arena};
    tw_buf_addc(&text, '[');
    for (int i = 0; i < 50000; i++)
        tw_buf_addz(&text, "12, ");
    tw_buf_addz(&text, "0]");
    tw_buf_addc(&text, '\0');
    tw_json_doc doc = read_doc(arena, text.at);
    tw_place early = tw_json_place(&doc, tw_json_first(doc.root)->next), late = tw_json_place(&doc, doc.root->in.last);
    assert_int_equal(early.column, 6);
    assert_true(early.text.len < 1000);
    assert_int_equal(late.column, 200002);
    assert_int_equal(late.text.len, 0);
}

TW_SUITE(json_loc)
{
    const struct CMUnitTest tests[] = {TW_TEST(places), TW_TEST(pointers), TW_TEST(one_long_line)};
    return tw_run("jsonio/json_loc", tests);
}
