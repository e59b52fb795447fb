/* SPDX-License-Identifier: Apache-2.0 */
#include "report_internal.h"

#include <math.h>

#define SMALL 32 /* largest number a ratio is said with */

void twi_report_ratio(double w, double h, tw_buf *out)
{
    for (int b = 1; b <= SMALL; b++) {
        double a = w / h * b;
        if (a >= 0.5 && a <= SMALL && fabs(a - floor(a + 0.5)) < 1e-9) {
            tw_buf_addf(out, "%d:%d", (int)(a + 0.5), b);
            return;
        }
    }
    tw_buf_add_fixed(out, w / h, 2);
    tw_buf_addz(out, ":1");
}

void twi_report_window(tw_window win, tw_buf *out)
{
    tw_xml_add_num(out, win.w, 2);
    tw_buf_addc(out, 'x');
    tw_xml_add_num(out, win.h, 2);
    tw_buf_addz(out, " at ");
    tw_xml_add_num(out, win.x, 2);
    tw_buf_addc(out, ',');
    tw_xml_add_num(out, win.y, 2);
}

void twi_report_percent(double share, int places, tw_buf *out)
{
    tw_buf_add_fixed(out, share * 100, places);
    tw_buf_addz(out, " %");
}

void twi_report_time(int64_t frames, tw_rate rate, bool drop, tw_buf *out)
{
    char label[12];
    tw_tc_write(frames, rate, drop, false, label);
    tw_buf_addz(out, label);
}

tw_str twi_report_event(tw_arena *arena, const tw_decision *shot, size_t index)
{
    return shot->clip->event.len > 0 ? shot->clip->event : tw_arena_printf(arena, "%03zu", index + 1);
}

/* AX stands for any auxiliary source and tells nothing. */
tw_str twi_report_reel(const tw_item *clip)
{
    tw_str names[5];
    size_t count = tw_item_names(clip, names);
    for (size_t i = 0; i < count; i++)
        if (!tw_str_ieq(names[i], TW_STR("AX")))
            return names[i];
    return count > 0 ? names[0] : TW_STR("");
}
