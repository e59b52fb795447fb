/* SPDX-License-Identifier: Apache-2.0 */
#include "edl_support.h"

#define SIXTY_TO_THIRTY                                                                                                \
    "TITLE: WHEEL\n"                                                                                                   \
    "FCM: NON-DROP FRAME\n"                                                                                            \
    "001  A001     V     C        01:00:00:58 01:00:02:58 01:00:00:00 01:00:02:00\n"                                   \
    "002  A002     V     C        01:00:00:30 01:00:01:44 01:00:02:00 01:00:03:07\n"                                   \
    "003  A003     V     C        01:00:00:30 01:00:03:30 01:00:03:07 01:00:06:07\n"                                   \
    "004  A004     V     C        01:00:00:30 01:00:02:20 01:00:06:07 01:00:08:02\n"

/* Evidence of frame numbers and lengths, W1, W2, W16. */
static void choices(void **state)
{
    static const struct {
        const char *name, *rate, *text, *expected;
    } rows[] = {
        {"lengths decide", "",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "001  A003     V     C        01:00:00:13 01:00:02:03 00:00:00:00 00:00:01:15\n"
         "002  A003     V     C        01:00:02:00 01:00:03:15 00:00:01:15 00:00:03:05\n"
         "003  A003     V     C        01:00:03:12 01:00:05:02 00:00:03:05 00:00:04:20\n",
         "t.edl: warning TW1220: the list states no rate: read at 25, where 3 of 3 source and record lengths agree (at "
         "24 "
         "only 0)\n"},
        {"a list that changes its mode", "",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "001  A003     V     C        01:00:59:28 01:01:00:02 01:00:00:00 01:00:00:04\n"
         "FCM: DROP FRAME\n"
         "002  B001     V     C        01:00:59:28 01:01:00:04 01:00:00:04 01:00:00:08\n"
         "FCM: NON-DROP FRAME\n"
         "003  A004     V     C        02:00:59:20 02:01:00:20 01:00:00:08 01:00:01:08\n",
         "t.edl:4:1: warning TW1238: the frame code mode changes to drop frame here: read as the mode of the sources "
         "that follow\n"
         "  FCM: DROP FRAME\n"
         "  ^^^^^^^^^^^^^^^\n"
         "t.edl:6:1: warning TW1238: the frame code mode changes to non-drop frame here: read as the mode of the "
         "sources that follow\n"
         "  FCM: NON-DROP FRAME\n"
         "  ^^^^^^^^^^^^^^^^^^^\n"
         "t.edl: warning TW1220: the list states no rate: read at 29.97, where 3 of 3 source and record lengths agree "
         "(at "
         "48 only 1)\n"},
        {"source 24, record 30", "",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "001  A003     V     C        01:00:00:05 01:00:05:05 00:00:00:00 00:00:05:00\n"
         "002  A003     V     C        01:00:11:12 01:00:15:08 00:00:05:00 00:00:08:25\n"
         "003  A003     V     C        01:00:22:19 01:00:25:11 00:00:10:00 00:00:12:20\n"
         "004  A003     V     C        01:00:34:02 01:00:35:14 00:00:15:00 00:00:16:15\n",
         "t.edl: warning TW1236: sources count 24 frames and the record side 30: so read, 4 of 4 lengths agree\n"
         "t.edl:5:54: warning TW1224: record time is empty for 35 frames between event 002 and event 003: kept as a "
         "gap\n"
         "  003  A003     V     C        01:00:22:19 01:00:25:11 00:00:10:00 00:00:12:20\n"
         "                                                       ^^^^^^^^^^^\n"
         "t.edl:6:54: warning TW1224: record time is empty for 70 frames between event 003 and event 004: kept as a "
         "gap\n"
         "  004  A003     V     C        01:00:34:02 01:00:35:14 00:00:15:00 00:00:16:15\n"
         "                                                       ^^^^^^^^^^^\n"},
        {"source 24, record given", "30",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "001  A003     V     C        01:00:00:05 01:00:05:05 00:00:00:00 00:00:05:00\n"
         "002  A003     V     C        01:00:11:12 01:00:15:08 00:00:05:00 00:00:08:25\n"
         "003  A003     V     C        01:00:22:19 01:00:25:11 00:00:10:00 00:00:12:20\n"
         "004  A003     V     C        01:00:34:02 01:00:35:14 00:00:15:00 00:00:16:15\n",
         "t.edl: warning TW1236: sources count 24 frames and the record side 30: so read, 4 of 4 lengths agree\n"
         "t.edl:5:54: warning TW1224: record time is empty for 35 frames between event 002 and event 003: kept as a "
         "gap\n"
         "  003  A003     V     C        01:00:22:19 01:00:25:11 00:00:10:00 00:00:12:20\n"
         "                                                       ^^^^^^^^^^^\n"
         "t.edl:6:54: warning TW1224: record time is empty for 70 frames between event 003 and event 004: kept as a "
         "gap\n"
         "  004  A003     V     C        01:00:34:02 01:00:35:14 00:00:15:00 00:00:16:15\n"
         "                                                       ^^^^^^^^^^^\n"},
        {"one slip does not decide", "",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "001  A003     V     C        01:00:00:13 01:00:02:05 00:00:00:00 00:00:01:16\n"
         "002  A003     V     C        01:00:02:02 01:00:03:18 00:00:01:16 00:00:03:08\n"
         "003  A003     V     C        01:00:03:15 01:00:05:07 00:00:03:08 00:00:05:00\n"
         "004  A003     V     C        01:00:05:04 01:00:06:20 00:00:05:00 00:00:06:16\n"
         "005  A003     V     C        01:00:06:17 01:00:08:09 00:00:06:16 00:00:08:08\n"
         "006  A003     V     C        01:00:08:06 01:00:09:22 00:00:08:08 00:00:10:00\n"
         "007  A003     V     C        01:00:09:19 01:00:11:11 00:00:10:00 00:00:11:16\n"
         "008  A003     V     C        01:00:11:08 01:00:13:00 00:00:11:16 00:00:13:08\n"
         "009  A003     V     C        01:00:12:21 01:00:14:13 00:00:13:08 00:00:15:00\n"
         "010  A003     V     C        01:00:14:10 01:00:16:02 00:00:15:00 00:00:16:16\n"
         "011  A003     V     C        01:00:15:23 01:00:17:15 00:00:16:16 00:00:18:08\n"
         "012  A003     V     C        01:00:17:12 01:00:19:04 00:00:18:08 00:00:20:00\n"
         "013  A003     V     C        01:00:19:01 01:00:20:17 00:00:20:00 00:00:21:16\n"
         "014  A003     V     C        01:00:20:14 01:00:22:06 00:00:21:16 00:00:23:08\n"
         "015  A003     V     C        01:00:22:03 01:00:23:19 00:00:23:08 00:00:25:00\n"
         "016  A003     V     C        01:00:23:16 01:00:25:08 00:00:25:00 00:00:26:16\n"
         "017  A003     V     C        01:00:25:05 01:00:26:21 00:00:26:16 00:00:28:08\n"
         "018  A003     V     C        01:00:26:18 01:00:28:10 00:00:28:08 00:00:30:00\n"
         "019  A003     V     C        01:00:28:07 01:00:29:23 00:00:30:00 00:00:31:16\n"
         "020  A003     V     C        01:00:29:20 01:00:31:12 00:00:31:16 00:00:33:08\n"
         "021  A003     V     C        01:00:31:09 01:00:33:01 00:00:33:08 00:00:35:00\n"
         "022  A003     V     C        01:00:32:22 01:00:34:14 00:00:35:00 00:00:36:16\n"
         "023  A003     V     C        01:00:34:11 01:00:36:03 00:00:36:16 00:00:38:08\n"
         "024  A003     V     C        01:00:36:00 01:00:37:16 00:00:38:08 00:00:40:00\n"
         "025  A003     V     C        01:00:37:13 01:00:39:05 00:00:40:00 00:00:41:16\n"
         "026  A003     V     C        01:00:39:02 01:00:40:18 00:00:41:16 00:00:43:08\n"
         "027  A003     V     C        01:00:40:15 01:00:42:07 00:00:43:08 00:00:45:00\n"
         "028  A003     V     C        01:00:42:04 01:00:43:20 00:00:45:00 00:00:46:16\n"
         "029  A003     V     C        01:00:43:17 01:00:45:09 00:00:46:16 00:00:48:08\n"
         "030  A003     V     C        01:00:45:06 01:00:46:22 00:00:48:08 00:00:50:00\n"
         "031  A003     V     C        01:00:00:00 01:00:01:00 00:00:50:00 00:00:51:27\n",
         "t.edl: warning TW1220: the list states no rate: read at 24, where 30 of 31 source and record lengths agree "
         "(at "
         "30 only 17)\n"
         "  -> frame numbers look the same at 23.976: say --rate 23.976 if the edit runs at that\n"
         "t.edl:33:75: error TW1203: record out 00:00:51:27 has frame number 27, but 24 frames make a second; the "
         "event is left out\n"
         "  ...V     C        01:00:00:00 01:00:01:00 00:00:50:00 00:00:51:27\n"
         "                                                                 ^^\n"
         "  -> frame number 27 fits 30, 48, 50, 60 frames a second: check --rate\n"},
        {"nothing decides", "",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "001  A003     V     C        01:00:00:00 01:00:02:00 10:00:00:00 10:00:02:00\n",
         "t.edl: warning TW1221: the list states no rate and nothing in it decides between 24, 25, 30, 48, 50, 60: "
         "read at 24, which may be wrong\n"
         "  -> say --rate 24, or what the edit was made at\n"},
        {"drop frame speaks for 30", "",
         "TITLE: WHEEL\n"
         "FCM: DROP FRAME\n"
         "001  A003     V     C        01:00:00:00 01:00:02:00 10:00:00:00 10:00:02:00\n",
         "t.edl: warning TW1221: the list states no rate and nothing in it decides between 24, 25, 29.97, 48, 50, "
         "59.94: read at 29.97, which may be wrong\n"
         "  -> say --rate 29.97, or what the edit was made at\n"},
        {"times with semicolons", "",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "001  A003     V     C        01:00:00:00 01:00:02:00 10:00:00;00 10:00:02;00\n",
         "t.edl: warning TW1221: the list states no rate and nothing in it decides between 29.97, 59.94: read at "
         "29.97, "
         "which may be wrong\n"
         "  -> say --rate 29.97, or what the edit was made at\n"
         "t.edl:2:1: warning TW1222: the FCM line says non-drop frame but 2 record times are written with ';': read as "
         "drop frame\n"
         "  FCM: NON-DROP FRAME\n"
         "  ^^^^^^^^^^^^^^^^^^^\n"},
        {"speeds decide",
         "", /* 50 x 12.5 / 25 = 25 and 50 x 50 / 25 = 100; at 24 they would be 25 of 24 and 100 of 96 */
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "001  A003     V     C        10:00:20:00 10:00:21:00 01:00:00:00 01:00:02:00\n"
         "M2   A003           012.5                10:00:20:00\n"
         "002  A004     V     C        10:00:20:00 10:00:24:00 01:00:02:00 01:00:04:00\n"
         "M2   A004           050.0                10:00:20:00\n",
         "t.edl: warning TW1220: the list states no rate: read at 25, where 2 of 2 source and record lengths agree (at "
         "24 only 0)\n"},
        {"only 60 reaches", "",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "001  A003     V     C        01:00:00:00 01:00:02:51 10:00:00:00 10:00:02:51\n",
         "t.edl: warning TW1220: the list states no rate: read at 60, since the largest frame number in 2 record times "
         "is "
         "51\n"
         "  -> frame numbers look the same at 59.94: say --rate 59.94 if the edit runs at that\n"},
        {"a source side of 60 to 30", "", /* 74 / 2 = 37 and 110 / 2 = 55 frames; the other two fit any count */
         SIXTY_TO_THIRTY,
         "t.edl: warning TW1236: sources count 60 frames and the record side 30: so read, 4 of 4 lengths agree\n"},
        {"the same, the record side given", "30", SIXTY_TO_THIRTY,
         "t.edl: warning TW1236: sources count 60 frames and the record side 30: so read, 4 of 4 lengths agree\n"},
        {"twice the record count, whichever that is", "", /* 44 - 30 = 2 x 7 frames more than a second at any count */
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "001  A001     V     C        01:00:00:46 01:00:02:46 01:00:00:00 01:00:02:00\n"
         "002  A002     V     C        01:00:00:30 01:00:01:44 01:00:02:00 01:00:03:07\n"
         "003  A003     V     C        01:00:00:30 01:00:03:30 01:00:03:07 01:00:06:07\n",
         "t.edl: warning TW1236: sources count 48 frames and the record side 24: so read, 3 of 3 lengths agree\n"
         "  -> as many agree where the record side counts 25, 30: say --rate if it does\n"},
        {"some sources of 30 to 25", "25", /* 27 frames at 25 both sides; 34 of 30 are 28.3 of 25, 24 are 20 */
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "001  A001     V     C        01:00:00:00 01:00:02:00 01:00:00:00 01:00:02:00\n"
         "002  A003     V     C        01:00:07:22 01:00:08:24 01:00:02:00 01:00:03:02\n"
         "003  C007     V     C        00:50:01:27 00:50:03:01 01:00:03:02 01:00:04:05\n"
         "004  B001     V     C        00:50:02:26 00:50:03:20 01:00:04:05 01:00:05:00\n",
         "t.edl:5:30: warning TW1236: the source of event 003 counts 30 frames a second, the list 25: read so\n"
         "  003  C007     V     C        00:50:01:27 00:50:03:01 01:00:03:02 01:00:04:05\n"
         "                               ^^^^^^^^^^^^^^^^^^^^^^^\n"
         "t.edl:6:30: warning TW1236: the source of event 004 counts 30 frames a second, the list 25: read so\n"
         "  004  B001     V     C        00:50:02:26 00:50:03:20 01:00:04:05 01:00:05:00\n"
         "                               ^^^^^^^^^^^^^^^^^^^^^^^\n"},
        {"a mix needs its second", "",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "001  A001     V     C        01:00:00:00 01:00:04:00 01:00:00:00 01:00:04:00\n"
         "002  A001     V     C        01:00:04:00 01:00:04:00 01:00:04:00 01:00:04:00\n"
         "002  BL       V     D    025 00:00:00:00 00:00:01:00 01:00:04:00 01:00:05:00\n",
         "t.edl: warning TW1221: the list states no rate and nothing in it decides between 25, 30, 48, 50, 60: read at "
         "25, which may be wrong\n"
         "  -> say --rate 25, or what the edit was made at\n"},
        {"a mix too long at any rate does not decide", "",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "001  A001     V     C        01:00:00:00 01:00:04:00 01:00:00:00 01:00:04:00\n"
         "002  A001     V     C        01:00:04:00 01:00:04:00 01:00:04:00 01:00:04:00\n"
         "002  BL       V     D    061 00:00:00:00 00:00:01:00 01:00:04:00 01:00:05:00\n",
         "t.edl: warning TW1221: the list states no rate and nothing in it decides between 24, 25, 30, 48, 50, 60: "
         "read at 24, which may be wrong\n"
         "  -> say --rate 24, or what the edit was made at\n"
         "t.edl:5:21: error TW1207: the transition takes 61 frames but event 002 is only 24 long; the event is left "
         "out\n"
         "  002  BL       V     D    061 00:00:00:00 00:00:01:00 01:00:04:00 01:00:05:00\n"
         "                      ^^^^^^^^\n"
         "  -> lengthen the event or shorten the transition\n"},
        {"a mix too long against lengths that agree", "", /* 40 frames each at 25, 38 and 39 at 24 */
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "001  A003     V     C        01:00:00:13 01:00:02:03 00:00:00:00 00:00:01:15\n"
         "002  A003     V     C        01:00:02:03 01:00:02:03 00:00:01:15 00:00:01:15\n"
         "002  B001     V     D    030 01:00:00:00 01:00:01:00 00:00:01:15 00:00:02:15\n",
         "t.edl: warning TW1220: the list states no rate: read at 25, where 2 of 2 source and record lengths agree (at "
         "30 only 1)\n"
         "t.edl:5:21: error TW1207: the transition takes 30 frames but event 002 is only 25 long; the event is left "
         "out\n"
         "  002  B001     V     D    030 01:00:00:00 01:00:01:00 00:00:01:15 00:00:02:15\n"
         "                      ^^^^^^^^\n"
         "  -> lengthen the event or shorten the transition; 30 frames a second would do: check --rate\n"},
        {"labels that drop frame leaves out", "",
         "TITLE: WHEEL\n"
         "FCM: DROP FRAME\n"
         "001  A001     V     C        01:01:00:00 01:02:00:24 01:01:00:00 01:02:00:24\n"
         "002  A001     V     C        01:02:00:00 01:02:01:00 01:02:00:24 01:02:01:24\n",
         "t.edl: warning TW1221: the list states no rate and nothing in it decides between 25, 48, 50: read at 25, "
         "which may be wrong\n"
         "  -> say --rate 25, or what the edit was made at\n"
         "t.edl:2:1: warning TW1222: drop frame has no meaning at 25: it is passed over\n"
         "  FCM: DROP FRAME\n"
         "  ^^^^^^^^^^^^^^^\n"},
        {"one such label where 25 does not reach", "",
         "TITLE: WHEEL\n"
         "FCM: DROP FRAME\n"
         "001  A001     V     C        01:01:00:00 01:01:00:29 01:01:00:02 01:01:01:01\n",
         "t.edl: warning TW1220: the list states no rate: read at 29.97, where 1 of 1 source and record lengths agree "
         "(at 48 only 0)\n"
         "t.edl:3:30: error TW1204: source in 01:01:00:00 does not exist in drop frame: that label is skipped at the "
         "start of the minute; the event is left out\n"
         "  001  A001     V     C        01:01:00:00 01:01:00:29 01:01:00:02 01:01:01:01\n"
         "                               ^^^^^^^^^^^\n"
         "  -> if the times are non-drop frame, mend the FCM line\n"},
        {"a source time tells", "",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "001  A001     V     C        01:00:00:59 01:00:02:59 01:00:00:00 01:00:02:00\n",
         "t.edl: warning TW1220: the list states no rate: read at 60, since the largest frame number in 2 source times "
         "is 59\n"
         "  -> frame numbers look the same at 59.94: say --rate 59.94 if the edit runs at that\n"},
        {"given", "25",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "001  A003     V     C        01:00:00:00 01:00:02:00 10:00:00:00 10:00:02:00\n",
         ""},
        {"no FCM at 30", "30",
         "TITLE: WHEEL\n"
         "001  A003     V     C        01:00:00:00 01:00:02:00 10:00:00:00 10:00:02:00\n",
         "t.edl: warning TW1222: the list has no FCM line: times at 30 are read as non-drop frame\n"},
        {"no FCM at 24", "24",
         "TITLE: WHEEL\n"
         "001  A003     V     C        01:00:00:00 01:00:02:00 10:00:00:00 10:00:02:00\n",
         "t.edl: note TW1242: the list has no FCM line; at 24 that makes no difference\n"},
        {"no FCM, semicolons", "29.97",
         "TITLE: WHEEL\n"
         "001  A003     V     C        01:00:00:00 01:00:02:00 10:00:00:00 10:00:02;00\n",
         "t.edl: warning TW1222: the list has no FCM line: read as drop frame, since its times are written with ';'\n"},
        {"DROP at 24", "24",
         "TITLE: WHEEL\n"
         "FCM: DROP FRAME\n"
         "001  A003     V     C        01:00:00:00 01:00:02:00 10:00:00:00 10:00:02:00\n",
         "t.edl:2:1: warning TW1222: drop frame has no meaning at 24: it is passed over\n"
         "  FCM: DROP FRAME\n"
         "  ^^^^^^^^^^^^^^^\n"},
        {"asked for drop", "29.97df",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "001  A003     V     C        01:00:00:00 01:00:02:00 10:00:00:00 10:00:02:00\n",
         "t.edl:2:1: warning TW1222: the FCM line says non-drop frame: read as drop frame as asked\n"
         "  FCM: NON-DROP FRAME\n"
         "  ^^^^^^^^^^^^^^^^^^^\n"},
        {"FCM nonsense", "24",
         "TITLE: WHEEL\n"
         "FCM: SOMETIMES\n"
         "001  A003     V     C        01:00:00:00 01:00:02:00 10:00:00:00 10:00:02:00\n",
         "t.edl:2:1: warning TW1222: \"SOMETIMES\" is neither DROP FRAME nor NON-DROP FRAME; it is passed over\n"
         "  FCM: SOMETIMES\n"
         "  ^^^^^^^^^^^^^^\n"
         "t.edl: note TW1242: the list has no FCM line; at 24 that makes no difference\n"},
        {"no event", "",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n",
         "t.edl: warning TW1210: the list holds 0 video events\n"},
        {"largest frame number of many", "",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "001  A003     A     C        01:00:00:00 01:00:00:00 00:00:00:00 00:00:00:00\n"
         "002  A003     A     C        01:00:04:04 01:00:04:04 00:00:01:07 00:00:01:07\n"
         "003  A003     A     C        01:00:08:08 01:00:08:08 00:00:02:14 00:00:02:14\n"
         "004  A003     A     C        01:00:12:12 01:00:12:12 00:00:03:21 00:00:03:21\n"
         "005  A003     A     C        01:00:16:16 01:00:16:16 00:00:05:04 00:00:05:04\n"
         "006  A003     A     C        01:00:20:20 01:00:20:20 00:00:06:11 00:00:06:11\n"
         "007  A003     A     C        01:00:25:00 01:00:25:00 00:00:07:18 00:00:07:18\n"
         "008  A003     A     C        01:00:29:04 01:00:29:04 00:00:09:01 00:00:09:01\n"
         "009  A003     A     C        01:00:33:08 01:00:33:08 00:00:10:08 00:00:10:08\n"
         "010  A003     A     C        01:00:37:12 01:00:37:12 00:00:11:15 00:00:11:15\n"
         "011  A003     A     C        01:00:41:16 01:00:41:16 00:00:12:22 00:00:12:22\n"
         "012  A003     A     C        01:00:45:20 01:00:45:20 00:00:14:05 00:00:14:05\n"
         "013  A003     A     C        01:00:50:00 01:00:50:00 00:00:15:12 00:00:15:12\n"
         "014  A003     A     C        01:00:54:04 01:00:54:04 00:00:16:19 00:00:16:19\n"
         "015  A003     A     C        01:00:58:08 01:00:58:08 00:00:18:02 00:00:18:02\n"
         "016  A003     A     C        01:01:02:12 01:01:02:12 00:00:19:09 00:00:19:09\n"
         "017  A003     A     C        01:01:06:16 01:01:06:16 00:00:20:16 00:00:20:16\n"
         "018  A003     A     C        01:01:10:20 01:01:10:20 00:00:21:23 00:00:21:23\n"
         "019  A003     A     C        01:01:15:00 01:01:15:00 00:00:23:06 00:00:23:06\n"
         "020  A003     A     C        01:01:19:04 01:01:19:04 00:00:24:13 00:00:24:13\n"
         "021  A003     A     C        01:01:23:08 01:01:23:08 00:00:25:20 00:00:25:20\n"
         "022  A003     A     C        01:01:27:12 01:01:27:12 00:00:27:03 00:00:27:03\n"
         "023  A003     A     C        01:01:31:16 01:01:31:16 00:00:28:10 00:00:28:10\n"
         "024  A003     A     C        01:01:35:20 01:01:35:20 00:00:29:17 00:00:29:17\n"
         "025  A003     A     C        01:01:40:00 01:01:40:00 00:00:31:00 00:00:31:00\n"
         "026  A003     A     C        01:01:44:04 01:01:44:04 00:00:32:07 00:00:32:07\n"
         "027  A003     A     C        01:01:48:08 01:01:48:08 00:00:33:14 00:00:33:14\n"
         "028  A003     A     C        01:01:52:12 01:01:52:12 00:00:34:21 00:00:34:21\n"
         "029  A003     A     C        01:01:56:16 01:01:56:16 00:00:36:04 00:00:36:04\n"
         "030  A003     A     C        01:02:00:20 01:02:00:20 00:00:37:11 00:00:37:11\n"
         "031  A003     A     C        01:02:05:00 01:02:05:00 00:00:38:18 00:00:38:18\n"
         "032  A003     A     C        01:02:09:04 01:02:09:04 00:00:00:01 00:00:00:01\n"
         "033  A003     A     C        01:02:13:08 01:02:13:08 00:00:01:08 00:00:01:08\n"
         "034  A003     A     C        01:02:17:12 01:02:17:12 00:00:02:15 00:00:02:15\n"
         "035  A003     A     C        01:02:21:16 01:02:21:16 00:00:03:22 00:00:03:22\n"
         "036  A003     A     C        01:02:25:20 01:02:25:20 00:00:05:05 00:00:05:05\n"
         "037  A003     A     C        01:02:30:00 01:02:30:00 00:00:06:12 00:00:06:12\n"
         "038  A003     A     C        01:02:34:04 01:02:34:04 00:00:07:19 00:00:07:19\n"
         "039  A003     A     C        01:02:38:08 01:02:38:08 00:00:09:02 00:00:09:02\n"
         "040  A003     A     C        01:02:42:12 01:02:42:12 00:00:10:09 00:00:10:09\n"
         "041  A003     A     C        01:02:46:16 01:02:46:16 00:00:11:16 00:00:11:16\n"
         "042  A003     A     C        01:02:50:20 01:02:50:20 00:00:12:23 00:00:12:23\n"
         "043  A003     A     C        01:02:55:00 01:02:55:00 00:00:14:06 00:00:14:06\n"
         "044  A003     A     C        01:02:59:04 01:02:59:04 00:00:15:13 00:00:15:13\n"
         "045  A003     A     C        01:03:03:08 01:03:03:08 00:00:16:20 00:00:16:20\n"
         "046  A003     A     C        01:03:07:12 01:03:07:12 00:00:18:03 00:00:18:03\n"
         "047  A003     A     C        01:03:11:16 01:03:11:16 00:00:19:10 00:00:19:10\n"
         "048  A003     A     C        01:03:15:20 01:03:15:20 00:00:20:17 00:00:20:17\n"
         "049  A003     A     C        01:03:20:00 01:03:20:00 00:00:22:00 00:00:22:00\n"
         "050  A003     A     C        01:03:24:04 01:03:24:04 00:00:23:07 00:00:23:07\n"
         "051  A003     A     C        01:03:28:08 01:03:28:08 00:00:24:14 00:00:24:14\n",
         "t.edl: warning TW1220: the list states no rate: read at 24, since the largest frame number in 102 record "
         "times "
         "is 23\n"
         "  -> frame numbers look the same at 23.976: say --rate 23.976 if the edit runs at that\n"
         "t.edl: note TW1231: 51 audio-only lines: kept, nothing in them is framed\n"
         "t.edl: warning TW1210: the list holds 0 video events\n"},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_row(i, rows[i].name);
        tw_assert_text(tw_str_z(edl_findings(tw_test_arena(state), rows[i].text, rows[i].rate)), rows[i].expected);
    }
}

TW_SUITE(edl_rate)
{
    const struct CMUnitTest tests[] = {TW_TEST(choices)};
    return tw_run("edl/edl_rate", tests);
}
