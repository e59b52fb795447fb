/* SPDX-License-Identifier: Apache-2.0 */
#include "support/support.h"

#include <locale.h>

#include <tallwide/jsonio.h>

static const tw_json_options lenient = {.nonfinite = true, .duplicates_warn = true, .bom_ok = true};

static tw_json *read_as(tw_arena *arena, const char *text, const tw_json_options *options, const char *findings)
{
    tw_diags *diags = tw_diags_new(arena);
    tw_json_doc doc = {.root = NULL};
    tw_json_read(arena, tw_str_z(text), TW_STR("x"), options, diags, &doc);
    tw_assert_text(tw_str_z(tw_findings(arena, diags)), findings);
    return doc.root;
}

static tw_str compact(tw_arena *arena, const tw_json *value)
{
    tw_buf out = {.arena = arena};
    tw_json_write(value, &(tw_json_style){.indent = 0}, &out);
    return tw_buf_str(&out);
}

/* Every digit, every member, in order. */
static void nothing_is_lost(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    static const char *const rows[] = {
        "null",
        "true",
        "false",
        "9007199254740993",
        "1.0000000000000002",
        "24.0",
        "-0",
        "-0.0",
        "1e400",
        "1E+2",
        "18446744073709551615",
        "0.10",
        "123456789012345678901234567890123456789012345678901234567890123",  /* 63 digits */
        "1234567890123456789012345678901234567890123456789012345678901234", /* 64 */
        "[0.3333333333333333333333333333333333333333333333333333333333333333333,1]",
        "\"\"",
        "\"a/b\"",
        "\"\xC3\xA9\xF0\x9F\x9A\xB2\x7F\"",
        "\"\\\"\\\\\\b\\f\\n\\r\\t\\u0001\"",
        "[]",
        "{}",
        "[[],[[]],{\"a\":{}}]",
        "{\"z\":1,\"a\":2,\"\":3,\"A\":4}",
        "{\"a\\\"b\":\"c\\\\d\",\"e\\nf\":[1,\"\\t\"]}",
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_row(i, rows[i]);
        tw_assert_text(compact(arena, read_as(arena, rows[i], NULL, "")), rows[i]);
    }
}

static void texts_are_decoded(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    static const struct {
        const char *text, *decoded;
    } rows[] = {
        {"\"\\u0041\\u00e9\"", "A\xC3\xA9"},
        {"\"\\uD83D\\uDEB2\"", "\xF0\x9F\x9A\xB2"}, /* U+1F6B2: 0xD83D = 0xD7C0 + (0x1F6B2 >> 10) */
        {"\"\\/\\\\\"", "/\\"},
        {"\"\\\"\\b\\f\\n\\r\\t\"", "\"\b\f\n\r\t"},
        /* the first and last of each length: RFC 3629, section 3 */
        {"\"\\u0001\\u007F\\u0080\\u07ff\"", "\x01\x7F\xC2\x80\xDF\xBF"},
        {"\"\\u0800\\uD7FF\\uE000\\uFFFF\"", "\xE0\xA0\x80\xED\x9F\xBF\xEE\x80\x80\xEF\xBF\xBF"},
        {"\"\\uD800\\uDC00\\uDBFF\\uDFFF\"", "\xF0\x90\x80\x80\xF4\x8F\xBF\xBF"},
        {"\"plain\"", "plain"},
        {"\"\\u20AC \xE2\x82\xAC\"", "\xE2\x82\xAC \xE2\x82\xAC"},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_row(i, rows[i].text);
        tw_assert_text(read_as(arena, rows[i].text, NULL, "")->text, rows[i].decoded);
    }
}

static void what_is_not_json_but_asked_for(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_json *root =
        read_as(arena, "[NaN, -Infinity, Inf, -Inf, Infinity, 1]", &lenient,
                "x:1:2: warning TW1116: NaN is no number in JSON; it was read and is kept as it stands, like "
                "any others in this file\n"
                "  [NaN, -Infinity, Inf, -Inf, Infinity, 1]\n"
                "   ^^^\n");
    tw_assert_text(compact(arena, root), "[NaN,-Infinity,Inf,-Inf,Infinity,1]");
    root = read_as(arena, "\xEF\xBB\xBF{\"a\": 1}", &lenient,
                   "x:1:1: warning TW1112: a byte order mark in front of the JSON text was skipped\n"
                   "  \xEF\xBB\xBF{\"a\": 1}\n"
                   "  ^\n");
    tw_assert_text(compact(arena, root), "{\"a\":1}");
    assert_int_equal(tw_json_first(root)->offset, 9); /* counted from the first byte of the file */
}

static void repeated_names(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    assert_null(read_as(arena, "{\"a\": 1,\n \"b\": 2, \"\\u0061\": 3}", NULL,
                        "x:2:10: error TW1113: the name \"a\" was used before in this object: remove or rename one of "
                        "them\n"
                        "   \"b\": 2, \"\\u0061\": 3}\n"
                        "           ^^^^^^^^\n"));
    tw_json *root = read_as(arena, "{\"k\\\"\": 1, \"k\\\"\" : [2], \"b\": {}, \"k\\\"\": 3}", &lenient,
                            "x:1:12: warning TW1114: the name \"k\"\" was used before in this object: the first value "
                            "counts, this one was left out\n"
                            "  {\"k\\\"\": 1, \"k\\\"\" : [2], \"b\": {}, \"k\\\"\": 3}\n"
                            "             ^^^^^\n"
                            "x:1:34: warning TW1114: the name \"k\"\" was used before in this object: the first value "
                            "counts, this one was left out\n"
                            "  {\"k\\\"\": 1, \"k\\\"\" : [2], \"b\": {}, \"k\\\"\": 3}\n"
                            "                                   ^^^^^\n");
    tw_assert_text(compact(arena, root), "{\"k\\\"\":1,\"b\":{}}");
    assert_int_equal(root->count, 2);
    assert_ptr_equal(root->in.last, tw_json_first(root)->next);
}

/* Forty members, one name twice, by the way of large objects. */
static void repeated_among_many(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_buf text = {.arena = arena};
    tw_buf_addc(&text, '{');
    for (int i = 0; i < 40; i++)
        tw_buf_addf(&text, "\"m%d\":%d,", i, i);
    tw_buf_addz(&text, "\"m7\":99,\"z\":0}");
    tw_diags *diags = tw_diags_new(arena);
    tw_json_doc doc;
    assert_int_equal(tw_json_read(arena, tw_buf_str(&text), TW_STR("x"), &lenient, diags, &doc), TW_OK);
    assert_int_equal(tw_diags_count(diags, TW_WARNING), 1);
    assert_int_equal(doc.root->count, 41);
    int64_t seven;
    assert_true(tw_json_int(tw_json_get(doc.root, "m7"), &seven));
    assert_int_equal(seven, 7);
}

/* A hundred thousand members, every name twice: told of a hundred, counted all, in no time. */
static void many_members(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_buf text = {.arena = arena};
    tw_buf_addc(&text, '{');
    for (int i = 0; i < 100000; i++)
        tw_buf_addf(&text, "%s\"member %d\":%d", i > 0 ? "," : "", i % 50000, i);
    tw_buf_addc(&text, '}');
    tw_diags *diags = tw_diags_new(arena);
    tw_json_doc doc;
    assert_int_equal(tw_json_read(arena, tw_buf_str(&text), TW_STR("x"), &lenient, diags, &doc), TW_OK);
    assert_int_equal(tw_diags_count(diags, TW_WARNING), 50000);
    assert_int_equal(tw_diags_kept(diags), TW_DIAGS_KEPT);
    assert_int_equal(doc.root->count, 50000);
}

/* Number text is kept, whatever the locale. */
static void any_locale(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    if (setlocale(LC_NUMERIC, "de_DE.UTF-8") == NULL)
        skip(); /* not installed here */
    tw_json *root = read_as(arena, "[0.5,1.25e3]", NULL, "");
    double half;
    assert_true(tw_json_double(tw_json_first(root), &half));
    tw_assert_near(half, 0.5, 0);
    tw_assert_text(compact(arena, root), "[0.5,1.25e3]");
    setlocale(LC_NUMERIC, "C");
}

/* Trees of random shape are written and read back the same. */
static tw_json *random_value(tw_arena *arena, tw_rng *rng, int depth)
{
    static const char *const texts[] = {"", "wheel", "\xC3\xA9", "a\"b\\c\n\t\x01", "/", "\xF0\x9F\x9A\xB2"};
    switch (tw_rng_between(rng, 0, depth > 5 ? 3 : 5)) {
    case 0: return tw_json_new_int(arena, tw_rng_between(rng, -1000, 1000));
    case 1: return tw_json_new_double(arena, tw_rng_unit(rng) * 1e4 - 5e3);
    case 2: return tw_json_new_text(arena, tw_str_z(texts[tw_rng_between(rng, 0, 5)]));
    case 3: return tw_json_new(arena, (tw_json_kind)tw_rng_between(rng, 0, 2));
    default: break;
    }
    bool object = tw_rng_between(rng, 0, 1) == 1;
    tw_json *value = tw_json_new(arena, object ? TW_JSON_OBJECT : TW_JSON_ARRAY);
    for (int64_t n = tw_rng_between(rng, 0, 6); n > 0; n--) {
        tw_json *child = random_value(arena, rng, depth + 1);
        if (object)
            tw_json_set(arena, value, texts[tw_rng_between(rng, 0, 5)], child);
        else
            tw_json_append(value, child);
    }
    return value;
}

static void random_trees(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_rng rng = {8259};
    for (size_t i = 0; i < 500; i++) {
        tw_row(i, "random tree");
        tw_json *value = random_value(arena, &rng, 0);
        tw_buf text = {.arena = arena};
        tw_json_write(value, &(tw_json_style){.indent = (int)(i % 3) * 2}, &text);
        tw_buf_addc(&text, '\0');
        tw_json *again = read_as(arena, text.at, NULL, "");
        assert_non_null(again);
        assert_true(tw_json_same(value, again));
    }
}

/* One byte more than is read; the count of values is held in json_rows. */
static void bounds(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_json_doc doc = {.root = NULL};
    tw_diags *diags = tw_diags_new(arena);
    const tw_str huge = {"1", TW_FILE_LIMIT + 1};
    assert_int_equal(tw_json_read(arena, huge, TW_STR("t"), NULL, diags, &doc), TW_ERR_LIMIT);
    assert_int_equal(tw_diags_get(diags, 0)->code, 1119);
}

TW_SUITE(json_read)
{
    const struct CMUnitTest tests[] = {
        TW_TEST(nothing_is_lost), TW_TEST(texts_are_decoded),   TW_TEST(what_is_not_json_but_asked_for),
        TW_TEST(repeated_names),  TW_TEST(repeated_among_many), TW_TEST(many_members),
        TW_TEST(any_locale),      TW_TEST(random_trees),        TW_TEST(bounds),
    };
    return tw_run("jsonio/json_read", tests);
}
