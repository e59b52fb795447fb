/* SPDX-License-Identifier: Apache-2.0 */
#include "recut/plans.h"
#include "recut/versions.h"

static tw_item *framed(tw_arena *arena, tw_timeline *t, const tw_key *keys, size_t count)
{
    tw_framing *f = TW_NEW(arena, tw_framing);
    *f = (tw_framing){.source = {5760, 4320}, .delivery = {1080, 1920}, .squeeze = 1, .key_count = count};
    f->keys = TW_NEW_N(arena, tw_key, count);
    for (size_t i = 0; i < count; i++)
        f->keys[i] = keys[i];
    tw_item *item = &t->tracks[0].items[0];
    item->framing = f;
    return item;
}

static tw_str name(tw_arena *arena, row_shot shot, const tw_key *keys, size_t count)
{
    tw_timeline *t = version(arena, &shot, 1);
    return tw_recut_framing_name(arena, t, framed(arena, t, keys, count));
}

/* Which changes give a framing another name? */
static void names(void **state)
{
    static const row_shot shot = {"A", 100, 50, 1}, trimmed = {"A", 105, 45, 1};
    static const tw_key still[] = {{0, 2880, 2160, 2430, 0}},
                        twice[] = {{0, 2880, 2160, 2430, 0}, {9, 2880, 2160, 2430, 2}};
    static const tw_key noise[] = {{0, 2880.0000001, 2160, 2430, 0}}, nudged[] = {{0, 2880.001, 2160, 2430, 0}};
    static const tw_key move[] = {{10, 2880, 2160, 2430, 3}, {40, 3000, 2160, 2430, 3}};
    static const tw_key sooner[] = {{5, 2880, 2160, 2430, 3}, {35, 3000, 2160, 2430, 3}};
    const struct {
        const char *what;
        row_shot a, b;
        const tw_key *x, *y;
        size_t nx, ny;
        bool same;
    } rows[] = {
        {"still, shot trimmed", shot, trimmed, still, still, 1, 1, true},
        {"still with a key too many", shot, shot, still, twice, 1, 2, true},
        {"noise below a thousandth", shot, shot, still, noise, 1, 1, true},
        {"a thousandth of a pixel", shot, shot, still, nudged, 1, 1, false},
        {"a move at the same source frames, head trimmed by 5", shot, trimmed, move, sooner, 2, 2, true},
        {"a move at other source frames", shot, shot, move, sooner, 2, 2, false},
        {"still and move", shot, shot, still, move, 1, 2, false},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_arena *arena = tw_test_arena(state);
        tw_row(i, rows[i].what);
        tw_str a = name(arena, rows[i].a, rows[i].x, rows[i].nx), b = name(arena, rows[i].b, rows[i].y, rows[i].ny);
        assert_int_equal(a.len, 16);
        assert_int_equal(tw_str_eq(a, b), rows[i].same);
    }
}

static void agreed_and_broken(void **state)
{
    static const tw_key here[] = {{0, 2880, 2160, 2430, 0}}, there[] = {{0, 2890, 2160, 2430, 0}};
    tw_arena *arena = tw_test_arena(state);
    const row_shot shot = {"A", 100, 50, 1};
    tw_timeline *t = version(arena, &shot, 1), *u = version(arena, &shot, 1);
    tw_json *json = plan_tree(arena, "{\"id\": \"n1\", \"state\": \"open\"}");
    tw_note note = {.id = TW_STR("n1"), .state = TW_STR("open"), .json = json};
    const tw_note_use as_agreed = {&note, framed(arena, t, here, 1)}, changed = {&note, framed(arena, u, there, 1)};
    tw_agreed *broken;
    assert_int_equal(tw_recut_broken(arena, u, TW_STR("tall"), &changed, 1, &broken), 0); /* still open */
    tw_recut_agree(arena, t, TW_STR("tall"), &as_agreed, 1, json, TW_STR("kim"));
    note.state = tw_json_get(json, "state")->text;
    tw_assert_text(note.state, "agreed");
    assert_int_equal(tw_recut_broken(arena, t, TW_STR("tall"), &as_agreed, 1, &broken), 0);
    assert_int_equal(tw_recut_broken(arena, u, TW_STR("tall"), &changed, 1, &broken), 1);
    tw_assert_text(broken[0].by, "kim");
    assert_ptr_equal(broken[0].item, changed.item);
    assert_int_equal(tw_recut_broken(arena, t, TW_STR("wide"), &as_agreed, 1, &broken), 1); /* nothing agreed there */
    assert_null(broken[0].item);
}

TW_SUITE(agree)
{
    const struct CMUnitTest tests[] = {TW_TEST(names), TW_TEST(agreed_and_broken)};
    return tw_run("recut/agree", tests);
}
