/* SPDX-License-Identifier: Apache-2.0 */
#include "plan/plan_table.h"

#include <string.h>

#include "support/support.h"

static void lines_and_columns(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    twi_table table;
    tw_str column[3];
    twi_table_start(&table,
                    TW_STR("\xEF\xBB\xBF"
                           "1, 2,3,4\r\n\n5\r6,"),
                    TW_STR("t"), tw_diags_new(arena));
    assert_true(twi_table_next(&table)); /* the mark in front is gone */
    assert_int_equal(twi_table_columns(&table, column, 3), 3);
    tw_assert_text(column[0], "1");
    tw_assert_text(column[1], "2");
    tw_assert_text(column[2], "3");
    assert_true(twi_table_next(&table)); /* empty */
    assert_int_equal(table.number, 2);
    assert_int_equal(twi_table_columns(&table, column, 3), 1);
    assert_true(twi_table_next(&table)); /* ended by CR */
    tw_assert_text(table.line, "5");
    assert_true(twi_table_next(&table)); /* without an end */
    assert_int_equal(twi_table_columns(&table, column, 3), 2);
    tw_assert_text(column[1], "");
    assert_int_equal(table.number, 4);
    assert_false(twi_table_next(&table));
}

static void whole_numbers(void **state)
{
    (void)state;
    static const struct {
        const char *text;
        bool whole;
        int64_t value;
    } rows[] = {{"12", true, 12}, {"12.0", true, 12}, {"-3", true, -3},  {"1.5", false, 0},
                {"", false, 0},   {"x", false, 0},    {"1e30", false, 0}};
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_row(i, rows[i].text);
        int64_t value = 0;
        assert_int_equal(twi_table_whole(tw_str_z(rows[i].text), &value), rows[i].whole);
        assert_int_equal(value, rows[i].value);
    }
}

static void findings_stand_at_columns(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_diags *diags = tw_diags_new(arena);
    twi_table table;
    tw_str column[2];
    twi_table_start(&table, TW_STR("1,ab"), TW_STR("t"), diags);
    twi_table_next(&table);
    twi_table_columns(&table, column, 2);
    twi_table_tell(&table, 1547, column[1], "so");
    assert_int_equal(table.errors, 1);
    assert_non_null(strstr(tw_findings(arena, diags), "t:1:3: error TW1547: so"));
}

TW_SUITE(plan_table)
{
    const struct CMUnitTest tests[] = {TW_TEST(lines_and_columns), TW_TEST(whole_numbers),
                                       TW_TEST(findings_stand_at_columns)};
    return tw_run("plan/table", tests);
}
