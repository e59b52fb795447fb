/* SPDX-License-Identifier: Apache-2.0 */
#include "recut/plans.h"

/* Lists of sources given by one letter each; "x" and "y" are the sides. */
static tw_json *sources(tw_arena *arena, const char *letters)
{
    tw_buf text = {.arena = arena};
    tw_buf_addz(&text, "{\"sources\": [");
    for (const char *p = letters; *p != '\0'; p++)
        tw_buf_addf(&text, "%s{\"reel\": \"%c\"}", p > letters ? ", " : "", *p);
    tw_buf_addz(&text, "]}");
    tw_buf_addc(&text, '\0');
    return plan_tree(arena, text.at);
}

static void order(void **state)
{
    static const struct {
        const char *what, *base, *ours, *theirs, *expected;
    } rows[] = {
        {"nothing", "abc", "abc", "abc", "abc"},
        {"ours new order", "abc", "cab", "abc", "cab"},
        {"theirs new order, ours one more", "abc", "abxc", "cab", "cabx"},
        {"one added on each side, one place", "ab", "ayb", "axb", "axyb"},
        {"runs added in one place", "ab", "azcb", "amb", "amzcb"},
        {"removed on one side each", "abcd", "acd", "abc", "ac"},
        {"removed here, added behind it there", "abc", "ac", "abxc", "axc"},
        {"both new orders: the first in byte order", "abc", "cba", "bac", "bac"},
        {"added by both", "ab", "axb", "abx", "abx"},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_arena *arena = tw_test_arena(state);
        tw_row(i, rows[i].what);
        for (int turn = 0; turn < 2; turn++) {
            tw_merged m;
            tw_json *x = sources(arena, rows[i].ours), *y = sources(arena, rows[i].theirs);
            tw_recut_merge(arena, sources(arena, rows[i].base), turn ? y : x, turn ? x : y, &m);
            assert_same_tree(arena, m.root, sources(arena, rows[i].expected));
        }
    }
}

/* New keys of both sides come out in time. */
static void keys_in_time(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    static const char form[] = "{\"notes\": [{\"id\": \"n\", \"window\": [%s]}]}";
    const char *texts[4] = {"[0, 1], [100, 1]", "[0, 1], [9, 1], [70, 1], [100, 1]", "[0, 1], [30, 1], [100, 1]",
                            "[0, 1], [9, 1], [30, 1], [70, 1], [100, 1]"};
    tw_json *trees[4];
    for (int i = 0; i < 4; i++) {
        tw_buf text = {.arena = arena};
        tw_buf_addf(&text, form, texts[i]);
        tw_buf_addc(&text, '\0');
        trees[i] = plan_tree(arena, text.at);
    }
    tw_merged m;
    tw_recut_merge(arena, trees[0], trees[1], trees[2], &m);
    assert_same_tree(arena, m.root, trees[3]);
}

/* A plan of one region with `count` keys. */
static tw_json *keys(tw_arena *arena, int count)
{
    tw_buf text = {.arena = arena};
    tw_buf_addz(&text, "{\"notes\": [{\"id\": \"n\", \"regions\": [{\"name\": \"hands\", \"keys\": [");
    for (int i = 0; i < count; i++)
        tw_buf_addf(&text, "%s[%d, 0, 0, 1, 1]", i > 0 ? ", " : "", i);
    tw_buf_addz(&text, "]}]}]}");
    tw_buf_addc(&text, '\0');
    return plan_tree(arena, text.at);
}

/* Bytes that merging three plans of that many keys takes. */
static size_t memory(tw_arena *arena, int count)
{
    tw_json *sides[3];
    for (size_t i = 0; i < 3; i++)
        sides[i] = keys(arena, count + (int)i); /* else nothing would be looked at */
    tw_arena *own = tw_arena_like(arena);
    tw_merged m;
    tw_recut_merge(own, sides[0], sides[1], sides[2], &m);
    size_t held = tw_arena_held(own);
    tw_arena_free(&own);
    return held;
}

/* Eight times the keys take eight times the memory, but for what an arena asks for beforehand; not 64 times. */
static void memory_as_the_keys(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    size_t few = memory(arena, 1000), many = memory(arena, 8000);
    assert_in_range(many, 0, 24 * few);
}

/* Two people call their new note n7; it is two notes, and each branch comes to the same two ids. */
static void one_id_for_two_notes(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_json *b = plan_tree(arena, "{\"notes\": []}");
    tw_json *x = plan_tree(arena, "{\"notes\": [{\"id\": \"n7\", \"reel\": \"A003\", \"say\": \"hub\"}]}");
    tw_json *y = plan_tree(arena, "{\"notes\": [{\"id\": \"n7\", \"reel\": \"B001\", \"say\": \"rim\"}]}");
    tw_merged here, there, again;
    tw_recut_merge(arena, b, x, y, &here);
    tw_recut_merge(arena, b, y, x, &there);
    assert_int_equal(here.conflict_count, 0);
    const tw_json *notes = tw_json_get(here.root, "notes");
    assert_int_equal(notes->count, 2);
    tw_assert_text(tw_json_get(tw_json_first(notes), "id")->text, "n7");
    assert_true(tw_str_starts(tw_json_get(tw_json_first(notes)->next, "id")->text, TW_STR("n7-")));
    assert_same_tree(arena, there.root, here.root);
    tw_recut_merge(arena, b, here.root, y, &again);
    assert_same_tree(arena, again.root, here.root);
}

/* A list with a name twice is not taken apart. */
static void names_used_twice(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_merged m;
    tw_recut_merge(arena, sources(arena, "ab"), sources(arena, "aab"), sources(arena, "abc"), &m);
    assert_int_equal(m.conflict_count, 1);
    tw_assert_text(m.conflicts[0], "plan: sources");
}

TW_SUITE(merge_list)
{
    const struct CMUnitTest tests[] = {
        TW_TEST(order),
        TW_TEST(keys_in_time),
        TW_TEST(memory_as_the_keys),
        TW_TEST(one_id_for_two_notes),
        TW_TEST(names_used_twice),
    };
    return tw_run("recut/merge_list", tests);
}
