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
    const struct CMUnitTest tests[] = {TW_TEST(named_by_the_clip), TW_TEST(written_again)};
    return tw_run("smil/smil_transition", tests);
}
