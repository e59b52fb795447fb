/* SPDX-License-Identifier: Apache-2.0 */
#include "support/support.h"

#include <tallwide/jsonio.h>

static tw_json *read_tree(tw_arena *arena, const char *text)
{
    tw_diags *diags = tw_diags_new(arena);
    tw_json_doc doc = {.root = NULL};
    tw_json_read(arena, tw_str_z(text), TW_STR("x"), &(tw_json_options){.nonfinite = true}, diags, &doc);
    assert_non_null(doc.root);
    return doc.root;
}

static void assert_tree(tw_arena *arena, const tw_json *value, const char *expected)
{
    tw_buf out = {.arena = arena};
    tw_json_write(value, &(tw_json_style){.indent = 0}, &out);
    tw_assert_text(tw_buf_str(&out), expected);
    uint32_t count = 0;
    const tw_json *last = NULL;
    for (const tw_json *child = tw_json_first(value); child != NULL; child = child->next, count++)
        last = child;
    assert_int_equal(value->count, count);
    assert_ptr_equal(value->in.last, last);
}

static void setting(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_json *o = read_tree(arena, "{\"b\":1,\"d\":2}");
    tw_json_set(arena, o, "a", tw_json_new_bool(arena, true));
    assert_tree(arena, o, "{\"b\":1,\"d\":2,\"a\":true}");
    tw_json_set(arena, o, "b", tw_json_new_text(arena, TW_STR("x")));
    assert_tree(arena, o, "{\"b\":\"x\",\"d\":2,\"a\":true}");
    tw_json *list = tw_json_new(arena, TW_JSON_ARRAY);
    tw_json_set(arena, o, "a", list);
    tw_json_append(list, tw_json_new_int(arena, INT64_MIN)); /* the value set is the value kept */
    tw_json_append(list, tw_json_new_double(arena, 24));
    assert_tree(arena, o, "{\"b\":\"x\",\"d\":2,\"a\":[-9223372036854775808,24.0]}");
    tw_json_set(arena, o, "a", list); /* again the same: nothing happens */
    assert_tree(arena, o, "{\"b\":\"x\",\"d\":2,\"a\":[-9223372036854775808,24.0]}");
}

static void needing(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_json *o = read_tree(arena, "{\"a\":[1,2],\"b\":3}");
    assert_ptr_equal(tw_json_need(arena, o, "a", TW_JSON_ARRAY), tw_json_get(o, "a"));
    assert_null(tw_json_first(tw_json_need(arena, o, "b", TW_JSON_OBJECT)));
    tw_json_append(tw_json_need(arena, o, "c", TW_JSON_ARRAY), tw_json_new_int(arena, 4));
    assert_tree(arena, o, "{\"a\":[1,2],\"b\":{},\"c\":[4]}");
}

static void setting_sorted(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_json *o = tw_json_new(arena, TW_JSON_OBJECT);
    static const char *const names[] = {"m", "z", "a", "n", "m", "M"};
    for (int i = 0; i < 6; i++)
        tw_json_set_sorted(arena, o, names[i], tw_json_new_int(arena, i));
    assert_tree(arena, o, "{\"M\":5,\"a\":2,\"m\":4,\"n\":3,\"z\":1}");
}

static void removing(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_json *a = read_tree(arena, "[1,2,3,4]");
    assert_true(tw_json_remove(a, a->in.last));
    assert_tree(arena, a, "[1,2,3]");
    assert_true(tw_json_remove(a, tw_json_first(a)));
    assert_tree(arena, a, "[2,3]");
    assert_false(tw_json_remove(a, tw_json_new_int(arena, 2)));
    assert_true(tw_json_remove(a, tw_json_first(a)->next));
    assert_true(tw_json_remove(a, tw_json_first(a)));
    assert_tree(arena, a, "[]");
    tw_json_append(a, tw_json_new(arena, TW_JSON_NULL));
    assert_tree(arena, a, "[null]");
}

static void copying(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_json *o = read_tree(arena, "{\"a\":[1,{\"b\":null}],\"c\":\"d\"}");
    tw_json *copy = tw_json_copy(arena, o);
    assert_true(tw_json_same(o, copy));
    tw_json_append(tw_json_get(copy, "a"), tw_json_new_int(arena, 5));
    assert_false(tw_json_same(o, copy));
    assert_tree(arena, o, "{\"a\":[1,{\"b\":null}],\"c\":\"d\"}");
    tw_json *part = tw_json_copy(arena, tw_json_first(o));
    assert_null(part->next);
    assert_tree(arena, part, "[1,{\"b\":null}]");
}

static void sameness(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    static const struct {
        const char *a, *b;
        bool same;
    } rows[] = {
        {"1", "1", true},
        {"1", "1.0", false},
        {"\"1\"", "1", false},
        {"{\"a\":1,\"b\":2}", "{\"b\":2,\"a\":1}", true},
        {"{\"a\":1,\"b\":2}", "{\"b\":1,\"a\":2}", false},
        {"{\"a\":1,\"b\":2}", "{\"a\":1,\"c\":2}", false},
        {"[1,2]", "[2,1]", false},
        {"[]", "{}", false},
        {"[null]", "[]", false},
        {"[[1,[2]]]", "[[1,[2]]]", true},
        {"[[1,[2]]]", "[[1,[2,3]]]", false},
        {"\"\\u0041\"", "\"A\"", true},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_row(i, rows[i].a);
        const tw_json *a = read_tree(arena, rows[i].a), *b = read_tree(arena, rows[i].b);
        assert_int_equal(tw_json_same(a, b), rows[i].same);
        assert_int_equal(tw_json_identical(a, b), rows[i].same && i != 3); /* order counts */
    }
}

static void sameness_of_many(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_buf up = {.arena = arena}, down = {.arena = arena};
    for (int i = 0; i < 20000; i++) {
        tw_buf_addf(&up, "%c\"%d\":%d", i == 0 ? '{' : ',', i, i);
        tw_buf_addf(&down, "%c\"%d\":%d", i == 0 ? '{' : ',', 19999 - i, 19999 - i);
    }
    tw_buf_addz(&up, "}");
    tw_buf_addz(&down, "}");
    tw_buf_addc(&up, '\0');
    tw_buf_addc(&down, '\0');
    tw_json *a = read_tree(arena, up.at), *b = read_tree(arena, down.at);
    assert_true(tw_json_same(a, b));
    tw_json_first(b)->text = TW_STR("7");
    assert_false(tw_json_same(a, b));
}

static void integers(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    static const struct {
        const char *text;
        bool fits;
        int64_t value;
    } rows[] = {
        {"0", true, 0},
        {"-0", true, 0},
        {"0.000", true, 0},
        {"0e99999999999999999999", true, 0},
        {"86400.0", true, 86400},
        {"100", true, 100},
        {"1e3", true, 1000},
        {"1.5e1", true, 15},
        {"1200e-2", true, 12},
        {"10.50", false, 0},
        {"1e-1", false, 0},
        {"0.5", false, 0},
        {"9223372036854775807", true, INT64_MAX},
        {"9223372036854775808", false, 0},
        {"-9223372036854775808", true, INT64_MIN},
        {"-9223372036854775809", false, 0},
        {"9007199254740993.0", true, 9007199254740993},
        {"922337203685477580700e-2", true, INT64_MAX},
        {"1e18", true, 1000000000000000000},
        {"1e19", false, 0},
        {"1e99999999999999999999", false, 0},
        {"1e-99999999999999999999", false, 0},
        {"NaN", false, 0},
        {"\"5\"", false, 0},
        {"null", false, 0},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_row(i, rows[i].text);
        int64_t value = 0;
        assert_int_equal(tw_json_int(read_tree(arena, rows[i].text), &value), rows[i].fits);
        assert_true(value == rows[i].value);
    }
    int64_t none;
    assert_false(tw_json_int(NULL, &none));
}

static void doubles(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    double value = 1;
    assert_true(tw_json_double(read_tree(arena, "23.976023976023978"), &value));
    tw_assert_near(value, 24000.0 / 1001.0, 0);
    assert_false(tw_json_double(read_tree(arena, "1e400"), &value));
    assert_false(tw_json_double(read_tree(arena, "NaN"), &value));
    assert_false(tw_json_double(read_tree(arena, "\"1\""), &value));
    assert_false(tw_json_double(NULL, &value));
}

static void looking(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_json *o = read_tree(arena, "{\"A\":1,\"a\":2,\"ab\":3}");
    tw_assert_text(tw_json_get(o, "a")->text, "2"); /* case counts */
    tw_assert_text(tw_json_get_str(o, tw_str_cut(TW_STR("abc"), 2))->text, "3");
    assert_null(tw_json_get(o, "b"));
    assert_null(tw_json_get(NULL, "b"));
    assert_null(tw_json_get(tw_json_first(o), "b"));
    assert_string_equal(tw_json_kind_name(TW_JSON_STRING), "text");
    assert_false(tw_json_is(NULL, TW_JSON_NULL));
}

TW_SUITE(json_edit)
{
    const struct CMUnitTest tests[] = {
        TW_TEST(setting),  TW_TEST(needing),          TW_TEST(setting_sorted), TW_TEST(removing), TW_TEST(copying),
        TW_TEST(sameness), TW_TEST(sameness_of_many), TW_TEST(integers),       TW_TEST(doubles),  TW_TEST(looking),
    };
    return tw_run("jsonio/json_edit", tests);
}
