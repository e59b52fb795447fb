/* SPDX-License-Identifier: Apache-2.0
 *
 * What was done to an edit is what is reported.
 */
#include "recut/versions.h"

#include <string.h>

/* Six shots of our scenario; changes below are made to them. */
static const row_shot six[] = {
    {"A003", 1000, 96, 1}, {"B001", 5000, 48, 1}, {"A003", 2000, 72, 1},
    {"C002", 100, 60, 1},  {"B001", 5100, 50, 1}, {"A004", 300, 100, 1},
};

/* One letter for each change in order: k t r s j x - + and capitals when moved as well. */
static const char *letters(tw_arena *arena, const tw_comparison *c)
{
    static const char plain[] = "ktrsjx-+", moved[] = "KTRSJX";
    char *out = TW_NEW_N(arena, char, c->count + 1);
    for (size_t i = 0; i < c->count; i++)
        out[i] = c->changes[i].moved ? moved[c->changes[i].kind] : plain[c->changes[i].kind];
    return out;
}

static void each_kind(void **state)
{
    static const struct {
        const char *what;
        row_shot rows[8];
        size_t count;
        const char *expected;
    } rows[] = {
        {"nothing",
         {{"A003", 1000, 96, 1},
          {"B001", 5000, 48, 1},
          {"A003", 2000, 72, 1},
          {"C002", 100, 60, 1},
          {"B001", 5100, 50, 1},
          {"A004", 300, 100, 1}},
         6,
         "kkkkkk"},
        {"second removed",
         {{"A003", 1000, 96, 1},
          {"A003", 2000, 72, 1},
          {"C002", 100, 60, 1},
          {"B001", 5100, 50, 1},
          {"A004", 300, 100, 1}},
         5,
         "k-kkkk"},
        {"one added at the end",
         {{"A003", 1000, 96, 1},
          {"B001", 5000, 48, 1},
          {"A003", 2000, 72, 1},
          {"C002", 100, 60, 1},
          {"B001", 5100, 50, 1},
          {"A004", 300, 100, 1},
          {"D001", 1, 5, 1}},
         7,
         "kkkkkk+"},
        {"head of the third trimmed, tail of the last longer",
         {{"A003", 1000, 96, 1},
          {"B001", 5000, 48, 1},
          {"A003", 2010, 62, 1},
          {"C002", 100, 60, 1},
          {"B001", 5100, 50, 1},
          {"A004", 300, 110, 1}},
         6,
         "kktkkt"},
        {"last one first",
         {{"A004", 300, 100, 1},
          {"A003", 1000, 96, 1},
          {"B001", 5000, 48, 1},
          {"A003", 2000, 72, 1},
          {"C002", 100, 60, 1},
          {"B001", 5100, 50, 1}},
         6,
         "Kkkkkk"},
        {"first and last change places, first trimmed",
         {{"A004", 300, 100, 1},
          {"B001", 5000, 48, 1},
          {"A003", 2000, 72, 1},
          {"C002", 100, 60, 1},
          {"B001", 5100, 50, 1},
          {"A003", 1000, 90, 1}},
         6,
         "KkkkkT"},
        {"first split in two",
         {{"A003", 1000, 40, 1},
          {"A003", 1040, 56, 1},
          {"B001", 5000, 48, 1},
          {"A003", 2000, 72, 1},
          {"C002", 100, 60, 1},
          {"B001", 5100, 50, 1},
          {"A004", 300, 100, 1}},
         7,
         "skkkkk"},
        {"a new shot put into the middle of the first",
         {{"A003", 1000, 40, 1},
          {"D001", 1, 6, 1},
          {"A003", 1046, 50, 1},
          {"B001", 5000, 48, 1},
          {"A003", 2000, 72, 1},
          {"C002", 100, 60, 1},
          {"B001", 5100, 50, 1},
          {"A004", 300, 100, 1}},
         8,
         "s+kkkkk"},
        {"third replaced by a shot as long",
         {{"A003", 1000, 96, 1},
          {"B001", 5000, 48, 1},
          {"D001", 7, 72, 1},
          {"C002", 100, 60, 1},
          {"B001", 5100, 50, 1},
          {"A004", 300, 100, 1}},
         6,
         "kkxkkk"},
        {"fourth at double speed",
         {{"A003", 1000, 96, 1},
          {"B001", 5000, 48, 1},
          {"A003", 2000, 72, 1},
          {"C002", 100, 30, 2},
          {"B001", 5100, 50, 1},
          {"A004", 300, 100, 1}},
         6,
         "kkkrkk"},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_arena *arena = tw_test_arena(state);
        tw_row(i, rows[i].what);
        const tw_comparison *c =
            tw_recut_compare(arena, VERSION(arena, six), version(arena, rows[i].rows, rows[i].count), 0);
        tw_assert_text(tw_str_z(letters(arena, c)), rows[i].expected);
        assert_int_equal(c->same, i == 0);
    }
}

/* The other way round removed is added and split is joined. */
static void the_other_way_round(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    const row_shot cut[] = {{"A003", 1000, 40, 1}, {"A003", 1044, 52, 1}, {"A003", 2000, 72, 1}};
    const row_shot whole[] = {{"A003", 1000, 96, 1}, {"B001", 5000, 48, 1}, {"A003", 2000, 72, 1}};
    const tw_comparison *c = tw_recut_compare(arena, VERSION(arena, cut), VERSION(arena, whole), 0);
    tw_assert_text(tw_str_z(letters(arena, c)), "j+k");
    assert_int_equal(c->changes[0].missing, 4);
    assert_int_equal(c->changes[0].head, 0);
    assert_int_equal(c->changes[0].tail, 0);
}

static void ends_in_frames(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    const row_shot a[] = {{"A003", 1000, 96, 1}}, b[] = {{"A003", 990, 100, 1}};
    const tw_comparison *c = tw_recut_compare(arena, VERSION(arena, a), VERSION(arena, b), 0);
    assert_int_equal(c->changes[0].head, 10); /* begins 10 earlier */
    assert_int_equal(c->changes[0].tail, -6); /* 1096 was the end, 1090 is */
}

/* Event numbers and record times say nothing. */
static void renumbered(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_timeline *x = VERSION(arena, six), *y = VERSION(arena, six);
    for (size_t i = 0; i < 6; i++) {
        tw_item *item = &y->tracks[0].items[i];
        item->event = tw_arena_printf(arena, "%03zu", 900 - i);
        item->record.start = tw_time_add(item->record.start, tw_time_frames(86400, HAND_RATE));
    }
    assert_true(tw_recut_compare(arena, x, y, 0)->same);
}

static void transitions_and_switches(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_item a[] = {hand_clip("A003", 0, 100, 50), hand_clip("B001", 50, 200, 50), hand_clip("C002", 100, 300, 50)};
    tw_item b[] = {a[0], hand_transition(50, 0, 12), a[1], a[2]};
    b[3].enabled = false;
    tw_track ta = hand_track(TW_TRACK_VIDEO, a, 3), tb = hand_track(TW_TRACK_VIDEO, b, 4);
    const tw_comparison *c = tw_recut_compare(arena, hand_timeline(arena, &ta, 1), hand_timeline(arena, &tb, 1), 0);
    tw_assert_text(tw_str_z(letters(arena, c)), "kkk");
    assert_int_equal(c->transitions, 2); /* out of the first, into the second */
    assert_null(c->changes[1].old_transition);
    assert_int_equal(tw_item_tail(c->alignment->new_timeline, c->alignment->news[0].item), 12);
    assert_int_equal(c->enabled, 1);
    assert_false(c->same);
}

/* ---- generated re-cuts ----------------------------------------------------------------------------------- */

#define SHOTS 300

/* What is done to which shot: each to shots that stand apart, so that the list of changes is known beforehand. */
typedef struct done {
    size_t removed, added, trimmed, retimed, split, moved;
} done;

static size_t recut_rows(tw_rng *rng, const row_shot *from, row_shot *to, done *did)
{
    size_t count = 0;
    for (size_t i = 0; i < SHOTS; i++) {
        row_shot s = from[i];
        switch (i % 4 == 1 ? tw_rng_between(rng, 0, 6) : 6) {
        case 0: did->removed++; continue;
        case 1:
            to[count++] = (row_shot){"NEW", 1000 * (int64_t)i, 20, 1};
            did->added++;
            break;
        case 2:
            s.frames -= 1 + tw_rng_between(rng, 0, 3);
            did->trimmed++;
            break;
        case 3:
            s.speed = 2;
            s.frames /= 2;
            did->retimed++;
            break;
        case 4:
            to[count++] = (row_shot){s.reel, s.start, s.frames / 2, 1};
            s.start += s.frames / 2;
            s.frames -= s.frames / 2;
            did->split++;
            break;
        default: break;
        }
        to[count++] = s;
    }
    for (size_t k = 0; k < 3; k++) { /* three kept shots go to the very end, one by one */
        size_t at = 20 + 50 * k;
        while (to[at].speed != 1 || to[at].frames != 40)
            at++;
        row_shot s = to[at];
        memmove(to + at, to + at + 1, (count - at - 1) * sizeof *to);
        to[count - 1] = s;
        did->moved++;
    }
    return count;
}

static void what_was_done_is_reported(void **state)
{
    tw_rng rng = {11};
    for (size_t k = 0; k < 50; k++) {
        tw_arena *arena = tw_arena_like(tw_test_arena(state));
        row_shot a[SHOTS], b[2 * SHOTS];
        static const char *const reels[] = {"A003", "B001", "C002"};
        for (size_t i = 0; i < SHOTS; i++)
            a[i] = (row_shot){reels[i % 3], 1000 + 100 * (int64_t)i, 40, 1};
        done did = {0};
        size_t count = recut_rows(&rng, a, b, &did);
        const tw_comparison *c = tw_recut_compare(arena, version(arena, a, SHOTS), version(arena, b, count), 0);
        tw_row(k, "generated re-cut");
        assert_int_equal(c->of_kind[TW_CHANGE_REMOVED], did.removed);
        assert_int_equal(c->of_kind[TW_CHANGE_ADDED], did.added);
        assert_int_equal(c->of_kind[TW_CHANGE_TRIMMED], did.trimmed);
        assert_int_equal(c->of_kind[TW_CHANGE_RETIMED], did.retimed);
        assert_int_equal(c->of_kind[TW_CHANGE_SPLIT], did.split);
        assert_int_equal(c->moved, did.moved);
        tw_arena_free(&arena);
    }
}

TW_SUITE(compare)
{
    const struct CMUnitTest tests[] = {
        TW_TEST(each_kind),  TW_TEST(the_other_way_round),      TW_TEST(ends_in_frames),
        TW_TEST(renumbered), TW_TEST(transitions_and_switches), TW_TEST(what_was_done_is_reported),
    };
    return tw_run("recut/compare", tests);
}
