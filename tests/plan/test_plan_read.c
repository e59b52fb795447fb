/* SPDX-License-Identifier: Apache-2.0 */
#include "plan_support.h"

static void whole_plan(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_diags *diags = tw_diags_new(arena);
    tw_str bytes = tw_fixture(arena, "plan/wheel.plan.json");
    tw_plan *p = NULL;
    assert_int_equal(tw_plan_read(arena, bytes, TW_STR("x"), (tw_rate){0, 0}, false, diags, &p), TW_OK);
    assert_int_equal(tw_diags_count(diags, TW_WARNING), 4); /* colour, zeal, zinc, alloy */
    tw_assert_text(p->edit_file, "wheel.edl");
    assert_true(tw_rate_eq(p->rate, (tw_rate){24000, 1001}));
    assert_false(p->drop);
    assert_int_equal(p->delivery_count, 2);
    assert_int_equal(p->source_count, 3);
    assert_int_equal(p->note_count, 4);
    tw_assert_near(p->motion.speeds[4], 0.5, 0);
    tw_assert_near(p->motion.hold, 2, 0);
    tw_assert_near(p->motion.ease, 0, 0);
    tw_assert_near(p->motion.lazy, 0.5, 0);
    assert_false(p->motion.no_settle);
}

static void deliveries(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_plan *p = read_plan(
        arena,
        TW_STR(
            "{\"tallwide_plan\": 1, \"edit\": {\"file\": \"e\"}, \"deliveries\": ["
            "{\"name\": \"plain\", \"size\": [3840, 2160]},"
            "{\"name\": \"tall_1-A\", \"size\": [1080, 1920], \"max_scale\": 1.25, \"safe\": \"st2046-1\", \"inset\": "
            "{\"bottom\": 0.2}, \"moves\": \"steps\", \"zoom\": true, \"keys\": \"linear\", \"formats\": [\"otio\", "
            "\"edl\"], \"frame\": \"fit\"}]}"),
        "");
    assert_non_null(p);
    const tw_delivery *plain = &p->deliveries[0], *tall = &p->deliveries[1];
    tw_assert_near(plain->max_scale, 1, 0);
    tw_assert_near(plain->inset.left, 0.05, 0);
    assert_false(plain->has_inset);
    assert_int_equal(plain->moves, TW_PLAN_MOVES_AUTO);
    assert_int_equal(plain->keys, TW_KEYS_EASED);
    assert_int_equal(plain->frame, TW_FRAME_FILL);
    assert_int_equal(plain->format_count, 0);
    assert_false(plain->zoom);
    tw_assert_text(tall->name, "tall_1-A");
    assert_int_equal(tall->size.w, 1080);
    assert_int_equal(tall->size.h, 1920);
    tw_assert_near(tall->max_scale, 1.25, 0);
    tw_assert_near(tall->inset.bottom, 0.2, 0);
    tw_assert_near(tall->inset.left, tw_safe_find(TW_STR("st2046-1"))->graphics.left, 0);
    assert_int_equal(tall->moves, TW_PLAN_MOVES_STEPS);
    assert_int_equal(tall->keys, TW_KEYS_LINEAR);
    assert_int_equal(tall->frame, TW_FRAME_FIT);
    assert_true(tall->zoom);
    tw_assert_text(tall->formats[1], "edl");
    assert_ptr_equal(tw_plan_delivery(p, TW_STR("tall_1-A")), tall);
    assert_null(tw_plan_delivery(p, TW_STR("tall")));
    tw_assert_text(tw_plan_delivery_names(arena, p), "plain, tall_1-A");
}

static void delivery_rows(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    static const struct {
        const char *delivery; /* behind {"name": "a", "size": [1, 1]}, on line 2 */
        int code;
        uint32_t column;
    } rows[] = {
        {"{\"name\": \"b\", \"size\": [1, 1]}", 0, 0},
        {"{\"name\": \"a\", \"size\": [1, 1]}", 1509, 10},
        {"{\"name\": \"A\", \"size\": [1, 1]}", 1509, 10},
        {"{\"name\": \"\", \"size\": [1, 1]}", 1508, 10},
        {"{\"name\": \"..\", \"size\": [1, 1]}", 1508, 10},
        {"{\"name\": \"a/b\", \"size\": [1, 1]}", 1508, 10},
        {"{\"name\": \"a b\", \"size\": [1, 1]}", 1508, 10},
        {"{\"name\": \"\xC3\xA9\", \"size\": [1, 1]}", 1508, 10},
        {"{\"name\": \"b\", \"size\": [1, 1], \"safe\": \"st9999\"}", 1510, 39},
        {"{\"name\": \"b\", \"size\": [1, 1], \"safe\": \"ebu-r95\"}", 0, 0},
        {"{\"name\": \"b\", \"size\": [1, 1], \"inset\": {\"left\": 0.5, \"right\": 0.5}}", 1511, 40},
        {"{\"name\": \"b\", \"size\": [1, 1], \"inset\": {\"top\": 0.96}}", 1511, 40}, /* 0.96 + 0.05 > 1 */
        {"{\"name\": \"b\", \"size\": [1, 1], \"inset\": {\"top\": 0.5, \"bottom\": 0.49}}", 0, 0},
        {"{\"name\": \"b\", \"size\": [1, 1], \"inset\": {\"left\": -0.1}}", 1505, 49},
        {"{\"name\": \"b\", \"size\": [1, 1], \"max_scale\": 0}", 1505, 44},
        {"{\"name\": \"b\", \"size\": [1, 1], \"formats\": [\"a\",\"b\",\"c\",\"d\",\"e\",\"f\",\"g\",\"h\",\"i\"]}",
         1529, 42},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_row(i, rows[i].delivery);
        tw_str text = tw_arena_printf(arena,
                                      "{\"tallwide_plan\": 1, \"edit\": {\"file\": \"e\"}, \"deliveries\": [{\"name\": "
                                      "\"a\", \"size\": [1, 1]},\n%s]}",
                                      rows[i].delivery);
        tw_plan *plan = read_row_plan(arena, text, rows[i].code, 2, rows[i].column);
        assert_int_equal(plan != NULL, rows[i].code == 0);
    }
}

static void sources(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_plan *p =
        read_plan(arena,
                  plan_with(arena, "\"sources\": [{\"reel\": \"A0*\", \"size\": [5760, 4320]}, {\"reel\": \"G\", "
                                   "\"size\": null, \"kind\": \"graphic\", \"rate\": \"29.97df\", \"squeeze\": "
                                   "2}, {\"reel\": \"H\", \"kind\": \"graphic\", \"frame\": \"fill\"}]"),
                  "");
    assert_non_null(p);
    assert_int_equal(p->sources[0].size.h, 4320);
    assert_int_equal(p->sources[0].kind, TW_SOURCE_CAMERA);
    assert_false(tw_rate_known(p->sources[0].rate));
    tw_assert_near(p->sources[0].squeeze, 1, 0);
    assert_int_equal(p->sources[1].size.w, 0);
    assert_int_equal(p->sources[1].kind, TW_SOURCE_GRAPHIC);
    assert_int_equal(p->sources[1].frame, TW_FRAME_FIT);
    assert_true(tw_rate_eq(p->sources[1].rate, (tw_rate){30000, 1001}));
    assert_true(p->sources[1].drop);
    tw_assert_near(p->sources[1].squeeze, 2, 0);
    assert_int_equal(p->sources[2].frame, TW_FRAME_FILL);
    read_row_plan(arena, plan_with(arena, "\"sources\": [{\"reel\": \"A\"}, {\"reel\": \"a\"}]"), 1526, 3, 37);
    read_row_plan(arena, plan_with(arena, "\"sources\": [{\"reel\": \"A*\"}, {\"reel\": \"a1\"}]"), 1526, 3, 38);
    read_row_plan(arena, plan_with(arena, "\"sources\": [{\"reel\": \"a1\"}, {\"reel\": \"A*\"}]"), 0, 0, 0);
    read_row_plan(arena, plan_with(arena, "\"sources\": [{\"reel\": \"A\", \"rate\": 25, \"drop\": true}]"), 1528, 3,
                  47);
}

static void not_plans(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    static const struct {
        const char *text;
        int code;
        uint32_t column;
        tw_status status;
    } rows[] = {
        {"", 1101, 1, TW_ERR_SYNTAX},
        {"[]", 1501, 1, TW_ERR_SEMANTIC},
        {"{\"edit\": {}}", 1501, 1, TW_ERR_SEMANTIC},
        {"{\"tallwide_plan\": 2}", 1502, 19, TW_ERR_SEMANTIC},
        {"{\"tallwide_plan\": 1,}", 1102, 21, TW_ERR_SYNTAX},
        {"{\"tallwide_plan\": 1, \"tallwide_plan\": 1}", 1113, 22, TW_ERR_SYNTAX},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_row(i, rows[i].text);
        assert_null(read_row_plan(arena, tw_str_z(rows[i].text), rows[i].code, 1, rows[i].column));
        tw_plan *plan;
        tw_diags *diags = tw_diags_new(arena);
        assert_int_equal(tw_plan_open(arena, tw_str_z(rows[i].text), TW_STR("x"), diags, &plan), rows[i].status);
    }
}

static void in_two_steps(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_diags *diags = tw_diags_new(arena);
    tw_plan *plan;
    /* times that need a rate nobody has said yet are not looked at */
    tw_str text = TW_STR("{\"tallwide_plan\": 1, \"edit\": {\"file\": \"w.otio\", \"timeline\": \"main\", \"rate\": "
                         "\"59.94df\"}, \"notes\": [{\"in\": \"x\"}]}");
    assert_int_equal(tw_plan_open(arena, text, TW_STR("x"), diags, &plan), TW_OK);
    assert_int_equal(tw_diags_kept(diags), 0);
    tw_assert_text(plan->edit_file, "w.otio");
    tw_assert_text(plan->edit_timeline, "main");
    assert_true(tw_rate_eq(plan->rate, (tw_rate){60000, 1001}));
    assert_true(plan->drop);
    /* warnings are told once: of the bytes by the first step, of the edit by the second */
    text = TW_STR("\xEF\xBB\xBF{\"tallwide_plan\": 1, \"edit\": {\"file\": \"a\\u0041\", \"fill\": 1}}");
    assert_int_equal(tw_plan_open(arena, text, TW_STR("x"), diags, &plan), TW_OK);
    assert_int_equal(tw_diags_kept(diags), 1);
    assert_int_equal(tw_diags_get(diags, 0)->code, 1112);
    tw_assert_text(plan->edit_file, "aA");
    diags = tw_diags_new(arena);
    assert_int_equal(tw_plan_finish(arena, plan, (tw_rate){24, 1}, false, diags), TW_ERR_SEMANTIC);
    assert_int_equal(tw_diags_get(diags, 0)->code, 1503);
    diags = tw_diags_new(arena);
    assert_int_equal(tw_plan_open(arena, TW_STR("{\"tallwide_plan\": 1}"), TW_STR("x"), diags, &plan), TW_ERR_SEMANTIC);
    assert_int_equal(tw_diags_get(diags, 0)->code, 1504);
}

/* What does not concern a delivery does not change the hash by which a file knows what it was made from. */
static void hashes_of_deliveries(void **state)
{
#define HEAD "{\"tallwide_plan\": 1, \"edit\": {\"file\": \"w.edl\", \"rate\": \"24\"}, \"deliveries\": ["
#define TALL "{\"name\": \"tall\", \"size\": [1080, 1920]}"
#define SQUARE "{\"name\": \"square\", \"size\": [1080, 1080]}"
#define NOTE(more) "{\"id\": \"n1\", \"reel\": \"A001\", \"say\": \"hub\"" more "}"
    static const struct {
        const char *name, *text;
        bool same;
    } rows[] = {
        {"as it was", HEAD TALL "]}", true},
        {"other blanks", HEAD "\n  " TALL "  ]\n}", true},
        {"a delivery added", HEAD TALL ", " SQUARE "]}", true},
        {"a delivery before it", HEAD SQUARE ", " TALL "]}", true},
        {"its size", HEAD "{\"name\": \"tall\", \"size\": [1080, 1350]}]}", false},
        {"a note", HEAD TALL "], \"notes\": [" NOTE("") "]}", false},
        {"a note for it", HEAD TALL "], \"notes\": [" NOTE(", \"deliveries\": [\"tall\"]") "]}", false},
        {"a note for another", HEAD TALL ", " SQUARE "], \"notes\": [" NOTE(", \"deliveries\": [\"square\"]") "]}",
         true},
        {"a source", HEAD TALL "], \"sources\": [{\"reel\": \"A001\", \"size\": [5760, 4320]}]}", false},
    };
    tw_arena *arena = tw_test_arena(state);
    uint64_t hash = 0;
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_plan *plan;
        tw_row(i, rows[i].name);
        assert_int_equal(tw_plan_read(arena, tw_str_z(rows[i].text), TW_STR("x"), (tw_rate){24, 1}, false,
                                      tw_diags_new(arena), &plan),
                         TW_OK);
        const tw_delivery *d = plan->deliveries;
        while (!tw_str_is(d->name, "tall"))
            d++;
        hash = i == 0 ? d->hash : hash;
        assert_int_equal(d->hash == hash, rows[i].same);
    }
}

TW_SUITE(plan_read)
{
    const struct CMUnitTest tests[] = {
        TW_TEST(whole_plan), TW_TEST(deliveries),   TW_TEST(delivery_rows),        TW_TEST(sources),
        TW_TEST(not_plans),  TW_TEST(in_two_steps), TW_TEST(hashes_of_deliveries),
    };
    return tw_run("plan/plan_read", tests);
}
