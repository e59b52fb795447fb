/* SPDX-License-Identifier: Apache-2.0 */
#include "edl_support.h"

static void tracks(void **state)
{
    static const struct {
        const char *name, *rate, *text, *expected;
    } rows[] = {
        {"by record time", "24",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "002  B001     V     C        02:00:00:00 02:00:02:00 10:00:02:00 10:00:04:00\n"
         "001  A003     V     C        01:00:00:00 01:00:02:00 10:00:00:00 10:00:02:00\n",
         "timeline name=\"WHEEL\" rate=24/1 start=36000\n"
         " track video name=\"V\"\n"
         "  clip #0 event=\"001\" reel=\"A003\" record=36000+2 source=3600+2@24/1 channels=1\n"
         "  clip #1 event=\"002\" reel=\"B001\" record=36002+2 source=7200+2@24/1 channels=1\n"},
        {"channels", "24",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "001  A003     AA/V  C        01:00:00:00 01:00:02:00 10:00:00:00 10:00:02:00\n"
         "* FROM CLIP NAME: HANDS\n"
         "002  B001     V2    C        02:00:00:00 02:00:02:00 10:00:00:00 10:00:02:00\n"
         "003  MIX      NONE  C        00:00:00:00 00:00:02:00 10:00:00:00 10:00:02:00\n"
         "AUD  3    4\n"
         "* FROM CLIP NAME: ROOM\n",
         "timeline name=\"WHEEL\" rate=24/1 start=36000\n"
         " track video name=\"V\"\n"
         "  clip #0 event=\"001\" name=\"HANDS\" reel=\"A003\" record=36000+2 source=3600+2@24/1 channels=7\n"
         "   remark * FROM CLIP NAME: HANDS\n"
         " track video name=\"V2\"\n"
         "  clip #1 event=\"002\" reel=\"B001\" record=36000+2 source=7200+2@24/1 channels=1\n"
         " track audio name=\"A1\"\n"
         "  clip #2 event=\"001\" name=\"HANDS\" reel=\"A003\" record=36000+2 source=3600+2@24/1 channels=7\n"
         " track audio name=\"A2\"\n"
         "  clip #3 event=\"001\" name=\"HANDS\" reel=\"A003\" record=36000+2 source=3600+2@24/1 channels=7\n"
         " track audio name=\"A3\"\n"
         "  clip #4 event=\"003\" name=\"ROOM\" reel=\"MIX\" record=36000+2 source=0+2@24/1 channels=18\n"
         "   remark * FROM CLIP NAME: ROOM\n"
         " track audio name=\"A4\"\n"
         "  clip #5 event=\"003\" name=\"ROOM\" reel=\"MIX\" record=36000+2 source=0+2@24/1 channels=18\n"},
        {"many channels: A12 is twelve", "24",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "001  MIX      A7    C        00:00:00:00 00:00:02:00 10:00:00:00 10:00:02:00\n"
         "002  MIX      A12   C        00:00:00:00 00:00:02:00 10:00:00:00 10:00:02:00\n",
         "timeline name=\"WHEEL\" rate=24/1 start=36000\n"
         " track audio name=\"A7\"\n"
         "  clip #0 event=\"001\" reel=\"MIX\" record=36000+2 source=0+2@24/1 channels=80\n"
         " track audio name=\"A12\"\n"
         "  clip #1 event=\"002\" reel=\"MIX\" record=36000+2 source=0+2@24/1 channels=1000\n"},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_row(i, rows[i].name);
        tw_assert_text(edl_dump(tw_test_arena(state), rows[i].text, rows[i].rate), rows[i].expected);
    }
}

TW_SUITE(edl_track)
{
    const struct CMUnitTest tests[] = {TW_TEST(tracks)};
    return tw_run("edl/edl_track", tests);
}
