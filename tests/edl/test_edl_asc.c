/* SPDX-License-Identifier: Apache-2.0 */
#include "edl_support.h"

/* Ways of writing seen in public lists; bounds of ASC CDL 1.2. */
static void values(void **state)
{
    (void)state;
    static const struct {
        const char *sop;
        bool good;
    } rows[] = {
        {"(1.1 1.0 0.9)(0.0 -0.01 0.0)(1.0 1.0 1.0)", true},
        {"(1.1 1.0 0.9) (0.0 -0.01 0.0) (1.0 1.0 1.0)", true},
        {"(1.1, 1.0, 0.9)(0.0, -0.01, 0.0)(1.0, 1.0, 1.0)", true},
        {"1.1 1 0.9 0 0 0 1 1 1", true},
        {"(1.1 1.0)(0.0 -0.01 0.0)(1.0 1.0 1.0)", false},
        {"(1.1 1.0 0.9)(0.0 -0.01 0.0)(1.0 1.0 1.0 1.0)", false},
        {"(-1.1 1.0 0.9)(0.0 -0.01 0.0)(1.0 1.0 1.0)", false},
        {"(1.1 1.0 0.9)(0.0 -0.01 0.0)(1.0 0.0 1.0)", false},
        {"(1.1 1.0 0.9)(0.0 one 0.0)(1.0 1.0 1.0)", false},
        {"", false},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_row(i, rows[i].sop);
        assert_int_equal(twi_edl_bad_sop(tw_str_z(rows[i].sop)) == NULL, rows[i].good);
    }
    assert_null(twi_edl_bad_sat(TW_STR("0.9")));
    assert_null(twi_edl_bad_sat(TW_STR("0")));
    assert_non_null(twi_edl_bad_sat(TW_STR("-0.1")));
    assert_non_null(twi_edl_bad_sat(TW_STR("much")));
}

TW_SUITE(edl_asc)
{
    const struct CMUnitTest tests[] = {TW_TEST(values)};
    return tw_run("edl/edl_asc", tests);
}
