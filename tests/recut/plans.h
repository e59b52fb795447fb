/* SPDX-License-Identifier: Apache-2.0
 *
 * Plans as text and trees, for tests of merging.
 */
#ifndef TW_TESTS_RECUT_PLANS_H
#define TW_TESTS_RECUT_PLANS_H

#include "support/support.h"

#include <tallwide/recut.h>

static inline tw_json *plan_tree(tw_arena *arena, const char *text)
{
    tw_diags *diags = tw_diags_new(arena);
    tw_json_doc doc;
    if (tw_json_read(arena, tw_str_z(text), TW_STR("plan"), NULL, diags, &doc) != TW_OK) {
        print_error("%s\n%s\n", tw_findings(arena, diags), text);
        fail();
    }
    return doc.root;
}

/* Canonical text of a tree. */
static inline tw_str plan_text(tw_arena *arena, tw_json *root)
{
    tw_buf out = {.arena = arena};
    tw_plan_write(root, &out);
    return tw_buf_str(&out);
}

static inline void assert_same_tree(tw_arena *arena, tw_json *got, tw_json *expected)
{
    if (tw_json_same(got, expected))
        return;
    tw_assert_text(plan_text(arena, got), tw_arena_dupz(arena, plan_text(arena, expected)));
    fail();
}

#endif
