/* SPDX-License-Identifier: Apache-2.0 */
#include "edl_support.h"

/* W8, W9 and speeds that change. */
static void odd_speeds(void **state)
{
    static const struct {
        const char *name, *rate, *text, *expected;
    } rows[] = {
        {"W8 shorter source", "24",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "001  A003     V     C        01:00:00:00 01:00:02:00 10:00:00:00 10:00:04:00\n",
         "t.edl:3:30: warning TW1228: the source is 48 frames long and the record side 96, with no M2 speed to say "
         "why: "
         "shown at normal speed over the record length (the lengths would mean a speed of 0.500)\n"
         "  001  A003     V     C        01:00:00:00 01:00:02:00 10:00:00:00 10:00:04:00\n"
         "                               ^^^^^^^^^^^^^^^^^^^^^^^\n"},
        {"W8 no source length", "24",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "001  A003     V     C        01:00:00:00 01:00:00:00 10:00:00:00 10:00:04:00\n",
         "t.edl:3:30: warning TW1228: source in and out are the same, but event 001 is 96 frames long: shown from "
         "source in at normal speed\n"
         "  001  A003     V     C        01:00:00:00 01:00:00:00 10:00:00:00 10:00:04:00\n"
         "                               ^^^^^^^^^^^^^^^^^^^^^^^\n"},
        {"W9 another reel", "24",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "001  A003     V     C        01:00:00:00 01:00:04:00 10:00:00:00 10:00:02:00\n"
         "M2   B001           048.0                01:00:00:00\n",
         "t.edl:4:1: warning TW1229: this M2 line names reel B001 but the event above it A003: it is applied there\n"
         "  M2   B001           048.0                01:00:00:00\n"
         "  ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^\n"},
        {"W9 no speed", "24",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "001  A003     V     C        01:00:00:00 01:00:04:00 10:00:00:00 10:00:02:00\n"
         "M2   A003\n",
         "t.edl:4:1: warning TW1229: this M2 line holds no speed: it is kept but has no effect\n"
         "  M2   A003\n"
         "  ^^^^^^^^^\n"
         "t.edl:3:30: warning TW1228: the source is 96 frames long and the record side 48, with no M2 speed to say "
         "why: "
         "shown at normal speed over the record length (the lengths would mean a speed of 2.000)\n"
         "  001  A003     V     C        01:00:00:00 01:00:04:00 10:00:00:00 10:00:02:00\n"
         "                               ^^^^^^^^^^^^^^^^^^^^^^^\n"},
        {"a number too long for a speed", "24",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "001  A003     V     C        01:00:00:00 01:00:02:00 10:00:00:00 10:00:02:00\n"
         "M2   A003           22222222222222222222222222222222222222222 01:00:00:00\n"
         "* LOC: 10:00:01:00 RED HUB\n",
         "t.edl:4:1: warning TW1229: this M2 line holds no speed: it is kept but has no effect\n"
         "  M2   A003           22222222222222222222222222222222222222222 01:00:00:00\n"
         "  ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^\n"},
        {"W9 before the first event", "24",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "M2   A003           048.0                01:00:00:00\n"
         "001  A003     V     C        01:00:00:00 01:00:02:00 10:00:00:00 10:00:02:00\n",
         "t.edl:3:1: warning TW1229: this M2 line stands before the first event: it is passed over\n"
         "  M2   A003           048.0                01:00:00:00\n"
         "  ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^\n"},
        {"W9 span fits nothing", "24",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "001  A003     V     C        01:00:00:00 01:00:09:00 10:00:00:00 10:00:02:00\n"
         "M2   A003           048.0                01:00:00:00\n",
         "t.edl:3:30: warning TW1229: the source spans 216 frames, which fits neither the M2 speed 48.0 nor the record "
         "length 48: the speed is used\n"
         "  001  A003     V     C        01:00:00:00 01:00:09:00 10:00:00:00 10:00:02:00\n"
         "                               ^^^^^^^^^^^^^^^^^^^^^^^\n"},
        {"entered elsewhere", "24",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "001  A003     V     C        01:00:00:00 01:00:04:00 10:00:00:00 10:00:02:00\n"
         "M2   A003           048.0                01:00:01:00\n",
         "t.edl:4:1: warning TW1229: the time of this M2 line is not the source in of the event: the event is shown "
         "from "
         "its source in\n"
         "  M2   A003           048.0                01:00:01:00\n"
         "  ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^\n"},
        {"backwards below zero", "24", /* from frame 10 to 10 - 47 */
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "001  A003     V     C        00:00:00:10 00:00:02:10 10:00:00:00 10:00:02:00\n"
         "M2   A003          -024.0                00:00:00:10\n",
         "t.edl:3:30: warning TW1229: event 001 runs backwards from its source in and would be 37 frames below "
         "00:00:00:00 at its end: is source in its last frame?\n"
         "  001  A003     V     C        00:00:00:10 00:00:02:10 10:00:00:00 10:00:02:00\n"
         "                               ^^^^^^^^^^^^^^^^^^^^^^^\n"},
        {"two speeds", "24",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "001  A003     V     C        01:00:00:00 01:00:04:00 10:00:00:00 10:00:02:00\n"
         "M2   A003           048.0                01:00:00:00\n"
         "M2   A003           012.0                01:00:00:00\n",
         "t.edl:5:1: warning TW1240: the speed changes inside this event: that is kept but not evaluated, framing goes "
         "by a constant speed\n"
         "  M2   A003           012.0                01:00:00:00\n"
         "  ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^\n"},
        {"trigger", "24",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "001  A003     V     C        01:00:00:00 01:00:04:00 10:00:00:00 10:00:02:00\n"
         "M2   A003       048.0    MSTR  I    +00:00:01:00\n",
         "t.edl:4:1: warning TW1240: the speed changes inside this event: that is kept but not evaluated, framing goes "
         "by a constant speed\n"
         "  M2   A003       048.0    MSTR  I    +00:00:01:00\n"
         "  ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^\n"},
        {"variable data", "24",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "001  A003     V     C        01:00:00:00 01:00:02:00 10:00:00:00 10:00:02:00\n"
         "M2   A003       TRIG1                 01:00:00:00\n",
         "t.edl:4:1: warning TW1240: the speed changes inside this event: that is kept but not evaluated, framing goes "
         "by a constant speed\n"
         "  M2   A003       TRIG1                 01:00:00:00\n"
         "  ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^\n"},
        {"sound lengths are not compared", "24",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "001  A003     A     C        01:00:00:00 01:00:02:00 10:00:00:00 10:00:04:00\n",
         "t.edl: note TW1231: 1 audio-only line: kept, nothing in it is framed\n"
         "t.edl: warning TW1210: the list holds 0 video events\n"},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_row(i, rows[i].name);
        tw_assert_text(tw_str_z(edl_findings(tw_test_arena(state), rows[i].text, rows[i].rate)), rows[i].expected);
    }
}

/* The habits of writing a source out point (A to D of the survey); a speed is frames a second over the count. */
static void speeds(void **state)
{
    static const struct {
        const char *name, *rate, *text, *expected;
    } rows[] = {
        {"a reel of digits is no speed", "24",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "001  003      V     C        01:00:00:00 01:00:02:00 10:00:00:00 10:00:02:00\n"
         "M2   003      VARIABLE DATA\n"
         "002  004      V     C        01:00:00:00 01:00:02:00 10:00:02:00 10:00:04:00\n"
         "M2   004            TRIG1                01:00:00:00\n",
         "timeline name=\"WHEEL\" rate=24/1 start=36000\n"
         " track video name=\"V\"\n"
         "  clip #0 event=\"001\" reel=\"003\" record=36000+2 source=3600+2@24/1 variable-speed channels=1\n"
         "  clip #1 event=\"002\" reel=\"004\" record=36002+2 source=3600+2@24/1 variable-speed channels=1\n"},
        {"A: span as long as the speed says", "24",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "001  A003     V     C        01:00:00:00 01:00:04:00 10:00:00:00 10:00:02:00\n"
         "M2   A003           048.0                01:00:00:00\n",
         "timeline name=\"WHEEL\" rate=24/1 start=36000\n"
         " track video name=\"V\"\n"
         "  clip #0 event=\"001\" reel=\"A003\" record=36000+2 source=3600+4@24/1 speed=2.0 channels=1\n"},
        {"A: the span is finer than one decimal", "24",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "001  A003     V     C        01:00:00:00 01:00:20:05 10:00:00:00 10:00:10:00\n"
         "M2   A003           048.5                01:00:00:00\n",
         "timeline name=\"WHEEL\" rate=24/1 start=36000\n"
         " track video name=\"V\"\n"
         "  clip #0 event=\"001\" reel=\"A003\" record=36000+10 source=3600+485/24@24/1 speed=2.0208333333333335 "
         "channels=1\n"},
        {"B: span of the record length", "24",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "001  A003     V     C        01:00:00:00 01:00:02:00 10:00:00:00 10:00:02:00\n"
         "M2   A003           048.0                01:00:00:00\n",
         "timeline name=\"WHEEL\" rate=24/1 start=36000\n"
         " track video name=\"V\"\n"
         "  clip #0 event=\"001\" reel=\"A003\" record=36000+2 source=3600+2@24/1 speed=2.0 channels=1\n"},
        {"C: one frame of reverse", "24",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "001  A003     V     C        01:00:00:00 01:00:00:01 10:00:00:00 10:00:02:00\n"
         "M2   A003          -024.0                01:00:00:00\n",
         "timeline name=\"WHEEL\" rate=24/1 start=36000\n"
         " track video name=\"V\"\n"
         "  clip #0 event=\"001\" reel=\"A003\" record=36000+2 source=3600+1/24@24/1 speed=-1.0 channels=1\n"},
        {"backwards from the frame before the source out", "24", /* 01:00:01:23 is 3600 s + 47/24 */
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "001  A003     V     C        01:00:00:00 01:00:02:00 10:00:00:00 10:00:02:00\n"
         "M2   A003          -024.0                01:00:01:23\n",
         "timeline name=\"WHEEL\" rate=24/1 start=36000\n"
         " track video name=\"V\"\n"
         "  clip #0 event=\"001\" reel=\"A003\" record=36000+2 source=86447/24+2@24/1 speed=-1.0 channels=1\n"},
        {"freeze", "24",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "001  A003     V     C        01:00:00:00 01:00:00:01 10:00:00:00 10:00:02:00\n"
         "M2   A003           000.0                01:00:00:00\n",
         "timeline name=\"WHEEL\" rate=24/1 start=36000\n"
         " track video name=\"V\"\n"
         "  clip #0 event=\"001\" reel=\"A003\" record=36000+2 source=3600+1/24@24/1 speed=0.0 channels=1\n"},
        {"freeze by remark", "24",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "001  A003     V     C        01:00:00:00 01:00:00:01 10:00:00:00 10:00:02:00\n"
         "* * FREEZE FRAME\n",
         "timeline name=\"WHEEL\" rate=24/1 start=36000\n"
         " track video name=\"V\"\n"
         "  clip #0 event=\"001\" reel=\"A003\" record=36000+2 source=3600+1/24@24/1 speed=0.0 channels=1\n"
         "   remark * * FREEZE FRAME\n"},
        {"freeze by name", "24",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "001  A003     V     C        01:00:00:00 01:00:00:01 10:00:00:00 10:00:02:00\n"
         "* FROM CLIP NAME: HUB FF\n",
         "timeline name=\"WHEEL\" rate=24/1 start=36000\n"
         " track video name=\"V\"\n"
         "  clip #0 event=\"001\" name=\"HUB FF\" reel=\"A003\" record=36000+2 source=3600+1/24@24/1 speed=0.0 "
         "channels=1\n"
         "   remark * FROM CLIP NAME: HUB FF\n"},
        {"wide M2", "24",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "000001  A003C001_260114_R1XY             V     C        01:00:00:00 01:00:01:00 10:00:00:00 10:00:02:00\n"
         "M2      A003C001_260114_R1XY                      012.0 01:00:00:00\n",
         "timeline name=\"WHEEL\" rate=24/1 start=36000\n"
         " track video name=\"V\"\n"
         "  clip #0 event=\"000001\" reel=\"A003C001_260114_R1XY\" record=36000+2 source=3600+1@24/1 speed=0.5 "
         "channels=1\n"},
        {"four digits", "24",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "001  A003     V     C        01:00:00:00 01:01:00:00 10:00:00:00 10:00:00:10\n"
         "M2   A003           4215.6                01:00:00:00\n",
         "timeline name=\"WHEEL\" rate=24/1 start=36000\n"
         " track video name=\"V\"\n"
         "  clip #0 event=\"001\" reel=\"A003\" record=36000+5/12 source=3600+60@24/1 speed=175.65 channels=1\n"},
        {"two M2 below a pair", "24",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "001  A003     V     C        01:00:00:00 01:00:04:00 10:00:00:00 10:00:02:00\n"
         "001  B001     V     D    012 02:00:00:00 02:00:01:00 10:00:02:00 10:00:04:00\n"
         "M2   A003       048.0                01:00:00:00\n"
         "M2   B001       012.0                02:00:00:00\n",
         "timeline name=\"WHEEL\" rate=24/1 start=36000\n"
         " track video name=\"V\"\n"
         "  clip #0 event=\"001\" reel=\"A003\" record=36000+2 source=3600+4@24/1 speed=2.0 tail=1/2 channels=1\n"
         "  transition event=\"001\" name=\"dissolve\" record=36002+1/2 out=1/2 channels=1\n"
         "  clip #1 event=\"001\" reel=\"B001\" record=36002+2 source=7200+1@24/1 speed=0.5 channels=1\n"},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_row(i, rows[i].name);
        tw_assert_text(edl_dump(tw_test_arena(state), rows[i].text, rows[i].rate), rows[i].expected);
    }
}

TW_SUITE(edl_speed)
{
    const struct CMUnitTest tests[] = {TW_TEST(odd_speeds), TW_TEST(speeds)};
    return tw_run("edl/edl_speed", tests);
}
