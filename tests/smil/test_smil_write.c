/* SPDX-License-Identifier: Apache-2.0 */
#include "support/support.h"

#include <string.h>

#include <tallwide/smil.h>

#include "timeline/hand.h"

static tw_str write(tw_arena *arena, const tw_timeline *t, tw_diags *diags)
{
    tw_buf out = {.arena = arena};
    const tw_write_options options = {.crlf = false};
    assert_int_equal(tw_format_smil.write(arena, t, 0, &options, diags, &out), TW_OK);
    return tw_buf_str(&out);
}

static void a_moving_clip_after_a_gap(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_media media = {
        .kind = TW_MEDIA_FILE, .url = TW_STR("A003.mov"), .has_available = true, .available = hand_frames(0, 500)};
    tw_key keys[] = {{0, 2880, 2160, 2430, 0}, {24, 3380, 2160, 2430, 0}};
    tw_framing framing = {.source = {5760, 4320}, .delivery = {1080, 1920}, .squeeze = 1, .keys = keys, .key_count = 2};
    tw_item items[] = {hand_gap(0, 24), hand_clip("A003", 24, 96, 48)};
    items[1].name = TW_STR("lacing & truing");
    items[1].media = &media;
    items[1].media_count = 1;
    items[1].media_active = 0;
    items[1].framing = &framing;
    tw_track track = hand_track(TW_TRACK_VIDEO, items, 2);
    tw_timeline *t = hand_timeline(arena, &track, 1);
    tw_stamp stamp = {.delivery = TW_STR("tall"), .size = {1080, 1920}, .master_hash = 1, .plan_hash = 2};
    t->stamp = &stamp;
    tw_diags *diags = tw_diags_new(arena);
    tw_str expected = tw_fixture(arena, "smil/ok_moving.smil");
    tw_assert_text(write(arena, t, diags), tw_arena_dupz(arena, expected));
    assert_string_equal(tw_findings(arena, diags), "");
}

static void losses_are_named(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_item items[] = {hand_clip("A003", 0, 0, 10), hand_transition(10, 2, 2), hand_clip("A004", 10, 0, 10),
                       hand_transition(20, 2, 2),   hand_gap(20, 0),           hand_transition(20, 2, 2),
                       hand_clip("B001", 20, 0, 5), hand_transition(25, 2, 2)};
    tw_marker marker = {.name = TW_STR("true"), .at = hand_frames(0, 0)};
    items[0].markers = &marker;
    items[0].marker_count = 1;
    items[0].speed = 2;
    items[1].name = TW_STR("wipe 001");
    items[2].enabled = false;
    tw_track track = hand_track(TW_TRACK_VIDEO, items, 8);
    tw_diags *diags = tw_diags_new(arena);
    write(arena, hand_timeline(arena, &track, 1), diags);
    tw_assert_text(
        tw_str_z(tw_findings(arena, diags)),
        "hand: warning TW2010: SMIL: 1 clip with a speed of its own, kept as a param, which players do not obey\n"
        "hand: warning TW2010: SMIL: 1 disabled item kept as such by a param, but played\n"
        "hand: warning TW2010: SMIL: 1 marker left out\n"
        "hand: warning TW2010: SMIL: 3 clips without a file: src gives the reel instead\n"
        "hand: warning TW2010: SMIL: 1 transition other than a dissolve, drawn as a plain wipe\n"
        "hand: warning TW2010: SMIL: 2 transitions into a nested timeline, out of one into nothing, between gaps, or "
        "out "
        "of a gap without length or of what a nested timeline hides, left out\n"
        "hand: warning TW2010: SMIL: 3 clips without a known start of media, so that clipBegin counts from time code "
        "00:00:00:00\n");
}

/* A source that counts samples: 480 of 48,000 a second are 10 ms, less than half a frame of 24. */
static void a_source_that_counts_samples(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_item item = hand_clip("A003", 0, 0, 24);
    item.source_rate = (tw_rate){48000, 1};
    item.source.start = tw_time_frames(480, item.source_rate);
    tw_track track = hand_track(TW_TRACK_VIDEO, &item, 1);
    tw_str text = write(arena, hand_timeline(arena, &track, 1), tw_diags_new(arena));
    assert_non_null(strstr(text.at, "name=\"source-rate\" value=\"24/1\""));
    assert_non_null(strstr(text.at, "name=\"source-in\" value=\"0\""));
}

/* Less than a pixel of the source fills a delivery that is far wider or taller than it: three decimals say too little. */
static void a_window_narrower_than_a_pixel(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_key key = {0, 2880, 2160, 0.00432, 0};
    tw_framing framing = {.source = {5760, 4320}, .delivery = {1, 1000000}, .squeeze = 1, .keys = &key, .key_count = 1};
    tw_item item = hand_clip("A003", 0, 0, 24);
    item.framing = &framing;
    tw_track track = hand_track(TW_TRACK_VIDEO, &item, 1);
    tw_str text = write(arena, hand_timeline(arena, &track, 1), tw_diags_new(arena));
    assert_non_null(strstr(text.at, "name=\"key\" value=\"0 2879.998 0.000 0.00432 0.0\""));
}

/* Its title is the name of no file: read back, the clip would have a media of that name. */
static void a_clip_without_file_and_reel(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_item item = hand_clip("", 0, 0, 24);
    item.name = TW_STR("Rad");
    tw_track track = hand_track(TW_TRACK_AUDIO, &item, 1);
    tw_str text = write(arena, hand_timeline(arena, &track, 1), tw_diags_new(arena));
    assert_non_null(strstr(text.at, "<audio xml:id=\"c0\" title=\"Rad\" dur=\"1.000s\" clipBegin="));
}

/* A nest at 24..34 of which the first 12 frames are hidden: of a clip of 20 frames and one of 10, and a mix of 4 between
 * them, the last 8 of the first are left, so the mix is whole; hidden to its middle, it is left out. */
static void a_trimmed_nest(void **state)
{
    static const struct {
        int64_t hidden;
        const char *has, *lost;
    } rows[] = {
        {12, "dur=\"0.334s\" region=\"frame\" src=\"B001\" clipBegin=\"npt=0.500s\" clipEnd=\"npt=0.834s\"", NULL},
        {20, "<seq class=\"video\" title=\"V\">\n      <video xml:id=\"c1\" title=\"B002\" dur=\"0.417s\"",
         "1 transition into a nested timeline, out of one into nothing"}};
    tw_arena *arena = tw_test_arena(state);
    for (size_t i = 0; i < TW_COUNT(rows); i++) {
        tw_row(i, "hidden");
        int64_t zero = -rows[i].hidden;
        tw_item inner[] = {hand_clip("B001", zero, 0, 20), hand_transition(zero + 20, 2, 2),
                           hand_clip("B002", zero + 20, 100, 10)};
        tw_track inside = hand_track(TW_TRACK_VIDEO, inner, 3);
        tw_item nest = tw_timeline_item(TW_ITEM_NEST);
        nest.record = hand_frames(24, 10);
        nest.tracks = &inside;
        nest.track_count = 1;
        tw_track track = hand_track(TW_TRACK_VIDEO, &nest, 1);
        tw_diags *diags = tw_diags_new(arena);
        tw_str text = write(arena, hand_timeline(arena, &track, 1), diags);
        const char *said = tw_findings(arena, diags);
        if (strstr(text.at, rows[i].has) == NULL)
            fail_msg("missing: %s\nin\n%s", rows[i].has, text.at);
        assert_int_equal(strstr(said, "transition") != NULL, rows[i].lost != NULL);
        assert_true(rows[i].lost == NULL || strstr(said, rows[i].lost) != NULL);
        assert_null(strstr(said, "played late"));
    }
}

TW_SUITE(smil_write)
{
    const struct CMUnitTest tests[] = {TW_TEST(a_moving_clip_after_a_gap),      TW_TEST(losses_are_named),
                                       TW_TEST(a_clip_without_file_and_reel),   TW_TEST(a_source_that_counts_samples),
                                       TW_TEST(a_window_narrower_than_a_pixel), TW_TEST(a_trimmed_nest)};
    return tw_run("smil/smil_write", tests);
}
