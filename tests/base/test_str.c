/* SPDX-License-Identifier: Apache-2.0 */
#include "support/support.h"

static void globs(void **state)
{
    (void)state;
    static const struct {
        const char *pattern, *text;
        bool match;
    } rows[] = {
        {"A0*", "A003", true},    {"a0*", "A003", true},    {"A0*", "B003", false},     {"*", "", true},
        {"", "", true},           {"", "A", false},         {"A??3", "A003", true},     {"A??3", "A03", false},
        {"*ab*", "xxaabx", true}, {"*.mov", "a.mov", true}, {"*.mov", "a.mov2", false},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_row(i, rows[i].pattern);
        assert_int_equal(tw_str_glob(tw_str_z(rows[i].pattern), tw_str_z(rows[i].text)), rows[i].match);
    }
}

static void names_of_paths(void **state)
{
    (void)state;
    static const struct {
        const char *path, *base, *stem, *folder;
    } rows[] = {
        {"a/b.c.mov", "b.c.mov", "b.c", "a/"},
        {"C:\\x\\y.mov", "y.mov", "y", ""},
        {"plain", "plain", "plain", ""},
        {"/d/.hidden", ".hidden", ".hidden", "/d/"},
        {"d/", "", "", "d/"},
        {"/", "", "", "/"},
        {"", "", "", ""},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_row(i, rows[i].path);
        tw_assert_text(tw_str_basename(tw_str_z(rows[i].path)), rows[i].base);
        tw_assert_text(tw_str_stem(tw_str_z(rows[i].path)), rows[i].stem);
        tw_assert_text(tw_str_folder(tw_str_z(rows[i].path)), rows[i].folder);
    }
}

/* RFC 3629 section 4: the edges of every row of its grammar, and what lies just outside. */
static void utf8_edges(void **state)
{
    (void)state;
    static const struct {
        const char *bytes;
        int bad; /* offset of the first wrong byte, -1: fine */
    } rows[] = {
        {"", -1},
        {"\x7F", -1},
        {"\x80", 0},
        {"a\xBF", 1},
        {"\xC1\xBF", 0}, /* overlong */
        {"\xC2\x80", -1},
        {"\xDF\xBF", -1},
        {"\xC2", 0},
        {"\xC2\x7F", 0},
        {"\xC2\xC0", 0},
        {"\xE0\x9F\xBF", 0}, /* overlong */
        {"\xE0\xA0\x80", -1},
        {"\xEC\xBF\xBF", -1},
        {"\xED\x9F\xBF", -1},
        {"\xED\xA0\x80", 0}, /* surrogates */
        {"\xED\xBF\xBF", 0},
        {"\xEE\x80\x80", -1},
        {"\xEF\xBF\xBF", -1},
        {"\xE2\x82", 0},
        {"ab\xE2\x82\x41", 2},
        {"\xF0\x8F\xBF\xBF", 0}, /* overlong */
        {"\xF0\x90\x80\x80", -1},
        {"\xF4\x8F\xBF\xBF", -1},
        {"\xF4\x90\x80\x80", 0}, /* past U+10FFFF */
        {"\xF5\x80\x80\x80", 0},
        {"\xFF", 0},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_row(i, "bytes");
        size_t bad = 99;
        assert_int_equal(tw_str_utf8(tw_str_z(rows[i].bytes), &bad), rows[i].bad < 0);
        if (rows[i].bad >= 0)
            assert_int_equal(bad, (size_t)rows[i].bad);
    }
    assert_true(tw_str_utf8((tw_str){"a\0b", 3}, NULL));
    assert_int_equal(tw_str_characters(TW_STR("a\xC3\xA4\xE2\x82\xAC\xF0\x9F\x9A\xB2")), 4);
    assert_int_equal(tw_str_characters((tw_str){NULL, 0}), 0);
}

/* RFC 9923: 64-bit FNV-1a of "", "a" and "foobar". */
static void hashes(void **state)
{
    (void)state;
    assert_true(tw_str_hash(TW_STR("")) == UINT64_C(0xcbf29ce484222325));
    assert_true(tw_str_hash(TW_STR("a")) == UINT64_C(0xaf63dc4c8601ec8c));
    assert_true(tw_str_hash(TW_STR("foobar")) == UINT64_C(0x85944171f73967e8));
}

static void comparing(void **state)
{
    (void)state;
    const tw_str none = {NULL, 0};
    assert_true(tw_str_eq(none, TW_STR("")));
    assert_true(tw_str_is(TW_STR("A003"), "A003"));
    assert_false(tw_str_is(TW_STR("A003"), "A00"));
    assert_true(tw_str_ieq(TW_STR("a003B"), TW_STR("A003b")));
    assert_false(tw_str_ieq(TW_STR("[\xC3\x84"), TW_STR("{\xC3\xA4"))); /* ASCII letters only */
    assert_true(tw_str_cmp(TW_STR("A"), TW_STR("AA")) < 0);
    assert_true(tw_str_cmp(TW_STR("B"), TW_STR("AA")) > 0);
    assert_true(tw_str_cmp(TW_STR("\xC3"), TW_STR("z")) > 0); /* bytes are unsigned */
    assert_true(tw_str_icmp(TW_STR("a003b"), TW_STR("A003B")) == 0 && tw_str_icmp(none, none) == 0);
    assert_true(tw_str_icmp(TW_STR("a"), TW_STR("AA")) < 0 && tw_str_icmp(TW_STR("B"), TW_STR("aa")) > 0);
    assert_true(tw_str_icmp(TW_STR("Z"), TW_STR("_")) > 0); /* 'z' is above '_', 'Z' is not */
    assert_true(tw_str_icmp(TW_STR("\xC3"), TW_STR("Z")) > 0);
    assert_int_equal(tw_str_cmp(none, none), 0);
    assert_true(tw_str_order(&TW_STR("A"), &TW_STR("AA")) < 0);
    assert_true(tw_str_starts(TW_STR("A003"), TW_STR("A0")) && !tw_str_starts(TW_STR("A0"), TW_STR("A003")));
    assert_true(tw_str_istarts(TW_STR("From Clip"), TW_STR("FROM")));
    assert_true(tw_str_iends(TW_STR("a.MOV"), TW_STR(".mov")) && !tw_str_iends(TW_STR("ov"), TW_STR("mov")));
    assert_true(tw_str_holds(TW_STR("abab"), TW_STR("ba")) && tw_str_holds(TW_STR("ab"), TW_STR("ab")));
    assert_false(tw_str_holds(TW_STR("abc"), TW_STR("AB")) || tw_str_holds(TW_STR("ab"), TW_STR("abc")));
    assert_true(tw_str_holds(none, none) && tw_str_holds(TW_STR("a"), none));
}

static void guessing(void **state)
{
    (void)state;
    static const struct {
        const char *typed, *known;
        size_t least; /* TW_NO_SLIP: no slip */
    } rows[] = {
        {"outt", "out", 1},           {"Tall", "tall", 0},
        {"out", "output", 1},         {"delivery", "deliveries", 1},
        {"max_scal", "max_scale", 1}, {"maxscal", "max_scale", 2},
        {"inn", "zoom", TW_NO_SLIP},  {"ab", "abcdefgh", TW_NO_SLIP},
        {"word", "wxyd", TW_NO_SLIP}, {"", "out", TW_NO_SLIP},
        {"frok", "fork", 1},          {"hceck", "check", 1},
        {"ofkr", "fork", TW_NO_SLIP}, /* two swaps */
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_row(i, rows[i].typed);
        size_t least = TW_NO_SLIP;
        bool found = tw_str_is_nearer(tw_str_z(rows[i].typed), tw_str_z(rows[i].known), &least);
        assert_int_equal(found, rows[i].least < TW_NO_SLIP);
        assert_int_equal(least, rows[i].least);
        assert_false(tw_str_is_nearer(tw_str_z(rows[i].typed), tw_str_z(rows[i].known), &least));
    }
}

static void parts(void **state)
{
    (void)state;
    tw_assert_text(tw_str_trim(TW_STR(" \t a b\t ")), "a b");
    tw_assert_text(tw_str_trim(TW_STR(" \t ")), "");
    tw_assert_text(tw_str_from(TW_STR("abc"), 1), "bc");
    tw_assert_text(tw_str_from(TW_STR("abc"), 9), "");
    tw_assert_text(tw_str_cut(TW_STR("abc"), 2), "ab");
    tw_assert_text(tw_str_cut(TW_STR("abc"), 9), "abc");
    assert_int_equal(tw_str_from((tw_str){NULL, 0}, 3).len, 0);
    assert_true(tw_str_holds(TW_STR("00:01 --> 00:02"), TW_STR("-->")));
    assert_true(tw_str_holds(TW_STR("--->"), TW_STR("-->")));
    assert_true(tw_str_holds((tw_str){NULL, 0}, (tw_str){NULL, 0}));
    assert_false(tw_str_holds(TW_STR("-->"), TW_STR("-->x")));
    assert_false(tw_str_holds(TW_STR("-- >"), TW_STR("-->")));
    assert_int_equal(tw_str_z(NULL).len, 0);
}

TW_SUITE(str)
{
    const struct CMUnitTest tests[] = {TW_TEST(globs),  TW_TEST(names_of_paths), TW_TEST(utf8_edges),
                                       TW_TEST(hashes), TW_TEST(comparing),      TW_TEST(guessing),
                                       TW_TEST(parts)};
    return tw_run("base/str", tests);
}
