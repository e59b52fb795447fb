/* SPDX-License-Identifier: Apache-2.0
 *
 * The one table of codes. A number is never reused; rows stand in order, one section per hundred.
 */
#include <tallwide/diag.h>

/* clang-format off */
static const tw_code codes[] = {
    /* 10 files and limits */
    {1001, TW_ERROR, "format not recognised",
     "The bytes look like none of the formats this tool reads.",
     "Export the edit as a text list or as OpenTimelineIO JSON, or check that the right file was named."},
    {1002, TW_ERROR, "file too large",
     "The file is larger than the stated bound.",
     "Split the edit, or check that the right file was named."},

    /* 11 JSON */

    /* 12 text lists */

    /* 13 OTIO */

    /* 14 timeline */
    {1401, TW_WARNING, "transition longer than its neighbour",
     "A transition starts before its outgoing clip does, or runs on after its incoming clip has ended.",
     "Shorten the transition in the edit; framing goes by the frames that exist."},
    {1402, TW_WARNING, "frames the media does not have",
     "The edit shows frames before the first or after the last one recorded, often as transition handles.",
     "Check the in and out points, or the start time code of the media."},

    /* 15 plan */

    /* 16 framing */

    /* 17 proof */

    /* 18 re-cuts */

    /* 19 command line */

    /* 20 XML and pages */

    /* 21 pictures */
};
/* clang-format on */

#define CODES (sizeof codes / sizeof codes[0])

const tw_code *tw_code_find(int code)
{
    for (size_t low = 0, high = CODES; low < high;) {
        size_t middle = low + (high - low) / 2;
        if (codes[middle].code == code)
            return &codes[middle];
        if (codes[middle].code < code)
            low = middle + 1;
        else
            high = middle;
    }
    return NULL;
}

const tw_code *tw_code_all(size_t *count)
{
    *count = CODES;
    return codes;
}
