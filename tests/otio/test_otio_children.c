/* SPDX-License-Identifier: Apache-2.0 */
#include "otio/otio_cases.h"

/* Ranges on the track, in frames of 24: what the reference library's own queries give (its docs "time ranges" and
 * "timeline structure", and its track and stack sources; numbers measured with release 0.18.1). */

#define A_10 J_CLIP("A", J_RANGE("0", "10", "24"), "")
#define B_10 J_CLIP("B", J_RANGE("50", "10", "24"), "")
#define J_ALL(more, tracks) "{\"OTIO_SCHEMA\":\"Timeline.1\",\"tracks\":" J_STACK(more, tracks) "}"
#define TRIM(start, dur) "\"source_range\":" J_RANGE(start, dur, "24") ","

static void places_on_tracks(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    static const struct {
        const char *what, *json;
        size_t index; /* of the item on the first track */
        double start, dur;
    } rows[] = {
        {"children follow one another", J_VIDEO(A_10 "," B_10), 1, 10, 10},
        {"transitions take no time", J_VIDEO(A_10 "," J_TRANSITION("2", "3") "," B_10), 2, 10, 10},
        {"and lie across the cut", J_VIDEO(A_10 "," J_TRANSITION("2", "3") "," B_10), 1, 8, 5},
        {"a track start of -7 shows the clip at 7", J_TIMELINE("", J_TRACK("Video", TRIM("-7", "40"), A_10)), 0, 7, 10},
        {"a track start of 12 cuts B, at 10", J_TIMELINE("", J_TRACK("Video", TRIM("12", "6"), A_10 "," B_10)), 0, 0,
         6},
        {"a length of 14 too", J_TIMELINE("", J_TRACK("Video", TRIM("0", "14"), A_10 "," B_10)), 1, 10, 4},
        {"the stack of all tracks cuts likewise", J_ALL(TRIM("3", "14"), J_TRACK("Video", "", A_10 "," B_10)), 1, 7, 7},
        {"after a track of its own range", J_ALL(TRIM("3", "14"), J_TRACK("Video", TRIM("5", "9"), A_10 "," B_10)), 1,
         2, 4},
        {"the programme's start is added at the top",
         J_TIMELINE("\"global_start_time\":" J_TIME("86400", "24") ",", J_TRACK("Video", "", A_10 "," B_10)), 1, 86410,
         10},
        {"a gap without a range lasts nothing", J_VIDEO("{\"OTIO_SCHEMA\":\"Gap.1\"}," A_10), 1, 0, 10},
        {"a nested stack lasts as long as its longest child",
         J_VIDEO(J_STACK("", J_TRACK("Video", "", A_10) "," J_TRACK("Video", "", A_10 "," B_10)) "," A_10), 1, 20, 10},
        {"or as its range says", J_VIDEO(J_STACK(TRIM("3", "4"), J_TRACK("Video", "", A_10)) "," A_10), 1, 4, 10},
        {"a nested track lasts the sum of its children", J_VIDEO(J_TRACK("Video", "", A_10 "," B_10) "," A_10), 1, 20,
         10},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_row(i, rows[i].what);
        tw_diags *diags = tw_diags_new(arena);
        const tw_timeline *timeline = otio_case(arena, tw_str_z(rows[i].json), diags);
        assert_non_null(timeline);
        const tw_item *item = &timeline->tracks[0].items[rows[i].index];
        tw_assert_near(at24(item->record.start), rows[i].start, 1e-9);
        tw_assert_near(at24(item->record.dur), rows[i].dur, 1e-9);
    }
}

/* 24/24 s + 30/29.97 s + 25/25 s = 89.94/29.97 s; 29.97 is 30000/1001 here, so the sum is 3.001 s exactly. */
static void rates_add_up(void **state)
{
    const tw_timeline *timeline =
        otio_fine(tw_test_arena(state),
                  J_VIDEO(J_CLIP("a", J_RANGE("0", "24", "24"), "") "," J_CLIP(
                      "b", J_RANGE("0", "30", "29.97"), "") "," J_CLIP("c", J_RANGE("0", "25", "25"), "") "," A_10));
    tw_time end = timeline->tracks[0].items[3].record.start;
    assert_true(tw_time_eq(end, tw_time_make(3001, 1000)));
    tw_assert_near(tw_time_seconds(end) * 29.97, 89.94, 1e-4);
}

/* Clip of 6 frames, transition 2 before and 3 after the cut: 6 + 3 = 9 are shown; the next, of 4, begins 2 earlier: 6. */
static void visible_ranges(void **state)
{
    const tw_timeline *timeline =
        otio_fine(tw_test_arena(state), J_VIDEO(J_CLIP("a", J_RANGE("0", "6", "24"), "") "," J_TRANSITION(
                                            "2", "3") "," J_CLIP("b", J_RANGE("10", "4", "24"), "")));
    const tw_item *a = &timeline->tracks[0].items[0], *b = &timeline->tracks[0].items[2];
    assert_int_equal(tw_item_head(timeline, a) + tw_item_frames(timeline, a) + tw_item_tail(timeline, a), 9);
    assert_int_equal(tw_item_head(timeline, b) + tw_item_frames(timeline, b) + tw_item_tail(timeline, b), 6);
    assert_int_equal(tw_item_head(timeline, b), 2);
    tw_assert_near(tw_item_source_frame(timeline, b, -2), 8, 1e-9);
}

static void items_outside(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    const char *json = J_TIMELINE("", J_TRACK("Video", TRIM("12", "6"), A_10 "," B_10 "," A_10));
    tw_diags *diags = tw_diags_new(arena);
    const tw_timeline *timeline = otio_case(arena, tw_str_z(json), diags);
    assert_int_equal(timeline->tracks[0].item_count, 1);
    tw_assert_text(timeline->tracks[0].items[0].name, "B");
    assert_int_equal(tw_diags_count(diags, TW_NOTE), 1);
    /* but all stay in the document */
    const tw_timeline *again = otio_case(arena, otio_written(arena, timeline, diags), diags);
    const twi_otio_source *source = again->origin;
    const tw_json *track = tw_json_first(tw_json_get(tw_json_get(source->doc.root, "tracks"), "children"));
    assert_int_equal(tw_json_get(track, "children")->count, 3);
}

/* What is cut away is gone from the source at the clip's speed: 3 frames of the track, of what begins at 50. */
static void cuts_reach_the_source(void **state)
{
    tw_arena *arena = tw_test_arena(state);
#define BENT(schema, k) J_CLIP("B", J_RANGE("50", "10", "24"), "\"effects\":[" J_WARP(schema, k) "],")
    static const struct {
        const char *what, *clip;
        double start, dur;
    } rows[] = {
        {"1", B_10, 53, 5},
        {"2: 6 frames, and 10 used", BENT("LinearTimeWarp.1", "2.0"), 56, 10},
        {"-1", BENT("LinearTimeWarp.1", "-1.0"), 47, 5},
        {"1.3: 3.9 frames, and 6.5 used", BENT("LinearTimeWarp.1", "1.3"), 53.9, 6.5},
        {"0: the same one", BENT("FreezeFrame.1", "0.0"), 50, 1},
    };
    for (size_t i = 0; i < TW_COUNT(rows); i++) {
        tw_row(i, rows[i].what);
        tw_buf json = {.arena = arena};
        tw_buf_addf(&json, J_TIMELINE("", J_TRACK("Video", TRIM("3", "5"), "%s")), rows[i].clip);
        const tw_timeline *timeline = otio_case(arena, tw_buf_str(&json), tw_diags_new(arena));
        const tw_item *item = &timeline->tracks[0].items[0];
        tw_assert_near(at24(item->source.start), rows[i].start, 1e-9);
        tw_assert_near(at24(item->source.dur), rows[i].dur, 1e-9);
    }
}

/* A key is told in the clip's own time, which its speed does not bend: 50 + 3 + 2 = 55. */
static void keys_of_a_cut_clip(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_timeline *timeline =
        otio_fine(arena, J_TIMELINE("", J_TRACK("Video", TRIM("3", "5"), BENT("LinearTimeWarp.1", "2.0"))));
    tw_key key = {.frame = 2, .cx = 1215, .cy = 2160, .w = 2430};
    tw_framing framing = {.source = {5760, 4320}, .delivery = {1080, 1920}, .squeeze = 1, .keys = &key, .key_count = 1};
    timeline->tracks[0].items[0].framing = &framing;
    tw_diags *diags = tw_diags_new(arena);
    tw_str written = otio_written(arena, timeline, diags);
    assert_true(tw_str_holds(written, TW_STR("\"value\": 55.0")));
    const tw_timeline *again = otio_case(arena, written, diags);
    assert_int_equal(tw_diags_kept(diags), 0);
    assert_int_equal(again->tracks[0].items[0].framing->keys[0].frame, 2);
    tw_assert_near(at24(again->tracks[0].items[0].source.start), 56, 1e-9);
}

/* Cut by 3: what is in the nest moves 3 to the front, at a speed of 2, 6. */
static void nests_are_cut(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    const tw_timeline *timeline = otio_fine(
        arena, J_TIMELINE("", J_TRACK("Video", TRIM("3", "20"),
                                      J_STACK("", J_TRACK("Video", "", A_10)) "," J_TRACK(
                                          "Video", "\"effects\":[" J_WARP("LinearTimeWarp.1", "2.0") "],", B_10))));
    const tw_item *nests = timeline->tracks[0].items;
    tw_assert_near(at24(nests[0].record.dur), 7, 1e-9);
    tw_assert_near(at24(nests[0].tracks[0].items[0].record.start), -3, 1e-9);
    tw_assert_near(at24(nests[1].record.start), 7, 1e-9);
    timeline =
        otio_fine(arena, J_TIMELINE("", J_TRACK("Video", TRIM("3", "20"),
                                                J_TRACK("Video", "\"effects\":[" J_WARP("LinearTimeWarp.1", "2.0") "],",
                                                        A_10 "," B_10))));
    nests = timeline->tracks[0].items;
    tw_assert_near(at24(nests[0].record.dur), 17, 1e-9);
    tw_assert_near(at24(nests[0].tracks[0].items[1].record.start), 4, 1e-9);
}

/* The cut is at 10: what lies across an end of the range, or has one side only in it, is taken for a cut. */
static void transitions_at_an_end(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    static const struct {
        const char *start, *dur, *in, *out;
        size_t items, told;
    } rows[] = {
        {"0", "11", "2", "3", 2, 1}, {"0", "13", "2", "3", 3, 0}, {"9", "9", "2", "3", 2, 1},
        {"8", "9", "2", "3", 3, 0},  {"0", "10", "2", "0", 1, 2}, {"10", "9", "0", "3", 1, 2},
    };
    for (size_t i = 0; i < TW_COUNT(rows); i++) {
        tw_row(i, rows[i].dur);
        tw_buf json = {.arena = arena};
        tw_buf_addf(&json,
                    J_TIMELINE("", J_TRACK("Video", TRIM("%s", "%s"), A_10 "," J_TRANSITION("%s", "%s") "," B_10)),
                    rows[i].dur, rows[i].start, rows[i].in, rows[i].out);
        tw_diags *diags = tw_diags_new(arena);
        const tw_timeline *timeline = otio_case(arena, tw_buf_str(&json), diags);
        assert_int_equal(timeline->tracks[0].item_count, rows[i].items);
        assert_int_equal(tw_diags_kept(diags), rows[i].told);
        if (rows[i].told > 0)
            assert_int_equal(tw_diags_get(diags, rows[i].told - 1)->code, 1344);
    }
}

/* 5 frames from the one at 8 on: at twice the speed 8 to 17, backwards 8 to 4, standing still 8. */
static void what_a_nest_shows(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    static const struct {
        const char *speed, *shown;
    } rows[] = {{"1.0", "A B "}, {"0.2", "A "}, {"2.0", "A B "}, {"3.0", "A B C "}, {"-1.0", "A "}, {"0.0", "A "}};
    for (size_t i = 0; i < TW_COUNT(rows); i++) {
        tw_row(i, rows[i].speed);
        tw_buf json = {.arena = arena}, shown = {.arena = arena};
        tw_buf_addf(&json,
                    J_VIDEO(J_STACK("\"effects\":[" J_WARP("LinearTimeWarp.1", "%s") "]," TRIM("8", "5"),
                                    J_TRACK("Video", "", A_10 "," B_10 "," J_CLIP("C", J_RANGE("0", "9", "24"), "")))),
                    rows[i].speed);
        const tw_timeline *timeline = otio_case(arena, tw_buf_str(&json), tw_diags_new(arena));
        const tw_track *inner = timeline->tracks[0].items[0].tracks;
        for (size_t k = 0; k < inner->item_count; k++)
            tw_buf_addf(&shown, "%.*s ", TW_ARG(inner->items[k].name));
        tw_assert_text(tw_buf_str(&shown), rows[i].shown);
        tw_assert_near(at24(inner->items[0].record.start), -8, 1e-9);
    }
}

/* As a nest would play it. */
static void tracks_with_a_speed(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    static const char *const kinds[] = {"Video", "Audio"};
    for (size_t i = 0; i < TW_COUNT(kinds); i++) {
        tw_row(i, kinds[i]);
        tw_buf json = {.arena = arena};
        tw_buf_addf(
            &json, J_TIMELINE("", J_TRACK("%s", "\"effects\":[" J_WARP("LinearTimeWarp.1", "2.0") "],", A_10 "," B_10)),
            kinds[i]);
        const tw_timeline *timeline = otio_case(arena, tw_buf_str(&json), tw_diags_new(arena));
        const tw_item *nest = timeline->tracks[0].items;
        assert_int_equal(timeline->tracks[0].kind, i == 0 ? TW_TRACK_VIDEO : TW_TRACK_AUDIO);
        assert_int_equal(nest->kind, TW_ITEM_NEST);
        tw_assert_near(nest->speed, 2, 0);
        tw_assert_near(at24(nest->record.dur), 20, 1e-9);
        assert_int_equal(nest->tracks[0].item_count, 2);
    }
}

static void all_tracks_at_a_speed(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_diags *diags = tw_diags_new(arena);
    const char *json = J_ALL("\"effects\":[" J_WARP("LinearTimeWarp.1", "2.0") "],", J_TRACK("Video", "", A_10));
    assert_int_equal(otio_case(arena, tw_str_z(json), diags)->tracks[0].items[0].kind, TW_ITEM_CLIP);
    assert_int_equal(tw_diags_get(diags, 0)->code, 1345);
}

static void markers_move_along(void **state)
{
#define MARK "\"markers\":[{\"OTIO_SCHEMA\":\"Marker.2\",\"marked_range\":" J_RANGE("14", "1", "24") "}],"
    const tw_timeline *timeline =
        otio_fine(tw_test_arena(state),
                  J_TIMELINE("\"global_start_time\":" J_TIME("240", "24") ",",
                             J_TRACK("Video", MARK TRIM("4", "16"), J_CLIP("a", J_RANGE("0", "20", "24"), MARK))));
    /* on the track: 240 + 14 - 4 = 250; on the clip: its own time */
    tw_assert_near(at24(timeline->tracks[0].markers[0].at.start), 250, 1e-9);
    tw_assert_near(at24(timeline->tracks[0].items[0].markers[0].at.start), 14, 1e-9);
}

TW_SUITE(otio_children)
{
    const struct CMUnitTest tests[] = {
        TW_TEST(places_on_tracks),    TW_TEST(rates_add_up),          TW_TEST(visible_ranges),
        TW_TEST(items_outside),       TW_TEST(cuts_reach_the_source), TW_TEST(keys_of_a_cut_clip),
        TW_TEST(nests_are_cut),       TW_TEST(transitions_at_an_end), TW_TEST(what_a_nest_shows),
        TW_TEST(tracks_with_a_speed), TW_TEST(all_tracks_at_a_speed), TW_TEST(markers_move_along)};
    return tw_run("otio/otio_children", tests);
}
