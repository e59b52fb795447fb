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
    {1601, TW_WARNING, "no source matches",
     "A shot's reel and media names match no pattern in the plan's sources.",
     "Add the reel with its size to the plan's sources, or widen a pattern."},
    {1602, TW_WARNING, "source of unknown size",
     "The plan names the source but not how large its picture is.",
     "Write its size in pixels into the plan."},
    {1603, TW_NOTE, "note no shot uses",
     "The note's reel and range are not in this edit, often because the cut changed.",
     "Nothing needs doing: the note is kept for the day the shot comes back."},
    {1604, TW_WARNING, "must region not held",
     "The shape is too narrow, or the subject too fast, to keep the whole region in the picture.",
     "Look at the shot; narrow the region, make it nice, or set a window by hand."},
    {1605, TW_WARNING, "enlarged past the limit",
     "The source has too few pixels to fill this delivery at max_scale.",
     "Accept it, raise max_scale for the delivery, or show the picture whole."},
    {1606, TW_NOTE, "something had to give",
     "An inset, a speed or a nice-to-have region could not be kept along with the rest.",
     "Look at the shot; most of these need nothing."},
    {1607, TW_ERROR, "no such delivery",
     "A delivery was asked for by a name the plan does not have.",
     "Use one of the names in the plan's deliveries."},

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
