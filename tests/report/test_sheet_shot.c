/* SPDX-License-Identifier: Apache-2.0 */
#include "support/support.h"
#include "report/hand.h"
#include "report/report_internal.h"

#include <string.h>

static void what_needs_eyes(void **state)
{
    (void)state;
    static const struct {
        tw_verdict verdict;
        twi_eyes eyes;
    } rows[] = {
        {TW_VERDICT_FRAMED, TWI_EYES_NONE},  {TW_VERDICT_COMPROMISE, TWI_EYES_CUT},
        {TW_VERDICT_GRAPHIC, TWI_EYES_NONE}, {TW_VERDICT_NOT_FRAMED, TWI_EYES_OPEN},
        {TW_VERDICT_UNKNOWN, TWI_EYES_SIZE}, {TW_VERDICT_BLACK, TWI_EYES_NONE},
    };
    static const tw_sheet_agreed kept = {.state = TW_SHEET_AGREED}, changes = {.state = TW_SHEET_WOULD_CHANGE};
    static const tw_sheet_agreed *const all_kept = &kept, *const all_change = &changes;
    static const tw_sheet_options options[] = {{.agreed = NULL}, {.agreed = &all_kept}, {.agreed = &all_change}};
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_decision shot = {.verdict = rows[i].verdict};
        tw_derived_delivery delivery = {.shots = &shot, .shot_count = 1};
        const tw_derived derived = {.deliveries = &delivery, .delivery_count = 1};
        tw_row(i, "verdict");
        for (size_t o = 0; o < 3; o++) {
            const twi_sheet s = {.derived = &derived, .options = &options[o]};
            assert_int_equal(twi_sheet_eyes(&s, 0, 0), o == 2 ? TWI_EYES_AGREED : rows[i].eyes);
        }
    }
}

/* Only what the edit says: an event number where it has one, a track that has a name; one frame is no "frames". */
static void facts_of_a_shot(void **state)
{
    hand *h = hand_derived(tw_test_arena(state));
    const tw_sheet_options options = {.still = NULL};
    h->items[2].event = h->track.name = TW_STR("");
    h->items[2].record.dur = h->items[2].source.dur = tw_time_frames(1, FILM);
    h->shots[2].frames = 1;
    hand_stands(h);
    tw_buf out = {.arena = tw_test_arena(state)};
    tw_xml x = {.out = &out};
    const twi_sheet s = {.arena = out.arena, .derived = &h->derived, .options = &options, .x = &x};
    twi_sheet_shot(&s, 2);
    tw_buf_addc(&out, '\0');
    assert_non_null(strstr(out.at, "<dl><div><dt>record</dt><dd>01:00:06:00 \xE2\x80\x93 01:00:06:01</dd></div><div>"
                                   "<dt>source</dt><dd>00:00:00:00 \xE2\x80\x93 00:00:00:01</dd></div><div>"
                                   "<dt>length</dt><dd>1 frame</dd></div></dl>"));
}

/* Two picture tracks without names, the shots on the upper one, a sound track between them. */
static void tracks_without_names(void **state)
{
    hand *h = hand_derived(tw_test_arena(state));
    const tw_sheet_options options = {.still = NULL};
    tw_track tracks[] = {{.kind = TW_TRACK_VIDEO}, {.kind = TW_TRACK_AUDIO}, h->track};
    tracks[2].name = TW_STR("");
    h->timeline->tracks = tracks;
    h->timeline->track_count = 3;
    h->shots[0].track = &tracks[2];
    tw_buf out = {.arena = tw_test_arena(state)};
    tw_xml x = {.out = &out};
    const twi_sheet s = {.arena = out.arena, .derived = &h->derived, .options = &options, .x = &x};
    twi_sheet_shot(&s, 0);
    tw_buf_addc(&out, '\0');
    assert_non_null(strstr(out.at, "<dt>track</dt><dd>2</dd>"));
}

TW_SUITE(sheet_shot)
{
    const struct CMUnitTest tests[] = {TW_TEST(what_needs_eyes), TW_TEST(facts_of_a_shot),
                                       TW_TEST(tracks_without_names)};
    return tw_run("report/sheet_shot", tests);
}
