/* SPDX-License-Identifier: Apache-2.0 */
#include "edl_support.h"

/* Every finding of the event grammar: E1, E2, E6, E8 and W12 of the reader's list. */
static void refusals(void **state)
{
    static const struct {
        const char *name, *rate, *text, *expected;
    } rows[] = {
        {"E1 prose", "24",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "2nd unit pickups\n",
         "t.edl:3:1: error TW1201: this line begins with a digit but is no event: an event ends in four times; it is "
         "left out\n"
         "  2nd unit pickups\n"
         "  ^^^^^^^^^^^^^^^^\n"},
        {"E1 three times", "24",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "001  A003     V     C        01:00:00:00 01:00:02:00 10:00:00:00\n",
         "t.edl:3:1: error TW1201: an event ends in four times and this one has 3; it is left out\n"
         "  001  A003     V     C        01:00:00:00 01:00:02:00 10:00:00:00\n"
         "  ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^\n"},
        {"E1 frame counts", "24",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "001  A003     V     C 113 170 0 57\n",
         "t.edl:3:1: error TW1201: this line begins with a digit but is no event: an event ends in four times; it is "
         "left out\n"
         "  001  A003     V     C 113 170 0 57\n"
         "  ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^\n"
         "  -> plain frame counts are not read: write HH:MM:SS:FF\n"},
        {"E1 no channel", "24",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "001  A003     Q     C        01:00:00:00 01:00:02:00 10:00:00:00 10:00:02:00\n",
         "t.edl:3:1: error TW1201: no channel word (V, A, AA, B, NONE ...) stands before the times; the event is left "
         "out\n"
         "  001  A003     Q     C        01:00:00:00 01:00:02:00 10:00:00:00 10:00:02:00\n"
         "  ^^^^^^^^^^^^^^^^^^^^^\n"},
        {"E1 number with a letter", "24",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "1A   A003     V     C        01:00:00:00 01:00:02:00 10:00:00:00 10:00:02:00\n",
         "t.edl:3:1: error TW1201: \"1A\" is no event number; the event is left out\n"
         "  1A   A003     V     C        01:00:00:00 01:00:02:00 10:00:00:00 10:00:02:00\n"
         "  ^^\n"},
        {"E1 no number", "24",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "M01  A003     V     C        01:00:00:00 01:00:02:00 10:00:00:00 10:00:02:00\n",
         "t.edl:3:1: error TW1201: \"M01\" is no event number; the event is left out\n"
         "  M01  A003     V     C        01:00:00:00 01:00:02:00 10:00:00:00 10:00:02:00\n"
         "  ^^^\n"},
        {"E2 minute", "24",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "001  A003     V     C        01:00:00:00 01:75:02:00 10:00:00:00 10:00:02:00\n",
         "t.edl:3:42: error TW1202: source out \"01:75:02:00\" has a minute or second above 59; the event is left out\n"
         "  001  A003     V     C        01:00:00:00 01:75:02:00 10:00:00:00 10:00:02:00\n"
         "                                           ^^^^^^^^^^^\n"},
        {"E2 separator", "24",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "001  A003     V     C        01:00:00:00 01:00:02.00 10:00:00:00 10:00:02:00\n",
         "t.edl:3:42: error TW1202: source out \"01:00:02.00\" has a separator other than ':' or ';'; the event is "
         "left out\n"
         "  001  A003     V     C        01:00:00:00 01:00:02.00 10:00:00:00 10:00:02:00\n"
         "                                           ^^^^^^^^^^^\n"
         "  -> write HH:MM:SS:FF, or HH:MM:SS;FF for drop frame\n"},
        {"E2 blank inside", "24",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "001  A003     V     C        01:00: 0:00 01:00:02:00 10:00:00:00 10:00:02:00\n",
         "t.edl:3:30: error TW1202: \"01:00:\" is only part of a time, perhaps one with a blank inside; the event is "
         "left out\n"
         "  001  A003     V     C        01:00: 0:00 01:00:02:00 10:00:00:00 10:00:02:00\n"
         "                               ^^^^^^\n"},
        {"E2 five parts", "24",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "001  A003     V     C        01:00:00:00:00 01:00:02:00 10:00:00:00 10:00:02:00\n",
         "t.edl:3:30: error TW1202: source in \"01:00:00:00:00\" is not a time of the form HH:MM:SS:FF; the event is "
         "left out\n"
         "  001  A003     V     C        01:00:00:00:00 01:00:02:00 10:00:00:00 10:00:02:00\n"
         "                               ^^^^^^^^^^^^^^\n"},
        {"E6 unknown code", "24",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "001  A003     V     X        01:00:00:00 01:00:02:00 10:00:00:00 10:00:02:00\n",
         "t.edl:3:21: error TW1206: \"X\" is no transition; the event is left out\n"
         "  001  A003     V     X        01:00:00:00 01:00:02:00 10:00:00:00 10:00:02:00\n"
         "                      ^\n"
         "  -> transitions are C, D 024, W001 024, K B, K 024 and K O\n"},
        {"E6 wipe without number", "24",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "001  A003     V     W    010 01:00:00:00 01:00:02:00 10:00:00:00 10:00:02:00\n",
         "t.edl:3:21: error TW1206: the wipe \"W    010\" has no number; the event is left out\n"
         "  001  A003     V     W    010 01:00:00:00 01:00:02:00 10:00:00:00 10:00:02:00\n"
         "                      ^^^^^^^^\n"
         "  -> transitions are C, D 024, W001 024, K B, K 024 and K O\n"},
        {"E6 no length", "24",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "001  A003     V     D        01:00:00:00 01:00:02:00 10:00:00:00 10:00:02:00\n",
         "t.edl:3:21: error TW1206: the transition \"D\" has no length in frames; the event is left out\n"
         "  001  A003     V     D        01:00:00:00 01:00:02:00 10:00:00:00 10:00:02:00\n"
         "                      ^\n"
         "  -> transitions are C, D 024, W001 024, K B, K 024 and K O\n"},
        {"E6 zero length", "24",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "001  A003     V     W001 000 01:00:00:00 01:00:02:00 10:00:00:00 10:00:02:00\n",
         "t.edl:3:21: error TW1206: the transition \"W001 000\" has no length in frames; the event is left out\n"
         "  001  A003     V     W001 000 01:00:00:00 01:00:02:00 10:00:00:00 10:00:02:00\n"
         "                      ^^^^^^^^\n"
         "  -> transitions are C, D 024, W001 024, K B, K 024 and K O\n"},
        {"E8 number", "24",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "1000000  A003     V     C        01:00:00:00 01:00:02:00 10:00:00:00 10:00:02:00\n",
         "t.edl:3:1: error TW1208: event number 1000000 is larger than 999999; the event is left out\n"
         "  1000000  A003     V     C        01:00:00:00 01:00:02:00 10:00:00:00 10:00:02:00\n"
         "  ^^^^^^^\n"},
        {"E8 hour", "24",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "001  A003     V     C        01:00:00:00 01:00:02:00 24:00:00:00 24:00:02:00\n",
         "t.edl:3:54: error TW1208: record in \"24:00:00:00\" lies past 23 hours; the event is left out\n"
         "  001  A003     V     C        01:00:00:00 01:00:02:00 24:00:00:00 24:00:02:00\n"
         "                                                       ^^^^^^^^^^^\n"
         "  -> time code begins again at 00:00:00:00 after midnight: write it so\n"},
        {"E2 sign", "24",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "001  A003     V     C        01:00:00:00 01:00:02:00 -00:00:02:00 00:00:00:00\n",
         "t.edl:3:54: error TW1202: record in \"-00:00:02:00\" is not a time of the form HH:MM:SS:FF; the event is "
         "left "
         "out\n"
         "  001  A003     V     C        01:00:00:00 01:00:02:00 -00:00:02:00 00:00:00:00\n"
         "                                                       ^^^^^^^^^^^^\n"},
        {"tabs: the caret follows", "24",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "001\tA003\tV\tC\t01:00:00:00\t01:00:61:00\t10:00:00:00\t10:00:02:00\n",
         "t.edl:3:26: error TW1202: source out \"01:00:61:00\" has a minute or second above 59; the event is left out\n"
         "  001\tA003\tV\tC\t01:00:00:00\t01:00:61:00\t10:00:00:00\t10:00:02:00\n"
         "     \t    \t \t \t           \t^^^^^^^^^^^\n"},
        {"several at once", "24",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "001  A003     V     X        01:00:00:00 01:00:02:00 10:00:00:00 10:00:02:00\n"
         "002  A003     V     C        01:00:00:00 01:00:02:00\n",
         "t.edl:3:21: error TW1206: \"X\" is no transition; the event is left out\n"
         "  001  A003     V     X        01:00:00:00 01:00:02:00 10:00:00:00 10:00:02:00\n"
         "                      ^\n"
         "  -> transitions are C, D 024, W001 024, K B, K 024 and K O\n"
         "t.edl:4:1: error TW1201: an event ends in four times and this one has 2; it is left out\n"
         "  002  A003     V     C        01:00:00:00 01:00:02:00\n"
         "  ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^\n"},
        {"W12 text behind", "24",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "001  A003     V     C        01:00:00:00 01:00:02:00 10:00:00:00 10:00:02:00 SEE NOTE\n",
         "t.edl:3:78: warning TW1232: the text after the record out time is not understood: only a list made from this "
         "one has it\n"
         "  ...   C        01:00:00:00 01:00:02:00 10:00:00:00 10:00:02:00 SEE NOTE\n"
         "                                                                 ^^^^^^^^\n"},
        {"a wide line is cut around the caret", "24",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "000001  A003C001_260114_WHEEL_BUILDER_01 V     C        01:00:00:00 01:00:02:00 10:00:00:00 10:00:62:00\n",
         "t.edl:3:93: error TW1202: record out \"10:00:62:00\" has a minute or second above 59; the event is left out\n"
         "  ...ILDER_01 V     C        01:00:00:00 01:00:02:00 10:00:00:00 10:00:62:00\n"
         "                                                                 ^^^^^^^^^^^\n"},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_row(i, rows[i].name);
        tw_assert_text(tw_str_z(edl_findings(tw_test_arena(state), rows[i].text, rows[i].rate)), rows[i].expected);
    }
}

/* Forms seen in public lists; what is read from them. */
static void accepted_forms(void **state)
{
    static const struct {
        const char *name, *rate, *text, *expected;
    } rows[] = {
        {"single blanks", "24",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "1 A003 V C 01:00:00:00 01:00:02:00 10:00:00:00 10:00:02:00\n",
         "timeline name=\"WHEEL\" rate=24/1 start=36000\n"
         " track video name=\"V\"\n"
         "  clip #0 event=\"1\" reel=\"A003\" record=36000+2 source=3600+2@24/1 channels=1\n"},
        {"tabs", "24",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "001\tA003\tV\tC\t01:00:00:00\t01:00:02:00\t10:00:00:00\t10:00:02:00\n",
         "timeline name=\"WHEEL\" rate=24/1 start=36000\n"
         " track video name=\"V\"\n"
         "  clip #0 event=\"001\" reel=\"A003\" record=36000+2 source=3600+2@24/1 channels=1\n"},
        {"right-justified reel", "24",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "001        BL V     C        01:00:00:00 01:00:02:00 10:00:00:00 10:00:02:00\n",
         "timeline name=\"WHEEL\" rate=24/1 start=36000\n"
         " track video name=\"V\"\n"
         "  clip #0 event=\"001\" reel=\"BL\" record=36000+2 source=3600+2@24/1 channels=1\n"
         "   media generator active key=\"DEFAULT_MEDIA\" name=\"black\"\n"},
        {"reel with blanks", "24",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "001  A003 TAKE 2 V     C        01:00:00:00 01:00:02:00 10:00:00:00 10:00:02:00\n",
         "timeline name=\"WHEEL\" rate=24/1 start=36000\n"
         " track video name=\"V\"\n"
         "  clip #0 event=\"001\" reel=\"A003 TAKE 2\" record=36000+2 source=3600+2@24/1 channels=1\n"},
        {"reel named like a channel", "24",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "001  V        V     C        01:00:00:00 01:00:02:00 10:00:00:00 10:00:02:00\n",
         "timeline name=\"WHEEL\" rate=24/1 start=36000\n"
         " track video name=\"V\"\n"
         "  clip #0 event=\"001\" reel=\"V\" record=36000+2 source=3600+2@24/1 channels=1\n"},
        {"six digits, 32 characters", "24",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "000001  A001C003_260114_R1XY             V     C        01:00:00:00 01:00:02:00 10:00:00:00 10:00:02:00\n",
         "timeline name=\"WHEEL\" rate=24/1 start=36000\n"
         " track video name=\"V\"\n"
         "  clip #0 event=\"000001\" reel=\"A001C003_260114_R1XY\" record=36000+2 source=3600+2@24/1 channels=1\n"},
        {"no reel", "24",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "001           V     C        01:00:00:00 01:00:02:00 10:00:00:00 10:00:02:00\n",
         "timeline name=\"WHEEL\" rate=24/1 start=36000\n"
         " track video name=\"V\"\n"
         "  clip #0 event=\"001\" record=36000+2 source=3600+2@24/1 channels=1\n"},
        {"wipe with a blank", "24",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "001  A003     V     W 001 010 01:00:00:00 01:00:02:00 10:00:00:00 10:00:02:00\n",
         "timeline name=\"WHEEL\" rate=24/1 start=36000\n"
         " track video name=\"V\"\n"
         "  transition event=\"001\" name=\"wipe 001\" record=36000+5/12 out=5/12 channels=1\n"
         "  clip #0 event=\"001\" reel=\"A003\" record=36000+2 source=3600+2@24/1 channels=1\n"},
        {"key out, together", "24",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "001  A003     V     KO   012 01:00:00:00 01:00:02:00 10:00:00:00 10:00:02:00\n",
         "timeline name=\"WHEEL\" rate=24/1 start=36000\n"
         " track video name=\"V key\"\n"
         "  transition event=\"001\" name=\"key out\" record=36000+1/2 out=1/2 channels=1\n"
         "  clip #0 event=\"001\" reel=\"A003\" record=36000+2 source=3600+2@24/1 channels=1\n"},
        {"one-digit hour", "24",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "001  A003     V     C        1:00:00:00 1:00:02:00 10:00:00:00 10:00:02:00\n",
         "timeline name=\"WHEEL\" rate=24/1 start=36000\n"
         " track video name=\"V\"\n"
         "  clip #0 event=\"001\" reel=\"A003\" record=36000+2 source=3600+2@24/1 channels=1\n"},
        {"in front of the number", "24",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "  001  A003     V     C        01:00:00:00 01:00:02:00 10:00:00:00 10:00:02:00\n",
         "timeline name=\"WHEEL\" rate=24/1 start=36000\n"
         " track video name=\"V\"\n"
         "  clip #0 event=\"001\" reel=\"A003\" record=36000+2 source=3600+2@24/1 channels=1\n"},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_row(i, rows[i].name);
        tw_assert_text(edl_dump(tw_test_arena(state), rows[i].text, rows[i].rate), rows[i].expected);
    }
}

TW_SUITE(edl_event)
{
    const struct CMUnitTest tests[] = {TW_TEST(refusals), TW_TEST(accepted_forms)};
    return tw_run("edl/edl_event", tests);
}
