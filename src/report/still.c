/* SPDX-License-Identifier: Apache-2.0
 *
 * What stills are called.
 */
#include "report_internal.h"

tw_str tw_report_still_name(tw_arena *arena, const tw_timeline *timeline, const tw_item *clip, int64_t frame)
{
    tw_str reel = tw_item_source_name(clip);
    tw_buf name = {.arena = arena};
    for (size_t i = 0; i < reel.len; i++) {
        char c = reel.at[i];
        bool kept = (c >= '0' && c <= '9') || (c >= 'A' && c <= 'Z') || (c >= 'a' && c <= 'z') || c == '.' ||
                    c == '-' || c == '_';
        tw_buf_addc(&name, kept ? c : '_');
    }
    char label[12];
    tw_tc_write(tw_item_shown_frame(timeline, clip, frame), tw_item_source_rate(timeline, clip), false, true, label);
    tw_buf_addc(&name, '_');
    for (const char *p = label; *p != '\0'; p++)
        if (*p != ':')
            tw_buf_addc(&name, *p);
    return tw_buf_str(&name);
}
