/* SPDX-License-Identifier: Apache-2.0
 *
 * ASC FDL 2.0.1 section 7.4.12: its own worked number 1608.75 under all six rules, and the examples of halves and
 * mending that follow from its text.
 */
#include "support/support.h"

#include <tallwide/geom.h>

static void worked_numbers(void **state)
{
    (void)state;
    static const struct {
        double v;
        tw_round_even even;
        tw_round_mode mode;
        double result;
    } rows[] = {
        {1608.75, TW_ROUND_EVEN, TW_ROUND_NEAREST, 1608},
        {1608.75, TW_ROUND_EVEN, TW_ROUND_UP, 1610},
        {1608.75, TW_ROUND_EVEN, TW_ROUND_DOWN, 1608},
        {1608.75, TW_ROUND_WHOLE, TW_ROUND_NEAREST, 1609},
        {1608.75, TW_ROUND_WHOLE, TW_ROUND_UP, 1609},
        {1608.75, TW_ROUND_WHOLE, TW_ROUND_DOWN, 1608},
        {2.5, TW_ROUND_WHOLE, TW_ROUND_NEAREST, 2},
        {20.5, TW_ROUND_WHOLE, TW_ROUND_NEAREST, 20},
        {3.5, TW_ROUND_WHOLE, TW_ROUND_NEAREST, 4},
        {1, TW_ROUND_EVEN, TW_ROUND_NEAREST, 2},
        {3, TW_ROUND_EVEN, TW_ROUND_NEAREST, 4},
        {0.9, TW_ROUND_EVEN, TW_ROUND_NEAREST, 0},
        {1215, TW_ROUND_EVEN, TW_ROUND_UP, 1216},
        {1215, TW_ROUND_EVEN, TW_ROUND_DOWN, 1214},
        {-1608.75, TW_ROUND_EVEN, TW_ROUND_UP, -1610},
        {-1608.75, TW_ROUND_WHOLE, TW_ROUND_DOWN, -1608},
        {0, TW_ROUND_EVEN, TW_ROUND_UP, 0},
        {4320, TW_ROUND_EVEN, TW_ROUND_UP, 4320},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_row(i, "round");
        tw_assert_near(tw_geom_round(rows[i].v, rows[i].even, rows[i].mode), rows[i].result, 0);
    }
}

/* Section 7.4.9: canvas 4448x3096 whose decision 4004x2252 is scaled to 3840 wide gives 4266x2970 under even, up. */
static void template_canvas(void **state)
{
    (void)state;
    double k = tw_geom_scale(4004, (tw_size){3840, 2160});
    tw_assert_near(tw_geom_round(4448 * k, TW_ROUND_EVEN, TW_ROUND_UP), 4266, 0);
    tw_assert_near(tw_geom_round(3096 * k, TW_ROUND_EVEN, TW_ROUND_UP), 2970, 0);
}

TW_SUITE(round)
{
    const struct CMUnitTest tests[] = {TW_TEST(worked_numbers), TW_TEST(template_canvas)};
    return tw_run("geom/round", tests);
}
