/* SPDX-License-Identifier: Apache-2.0 */
#include "edl_support.h"

/* Which remark names what. */
static void names(void **state)
{
    static const struct {
        const char *name, *rate, *text, *expected;
    } rows[] = {
        {"clip name and source file", "24",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "001  A003     V     C        01:00:00:00 01:00:02:00 10:00:00:00 10:00:02:00\n"
         "* FROM CLIP NAME:  HANDS\n"
         "* SOURCE FILE: A003C001_260114\n",
         "timeline name=\"WHEEL\" rate=24/1 start=36000\n"
         " track video name=\"V\"\n"
         "  clip #0 event=\"001\" name=\"HANDS\" reel=\"A003\" record=36000+2 source=3600+2@24/1 channels=1\n"
         "   media missing active key=\"DEFAULT_MEDIA\" name=\"A003C001_260114\"\n"
         "   remark * FROM CLIP NAME:  HANDS\n"
         "   remark * SOURCE FILE: A003C001_260114\n"},
        {"path", "24",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "001  A003     V     C        01:00:00:00 01:00:02:00 10:00:00:00 10:00:02:00\n"
         "* FROM CLIP NAME:  HANDS\n"
         "* FROM CLIP: /wheel/A003/A003C001.mov\n",
         "timeline name=\"WHEEL\" rate=24/1 start=36000\n"
         " track video name=\"V\"\n"
         "  clip #0 event=\"001\" name=\"HANDS\" reel=\"A003\" record=36000+2 source=3600+2@24/1 channels=1\n"
         "   media file active key=\"DEFAULT_MEDIA\" url=\"/wheel/A003/A003C001.mov\"\n"
         "   remark * FROM CLIP NAME:  HANDS\n"
         "   remark * FROM CLIP: /wheel/A003/A003C001.mov\n"},
        {"path as source file", "24",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "001  A003     V     C        01:00:00:00 01:00:02:00 10:00:00:00 10:00:02:00\n"
         "* SOURCE FILE: D:\\wheel\\A003C001.mov\n"
         "002  A004     V     C        01:00:00:00 01:00:02:00 10:00:02:00 10:00:04:00\n"
         "* SOURCE FILE: CAM 1/2\n",
         "timeline name=\"WHEEL\" rate=24/1 start=36000\n"
         " track video name=\"V\"\n"
         "  clip #0 event=\"001\" reel=\"A003\" record=36000+2 source=3600+2@24/1 channels=1\n"
         "   media file active key=\"DEFAULT_MEDIA\" name=\"D:\\wheel\\A003C001.mov\" "
         "url=\"D:\\wheel\\A003C001.mov\"\n"
         "   remark * SOURCE FILE: D:\\wheel\\A003C001.mov\n"
         "  clip #1 event=\"002\" reel=\"A004\" record=36002+2 source=3600+2@24/1 channels=1\n"
         "   media missing active key=\"DEFAULT_MEDIA\" name=\"CAM 1/2\"\n"
         "   remark * SOURCE FILE: CAM 1/2\n"},
        {"the clip that goes out is named below the pair", "24",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "001  A003     V     C        01:00:00:00 01:00:02:00 10:00:00:00 10:00:02:00\n"
         "002  A003     V     C        01:00:02:00 01:00:02:00 10:00:02:00 10:00:02:00\n"
         "002  B001     V     D    012 02:00:00:00 02:00:01:00 10:00:02:00 10:00:03:00\n"
         "* FROM CLIP NAME:  HANDS\n"
         "* TO CLIP NAME:  RIM\n",
         "timeline name=\"WHEEL\" rate=24/1 start=36000\n"
         " track video name=\"V\"\n"
         "  clip #0 event=\"001\" name=\"HANDS\" reel=\"A003\" record=36000+2 source=3600+2@24/1 tail=1/2 channels=1\n"
         "  transition event=\"002\" name=\"dissolve\" record=36002+1/2 out=1/2 channels=1\n"
         "  clip #1 event=\"002\" name=\"RIM\" reel=\"B001\" record=36002+1 source=7200+1@24/1 channels=1\n"
         "   remark * FROM CLIP NAME:  HANDS\n"
         "   remark * TO CLIP NAME:  RIM\n"},
        {"sequence", "24",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "001  A003     V     C        01:00:00:00 01:00:02:00 10:00:00:00 10:00:02:00\n"
         "* FROM FILE: S:\\wheel\\hub.[1001-1048].exr\n",
         "timeline name=\"WHEEL\" rate=24/1 start=36000\n"
         " track video name=\"V\"\n"
         "  clip #0 event=\"001\" reel=\"A003\" record=36000+2 source=3600+2@24/1 channels=1\n"
         "   media images active key=\"DEFAULT_MEDIA\" url=\"S:\\wheel\\hub.[1001-1048].exr\"\n"
         "   remark * FROM FILE: S:\\wheel\\hub.[1001-1048].exr\n"},
        {"whole reel", "24",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "001  A003C001 V     C        01:00:00:00 01:00:02:00 10:00:00:00 10:00:02:00\n"
         "* REEL: A003C001_260114\n",
         "timeline name=\"WHEEL\" rate=24/1 start=36000\n"
         " track video name=\"V\"\n"
         "  clip #0 event=\"001\" reel=\"A003C001_260114\" record=36000+2 source=3600+2@24/1 channels=1\n"
         "   remark * REEL: A003C001_260114\n"},
        {"our own short reel", "24",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "001  A003C002 V     C        01:00:00:00 01:00:02:00 10:00:00:00 10:00:02:00\n"
         "* REEL: A003CAM_260114\n",
         "timeline name=\"WHEEL\" rate=24/1 start=36000\n"
         " track video name=\"V\"\n"
         "  clip #0 event=\"001\" reel=\"A003CAM_260114\" record=36000+2 source=3600+2@24/1 channels=1\n"
         "   remark * REEL: A003CAM_260114\n"},
        {"whole reel, of which the column has letters and digits", "24",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "001  A003C001 V     C        01:00:00:00 01:00:02:00 10:00:00:00 10:00:02:00\n"
         "* REEL: A003_C001_260114\n",
         "timeline name=\"WHEEL\" rate=24/1 start=36000\n"
         " track video name=\"V\"\n"
         "  clip #0 event=\"001\" reel=\"A003_C001_260114\" record=36000+2 source=3600+2@24/1 channels=1\n"
         "   remark * REEL: A003_C001_260114\n"},
        {"whole reel of an auxiliary source", "24",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "001  AX       V     C        01:00:00:00 01:00:02:00 10:00:00:00 10:00:02:00\n"
         "* REEL: B001\n",
         "timeline name=\"WHEEL\" rate=24/1 start=36000\n"
         " track video name=\"V\"\n"
         "  clip #0 event=\"001\" reel=\"B001\" record=36000+2 source=3600+2@24/1 channels=1\n"
         "   remark * REEL: B001\n"},
        {"another reel", "24",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "001  A003     V     C        01:00:00:00 01:00:02:00 10:00:00:00 10:00:02:00\n"
         "* REEL: B001\n",
         "timeline name=\"WHEEL\" rate=24/1 start=36000\n"
         " track video name=\"V\"\n"
         "  clip #0 event=\"001\" reel=\"A003\" record=36000+2 source=3600+2@24/1 channels=1\n"
         "   remark * REEL: B001\n"},
        {"pair with two source files", "24",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "001  A003     V     C        01:00:00:00 01:00:02:00 10:00:00:00 10:00:02:00\n"
         "002  C001     V     C        05:00:00:00 05:00:00:00 10:00:02:00 10:00:02:00\n"
         "002  B001     V     D    012 02:00:00:00 02:00:01:00 10:00:02:00 10:00:03:00\n"
         "* FROM CLIP NAME: HUB\n"
         "* TO CLIP NAME: RIM\n"
         "* SOURCE FILE: C001_1\n"
         "* SOURCE FILE: B001_1\n",
         "timeline name=\"WHEEL\" rate=24/1 start=36000\n"
         " track video name=\"V\"\n"
         "  clip #0 event=\"001\" reel=\"A003\" record=36000+2 source=3600+2@24/1 channels=1\n"
         "  clip #1 event=\"002\" name=\"HUB\" reel=\"C001\" record=36002+0 source=18000+0@24/1 tail=1/2 channels=1\n"
         "   media missing active key=\"DEFAULT_MEDIA\" name=\"C001_1\"\n"
         "  transition event=\"002\" name=\"dissolve\" record=36002+1/2 out=1/2 channels=1\n"
         "  clip #2 event=\"002\" name=\"RIM\" reel=\"B001\" record=36002+1 source=7200+1@24/1 channels=1\n"
         "   media missing active key=\"DEFAULT_MEDIA\" name=\"B001_1\"\n"
         "   remark * FROM CLIP NAME: HUB\n"
         "   remark * TO CLIP NAME: RIM\n"
         "   remark * SOURCE FILE: C001_1\n"
         "   remark * SOURCE FILE: B001_1\n"},
        {"reels whose names are not ASCII", "24", /* as our columns have them; U+624B, U+8F2A, U+00C4 */
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "001  _        V     C        01:00:00:00 01:00:01:00 10:00:00:00 10:00:01:00\n"
         "* REEL: \xE6\x89\x8B\n"
         "002  _001     V     C        01:00:00:00 01:00:01:00 10:00:01:00 10:00:02:00\n"
         "* REEL: \xE8\xBC\xAA\n"
         "003  Ae1      V     C        01:00:00:00 01:00:01:00 10:00:02:00 10:00:03:00\n"
         "* REEL: \xC3\x84"
         "1\n"
         "004  A003001  V     C        01:00:00:00 01:00:01:00 10:00:03:00 10:00:04:00\n"
         "* REEL: A003\n",
         "timeline name=\"WHEEL\" rate=24/1 start=36000\n"
         " track video name=\"V\"\n"
         "  clip #0 event=\"001\" reel=\"\xE6\x89\x8B\" record=36000+1 source=3600+1@24/1 channels=1\n"
         "   remark * REEL: \xE6\x89\x8B\n"
         "  clip #1 event=\"002\" reel=\"\xE8\xBC\xAA\" record=36001+1 source=3600+1@24/1 channels=1\n"
         "   remark * REEL: \xE8\xBC\xAA\n"
         "  clip #2 event=\"003\" reel=\"\xC3\x84"
         "1\" record=36002+1 source=3600+1@24/1 channels=1\n"
         "   remark * REEL: \xC3\x84"
         "1\n"
         "  clip #3 event=\"004\" reel=\"A003001\" record=36003+1 source=3600+1@24/1 channels=1\n"
         "   remark * REEL: A003\n"},
        {"picture and sound of one event have one name", "24",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "SPLIT:    AUDIO DELAY=  00:00:01:00\n"
         "020  A003     V     C        01:00:00:00 01:00:02:00 10:00:00:00 10:00:02:00\n"
         "020  A003     A     C        01:00:01:00 01:00:02:00 10:00:01:00 10:00:02:00\n"
         "* FROM CLIP NAME: HANDS\n"
         "021  AX       V     C        01:00:00:00 01:00:01:00 10:00:02:00 10:00:03:00\n"
         "021  AX       A     C        02:00:00:00 02:00:01:00 10:00:02:00 10:00:03:00\n"
         "* FROM CLIP NAME: MUSIC\n",
         "timeline name=\"WHEEL\" rate=24/1 start=36000\n"
         " track video name=\"V\"\n"
         "  clip #0 event=\"020\" name=\"HANDS\" reel=\"A003\" record=36000+2 source=3600+2@24/1 channels=1\n"
         "   remark SPLIT:    AUDIO DELAY=  00:00:01:00\n"
         "  clip #1 event=\"021\" reel=\"AX\" record=36002+1 source=3600+1@24/1 channels=1\n"
         " track audio name=\"A1\"\n"
         "  gap record=36000+1\n"
         "  clip #2 event=\"020\" name=\"HANDS\" reel=\"A003\" record=36001+1 source=3601+1@24/1 channels=2\n"
         "   remark * FROM CLIP NAME: HANDS\n"
         "  clip #3 event=\"021\" name=\"MUSIC\" reel=\"AX\" record=36002+1 source=7200+1@24/1 channels=2\n"
         "   remark * FROM CLIP NAME: MUSIC\n"},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_row(i, rows[i].name);
        tw_assert_text(edl_dump(tw_test_arena(state), rows[i].text, rows[i].rate), rows[i].expected);
    }
}

TW_SUITE(edl_media)
{
    const struct CMUnitTest tests[] = {TW_TEST(names)};
    return tw_run("edl/edl_media", tests);
}
