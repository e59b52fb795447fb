/* SPDX-License-Identifier: Apache-2.0 */
#include <tallwide/geom.h>

/* Shares per side. SMPTE ST 2046-1:2009: action 93 %, title 90 % of width and height; EBU R 95: 3.5 % and 5 % from each
 * edge. The first speaks of the production apertures of 1080, 720, 576 and 480 lines (its scope; widths are those of
 * the rasters themselves: ST 274, ST 296, BT.601), the second of 16:9 television of any size. */
static const tw_size apertures[] = {{1920, 1080}, {1280, 720}, {720, 576}, {720, 480}, {0, 0}};

static const tw_safe presets[] = {
    {"st2046-1", "SMPTE ST 2046-1", {.035, .035, .035, .035}, {.05, .05, .05, .05}, apertures},
    {"ebu-r95", "EBU R 95", {.035, .035, .035, .035}, {.05, .05, .05, .05}, NULL},
};

const tw_safe *tw_safe_find(tw_str name)
{
    for (size_t i = 0; i < TW_COUNT(presets); i++)
        if (tw_str_ieq(tw_str_z(presets[i].name), name))
            return &presets[i];
    return NULL;
}

bool tw_safe_covers(const tw_safe *safe, tw_size delivery)
{
    if (safe->rasters == NULL)
        return (int64_t)delivery.w * 9 == (int64_t)delivery.h * 16;
    for (const tw_size *raster = safe->rasters; raster->w > 0; raster++)
        if (tw_size_same(*raster, delivery))
            return true;
    return false;
}
