/* SPDX-License-Identifier: Apache-2.0 */
#include "support/support.h"

#include <tallwide/smil.h>

#include "timeline/hand.h"

static tw_status read(tw_arena *arena, tw_str text, tw_rate rate, tw_diags *diags, tw_timeline **out)
{
    const tw_read_options options = {.rate = rate};
    return tw_format_smil.read(arena, text, TW_STR("t.smil"), &options, diags, out);
}

/* Writing, reading and writing again: the same text, the same model but for what SMIL leaves out. */
static void written_and_read_back(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_key keys[] = {{-4, 2880, 2160, 2430, 0}, {24, 3380.125, 2160, 2430, 6.5}, {60, 2000, 2160, 2430, 0}};
    tw_framing framing = {.source = {5760, 4320}, .delivery = {1080, 1920}, .squeeze = 1, .keys = keys, .key_count = 3};
    tw_item inner[] = {hand_clip("B001", 0, 30, 12), hand_gap(12, 3), hand_clip("B002", 15, 0, 9)};
    tw_track inner_tracks[] = {hand_track(TW_TRACK_VIDEO, inner, 3)};
    tw_item items[] = {hand_clip("A003", 0, 96, 48),   hand_transition(48, 4, 4), hand_clip("A004", 48, 0, 24),
                       tw_timeline_item(TW_ITEM_NEST), hand_gap(96, 4),           hand_clip("A005", 100, 7, 20)};
    items[0].framing = &framing;
    items[2].speed = -0.5;
    items[2].enabled = false;
    items[3].name = TW_STR("truing");
    items[3].record = hand_frames(72, 24);
    items[3].tracks = inner_tracks;
    items[3].track_count = 1;
    tw_item sound[] = {hand_clip("A003", 0, 96, 120)};
    tw_track tracks[] = {hand_track(TW_TRACK_VIDEO, items, 6), hand_track(TW_TRACK_AUDIO, sound, 1)};
    const tw_timeline *t = hand_timeline(arena, tracks, 2);
    const tw_write_options options = {.crlf = false};
    tw_buf first = {.arena = arena}, again = {.arena = arena}, model = {.arena = arena}, back = {.arena = arena};
    tw_format_smil.write(arena, t, 0, &options, tw_diags_new(arena), &first);
    tw_diags *diags = tw_diags_new(arena);
    tw_timeline *read_back = NULL;
    tw_status status = read(arena, tw_buf_str(&first), (tw_rate){0, 0}, diags, &read_back);
    assert_string_equal(tw_findings(arena, diags), "");
    assert_int_equal(status, TW_OK);
    tw_format_smil.write(arena, read_back, 0, &options, tw_diags_new(arena), &again);
    assert_true(tw_str_eq(tw_buf_str(&first), tw_buf_str(&again)));
    tw_timeline_dump(t, &model);
    tw_timeline_dump(read_back, &back);
    tw_buf_addc(&model, '\0');
    tw_assert_text(tw_buf_str(&back), model.at);
}

/* A file of another hand: only what SMIL itself says; a seq inside the track is as long as what it holds. */
static void plain_smil(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_timeline *t = NULL;
    tw_diags *diags = tw_diags_new(arena);
    tw_status status = read(arena,
                            TW_STR("<smil xmlns='http://www.w3.org/ns/SMIL'><body><seq>"
                                   "<video src='A.mov' clipBegin='npt=2s' clipEnd='npt=4s'/>"
                                   "<video src='B.mov' begin='500ms' dur='00:01.5'/>"
                                   "<par><seq><video src='C.mov' dur='1s'/><video src='D.mov' dur='1s'/></seq>"
                                   "<seq><audio src='E.wav' dur='1.5s'/></seq></par>"
                                   "<video src='F.mov' dur='1s'/></seq></body></smil>"),
                            HAND_RATE, diags, &t);
    assert_string_equal(tw_findings(arena, diags), "");
    assert_int_equal(status, TW_OK);
    const tw_item *items = t->tracks[0].items;
    static const struct {
        tw_item_kind kind;
        int64_t in, frames;
    } rows[] = {
        {TW_ITEM_CLIP, 0, 48},  {TW_ITEM_GAP, 48, 12},   {TW_ITEM_CLIP, 60, 36},
        {TW_ITEM_NEST, 96, 48}, {TW_ITEM_CLIP, 144, 24},
    };
    assert_int_equal(t->track_count, 1);
    assert_int_equal(t->tracks[0].item_count, 5);
    for (size_t i = 0; i < 5; i++) {
        tw_row(i, "item");
        assert_int_equal(items[i].kind, rows[i].kind);
        assert_int_equal(tw_item_record_in(t, &items[i]), rows[i].in);
        assert_int_equal(tw_item_frames(t, &items[i]), rows[i].frames);
    }
    assert_int_equal(items[3].track_count, 2);
    assert_int_equal(items[3].tracks[1].kind, TW_TRACK_AUDIO);
    tw_assert_near(tw_item_source_frame(t, &items[0], 0), 48, 0);
}

static void refused(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    static const struct {
        const char *text, *said;
    } rows[] = {
        {"<html/>", "t.smil:1:1: error TW2013: a SMIL timeline has the root smil with a body in it, this is: \"html\"\n"
                    "  <html/>\n  ^^^^^\n"},
        {"<smil><body/></smil>", "t.smil: error TW2012: the file does not say its edit rate: give one with --rate\n"},
        {"<smil><head><meta name='edit-rate' content='fast'/></head><body/></smil>",
         "t.smil:1:7: error TW2011: the edit rate cannot be read: \"fast\"\n"
         "  <smil><head><meta name='edit-rate' content='fast'/></head><body/></smil>\n        ^^^^^\n"},
        {"<smil><head><meta name='edit-rate' content='24'/></head>\n<body><video src='a' dur='soon'/></body></smil>",
         "t.smil:2:7: error TW2011: this clock value cannot be read: \"soon\"\n"
         "  <body><video src='a' dur='soon'/></body></smil>\n        ^^^^^^\n"
         "t.smil:2:7: error TW2011: this element has no dur: \"a\"\n"
         "  <body><video src='a' dur='soon'/></body></smil>\n        ^^^^^^\n"},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_diags *diags = tw_diags_new(arena);
        tw_timeline *t = NULL;
        tw_row(i, rows[i].text);
        assert_int_not_equal(read(arena, tw_str_z(rows[i].text), (tw_rate){0, 0}, diags, &t), TW_OK);
        tw_assert_text(tw_str_z(tw_findings(arena, diags)), rows[i].said);
        assert_null(t);
    }
}

/* SMIL 3.0, from memory: what a par holds plays at once, what a seq holds one after the other; of a switch the first that
 * can be played. */
static void at_once(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_timeline *t = NULL;
    tw_diags *diags = tw_diags_new(arena);
    tw_status status =
        read(arena,
             TW_STR("<smil xmlns='http://www.w3.org/ns/SMIL'><body><seq>"
                    "<par><video src='A.mov' dur='2s'/><audio src='A.wav' begin='1s' dur='2s'/></par>"
                    "<text src='title.txt' dur='1s'/>"
                    "<switch><a href='x'><video src='B.mov' dur='1s'/><area/></a><video src='C.mov' dur='9s'/>"
                    "</switch></seq></body></smil>"),
             (tw_rate){24, 1}, diags, &t);
    assert_int_equal(tw_diags_count(diags, TW_WARNING), 2);
    assert_int_equal(tw_diags_get(diags, 0)->code, 2014);
    assert_int_equal(tw_diags_get(diags, 0)->place.column, 132); /* the text */
    assert_int_equal(tw_diags_get(diags, 1)->place.column, 164); /* the switch */
    assert_int_equal(status, TW_OK);
    assert_int_equal(t->track_count, 1);
    assert_int_equal(t->tracks[0].item_count, 3);
    const tw_item *items = t->tracks[0].items;
    assert_int_equal(items[0].track_count, 2);
    assert_int_equal(items[0].tracks[0].kind, TW_TRACK_VIDEO);
    assert_int_equal(items[0].tracks[1].kind, TW_TRACK_AUDIO);
    assert_true(tw_time_eq(items[0].record.dur, tw_time_make(3, 1))); /* the sound ends last */
    assert_int_equal(items[1].kind, TW_ITEM_GAP);
    assert_true(tw_time_eq(items[2].record.start, tw_time_make(4, 1)));
    assert_true(tw_time_eq(items[2].record.dur, tw_time_make(1, 1)));
}

#define SMIL24(body) "<smil><head><meta name='edit-rate' content='24'/></head><body>" body "</body></smil>"

/* Clips of 1.02 s at 24 frames a second end at 24.48, 48.96 and 73.44; half a second on, at 85.44, a nest goes to 109.92.
 * Lengths that are rounded one by one would end at 24, 48, 72, 84 and 108. */
static void no_drift(void **state)
{
    static const int64_t ends[] = {24, 49, 73, 85, 110};
    tw_arena *arena = tw_test_arena(state);
    tw_diags *diags = tw_diags_new(arena);
    tw_timeline *t = NULL;
    tw_status status = read(arena,
                            TW_STR(SMIL24("<seq><video src='A' dur='1.02s'/><video src='B' dur='1.02s'/>"
                                          "<video src='C' dur='1.02s'/>"
                                          "<par begin='0.5s' dur='1.02s'><video src='D' dur='1.02s'/></par></seq>")),
                            (tw_rate){0, 0}, diags, &t);
    assert_int_equal(status, TW_OK);
    assert_int_equal(t->tracks[0].item_count, TW_COUNT(ends));
    for (size_t i = 0; i < TW_COUNT(ends); i++) {
        tw_row(i, "end");
        assert_int_equal(tw_item_record_out(t, &t->tracks[0].items[i]) - tw_time_round(t->start, t->rate, NULL),
                         ends[i]);
    }
}

/* One that repeats is as many clips, each from its own beginning; a track may begin late. */
static void repeated(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_timeline *t = NULL;
    tw_diags *diags = tw_diags_new(arena);
    tw_status status = read(arena,
                            TW_STR(SMIL24("<par><seq begin='2s'>"
                                          "<video src='A' clipBegin='1s' clipEnd='3s' repeatCount='2.5'/>"
                                          "<video src='B' dur='4s' end='1s'/></seq>"
                                          "<seq><audio src='C' begin='1s' dur='1s' repeatCount='2'/></seq></par>")),
                            (tw_rate){0, 0}, diags, &t);
    assert_string_equal(tw_findings(arena, diags), "");
    assert_int_equal(status, TW_OK);
    static const struct {
        int64_t in, frames, source;
    } rows[] = {{48, 48, 24}, {96, 48, 24}, {144, 24, 24}, {168, 24, -1}};
    assert_int_equal(t->tracks[1].kind, TW_TRACK_AUDIO);
    assert_int_equal(t->tracks[0].items[0].kind, TW_ITEM_GAP); /* tracks begin together */
    t->tracks[0].items++;
    t->tracks[0].item_count--;
    assert_int_equal(t->tracks[0].item_count, TW_COUNT(rows));
    for (size_t i = 0; i < TW_COUNT(rows); i++) {
        const tw_item *item = &t->tracks[0].items[i];
        tw_row(i, "clip");
        assert_int_equal(item->kind, TW_ITEM_CLIP);
        assert_int_equal(tw_item_record_in(t, item), rows[i].in);
        assert_int_equal(tw_item_frames(t, item), rows[i].frames);
        if (rows[i].source >= 0)
            tw_assert_near(tw_item_source_frame(t, item, 0), (double)rows[i].source, 0);
    }
}

/* The source counts in frames of its own, whoever says where it begins: 4 s are 95.9 frames of 24000/1001, 3 s 71.9. */
static void source_of_another_rate(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_timeline *t = NULL;
    tw_str text = TW_STR(SMIL24("<seq><video src='A' clipBegin='4s' dur='3s'>"
                                "<param name='source-rate' value='24000/1001'/></video></seq>"));
    assert_int_equal(read(arena, text, (tw_rate){0, 0}, tw_diags_new(arena), &t), TW_OK);
    const tw_item *clip = &t->tracks[0].items[0];
    assert_true(tw_time_eq(clip->source.start, tw_time_frames(96, (tw_rate){24000, 1001})));
    assert_true(tw_time_eq(clip->source.dur, tw_time_frames(72, (tw_rate){24000, 1001})));
    text = TW_STR(SMIL24("<seq><video src='A' dur='3s'><param name='source-rate' value='24000/1001'/></video></seq>"));
    assert_int_equal(read(arena, text, (tw_rate){0, 0}, tw_diags_new(arena), &t), TW_OK);
    assert_false(t->tracks[0].items[0].has_source);
    assert_true(tw_rate_eq(t->tracks[0].items[0].source_rate, t->rate)); /* of nothing known */
}

/* A pause and what begins late after it are one gap; one at the end is time of the group and no item of its own. */
static void pauses(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_timeline *t = NULL;
    tw_status status = read(arena,
                            TW_STR(SMIL24("<seq><seq><video src='A' dur='1s'/><text dur='2s'/></seq><text dur='1s'/>"
                                          "<video src='B' begin='1s' dur='1s'/><text dur='1s'/></seq>")),
                            (tw_rate){0, 0}, tw_diags_new(arena), &t);
    assert_int_equal(status, TW_OK);
    assert_int_equal(t->tracks[0].item_count, 3);
    const tw_item *items = t->tracks[0].items;
    assert_int_equal(tw_item_frames(t, &items[0]), 72);
    assert_int_equal(items[0].tracks[0].item_count, 1);
    assert_int_equal(items[1].kind, TW_ITEM_GAP);
    assert_int_equal(tw_item_frames(t, &items[1]), 48);
    assert_int_equal(tw_item_record_in(t, &items[2]), 120);
    /* what ends after its last picture is followed by nothing until then */
    tw_str text =
        TW_STR(SMIL24("<seq><video src='A' clipBegin='0s' clipEnd='2s' end='5s'/><video src='B' dur='1s'/></seq>"));
    assert_int_equal(read(arena, text, (tw_rate){0, 0}, tw_diags_new(arena), &t), TW_OK);
    assert_int_equal(t->tracks[0].item_count, 3);
    assert_int_equal(tw_item_frames(t, &t->tracks[0].items[0]), 48);
    assert_int_equal(t->tracks[0].items[1].kind, TW_ITEM_GAP);
    assert_int_equal(tw_item_record_in(t, &t->tracks[0].items[2]), 120);
    /* shorter than a frame: 100 of 10 ms are 24 frames */
    text = TW_STR(SMIL24("<seq><video src='A' dur='0.01s' repeatCount='100'/></seq>"));
    assert_int_equal(read(arena, text, (tw_rate){0, 0}, tw_diags_new(arena), &t), TW_OK);
    const tw_track *track = &t->tracks[0];
    for (size_t i = 0; i < track->item_count; i++)
        assert_true(tw_item_frames(t, &track->items[i]) > 0 || i == 0);
    assert_true(tw_time_eq(tw_range_end(track->items[track->item_count - 1].record), tw_time_make(1, 1)));
}

/* The rate asked for counts; where the file says another one, that is told. */
static void a_rate_asked_for(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    static const tw_rate rates[] = {{24, 1}, {25, 1}};
    for (size_t i = 0; i < TW_COUNT(rates); i++) {
        tw_timeline *t = NULL;
        tw_diags *diags = tw_diags_new(arena);
        assert_int_equal(read(arena, TW_STR(SMIL24("<video src='A' dur='1s'/>")), rates[i], diags, &t), TW_OK);
        assert_int_equal(t->rate.num, rates[i].num);
        assert_int_equal(tw_diags_kept(diags), i);
    }
}

/* Nothing is played at another time than the file says. */
static void told(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    static const struct {
        const char *text;
        int code; /* 0: fine */
    } rows[] = {
        {SMIL24("<seq><excl><video src='A' dur='1s'/></excl></seq>"), 2013},
        {SMIL24("<seq repeatCount='2'><video src='A' dur='1s'/></seq>"), 2015},
        {SMIL24("<seq><par repeatDur='9s'><video src='A' dur='1s'/></par></seq>"), 2015},
        {SMIL24("<par dur='1s'><video src='A' dur='2s'/></par>"), 2015},
        {SMIL24("<par dur='3s'><video src='A' dur='2s'/></par>"), 0},
        {SMIL24("<par><seq end='1s'><video src='A' dur='2s'/></seq></par>"), 2015},
        {SMIL24("<seq><par end='1s'><video src='A' dur='2s'/></par></seq>"), 0},
        /* three times 80 frames, for 79.68; all of it 239 for 239.04 */
        {SMIL24("<par dur='9.96s'><seq dur='9.96s'><video src='A' dur='3.32s'/><video src='A' dur='3.32s'/>"
                "<video src='A' dur='3.32s'/></seq></par>"),
         0},
        {SMIL24("<seq repeatCount='1' dur='indefinite'><video src='A' dur='1s'/></seq>"), 0},
        {SMIL24("<seq><img src='A' repeatDur='2s'/></seq>"), 0},
        {SMIL24("<seq><video src='A' repeatDur='2s'/></seq>"), 2015},
        {SMIL24("<seq><video src='A' dur='0.001s' repeatDur='430s'/></seq>"), 2003}, /* 10,320 frames */
    };
    for (size_t i = 0; i < TW_COUNT(rows); i++) {
        tw_row(i, rows[i].text);
        tw_timeline *t = NULL;
        tw_diags *diags = tw_diags_new(arena);
        tw_status status = read(arena, tw_str_z(rows[i].text), (tw_rate){0, 0}, diags, &t);
        assert_int_equal(status, rows[i].code == 0 ? TW_OK : TW_ERR_SEMANTIC);
        assert_int_equal(tw_diags_count(diags, TW_ERROR), rows[i].code != 0);
        if (rows[i].code != 0)
            assert_int_equal(tw_diags_get(diags, 0)->code, rows[i].code);
    }
}

TW_SUITE(smil_read)
{
    const struct CMUnitTest tests[] = {TW_TEST(written_and_read_back),
                                       TW_TEST(plain_smil),
                                       TW_TEST(at_once),
                                       TW_TEST(no_drift),
                                       TW_TEST(repeated),
                                       TW_TEST(source_of_another_rate),
                                       TW_TEST(pauses),
                                       TW_TEST(a_rate_asked_for),
                                       TW_TEST(told),
                                       TW_TEST(refused)};
    return tw_run("smil/smil_read", tests);
}
