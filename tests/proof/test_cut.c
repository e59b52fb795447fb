/* SPDX-License-Identifier: Apache-2.0 */
#include "support/support.h"

#include <string.h>

#include <tallwide/formats.h>

#include "proof/names.h"
#include "proof/scene.h"

static void kinds_and_counts(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_item a[] = {hand_clip("A", 0, 100, 50), hand_clip("B", 50, 200, 50)};
    tw_item swapped[] = {hand_gap(0, 50), hand_clip("B", 50, 200, 50)};
    tw_item fewer[] = {hand_clip("A", 0, 100, 50)};
    tw_track ta = hand_track(TW_TRACK_VIDEO, a, 2), ts = hand_track(TW_TRACK_VIDEO, swapped, 2);
    tw_track tf = hand_track(TW_TRACK_VIDEO, fewer, 1), two[] = {ta, hand_track(TW_TRACK_AUDIO, fewer, 1)};
    struct {
        const char *name;
        tw_timeline *written;
        const char *said;
    } rows[] = {
        {"the same", hand_timeline(arena, &ta, 1), NULL},
        {"a gap for a clip", hand_timeline(arena, &ts, 1), "TW1703: the gap without a name: kind not as in"},
        {"a clip less", hand_timeline(arena, &tf, 1),
         "TW1703: clip \"B\" is missing: in the master it stands at 00:00:02:02, 50 frames"},
        {"a sound track more", hand_timeline(arena, two, 2), "TW1708: 2 tracks, in the master 1"},
    };
    tw_timeline *master = with_format(hand_timeline(arena, &ta, 1));
    scene s;
    scene_make(&s, master);
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        const tw_proof_file file = {.name = TW_STR("written"), .written = with_format(rows[i].written)};
        tw_diags *diags = tw_diags_new(arena);
        tw_row(i, rows[i].name);
        twi_proof_cut(arena, &s.in, &file, diags);
        assert_int_equal(tw_diags_count(diags, TW_ERROR), rows[i].said != NULL ? 1 : 0);
        if (rows[i].said != NULL)
            assert_non_null(strstr(tw_findings(arena, diags), rows[i].said));
    }
}

/* Timelines of one file, told by their places: the first, derived, is then called as the second is. */
static void one_of_several(void **state)
{
#define ONE(name, frames)                                                                                              \
    "{\"OTIO_SCHEMA\": \"Timeline.1\", \"name\": \"" name                                                              \
    "\", \"tracks\": {\"OTIO_SCHEMA\": \"Stack.1\", \"children\":"                                                     \
    "[{\"OTIO_SCHEMA\": \"Track.1\", \"kind\": \"Video\", \"children\": [{\"OTIO_SCHEMA\": \"Clip.1\", \"name\": "     \
    "\"A\","                                                                                                           \
    "\"source_range\": {\"OTIO_SCHEMA\": \"TimeRange.1\", \"duration\": {\"OTIO_SCHEMA\": \"RationalTime.1\", "        \
    "\"rate\":"                                                                                                        \
    "24.0, \"value\": " frames "}, \"start_time\": {\"OTIO_SCHEMA\": \"RationalTime.1\", \"rate\": 24.0, \"value\":"   \
    "0.0}}}]}]}}"
    tw_arena *arena = tw_test_arena(state);
    const tw_str bytes = TW_STR("[" ONE("cut", "48.0") "," ONE("cut tall", "36.0") "]");
    const tw_read_options first = {.timeline = TW_STR("cut")};
    tw_timeline *master = NULL, *written = NULL;
    tw_diags *diags = tw_diags_new(arena);
    assert_int_equal(tw_formats_read(arena, bytes, TW_STR("master"), &first, diags, &master), TW_OK);
    tw_timeline *derived = tw_timeline_copy(arena, master);
    derived->stamp = &(tw_stamp){.delivery = TW_STR("tall"), .size = {1080, 1920}};
    tw_buf text = {.arena = arena};
    assert_int_equal(master->format->write(arena, derived, 0, &(tw_write_options){.crlf = false}, diags, &text), TW_OK);
    scene s;
    scene_make(&s, master);
    for (size_t number = 1; number <= 2; number++) {
        tw_read_options options = tw_timeline_reading(master);
        assert_int_equal(options.number, 1);
        options.number = number;
        assert_int_equal(tw_formats_read(arena, tw_buf_str(&text), TW_STR("written"), &options, diags, &written),
                         TW_OK);
        tw_assert_text(written->name, "cut tall");
        const tw_proof_file file = {.name = TW_STR("written"), .written = written, .text = tw_buf_str(&text)};
        tw_diags *found = tw_diags_new(arena);
        assert_int_equal(twi_proof_cut(arena, &s.in, &file, found), number == 2);
        if (number == 1)
            tw_assert_text(tw_str_z(tw_findings(arena, found)), "");
    }
}

/* One of five taken out and put in elsewhere is one finding; two that change places over a third are not one cause. */
static void one_moved(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    static const struct {
        const char *name, *order;
        size_t errors;
        const char *said;
    } rows[] = {
        {"later", "ACDBE", 1,
         "TW1704: clip \"B\" stands 2 items later: 00:00:00:08, 2 frames; in the master 00:00:00:01, 2"},
        {"earlier", "ADBCE", 1,
         "TW1704: clip \"D\" stands 2 items earlier: 00:00:00:01, 4 frames; in the master 00:00:00:06"},
        {"side by side", "BACDE", 1,
         "TW1704: clip \"A\" stands 1 item later: 00:00:00:02, 1 frames; in the master 00:00:00:00"},
        {"two change places", "ADCBE", 3 + 1 + 3, "TW1705: clip \"D\""},
    };
    tw_item a[5], b[5];
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        int64_t at = 0, moved = 0;
        for (int k = 0; k < 5; k++) { /* clip k is k + 1 frames long and shows source frame 100 k: B after 1 + 3 + 4 */
            const int other = rows[i].order[k] - 'A';
            const char *reels[] = {"A", "B", "C", "D", "E"};
            a[k] = hand_clip(reels[k], at, 100 * k, k + 1);
            b[k] = hand_clip(reels[other], moved, 100 * other, other + 1);
            at += k + 1;
            moved += other + 1;
        }
        tw_track ta = hand_track(TW_TRACK_VIDEO, a, 5), tb = hand_track(TW_TRACK_VIDEO, b, 5);
        scene s;
        scene_make(&s, with_format(hand_timeline(arena, &ta, 1)));
        const tw_proof_file file = {.name = TW_STR("written"), .written = with_format(hand_timeline(arena, &tb, 1))};
        tw_diags *diags = tw_diags_new(arena);
        tw_row(i, rows[i].name);
        twi_proof_cut(arena, &s.in, &file, diags);
        assert_non_null(strstr(tw_findings(arena, diags), rows[i].said));
        assert_int_equal(tw_diags_count(diags, TW_ERROR), rows[i].errors);
    }
}

/* Whatever follows stands elsewhere then, and that is no finding of its own. A, B, C of 10 frames each; source frames
 * 100, 200, 300. */
static void one_cause(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_item a[] = {hand_clip("A", 0, 100, 10), hand_clip("B", 10, 200, 10), hand_clip("C", 20, 300, 10)};
    tw_item gone[] = {a[0], hand_clip("C", 10, 300, 10)};
    tw_item twice[] = {a[0], hand_clip("A", 10, 100, 10), hand_clip("B", 20, 200, 10), hand_clip("C", 30, 300, 10)};
    tw_item tail[] = {a[0], hand_clip("B", 10, 200, 7), hand_clip("C", 17, 300, 10)};
    tw_item head[] = {a[0], hand_clip("B", 10, 204, 6), hand_clip("C", 16, 300, 10)};
    tw_item hole[] = {a[0], hand_clip("B", 10, 200, 9), hand_gap(19, 1), a[2]};
    tw_item late[] = {hand_clip("A", 5, 100, 10), hand_clip("B", 15, 200, 10), hand_clip("C", 25, 300, 10)};
    tw_item slip[] = {a[0], hand_clip("B", 10, 203, 10), a[2]};
    tw_item both[] = {a[0], hand_clip("B", 10, 202, 7), hand_clip("C", 17, 300, 10)};
    const struct {
        const char *name;
        tw_item *items;
        size_t count, errors;
        const char *said;
    } rows[] = {
        {"gone", gone, 2, 1,
         "TW1703: clip \"B\" is missing: in the master it stands at 00:00:00:10, 10 frames; what follows stands 10 "
         "frames earlier"},
        {"twice", twice, 4, 1, "TW1703: clip \"A\" is not in the master: it stands at 00:00:00:10, 10 frames; what"},
        {"tail", tail, 3, 1,
         "TW1704: clip \"B\": tail 3 frames shorter: 00:00:08:08, 7 frames; in the master 00:00:08:08, 10 frames; what "
         "follows stands 3 frames earlier"},
        {"head", head, 3, 1, "TW1704: clip \"B\": head 4 frames shorter"},
        {"a gap where the tail was", hole, 4, 1, "TW1704: clip \"B\": tail 1 frame shorter"},
        {"all later", late, 3, 1,
         "TW1704: clip \"A\" and what follows are not where they are in the master: here from 00:00:00:05, 10 frames"},
        {"other source frames", slip, 3, 1, "TW1705: clip \"B\": source range"},
        {"at both ends", both, 3, 2, "TW1705: clip \"B\": source range"},
    };
    tw_track ta = hand_track(TW_TRACK_VIDEO, a, 3);
    scene s;
    scene_make(&s, with_format(hand_timeline(arena, &ta, 1)));
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_track tb = hand_track(TW_TRACK_VIDEO, rows[i].items, rows[i].count);
        const tw_proof_file file = {.name = TW_STR("written"), .written = with_format(hand_timeline(arena, &tb, 1))};
        tw_diags *diags = tw_diags_new(arena);
        tw_row(i, rows[i].name);
        assert_true(twi_proof_cut(arena, &s.in, &file, diags));
        assert_non_null(strstr(tw_findings(arena, diags), rows[i].said));
        assert_int_equal(tw_diags_count(diags, TW_ERROR), rows[i].errors);
    }
}

static void remarks(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_item a[] = {hand_clip("A", 0, 100, 50)}, b[] = {a[0]};
    tw_remark plain[] = {{.text = TW_STR("* COMMENT: ONE"), .line = 1}};
    tw_remark other[] = {{.text = TW_STR("* COMMENT: ONE"), .line = 2}};
    a[0].remarks = plain;
    a[0].remark_count = 1;
    b[0].remarks = other;
    b[0].remark_count = 1;
    tw_track ta = hand_track(TW_TRACK_VIDEO, a, 1), tb = hand_track(TW_TRACK_VIDEO, b, 1);
    tw_timeline *master = with_format(hand_timeline(arena, &ta, 1)),
                *written = with_format(hand_timeline(arena, &tb, 1));
    scene s;
    scene_make(&s, master);
    const tw_proof_file file = {.name = TW_STR("written"), .written = written};
    tw_diags *diags = tw_diags_new(arena);
    twi_proof_cut(arena, &s.in, &file, diags);
    assert_int_equal(tw_diags_count(diags, TW_ERROR), 0);
    other[0].text = TW_STR("* COMMENT: TWO");
    twi_proof_cut(arena, &s.in, &file, diags);
    assert_non_null(strstr(tw_findings(arena, diags), "TW1711"));
}

TW_SUITE(cut)
{
    const struct CMUnitTest tests[] = {TW_TEST(kinds_and_counts), TW_TEST(one_of_several), TW_TEST(one_moved),
                                       TW_TEST(one_cause), TW_TEST(remarks)};
    return tw_run("proof/cut", tests);
}
