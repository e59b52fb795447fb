/* SPDX-License-Identifier: Apache-2.0 */
#include "otio/otio_cases.h"

/* fixtures/otio/NAME.otio with NAME.txt: what is found and, when it can be read, the model. */
static const char *const fixtures[] = {
    "new_one_clip",
    "ok_empty",
    "ok_framed",
    "ok_framed_then_trimmed",
    "ok_main",
    "ok_media",
    "ok_mixed_rates",
    "ok_nests",
    "ok_odd",
    "ok_old_names",
    "ok_release_0_12",
    "ok_release_0_15",
    "ok_retimes",
    "ok_root_list",
    "ok_root_stack",
    "ok_root_track",
    "ok_shared",
    "ok_shifted_track",
    "ok_transition",
    "ok_unknown",
    "bad_framing",
    "bad_missing_fields",
    "bad_negative_length",
    "bad_newer_version",
    "bad_no_length",
    "bad_no_schema",
    "bad_rate_nan",
    "bad_rate_negative",
    "bad_rate_zero",
    "bad_root_clip",
    "bad_root_dict",
    "bad_scalar",
    "bad_several_timelines",
    "bad_shared_circle",
    "bad_shared_missing",
    "bad_tracks_a_track",
    "bad_tracks_null",
    "bad_transition_in_stack",
    "bad_two_transitions",
    "bad_unknown_without_length",
    "bad_wrong_types",
};

static void every_fixture(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    for (size_t i = 0; i < sizeof fixtures / sizeof fixtures[0]; i++) {
        tw_row(i, fixtures[i]);
        tw_str name = tw_arena_printf(arena, "otio/%s.otio", fixtures[i]);
        tw_str wanted = tw_fixture(arena, tw_arena_printf(arena, "otio/%s.txt", fixtures[i]).at);
        tw_diags *diags = tw_diags_new(arena);
        tw_timeline *timeline = otio_case(arena, tw_fixture(arena, name.at), diags);
        tw_buf got = {.arena = arena};
        tw_diags_write_text(diags, TW_NOTE, &got);
        if (timeline != NULL)
            tw_timeline_dump(timeline, &got);
        tw_assert_text(tw_buf_str(&got), wanted.at);
    }
}

static void one_of_several(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    static const struct {
        const char *wanted, *found; /* found NULL: the finding */
        const char *finding;
    } rows[] = {
        {"cut one", "one", NULL},
        {"cut two", "two", NULL},
        {"", NULL, "no timeline was named: the file holds #1 \"cut one\", #2 \"cut two\""},
        {"cut", NULL, "no timeline is called \"cut\": the file holds #1 \"cut one\", #2 \"cut two\""},
        {"#1", "one", NULL},
        {"#2", "two", NULL},
        {"#3", NULL, "no timeline is called \"#3\": the file holds #1 \"cut one\", #2 \"cut two\""},
        {"#0", NULL, "no timeline is called \"#0\": the file holds #1 \"cut one\", #2 \"cut two\""},
    };
    tw_str bytes = tw_fixture(arena, "otio/ok_collection.otio");
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_row(i, rows[i].wanted);
        tw_diags *diags = tw_diags_new(arena);
        const tw_read_options options = {.timeline = tw_str_z(rows[i].wanted)};
        tw_timeline *timeline = NULL;
        tw_status status = tw_format_otio.read(arena, bytes, TW_STR("t.otio"), &options, diags, &timeline);
        assert_int_equal(status, rows[i].found != NULL ? TW_OK : TW_ERR_SEMANTIC);
        if (rows[i].found != NULL)
            tw_assert_text(timeline->tracks[0].items[0].name, rows[i].found);
        else
            tw_assert_text(tw_diags_get(diags, 0)->message, rows[i].finding);
    }
}

/* Of two by one name the number tells; a name comes before a number. */
static void two_of_one_name(void **state)
{
    tw_arena *arena = tw_test_arena(state);
#define NAMED(name, clip)                                                                                              \
    "{\"OTIO_SCHEMA\":\"Timeline.1\",\"name\":\"" name                                                                 \
    "\",\"tracks\":{\"OTIO_SCHEMA\":\"Stack.1\",\"children\":[" J_TRACK(                                               \
        "Video", "", J_CLIP(clip, J_RANGE("0", "24", "24"), "")) "]}}"
    static const char json[] = "[" NAMED("v2", "old") "," NAMED("v2", "new") "," NAMED("#1", "odd") "]";
#undef NAMED
    static const struct {
        const char *wanted, *found;
    } rows[] = {{"#2", "new"}, {"#1", "odd"}, {"v2", NULL}};
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_row(i, rows[i].wanted);
        tw_diags *diags = tw_diags_new(arena);
        const tw_read_options options = {.timeline = tw_str_z(rows[i].wanted)};
        tw_timeline *timeline = NULL;
        tw_format_otio.read(arena, TW_STR(json), TW_STR("t.otio"), &options, diags, &timeline);
        if (rows[i].found != NULL)
            tw_assert_text(timeline->tracks[0].items[0].name, rows[i].found);
        else
            tw_assert_text(tw_diags_get(diags, 0)->message, "a second timeline is called \"v2\": the file holds "
                                                            "#1 \"v2\", #2 \"v2\", #3 \"#1\"");
    }
}

#define CLIP_AT(rate) J_CLIP("c", J_RANGE("0", "24", rate), "")
#define GAP_AT(rate) "{\"OTIO_SCHEMA\":\"Gap.1\",\"source_range\":" J_RANGE("0", "24", rate) "}"
#define START_AT(rate) "\"global_start_time\":" J_TIME("0", rate) ","

static void the_timeline_s_rate(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    static const struct {
        const char *json, *rate;
    } rows[] = {
        /* the most common among picture clips, of equals the larger */
        {J_VIDEO(CLIP_AT("24") "," CLIP_AT("25") "," CLIP_AT("24")), "24/1"},
        {J_VIDEO(CLIP_AT("25") "," CLIP_AT("24")), "25/1"},
        /* two ways of writing one rate count together */
        {J_VIDEO(CLIP_AT("23.976") "," CLIP_AT("25") "," CLIP_AT("23.98")), "24000/1001"},
        /* gaps have no say against clips, nor has the start */
        {J_TIMELINE(START_AT("30"), J_TRACK("Video", "", GAP_AT("50") "," GAP_AT("50") "," CLIP_AT("24"))), "24/1"},
        /* without pictures: the start, else sound that is not counted in samples */
        {J_TIMELINE(START_AT("30"), J_TRACK("Audio", "", CLIP_AT("25"))), "30/1"},
        {J_TIMELINE("", J_TRACK("Audio", "", CLIP_AT("48000") "," CLIP_AT("48000") "," CLIP_AT("25"))), "25/1"},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_row(i, rows[i].rate);
        tw_buf rate = {.arena = arena};
        tw_rate_write(otio_fine(arena, rows[i].json)->rate, &rate);
        tw_assert_text(tw_buf_str(&rate), rows[i].rate);
    }
}

/* A rate that is asked for is not followed: that is told where it is another one. */
static void a_rate_asked_for(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    static const tw_rate rates[] = {{24, 1}, {25, 1}};
    for (size_t i = 0; i < TW_COUNT(rates); i++) {
        const tw_read_options options = {.rate = rates[i]};
        tw_timeline *timeline = NULL;
        tw_diags *diags = tw_diags_new(arena);
        tw_format_otio.read(arena, TW_STR(J_VIDEO(CLIP_AT("24"))), TW_STR("t.otio"), &options, diags, &timeline);
        assert_int_equal(timeline->rate.num, 24);
        assert_int_equal(tw_diags_kept(diags), i);
        /* where nothing tells, it is */
        tw_format_otio.read(arena, TW_STR(J_VIDEO("")), TW_STR("t.otio"), &options, diags, &timeline);
        assert_int_equal(timeline->rate.num, rates[i].num);
    }
}

static void probing(void **state)
{
    (void)state;
    static const struct {
        const char *bytes;
        int sure;
    } rows[] = {
        {"{\"OTIO_SCHEMA\": \"Timeline.1\"}", 95},
        {"\xEF\xBB\xBF \r\n\t{\"name\": 1, \"OTIO_SCHEMA\": 2", 95},
        {"[{\"OTIO_SCHEMA\": 1}]", 95},
        {"{\"tallwide_plan\": 1}", 10},
        {"TITLE: OTIO_SCHEMA", 0},
        {"", 0},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_row(i, rows[i].bytes);
        assert_int_equal(tw_format_otio.probe(tw_str_z(rows[i].bytes)), rows[i].sure);
    }
}

TW_SUITE(otio_read)
{
    const struct CMUnitTest tests[] = {TW_TEST(every_fixture),    TW_TEST(one_of_several),
                                       TW_TEST(two_of_one_name),  TW_TEST(the_timeline_s_rate),
                                       TW_TEST(a_rate_asked_for), TW_TEST(probing)};
    return tw_run("otio/otio_read", tests);
}
