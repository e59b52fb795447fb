/* SPDX-License-Identifier: Apache-2.0 */
#include "plan_support.h"

#include <string.h>

static tw_str rewritten(tw_arena *arena, tw_str text)
{
    tw_diags *diags = tw_diags_new(arena);
    tw_plan *plan = NULL;
    tw_plan_read(arena, text, TW_STR("x"), TW_R24, false, diags, &plan);
    if (plan == NULL)
        tw_assert_text(tw_str_z(tw_findings(arena, diags)), "");
    tw_buf out = {.arena = arena};
    tw_plan_write(plan->doc.root, &out);
    tw_buf_addc(&out, '\0');
    return (tw_str){out.at, out.len - 1};
}

static void golden(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_str canonical = tw_fixture(arena, "plan/wheel.canonical.json");
    tw_str out = rewritten(arena, tw_fixture(arena, "plan/wheel.plan.json"));
    tw_assert_text(out, tw_arena_dupz(arena, canonical));
    tw_assert_text(rewritten(arena, out), out.at);
}

/* ---- random plans ---------------------------------------------------------------------------------------- */

static void add_number(tw_rng *rng, tw_buf *out)
{
    static const char *const forms[] = {"%d", "%d.0", "%d.50", "%de-1", "%d.25E+0"};
    tw_buf_addf(out, forms[tw_rng_between(rng, 0, 4)], (int)tw_rng_between(rng, 1, 9)); /* NOLINT */
}

static void add_region(tw_rng *rng, int index, tw_buf *out)
{
    tw_buf_addf(out, "{\"keys\": [");
    int64_t keys = tw_rng_between(rng, 1, 4);
    for (int64_t k = 0; k < keys; k++) {
        tw_buf_addf(out, "%s[\"00:00:%02d:00\", 0.%d, 0.%d0, 0.1, 0.05]", k > 0 ? "," : "", (int)k * 3 + 1,
                    (int)tw_rng_between(rng, 0, 8), (int)tw_rng_between(rng, 0, 8));
    }
    tw_buf_addf(out, "], \"need\": \"%s\", \"name\": \"r%d\"", tw_rng_between(rng, 0, 1) ? "must" : "nice", index);
    if (tw_rng_between(rng, 0, 1)) {
        tw_buf_addz(out, ", \"weight\": ");
        add_number(rng, out);
    }
    tw_buf_addz(out, tw_rng_between(rng, 0, 3) ? "}" : ", \"zest\": [ ], \"beta\": { \"b\" : 1.10 }}");
}

static void add_note(tw_rng *rng, int index, tw_buf *out)
{
    tw_buf_addf(out, "%s{\"reel\": \"%c00%d\", ", index > 0 ? ",\n" : "", (int)tw_rng_between(rng, 'A', 'C'),
                (int)tw_rng_between(rng, 1, 3));
    if (tw_rng_between(rng, 0, 3))
        tw_buf_addf(out, "\"in\": \"00:00:%02d:00\", ", (int)tw_rng_between(rng, 0, 1));
    tw_buf_addz(out, "\"regions\": [");
    for (int r = 0, n = (int)tw_rng_between(rng, 0, 3); r < n; r++) {
        tw_buf_addz(out, r > 0 ? "," : "");
        add_region(rng, r, out);
    }
    tw_buf_addf(out, "], \"say\": \"say %d\", \"id\": \"n%d\"", (int)tw_rng_between(rng, 0, 99), 999 - index);
    tw_buf_addz(out, tw_rng_between(rng, 0, 1) ? "}" : ", \"mood\": [1, 2.0, {\"x\": []}]}");
}

static tw_str random_plan(tw_arena *arena, tw_rng *rng)
{
    tw_buf out = {.arena = arena};
    tw_buf_addz(&out, "{\"notes\": [");
    for (int i = 0, n = (int)tw_rng_between(rng, 0, 8); i < n; i++)
        add_note(rng, i, &out);
    tw_buf_addz(&out, "], \"edit\": {\"rate\": \"25\", \"file\": \"e\"}, \"deliveries\": [");
    for (int i = 0, n = (int)tw_rng_between(rng, 0, 3); i < n; i++) {
        tw_buf_addf(&out, "%s{\"size\": [%d, 1920], \"name\": \"d%d\", \"max_scale\": ", i > 0 ? "," : "", 1080 + i, i);
        add_number(rng, &out);
        tw_buf_addz(&out, tw_rng_between(rng, 0, 1) ? "}" : ", \"inset\": {\"top\": 0.10}, \"hue\": 1}");
    }
    tw_buf_addz(&out, "], \"tallwide_plan\": 1}");
    return tw_buf_str(&out);
}

static size_t lines_that_differ(tw_str a, tw_str b)
{
    size_t count = 0;
    while (a.len > 0 || b.len > 0) {
        const char *na = a.len > 0 ? memchr(a.at, '\n', a.len) : NULL;
        const char *nb = b.len > 0 ? memchr(b.at, '\n', b.len) : NULL;
        size_t la = na != NULL ? (size_t)(na - a.at) + 1 : a.len, lb = nb != NULL ? (size_t)(nb - b.at) + 1 : b.len;
        count += !tw_str_eq(tw_str_cut(a, la), tw_str_cut(b, lb));
        a = tw_str_from(a, la);
        b = tw_str_from(b, lb);
    }
    return count;
}

static tw_json *tree_of(tw_arena *arena, tw_str text)
{
    tw_diags *diags = tw_diags_new(arena);
    tw_json_doc doc = {.root = NULL};
    tw_json_read(arena, text, TW_STR("x"), NULL, diags, &doc);
    assert_non_null(doc.root);
    return doc.root;
}

static int by_id(const tw_json *note)
{
    const tw_json *id = tw_json_get(note, "id");
    int64_t n = 0;
    tw_num_int(tw_str_from(id->text, 1), &n);
    return (int)n;
}

/* Every value of the plan is in its canonical text: notes by id, the rest as it stood. */
static void assert_nothing_lost(tw_arena *arena, tw_str before, tw_str after)
{
    tw_json *a = tree_of(arena, before), *b = tree_of(arena, after);
    tw_json *an = tw_json_get(a, "notes"), *bn = tw_json_get(b, "notes");
    assert_int_equal(an->count, bn->count);
    for (const tw_json *x = tw_json_first(an); x != NULL; x = x->next) {
        const tw_json *y = tw_json_first(bn);
        while (y != NULL && by_id(y) != by_id(x))
            y = y->next;
        assert_non_null(y);
        assert_true(tw_json_same(x, y));
    }
    tw_json_remove(a, an);
    tw_json_remove(b, bn);
    assert_true(tw_json_same(a, b));
}

static void random_plans(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_rng rng = {1501};
    for (size_t i = 0; i < 300; i++) {
        tw_row(i, "random plan");
        tw_str text = random_plan(arena, &rng), once = rewritten(arena, text);
        assert_nothing_lost(arena, text, once);
        tw_assert_text(rewritten(arena, once), once.at);
    }
}

/* A number that was changed changes one line, however long the new one is. */
static void one_line_diffs(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_rng rng = {2222};
    size_t nudged = 0;
    for (size_t i = 0; i < 100; i++) {
        tw_row(i, "random plan");
        tw_str once = rewritten(arena, random_plan(arena, &rng));
        const char *at = strstr(once.at, ", 0.05]");
        if (at == NULL)
            continue;
        size_t head = (size_t)(at - once.at);
        tw_str changed = tw_arena_printf(arena, "%.*s, 0.0512345678901234567890123456789012345678901234567890]%s",
                                         (int)head, once.at, at + 7);
        tw_assert_near((double)lines_that_differ(once, rewritten(arena, changed)), 1, 0);
        nudged++;
    }
    assert_true(nudged > 50);
}

TW_SUITE(plan_write)
{
    const struct CMUnitTest tests[] = {TW_TEST(golden), TW_TEST(random_plans), TW_TEST(one_line_diffs)};
    return tw_run("plan/plan_write", tests);
}
