/* SPDX-License-Identifier: Apache-2.0
 *
 * What was done to an edit is what is reported.
 */
#include "recut/versions.h"

#include <tallwide/edl.h>

#include <string.h>

/* Six shots of our scenario; changes below are made to them. */
/* clang-format off */
#define A {"A003", 1000, 96, 1}
#define B {"B001", 5000, 48, 1}
#define C {"A003", 2000, 72, 1}
#define D {"C002", 100, 60, 1}
#define E {"B001", 5100, 50, 1}
#define F {"A004", 300, 100, 1}
/* clang-format on */
static const row_shot six[] = {A, B, C, D, E, F};

/* A nest that shows `frames` frames from `from` on of two clips of 40; over the first the window moves. */
static const tw_timeline *nested(tw_arena *arena, int64_t from, int64_t frames)
{
    tw_item *inner = TW_NEW_N(arena, tw_item, 2), *nest = TW_NEW(arena, tw_item);
    tw_track *tracks = TW_NEW_N(arena, tw_track, 2);
    tw_key *keys = TW_NEW_N(arena, tw_key, 2);
    keys[0] = (tw_key){.frame = 0, .cx = 2000, .cy = 2160, .w = 2430};
    keys[1] = (tw_key){.frame = 39, .cx = 3000, .cy = 2160, .w = 2430};
    inner[0] = hand_clip("B001", -from, 1000, 40);
    inner[1] = hand_clip("B002", 40 - from, 1000, 40);
    inner[0].framing = TW_NEW(arena, tw_framing);
    *inner[0].framing =
        (tw_framing){.source = {5760, 4320}, .delivery = {1080, 1920}, .squeeze = 1, .keys = keys, .key_count = 2};
    *nest = tw_timeline_item(TW_ITEM_NEST);
    nest->record = hand_frames(86400, frames);
    nest->tracks = &tracks[1];
    nest->track_count = 1;
    tracks[0] = hand_track(TW_TRACK_VIDEO, nest, 1);
    tracks[1] = hand_track(TW_TRACK_VIDEO, inner, 2);
    return hand_timeline(arena, tracks, 1);
}

/* One letter for each change in order: k t r s j x - + and capitals when moved as well. */
static const char *letters(tw_arena *arena, const tw_comparison *c)
{
    static const char plain[] = "ktrsjx-+", moved[] = "KTRSJX";
    char *out = TW_NEW_N(arena, char, c->count + 1);
    for (size_t i = 0; i < c->count; i++)
        out[i] = c->changes[i].moved ? moved[c->changes[i].kind] : plain[c->changes[i].kind];
    return out;
}

/* What a nest shows of a clip is the shot. At first it shows frames 10..50: thirty of the first clip, ten of the
 * second. */
static void in_nests(void **state)
{
    static const struct {
        const char *what;
        int64_t from, frames;
        const char *expected;
        int64_t head, tail; /* of the last change */
    } rows[] = {{"nothing", 10, 40, "kk", 0, 0},
                {"it begins 8 frames later in its clips", 18, 40, "tt", 0, 8},
                {"its tail is shorter", 10, 34, "kt", 0, -6},
                {"the first clip only", 12, 28, "t-", 0, 0},
                {"the second only, whole", 40, 40, "-t", 0, 30}};
    for (size_t i = 0; i < TW_COUNT(rows); i++) {
        tw_arena *arena = tw_test_arena(state);
        tw_row(i, rows[i].what);
        const tw_timeline *before = nested(arena, 10, 40), *after = nested(arena, rows[i].from, rows[i].frames);
        const tw_comparison *c = tw_recut_compare(arena, before, after, TW_RECUT_SLACK);
        assert_string_equal(letters(arena, c), rows[i].expected);
        assert_int_equal(c->changes[1].head, rows[i].head);
        assert_int_equal(c->changes[1].tail, rows[i].tail);
        assert_int_equal(c->windows, 0);
        assert_int_equal(c->same, i == 0);
    }
}

static void each_kind(void **state)
{
    static const struct {
        const char *what;
        size_t count;
        row_shot rows[8];
        const char *expected;
    } rows[] = {
        {"nothing", 6, {A, B, C, D, E, F}, "kkkkkk"},
        {"second removed", 5, {A, C, D, E, F}, "k-kkkk"},
        {"one added at the end", 7, {A, B, C, D, E, F, {"D001", 1, 5, 1}}, "kkkkkk+"},
        {"head of the third trimmed, tail of the last longer",
         6,
         {A, B, {"A003", 2010, 62, 1}, D, E, {"A004", 300, 110, 1}},
         "kktkkt"},
        {"last one first", 6, {F, A, B, C, D, E}, "Kkkkkk"},
        {"first and last change places, first trimmed", 6, {F, B, C, D, E, {"A003", 1000, 90, 1}}, "KkkkkT"},
        {"first split in two", 7, {{"A003", 1000, 40, 1}, {"A003", 1040, 56, 1}, B, C, D, E, F}, "skkkkk"},
        {"a new shot put into the middle of the first",
         8,
         {{"A003", 1000, 40, 1}, {"D001", 1, 6, 1}, {"A003", 1046, 50, 1}, B, C, D, E, F},
         "s+kkkkk"},
        {"third replaced by a shot as long", 6, {A, B, {"D001", 7, 72, 1}, D, E, F}, "kkxkkk"},
        {"fourth at double speed", 6, {A, B, C, {"C002", 100, 30, 2}, E, F}, "kkkrkk"},
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

/* ---- generated re-cuts of the demo edit ------------------------------------------------------------------ */

typedef enum deed { DELETE, INSERT, SWAP, MOVE, TRIM_HEAD, TRIM_TAIL, RETIME, KEEP, DEEDS } deed;

typedef struct cutting {
    tw_arena *arena;
    tw_item *items;
    size_t count;
    size_t did[DEEDS];
    int64_t trimmed; /* frames */
} cutting;

/* The picture clips of the demo edit, put together by cuts. */
static cutting demo_clips(tw_arena *arena)
{
    const tw_read_options options = {.rate = HAND_RATE};
    tw_diags *diags = tw_diags_new(arena);
    tw_timeline *t;
    assert_int_equal(
        tw_format_edl.read(arena, tw_fixture(arena, "demo/wheel.edl"), TW_STR("wheel.edl"), &options, diags, &t),
        TW_OK);
    const tw_alignment *al = tw_recut_align(arena, t, t);
    cutting c = {.arena = arena, .items = TW_NEW_N(arena, tw_item, al->old_count), .count = al->old_count};
    for (size_t i = 0; i < c.count; i++)
        c.items[i] = *al->olds[i].item;
    return c;
}

/* Every clip gets a new number and a new place. */
static tw_timeline *lay_out(const cutting *c, size_t first_event)
{
    tw_item *items = TW_NEW_N(c->arena, tw_item, c->count);
    tw_track *track = TW_NEW(c->arena, tw_track);
    tw_time at = tw_time_frames(86400, HAND_RATE);
    for (size_t i = 0; i < c->count; i++) {
        items[i] = c->items[i];
        items[i].event = tw_arena_printf(c->arena, "%03zu", first_event + i);
        items[i].record.start = at;
        at = tw_time_add(at, items[i].record.dur);
    }
    *track = hand_track(TW_TRACK_VIDEO, items, c->count);
    return hand_timeline(c->arena, track, 1);
}

static void shorten(tw_item *item, int64_t head, int64_t frames)
{
    item->source.start = tw_time_add(item->source.start, tw_time_frames(head, HAND_RATE));
    item->source.dur = tw_time_sub(item->source.dur, tw_time_frames(frames, HAND_RATE));
    item->record.dur = tw_time_sub(item->record.dur, tw_time_frames(frames, HAND_RATE));
}

static bool plain_speed(const tw_item *item)
{
    return item->speed == 1 && !item->variable_speed;
}

/* Does something to the clip at `from`, and puts what comes of it into `to`; how many clips of `from` that took. */
static size_t do_deed(cutting *to, const tw_item *from, deed what, int64_t frames)
{
    tw_item item = from[0];
    int64_t number = (int64_t)to->count;
    switch (what) {
    case DELETE: return 1;
    case INSERT: to->items[to->count++] = hand_clip("D001", 0, 100 * number, 20 + frames); break;
    case SWAP: to->items[to->count++] = from[1]; break;
    case TRIM_HEAD: shorten(&item, frames, frames); break;
    case TRIM_TAIL: shorten(&item, 0, frames); break;
    case RETIME:
        item.speed = 2;
        item.record.dur = tw_time_frames(tw_time_round(item.record.dur, HAND_RATE, NULL) / 2, HAND_RATE);
        break;
    default: break;
    }
    to->items[to->count++] = item;
    return what == SWAP ? 2 : 1;
}

/* A deed, then two clips left alone, over and over. What is moved goes to the very end. */
static cutting recut_demo(tw_arena *arena, const cutting *base, tw_rng *rng)
{
    cutting c = {.arena = arena, .items = TW_NEW_N(arena, tw_item, 2 * base->count)};
    tw_item *later = TW_NEW_N(arena, tw_item, base->count);
    size_t later_count = 0;
    for (size_t i = 0; i < base->count;) {
        bool may = i + 3 < base->count && plain_speed(&base->items[i]) && plain_speed(&base->items[i + 1]);
        deed what = may ? (deed)tw_rng_between(rng, 0, KEEP) : KEEP;
        int64_t frames = tw_rng_between(rng, 1, 5);
        c.did[what]++;
        c.trimmed += what == TRIM_HEAD || what == TRIM_TAIL ? frames : 0;
        if (what == MOVE)
            later[later_count++] = base->items[i++];
        else
            i += do_deed(&c, &base->items[i], what, frames);
        for (size_t k = 0; k < 2 && what != KEEP && i < base->count; k++)
            c.items[c.count++] = base->items[i++];
    }
    for (size_t k = later_count; k > 0; k--)
        c.items[c.count++] = later[k - 1];
    return c;
}

static void assert_deeds(const cutting *did, const tw_comparison *c, size_t old_count)
{
    int64_t trimmed = 0;
    for (size_t i = 0; i < c->count; i++)
        if (c->changes[i].kind == TW_CHANGE_TRIMMED)
            trimmed -= c->changes[i].head + c->changes[i].tail;
    size_t changed = did->did[DELETE] + did->did[TRIM_HEAD] + did->did[TRIM_TAIL] + did->did[RETIME];
    assert_int_equal(c->of_kind[TW_CHANGE_REMOVED], did->did[DELETE]);
    assert_int_equal(c->of_kind[TW_CHANGE_ADDED], did->did[INSERT]);
    assert_int_equal(c->of_kind[TW_CHANGE_TRIMMED], did->did[TRIM_HEAD] + did->did[TRIM_TAIL]);
    assert_int_equal(c->of_kind[TW_CHANGE_RETIMED], did->did[RETIME]);
    assert_int_equal(c->of_kind[TW_CHANGE_KEPT], old_count - changed);
    assert_int_equal(c->moved, did->did[SWAP] + did->did[MOVE]);
    assert_int_equal(trimmed, did->trimmed);
    assert_int_equal(c->same, changed + did->did[INSERT] + c->moved == 0);
}

static void the_demo_recut(void **state)
{
    const cutting base = demo_clips(tw_test_arena(state));
    size_t seen[DEEDS] = {0};
    tw_rng rng = {20};
    assert_true(base.count > 30);
    for (size_t k = 0; k < 200; k++) {
        tw_arena *arena = tw_arena_like(tw_test_arena(state));
        cutting from = base;
        from.arena = arena;
        const cutting to = recut_demo(arena, &base, &rng);
        tw_row(k, "re-cut of the demo");
        assert_deeds(&to, tw_recut_compare(arena, lay_out(&from, 1), lay_out(&to, 500), 0), base.count);
        for (size_t d = 0; d < DEEDS; d++)
            seen[d] += to.did[d];
        tw_arena_free(&arena);
    }
    for (size_t d = 0; d < DEEDS; d++)
        assert_true(seen[d] > 50);
}

TW_SUITE(compare)
{
    const struct CMUnitTest tests[] = {
        TW_TEST(in_nests),
        TW_TEST(each_kind),
        TW_TEST(the_other_way_round),
        TW_TEST(ends_in_frames),
        TW_TEST(renumbered),
        TW_TEST(transitions_and_switches),
        TW_TEST(what_was_done_is_reported),
        TW_TEST(the_demo_recut),
    };
    return tw_run("recut/compare", tests);
}
