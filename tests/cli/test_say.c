/* SPDX-License-Identifier: Apache-2.0 */
#include "support/support.h"

#include "cli/cli.h"

static void fields_by_column(void **state)
{
    static const struct {
        const char *text;
        int width;
        const char *shown;
    } rows[] = {
        {"A003", 6, "A003  "},
        {"A003C002", 6, "A003C~"},
        {"A003C0", 6, "A003C0"},
        {"", 3, "   "},
        {"N\xC3\xA4he", 4, "N\xC3\xA4he"},
        {"N\xC3\xA4he", 5, "N\xC3\xA4he "},
        {"N\xC3\xA4hen", 4, "N\xC3\xA4h~"},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_buf out = {.arena = tw_test_arena(state)};
        tw_row(i, rows[i].text);
        say_field(tw_str_z(rows[i].text), rows[i].width, &out);
        tw_assert_text(tw_buf_str(&out), rows[i].shown);
    }
}

static void wraps_at_blanks(void **state)
{
    static const struct {
        const char *text;
        int at, width;
        const char *shown;
    } rows[] = {
        {"one two three", 0, 20, "one two three"},
        {"one two three", 0, 8, "one two\nthree"},
        {"one two three", 2, 8, "one\n  two\n  three"},
        {"unbreakable word", 0, 6, "unbreakable\nword"},
        {"a\nb", 1, 20, "a\n b"},
        {"", 0, 20, ""},
        {"\033[31mred \302\2331m", 0, 20, " [31mred  1m"}, /* orders to a terminal (ECMA-48): ESC, C1 */
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_buf out = {.arena = tw_test_arena(state)};
        tw_row(i, rows[i].text);
        say_wrapped(tw_str_z(rows[i].text), rows[i].at, rows[i].width, &out);
        tw_assert_text(tw_buf_str(&out), rows[i].shown);
    }
}

static void breaks_long_lines(void **state)
{
    static const struct {
        const char *text;
        int at, width;
        const char *shown;
    } rows[] = {
        {"  one   two three\n", 2, 20, "  one   two three\n"},
        {"  one   two three\nfour\n", 2, 12, "  one   two\n  three\nfour\n"},
        {"  one   two three four\n", 2, 9, "  one\n  two\n  three\n  four\n"},
        {"  one   two\n", 6, 10, "  one\n      two\n"},
        {"unbreakable word", 0, 6, "unbreakable\nword\n"},
        {"\xC3\xA9t\xC3\xA9 ici\n", 0, 7, "\xC3\xA9t\xC3\xA9 ici\n"},
        {"unbreakable\n", 4, 6, "unbreakable\n"},
        {"", 0, 20, ""},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_buf out = {.arena = tw_test_arena(state)};
        tw_row(i, rows[i].text);
        say_lines(tw_str_z(rows[i].text), rows[i].at, rows[i].width, &out);
        tw_assert_text(tw_buf_str(&out), rows[i].shown);
    }
}

TW_SUITE(say)
{
    const struct CMUnitTest tests[] = {TW_TEST(fields_by_column), TW_TEST(wraps_at_blanks), TW_TEST(breaks_long_lines)};
    return tw_run("cli/say", tests);
}
