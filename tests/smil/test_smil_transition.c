/* SPDX-License-Identifier: Apache-2.0 */
#include "support/support.h"

#include <tallwide/smil.h>

#include "timeline/hand.h"

/* A second of B takes A's last frame with it: "d" is 1 s long, at 24 frames a second. */
#define HEAD(transition) "<smil><head><meta name='edit-rate' content='24'/>" transition "</head><body><seq>"
#define A_B(in) "<video src='A' dur='4s'/><video src='B' dur='2s' transIn='" in "'/></seq></body></smil>"

static tw_timeline *read(tw_arena *arena, const char *text, tw_diags *diags)
{
    const tw_read_options options = {.drop = false};
    tw_timeline *t = NULL;
    assert_int_equal(tw_format_smil.read(arena, tw_str_z(text), TW_STR("t.smil"), &options, diags, &t), TW_OK);
    return t;
}

static void named_by_the_clip(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    static const struct {
        const char *text, *name;
        int64_t frames; /* after the cut; -1: no transition, and told */
    } rows[] = {
        {HEAD("<transition xml:id='d' type='fade' subtype='crossfade' dur='1s'/>") A_B("d"), "dissolve", 24},
        {HEAD("<transition id='d' type='fade'/>") A_B("d"), "dissolve", 24},
        {HEAD("<transition xml:id='d' type='fade' subtype='fadeFromColor' dur='500ms'/>") A_B("d"), "fadeFromColor",
         12},
        {HEAD("<transition xml:id='w' type='barWipe' dur='0.25s'/><transition xml:id='d' type='fade'/>") A_B("x; w ;d"),
         "barWipe", 6},
        {HEAD("") A_B("d"), "", -1},
        {HEAD("<transition xml:id='d' type='fade' dur='soon'/>") A_B("d"), "", -1},
        {HEAD("<transition xml:id='d' type='fade' startProgress='0.5'/>") A_B("d"), "", -1},
    };
    for (size_t i = 0; i < TW_COUNT(rows); i++) {
        tw_row(i, rows[i].text);
        tw_diags *diags = tw_diags_new(arena);
        const tw_timeline *t = read(arena, rows[i].text, diags);
        const tw_track *track = t->tracks;
        assert_int_equal(track->item_count, rows[i].frames < 0 ? 2 : 3);
        assert_int_equal(tw_diags_kept(diags), rows[i].frames < 0);
        if (rows[i].frames < 0) {
            assert_int_equal(tw_diags_get(diags, 0)->code, 2016);
            continue;
        }
        tw_assert_text(track->items[1].name, rows[i].name);
        assert_int_equal(tw_item_record_in(t, &track->items[1]), 96);
        assert_int_equal(tw_item_frames(t, &track->items[1]), rows[i].frames);
        assert_int_equal(tw_item_tail(t, &track->items[0]), rows[i].frames);
        assert_int_equal(tw_item_head(t, &track->items[2]), 0);
    }
}

#define A_OUT(out, then) "<video src='A' dur='4s' transOut='" out "'/>" then "</seq></body></smil>"
#define TO_BLACK "<transition xml:id='d' type='fade' subtype='fadeToColor' dur='1s'"

/* The last second of A. Before another clip, at once, it would be a mix. */
static void out_of_the_clip(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    static const struct {
        const char *text, *name; /* of the transition; NULL: none, and told */
        size_t items;
    } rows[] = {
        {HEAD(TO_BLACK "/>") A_OUT("d", ""), "dissolve", 2},
        {HEAD(TO_BLACK " fadeColor='#000'/>") A_OUT("d", ""), "dissolve", 2},
        {HEAD(TO_BLACK " fadeColor='white'/>") A_OUT("d", ""), "fadeToColor", 2},
        {HEAD(TO_BLACK "/>") A_OUT("d", "<video src='B' begin='2s' dur='2s'/>"), "dissolve", 4},
        {HEAD(TO_BLACK "/>") A_OUT("d", "<text begin='1s' dur='2s'/>"), "dissolve", 2},
        {HEAD(TO_BLACK "/>") A_OUT("d", "<video src='B' dur='2s'/>"), NULL, 2},
        {HEAD(TO_BLACK "/>") A_OUT("d", "<par><video src='B' dur='2s'/></par>"), NULL, 2},
        {HEAD(TO_BLACK "/>") A_OUT("e", ""), NULL, 1},
        {"<smil><head><meta name='edit-rate' content='24'/>" TO_BLACK
         "/></head><body><par><video src='A' dur='4s' transOut='d'/></par></body></smil>",
         "dissolve", 2},
    };
    for (size_t i = 0; i < TW_COUNT(rows); i++) {
        tw_row(i, rows[i].text);
        tw_diags *diags = tw_diags_new(arena);
        const tw_timeline *t = read(arena, rows[i].text, diags);
        const tw_track *track = t->tracks;
        assert_int_equal(track->item_count, rows[i].items);
        bool told = tw_diags_kept(diags) > 0 && tw_diags_get(diags, 0)->code == 2016;
        assert_int_equal(told, rows[i].name == NULL);
        if (rows[i].name == NULL)
            continue;
        const tw_item *out = &track->items[1];
        assert_int_equal(out->kind, TW_ITEM_TRANSITION);
        tw_assert_text(out->name, rows[i].name);
        assert_int_equal(tw_item_record_in(t, out), 72);
        assert_int_equal(tw_item_record_out(t, out), 96);
        assert_int_equal(tw_item_tail(t, &track->items[0]), 0);
    }
}

/* Of a clip of 48 frames, a mix that takes 4 before its end and 8 after, and a gap or nothing: all comes back. */
static void out_and_back(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    for (size_t count = 2; count <= 4; count += 2) {
        tw_item items[] = {hand_clip("A003", 0, 96, 48), hand_transition(48, 4, 8), hand_gap(48, 24),
                           hand_clip("B001", 72, 0, 24)};
        items[1].name = TW_STR("dissolve");
        tw_track track = hand_track(TW_TRACK_VIDEO, items, count);
        tw_diags *diags = tw_diags_new(arena);
        tw_buf out = {.arena = arena};
        assert_int_equal(tw_format_smil.write(arena, hand_timeline(arena, &track, 1), 0, NULL, diags, &out), TW_OK);
        assert_true(tw_str_holds(tw_buf_str(&out), TW_STR("subtype=\"fadeToColor\" fadeColor=\"black\"")));
        assert_true(tw_str_holds(tw_buf_str(&out), TW_STR("transOut=\"t1\"")));
        tw_buf_addc(&out, '\0');
        tw_diags *again = tw_diags_new(arena);
        const tw_timeline *t = read(arena, out.at, again);
        assert_int_equal(tw_diags_kept(again), 0);
        assert_int_equal(t->tracks[0].item_count, count);
        assert_int_equal(tw_item_record_in(t, &t->tracks[0].items[1]), 44);
        assert_int_equal(tw_item_record_out(t, &t->tracks[0].items[1]), 56);
    }
}

/* What is written of it leads in as well, and is read again. */
static void written_again(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_diags *diags = tw_diags_new(arena);
    const tw_timeline *t =
        read(arena, HEAD("<transition xml:id='d' type='fade' subtype='crossfade' dur='1s'/>") A_B("d"), diags);
    tw_buf out = {.arena = arena};
    assert_int_equal(tw_format_smil.write(arena, t, 0, NULL, tw_diags_new(arena), &out), TW_OK);
    assert_true(tw_str_holds(tw_buf_str(&out), TW_STR("subtype=\"crossfade\" dur=\"1.000s\"")));
    assert_true(tw_str_holds(tw_buf_str(&out), TW_STR("transIn=\"t1\"")));
    tw_buf_addc(&out, '\0');
    const tw_timeline *again = read(arena, out.at, diags);
    assert_int_equal(tw_diags_kept(diags), 0);
    assert_int_equal(again->tracks[0].item_count, 3);
    assert_true(tw_time_eq(again->tracks[0].items[1].out_offset, t->tracks[0].items[1].out_offset));
}

TW_SUITE(smil_transition)
{
    const struct CMUnitTest tests[] = {TW_TEST(named_by_the_clip), TW_TEST(out_of_the_clip), TW_TEST(out_and_back),
                                       TW_TEST(written_again)};
    return tw_run("smil/smil_transition", tests);
}
