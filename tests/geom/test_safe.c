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

/* ST 2046-1 speaks of the production apertures of 1080, 720, 576 and 480 lines (its scope), R 95 of 16:9 television.
 * Neither says anything about 9:16, 1:1 or 4:5. */
static void by_analogy(void **state)
{
    (void)state;
    static const struct {
        tw_size size;
        bool st, ebu;
    } rows[] = {
        {{1920, 1080}, true, true},   {{1280, 720}, true, true},    {{720, 576}, true, false},
        {{720, 480}, true, false},    {{3840, 2160}, false, true},  {{1024, 576}, false, true},
        {{720, 1080}, false, false},  {{1080, 1920}, false, false}, {{1080, 1080}, false, false},
        {{1080, 1350}, false, false},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_row(i, "covers");
        assert_int_equal(tw_safe_covers(tw_safe_find(TW_STR("st2046-1")), rows[i].size), rows[i].st);
        assert_int_equal(tw_safe_covers(tw_safe_find(TW_STR("ebu-r95")), rows[i].size), rows[i].ebu);
    }
}

TW_SUITE(safe)
{
    const struct CMUnitTest tests[] = {TW_TEST(areas_of_hd), TW_TEST(by_analogy)};
    return tw_run("geom/safe", tests);
}
