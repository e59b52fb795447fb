/* SPDX-License-Identifier: Apache-2.0 */
#include "path/qp.h"

#include "support/support.h"

/* min (x - 3)^2 + (y - 2)^2 with x + y <= 3 and x <= 1.5: at (1.5, 1.5). Without the second row at (2, 1). */
static void two_rows(void **state)
{
    (void)state;
    twi_qp qp;
    double g[2][TWI_QP_MOST] = {{2}, {0, 2}}, a[2] = {-6, -4};
    assert_true(twi_qp_start(&qp, 2, g, a));
    tw_assert_near(qp.x[0], 3, 1e-12);
    tw_assert_near(qp.x[1], 2, 1e-12);
    assert_true(twi_qp_add(&qp, (double[2]){-1, -1}, -3));
    tw_assert_near(qp.x[0], 2, 1e-12);
    tw_assert_near(qp.x[1], 1, 1e-12);
    assert_true(twi_qp_add(&qp, (double[2]){-1, 0}, -1.5));
    tw_assert_near(qp.x[0], 1.5, 1e-12);
    tw_assert_near(qp.x[1], 1.5, 1e-12);
    assert_false(twi_qp_add(&qp, (double[2]){1, 0}, 2)); /* against the row before */
}

static void not_convex(void **state)
{
    (void)state;
    twi_qp qp;
    double g[1][TWI_QP_MOST] = {{0}}, a[1] = {1};
    assert_false(twi_qp_start(&qp, 1, g, a));
}

/* A row that makes an active one idle lets it go: x >= 1 then x >= 2 in one dimension. */
static void lets_go(void **state)
{
    (void)state;
    twi_qp qp;
    double g[1][TWI_QP_MOST] = {{1}}, a[1] = {0};
    assert_true(twi_qp_start(&qp, 1, g, a));
    assert_true(twi_qp_add(&qp, (double[1]){1}, 1));
    assert_true(twi_qp_add(&qp, (double[1]){1}, 2));
    tw_assert_near(qp.x[0], 2, 1e-12);
    assert_int_equal(qp.active, 1);
}

TW_SUITE(qp)
{
    const struct CMUnitTest tests[] = {TW_TEST(two_rows), TW_TEST(not_convex), TW_TEST(lets_go)};
    return tw_run("path/qp", tests);
}
