/* SPDX-License-Identifier: Apache-2.0 */
#include "edl_support.h"

/* W3, W4, W5, W11 to W14 and E10. */
static void findings_of_the_whole_list(void **state)
{
    static const struct {
        const char *name, *rate, *text, *expected;
    } rows[] = {
        {"W3", "24",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "001  A003     V     C        01:00:00:00 01:00:02:00 10:00:00:00 10:00:02:00\n"
         "002  B001     V     C        02:00:00:00 02:00:02:00 10:00:01:00 10:00:03:00\n",
         "t.edl:4:54: warning TW1223: event 002 (line 4) begins 24 frames before event 001 (line 3) ends: both are "
         "kept as written\n"
         "  002  B001     V     C        02:00:00:00 02:00:02:00 10:00:01:00 10:00:03:00\n"
         "                                                       ^^^^^^^^^^^\n"},
        {"W4", "24",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "001  A003     V     C        01:00:00:00 01:00:02:00 10:00:00:00 10:00:02:00\n"
         "002  B001     V     C        02:00:00:00 02:00:02:00 10:00:02:01 10:00:04:01\n",
         "t.edl:4:54: warning TW1224: record time is empty for 1 frame between event 001 and event 002: kept as a gap\n"
         "  002  B001     V     C        02:00:00:00 02:00:02:00 10:00:02:01 10:00:04:01\n"
         "                                                       ^^^^^^^^^^^\n"},
        {"W4 many", "24",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "001  A003     V     C        01:00:00:00 01:00:01:00 00:00:00:00 00:00:01:00\n"
         "002  A003     V     C        01:00:00:00 01:00:01:00 00:00:02:01 00:00:03:01\n"
         "003  A003     V     C        01:00:00:00 01:00:01:00 00:00:04:00 00:00:05:00\n"
         "004  A003     V     C        01:00:00:00 01:00:01:00 00:00:06:01 00:00:07:01\n"
         "005  A003     V     C        01:00:00:00 01:00:01:00 00:00:08:00 00:00:09:00\n"
         "006  A003     V     C        01:00:00:00 01:00:01:00 00:00:10:01 00:00:11:01\n",
         "t.edl:4:54: warning TW1224: record time is empty in 5 places, 121 frames in all: kept as gaps; the first is "
         "25 frames between event 001 and event 002\n"
         "  002  A003     V     C        01:00:00:00 01:00:01:00 00:00:02:01 00:00:03:01\n"
         "                                                       ^^^^^^^^^^^\n"},
        {"W4 inclusive outs of three events", "24",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "001  A003     V     C        01:00:00:00 01:00:00:23 00:00:00:00 00:00:00:23\n"
         "002  A003     V     C        01:00:00:00 01:00:00:23 00:00:01:00 00:00:01:23\n"
         "003  A003     V     C        01:00:00:00 01:00:00:23 00:00:02:00 00:00:02:23\n",
         "t.edl:4:54: warning TW1224: every join leaves exactly one frame empty: the writer seems to have written "
         "inclusive out points; the times are read as written\n"
         "  002  A003     V     C        01:00:00:00 01:00:00:23 00:00:01:00 00:00:01:23\n"
         "                                                       ^^^^^^^^^^^\n"
         "  -> have the list written again with exclusive out points\n"},
        {"W4 inclusive outs", "24",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "001  A003     V     C        01:00:00:00 01:00:00:23 00:00:00:00 00:00:00:23\n"
         "002  A003     V     C        01:00:00:00 01:00:00:23 00:00:01:00 00:00:01:23\n"
         "003  A003     V     C        01:00:00:00 01:00:00:23 00:00:02:00 00:00:02:23\n"
         "004  A003     V     C        01:00:00:00 01:00:00:23 00:00:03:00 00:00:03:23\n"
         "005  A003     V     C        01:00:00:00 01:00:00:23 00:00:04:00 00:00:04:23\n"
         "006  A003     V     C        01:00:00:00 01:00:00:23 00:00:05:00 00:00:05:23\n",
         "t.edl:4:54: warning TW1224: every join leaves exactly one frame empty: the writer seems to have written "
         "inclusive out points; the times are read as written\n"
         "  002  A003     V     C        01:00:00:00 01:00:00:23 00:00:01:00 00:00:01:23\n"
         "                                                       ^^^^^^^^^^^\n"
         "  -> have the list written again with exclusive out points\n"},
        {"W5", "24",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "001  A003     V     C        01:00:00:00 01:00:02:00 10:00:00:00 10:00:02:00\n"
         "005  B001     V     C        02:00:00:00 02:00:02:00 10:00:02:00 10:00:04:00\n"
         "003  B001     V     C        02:00:02:00 02:00:04:00 10:00:04:00 10:00:06:00\n"
         "001  B001     V     C        02:00:02:00 02:00:04:00 10:00:06:00 10:00:08:00\n",
         "t.edl:5:1: warning TW1225: event numbers go down here: the order of record times is used\n"
         "  003  B001     V     C        02:00:02:00 02:00:04:00 10:00:04:00 10:00:06:00\n"
         "  ^^^\n"
         "t.edl:6:1: warning TW1225: event numbers are used again here: lines are told apart by their place\n"
         "  001  B001     V     C        02:00:02:00 02:00:04:00 10:00:06:00 10:00:08:00\n"
         "  ^^^\n"},
        {"W11", "24",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "001  A003     V     C        01:00:00:00 01:00:02:00 10:00:00:00 10:00:02:00\n"
         "002  A003     AA    C        01:00:00:00 01:00:02:00 10:00:00:00 10:00:02:00\n"
         "003  A003     NONE  C        01:00:00:00 01:00:02:00 10:00:00:00 10:00:02:00\n",
         "t.edl: note TW1231: 1 audio-only line: kept, nothing in it is framed\n"
         "t.edl: note TW1231: 1 line with channel NONE and no AUD line below: nothing is cut there\n"},
        {"W12", "24",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "001  A003     V     C        01:00:00:00 01:00:02:00 10:00:00:00 10:00:02:00\n"
         "SOMETHING ELSE\n"
         "AND MORE\n",
         "t.edl:4:1: warning TW1232: this statement and 1 more are not known: they are kept as they are\n"
         "  SOMETHING ELSE\n"
         "  ^^^^^^^^^^^^^^\n"},
        {"W13 colour", "24",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "001  A003     V     C        01:00:00:00 01:00:02:00 10:00:00:00 10:00:02:00\n"
         "*ASC_SOP (1.1 1.0 0.9)(0.0 -0.01 0.0)(1.0 0.0 1.0)\n"
         "*ASC_SAT -1\n",
         "t.edl:4:1: warning TW1233: the ASC colour values are not sound (a power is not above 0): kept as written\n"
         "  *ASC_SOP (1.1 1.0 0.9)(0.0 -0.01 0.0)(1.0 0.0 1.0)\n"
         "  ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^\n"
         "t.edl:5:1: warning TW1233: the ASC colour values are not sound (the saturation is below 0): kept as written\n"
         "  *ASC_SAT -1\n"
         "  ^^^^^^^^^^^\n"},
        {"W13 marker", "24",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "001  A003     V     C        01:00:00:00 01:00:02:00 10:00:00:00 10:00:02:00\n"
         "* LOC: 05:00:00:00 GREEN   SPOKE KEY\n"
         "* LOC: NOON RED\n",
         "t.edl:4:1: warning TW1233: the marker's time lies neither in the record nor in the source range of event "
         "001: it is put on the timeline\n"
         "  * LOC: 05:00:00:00 GREEN   SPOKE KEY\n"
         "  ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^\n"
         "t.edl:5:1: warning TW1233: the time of this marker cannot be read: it is kept as a remark\n"
         "  * LOC: NOON RED\n"
         "  ^^^^^^^^^^^^^^^\n"},
        {"W14", "24",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "001  A003     V     C        01:00:00:00 01:00:02:00 10:00:00:00 10:00:02:00\n"
         "* SOURCE FILE: A003_C001\n"
         "002  A003     V     C        02:00:00:00 02:00:02:00 10:00:02:00 10:00:04:00\n"
         "* SOURCE FILE: A003_C002\n",
         "t.edl:5:6: warning TW1234: 1 reel name stands for several source files, as A003 here: sources are told apart "
         "by SOURCE FILE\n"
         "  002  A003     V     C        02:00:00:00 02:00:02:00 10:00:02:00 10:00:04:00\n"
         "       ^^^^\n"},
        {"W14 another reel", "24",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "001  A003C001 V     C        01:00:00:00 01:00:02:00 10:00:00:00 10:00:02:00\n"
         "* REEL: A003_C002_260114\n",
         "t.edl:3:6: warning TW1234: the REEL remark of event 001 names A003_C002_260114, another reel: the one in the "
         "column counts\n"
         "  001  A003C001 V     C        01:00:00:00 01:00:02:00 10:00:00:00 10:00:02:00\n"
         "       ^^^^^^^^\n"},
        {"W14 no reel", "24",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "001           V     C        01:00:00:00 01:00:02:00 10:00:00:00 10:00:02:00\n",
         "t.edl:3:1: warning TW1234: event 001 has no reel name\n"
         "  001           V     C        01:00:00:00 01:00:02:00 10:00:00:00 10:00:02:00\n"
         "  ^^^\n"},
        {"no length", "24",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "001  A003     V     C        01:00:00:00 01:00:02:00 10:00:00:00 10:00:02:00\n"
         "002  A003     V     C        01:00:02:00 01:00:02:00 10:00:02:00 10:00:02:00\n",
         "t.edl:4:54: warning TW1239: event 002 has no record length: it shows nothing\n"
         "  002  A003     V     C        01:00:02:00 01:00:02:00 10:00:02:00 10:00:02:00\n"
         "                                                       ^^^^^^^^^^^\n"},
        {"E10: only sound", "24",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "001  A003     A     C        01:00:00:00 01:00:02:00 10:00:00:00 10:00:02:00\n",
         "t.edl: note TW1231: 1 audio-only line: kept, nothing in it is framed\n"
         "t.edl: warning TW1210: the list holds 0 video events\n"},
        {"E10: only notes", "", "* NOTHING HERE YET\n", "t.edl: warning TW1210: the list holds 0 video events\n"},
        {"E10: nothing", "", "\n",
         "t.edl: error TW1209: there is nothing in this file\n"
         "  -> save the list as plain text, or check that the right file was named\n"},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_row(i, rows[i].name);
        tw_assert_text(tw_str_z(edl_findings(tw_test_arena(state), rows[i].text, rows[i].rate)), rows[i].expected);
    }
}

TW_SUITE(edl_check)
{
    const struct CMUnitTest tests[] = {TW_TEST(findings_of_the_whole_list)};
    return tw_run("edl/edl_check", tests);
}
