/* SPDX-License-Identifier: Apache-2.0 */
#include "edl_support.h"

static void line_ends(void **state)
{
    static const struct {
        tw_str bytes;
        const char *lines; /* joined by '|' */
        size_t padding;
    } rows[] = {
        {{"a\nb\n", 4}, "a|b|", 0},
        {{"a\r\nb", 4}, "a|b|", 0},
        {{"a\rb\r", 4}, "a|b|", 0},
        {{"a\r\rb\n\r\nc", 8}, "a||b||c|", 0},
        {{"\xEF\xBB\xBF"
          "a \t\n",
          7},
         "a|",
         0},
        {{"a\n\x1A\x1A\0\0", 6}, "a||", 4},
        {{"a\x1A\n\0\0b\n", 7}, "a|b|", 3},
        {{"caf\xE9\n", 5}, "caf\xC3\xA9|", 0},
        {{"\x93rim\x94\x9D\n", 7}, "\xE2\x80\x9Crim\xE2\x80\x9D?|", 0}, /* no control characters */
        {{"\f\v001\f\n\f\n", 9}, "001||", 0},                           /* pages of a printed list */
        {{"\f\xE9\n\f\xC3\xA9\n", 7}, "\xC3\xA9|\xC3\xA9|", 0},
        {{"caf\xC3\xA9\n", 6}, "caf\xC3\xA9|", 0},
        {{"", 0}, "", 0},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_arena *arena = tw_test_arena(state);
        tw_buf got = {.arena = arena};
        twi_scan scan;
        tw_str line;
        tw_row(i, rows[i].lines);
        twi_edl_scan(&scan, arena, rows[i].bytes);
        while (twi_edl_next_line(&scan, &line)) {
            tw_buf_add(&got, line);
            tw_buf_addc(&got, '|');
        }
        tw_assert_text(tw_buf_str(&got), rows[i].lines);
        assert_int_equal(scan.padding, rows[i].padding);
    }
}

static void raw_lines_hold_every_byte(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    const tw_str bytes = {"a \r\n\x1A"
                          "b\r\rc\xE9\n\0",
                          11};
    tw_buf got = {.arena = arena};
    twi_scan scan;
    tw_str raw;
    size_t end_len;
    twi_edl_scan(&scan, arena, bytes);
    while (twi_edl_next_raw(&scan, &raw, &end_len))
        tw_buf_add(&got, (tw_str){raw.at, raw.len + end_len});
    assert_true(tw_str_eq(tw_buf_str(&got), bytes));
}

static void other_encodings(void **state)
{
    (void)state;
    assert_non_null(twi_edl_not_text((tw_str){"\xFF\xFET\0", 4}));
    assert_non_null(twi_edl_not_text((tw_str){"\xFE\xFF\0T", 4}));
    assert_non_null(twi_edl_not_text((tw_str){"T\0I\0", 4}));
    assert_non_null(twi_edl_not_text((tw_str){"\0T\0I", 4}));
    assert_null(twi_edl_not_text(TW_STR("TITLE:")));
    assert_null(twi_edl_not_text(TW_STR("T")));
}

static void guesses(void **state)
{
    size_t events, others;
    twi_edl_guess(TW_STR("TITLE: X\n001\n\n* A\n002\n"), &events, &others);
    assert_int_equal(events, 2);
    assert_int_equal(others, 2);
    twi_edl_guess(TW_STR("TITLE: X\r001\r002\r"), &events, &others);
    assert_int_equal(events, 2);
    assert_int_equal(others, 1);
    /* more than is looked at: 30,000 of each, an eighth more is guessed */
    tw_buf list = {.arena = tw_test_arena(state)};
    for (size_t i = 0; i < 30000; i++)
        tw_buf_addz(&list, "001\n* A\n");
    twi_edl_guess(tw_buf_str(&list), &events, &others);
    assert_in_range(events, 30000, 35000);
    assert_in_range(others, 30000, 35000);
}

TW_SUITE(edl_scan)
{
    const struct CMUnitTest tests[] = {TW_TEST(line_ends), TW_TEST(raw_lines_hold_every_byte), TW_TEST(other_encodings),
                                       TW_TEST(guesses)};
    return tw_run("edl/edl_scan", tests);
}
