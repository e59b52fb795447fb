/* SPDX-License-Identifier: Apache-2.0 */
#include "support/support.h"

#include <string.h>

static void adding(void **state)
{
    tw_buf buf = {.arena = tw_test_arena(state)};
    assert_int_equal(tw_buf_str(&buf).len, 0);
    tw_buf_add(&buf, (tw_str){NULL, 0});
    tw_buf_addz(&buf, NULL);
    tw_buf_fill(&buf, 'x', 0);
    assert_null(buf.at);
    tw_buf_addz(&buf, "ab");
    tw_buf_addc(&buf, 'c');
    tw_buf_fill(&buf, '-', 3);
    tw_buf_addf(&buf, "%s %d", "reel", 7);
    tw_assert_text(tw_buf_str(&buf), "abc---reel 7");
}

static void whole_numbers(void **state)
{
    tw_buf buf = {.arena = tw_test_arena(state)};
    const int64_t values[] = {0, 7, -1, INT64_MAX, INT64_MIN};
    for (size_t i = 0; i < sizeof values / sizeof values[0]; i++) {
        tw_buf_add_int(&buf, values[i]);
        tw_buf_addc(&buf, ' ');
    }
    tw_assert_text(tw_buf_str(&buf), "0 7 -1 9223372036854775807 -9223372036854775808 ");
}

/* Unicode, chapter 23.1: U+0000 to U+001F, U+007F and U+0080 to U+009F are control codes; U+00A0 (C2 A0) is none. */
static void control_codes_are_not_shown(void **state)
{
    static const char from[] = "A\n\x1b[31m\t\x7f"
                               "B\xc2\x9b\xc2\x80\xc2\xa0\xc3\x9c\xc2";
    static const char to[] = "A  [31m  B  \xc2\xa0\xc3\x9c\xc2";
    tw_buf buf = {.arena = tw_test_arena(state)};
    tw_buf_add_shown(&buf, tw_str_z(from));
    tw_assert_text(tw_buf_str(&buf), to);
}

/* Growth keeps what was there, byte by byte, in chunks, and by printf texts around the size of its small buffer. */
static void growing(void **state)
{
    tw_buf buf = {.arena = tw_test_arena(state)};
    for (int i = 0; i < 200000; i++)
        tw_buf_addc(&buf, (char)('a' + i % 26));
    for (size_t i = 0; i < buf.len; i++)
        assert_int_equal(buf.at[i], 'a' + (int)(i % 26));
    char text[600];
    for (size_t n = 250; n < 262; n++) {
        memset(text, 'q', n);
        text[n] = '\0';
        tw_buf out = {.arena = tw_test_arena(state)};
        tw_buf_addf(&out, "%s", text);
        assert_int_equal(out.len, n);
        tw_assert_text(tw_buf_str(&out), text);
    }
}

/* Nothing put into a buffer without memory: no address is reckoned from NULL (the sanitizers' build sees it). */
static void nothing(void **state)
{
    tw_buf buf = {.arena = tw_test_arena(state)};
    tw_buf_fill(&buf, ' ', 0);
    tw_buf_addf(&buf, "%s", "");
    assert_int_equal(buf.len, 0);
}

TW_SUITE(buf)
{
    const struct CMUnitTest tests[] = {TW_TEST(adding), TW_TEST(whole_numbers), TW_TEST(control_codes_are_not_shown),
                                       TW_TEST(growing), TW_TEST(nothing)};
    return tw_run("base/buf", tests);
}
