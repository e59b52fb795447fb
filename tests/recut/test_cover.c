/* SPDX-License-Identifier: Apache-2.0 */
#include "recut/versions.h"

static void open_ends(void **state)
{
    static const struct {
        const char *what;
        row_shot shot;
        int64_t in, out;
        int64_t head, tail;
    } rows[] = {
        {"all of it", {"A", 100, 50, 1}, 100, 150, 0, 0},
        {"more than it", {"A", 100, 50, 1}, 90, 200, 0, 0},
        {"the first 10 are open", {"A", 100, 50, 1}, 110, 150, 10, 0},
        {"the last 5 are open", {"A", 100, 50, 1}, 100, 145, 0, 5},
        {"both ends", {"A", 100, 50, 1}, 103, 146, 3, 4},
        {"none of it", {"A", 100, 50, 1}, 200, 300, 50, 50},
        {"backwards: the end of the source comes first", {"A", 149, 50, -1}, 110, 150, 0, 10},
        {"double speed", {"A", 100, 50, 2}, 120, 200, 10, 0},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_timeline *t = version(tw_test_arena(state), &rows[i].shot, 1);
        const tw_note note = {.in = rows[i].in, .out = rows[i].out, .has_in = true, .has_out = true};
        const tw_note *const notes[] = {&note};
        int64_t head, tail;
        tw_row(i, rows[i].what);
        tw_recut_cover(t, &t->tracks[0].items[0], (tw_span){0, 50}, notes, 1, &head, &tail);
        assert_int_equal(head, rows[i].head);
        assert_int_equal(tail, rows[i].tail);
    }
}

/* A gap between two notes is no open end; a note without range speaks of the whole reel. */
static void several_notes(void **state)
{
    const row_shot shot = {"A", 100, 50, 1};
    tw_timeline *t = version(tw_test_arena(state), &shot, 1);
    const tw_note first = {.in = 100, .out = 110, .has_in = true, .has_out = true};
    const tw_note last = {.in = 140, .has_in = true}, all = {.in = 0};
    const tw_note *const two[] = {&first, &last}, *const one[] = {&all};
    int64_t head, tail;
    tw_recut_cover(t, &t->tracks[0].items[0], (tw_span){0, 50}, two, 2, &head, &tail);
    assert_int_equal(head + tail, 0);
    tw_recut_cover(t, &t->tracks[0].items[0], (tw_span){0, 50}, one, 1, &head, &tail);
    assert_int_equal(head + tail, 0);
}

TW_SUITE(cover)
{
    const struct CMUnitTest tests[] = {TW_TEST(open_ends), TW_TEST(several_notes)};
    return tw_run("recut/cover", tests);
}
