/* SPDX-License-Identifier: Apache-2.0 */
#include "edl_support.h"

/* Window 2430 wide of a 1080x1920 delivery: 2430 * 1920 / 1080 = 4320 high, centre 1665 + 1215 = 2880, 2160. */
static void remarks_read(void **state)
{
    static const struct {
        const char *name, *rate, *text, *expected;
    } rows[] = {
        {"stamp in one line", "24",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "* TALLWIDE DELIVERY tall 1080X1920 MASTER 0123456789abcdef PLAN fedcba9876543210\n"
         "001  A003     V     C        01:00:00:00 01:00:02:00 10:00:00:00 10:00:02:00\n",
         "timeline name=\"WHEEL\" rate=24/1 start=36000\n"
         " stamp tall 1080x1920 0123456789abcdef fedcba9876543210\n"
         " track video name=\"V\"\n"
         "  clip #0 event=\"001\" reel=\"A003\" record=36000+2 source=3600+2@24/1 channels=1\n"},
        {"stamp in two lines", "24",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "* TALLWIDE DELIVERY quite-tall 1080X1920\n"
         "* TALLWIDE MASTER 0123456789abcdef PLAN fedcba9876543210\n"
         "001  A003     V     C        01:00:00:00 01:00:02:00 10:00:00:00 10:00:02:00\n",
         "timeline name=\"WHEEL\" rate=24/1 start=36000\n"
         " stamp quite-tall 1080x1920 0123456789abcdef fedcba9876543210\n"
         " track video name=\"V\"\n"
         "  clip #0 event=\"001\" reel=\"A003\" record=36000+2 source=3600+2@24/1 channels=1\n"},
        {"window", "24",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "001  A003     V     C        01:00:00:00 01:00:02:00 10:00:00:00 10:00:02:00\n"
         "* TALLWIDE FRAME 1080X1920 SOURCE 5760X4320\n"
         "* TALLWIDE KEY 0 X 1665.000 Y 0.000 W 2430.000 EASE 7\n",
         "timeline name=\"WHEEL\" rate=24/1 start=36000\n"
         " track video name=\"V\"\n"
         "  clip #0 event=\"001\" reel=\"A003\" record=36000+2 source=3600+2@24/1 channels=1\n"
         "   framing fill 1080x1920 of 5760x4320 eased squeeze 1.0\n"
         "    key 0 2880.0 2160.0 2430.0 7.0\n"},
        {"all words", "24",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "001  A003     V     C        01:00:00:00 01:00:02:00 10:00:00:00 10:00:02:00\n"
         "* TALLWIDE FRAME 1080X1920 SOURCE 2880X4320 FIT SQUEEZE 2.0 KEYS BEZIER\n"
         "* TALLWIDE KEY -5 X 0.000 Y 0.000 W 1215.000 EASE 0\n"
         "* TALLWIDE KEY 5 X 10.500 Y 0.000 W 1215.000 EASE 7.2\n",
         "timeline name=\"WHEEL\" rate=24/1 start=36000\n"
         " track video name=\"V\"\n"
         "  clip #0 event=\"001\" reel=\"A003\" record=36000+2 source=3600+2@24/1 channels=1\n"
         "   framing fit 1080x1920 of 2880x4320 bezier squeeze 2.0\n"
         "    key -5 607.5 2160.0 1215.0 0.0\n"
         "    key 5 618.0 2160.0 1215.0 7.2\n"},
        {"outgoing side", "24",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "001  A003     V     C        01:00:00:00 01:00:02:00 10:00:00:00 10:00:02:00\n"
         "001  B001     V     D    012 02:00:00:00 02:00:01:00 10:00:02:00 10:00:03:00\n"
         "* TALLWIDE FRAME 1080X1920 SOURCE 5760X4320\n"
         "* TALLWIDE KEY 0 X 1665.000 Y 0.000 W 2430.000 EASE 7\n"
         "* TALLWIDE FRAME 1080X1920 SOURCE 5760X4320 FROM\n"
         "* TALLWIDE KEY 0 X 1000.000 Y 0.000 W 2430.000 EASE 7\n",
         "timeline name=\"WHEEL\" rate=24/1 start=36000\n"
         " track video name=\"V\"\n"
         "  clip #0 event=\"001\" reel=\"A003\" record=36000+2 source=3600+2@24/1 tail=1/2 channels=1\n"
         "   framing fill 1080x1920 of 5760x4320 eased squeeze 1.0\n"
         "    key 0 2215.0 2160.0 2430.0 7.0\n"
         "  transition event=\"001\" name=\"dissolve\" record=36002+1/2 out=1/2 channels=1\n"
         "  clip #1 event=\"001\" reel=\"B001\" record=36002+1 source=7200+1@24/1 channels=1\n"
         "   framing fill 1080x1920 of 5760x4320 eased squeeze 1.0\n"
         "    key 0 2880.0 2160.0 2430.0 7.0\n"},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_row(i, rows[i].name);
        tw_assert_text(edl_dump(tw_test_arena(state), rows[i].text, rows[i].rate), rows[i].expected);
    }
}

/* TW1211 with the word that is wrong. */
static void damaged_remarks(void **state)
{
    static const struct {
        const char *name, *rate, *text, *expected;
    } rows[] = {
        {"unknown word", "24",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "001  A003     V     C        01:00:00:00 01:00:02:00 10:00:00:00 10:00:02:00\n"
         "* TALLWIDE LOOK LEFT\n",
         "t.edl:4:12: error TW1211: this framing remark is damaged: DELIVERY, RATE, FRAME or KEY should stand where "
         "\"LOOK\" does\n"
         "  * TALLWIDE LOOK LEFT\n"
         "             ^^^^\n"
         "  -> take the remarks that begin with * TALLWIDE out, or make the list again from its plan\n"},
        {"a rate that frame numbers of two digits cannot count", "24",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "001  A003     V     C        01:00:00:00 01:00:02:00 10:00:00:00 10:00:02:00\n"
         "* TALLWIDE RATE 120/1\n",
         "t.edl:4:17: error TW1211: this framing remark is damaged: a rate of up to 100 frames a second should stand "
         "where \"120/1\" does\n"
         "  * TALLWIDE RATE 120/1\n"
         "                  ^^^^^\n"
         "  -> take the remarks that begin with * TALLWIDE out, or make the list again from its plan\n"},
        {"a rate of an outgoing side that is not there", "24",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "001  A003     V     C        01:00:00:00 01:00:02:00 10:00:00:00 10:00:02:00\n"
         "* TALLWIDE RATE 48/1 FROM\n",
         "t.edl:4:1: error TW1211: this framing remark cannot be used: no transition stands above it\n"
         "  * TALLWIDE RATE 48/1 FROM\n"
         "  ^^^^^^^^^^^^^^^^^^^^^^^^^\n"
         "  -> take the remarks that begin with * TALLWIDE out, or make the list again from its plan\n"},
        {"no size", "24",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "001  A003     V     C        01:00:00:00 01:00:02:00 10:00:00:00 10:00:02:00\n"
         "* TALLWIDE FRAME 1080 SOURCE 5760X4320\n",
         "t.edl:4:18: error TW1211: this framing remark is damaged: a size like 1080X1920 should stand where \"1080\" "
         "does\n"
         "  * TALLWIDE FRAME 1080 SOURCE 5760X4320\n"
         "                   ^^^^\n"
         "  -> take the remarks that begin with * TALLWIDE out, or make the list again from its plan\n"},
        {"missing end", "24",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "001  A003     V     C        01:00:00:00 01:00:02:00 10:00:00:00 10:00:02:00\n"
         "* TALLWIDE FRAME 1080X1920 SOURCE\n",
         "t.edl:4:34: error TW1211: this framing remark is damaged: a size like 1080X1920 is missing at its end\n"
         "  * TALLWIDE FRAME 1080X1920 SOURCE\n"
         "                                   ^\n"
         "  -> take the remarks that begin with * TALLWIDE out, or make the list again from its plan\n"},
        {"text behind", "24",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "001  A003     V     C        01:00:00:00 01:00:02:00 10:00:00:00 10:00:02:00\n"
         "* TALLWIDE FRAME 1080X1920 SOURCE 5760X4320\n"
         "* TALLWIDE KEY 0 X 1665.000 Y 0.000 W 2430.000 EASE 7 FRAMES\n",
         "t.edl:5:55: error TW1211: this framing remark is damaged: the end of the line should stand where \"FRAMES\" "
         "does\n"
         "  * TALLWIDE KEY 0 X 1665.000 Y 0.000 W 2430.000 EASE 7 FRAMES\n"
         "                                                        ^^^^^^\n"
         "  -> take the remarks that begin with * TALLWIDE out, or make the list again from its plan\n"
         "t.edl:4:1: error TW1211: this framing remark cannot be used: no KEY remark follows it\n"
         "  * TALLWIDE FRAME 1080X1920 SOURCE 5760X4320\n"
         "  ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^\n"
         "  -> take the remarks that begin with * TALLWIDE out, or make the list again from its plan\n"},
        {"key without frame", "24",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "001  A003     V     C        01:00:00:00 01:00:02:00 10:00:00:00 10:00:02:00\n"
         "* TALLWIDE KEY 0 X 1665.000 Y 0.000 W 2430.000 EASE 7\n",
         "t.edl:4:1: error TW1211: this framing remark cannot be used: no FRAME remark stands above it\n"
         "  * TALLWIDE KEY 0 X 1665.000 Y 0.000 W 2430.000 EASE 7\n"
         "  ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^\n"
         "  -> take the remarks that begin with * TALLWIDE out, or make the list again from its plan\n"},
        {"hashes without delivery", "24",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "* TALLWIDE MASTER 0123456789abcdef PLAN fedcba9876543210\n"
         "001  A003     V     C        01:00:00:00 01:00:02:00 10:00:00:00 10:00:02:00\n",
         "t.edl:3:1: error TW1211: this framing remark cannot be used: no DELIVERY remark stands above it\n"
         "  * TALLWIDE MASTER 0123456789abcdef PLAN fedcba9876543210\n"
         "  ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^\n"
         "  -> take the remarks that begin with * TALLWIDE out, or make the list again from its plan\n"},
        {"frame without key", "24",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "001  A003     V     C        01:00:00:00 01:00:02:00 10:00:00:00 10:00:02:00\n"
         "* TALLWIDE FRAME 1080X1920 SOURCE 5760X4320\n",
         "t.edl:4:1: error TW1211: this framing remark cannot be used: no KEY remark follows it\n"
         "  * TALLWIDE FRAME 1080X1920 SOURCE 5760X4320\n"
         "  ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^\n"
         "  -> take the remarks that begin with * TALLWIDE out, or make the list again from its plan\n"},
        {"keys not in order", "24",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "001  A003     V     C        01:00:00:00 01:00:02:00 10:00:00:00 10:00:02:00\n"
         "* TALLWIDE FRAME 1080X1920 SOURCE 5760X4320\n"
         "* TALLWIDE KEY 0 X 1665.000 Y 0.000 W 2430.000 EASE 7\n"
         "* TALLWIDE KEY 0 X 1665.000 Y 0.000 W 2430.000 EASE 7\n",
         "t.edl:6:1: error TW1211: this framing remark cannot be used: its frame does not come after the key before "
         "it\n"
         "  * TALLWIDE KEY 0 X 1665.000 Y 0.000 W 2430.000 EASE 7\n"
         "  ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^\n"
         "  -> take the remarks that begin with * TALLWIDE out, or make the list again from its plan\n"},
        {"twice", "24",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "001  A003     V     C        01:00:00:00 01:00:02:00 10:00:00:00 10:00:02:00\n"
         "* TALLWIDE FRAME 1080X1920 SOURCE 5760X4320\n"
         "* TALLWIDE KEY 0 X 1665.000 Y 0.000 W 2430.000 EASE 7\n"
         "* TALLWIDE FRAME 1080X1920 SOURCE 5760X4320\n"
         "* TALLWIDE KEY 0 X 1665.000 Y 0.000 W 2430.000 EASE 7\n",
         "t.edl:6:1: error TW1211: this framing remark cannot be used: its event is framed twice\n"
         "  * TALLWIDE FRAME 1080X1920 SOURCE 5760X4320\n"
         "  ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^\n"
         "  -> take the remarks that begin with * TALLWIDE out, or make the list again from its plan\n"
         "t.edl:7:1: error TW1211: this framing remark cannot be used: no FRAME remark stands above it\n"
         "  * TALLWIDE KEY 0 X 1665.000 Y 0.000 W 2430.000 EASE 7\n"
         "  ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^\n"
         "  -> take the remarks that begin with * TALLWIDE out, or make the list again from its plan\n"},
        {"no picture", "24",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "001  A003     A     C        01:00:00:00 01:00:02:00 10:00:00:00 10:00:02:00\n"
         "* TALLWIDE FRAME 1080X1920 SOURCE 5760X4320\n"
         "* TALLWIDE KEY 0 X 1665.000 Y 0.000 W 2430.000 EASE 7\n",
         "t.edl:4:1: error TW1211: this framing remark cannot be used: the event above it has no picture\n"
         "  * TALLWIDE FRAME 1080X1920 SOURCE 5760X4320\n"
         "  ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^\n"
         "  -> take the remarks that begin with * TALLWIDE out, or make the list again from its plan\n"
         "t.edl:5:1: error TW1211: this framing remark cannot be used: no FRAME remark stands above it\n"
         "  * TALLWIDE KEY 0 X 1665.000 Y 0.000 W 2430.000 EASE 7\n"
         "  ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^\n"
         "  -> take the remarks that begin with * TALLWIDE out, or make the list again from its plan\n"
         "t.edl: note TW1231: 1 audio-only line: kept, nothing in it is framed\n"
         "t.edl: warning TW1210: the list holds 0 video events\n"},
        {"no pair", "24",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "001  A003     V     C        01:00:00:00 01:00:02:00 10:00:00:00 10:00:02:00\n"
         "* TALLWIDE FRAME 1080X1920 SOURCE 5760X4320 FROM\n"
         "* TALLWIDE KEY 0 X 1665.000 Y 0.000 W 2430.000 EASE 7\n",
         "t.edl:4:1: error TW1211: this framing remark cannot be used: no transition stands above it\n"
         "  * TALLWIDE FRAME 1080X1920 SOURCE 5760X4320 FROM\n"
         "  ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^\n"
         "  -> take the remarks that begin with * TALLWIDE out, or make the list again from its plan\n"
         "t.edl:5:1: error TW1211: this framing remark cannot be used: no FRAME remark stands above it\n"
         "  * TALLWIDE KEY 0 X 1665.000 Y 0.000 W 2430.000 EASE 7\n"
         "  ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^\n"
         "  -> take the remarks that begin with * TALLWIDE out, or make the list again from its plan\n"},
        {"before the first event", "24",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "* TALLWIDE FRAME 1080X1920 SOURCE 5760X4320\n"
         "* TALLWIDE KEY 0 X 1665.000 Y 0.000 W 2430.000 EASE 7\n"
         "001  A003     V     C        01:00:00:00 01:00:02:00 10:00:00:00 10:00:02:00\n",
         "t.edl:3:12: error TW1211: this framing remark is damaged: DELIVERY should stand where \"FRAME\" does\n"
         "  * TALLWIDE FRAME 1080X1920 SOURCE 5760X4320\n"
         "             ^^^^^\n"
         "  -> take the remarks that begin with * TALLWIDE out, or make the list again from its plan\n"
         "t.edl:4:12: error TW1211: this framing remark is damaged: DELIVERY should stand where \"KEY\" does\n"
         "  * TALLWIDE KEY 0 X 1665.000 Y 0.000 W 2430.000 EASE 7\n"
         "             ^^^\n"
         "  -> take the remarks that begin with * TALLWIDE out, or make the list again from its plan\n"},
        {"bad number", "24",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "001  A003     V     C        01:00:00:00 01:00:02:00 10:00:00:00 10:00:02:00\n"
         "* TALLWIDE FRAME 1080X1920 SOURCE 5760X4320\n"
         "* TALLWIDE KEY 0 X 1665.000 Y 0.000 W wide EASE 7\n",
         "t.edl:5:39: error TW1211: this framing remark is damaged: a number above 0 should stand where \"wide\" does\n"
         "  * TALLWIDE KEY 0 X 1665.000 Y 0.000 W wide EASE 7\n"
         "                                        ^^^^\n"
         "  -> take the remarks that begin with * TALLWIDE out, or make the list again from its plan\n"
         "t.edl:4:1: error TW1211: this framing remark cannot be used: no KEY remark follows it\n"
         "  * TALLWIDE FRAME 1080X1920 SOURCE 5760X4320\n"
         "  ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^\n"
         "  -> take the remarks that begin with * TALLWIDE out, or make the list again from its plan\n"},
        {"bad hash", "24",
         "TITLE: WHEEL\n"
         "FCM: NON-DROP FRAME\n"
         "* TALLWIDE MASTER 0123 PLAN fedcba9876543210\n"
         "001  A003     V     C        01:00:00:00 01:00:02:00 10:00:00:00 10:00:02:00\n",
         "t.edl:3:19: error TW1211: this framing remark is damaged: a hash of 16 hexadecimal digits should stand where "
         "\"0123\" does\n"
         "  * TALLWIDE MASTER 0123 PLAN fedcba9876543210\n"
         "                    ^^^^\n"
         "  -> take the remarks that begin with * TALLWIDE out, or make the list again from its plan\n"},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_row(i, rows[i].name);
        tw_assert_text(tw_str_z(edl_findings(tw_test_arena(state), rows[i].text, rows[i].rate)), rows[i].expected);
    }
}

TW_SUITE(edl_frame)
{
    const struct CMUnitTest tests[] = {TW_TEST(remarks_read), TW_TEST(damaged_remarks)};
    return tw_run("edl/edl_frame", tests);
}
