/* SPDX-License-Identifier: Apache-2.0 */
#include "support/support.h"

#include <string.h>

#include "derive/derive_internal.h"
#include "derive/hand_plan.h"

static tw_derived *derive(tw_arena *arena, const tw_plan *plan, const tw_timeline *t, unsigned threads, tw_diags *diags)
{
    tw_derived *derived = NULL;
    const tw_derive_options options = {.threads = threads};
    assert_int_equal(tw_derive(arena, plan, t, &options, diags, &derived), TW_OK);
    return derived;
}

static void verdicts(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_source sources[] = {
        {.reel = TW_STR("A*"), .size = {5760, 4320}, .squeeze = 1},
        {.reel = TW_STR("G*"), .size = {1920, 1080}, .squeeze = 1, .kind = TW_SOURCE_GRAPHIC},
        {.reel = TW_STR("N*"), .squeeze = 1},
        {.reel = TW_STR("S*"), .size = {1280, 720}, .squeeze = 1},
    };
    tw_delivery tall = HAND_TALL;
    tw_plan plan = {.deliveries = &tall, .delivery_count = 1, .sources = sources, .source_count = 4};
    tw_region region = hand_region(arena, "hands", 0.1, 0.05);
    tw_note note = hand_note("n001", "A001", 0, 1000);
    note.regions = &region;
    note.region_count = 1;
    plan.notes = &note;
    plan.note_count = 1;
    tw_item items[] = {hand_clip("A001", 0, 0, 10),  hand_clip("A002", 10, 0, 10), hand_clip("G001", 20, 0, 10),
                       hand_clip("N001", 30, 0, 10), hand_clip("X001", 40, 0, 10), hand_clip("BL", 50, 0, 10)};
    tw_track track = hand_track(TW_TRACK_VIDEO, items, 6);
    tw_diags *diags = tw_diags_new(arena);
    const tw_derived_delivery *d = &derive(arena, &plan, hand_timeline(arena, &track, 1), 1, diags)->deliveries[0];
    static const tw_verdict expected[] = {TW_VERDICT_FRAMED,  TW_VERDICT_NOT_FRAMED, TW_VERDICT_GRAPHIC,
                                          TW_VERDICT_UNKNOWN, TW_VERDICT_UNKNOWN,    TW_VERDICT_BLACK};
    for (size_t i = 0; i < 6; i++) {
        tw_row(i, "verdict");
        assert_int_equal(d->shots[i].verdict, expected[i]);
    }
    /* The box 0.1..0.15 of 5760 lies left of the centred window 1665..4095: the window must have gone left, at full height. */
    const tw_key *key = d->shots[0].framing->keys;
    assert_true(key->cx - 1215 <= 576 && key->cx - 1215 >= 0);
    tw_assert_near(key->w, 2430, 1e-3);
    tw_assert_near(d->shots[1].framing->keys[0].cx, 2880, 1e-3);
    assert_int_equal(d->shots[2].framing->mode, TW_FRAME_FIT);
    const char *said = tw_findings(arena, diags);
    assert_non_null(strstr(said, "TW1601: no source in the plan matches \"X001\""));
    assert_non_null(strstr(said, "TW1602: the size of source \"N*\" is not known"));
}

/* The keys of a through-edit show the same windows in every part as the one path does. */
static void parts_show_the_path(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_region_key keys[] = {{0, 0.05, 0.4, 0.1, 0.1}, {120, 0.8, 0.4, 0.1, 0.1}};
    hand_plan h;
    const tw_plan *plan = hand_plan_make(&h, "A001", keys, 2);
    tw_item items[] = {hand_clip("A001", 0, 0, 50), hand_clip("A001", 50, 50, 30), hand_clip("A001", 80, 80, 60)};
    tw_track track = hand_track(TW_TRACK_VIDEO, items, 3);
    const tw_derived *derived = derive(arena, plan, hand_timeline(arena, &track, 1), 1, tw_diags_new(arena));
    const tw_decision *shots = derived->deliveries[0].shots;
    int64_t offset = 0;
    for (size_t i = 0; i < 3; i++) {
        assert_int_equal(shots[i].parts, 3);
        for (int64_t f = 0; f < shots[i].frames; f++) {
            tw_key a = tw_path_at(shots[i].framing->keys, shots[i].framing->key_count, (double)f);
            tw_key b = tw_path_at(shots[0].path.keys, shots[0].path.key_count, (double)(f + offset));
            tw_assert_near(a.cx, b.cx, 1e-9);
        }
        offset += shots[i].frames;
    }
}

static void same_result_with_any_number_of_threads(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_rng rng = {1604};
    enum { SHOTS = 60 };
    tw_item items[SHOTS];
    for (int64_t i = 0; i < SHOTS; i++)
        items[i] = hand_clip(i % 3 != 0 ? "A001" : "A002", i * 40, tw_rng_between(&rng, 0, 900), 40);
    tw_region_key keys[20];
    for (int64_t i = 0; i < 20; i++)
        keys[i] = (tw_region_key){i * 50, tw_rng_unit(&rng) * 0.8, 0.4, 0.15, 0.2};
    hand_plan h;
    const tw_plan *plan = hand_plan_make(&h, "A001", keys, 20);
    tw_track track = hand_track(TW_TRACK_VIDEO, items, SHOTS);
    const tw_timeline *t = hand_timeline(arena, &track, 1);
    tw_buf dumps[2] = {{.arena = arena}, {.arena = arena}};
    for (unsigned k = 0; k < 2; k++) {
        const tw_derived *derived = derive(arena, plan, t, k == 0 ? 1 : 5, tw_diags_new(arena));
        tw_timeline_dump(tw_derive_timeline(arena, derived, 0, 0), &dumps[k]);
    }
    assert_true(tw_str_eq(tw_buf_str(&dumps[0]), tw_buf_str(&dumps[1])));
}

/* The written form of a delivery's keys shows the decided window: cubic keys exactly, chords within half a pixel at every
 * edge, both but for the rounding to three decimals. */
static void forms_show_the_decided_window(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    static const struct {
        tw_keys_form form;
        double slack;
    } rows[] = {{TW_KEYS_EASED, 0}, {TW_KEYS_BEZIER, 0.02}, {TW_KEYS_LINEAR, 0.502}};
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_region_key keys[] = {{20, 0.05, 0.4, 0.1, 0.1}, {120, 0.8, 0.4, 0.1, 0.1}};
        hand_plan h;
        const tw_plan *plan = hand_plan_make(&h, "A001", keys, 2);
        h.tall.keys = rows[i].form;
        tw_item item = hand_clip("A001", 0, 0, 150);
        tw_track track = hand_track(TW_TRACK_VIDEO, &item, 1);
        const tw_derived *derived = derive(arena, plan, hand_timeline(arena, &track, 1), 1, tw_diags_new(arena));
        const tw_framing *decided = derived->deliveries[0].shots[0].framing;
        const tw_framing *written = tw_derive_timeline(arena, derived, 0, 0)->tracks[0].items[0].framing;
        tw_row(i, "form");
        assert_true(decided->key_count > 1);
        assert_int_equal(written->interp, (tw_interp)rows[i].form);
        for (int64_t f = 0; f < 150; f++) {
            const tw_window a = tw_framing_window(decided, (double)f), b = tw_framing_window(written, (double)f);
            tw_assert_near(b.x, a.x, rows[i].slack);
            tw_assert_near(b.x + b.w, a.x + a.w, rows[i].slack);
            assert_true(tw_geom_inside(b, h.source.size, 1e-9));
        }
    }
}

/* What could not be had, told at the shot: a box of half the width is cut by (2880 - 2430) / 2 on each side, a small
 * source is enlarged, and 2304 px leave less than the inset of 243 beside them; and a note that no shot uses, at the note. */
static void compromises_are_findings(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_source sources[] = {{.reel = TW_STR("S*"), .size = {1280, 720}, .squeeze = 1},
                           {.reel = TW_STR("*"), .size = {5760, 4320}, .squeeze = 1}};
    tw_delivery tall = HAND_TALL;
    tall.inset = (tw_inset){.left = 0.1, .right = 0.1};
    tw_region wide = hand_region(arena, "bench", 0.25, 0.5), near = hand_region(arena, "hands", 0.3, 0.4);
    tw_note notes[] = {hand_note("n001", "A001", 0, 1000), hand_note("n002", "A002", 0, 1000),
                       hand_note("n003", "A003", 0, 1000)};
    notes[0].regions = &wide;
    notes[1].regions = &near;
    notes[0].region_count = notes[1].region_count = 1;
    tw_plan plan = {.deliveries = &tall, .delivery_count = 1, .sources = sources, .source_count = 2};
    plan.notes = notes;
    plan.note_count = 3;
    tw_item items[] = {hand_clip("A001", 0, 0, 10), hand_clip("A002", 10, 0, 10), hand_clip("S001", 20, 0, 10)};
    for (size_t i = 0; i < 3; i++)
        items[i].place = (tw_place){.file = TW_STR("cut.edl"), .line = (uint32_t)i + 3, .column = 1};
    tw_track track = hand_track(TW_TRACK_VIDEO, items, 3);
    tw_diags *diags = tw_diags_new(arena);
    tw_derive_findings(arena, derive(arena, &plan, hand_timeline(arena, &track, 1), 1, diags), diags);
    assert_string_equal(
        tw_findings(arena, diags),
        "note TW1603: no shot of this edit shows what note n003 on reel A003 speaks of; it is kept\n"
        "cut.edl:3:1: warning TW1604: tall, A001: bench (must) is cut by up to 225 px on the left in 10 frames\n"
        "cut.edl:4:1: note TW1606: tall, A002: hands (must) is nearer to the edge than the inset in 10 frames\n"
        "cut.edl:5:1: warning TW1605: tall, S001: the source is too small: enlarged 2.67 times\n");
}

/* The clip shows frames 864000 to 864009 of A001: 10:00:00:00 at 24; or those before midnight. */
static void notes_that_miss(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    static const struct {
        const char *name, *reel;
        int64_t in;
        const char *says;
        int64_t first;
    } rows[] = {
        {"cut away, minutes later", "A001", 864000 + 14400, "note TW1603: no shot of this edit shows what note n on",
         0},
        {"an hour and a frame", "A001", 864009 + 86401, "warning TW1612: the times of note n are more than an hour", 0},
        {"just an hour", "a001", 864009 + 86400, "note TW1603: ", 0},
        {"the edit's time code", "A001", 86400, "warning TW1612: ", 0},
        {"a zero too many", "A0001", 864000, "warning TW1612: note n is for reel \"A0001\", of which this edit has no",
         0},
        {"as people say it", "a 1", 864000, "warning TW1612: note n is for reel", 0},
        {"a number begins anew", "A010", 864000, "note TW1603: ", 0},
        {"another reel", "A002", 864000, "note TW1603: ", 0},
        {"a minute past midnight", "A001", 1440, "note TW1603: ", 24 * 86400 - 10},
        {"two hours past midnight", "A001", 2 * 86400, "warning TW1612: the times", 24 * 86400 - 10},
        {"a pattern", "A00*1", 0, "note TW1603: ", 0},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_row(i, rows[i].name);
        tw_delivery tall = HAND_TALL;
        tw_source source = {.reel = TW_STR("*"), .size = {5760, 4320}, .squeeze = 1};
        tw_note note = hand_note("n", rows[i].reel, rows[i].in, rows[i].in + 10);
        tw_plan plan = {.deliveries = &tall, .delivery_count = 1, .sources = &source, .source_count = 1};
        plan.notes = &note;
        plan.note_count = 1;
        tw_item clip = hand_clip("A001", 0, rows[i].first > 0 ? rows[i].first : 864000, 10);
        tw_track track = hand_track(TW_TRACK_VIDEO, &clip, 1);
        tw_diags *diags = tw_diags_new(arena);
        tw_derive_findings(arena, derive(arena, &plan, hand_timeline(arena, &track, 1), 1, diags), diags);
        assert_true(tw_str_starts(tw_str_z(tw_findings(arena, diags)), tw_str_z(rows[i].says)));
    }
}

static void unknown_delivery_is_refused(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_delivery deliveries[] = {HAND_TALL, {.name = TW_STR("wide")}};
    tw_plan plan = {.file = TW_STR("p.json"), .deliveries = deliveries, .delivery_count = 2};
    tw_item item = hand_clip("A001", 0, 0, 10);
    tw_track track = hand_track(TW_TRACK_VIDEO, &item, 1);
    tw_diags *diags = tw_diags_new(arena);
    tw_derived *derived = NULL;
    const tw_derive_options options = {.only = TW_STR("oval")};
    assert_int_equal(tw_derive(arena, &plan, hand_timeline(arena, &track, 1), &options, diags, &derived),
                     TW_ERR_SEMANTIC);
    assert_null(derived);
    assert_string_equal(tw_findings(arena, diags),
                        "p.json: error TW1607: the plan has no delivery named \"oval\"; it has tall, wide\n");
}

TW_SUITE(derive)
{
    const struct CMUnitTest tests[] = {
        TW_TEST(verdicts),
        TW_TEST(parts_show_the_path),
        TW_TEST(same_result_with_any_number_of_threads),
        TW_TEST(forms_show_the_decided_window),
        TW_TEST(compromises_are_findings),
        TW_TEST(notes_that_miss),
        TW_TEST(unknown_delivery_is_refused),
    };
    return tw_run("derive/derive", tests);
}
