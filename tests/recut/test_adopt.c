/* SPDX-License-Identifier: Apache-2.0
 *
 * Windows taken into notes come back from them; what cannot be taken is told.
 */
#include "recut/plans.h"
#include "recut/versions.h"

#include <string.h>

#include <tallwide/derive.h>

static const char plan_start[] = "{\"tallwide_plan\": 1, \"edit\": {\"file\": \"wheel.edl\", \"rate\": \"24/1\"},"
                                 " \"deliveries\": [{\"name\": \"tall\", \"size\": [1080, 1920]}],"
                                 " \"sources\": [{\"reel\": \"*\", \"size\": [5760, 4320]}], \"notes\": [";

static tw_plan *read_plan(tw_arena *arena, tw_str text)
{
    tw_diags *diags = tw_diags_new(arena);
    tw_plan *plan;
    if (tw_plan_read(arena, text, TW_STR("plan"), HAND_RATE, false, diags, &plan) != TW_OK) {
        print_error("%s\n%.*s\n", tw_findings(arena, diags), TW_ARG(text));
        fail();
    }
    return plan;
}

static tw_plan *plan_with(tw_arena *arena, const char *notes)
{
    return read_plan(arena, tw_arena_printf(arena, "%s%s]}", plan_start, notes));
}

static tw_timeline *solve(tw_arena *arena, const tw_plan *plan, const tw_timeline *master)
{
    const tw_derive_options options = {.threads = 1};
    tw_derived *derived;
    assert_int_equal(tw_derive(arena, plan, master, &options, tw_diags_new(arena), &derived), TW_OK);
    return tw_derive_timeline(arena, derived, 0, 0);
}

/* Gives a clip other keys. */
static void reframe(tw_arena *arena, tw_item *item, const tw_key *keys, size_t count)
{
    tw_framing *f = TW_NEW(arena, tw_framing);
    *f = *item->framing;
    f->keys = TW_NEW_N(arena, tw_key, count);
    for (size_t i = 0; i < count; i++)
        f->keys[i] = keys[i];
    f->key_count = count;
    item->framing = f;
}

static tw_json *adopt(tw_arena *arena, const tw_plan *plan, const tw_timeline *solved, const tw_timeline *changed,
                      tw_diags *diags, tw_adopted *out)
{
    const tw_adopt_job job = {plan,          solved,          solved, changed, TW_STR("tall"),
                              TW_STR("kim"), TW_STR("lower"), false,  NULL,    0};
    tw_json *root = tw_json_copy(arena, plan->doc.root);
    tw_recut_adopt(arena, &job, root, diags, out);
    return root;
}

static void one_note(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    const row_shot rows[] = {{"A003", 86400, 48, 1}, {"B001", 1000, 24, 1}};
    static const tw_key key[] = {{0, 3000.25, 2160, 2430, 0}};
    tw_timeline *master = VERSION(arena, rows);
    tw_plan *plan = plan_with(arena, "");
    tw_timeline *solved = solve(arena, plan, master), *changed = tw_timeline_copy(arena, solved);
    reframe(arena, &changed->tracks[0].items[0], key, 1);
    tw_adopted out;
    tw_json *root = adopt(arena, plan, solved, changed, tw_diags_new(arena), &out);
    assert_int_equal(out.window_count, 1);
    assert_int_equal(out.refused + out.cuts + out.shared, 0);
    tw_assert_near(out.windows[0].px, 120.25, 1e-9); /* from the middle, 2880 */
    tw_json *notes = tw_json_get(root, "notes");
    tw_json_remove(tw_json_first(notes), tw_json_get(tw_json_first(notes), "id")); /* a hash: below */
    assert_same_tree(arena, notes,
                     plan_tree(arena, "[{\"reel\": \"A003\", \"in\": \"01:00:00:00\", \"out\": \"01:00:02:00\","
                                      " \"deliveries\": [\"tall\"], \"window\": [[0, 1785.25, 0, 2430, 0]],"
                                      " \"say\": \"lower\", \"by\": \"kim\", \"state\": \"open\"}]"));
}

/* Adopting the same shot on two branches gives one id; adopting again changes the note. */
static void ids(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    const row_shot rows[] = {{"A003", 86400, 48, 1}, {"B001", 1000, 24, 1}};
    static const tw_key here[] = {{0, 3000, 2160, 2430, 0}}, there[] = {{0, 2800, 2160, 2430, 0}};
    tw_timeline *master = VERSION(arena, rows);
    tw_plan *plan = plan_with(arena, "");
    tw_timeline *solved = solve(arena, plan, master), *a = tw_timeline_copy(arena, solved),
                *b = tw_timeline_copy(arena, solved);
    reframe(arena, &a->tracks[0].items[0], here, 1);
    reframe(arena, &b->tracks[0].items[0], there, 1);
    reframe(arena, &b->tracks[0].items[1], there, 1);
    tw_adopted x, y, again;
    tw_json *root = adopt(arena, plan, solved, a, tw_diags_new(arena), &x);
    adopt(arena, plan, solved, b, tw_diags_new(arena), &y);
    assert_int_equal(y.window_count, 2);
    tw_assert_text(x.windows[0].id, tw_arena_dupz(arena, y.windows[0].id));
    assert_false(tw_str_eq(y.windows[0].id, y.windows[1].id));
    tw_plan *next = read_plan(arena, plan_text(arena, root));
    tw_json *last = adopt(arena, next, solve(arena, next, master), b, tw_diags_new(arena), &again);
    assert_true(again.windows[0].updated);
    assert_int_equal(tw_json_get(last, "notes")->count, 2);
}

/* Windows that show an edge or are no wider than a pixel are left, since fork would refuse the plan for them; half a
 * pixel past it is no edge. */
static void past_the_edge(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    const row_shot rows[] = {{"A003", 86400, 48, 1}, {"B001", 1000, 24, 1}, {"B002", 1000, 24, 1}};
    static const tw_key out_left[] = {{0, 1000, 2160, 2430, 0}}, just[] = {{0, 1214.6, 2160, 2430, 0}};
    static const tw_key dot[] = {{0, 1000, 2160, 1.0002, 0}};
    tw_timeline *master = VERSION(arena, rows);
    tw_plan *plan = plan_with(arena, "");
    tw_timeline *solved = solve(arena, plan, master), *changed = tw_timeline_copy(arena, solved);
    reframe(arena, &changed->tracks[0].items[0], out_left, 1);
    reframe(arena, &changed->tracks[0].items[1], just, 1);
    reframe(arena, &changed->tracks[0].items[2], dot, 1);
    tw_adopted out;
    tw_diags *diags = tw_diags_new(arena);
    adopt(arena, plan, solved, changed, diags, &out);
    assert_int_equal(out.window_count, 1);
    assert_int_equal(out.refused, 2);
    assert_non_null(strstr(tw_diags_get(diags, 1)->message.at, "no wider than a pixel"));
    assert_int_equal(tw_diags_get(diags, 0)->code, 1804);
    /* 1000 - 2430 / 2 */
    assert_non_null(strstr(tw_diags_get(diags, 0)->message.at, "reaches 215 px past the left edge"));
}

/* A note people agreed on is not changed by adopting. */
static void agreed(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    const row_shot rows[] = {{"A003", 86400, 48, 1}};
    static const tw_key here[] = {{0, 3000, 2160, 2430, 0}}, there[] = {{0, 2800, 2160, 2430, 0}};
    tw_timeline *master = VERSION(arena, rows);
    tw_plan *plan = plan_with(arena, "");
    tw_timeline *solved = solve(arena, plan, master), *changed = tw_timeline_copy(arena, solved);
    reframe(arena, &changed->tracks[0].items[0], here, 1);
    tw_adopted out;
    tw_json *root = adopt(arena, plan, solved, changed, tw_diags_new(arena), &out);
    tw_json_set(arena, tw_json_first(tw_json_get(root, "notes")), "state", tw_json_new_text(arena, TW_STR("agreed")));
    plan = read_plan(arena, plan_text(arena, root));
    solved = solve(arena, plan, master);
    changed = tw_timeline_copy(arena, solved);
    reframe(arena, &changed->tracks[0].items[0], there, 1);
    tw_json *after = adopt(arena, plan, solved, changed, tw_diags_new(arena), &out);
    assert_int_equal(out.window_count, 0);
    assert_int_equal(out.refused, 1);
    assert_same_tree(arena, after, plan->doc.root);
}

/* Two uses of a take overlap by 28 frames, with a window each: both in notes, fork would refuse the plan. */
static void two_for_the_same_frames(void **state)
{
    static const row_shot twice[] = {{"A", 100, 48, 1}, {"A", 120, 48, 1}};
    static const tw_key keys[] = {{0, 3000, 2160, 2430, 0}, {0, 2000, 2160, 2430, 0}};
    tw_arena *arena = tw_test_arena(state);
    const tw_plan *plan = plan_with(arena, "");
    const tw_timeline *master = version(arena, twice, 2), *solved = solve(arena, plan, master);
    tw_timeline *changed = tw_timeline_copy(arena, solved);
    for (size_t i = 0; i < 2; i++)
        reframe(arena, &changed->tracks[0].items[i], &keys[i], 1);
    tw_diags *diags = tw_diags_new(arena);
    tw_adopted out;
    tw_json *root = adopt(arena, plan, solved, changed, diags, &out);
    assert_int_equal(out.window_count, 1);
    assert_int_equal(out.refused, 1);
    assert_non_null(strstr(tw_findings(arena, diags),
                           "TW1804: event 002 (A at 01:00:02:00): the window was changed, but "
                           "not taken over: it shows source frames of event 001 (A at "
                           "01:00:00:00), which was given another window"));
    solve(arena, read_plan(arena, plan_text(arena, root)), master);
}

static void left_alone(void **state)
{
    static const row_shot whole[] = {{"A", 100, 48, 1}, {"B", 1, 24, 1}};
    static const row_shot shorter[] = {{"A", 100, 40, 1}, {"B", 1, 24, 1}};
    static const row_shot twice[] = {{"A", 100, 48, 1}, {"A", 120, 48, 1}};
    static const char by_hand[] = "{\"id\": \"n1\", \"reel\": \"A\", \"window\": [[\"00:00:00:00\", 0, 0, 2430, 0]]}";
    static const struct {
        const char *what, *notes;
        const row_shot *master, *changed;
        size_t windows, refused, cuts, shared;
        bool reframed;
        int code;
    } rows[] = {
        {"a trim", "", whole, shorter, 0, 0, 1, 0, false, 1803},
        {"a trim and a window", "", whole, shorter, 1, 0, 1, 0, true, 1803},
        {"a note in the way", by_hand, whole, whole, 0, 1, 0, 0, true, 1804},
        {"the other half of the take", "", twice, twice, 1, 0, 0, 1, true, 1805},
    };
    static const tw_key key[] = {{0, 3000, 2160, 2430, 0}};
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_arena *arena = tw_test_arena(state);
        tw_plan *plan = plan_with(arena, rows[i].notes);
        tw_timeline *solved = solve(arena, plan, version(arena, rows[i].master, 2));
        tw_timeline *changed = solve(arena, plan, version(arena, rows[i].changed, 2));
        if (rows[i].reframed)
            reframe(arena, &changed->tracks[0].items[0], key, 1);
        tw_diags *diags = tw_diags_new(arena);
        tw_adopted out;
        tw_row(i, rows[i].what);
        adopt(arena, plan, solved, changed, diags, &out);
        assert_int_equal(out.window_count, rows[i].windows);
        assert_int_equal(out.refused, rows[i].refused);
        assert_int_equal(out.cuts, rows[i].cuts);
        assert_int_equal(out.shared, rows[i].shared);
        assert_int_equal(tw_diags_get(diags, 0)->code, rows[i].code);
    }
}

/* ---- there and back -------------------------------------------------------------------------------------- */

static double thousandths(tw_rng *rng, double most)
{
    return (double)tw_rng_between(rng, 0, (int64_t)(most * 1000)) / 1000;
}

/* A valid path inside 5760 x 4320 for 9:16. */
static size_t random_keys(tw_rng *rng, int64_t frames, tw_key *keys)
{
    size_t count = 0;
    for (int64_t f = tw_rng_between(rng, 0, 5); f < frames && count < 4; f += 4 + tw_rng_between(rng, 0, 20)) {
        double w = 1000 + thousandths(rng, 1430), h = w * 16 / 9;
        keys[count++] = (tw_key){f, w / 2 + thousandths(rng, 5760 - w), h / 2 + thousandths(rng, 4320 - h), w, 0};
    }
    for (size_t i = 1; count > 1 && i + 1 < count; i++)
        keys[i].ease = (double)tw_rng_between(rng, 0, 2);
    return count;
}

static void there_and_back(void **state)
{
    static const int speeds[] = {1, 1, 2, -1, -2};
    tw_rng rng = {21};
    for (size_t k = 0; k < 200; k++) {
        tw_arena *arena = tw_arena_like(tw_test_arena(state));
        row_shot rows[6];
        for (size_t i = 0; i < 6; i++)
            rows[i] = (row_shot){"A003", 5000 + 1000 * (int64_t)i, tw_rng_between(&rng, 8, 80),
                                 speeds[tw_rng_between(&rng, 0, 4)]};
        tw_timeline *master = version(arena, rows, 6);
        for (size_t i = 0; i < 6; i++)
            if (rows[i].speed == 1 && tw_rng_between(&rng, 0, 2) == 0)
                master->tracks[0].items[i].speed = 0.5; /* slow motion */
        tw_plan *plan = plan_with(arena, "");
        tw_timeline *solved = solve(arena, plan, master), *changed = tw_timeline_copy(arena, solved);
        for (size_t i = 0; i < 6; i++) {
            tw_key keys[4];
            size_t count = random_keys(&rng, rows[i].frames, keys);
            reframe(arena, &changed->tracks[0].items[i], keys, count);
        }
        tw_adopted out;
        tw_json *root = adopt(arena, plan, solved, changed, tw_diags_new(arena), &out);
        tw_row(k, "random windows");
        assert_int_equal(out.window_count, 6);
        const tw_timeline *again = solve(arena, read_plan(arena, plan_text(arena, root)), master);
        const tw_comparison *c = tw_recut_compare(arena, changed, again, 0.0011); /* the last digit written, rounded */
        if (!c->same) {
            tw_buf text = {.arena = arena};
            tw_recut_say(c, false, &text);
            print_error("%.*s\n%.*s\n", TW_ARG(tw_buf_str(&text)), TW_ARG(plan_text(arena, root)));
        }
        assert_true(c->same);
        tw_arena_free(&arena);
    }
}

TW_SUITE(adopt)
{
    const struct CMUnitTest tests[] = {
        TW_TEST(one_note),
        TW_TEST(ids),
        TW_TEST(past_the_edge),
        TW_TEST(agreed),
        TW_TEST(left_alone),
        TW_TEST(there_and_back),
        TW_TEST(two_for_the_same_frames),
    };
    return tw_run("recut/adopt", tests);
}
