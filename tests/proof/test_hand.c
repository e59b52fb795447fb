/* SPDX-License-Identifier: Apache-2.0 */
#include "support/support.h"

#include "proof/scene.h"

typedef struct shown {
    scene s;
    tw_item clip;
    tw_track track;
    twi_sight sight;
    twi_asked asked;
    tw_note note[2];
} shown;

static void ask(tw_arena *arena, shown *x)
{
    twi_proof_look(arena, &x->s.plan, x->s.master, &x->sight);
    twi_proof_asked(arena, x->s.master, &x->sight.at[0], &x->s.tall, &x->asked);
}

/* One clip of 48 frames from source frame 100, whose note sets windows by hand over all of it. */
static void prepare(tw_arena *arena, shown *x, double speed, tw_hand_key *window, size_t count)
{
    x->clip = hand_clip("A003", 0, speed < 0 ? 147 : 100, 48);
    x->clip.speed = speed;
    x->track = hand_track(TW_TRACK_VIDEO, &x->clip, 1);
    scene_make(&x->s, hand_timeline(arena, &x->track, 1));
    x->note[0] = hand_note("n001", "A003", 0, 1000);
    x->note[0].window = window;
    x->note[0].window_count = count;
    x->s.plan.notes = x->note;
    x->s.plan.note_count = 1;
    ask(arena, x);
}

static twi_showing show(tw_arena *arena, shown *x, tw_key *keys, size_t count)
{
    tw_framing framing = scene_framing(keys, count);
    const twi_view view = {&x->s.in, &x->sight.at[0], &x->asked, &framing, 0};
    twi_showing out = {.moved = 0};
    twi_proof_hand(arena, &view, &out);
    return out;
}

/* A still window, and one that goes from x 100 to 580 in 24 frames, 20 px a frame. */
static void where_the_note_puts_it(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    static const struct {
        const char *name;
        double x[2];
        int64_t at[2];
        double ease;
        int64_t moved, first;
        double px; /* beyond the slack of 0.002 */
    } rows[] = {
        {"as asked", {100, 580}, {12, 36}, 0, 0, 0, 0},
        {"corners as asked", {100, 580}, {12, 36}, 7, 0, 0, 0},
        {"shorter corners", {100, 580}, {12, 36}, 3, 0, 0, 0},
        {"corners too long: 20 px a frame over 12 frames round off 60, over 7 frames 35",
         {100, 580},
         {12, 36},
         12,
         34,
         0,
         24.998},
        {"rounded", {100.001, 580}, {12, 36}, 0, 0, 0, 0},
        {"a pixel off, but where the first corner may round off as much", {101, 581}, {12, 36}, 0, 37, 0, 0.998},
        {"its end two pixels off: seen behind the first corner", {100, 582}, {12, 36}, 0, 29, 19, 1.998},
        {"a frame late: it lags by 20 px, up to the last corner", {100, 580}, {13, 37}, 0, 22, 13, 19.998},
    };
    tw_hand_key window[] = {{112, 100, 0, 1080, 7, 0}, {136, 580, 0, 1080, 7, 0}};
    shown x;
    prepare(arena, &x, 1, window, 2);
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_row(i, rows[i].name);
        tw_key keys[] = {scene_key(rows[i].at[0], rows[i].x[0], 0, 1080),
                         scene_key(rows[i].at[1], rows[i].x[1], 0, 1080)};
        keys[0].ease = keys[1].ease = rows[i].ease;
        twi_showing s = show(arena, &x, keys, 2);
        if (rows[i].ease < 12)
            assert_int_equal(s.moved, rows[i].moved);
        else
            assert_true(s.moved > 0);
        if (s.moved > 0 && rows[i].ease < 12) {
            assert_int_equal(s.moved_first, rows[i].first);
            assert_ptr_equal(s.moved_note, &x.note[0]);
        }
        tw_assert_near(s.moved_px, rows[i].px, 1e-3);
    }
}

/* Played backwards from source frame 147 the window at 136 comes first, at record frame 11; at twice the speed frame 112
 * is record frame 6. */
static void in_source_time(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_hand_key window[] = {{112, 100, 0, 1080, 0, 0}, {136, 580, 0, 1080, 0, 0}};
    shown x;
    prepare(arena, &x, -1, window, 2);
    tw_key back[] = {scene_key(11, 580, 0, 1080), scene_key(35, 100, 0, 1080)};
    assert_int_equal(show(arena, &x, back, 2).moved, 0);
    prepare(arena, &x, 2, window, 2);
    tw_key fast[] = {scene_key(6, 100, 0, 1080), scene_key(18, 580, 0, 1080)};
    assert_int_equal(show(arena, &x, fast, 2).moved, 0);
    fast[0].cx += 3;
    assert_true(show(arena, &x, fast, 2).moved > 0);
}

/* A second note sets the window from record frame 24 on: within the reach of a corner, and a frame, of it either may be
 * what is seen. What a note says of another delivery is no excuse. */
static void beside_another_note(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    static const struct {
        const char *name, *delivery;
        double ease;
        int64_t moved, first;
    } rows[] = {
        {"no corners", "tall", 0, 23, 0},
        {"corners of 7 frames", "tall", 7, 16, 0},
        {"corners longer than the shot", "tall", 1e6, 0, 0},
        {"of another delivery", "wide", 7, 48, 0},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_row(i, rows[i].name);
        tw_hand_key window[] = {{112, 100, 0, 1080, rows[i].ease, 0}}, other[] = {{124, 700, 0, 1080, 0, 0}};
        tw_str delivery = tw_str_z(rows[i].delivery);
        tw_key key = scene_key(0, 103, 0, 1080);
        shown x;
        prepare(arena, &x, 1, window, 1);
        x.note[1] = hand_note("n002", "A003", 124, 1000);
        x.note[1].window = other;
        x.note[1].window_count = x.note[1].delivery_count = 1;
        x.note[1].deliveries = &delivery;
        x.s.plan.note_count = 2;
        ask(arena, &x);
        twi_showing s = show(arena, &x, &key, 1);
        assert_int_equal(s.moved, rows[i].moved);
        assert_int_equal(s.moved_first, rows[i].first);
    }
}

TW_SUITE(hand)
{
    const struct CMUnitTest tests[] = {TW_TEST(where_the_note_puts_it), TW_TEST(in_source_time),
                                       TW_TEST(beside_another_note)};
    return tw_run("proof/hand", tests);
}
