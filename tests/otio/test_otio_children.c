/* SPDX-License-Identifier: Apache-2.0 */
#include "otio/otio_cases.h"

/* Ranges on the track, in frames of 24: what the reference library's own queries give (its docs "time ranges" and
 * "timeline structure", and its track and stack sources; numbers measured with release 0.18.1). */

#define A_10 J_CLIP("A", J_RANGE("0", "10", "24"), "")
#define B_10 J_CLIP("B", J_RANGE("50", "10", "24"), "")
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
        {"a track start of 12 shows B at -2", J_TIMELINE("", J_TRACK("Video", TRIM("12", "6"), A_10 "," B_10)), 0, -2,
         10},
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
    const struct CMUnitTest tests[] = {TW_TEST(places_on_tracks), TW_TEST(rates_add_up), TW_TEST(visible_ranges),
                                       TW_TEST(items_outside), TW_TEST(markers_move_along)};
    return tw_run("otio/otio_children", tests);
}
