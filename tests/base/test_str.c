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
        const char *path, *base, *stem;
    } rows[] = {
        {"a/b.c.mov", "b.c.mov", "b.c"},
        {"C:\\x\\y.mov", "y.mov", "y"},
        {"plain", "plain", "plain"},
        {"/d/.hidden", ".hidden", ".hidden"},
        {"d/", "", ""},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_row(i, rows[i].path);
        tw_assert_text(tw_str_basename(tw_str_z(rows[i].path)), rows[i].base);
        tw_assert_text(tw_str_stem(tw_str_z(rows[i].path)), rows[i].stem);
    }
}

TW_SUITE(str)
{
    const struct CMUnitTest tests[] = {TW_TEST(globs), TW_TEST(names_of_paths)};
    return tw_run("base/str", tests);
}
