/* SPDX-License-Identifier: Apache-2.0
 *
 * SMPTE ST 2046-1:2009: action 1785.6 x 1004.4 and title 1728 x 972 of 1920 x 1080; EBU R 95: 67.2 and 37.8 pixels of
 * HD from each edge for action, 96 and 54 for graphics.
 */
#include "support/support.h"

#include <tallwide/geom.h>

static void areas_of_hd(void **state)
{
    (void)state;
    const tw_safe *st = tw_safe_find(TW_STR("st2046-1")), *ebu = tw_safe_find(TW_STR("EBU-R95"));
    assert_non_null(st);
    assert_non_null(ebu);
    tw_assert_near(1920 * (1 - st->action.left - st->action.right), 1785.6, 1e-9);
    tw_assert_near(1080 * (1 - st->action.top - st->action.bottom), 1004.4, 1e-9);
    tw_assert_near(1920 * (1 - st->graphics.left - st->graphics.right), 1728, 1e-9);
    tw_assert_near(1080 * (1 - st->graphics.top - st->graphics.bottom), 972, 1e-9);
    tw_assert_near(1920 * ebu->action.left, 67.2, 1e-9);
    tw_assert_near(1080 * ebu->action.bottom, 37.8, 1e-9);
    tw_assert_near(1920 * ebu->graphics.right, 96, 1e-9);
    tw_assert_near(1080 * ebu->graphics.top, 54, 1e-9);
    assert_null(tw_safe_find(TW_STR("st2046")));
    assert_null(tw_safe_find((tw_str){NULL, 0}));
}

/* Neither standard says anything about 9:16, 1:1 or 4:5. */
static void by_analogy(void **state)
{
    (void)state;
    const tw_safe *st = tw_safe_find(TW_STR("st2046-1"));
    assert_true(tw_safe_covers(st, (tw_size){3840, 2160}));
    assert_true(tw_safe_covers(st, (tw_size){1280, 720}));
    assert_false(tw_safe_covers(st, (tw_size){1080, 1920}));
    assert_false(tw_safe_covers(st, (tw_size){1080, 1080}));
    assert_false(tw_safe_covers(st, (tw_size){1080, 1350}));
}

TW_SUITE(safe)
{
    const struct CMUnitTest tests[] = {TW_TEST(areas_of_hd), TW_TEST(by_analogy)};
    return tw_run("geom/safe", tests);
}
