/* SPDX-License-Identifier: Apache-2.0 */
#include "plan_support.h"

#include <string.h>

#include "plan/plan_internal.h"

static void notes(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_plan *p = read_plan(
        arena,
        plan_with(
            arena,
            "\"notes\": [{\"id\": \"n1\", \"reel\": \"A003\", \"in\": \"01:00:00:00\", \"out\": \"01:00:02:00\","
            " \"deliveries\": [\"tall\"], \"moves\": \"still\", \"subject_fill\": 0.6, \"say\": \"s\", \"by\": \"b\","
            " \"state\": \"open\", \"regions\": ["
            "{\"name\": \"hands\", \"need\": \"must\", \"weight\": 2.5, \"origin\": \"detector\", \"look\": \"left\","
            " \"focus\": [0.5, 0.25], \"keys\": [[\"01:00:00:00\", 0.25, 0.5, 0.125, 0.25], [24, 0, 0, 1, 1]]},"
            "{\"name\": \"wheel\", \"need\": \"nice\", \"track\": \"t.csv\", \"track_id\": 3, \"track_start\": "
            "\"01:00:01:00\"}],"
            " \"window\": [[0.5, 1665, 0.5, 2430, 7], [\"01:00:01:12\", -3, 0, 2430]]},"
            "{\"id\": \"n2\", \"reel\": \"B*\"}]"),
        "");
    assert_non_null(p);
    const tw_note *n = &p->notes[0], *bare = &p->notes[1];
    assert_true(n->has_in && n->has_out);
    assert_int_equal(n->in, 86400); /* 3600 s x 24 */
    assert_int_equal(n->out, 86448);
    assert_int_equal(n->moves, TW_PLAN_MOVES_STILL);
    tw_assert_near(n->subject_fill, 0.6, 0);
    tw_assert_text(n->state, "open");
    assert_true(tw_note_covers(n, TW_STR("tall")));
    assert_false(tw_note_covers(n, TW_STR("wide")));
    const tw_region *hands = &n->regions[0], *wheel = &n->regions[1];
    assert_true(hands->must && hands->detector && hands->has_focus);
    assert_int_equal(hands->look, -1);
    tw_assert_near(hands->weight, 2.5, 0);
    tw_assert_near(hands->focus_y, 0.25, 0);
    assert_int_equal(hands->key_count, 2);
    assert_int_equal(hands->keys[1].frame, 86424);
    tw_assert_near(hands->keys[0].width, 0.125, 0);
    assert_false(wheel->must);
    tw_assert_text(wheel->track, "t.csv");
    assert_true(wheel->has_track_id && wheel->has_track_start);
    assert_int_equal(wheel->track_id, 3);
    assert_int_equal(wheel->track_start, 86424);
    assert_int_equal(n->window_count, 2);
    assert_int_equal(n->window[0].frame, 86400);
    tw_assert_near(n->window[0].part, 0.5, 0);
    assert_int_equal(n->window[1].frame, 86436);
    tw_assert_near(n->window[0].ease, 7, 0);
    tw_assert_near(n->window[1].x, -3, 0);
    tw_assert_near(n->window[1].ease, 0, 0);
    assert_false(bare->has_in || bare->has_out);
    assert_int_equal(bare->moves, TW_PLAN_MOVES_DEFAULT);
    tw_assert_near(bare->subject_fill, 0, 0);
    assert_true(tw_note_covers(bare, TW_STR("anything")));
}

/* Line 3 is: "notes": [{"id": "n", "reel": "A", and then the row; columns are counted in it. */
#define HEAD "\"notes\": [{\"id\": \"n\", \"reel\": \"A\", "
#define RANGE "\"in\": \"00:00:10:00\", \"out\": \"00:00:20:00\", "
#define REGION "\"regions\": [{\"name\": \"r\", \"need\": \"must\", "

static void note_rows(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    static const struct {
        const char *rest, *mark; /* the finding stands where mark begins in rest */
        int code;
        bool refused;
    } rows[] = {
        {"\"in\": \"00:00:02:00\", \"out\": \"00:00:02:00\"}]", "\"00:00:02:00\"}]", 1516, true},
        {"\"in\": \"00:00:02:00\", \"out\": \"00:00:01:00\"}]", "\"00:00:01:00\"}]", 1516, true},
        {"\"in\": \"00:00:02:24\"}]", "\"00:00:02:24\"", 1513, true},
        {"\"deliveries\": [\"tal\"]}]", "\"tal\"", 1525, false},
        {"\"say\": \"a\"}, {\"id\": \"n\", \"reel\": \"B\"}]", "\"n\", \"reel\": \"B\"", 1517, true},
        {REGION "\"track\": \"t\"}, {\"name\": \"r\", \"need\": \"nice\", \"track\": \"t\"}]}]",
         "\"r\", \"need\": \"nice\"", 1518, true},
        {REGION "\"weight\": 1}]}]", "{\"name\"", 1519, true},
        {REGION "\"keys\": []}]}]", "{\"name\"", 1519, true},
        {REGION "\"track\": \"\"}]}]", "{\"name\"", 1519, true},
        {RANGE REGION "\"keys\": [[5, 0, 0, 1, 1], [5, 0, 0, 1, 1]]}]}]", "5, 0, 0, 1, 1]]", 1520, true},
        {RANGE REGION "\"keys\": [[5, 0, 0, 1, 1], [4, 0, 0, 1, 1]]}]}]", "4, 0", 1520, true},
        {RANGE REGION "\"keys\": [[-1, 0, 0, 1, 1], [5, 0, 0, 1, 1]]}]}]", "-1", 1521, false},
        {RANGE REGION "\"keys\": [[0, 0, 0, 1, 1], [240, 0, 0, 1, 1]]}]}]", "", 0, false},
        {RANGE REGION "\"keys\": [[0, 0, 0, 1, 1], [241, 0, 0, 1, 1]]}]}]", "241", 1521, false},
        {RANGE REGION "\"keys\": [[0, 0, 0, 0, 1]]}]}]", "[0, 0", 1522, true},
        {RANGE REGION "\"keys\": [[0, 0, 0, 1, -1]]}]}]", "[0, 0", 1522, true},
        {RANGE REGION "\"keys\": [[0, 1.5, 0, 0.1, 0.1]]}]}]", "[0, 1.5", 1522, true},
        {RANGE REGION "\"keys\": [[0, 0.9, 0, 0.2, 0.1]]}]}]", "[0, 0.9", 1523, false},
        {RANGE REGION "\"keys\": [[0, 0.9, 0, 0.1, 0.1]]}]}]", "", 0, false}, /* 0.9 + 0.1: rounding is no fault */
        {RANGE REGION "\"keys\": [[0, 0, 0, 1]]}]}]", "[0, 0", 1524, true},
        {RANGE REGION "\"keys\": [[0, 0, 0, 1, 1, 1]]}]}]", "[0, 0", 1524, true},
        {RANGE REGION "\"keys\": [[0, 0, \"a\", 1, 1]]}]}]", "\"a\"", 1524, true},
        {RANGE REGION "\"keys\": [7]}]}]", "7]", 1524, true},
        {RANGE REGION "\"keys\": [[null, 0, 0, 1, 1]]}]}]", "null", 1513, true},
        {RANGE REGION "\"keys\": [[1.5, 0, 0, 1, 1]]}]}]", "1.5", 1513, true},
        {REGION "\"keys\": [[5, 0, 0, 1, 1]]}]}]", "5, 0", 1513, true}, /* no "in" to count from */
        {RANGE "\"window\": [[0, 0, 0, 0, 0]]}]", "[0, 0", 1522, true},
        {RANGE "\"window\": [[0, 0, 0, 9, -1]]}]", "[0, 0", 1522, true},
        {RANGE "\"window\": [[0, 0.3, 0, 1, 0]]}]", "[0, 0.3", 1522, true},
        {RANGE "\"window\": [[0, 0, 0]]}]", "[0, 0", 1524, true},
        {RANGE "\"window\": [[0, 0, 0, 9], [0, 0, 0, 9]]}]", "0, 0, 0, 9]]", 1520, true},
        {RANGE "\"window\": [[0.5, 0, 0, 9], [0.25, 0, 0, 9]]}]", "0.25, 0, 0, 9]]", 1520, true},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_row(i, rows[i].rest);
        const char *mark = strstr(rows[i].rest, rows[i].mark);
        assert_non_null(mark);
        tw_str members = tw_arena_printf(arena, "%s%s", HEAD, rows[i].rest);
        uint32_t column = (uint32_t)(sizeof HEAD + (size_t)(mark - rows[i].rest));
        tw_plan *plan = read_row_plan(arena, plan_with(arena, members.at), rows[i].code, 3, column);
        assert_int_equal(plan == NULL, rows[i].refused);
    }
}

static void messages(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    read_plan(
        arena,
        plan_with(arena, HEAD RANGE "\n" REGION "\"keys\": [\n"
                                    "[-2, 0, 0, 0.5, 0.5],\n"
                                    "[-1, 300, 200, 40, 40],\n"
                                    "[3, 0.8, 0.5, 0.25, 0.25],\n"
                                    "[\"00:00:25:00\", 0, 0, 1, 1]]}]}]"),
        "x:6:1: error TW1522: this box lies outside the picture\n"
        "  [-1, 300, 200, 40, 40],\n"
        "  ^\n"
        "  -> left, top, width and height are shares of the source picture, from 0 to 1\n"
        "x:7:1: warning TW1523: this box sticks out of the picture; the part inside was used\n"
        "  [3, 0.8, 0.5, 0.25, 0.25],\n"
        "  ^\n"
        "  -> left, top, width and height are shares of the source picture, from 0 to 1\n"
        "x:5:2: warning TW1521: this key and 2 more lie outside the note's \"in\" and \"out\"; they still shape what "
        "is between\n"
        "  [-2, 0, 0, 0.5, 0.5],\n"
        "   ^^\n");
}

static void clipping(void **state)
{
    (void)state;
    static const struct {
        tw_region_key box, clipped;
        bool left_over, cut;
    } rows[] = {
        {{0, 0.25, 0.25, 0.5, 0.5}, {0, 0.25, 0.25, 0.5, 0.5}, true, false},
        {{0, -0.25, 0, 0.5, 1}, {0, 0, 0, 0.25, 1}, true, true},
        {{0, 0.75, 0.5, 0.5, 1}, {0, 0.75, 0.5, 0.25, 0.5}, true, true},
        {{0, -1, -1, 3, 3}, {0, 0, 0, 1, 1}, true, true},
        {{0, 1, 0, 0.5, 1}, {0, 1, 0, 0, 1}, false, true},
        {{0, -0.5, 0, 0.5, 1}, {0, 0, 0, 0, 1}, false, true},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_row(i, "box");
        tw_region_key box = rows[i].box;
        bool cut;
        assert_int_equal(twi_plan_clip(&box, &cut), rows[i].left_over);
        assert_int_equal(cut, rows[i].cut);
        tw_assert_near(box.left, rows[i].clipped.left, 0);
        tw_assert_near(box.top, rows[i].clipped.top, 0);
        tw_assert_near(box.width, rows[i].clipped.width, 0);
        tw_assert_near(box.height, rows[i].clipped.height, 0);
    }
}

static void notes_hold_by_the_frame_on_screen(void **state)
{
    (void)state;
    static const struct {
        const char *name;
        bool has_in, has_out;
        double source;
        bool expected;
    } rows[] = {
        {"before", true, true, 9.99, false},
        {"whole but for rounding", true, true, 9.9999999, true},
        {"first", true, true, 10, true},
        {"last", true, true, 19.9, true},
        {"out is past the end", true, true, 20, false},
        {"no in", false, true, -1e9, true},
        {"no out", true, false, 1e9, true},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_row(i, rows[i].name);
        const tw_note note = {.in = 10, .out = 20, .has_in = rows[i].has_in, .has_out = rows[i].has_out};
        assert_int_equal(tw_note_holds(&note, rows[i].source), rows[i].expected);
    }
}

TW_SUITE(plan_notes)
{
    const struct CMUnitTest tests[] = {TW_TEST(notes_hold_by_the_frame_on_screen), TW_TEST(notes), TW_TEST(note_rows),
                                       TW_TEST(messages), TW_TEST(clipping)};
    return tw_run("plan/plan_notes", tests);
}
