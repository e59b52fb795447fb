/* SPDX-License-Identifier: Apache-2.0
 *
 * Plans for tests: a frame of text around the part a row is about.
 */
#ifndef TW_TESTS_PLAN_SUPPORT_H
#define TW_TESTS_PLAN_SUPPORT_H

#include "support/support.h"

#include <tallwide/plan.h>

#define TW_R24 ((tw_rate){24, 1})

/* A plan with a delivery "tall", a source for reels A*, and these members of the root behind. */
static inline tw_str plan_with(tw_arena *arena, const char *members)
{
    return tw_arena_printf(arena,
                           "{\"tallwide_plan\": 1, \"edit\": {\"file\": \"wheel.edl\"},\n"
                           "\"deliveries\": [{\"name\": \"tall\", \"size\": [1080, 1920]}],\n"
                           "%s}\n",
                           members);
}

/* Reads at 24 frames a second; the findings must be these, with "x" as the file's name. NULL when refused. */
static inline tw_plan *read_plan(tw_arena *arena, tw_str text, const char *findings)
{
    tw_diags *diags = tw_diags_new(arena);
    tw_plan *plan = NULL;
    tw_status status = tw_plan_read(arena, text, TW_STR("x"), TW_R24, false, diags, &plan);
    tw_assert_text(tw_str_z(tw_findings(arena, diags)), findings);
    assert_int_equal(status == TW_OK, plan != NULL);
    assert_int_equal(status == TW_OK, !tw_diags_failed(diags));
    return plan;
}

/* The same for rows that only name the finding: one, of that code, at that line and column; code 0: none. */
static inline tw_plan *read_row_plan(tw_arena *arena, tw_str text, int code, uint32_t line, uint32_t column)
{
    tw_diags *diags = tw_diags_new(arena);
    tw_plan *plan = NULL;
    tw_plan_read(arena, text, TW_STR("x"), TW_R24, false, diags, &plan);
    if (code == 0) {
        tw_assert_text(tw_str_z(tw_findings(arena, diags)), "");
        return plan;
    }
    const tw_diag *d = tw_diags_get(diags, 0);
    if (tw_diags_kept(diags) != 1 || d->code != code || d->place.line != line || d->place.column != column)
        tw_assert_text(tw_str_z(tw_findings(arena, diags)),
                       tw_arena_printf(arena, "one finding TW%d at %u:%u", code, line, column).at);
    return plan;
}

#endif
