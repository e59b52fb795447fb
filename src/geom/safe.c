/* SPDX-License-Identifier: Apache-2.0 */
#include <tallwide/geom.h>

/* Shares per side. SMPTE ST 2046-1:2009: action 93 %, title 90 % of width and height; EBU R 95: 3.5 % and 5 % from each
 * edge. Neither speaks of shapes other than the broadcast rasters. */
static const tw_safe presets[] = {
    {"st2046-1", "SMPTE ST 2046-1", {.035, .035, .035, .035}, {.05, .05, .05, .05}, true},
    {"ebu-r95", "EBU R 95", {.035, .035, .035, .035}, {.05, .05, .05, .05}, true},
};

const tw_safe *tw_safe_find(tw_str name)
{
    for (size_t i = 0; i < sizeof presets / sizeof presets[0]; i++)
        if (tw_str_ieq(tw_str_z(presets[i].name), name))
            return &presets[i];
    return NULL;
}

bool tw_safe_covers(const tw_safe *safe, tw_size delivery)
{
    return !safe->wide_only || (int64_t)delivery.w * 9 == (int64_t)delivery.h * 16;
}
