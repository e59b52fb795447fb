/* SPDX-License-Identifier: Apache-2.0 */
#include "support/support.h"

#include <string.h>

/* A row out of order or used twice would make a code mean two things. */
static void in_order_and_told(void **state)
{
    (void)state;
    int last = 999;
    for (size_t i = 0; tw_code_at(i) != NULL; i++) {
        const tw_code *row = tw_code_at(i);
        tw_row((size_t)row->code, row->title);
        assert_true(row->code > last && row->code <= 2399);
        assert_ptr_equal(tw_code_find(row->code), row); /* so each stands in the list of its hundred */
        assert_true(strlen(row->title) > 0 && strlen(row->title) < 60);
        assert_true(row->title[strlen(row->title) - 1] != '.');
        assert_true(row->cause[strlen(row->cause) - 1] == '.');
        assert_true(row->cure[strlen(row->cure) - 1] == '.');
        last = row->code;
    }
    assert_int_equal(last / 100, 23);
}

static void none_of_that_number(void **state)
{
    (void)state;
    static const int none[] = {-1, 0, 999, 1000, 1120, 1499, 2400, 9999};
    for (size_t i = 0; i < sizeof none / sizeof none[0]; i++)
        assert_null(tw_code_find(none[i]));
}

TW_SUITE(diag_codes)
{
    const struct CMUnitTest tests[] = {TW_TEST(in_order_and_told), TW_TEST(none_of_that_number)};
    return tw_run("diag/diag_codes", tests);
}
