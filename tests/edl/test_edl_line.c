/* SPDX-License-Identifier: Apache-2.0 */
#include "edl_support.h"

/* The lines of a list, read and written anew, without the header. */
static void lines(void **state)
{
    static const struct {
        const char *name, *rate, *list;
    } rows[] = {
        {"reverse", "24",
         "001  A003     V     C        05:00:09:00 05:00:10:00 10:00:42:00 10:00:44:00\n"
         "M2   A003          -012.0                05:00:09:00\n"},
        {"four digits", "24",
         "001  A003     V     C        01:00:00:00 01:01:13:04 10:00:00:00 10:00:00:10\n"
         "M2   A003          4215.6                01:00:00:00\n"},
        {"source mode by FCM", "29.97",
         "001  A003     V     C        01:00:59:28 01:01:00:02 01:00:00:00 01:00:00:04\n"
         "FCM: DROP FRAME\n"
         "002  A003     V     C        01:00:59:28 01:01:00:04 01:00:00:04 01:00:00:08\n"},
        {"all sound", "24",
         "001  A003     A     C        01:00:00:00 01:00:01:00 01:00:00:00 01:00:01:00\n"
         "002  A004     A2    C        01:00:00:00 01:00:01:00 01:00:01:00 01:00:02:00\n"
         "003  A005     AA    C        01:00:00:00 01:00:01:00 01:00:02:00 01:00:03:00\n"
         "004  A006     AA    C        01:00:00:00 01:00:01:00 01:00:03:00 01:00:04:00\n"
         "AUD  3    4\n"
         "005  A007     A3    C        01:00:00:00 01:00:01:00 01:00:04:00 01:00:05:00\n"
         "006  A008     A7    C        01:00:00:00 01:00:01:00 01:00:05:00 01:00:06:00\n"},
        {"split edit", "24",
         "SPLIT:    AUDIO DELAY=  00:00:02:00\n"
         "020  A003     V     C        01:02:00:00 01:02:05:00 10:01:00:00 10:01:05:00\n"
         "020  A003     A     C        01:02:02:00 01:02:05:00 10:01:02:00 10:01:05:00\n"},
        {"sound with picture", "24",
         "001  A003     B     C        01:00:00:00 01:00:01:00 01:00:00:00 01:00:01:00\n"
         "002  A003     A2/V  C        01:00:00:00 01:00:01:00 01:00:01:00 01:00:02:00\n"
         "003  A003     V     C        01:00:00:00 01:00:01:00 01:00:02:00 01:00:03:00\n"
         "AUD       4\n"},
        {"wipe", "25",
         "001  A003     V     C        01:00:00:00 01:00:00:00 01:00:00:00 01:00:00:00\n"
         "001  B001     V     W032 012 01:00:00:00 01:00:01:00 01:00:00:00 01:00:01:00\n"},
    };
    static const char header[] = "TITLE: WHEEL\nFCM: NON-DROP FRAME\n";
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_arena *arena = tw_test_arena(state);
        tw_row(i, rows[i].name);
        tw_str list = tw_arena_printf(arena, "%s%s", header, rows[i].list);
        edl_case c = edl_read(arena, list, rows[i].rate);
        tw_assert_text(edl_rewritten(arena, c.timeline, 0, tw_diags_new(arena)), list.at);
    }
}

TW_SUITE(edl_line)
{
    const struct CMUnitTest tests[] = {TW_TEST(lines)};
    return tw_run("edl/edl_line", tests);
}
