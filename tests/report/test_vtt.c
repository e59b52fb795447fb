/* SPDX-License-Identifier: Apache-2.0 */
#include "support/support.h"

#include <string.h>

#include "report/hand.h"

/* Frame n starts at n * 1001 / 24 ms: 24 at 1001.0, 48 at 2002.0, 72 at 3003.0, 96 at 4004.0, 144 at 6006.0, 168 at
 * 7007.0. The window of a key is centre - width / 2; the height 2025 * 1920 / 1080 = 3600; the zoom 2430 / 2025 =
 * 1.2. The region lies in x 2304..3456 and is held by the first window (1665..4095), not by the second
 * (3735..5760). */
static void cues(void **state)
{
    tw_buf out = {.arena = tw_test_arena(state)};
    hand *h = hand_derived(out.arena);
    tw_report_vtt(&h->derived, 0, &out);
    tw_assert_text(tw_buf_str(&out),
                   "WEBVTT - wheel tall 1080x1920 framing notes\n"
                   "\n"
                   "NOTE\n"
                   "window left,top widthxheight in source pixels, then the zoom; lines with ! say what was given up\n"
                   "cues are called sSHOT-PART; SHOT is its number on the sheet\n"
                   "\n"
                   "s1-1\n"
                   "00:00:00.000 --> 00:00:02.002\n"
                   "001 A003 still on hands, window 1665,0 2430x4320 (1.00x)\n"
                   "keep the &lt;spoke key&gt; in frame --&gt; please  thanks\n"
                   "\n"
                   "s2-1\n"
                   "00:00:02.002 --> 00:00:03.003\n"
                   "002 B001 hold on hands, window 1665,0 2430x4320 (1.00x)\n"
                   "! hands (must) is cut by up to 112 px on the left in 12 frames\n"
                   "\n"
                   "s2-2\n"
                   "00:00:03.003 --> 00:00:04.004\n"
                   "002 B001 move over 24 frames to window 3735,720 2025x3600 (1.20x)\n"
                   "\n"
                   "s2-3\n"
                   "00:00:04.004 --> 00:00:06.006\n"
                   "002 B001 hold, window 3735,720 2025x3600 (1.20x)\n"
                   "\n"
                   "s3-1\n"
                   "00:00:06.006 --> 00:00:07.007\n"
                   "003 C001 no source in the plan matches\n");
}

/* Rounding up: frame 1 starts at 1001 / 24 = 41.708 ms, written 0.042, which is inside frame 1; nearest would do here,
 * but not for frame 5: 208.541 ms would become 0.209 either way and frame 3: 125.125 ms 0.125, still frame 2. */
static void times_round_up(void **state)
{
    static const struct {
        int64_t frame;
        const char *expected;
    } rows[] = {{1, "00:00:00.042"}, {3, "00:00:00.126"}, {24, "00:00:01.001"}, {86400, "01:00:03.600"}};
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_row(i, rows[i].expected);
        tw_buf out = {.arena = tw_test_arena(state)};
        hand *h = hand_derived(out.arena);
        h->derived_delivery.shot_count = 1;
        h->items[0].record.start = tw_time_add(h->timeline->start, tw_time_frames(rows[i].frame, FILM));
        hand_stands(h);
        tw_report_vtt(&h->derived, 0, &out);
        tw_str text = tw_buf_str(&out);
        size_t at = 0;
        while (at + 5 < text.len && !tw_str_starts(tw_str_from(text, at), TW_STR("s1-1\n")))
            at++;
        tw_assert_text(tw_str_cut(tw_str_from(text, at + 5), 12), rows[i].expected);
    }
}

/* 1/48000 s is no time in thousandths: a cue would end where it begins. */
static void too_short_to_tell(void **state)
{
    tw_buf out = {.arena = tw_test_arena(state)};
    hand *h = hand_derived(out.arena);
    h->derived_delivery.shot_count = 1;
    h->items[0].record.dur = tw_time_frames(1, (tw_rate){48000, 1});
    hand_stands(h);
    tw_report_vtt(&h->derived, 0, &out);
    assert_null(strstr(tw_arena_dupz(out.arena, tw_buf_str(&out)), "-->"));
}

/* A jump from one frame to the next is a step: one hold up to it, one after it. */
static void steps(void **state)
{
    tw_buf out = {.arena = tw_test_arena(state)};
    hand *h = hand_derived(out.arena);
    h->moving[0].frame = 47;
    h->moving[0].ease = h->moving[1].ease = 0;
    h->derived_delivery.shots++;
    h->derived_delivery.shot_count = 1;
    tw_report_vtt(&h->derived, 0, &out);
    tw_str text = tw_buf_str(&out);
    size_t at = 0;
    while (at < text.len && !tw_str_starts(tw_str_from(text, at), TW_STR("s1-2\n")))
        at++;
    tw_assert_text(tw_str_from(text, at), "s1-2\n"
                                          "00:00:04.004 --> 00:00:06.006\n"
                                          "002 B001 step to window 3735,720 2025x3600 (1.20x)\n");
}

TW_SUITE(vtt)
{
    const struct CMUnitTest tests[] = {TW_TEST(cues), TW_TEST(times_round_up), TW_TEST(too_short_to_tell),
                                       TW_TEST(steps)};
    return tw_run("report/vtt", tests);
}
