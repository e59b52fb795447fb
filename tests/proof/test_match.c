/* SPDX-License-Identifier: Apache-2.0 */
#include "support/support.h"

#include <string.h>

#include "proof/scene.h"

static size_t one_part(const tw_timeline *timeline)
{
    (void)timeline;
    return 1;
}

static const tw_format other = {.name = "other", .parts = one_part};

typedef struct pair {
    tw_arena *arena;
    scene s;
    twi_sight sight;
    twi_twin *twins;
    tw_diags *diags;
} pair;

static void match(tw_arena *arena, pair *p, tw_track *master, tw_track *written, size_t written_count)
{
    static const tw_format own = {.name = "own", .parts = one_part};
    tw_timeline *m = hand_timeline(arena, master, 1), *w = hand_timeline(arena, written, written_count);
    m->format = &own;
    w->format = &other;
    p->arena = arena;
    scene_make(&p->s, m);
    p->diags = tw_diags_new(arena);
    twi_proof_look(arena, &p->s.plan, m, &p->sight);
    const tw_proof_file file = {.name = TW_STR("other"), .written = w};
    p->twins = twi_proof_twins(arena, &p->s.in, &p->sight, &file, false, p->diags);
}

/* A list lets a dissolve begin at the cut: the incoming clip starts earlier, the outgoing one ends earlier. */
static void dissolve_moved_to_the_cut(void **state)
{
    pair p;
    tw_item a[] = {hand_clip("A", 0, 100, 50), hand_transition(50, 4, 6), hand_clip("B", 50, 200, 50)};
    tw_item b[] = {hand_clip("A", 0, 100, 46), hand_transition(46, 0, 10), hand_clip("B", 46, 196, 54)};
    tw_track ta = hand_track(TW_TRACK_VIDEO, a, 3), tb = hand_track(TW_TRACK_VIDEO, b, 3);
    match(tw_test_arena(state), &p, &ta, &tb, 1);
    assert_int_equal(tw_diags_count(p.diags, TW_ERROR), 0);
    assert_ptr_equal(p.twins[0].clip, &b[0]);
    assert_int_equal(p.twins[0].shift, 0);
    assert_ptr_equal(p.twins[1].clip, &b[2]);
    assert_int_equal(p.twins[1].shift, -4);
}

/* Clips that begin at once on two tracks are told apart by name and source. */
static void overlap_on_two_tracks(void **state)
{
    pair p;
    tw_item a[] = {hand_clip("A", 0, 100, 50), hand_clip("B", 0, 300, 50)};
    tw_item b[] = {hand_clip("B", 0, 300, 50)}, c[] = {hand_clip("A", 0, 100, 50)};
    tw_track ta = hand_track(TW_TRACK_VIDEO, a, 2);
    tw_track written[] = {hand_track(TW_TRACK_VIDEO, b, 1), hand_track(TW_TRACK_VIDEO, c, 1)};
    match(tw_test_arena(state), &p, &ta, written, 2);
    assert_int_equal(tw_diags_count(p.diags, TW_ERROR), 0);
    assert_ptr_equal(p.twins[0].clip, &c[0]);
    assert_ptr_equal(p.twins[1].clip, &b[0]);
}

/* Half a frame before the programme begins: 1.5 frames round to 2 where the handle of the clip is counted, and to -1 as
 * a time. */
static void a_first_transition_half_a_frame_early(void **state)
{
    pair p;
    tw_item a[] = {hand_transition(0, 0, 4), hand_clip("A", 0, 100, 50)}, b[] = {a[0], a[1]};
    a[0].in_offset = tw_time_make(3, 2 * 24);
    a[0].record = tw_range_of(tw_time_make(-3, 2 * 24), tw_range_end(a[0].record));
    b[0].in_offset = tw_time_make(2, 24);
    tw_track ta = hand_track(TW_TRACK_VIDEO, a, 2), tb = hand_track(TW_TRACK_VIDEO, b, 2);
    match(tw_test_arena(state), &p, &ta, &tb, 1);
    assert_int_equal(tw_diags_count(p.diags, TW_ERROR), 0);
    assert_ptr_equal(p.twins[0].clip, &b[1]);
}

/* A list has black in place of a clip that is switched off, where something dissolves into it. */
static void black_for_a_clip_switched_off(void **state)
{
    pair p;
    tw_item a[] = {hand_clip("A", 0, 100, 50), hand_clip("B", 50, 200, 50)};
    tw_item b[] = {hand_clip("A", 0, 100, 50), hand_clip("BL", 50, 0, 6)};
    a[1].enabled = false;
    tw_track ta = hand_track(TW_TRACK_VIDEO, a, 2), tb = hand_track(TW_TRACK_VIDEO, b, 2);
    match(tw_test_arena(state), &p, &ta, &tb, 1);
    assert_int_equal(tw_diags_count(p.diags, TW_ERROR), 0);
    assert_null(p.twins[1].clip);
    a[1].enabled = true; /* a card called "black" has lost its file on the way */
    match(tw_test_arena(state), &p, &ta, &tb, 1);
    assert_ptr_equal(p.twins[1].clip, &b[1]);
}

/* A source of 25 frames a second in a file that counts 24: 1000 is 00:00:40:00 there and 960 here. */
static void same_time_code_at_another_rate(void **state)
{
    static const struct {
        const char *name;
        int64_t master, written;
        bool fine;
    } rows[] = {{"a whole second", 1000, 960, true},
                {"and 12 frames", 1012, 972, true},
                {"two frames later", 1000, 962, false}};
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        pair p;
        tw_item a = hand_clip("A", 0, 0, 50), b = hand_clip("A", 0, rows[i].written, 50);
        a.source_rate = (tw_rate){25, 1};
        a.source.start = tw_time_frames(rows[i].master, a.source_rate);
        tw_track ta = hand_track(TW_TRACK_VIDEO, &a, 1), tb = hand_track(TW_TRACK_VIDEO, &b, 1);
        match(tw_test_arena(state), &p, &ta, &tb, 1);
        tw_row(i, rows[i].name);
        assert_int_equal(tw_diags_count(p.diags, TW_ERROR), rows[i].fine ? 0 : 1);
    }
}

/* A nest with one clip that fills it: written as that clip, or whole under its own name and clock, which proves nothing
 * about the clip. */
static void a_nest_written_flat(void **state)
{
    static const struct {
        const char *name, *reel;
        int64_t source;
        bool paired;
        size_t errors;
        const char *nest;
        bool framed;
    } rows[] = {{"the clip in it", "B", 471, true, 0, "NEST", true},
                {"the clip in it, its framing lost", "B", 471, true, 0, "NEST", false},
                {"the clip under another name", "B001", 471, true, 0, "NEST", true},
                {"the clip at another time", "B", 400, true, 1, "NEST", true},
                {"the nest as one clip", "NEST", 0, false, 0, "NEST", false},
                {"the nest as one clip, called like the clip in it", "B", 0, false, 0, "B", false},
                {"the nest as one clip, named as lists can", "NEST_OF_", 471, false, 0, "NEST OF CLIPS", false},
                {"the clip in it, called like the nest", "B", 471, true, 0, "B", true},
                {"the nest as one clip, by name and clock the clip", "B", 471, false, 0, "B", false},
                {"the nest as one clip, its clock by chance the clip's", "NEST", 471, false, 0, "NEST", false},
                {"the nest without a name as one clip, its clock by chance the clip's", "AX", 471, false, 0, "", false},
                {"the clip in a nest without a name", "B", 471, true, 0, "", true}};
    tw_key key = scene_key(0, 1665, 0, 2430);
    tw_framing framing = scene_framing(&key, 1);
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        pair p;
        tw_item inner = hand_clip("B", 0, 471, 20);
        tw_track within = hand_track(TW_TRACK_VIDEO, &inner, 1);
        tw_item a = hand_clip("NEST", 10, 0, 20), b = hand_clip(rows[i].reel, 10, rows[i].source, 20);
        a.kind = TW_ITEM_NEST;
        a.name = tw_str_z(rows[i].nest);
        a.tracks = &within;
        a.track_count = 1;
        b.framing = rows[i].framed ? &framing : NULL;
        tw_track ta = hand_track(TW_TRACK_VIDEO, &a, 1), tb = hand_track(TW_TRACK_VIDEO, &b, 1);
        match(tw_test_arena(state), &p, &ta, &tb, 1);
        tw_row(i, rows[i].name);
        assert_int_equal(tw_diags_count(p.diags, TW_ERROR), rows[i].errors);
        assert_int_equal(p.sight.len, 1);
        assert_int_equal(p.twins[0].clip != NULL, rows[i].paired);
    }
}

/* A nest at 10..30 shows frames 5..25 of a row of B, 15 frames, and C, 20: B from its frame 5 at 10..20, C at 20..30. In
 * a list they stand on the track; in a file that has nests, in one; or one clip stands for both. */
static void a_trimmed_nest(void **state)
{
    tw_item good[] = {hand_clip("B", 10, 105, 10), hand_clip("C", 20, 200, 10)};
    tw_item early[] = {hand_clip("B", 10, 100, 10), good[1]};
    tw_item shorter[] = {hand_clip("B", 10, 105, 9), hand_clip("C", 19, 199, 11)};
    tw_item whole[] = {hand_clip("NEST", 10, 0, 20)}, half[] = {hand_clip("NEST", 10, 0, 10)};
    const struct {
        const char *name;
        tw_item *items;
        size_t count;
        bool nested;
        int64_t shift; /* of B, where it is found */
        const char *said;
    } rows[] = {{"both clips", good, 2, false, 5, ""},
                {"both clips, in a nest", good, 2, true, 5, ""},
                {"one clip for the nest", whole, 1, false, 0, ""},
                {"one clip for half of it", half, 1, false, 0, "TW1703: the picture of clip \"C\" is missing"},
                {"from its first frame", early, 2, false, 5, "TW1705: clip \"B\" starts 5 source frames earlier"},
                {"the same, in a nest", early, 2, true, 5, "TW1705: clip \"B\" starts 5 source frames earlier"},
                {"shorter", shorter, 2, false, 5, "TW1704: clip \"B\" is seen up to record frame 19"},
                {"the second gone", good, 1, false, 5, "TW1703: the picture of clip \"C\" is missing"}};
    for (size_t i = 0; i < TW_COUNT(rows); i++) {
        pair p;
        tw_row(i, rows[i].name);
        tw_item inner[] = {hand_clip("B", -5, 100, 15), hand_clip("C", 10, 200, 20)}, copy[2];
        tw_track within = hand_track(TW_TRACK_VIDEO, inner, 2),
                 copied = hand_track(TW_TRACK_VIDEO, copy, rows[i].count);
        tw_item a = hand_clip("NEST", 10, 0, 20), b;
        a.kind = TW_ITEM_NEST;
        a.tracks = &within;
        a.track_count = 1;
        b = a;
        b.tracks = &copied;
        for (size_t c = 0; c < rows[i].count; c++) {
            copy[c] = rows[i].items[c];
            copy[c].record.start = tw_time_sub(copy[c].record.start, a.record.start);
        }
        tw_track ta = hand_track(TW_TRACK_VIDEO, &a, 1), tb = hand_track(TW_TRACK_VIDEO, rows[i].items, rows[i].count);
        if (rows[i].nested)
            tb = hand_track(TW_TRACK_VIDEO, &b, 1);
        match(tw_test_arena(state), &p, &ta, &tb, 1);
        const char *said = tw_findings(p.arena, p.diags);
        if (strstr(said, rows[i].said) == NULL || (rows[i].said[0] == '\0' && said[0] != '\0'))
            fail_msg("missing: %s\nin\n%s", rows[i].said, said);
        assert_int_equal(p.twins[0].shift, rows[i].shift);
    }
}

static void faults(void **state)
{
    tw_item good[] = {hand_clip("A", 0, 100, 50), hand_clip("B", 50, 200, 50)};
    tw_item lost[] = {hand_clip("A", 0, 100, 50)};
    tw_item extra[] = {hand_clip("A", 0, 100, 50), hand_clip("B", 50, 200, 50), hand_clip("C", 100, 0, 9)};
    tw_item black[] = {hand_clip("A", 0, 100, 50), hand_clip("B", 50, 200, 50), hand_clip("BL", 100, 0, 9)};
    tw_item late[] = {hand_clip("A", 0, 103, 50), hand_clip("B", 50, 200, 50)};
    tw_item longer[] = {hand_clip("A", 0, 100, 50), hand_clip("B", 50, 200, 51)};
    tw_item slow[] = {hand_clip("A", 0, 100, 50), hand_clip("B", 50, 200, 50)};
    slow[1].speed = 0.5;
    const struct {
        const char *name;
        tw_item *items;
        size_t count;
        const char *said;
    } rows[] = {
        {"a clip lost", lost, 1, "TW1703: the picture of clip \"B\" is missing"},
        {"a clip more", extra, 3, "TW1703: clip \"C\" is no shot of the master"},
        {"black more", black, 3, NULL},
        {"source later", late, 2, "TW1705: clip \"A\" starts 3 source frames later"},
        {"longer", longer, 2, "TW1704: clip \"B\" is seen up to record frame 101, in the master up to 100"},
        {"slower", slow, 2, "TW1706: clip \"B\" runs at another speed"},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        pair p;
        tw_track ta = hand_track(TW_TRACK_VIDEO, good, 2);
        tw_track tb = hand_track(TW_TRACK_VIDEO, rows[i].items, rows[i].count);
        tw_row(i, rows[i].name);
        match(tw_test_arena(state), &p, &ta, &tb, 1);
        assert_int_equal(tw_diags_count(p.diags, TW_ERROR), rows[i].said != NULL ? 1 : 0);
        if (rows[i].said != NULL)
            assert_non_null(strstr(tw_findings(p.arena, p.diags), rows[i].said));
    }
}

/* Of a file in the master's own format. */
static const twi_twin *own_twins(tw_arena *arena, pair *p, tw_timeline *master, tw_timeline *written, bool damaged)
{
    master->format = written->format = &other;
    scene_make(&p->s, master);
    twi_proof_look(arena, &p->s.plan, master, &p->sight);
    const tw_proof_file file = {.name = TW_STR("own"), .written = written};
    return twi_proof_twins(arena, &p->s.in, &p->sight, &file, damaged, p->diags);
}

/* In a file of the master's own format a clip is told by what it shows, wherever it was moved. */
static void moved_among_the_others(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_item a[] = {hand_clip("A", 0, 100, 50), hand_clip("B", 50, 200, 50), hand_clip("C", 100, 300, 50)};
    tw_item b[] = {hand_clip("B", 0, 200, 50), hand_clip("C", 50, 301, 50), hand_clip("A", 100, 100, 50)};
    tw_track ta = hand_track(TW_TRACK_VIDEO, a, 3), tb = hand_track(TW_TRACK_VIDEO, b, 3);
    tw_timeline *m = hand_timeline(arena, &ta, 1), *w = hand_timeline(arena, &tb, 1);
    pair p = {.diags = tw_diags_new(arena)};
    const twi_twin *twins = own_twins(arena, &p, m, w, false);
    assert_ptr_equal(twins[0].clip, &b[2]);
    assert_ptr_equal(twins[1].clip, &b[0]);
    assert_ptr_equal(twins[2].clip, &b[1]); /* no clip shows what C did: the one that is left over */
}

/* One gone: those behind it are found where they are now, by what they show, though the same is shown twice. */
static void one_gone(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_item a[] = {hand_clip("A", 0, 100, 50), hand_clip("B", 50, 200, 50), hand_clip("C", 100, 300, 50),
                   hand_clip("B", 150, 200, 50)};
    tw_item b[] = {hand_clip("A", 0, 100, 50), hand_clip("C", 50, 300, 50), hand_clip("B", 100, 200, 50)};
    tw_track ta = hand_track(TW_TRACK_VIDEO, a, 4), tb = hand_track(TW_TRACK_VIDEO, b, 3);
    tw_timeline *m = hand_timeline(arena, &ta, 1), *w = hand_timeline(arena, &tb, 1);
    pair p = {.diags = tw_diags_new(arena)};
    const twi_twin *twins = own_twins(arena, &p, m, w, true);
    assert_ptr_equal(twins[0].clip, &b[0]);
    assert_null(twins[1].clip);
    assert_ptr_equal(twins[2].clip, &b[1]);
    assert_ptr_equal(twins[3].clip, &b[2]);
    assert_int_equal(tw_diags_count(p.diags, TW_ERROR), 0);
}

TW_SUITE(match)
{
    const struct CMUnitTest tests[] = {TW_TEST(dissolve_moved_to_the_cut),
                                       TW_TEST(overlap_on_two_tracks),
                                       TW_TEST(a_first_transition_half_a_frame_early),
                                       TW_TEST(black_for_a_clip_switched_off),
                                       TW_TEST(same_time_code_at_another_rate),
                                       TW_TEST(a_nest_written_flat),
                                       TW_TEST(a_trimmed_nest),
                                       TW_TEST(moved_among_the_others),
                                       TW_TEST(one_gone),
                                       TW_TEST(faults)};
    return tw_run("proof/match", tests);
}
