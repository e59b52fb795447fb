/* SPDX-License-Identifier: Apache-2.0 */
#include "edl_support.h"

/* W18, a bare title, and statements that are only kept. */
static void statements(void **state)
{
    static const struct {
        const char *name, *rate, *text, *expected;
    } rows[] = {
        {"W18", "29.97",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "001  A003     V     C        01:00:00:00 01:00:02:00 10:00:00:00 10:00:02:00\n"
         "FCM: DROP FRAME\n"
         "002  B001     V     C        02:00:00:00 02:00:02:00 10:00:02:00 10:00:04:00\n",
         "t.edl:4:1: warning TW1238: the frame code mode changes to drop frame here: read as the mode of the sources "
         "that follow\n"
         "  FCM: DROP FRAME\n"
         "  ^^^^^^^^^^^^^^^\n"},
        {"the same mode again", "24",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "001  A003     V     C        01:00:00:00 01:00:02:00 10:00:00:00 10:00:02:00\n"
         "FCM: NON DROP FRAME\n"
         "002  B001     V     C        02:00:00:00 02:00:02:00 10:00:02:00 10:00:04:00\n",
         ""},
        {"bare title", "24",
         "The wheel builder\n"
         "FCM: NON-DROP FRAME\n"
         "001  A003     V     C        01:00:00:00 01:00:02:00 10:00:00:00 10:00:02:00\n",
         "t.edl:1:1: warning TW1232: the list begins with a bare line of text: it is read as the title\n"
         "  The wheel builder\n"
         "  ^^^^^^^^^^^^^^^^^\n"},
        {"text above the title", "24",
         "For the second screening\n"
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "001  A003     V     C        01:00:00:00 01:00:02:00 10:00:00:00 10:00:02:00\n",
         "t.edl:1:1: warning TW1232: this statement is not known: it is kept as it is\n"
         "  For the second screening\n"
         "  ^^^^^^^^^^^^^^^^^^^^^^^^\n"},
        {"a sum is no event", "24",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "TOTAL V 00:00:00:00 00:00:02:00 01:00:00:00 01:00:02:00\n"
         "001  A003     V     C        01:00:00:00 01:00:02:00 10:00:00:00 10:00:02:00\n",
         "t.edl:3:1: warning TW1232: this statement is not known: it is kept as it is\n"
         "  TOTAL V 00:00:00:00 00:00:02:00 01:00:00:00 01:00:02:00\n"
         "  ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^\n"},
        {"known statements", "24",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "001  A003     V     C        01:00:00:00 01:00:02:00 10:00:00:00 10:00:02:00\n"
         "EFFECTS NAME IS CROSS DISSOLVE\n"
         "GPI 1\n"
         "REM text\n"
         "FROM CLIP NAME: HANDS\n"
         "BLEND, DISSOLVE\n"
         "% 0a0b\n",
         ""},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_row(i, rows[i].name);
        tw_assert_text(tw_str_z(edl_findings(tw_test_arena(state), rows[i].text, rows[i].rate)), rows[i].expected);
    }
}

/* What belongs to which event. */
static void notes(void **state)
{
    static const struct {
        const char *name, *rate, *text, *expected;
    } rows[] = {
        {"text above the title", "24",
         "For the second screening\n"
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "001  A003     V     C        01:00:00:00 01:00:02:00 10:00:00:00 10:00:02:00\n",
         "timeline name=\"WHEEL\" rate=24/1 start=36000\n"
         " track video name=\"V\"\n"
         "  clip #0 event=\"001\" reel=\"A003\" record=36000+2 source=3600+2@24/1 channels=1\n"},
        {"names without an asterisk", "24",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "001  A003     V     C        01:00:00:00 01:00:02:00 10:00:00:00 10:00:02:00\n"
         "FROM CLIP NAME: HANDS\n",
         "timeline name=\"WHEEL\" rate=24/1 start=36000\n"
         " track video name=\"V\"\n"
         "  clip #0 event=\"001\" name=\"HANDS\" reel=\"A003\" record=36000+2 source=3600+2@24/1 channels=1\n"
         "   remark FROM CLIP NAME: HANDS\n"},
        {"remarks after a trailer are the list's", "24",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "001  A003     V     C        01:00:00:00 01:00:02:00 10:00:00:00 10:00:02:00\n"
         "* FROM CLIP NAME: HANDS\n"
         ">>> SOURCE A003 A003C001\n"
         "* SOURCE FILE: A003C001\n",
         "timeline name=\"WHEEL\" rate=24/1 start=36000\n"
         " track video name=\"V\"\n"
         "  clip #0 event=\"001\" name=\"HANDS\" reel=\"A003\" record=36000+2 source=3600+2@24/1 channels=1\n"
         "   remark * FROM CLIP NAME: HANDS\n"},
        {"a text at the end", "24",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "001  A003     V     C        01:00:00:00 01:00:02:00 10:00:00:00 10:00:02:00\n"
         "* FROM CLIP NAME: HANDS\n"
         "\n"
         "REM LAST PAGE\n"
         "REM OF THE LIST\n",
         "timeline name=\"WHEEL\" rate=24/1 start=36000\n"
         " track video name=\"V\"\n"
         "  clip #0 event=\"001\" name=\"HANDS\" reel=\"A003\" record=36000+2 source=3600+2@24/1 channels=1\n"
         "   remark * FROM CLIP NAME: HANDS\n"},
        {"a name over two lines", "24",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "001  A003     V     C        01:00:00:00 01:00:02:00 10:00:00:00 10:00:02:00\n"
         "* FROM CLIP NAME: WWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWW\n"
         "* HEEL\n",
         "timeline name=\"WHEEL\" rate=24/1 start=36000\n"
         " track video name=\"V\"\n"
         "  clip #0 event=\"001\" name=\"WWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWHEEL\" "
         "reel=\"A003\" record=36000+2 source=3600+2@24/1 channels=1\n"
         "   remark * FROM CLIP NAME: WWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWW\n"
         "   remark * HEEL\n"},
        {"split and AUD", "24",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "001  A003     V     C        01:00:00:00 01:00:02:00 10:00:00:00 10:00:02:00\n"
         "SPLIT:    AUDIO DELAY=  00:00:01:00\n"
         "002  B001     V     C        02:00:00:00 02:00:02:00 10:00:02:00 10:00:04:00\n"
         "AUD  3    4\n",
         "timeline name=\"WHEEL\" rate=24/1 start=36000\n"
         " track video name=\"V\"\n"
         "  clip #0 event=\"001\" reel=\"A003\" record=36000+2 source=3600+2@24/1 channels=1\n"
         "  clip #1 event=\"002\" reel=\"B001\" record=36002+2 source=7200+2@24/1 channels=19\n"
         "   remark SPLIT:    AUDIO DELAY=  00:00:01:00\n"
         " track audio name=\"A3\"\n"
         "  gap record=36000+2\n"
         "  clip #2 event=\"002\" reel=\"B001\" record=36002+2 source=7200+2@24/1 channels=19\n"
         " track audio name=\"A4\"\n"
         "  gap record=36000+2\n"
         "  clip #3 event=\"002\" reel=\"B001\" record=36002+2 source=7200+2@24/1 channels=19\n"},
        {"blank lines between", "24",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "\n"
         "001  A003     V     C        01:00:00:00 01:00:02:00 10:00:00:00 10:00:02:00\n"
         "   \n"
         "* FROM CLIP NAME: HANDS\n"
         "\n"
         "* SOURCE FILE: A003C001\n",
         "timeline name=\"WHEEL\" rate=24/1 start=36000\n"
         " track video name=\"V\"\n"
         "  clip #0 event=\"001\" name=\"HANDS\" reel=\"A003\" record=36000+2 source=3600+2@24/1 channels=1\n"
         "   media missing active key=\"DEFAULT_MEDIA\" name=\"A003C001\"\n"
         "   remark * FROM CLIP NAME: HANDS\n"
         "   remark * SOURCE FILE: A003C001\n"},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_row(i, rows[i].name);
        tw_assert_text(edl_dump(tw_test_arena(state), rows[i].text, rows[i].rate), rows[i].expected);
    }
}

TW_SUITE(edl_note)
{
    const struct CMUnitTest tests[] = {TW_TEST(statements), TW_TEST(notes)};
    return tw_run("edl/edl_note", tests);
}
