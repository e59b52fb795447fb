/* SPDX-License-Identifier: Apache-2.0 */
#include "support/support.h"

#include <string.h>

#include "derive/derive_internal.h"
#include "derive/hand_plan.h"

/* 5760x4320 in a 9:16 shape: 2430 wide is 4320 high, the whole height. */
static void inside_or_refused(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    static const struct {
        const char *name;
        tw_hand_key key;
        const char *said; /* NULL: it fits */
    } rows[] = {
        {"inside", {0, 1000, 0, 2430, 0, 0}, NULL},
        {"to the last pixel", {0, 3330, 0, 2430, 0, 0}, NULL},
        {"read off in whole pixels", {0, 3330.5, -0.5, 2430, 0, 0}, NULL},
        {"left", {0, -12, 0, 2000, 0, 0}, "reaches 12 px past the left edge"},
        {"right", {0, 3340, 0, 2430, 0, 0}, "reaches 10 px past the right edge"},
        {"above", {0, 100, -0.6, 1000, 0, 0}, "reaches 1 px past the upper edge"},
        {"too wide for the shape", {0, 100, 0, 3240, 0, 0}, "reaches 1440 px past the lower edge"},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_row(i, rows[i].name);
        tw_hand_key window[] = {{0, 1000, 0, 2000, 0, 0}, rows[i].key};
        window[1].frame = 40;
        hand_plan h;
        const tw_plan *plan = hand_plan_make(&h, "A001", NULL, 0);
        h.note.window = window;
        h.note.window_count = 2;
        tw_item items[] = {hand_clip("A001", 0, 0, 50), hand_clip("A001", 50, 200, 50)};
        tw_track track = hand_track(TW_TRACK_VIDEO, items, 2);
        tw_diags *diags = tw_diags_new(arena);
        tw_derived *derived = NULL;
        tw_status status = tw_derive(arena, plan, hand_timeline(arena, &track, 1), &(tw_derive_options){.threads = 1},
                                     diags, &derived);
        const char *said = tw_findings(arena, diags);
        assert_int_equal(status, rows[i].said == NULL ? TW_OK : TW_ERR_SEMANTIC);
        assert_int_equal(tw_diags_count(diags, TW_ERROR),
                         rows[i].said != NULL); /* once, whatever the number of shots */
        if (rows[i].said == NULL)
            continue;
        assert_non_null(strstr(said, "TW1608: tall: the window that note n001 sets by hand"));
        assert_non_null(strstr(said, rows[i].said));
        assert_null(derived);
    }
}

/* Only shapes the note is for, and pictures some shot shows, are asked about. */
static void only_where_it_holds(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_str wide = TW_STR("wide"), elsewhere = TW_STR("B002");
    for (int row = 0; row < 3; row++) {
        tw_row((size_t)row, "other delivery, other reel, shown whole");
        tw_hand_key window = {0, 100, 0, 3240, 0, 0};
        hand_plan h;
        const tw_plan *plan = hand_plan_make(&h, "A001", NULL, 0);
        h.note.window = &window;
        h.note.window_count = 1;
        if (row == 0) {
            h.note.deliveries = &wide;
            h.note.delivery_count = 1;
        }
        h.note.reel = row == 1 ? elsewhere : h.note.reel;
        h.tall.frame = row == 2 ? TW_FRAME_FIT : TW_FRAME_FILL;
        tw_item item = hand_clip("A001", 0, 0, 50);
        tw_track track = hand_track(TW_TRACK_VIDEO, &item, 1);
        tw_derived *derived = NULL;
        assert_int_equal(tw_derive(arena, plan, hand_timeline(arena, &track, 1), &(tw_derive_options){.threads = 1},
                                   tw_diags_new(arena), &derived),
                         TW_OK);
    }
}

/* Half of the way to the nearer key: of keys at 0, 10 and 40 the first two have room for 5, the last for 15. */
static void corners_with_room(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    static const struct {
        int64_t last; /* frame */
        double eases[3];
        const char *said;
    } rows[] = {
        {40, {5, 5, 15}, ""},
        {40,
         {0, 12, 0},
         "p: note TW1611: note n007: the corner of this key was to be eased over 12 frames to each side, but the next "
         "key "
         "is too near: it gets 5\n"},
        {40,
         {6, 0, 16},
         "p: note TW1611: note n007: the corner of this key was to be eased over 6 frames to each side, but the next "
         "key "
         "is too near: it gets 5 (and 1 more in this note)\n"},
        {10000000010,
         {0, 0, 1e12},
         "p: note TW1611: note n007: the corner of this key was to be eased over 1000000000000 frames to each side, "
         "but "
         "the next key is too near: it gets 5000000000\n"},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_row(i, "eases");
        tw_hand_key window[] = {{0, 1000, 0, 2000, rows[i].eases[0], 0},
                                {10, 1000, 0, 2000, rows[i].eases[1], 0},
                                {rows[i].last, 1000, 0, 2000, rows[i].eases[2], 0}};
        tw_note note = hand_note("n007", "A001", 0, 1000);
        note.window = window;
        note.window_count = 3;
        tw_plan plan = {.file = TW_STR("p"), .notes = &note, .note_count = 1};
        tw_diags *diags = tw_diags_new(arena);
        twi_derive_tell_corners(arena, &plan, &note, diags);
        tw_assert_text(tw_str_z(tw_findings(arena, diags)), rows[i].said);
    }
}

/* Neither of two windows may be overruled: where they contradict each other the plan is refused, and both are named. */
static void two_at_once(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_str wide = TW_STR("wide");
    static const struct {
        const char *name;
        int64_t in, out;
        double x;
        bool elsewhere;
        const char *said; /* NULL: they agree */
    } rows[] = {
        {"all of the shot", 0, 1000, 1100, false, "up to 1000 px apart, for the same 50 frames of A001 at 00:00:00:00"},
        {"its last ten frames", 40, 90, 100.6, false, "up to 1 px apart, for the same 10 frames of A001"},
        {"the same window", 0, 1000, 100, false, NULL},
        {"read off in whole pixels", 0, 1000, 100.5, false, NULL},
        {"from where the shot ends", 50, 90, 1100, false, NULL},
        {"another shape", 0, 1000, 1100, true, NULL},
    };
    for (size_t i = 0; i < TW_COUNT(rows); i++) {
        tw_row(i, rows[i].name);
        tw_hand_key window[] = {{0, 100, 0, 2430, 0, 0}, {0, rows[i].x, 0, 2430, 0, 0}};
        hand_plan h;
        tw_plan plan = *hand_plan_make(&h, "A001", NULL, 0);
        tw_note notes[] = {h.note, hand_note("n002", "A001", rows[i].in, rows[i].out)};
        for (size_t n = 0; n < 2; n++) {
            notes[n].window = &window[n];
            notes[n].window_count = 1;
        }
        notes[1].deliveries = &wide;
        notes[1].delivery_count = rows[i].elsewhere;
        plan.notes = notes;
        plan.note_count = 2;
        tw_item item = hand_clip("A001", 0, 0, 50);
        tw_track track = hand_track(TW_TRACK_VIDEO, &item, 1);
        tw_diags *diags = tw_diags_new(arena);
        tw_derived *derived = NULL;
        assert_int_equal(tw_derive(arena, &plan, hand_timeline(arena, &track, 1), &(tw_derive_options){.threads = 1},
                                   diags, &derived),
                         rows[i].said == NULL ? TW_OK : TW_ERR_SEMANTIC);
        assert_int_equal(tw_diags_count(diags, TW_ERROR), rows[i].said != NULL);
        if (rows[i].said == NULL)
            continue;
        const char *said = tw_findings(arena, diags);
        assert_non_null(strstr(said, "TW1613: tall: notes n001 and n002 set two windows by hand"));
        assert_non_null(strstr(said, rows[i].said));
    }
}

TW_SUITE(hand)
{
    const struct CMUnitTest tests[] = {TW_TEST(inside_or_refused), TW_TEST(only_where_it_holds),
                                       TW_TEST(corners_with_room), TW_TEST(two_at_once)};
    return tw_run("derive/hand", tests);
}
