/* SPDX-License-Identifier: Apache-2.0 */
#include "edl_support.h"

/* What events become: markers in media time, gaps, overlaps as written. */
static void models(void **state)
{
    static const struct {
        const char *name, *rate, *text, *expected;
    } rows[] = {
        {"marker in record time", "24",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "001  A003     V     C        01:00:00:00 01:00:02:00 10:00:00:00 10:00:02:00\n"
         "* LOC: 10:00:01:00 GREEN   SPOKE KEY\n",
         "timeline name=\"WHEEL\" rate=24/1 start=36000\n"
         " track video name=\"V\"\n"
         "  clip #0 event=\"001\" reel=\"A003\" record=36000+2 source=3600+2@24/1 channels=1\n"
         "   marker name=\"SPOKE KEY\" color=\"GREEN\" at=3601+0\n"
         "   remark * LOC: 10:00:01:00 GREEN   SPOKE KEY\n"},
        {"marker in source time", "24",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "001  A003     V     C        01:00:00:00 01:00:02:00 10:00:00:00 10:00:02:00\n"
         "* LOC: 01:00:01:12 RED\n",
         "timeline name=\"WHEEL\" rate=24/1 start=36000\n"
         " track video name=\"V\"\n"
         "  clip #0 event=\"001\" reel=\"A003\" record=36000+2 source=3600+2@24/1 channels=1\n"
         "   marker color=\"RED\" at=7203/2+0\n"
         "   remark * LOC: 01:00:01:12 RED\n"},
        {"marker of a retime", "24",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "001  A003     V     C        01:00:00:00 01:00:04:00 10:00:00:00 10:00:02:00\n"
         "M2   A003       048.0                01:00:00:00\n"
         "* LOC: 10:00:01:00 GREEN   SPOKE KEY\n",
         "timeline name=\"WHEEL\" rate=24/1 start=36000\n"
         " track video name=\"V\"\n"
         "  clip #0 event=\"001\" reel=\"A003\" record=36000+2 source=3600+4@24/1 speed=2.0 channels=1\n"
         "   marker name=\"SPOKE KEY\" color=\"GREEN\" at=3602+0\n"
         "   remark * LOC: 10:00:01:00 GREEN   SPOKE KEY\n"},
        {"markers nowhere", "24",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "001  A003     V     C        01:00:00:00 01:00:02:00 10:00:00:00 10:00:02:00\n"
         "* LOC: 05:00:00:00 GREEN   A\n"
         "* LOC: 06:00:00:00 GREEN   B\n"
         "* LOC: 07:00:00:00 GREEN   C\n",
         "timeline name=\"WHEEL\" rate=24/1 start=36000\n"
         " marker name=\"A\" color=\"GREEN\" at=18000+0\n"
         " marker name=\"B\" color=\"GREEN\" at=21600+0\n"
         " marker name=\"C\" color=\"GREEN\" at=25200+0\n"
         " track video name=\"V\"\n"
         "  clip #0 event=\"001\" reel=\"A003\" record=36000+2 source=3600+2@24/1 channels=1\n"
         "   remark * LOC: 05:00:00:00 GREEN   A\n"
         "   remark * LOC: 06:00:00:00 GREEN   B\n"
         "   remark * LOC: 07:00:00:00 GREEN   C\n"},
        {"notes of a trailer are no event's", "24",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "001  A003     V     C        01:00:00:00 01:00:02:00 10:00:00:00 10:00:02:00\n"
         ">>> SOURCE A003 A003_C001\n"
         "* LOC: 10:00:01:00 GREEN   A\n"
         "M2   A003       012.0                01:00:00:00\n"
         "AUD  3    4\n",
         "timeline name=\"WHEEL\" rate=24/1 start=36000\n"
         " marker name=\"A\" color=\"GREEN\" at=36001+0\n"
         " track video name=\"V\"\n"
         "  clip #0 event=\"001\" reel=\"A003\" record=36000+2 source=3600+2@24/1 channels=1\n"},
        {"gap before and between", "24",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "001  A003     V     C        01:00:00:00 01:00:02:00 10:00:00:00 10:00:02:00\n"
         "002  B001     V     C        02:00:00:00 02:00:01:00 10:00:03:00 10:00:04:00\n"
         "003  B001     A     C        02:00:00:00 02:00:01:00 10:00:01:00 10:00:02:00\n",
         "timeline name=\"WHEEL\" rate=24/1 start=36000\n"
         " track video name=\"V\"\n"
         "  clip #0 event=\"001\" reel=\"A003\" record=36000+2 source=3600+2@24/1 channels=1\n"
         "  gap record=36002+1\n"
         "  clip #1 event=\"002\" reel=\"B001\" record=36003+1 source=7200+1@24/1 channels=1\n"
         " track audio name=\"A1\"\n"
         "  gap record=36000+1\n"
         "  clip #2 event=\"003\" reel=\"B001\" record=36001+1 source=7200+1@24/1 channels=2\n"},
        {"sound before the picture", "24",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "001  A003     A     C        01:00:00:00 01:00:02:00 10:00:00:00 10:00:02:00\n"
         "002  B001     V     C        02:00:00:00 02:00:01:00 10:00:01:00 10:00:02:00\n",
         "timeline name=\"WHEEL\" rate=24/1 start=36000\n"
         " track video name=\"V\"\n"
         "  gap record=36000+1\n"
         "  clip #0 event=\"002\" reel=\"B001\" record=36001+1 source=7200+1@24/1 channels=1\n"
         " track audio name=\"A1\"\n"
         "  clip #1 event=\"001\" reel=\"A003\" record=36000+2 source=3600+2@24/1 channels=2\n"},
        {"overlap stays", "24",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "001  A003     V     C        01:00:00:00 01:00:02:00 10:00:00:00 10:00:02:00\n"
         "002  B001     V     C        02:00:00:00 02:00:01:00 10:00:01:00 10:00:02:00\n",
         "timeline name=\"WHEEL\" rate=24/1 start=36000\n"
         " track video name=\"V\"\n"
         "  clip #0 event=\"001\" reel=\"A003\" record=36000+2 source=3600+2@24/1 channels=1\n"
         "  clip #1 event=\"002\" reel=\"B001\" record=36001+1 source=7200+1@24/1 channels=1\n"},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_row(i, rows[i].name);
        tw_assert_text(edl_dump(tw_test_arena(state), rows[i].text, rows[i].rate), rows[i].expected);
    }
}

TW_SUITE(edl_build)
{
    const struct CMUnitTest tests[] = {TW_TEST(models)};
    return tw_run("edl/edl_build", tests);
}
