/* SPDX-License-Identifier: Apache-2.0 */
#include "support/support.h"
#include "report/report_internal.h"

/* Two names at one place stand below one another, 1.1 letters apart; one beside them stays where it is. */
static void names_do_not_meet(void **state)
{
    (void)state;
    twi_names taken = {.size = 100};
    tw_assert_near(twi_names_take(&taken, 500, 300, TW_STR("rider")), 300, 1e-9);
    tw_assert_near(twi_names_take(&taken, 600, 320, TW_STR("wheel")), 410, 1e-9);
    tw_assert_near(twi_names_take(&taken, 500, 300, TW_STR("hub")), 520, 1e-9);
    tw_assert_near(twi_names_take(&taken, 2000, 300, TW_STR("sign")), 300, 1e-9);
}

TW_SUITE(names)
{
    const struct CMUnitTest tests[] = {TW_TEST(names_do_not_meet)};
    return tw_run("report/names", tests);
}
