/* SPDX-License-Identifier: Apache-2.0
 *
 * What stills are called.
 */
#include "report_internal.h"

#include <math.h>

tw_str tw_report_still_name(tw_arena *arena, const tw_timeline *timeline, const tw_item *clip, int64_t frame)
{
    tw_str reel = twi_report_reel(clip);
    tw_buf name = {.arena = arena};
    for (size_t i = 0; i < reel.len; i++) {
        char c = reel.at[i];
        bool kept = (c >= '0' && c <= '9') || (c >= 'A' && c <= 'Z') || (c >= 'a' && c <= 'z') || c == '.' ||
                    c == '-' || c == '_';
        tw_buf_addc(&name, kept ? c : '_');
    }
    char label[12];
    int64_t source = (int64_t)floor(tw_item_source_frame(timeline, clip, frame) + 1e-6);
    tw_rate rate = tw_rate_known(clip->source_rate) ? clip->source_rate : timeline->rate;
    tw_tc_write(source, rate, false, true, label);
    tw_buf_addc(&name, '_');
    for (const char *p = label; *p != '\0'; p++)
        if (*p != ':')
            tw_buf_addc(&name, *p);
    return tw_buf_str(&name);
}
