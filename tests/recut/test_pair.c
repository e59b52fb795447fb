/* SPDX-License-Identifier: Apache-2.0 */
#include "recut/versions.h"

#include "recut/recut_internal.h"

/* Old: reel A003, source frames as given; numbers by hand. */
static void heads_and_tails(void **state)
{
    static const struct {
        const char *what;
        row_shot a, b;
        bool linked, retimed;
        int64_t head, tail;
    } rows[] = {
        {"the same", {"A", 100, 50, 1}, {"A", 100, 50, 1}, true, false, 0, 0},
        {"head 5 shorter", {"A", 100, 50, 1}, {"A", 105, 45, 1}, true, false, -5, 0},
        {"tail 7 longer", {"A", 100, 50, 1}, {"A", 100, 57, 1}, true, false, 0, 7},
        {"slipped 3", {"A", 100, 50, 1}, {"A", 103, 50, 1}, true, false, -3, 3},
        {"one frame in common", {"A", 100, 50, 1}, {"A", 149, 10, 1}, true, false, -49, 9},
        {"none in common", {"A", 100, 50, 1}, {"A", 150, 10, 1}, false, false, 0, 0},
        {"double speed, head 5 record frames shorter", {"A", 100, 50, 2}, {"A", 110, 45, 2}, true, false, -5, 0},
        {"backwards, head 5 shorter", {"A", 149, 50, -1}, {"A", 144, 45, -1}, true, false, -5, 0},
        {"backwards, none in common", {"A", 149, 50, -1}, {"A", 99, 10, -1}, false, false, 0, 0},
        {"freeze, 10 longer", {"A", 100, 50, 0}, {"A", 100, 60, 0}, true, false, 0, 10},
        {"freeze on the next frame", {"A", 100, 50, 0}, {"A", 101, 50, 0}, false, false, 0, 0},
        {"double speed now", {"A", 100, 50, 1}, {"A", 100, 25, 2}, true, true, 0, 0},
        {"turned round", {"A", 100, 50, 1}, {"A", 149, 50, -1}, true, true, 0, 0},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_arena *arena = tw_test_arena(state);
        const tw_alignment *al = tw_recut_align(arena, version(arena, &rows[i].a, 1), version(arena, &rows[i].b, 1));
        bool retimed = false;
        tw_row(i, rows[i].what);
        assert_int_equal(twi_recut_linked(al->olds, al->news, &retimed), rows[i].linked);
        if (!rows[i].linked)
            continue;
        assert_int_equal(retimed, rows[i].retimed);
        if (retimed)
            continue;
        assert_int_equal(twi_recut_head(al->olds, al->news), rows[i].head);
        assert_int_equal(twi_recut_tail(al->olds, al->news), rows[i].tail);
    }
}

/* A step next to nothing: as many frames as nobody has, and no number past its type. */
static void next_to_standing_still(void **state)
{
    (void)state;
    const tw_shot before = {.start = 100, .step = 1e-300, .frames = 50},
                  now = {.start = 105, .step = 1e-300, .frames = 50};
    assert_true(twi_recut_head(&before, &now) == INT64_C(-1000000000000000));
    assert_true(twi_recut_tail(&before, &now) == INT64_C(1000000000000000));
}

/* Slow enough for all its frames to show one of the source it is still the same as itself. */
static void nearly_still(void **state)
{
    static const double speeds[] = {1e-9, -1e-9, 0.01, -0.01};
    for (size_t i = 0; i < TW_COUNT(speeds); i++) {
        tw_arena *arena = tw_test_arena(state);
        const row_shot row = {"A", 100, 5, 1};
        tw_timeline *t = version(arena, &row, 1);
        bool retimed;
        t->tracks[0].items[0].speed = speeds[i];
        const tw_alignment *al = tw_recut_align(arena, t, t);
        tw_row(i, "speed");
        assert_true(twi_recut_linked(al->olds, al->news, &retimed));
        assert_false(retimed);
        assert_int_equal(al->cost, 0);
    }
}

static void pieces(void **state)
{
    static const struct {
        const char *what;
        row_shot a, b;
        bool follows;
        int64_t missing;
    } rows[] = {
        {"straight on", {"A", 100, 50, 1}, {"A", 150, 10, 1}, true, 0},
        {"four frames left out", {"A", 100, 50, 1}, {"A", 154, 10, 1}, true, 4},
        {"a frame twice", {"A", 100, 50, 1}, {"A", 149, 10, 1}, false, 0},
        {"backwards, straight on", {"A", 100, 50, -1}, {"A", 50, 10, -1}, true, 0},
        {"another speed", {"A", 100, 50, 1}, {"A", 150, 10, 2}, false, 0},
        {"a freeze has no pieces", {"A", 100, 50, 0}, {"A", 100, 10, 0}, false, 0},
        {"another reel", {"A", 100, 50, 1}, {"B", 150, 10, 1}, false, 0},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_arena *arena = tw_test_arena(state);
        const row_shot both[] = {rows[i].a, rows[i].b};
        const tw_timeline *t = VERSION(arena, both);
        const tw_alignment *al = tw_recut_align(arena, t, t);
        int64_t missing = 0;
        tw_row(i, rows[i].what);
        assert_int_equal(twi_recut_follows(&al->olds[0], &al->olds[1], &missing), rows[i].follows);
        assert_int_equal(missing, rows[i].missing);
    }
}

TW_SUITE(pair)
{
    const struct CMUnitTest tests[] = {TW_TEST(heads_and_tails), TW_TEST(next_to_standing_still), TW_TEST(nearly_still),
                                       TW_TEST(pieces)};
    return tw_run("recut/pair", tests);
}
