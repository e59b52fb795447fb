/* SPDX-License-Identifier: Apache-2.0 */
#include "recut/plans.h"

static const char before[] =
    "{\"deliveries\": [{\"name\": \"tall\", \"size\": [1080, 1920]}],"
    " \"sources\": [{\"reel\": \"A*\"}, {\"reel\": \"B*\"}],"
    " \"notes\": [{\"id\": \"n1\", \"reel\": \"A003\", \"say\": \"hub\", \"window\": [[0, 100, 0, 2430, 7]],"
    "   \"regions\": [{\"name\": \"hub\", \"need\": \"must\", \"keys\": [[\"01:00:00:00\", 0.1, 0.1, 0.2, 0.2]]}]},"
    "  {\"id\": \"n2\", \"reel\": \"B001\"}]}";

static void what_changed(void **state)
{
    static const char after[] =
        "{\"deliveries\": [{\"name\": \"tall\", \"size\": [1080, 1350]}],"
        " \"sources\": [{\"reel\": \"B*\"}, {\"reel\": \"A*\"}],"
        " \"notes\": [{\"id\": \"n1\", \"reel\": \"A003\", \"window\": [[0, 90, 4, 2440, 7]], \"by\": \"kim\","
        "   \"regions\": [{\"name\": \"hub\", \"need\": \"nice\", \"keys\": [[\"01:00:00:00\", 0.1, 0.1, 0.2, 0.2],"
        "     [\"01:00:01:00\", 0.1, 0.1, 0.2, 0.2]]}]},"
        "  {\"id\": \"n3\", \"reel\": \"C002\"}]}";
    tw_arena *arena = tw_test_arena(state);
    tw_plan_change *changes;
    size_t count = tw_recut_compare_plans(arena, plan_tree(arena, before), plan_tree(arena, after), &changes);
    tw_buf out = {.arena = arena};
    tw_recut_say_plans(changes, count, &out);
    tw_assert_text(tw_buf_str(&out),
                   "  delivery tall: size [1080,1920] is now [1080,1350]\n"
                   "  plan: sources/order changed\n"
                   "  note n1: say removed, was \"hub\"\n"
                   "  note n1: window/0 up to 10.0 px elsewhere\n"
                   "  note n1: regions/hub/need \"must\" is now \"nice\"\n"
                   "  note n1: regions/hub/keys/01:00:01:00 added: [\"01:00:01:00\",0.1,0.1,0.2,0.2]\n"
                   "  note n1: by added: \"kim\"\n"
                   "  note n2 removed\n"
                   "  note n3 added\n"
                   "9 changes\n");
}

static void for_machines(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_plan_change *changes;
    tw_buf out = {.arena = arena};
    size_t count = tw_recut_compare_plans(
        arena, plan_tree(arena, "{\"notes\": [{\"id\": \"n\", \"window\": [[0, 1, 2, 3, 0]]}]}"),
        plan_tree(arena, "{\"notes\": [{\"id\": \"n\", \"window\": [[0, 1, 2, 5, 0]]}]}"), &changes);
    tw_recut_json_plans(changes, count, tw_diags_new(out.arena), &out);
    tw_assert_text(tw_buf_str(&out), "{\"ok\": false, \"same\": false, \"changes\": [\n"
                                     "  {\"where\": \"note n\", \"what\": \"window/0\", \"before\": [0,1,2,3,0], "
                                     "\"after\": [0,1,2,5,0], \"px\": 2.0}],\n"
                                     " \"findings\": []}\n");
}

static void nothing_changed(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_plan_change *changes;
    assert_int_equal(tw_recut_compare_plans(arena, plan_tree(arena, before), plan_tree(arena, before), &changes), 0);
}

TW_SUITE(plan_diff)
{
    const struct CMUnitTest tests[] = {TW_TEST(what_changed), TW_TEST(for_machines), TW_TEST(nothing_changed)};
    return tw_run("recut/plan_diff", tests);
}
