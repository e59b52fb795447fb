/* SPDX-License-Identifier: Apache-2.0 */
#include "edl_support.h"

/* E7, W6 and W7. */
static void odd_pairs(void **state)
{
    static const struct {
        const char *name, *rate, *text, *expected;
    } rows[] = {
        {"E7", "24",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "001  A003     V     C        01:00:00:00 01:00:02:00 10:00:00:00 10:00:02:00\n"
         "002  A003     V     C        01:00:02:00 01:00:02:00 10:00:02:00 10:00:02:00\n"
         "002  B001     V     D    025 02:00:00:00 02:00:01:00 10:00:02:00 10:00:03:00\n",
         "t.edl:5:21: error TW1207: the transition takes 25 frames but event 002 is only 24 long; the event is left "
         "out\n"
         "  002  B001     V     D    025 02:00:00:00 02:00:01:00 10:00:02:00 10:00:03:00\n"
         "                      ^^^^^^^^\n"
         "  -> lengthen the event or shorten the transition; 25 frames a second would do: check --rate\n"},
        {"W6 numbers", "24",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "001  A003     V     C        01:00:00:00 01:00:02:00 10:00:00:00 10:00:02:00\n"
         "002  A003     V     C        01:00:02:00 01:00:02:00 10:00:02:00 10:00:02:00\n"
         "003  B001     V     D    012 02:00:00:00 02:00:01:00 10:00:02:00 10:00:03:00\n",
         "t.edl:5:1: warning TW1226: the two lines of this transition are numbered 002 and 003: paired, since the "
         "first has no length and both begin at the same record time\n"
         "  003  B001     V     D    012 02:00:00:00 02:00:01:00 10:00:02:00 10:00:03:00\n"
         "  ^^^\n"},
        {"W6 incoming reel on the first line", "24",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "001  A003     V     C        01:00:00:00 01:00:02:00 10:00:00:00 10:00:02:00\n"
         "002  B001     V     C        02:00:00:00 02:00:00:00 10:00:02:00 10:00:02:00\n"
         "002  B001     V     D    012 02:00:00:00 02:00:01:00 10:00:02:00 10:00:03:00\n",
         "t.edl:4:6: warning TW1226: the outgoing line of event 002 names B001, the incoming reel, but A003 ends at "
         "this cut: it goes out from there\n"
         "  002  B001     V     C        02:00:00:00 02:00:00:00 10:00:02:00 10:00:02:00\n"
         "       ^^^^\n"},
        {"W6 first line ends elsewhere", "24",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "001  A003     V     C        01:00:00:00 01:00:02:00 10:00:00:00 10:00:02:00\n"
         "001  B001     V     D    012 02:00:00:00 02:00:01:00 10:00:01:12 10:00:02:12\n",
         "t.edl:4:54: warning TW1226: the first line of this transition ends 12 frames after its second begins: both "
         "are kept where they are written\n"
         "  001  B001     V     D    012 02:00:00:00 02:00:01:00 10:00:01:12 10:00:02:12\n"
         "                                                       ^^^^^^^^^^^\n"
         "t.edl:4:54: warning TW1223: event 001 (line 4) begins 12 frames before event 001 (line 3) ends: both are "
         "kept as written\n"
         "  001  B001     V     D    012 02:00:00:00 02:00:01:00 10:00:01:12 10:00:02:12\n"
         "                                                       ^^^^^^^^^^^\n"},
        {"W7 no first line", "24",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "001  A003     V     C        01:00:00:00 01:00:02:00 10:00:00:00 10:00:02:00\n"
         "002  B001     V     D    012 02:00:00:00 02:00:01:00 10:00:02:00 10:00:03:00\n",
         "t.edl:4:21: warning TW1227: this transition has no line for its outgoing side: it comes from whatever ends "
         "at its cut, or from black\n"
         "  002  B001     V     D    012 02:00:00:00 02:00:01:00 10:00:02:00 10:00:03:00\n"
         "                      ^^^^^^^^\n"},
        {"W7 no letter", "24",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "001  A003     V     C        01:00:00:00 01:00:02:00 10:00:00:00 10:00:02:00\n"
         "002  A003     V     C        01:00:02:00 01:00:02:00 10:00:02:00 10:00:02:00\n"
         "002  B001     V          012 02:00:00:00 02:00:01:00 10:00:02:00 10:00:03:00\n",
         "t.edl:5:26: warning TW1227: the transition letter is missing: read as a dissolve\n"
         "  002  B001     V          012 02:00:00:00 02:00:01:00 10:00:02:00 10:00:03:00\n"
         "                           ^^^\n"},
        {"sound pairs are not measured", "24",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "001  A003     V     C        01:00:00:00 01:00:02:00 10:00:00:00 10:00:02:00\n"
         "002  A003     A     C        01:00:02:00 01:00:02:00 10:00:02:00 10:00:02:00\n"
         "002  B001     A     D    099 02:00:00:00 02:00:01:00 10:00:02:00 10:00:03:00\n",
         "t.edl: note TW1231: 2 audio-only lines: kept, nothing in them is framed\n"},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_row(i, rows[i].name);
        tw_assert_text(tw_str_z(edl_findings(tw_test_arena(state), rows[i].text, rows[i].rate)), rows[i].expected);
    }
}

static void pairs(void **state)
{
    static const struct {
        const char *name, *rate, *text, *expected;
    } rows[] = {
        {"absorbed", "24",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "001  A003     V     C        01:00:00:00 01:00:02:00 10:00:00:00 10:00:02:00\n"
         "* FROM CLIP NAME: HANDS\n"
         "002  A003     V     C        01:00:02:00 01:00:02:00 10:00:02:00 10:00:02:00\n"
         "002  B001     V     D    012 02:00:00:00 02:00:01:00 10:00:02:00 10:00:03:00\n"
         "* FROM CLIP NAME: HANDS\n"
         "* TO CLIP NAME: WHEEL\n",
         "timeline name=\"WHEEL\" rate=24/1 start=36000\n"
         " track video name=\"V\"\n"
         "  clip #0 event=\"001\" name=\"HANDS\" reel=\"A003\" record=36000+2 source=3600+2@24/1 tail=1/2 channels=1\n"
         "   remark * FROM CLIP NAME: HANDS\n"
         "  transition event=\"002\" name=\"dissolve\" record=36002+1/2 out=1/2 channels=1\n"
         "  clip #1 event=\"002\" name=\"WHEEL\" reel=\"B001\" record=36002+1 source=7200+1@24/1 channels=1\n"
         "   remark * FROM CLIP NAME: HANDS\n"
         "   remark * TO CLIP NAME: WHEEL\n"},
        {"from black", "24",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "001  BL       V     C        00:00:00:00 00:00:00:00 10:00:00:00 10:00:00:00\n"
         "001  A003     V     D    024 01:00:00:00 01:00:02:00 10:00:00:00 10:00:02:00\n"
         "* FROM CLIP NAME: HANDS\n",
         "timeline name=\"WHEEL\" rate=24/1 start=36000\n"
         " track video name=\"V\"\n"
         "  clip #0 event=\"001\" reel=\"BL\" record=36000+0 source=0+0@24/1 tail=1 channels=1\n"
         "   media generator active key=\"DEFAULT_MEDIA\" name=\"black\"\n"
         "  transition event=\"001\" name=\"dissolve\" record=36000+1 out=1 channels=1\n"
         "  clip #1 event=\"001\" name=\"HANDS\" reel=\"A003\" record=36000+2 source=3600+2@24/1 channels=1\n"
         "   remark * FROM CLIP NAME: HANDS\n"},
        {"to black", "24",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "001  A003     V     C        01:00:00:00 01:00:02:00 10:00:00:00 10:00:02:00\n"
         "002  A003     V     C        01:00:02:00 01:00:02:00 10:00:02:00 10:00:02:00\n"
         "002  BL       V     D    024 00:00:00:00 00:00:01:00 10:00:02:00 10:00:03:00\n",
         "timeline name=\"WHEEL\" rate=24/1 start=36000\n"
         " track video name=\"V\"\n"
         "  clip #0 event=\"001\" reel=\"A003\" record=36000+2 source=3600+2@24/1 tail=1 channels=1\n"
         "  transition event=\"002\" name=\"dissolve\" record=36002+1 out=1 channels=1\n"
         "  clip #1 event=\"002\" reel=\"BL\" record=36002+1 source=0+1@24/1 channels=1\n"
         "   media generator active key=\"DEFAULT_MEDIA\" name=\"black\"\n"},
        {"from another clip", "24",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "001  A003     V     C        01:00:00:00 01:00:02:00 10:00:00:00 10:00:02:00\n"
         "002  C001     V     C        05:00:00:00 05:00:00:00 10:00:02:00 10:00:02:00\n"
         "002  B001     V     W001 012 02:00:00:00 02:00:01:00 10:00:02:00 10:00:03:00\n"
         "* FROM CLIP NAME: HANDS\n"
         "* TO CLIP NAME: WHEEL\n",
         "timeline name=\"WHEEL\" rate=24/1 start=36000\n"
         " track video name=\"V\"\n"
         "  clip #0 event=\"001\" reel=\"A003\" record=36000+2 source=3600+2@24/1 channels=1\n"
         "  clip #1 event=\"002\" name=\"HANDS\" reel=\"C001\" record=36002+0 source=18000+0@24/1 tail=1/2 channels=1\n"
         "  transition event=\"002\" name=\"wipe 001\" record=36002+1/2 out=1/2 channels=1\n"
         "  clip #2 event=\"002\" name=\"WHEEL\" reel=\"B001\" record=36002+1 source=7200+1@24/1 channels=1\n"
         "   remark * FROM CLIP NAME: HANDS\n"
         "   remark * TO CLIP NAME: WHEEL\n"},
        {"first line with a length", "24",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "001  A003     V     C        01:00:00:00 01:00:02:00 10:00:00:00 10:00:02:00\n"
         "001  B001     V     D    012 02:00:00:00 02:00:01:00 10:00:02:00 10:00:03:00\n"
         "* FROM CLIP NAME: HANDS\n"
         "* TO CLIP NAME: WHEEL\n",
         "timeline name=\"WHEEL\" rate=24/1 start=36000\n"
         " track video name=\"V\"\n"
         "  clip #0 event=\"001\" name=\"HANDS\" reel=\"A003\" record=36000+2 source=3600+2@24/1 tail=1/2 channels=1\n"
         "  transition event=\"001\" name=\"dissolve\" record=36002+1/2 out=1/2 channels=1\n"
         "  clip #1 event=\"001\" name=\"WHEEL\" reel=\"B001\" record=36002+1 source=7200+1@24/1 channels=1\n"
         "   remark * FROM CLIP NAME: HANDS\n"
         "   remark * TO CLIP NAME: WHEEL\n"},
        {"two mixes in a row", "24",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "001  A003     V     C        01:00:00:00 01:00:02:00 10:00:00:00 10:00:02:00\n"
         "002  A003     V     C        01:00:02:00 01:00:02:00 10:00:02:00 10:00:02:00\n"
         "002  B001     V     D    012 02:00:00:00 02:00:01:00 10:00:02:00 10:00:03:00\n"
         "003  B001     V     C        02:00:01:00 02:00:01:00 10:00:03:00 10:00:03:00\n"
         "003  C001     V     D    024 03:00:00:00 03:00:01:00 10:00:03:00 10:00:04:00\n",
         "timeline name=\"WHEEL\" rate=24/1 start=36000\n"
         " track video name=\"V\"\n"
         "  clip #0 event=\"001\" reel=\"A003\" record=36000+2 source=3600+2@24/1 tail=1/2 channels=1\n"
         "  transition event=\"002\" name=\"dissolve\" record=36002+1/2 out=1/2 channels=1\n"
         "  clip #1 event=\"002\" reel=\"B001\" record=36002+1 source=7200+1@24/1 tail=1 channels=1\n"
         "  transition event=\"003\" name=\"dissolve\" record=36003+1 out=1 channels=1\n"
         "  clip #2 event=\"003\" reel=\"C001\" record=36003+1 source=10800+1@24/1 channels=1\n"},
        {"FCM between the lines", "24",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "001  A003     V     C        01:00:00:00 01:00:02:00 10:00:00:00 10:00:02:00\n"
         "002  A003     V     C        01:00:02:00 01:00:02:00 10:00:02:00 10:00:02:00\n"
         "FCM: NON-DROP FRAME\n"
         "002  B001     V     D    012 02:00:00:00 02:00:01:00 10:00:02:00 10:00:03:00\n",
         "timeline name=\"WHEEL\" rate=24/1 start=36000\n"
         " track video name=\"V\"\n"
         "  clip #0 event=\"001\" reel=\"A003\" record=36000+2 source=3600+2@24/1 tail=1/2 channels=1\n"
         "  transition event=\"002\" name=\"dissolve\" record=36002+1/2 out=1/2 channels=1\n"
         "  clip #1 event=\"002\" reel=\"B001\" record=36002+1 source=7200+1@24/1 channels=1\n"},
        {"the outgoing side at another speed is no going on", "24",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "001  A003     V     C        01:00:00:00 01:00:02:00 10:00:00:00 10:00:02:00\n"
         "002  A003     V     C        01:00:02:00 01:00:02:00 10:00:02:00 10:00:02:00\n"
         "002  B001     V     D    012 02:00:00:00 02:00:01:00 10:00:02:00 10:00:03:00\n"
         "M2   A003       012.0                01:00:02:00\n",
         "timeline name=\"WHEEL\" rate=24/1 start=36000\n"
         " track video name=\"V\"\n"
         "  clip #0 event=\"001\" reel=\"A003\" record=36000+2 source=3600+2@24/1 channels=1\n"
         "  clip #1 event=\"002\" reel=\"A003\" record=36002+0 source=3602+0@24/1 speed=0.5 tail=1/2 channels=1\n"
         "  transition event=\"002\" name=\"dissolve\" record=36002+1/2 out=1/2 channels=1\n"
         "  clip #2 event=\"002\" reel=\"B001\" record=36002+1 source=7200+1@24/1 channels=1\n"},
        /* 35 frames at 60 are 14 at 24: backwards from 01:00:00:00 to 00:59:59:10 */
        {"absorbed, reversed at another count", "60",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "001  A003     V     C        01:00:00:00 01:00:00:14 10:00:00:00 10:00:00:35\n"
         "M2   A003      -024.0                01:00:00:00\n"
         "* TALLWIDE RATE 24/1\n"
         "002  A003     V     C        00:59:59:10 00:59:59:10 10:00:00:35 10:00:00:35\n"
         "002  B001     V     D    030 02:00:00:00 02:00:01:00 10:00:00:35 10:00:01:35\n"
         "* TALLWIDE RATE 24/1 FROM\n",
         "timeline name=\"WHEEL\" rate=60/1 start=36000\n"
         " track video name=\"V\"\n"
         "  clip #0 event=\"001\" reel=\"A003\" record=36000+7/12 source=3600+7/12@24/1 speed=-1.0 tail=1/2 "
         "channels=1\n"
         "  transition event=\"002\" name=\"dissolve\" record=432007/12+1/2 out=1/2 channels=1\n"
         "  clip #1 event=\"002\" reel=\"B001\" record=432007/12+1 source=7200+1@60/1 channels=1\n"},
        {"key", "24",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "001  A003     V     K B      01:00:00:00 01:00:02:00 10:00:00:00 10:00:02:00\n"
         "001  TITLE    V     K    010 00:00:00:00 00:00:02:00 10:00:00:00 10:00:02:00\n",
         "timeline name=\"WHEEL\" rate=24/1 start=36000\n"
         " track video name=\"V\"\n"
         "  clip #0 event=\"001\" reel=\"A003\" record=36000+2 source=3600+2@24/1 channels=1\n"
         " track video name=\"V key\"\n"
         "  transition event=\"001\" name=\"key\" record=36000+5/12 out=5/12 channels=1\n"
         "  clip #1 event=\"001\" reel=\"TITLE\" record=36000+2 source=0+2@24/1 channels=1\n"},
        {"picture and sound line by line", "24",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "001  A003     V     C        01:00:00:00 01:00:02:00 10:00:00:00 10:00:02:00\n"
         "002  A003     V     C        01:00:02:00 01:00:02:00 10:00:02:00 10:00:02:00\n"
         "002  A003     A     C        01:00:02:00 01:00:02:00 10:00:02:00 10:00:02:00\n"
         "002  B001     V     D    012 02:00:00:00 02:00:01:00 10:00:02:00 10:00:03:00\n"
         "002  B001     A     D    012 02:00:00:00 02:00:01:00 10:00:02:00 10:00:03:00\n"
         "* FROM CLIP NAME: RIM\n"
         "* TO CLIP NAME: STREET\n",
         "timeline name=\"WHEEL\" rate=24/1 start=36000\n"
         " track video name=\"V\"\n"
         "  clip #0 event=\"001\" name=\"RIM\" reel=\"A003\" record=36000+2 source=3600+2@24/1 tail=1/2 channels=1\n"
         "  transition event=\"002\" name=\"dissolve\" record=36002+1/2 out=1/2 channels=1\n"
         "  clip #1 event=\"002\" name=\"STREET\" reel=\"B001\" record=36002+1 source=7200+1@24/1 channels=1\n"
         " track audio name=\"A1\"\n"
         "  gap record=36000+2\n"
         "  clip #2 event=\"002\" name=\"RIM\" reel=\"A003\" record=36002+0 source=3602+0@24/1 tail=1/2 channels=2\n"
         "  transition event=\"002\" name=\"dissolve\" record=36002+1/2 out=1/2 channels=2\n"
         "  clip #3 event=\"002\" name=\"STREET\" reel=\"B001\" record=36002+1 source=7200+1@24/1 channels=2\n"
         "   remark * FROM CLIP NAME: RIM\n"
         "   remark * TO CLIP NAME: STREET\n"},
        {"numbers of their own, and other channels in between", "24",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "001  A003     V     C        01:00:00:00 01:00:02:00 10:00:00:00 10:00:02:00\n"
         "002  C001     V     C        01:00:02:00 01:00:02:00 10:00:02:00 10:00:02:00\n"
         "003  A003     A     C        01:00:00:00 01:00:03:00 10:00:00:00 10:00:03:00\n"
         "004  B001     V     D    012 02:00:00:00 02:00:01:00 10:00:02:00 10:00:03:00\n",
         "timeline name=\"WHEEL\" rate=24/1 start=36000\n"
         " track video name=\"V\"\n"
         "  clip #0 event=\"001\" reel=\"A003\" record=36000+2 source=3600+2@24/1 channels=1\n"
         "  clip #1 event=\"002\" reel=\"C001\" record=36002+0 source=3602+0@24/1 tail=1/2 channels=1\n"
         "  transition event=\"004\" name=\"dissolve\" record=36002+1/2 out=1/2 channels=1\n"
         "  clip #2 event=\"004\" reel=\"B001\" record=36002+1 source=7200+1@24/1 channels=1\n"
         " track audio name=\"A1\"\n"
         "  clip #3 event=\"003\" reel=\"A003\" record=36000+3 source=3600+3@24/1 channels=2\n"},
        {"a line that ends elsewhere is none of it", "24",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "002  A003     V     C        01:00:00:00 01:00:02:00 10:00:00:00 10:00:02:00\n"
         "002  A003     A     C        01:00:00:00 01:00:03:00 10:00:00:00 10:00:03:00\n"
         "002  B001     V     D    012 02:00:00:00 02:00:01:00 10:00:02:12 10:00:03:12\n",
         "timeline name=\"WHEEL\" rate=24/1 start=36000\n"
         " track video name=\"V\"\n"
         "  clip #0 event=\"002\" reel=\"A003\" record=36000+2 source=3600+2@24/1 channels=1\n"
         "  gap record=36002+1/2\n"
         "  transition event=\"002\" name=\"dissolve\" record=72005/2+1/2 out=1/2 channels=1\n"
         "  clip #1 event=\"002\" reel=\"B001\" record=72005/2+1 source=7200+1@24/1 channels=1\n"
         " track audio name=\"A1\"\n"
         "  clip #2 event=\"002\" reel=\"A003\" record=36000+3 source=3600+3@24/1 channels=2\n"},
        {"a split edit is no pair", "24",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "020  A003     V     C        01:00:00:00 01:00:02:00 10:00:00:00 10:00:02:00\n"
         "020  A003     A     C        01:00:01:00 01:00:02:00 10:00:01:00 10:00:02:00\n",
         "timeline name=\"WHEEL\" rate=24/1 start=36000\n"
         " track video name=\"V\"\n"
         "  clip #0 event=\"020\" reel=\"A003\" record=36000+2 source=3600+2@24/1 channels=1\n"
         " track audio name=\"A1\"\n"
         "  gap record=36000+1\n"
         "  clip #1 event=\"020\" reel=\"A003\" record=36001+1 source=3601+1@24/1 channels=2\n"},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_row(i, rows[i].name);
        tw_assert_text(edl_dump(tw_test_arena(state), rows[i].text, rows[i].rate), rows[i].expected);
    }
}

TW_SUITE(edl_pair)
{
    const struct CMUnitTest tests[] = {TW_TEST(odd_pairs), TW_TEST(pairs)};
    return tw_run("edl/edl_pair", tests);
}
