/* SPDX-License-Identifier: Apache-2.0 */
#include "support/support.h"

#include <string.h>

/* A row out of order or used twice would make a code mean two things. */
static void in_order_and_told(void **state)
{
    (void)state;
    size_t count;
    const tw_code *all = tw_code_all(&count);
    assert_true(count > 20);
    for (size_t i = 0; i < count; i++) {
        tw_row((size_t)all[i].code, all[i].title);
        assert_true(all[i].code >= 1000 && all[i].code <= 2399);
        assert_true(i == 0 || all[i].code > all[i - 1].code);
        assert_true(strlen(all[i].title) > 0 && strlen(all[i].title) < 60);
        assert_true(all[i].title[strlen(all[i].title) - 1] != '.');
        assert_true(all[i].cause[strlen(all[i].cause) - 1] == '.');
        assert_true(all[i].cure[strlen(all[i].cure) - 1] == '.');
    }
}

static void finding(void **state)
{
    (void)state;
    size_t count;
    const tw_code *all = tw_code_all(&count);
    for (size_t i = 0; i < count; i++)
        assert_ptr_equal(tw_code_find(all[i].code), &all[i]);
    assert_null(tw_code_find(0));
    assert_null(tw_code_find(999));
    assert_null(tw_code_find(9999));
}

TW_SUITE(diag_codes)
{
    const struct CMUnitTest tests[] = {TW_TEST(in_order_and_told), TW_TEST(finding)};
    return tw_run("diag/diag_codes", tests);
}
