/* SPDX-License-Identifier: Apache-2.0 */
#include "support/support.h"
#include "report/hand.h"

/* Scale 1080 / 2430 = 0.444444 and 1080 / 2025 = 0.533333; move = scale * (5760 / 2 - 4747.5) = -996, and
 * 0.533333 * (4320 / 2 - 2520) = -192. Frame 90000 at 24 is 01:02:30:00, 1000 is 00:00:41:16. */
static void rows(void **state)
{
    tw_buf out = {.arena = tw_test_arena(state)};
    hand *h = hand_derived(out.arena);
    tw_report_keys(&h->derived, 0, &out);
    tw_assert_text(
        tw_buf_str(&out),
        "track,event,reel,clip,source_in,source_out,record_in,record_out,frame,record,source,x,y,w,h,scale,zoom,move_x,"
        "move_y,ease,mode\r\n"
        "V1,001,A003,\"wheel, "
        "\"\"close\"\"\",01:02:30:00,01:02:32:00,01:00:00:00,01:00:02:00,0,01:00:00:00,01:02:30:00,"
        "1665.000,0.000,2430.000,4320.000,0.444444,1.000000,0.000,0.000,0.000,fill\r\n"
        "V1,002,B001,\"wheel, "
        "\"\"close\"\"\",00:00:41:16,00:00:45:16,01:00:02:00,01:00:06:00,24,01:00:03:00,00:00:42:16,"
        "1665.000,0.000,2430.000,4320.000,0.444444,1.000000,0.000,0.000,6.000,fill\r\n"
        "V1,002,B001,\"wheel, "
        "\"\"close\"\"\",00:00:41:16,00:00:45:16,01:00:02:00,01:00:06:00,48,01:00:04:00,00:00:43:16,"
        "3735.000,720.000,2025.000,3600.000,0.533333,1.200000,-996.000,-192.000,6.000,fill\r\n");
}

TW_SUITE(keys)
{
    const struct CMUnitTest tests[] = {TW_TEST(rows)};
    return tw_run("report/keys", tests);
}
