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

tw_str twi_report_event(tw_arena *arena, const tw_decision *shot, size_t index)
{
    return shot->clip->event.len > 0 ? shot->clip->event : tw_arena_printf(arena, "%03zu", index + 1);
}
