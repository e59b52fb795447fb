/* SPDX-License-Identifier: Apache-2.0 */
#include "edl_support.h"

/* E3, E4, E5 and W16. */
static void refusals_and_other_counts(void **state)
{
    static const struct {
        const char *name, *rate, *text, *expected;
    } rows[] = {
        {"E3 record", "24",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "001  A003     V     C        01:00:00:00 01:00:02:00 10:00:00:24 10:00:02:00\n",
         "t.edl:3:63: error TW1203: record in 10:00:00:24 has frame number 24, but 24 frames make a second; the event "
         "is left out\n"
         "  ...1  A003     V     C        01:00:00:00 01:00:02:00 10:00:00:24 10:00:02:00\n"
         "                                                                 ^^\n"
         "  -> frame number 24 fits 25, 30, 48, 50, 60 frames a second: check --rate\n"},
        {"E3 source", "24",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "001  A003     V     C        01:00:00:29 01:00:02:00 10:00:00:00 10:00:09:00\n",
         "t.edl:3:39: error TW1203: source in 01:00:00:29 has frame number 29, but 24 frames make a second; the event "
         "is left out\n"
         "  001  A003     V     C        01:00:00:29 01:00:02:00 10:00:00:00 10:00:09:00\n"
         "                                        ^^\n"
         "  -> frame number 29 fits 30, 48, 50, 60 frames a second: check --rate\n"},
        {"E3 no rate reaches it", "60",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "001  A003     V     C        01:00:00:00 01:00:02:00 10:00:00:61 10:00:02:00\n",
         "t.edl:3:63: error TW1203: record in 10:00:00:61 has frame number 61, but 60 frames make a second; the event "
         "is left out\n"
         "  ...1  A003     V     C        01:00:00:00 01:00:02:00 10:00:00:61 10:00:02:00\n"
         "                                                                 ^^\n"
         "  -> no rate reaches frame number 61\n"},
        {"E4", "29.97df",
         "TITLE: WHEEL\n"
         "FCM: DROP FRAME\n"
         "001  A003     V     C        01:01:00:01 01:01:02:01 10:00:00:00 10:00:02:00\n",
         "t.edl:3:30: error TW1204: source in 01:01:00:01 does not exist in drop frame: that label is skipped at the "
         "start of the minute; the event is left out\n"
         "  001  A003     V     C        01:01:00:01 01:01:02:01 10:00:00:00 10:00:02:00\n"
         "                               ^^^^^^^^^^^\n"
         "  -> if the times are non-drop frame, mend the FCM line\n"},
        {"E4 at 59.94", "59.94df",
         "TITLE: WHEEL\n"
         "FCM: DROP FRAME\n"
         "001  A003     V     C        01:00:00:00 01:00:02:00 10:01:00:03 10:01:02:00\n",
         "t.edl:3:54: error TW1204: record in 10:01:00:03 does not exist in drop frame: that label is skipped at the "
         "start of the minute; the event is left out\n"
         "  001  A003     V     C        01:00:00:00 01:00:02:00 10:01:00:03 10:01:02:00\n"
         "                                                       ^^^^^^^^^^^\n"
         "  -> if the times are non-drop frame, mend the FCM line\n"},
        {"E5", "24",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "001  A003     V     C        01:00:00:00 01:00:02:00 10:00:02:00 10:00:00:00\n",
         "t.edl:3:54: error TW1205: record out lies 48 frames before record in; the event is left out\n"
         "  001  A003     V     C        01:00:00:00 01:00:02:00 10:00:02:00 10:00:00:00\n"
         "                                                       ^^^^^^^^^^^^^^^^^^^^^^^\n"},
        {"W16 one camera at 25", "24",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "001  A003     V     C        01:00:00:00 01:00:02:24 10:00:00:00 10:00:02:23\n"
         "002  B001     V     C        01:00:00:00 01:00:02:00 10:00:02:23 10:00:04:23\n",
         "t.edl:3:30: warning TW1236: the source of event 001 counts 25 frames a second, the list 24: read so\n"
         "  001  A003     V     C        01:00:00:00 01:00:02:24 10:00:00:00 10:00:02:23\n"
         "                               ^^^^^^^^^^^^^^^^^^^^^^^\n"},
        {"the outgoing side of a mix, as the line above", "24",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "001  A003     V     C        01:00:00:00 01:00:02:48 10:00:00:00 10:00:02:23\n"
         "002  A003     V     C        01:00:02:48 01:00:02:48 10:00:02:23 10:00:02:23\n"
         "002  B001     V     D    012 01:00:00:00 01:00:02:00 10:00:02:23 10:00:04:23\n",
         "t.edl:3:30: warning TW1236: the source of event 001 counts 50 frames a second, the list 24: read so\n"
         "  001  A003     V     C        01:00:00:00 01:00:02:48 10:00:00:00 10:00:02:23\n"
         "                               ^^^^^^^^^^^^^^^^^^^^^^^\n"
         "t.edl:4:30: warning TW1236: the source of event 002 counts 50 frames a second, the list 24: read so\n"
         "  002  A003     V     C        01:00:02:48 01:00:02:48 10:00:02:23 10:00:02:23\n"
         "                               ^^^^^^^^^^^^^^^^^^^^^^^\n"},
        {"the outgoing side of a mix, alone", "24",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "002  A003     V     C        01:00:02:34 01:00:02:34 10:00:02:23 10:00:02:23\n"
         "002  B001     V     D    012 01:00:00:00 01:00:02:00 10:00:02:23 10:00:04:23\n",
         "t.edl:3:30: warning TW1236: the source of event 002 counts 48 frames a second, the list 24: read so\n"
         "  002  A003     V     C        01:00:02:34 01:00:02:34 10:00:02:23 10:00:02:23\n"
         "                               ^^^^^^^^^^^^^^^^^^^^^^^\n"},
        {"W16 the nearest count, and of equal ones twice the list's", "30", /* 110 / 60 = 55 / 30; 90 of 50 is near */
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "001  A001     V     C        01:00:00:30 01:00:02:20 10:00:00:00 10:00:01:25\n"
         "002  A002     V     C        01:00:00:30 01:00:03:30 10:00:01:25 10:00:04:25\n",
         "t.edl:3:30: warning TW1236: the source of event 001 counts 60 frames a second, the list 30: read so\n"
         "  001  A001     V     C        01:00:00:30 01:00:02:20 10:00:00:00 10:00:01:25\n"
         "                               ^^^^^^^^^^^^^^^^^^^^^^^\n"
         "t.edl:4:30: warning TW1236: the source of event 002 counts 60 frames a second, the list 30: read so\n"
         "  002  A002     V     C        01:00:00:30 01:00:03:30 10:00:01:25 10:00:04:25\n"
         "                               ^^^^^^^^^^^^^^^^^^^^^^^\n"},
        {"midnight", "24",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "001  A003     V     C        23:59:59:00 00:00:01:00 23:59:58:00 00:00:00:00\n"
         "002  A003     V     C        01:00:00:00 01:00:02:00 00:00:00:00 00:00:02:00\n",
         ""},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_row(i, rows[i].name);
        tw_assert_text(tw_str_z(edl_findings(tw_test_arena(state), rows[i].text, rows[i].rate)), rows[i].expected);
    }
}

/* Labels of ST 12-1: 00:59;28 and 01:00;02 are two frames apart; a day has 86,400 seconds of labels. */
static void times(void **state)
{
    static const struct {
        const char *name, *rate, *text, *expected;
    } rows[] = {
        {"midnight", "24",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "001  A003     V     C        23:59:59:00 00:00:01:00 23:59:58:00 00:00:00:00\n"
         "002  A003     V     C        01:00:00:00 01:00:02:00 00:00:00:00 00:00:02:00\n",
         "timeline name=\"WHEEL\" rate=24/1 start=86398\n"
         " track video name=\"V\"\n"
         "  clip #0 event=\"001\" reel=\"A003\" record=86398+2 source=86399+2@24/1 channels=1\n"
         "  clip #1 event=\"002\" reel=\"A003\" record=86400+2 source=3600+2@24/1 channels=1\n"},
        {"drop", "29.97df",
         "TITLE: WHEEL\n"
         "FCM: DROP FRAME\n"
         "001  A003     V     C        01:00:59;28 01:01:00;02 10:00:00:00 10:00:00:02\n",
         "timeline name=\"WHEEL\" rate=30000/1001 drop start=8999991/250\n"
         " track video name=\"V\"\n"
         "  clip #0 event=\"001\" reel=\"A003\" record=8999991/250+1001/15000 "
         "source=10979969/3000+1001/15000@30000/1001 drop channels=1\n"},
        {"a source with ';' in a list without drop frame", "29.97", /* 108,000 - 108 and 1,080,000 frames */
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "001  A003     V     C        01:00:00;00 01:00:00;02 10:00:00:00 10:00:00:02\n",
         "timeline name=\"WHEEL\" rate=30000/1001 start=36036\n"
         " track video name=\"V\"\n"
         "  clip #0 event=\"001\" reel=\"A003\" record=36036+1001/15000 "
         "source=8999991/2500+1001/15000@30000/1001 drop channels=1\n"},
        {"one camera at 25", "24",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "001  A003     V     C        01:00:00:00 01:00:02:24 10:00:00:00 10:00:02:23\n"
         "002  B001     V     C        01:00:00:00 01:00:02:00 10:00:02:23 10:00:04:23\n",
         "timeline name=\"WHEEL\" rate=24/1 start=36000\n"
         " track video name=\"V\"\n"
         "  clip #0 event=\"001\" reel=\"A003\" record=36000+71/24 source=3600+74/25@25/1 channels=1\n"
         "  clip #1 event=\"002\" reel=\"B001\" record=864071/24+2 source=3600+2@24/1 channels=1\n"},
        {"one camera at 60 in a list over 1001",
         "29.97", /* 216,030 frames and 110 x 1001/60000 s = 55 x 1001/30000 s */
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "001  A003     V     C        01:00:00:30 01:00:02:20 10:00:00:00 10:00:01:25\n",
         "timeline name=\"WHEEL\" rate=30000/1001 start=36036\n"
         " track video name=\"V\"\n"
         "  clip #0 event=\"001\" reel=\"A003\" record=36036+11011/6000 source=7208201/2000+11011/6000@60000/1001 "
         "channels=1\n"},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_row(i, rows[i].name);
        tw_assert_text(edl_dump(tw_test_arena(state), rows[i].text, rows[i].rate), rows[i].expected);
    }
}

TW_SUITE(edl_time)
{
    const struct CMUnitTest tests[] = {TW_TEST(refusals_and_other_counts), TW_TEST(times)};
    return tw_run("edl/edl_time", tests);
}
