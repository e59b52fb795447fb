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
    {1101, TW_ERROR, "empty file",
     "The file holds no JSON value at all; an export may have failed or a copy may have been cut off.",
     "Export or copy the file again."},
    {1102, TW_ERROR, "not as JSON is written",
     "A character stands where JSON does not allow it: a missing or extra comma, a comment, single quotes.",
     "Mend the text at the place shown; RFC 8259 is the rule."},
    {1103, TW_ERROR, "text ends too early",
     "A bracket, a quote or a value is missing at the end; the file may have been cut off.",
     "Copy or export the file again, or close what is open."},
    {1104, TW_ERROR, "not a number",
     "A number is written as JSON does not allow: 01, .5, 1., +1, 1e.",
     "Write it with digits on both sides of the point and no leading zero or plus."},
    {1105, TW_ERROR, "control character in a text",
     "A line end, a tab or another control character stands unescaped between quotes; often the closing quote is missing.",
     "Close the quote, or write the character as \\n, \\t or \\u00XX."},
    {1106, TW_ERROR, "unknown escape",
     "A backslash is followed by something JSON does not know, often in a path with single backslashes.",
     "Double the backslash, or use one of the escapes named."},
    {1107, TW_ERROR, "not UTF-8",
     "The file was saved in another character encoding than UTF-8, or was damaged.",
     "Save or export the file as UTF-8."},
    {1108, TW_ERROR, "NUL character in a text",
     "A text holds the character \\u0000, which would cut it short in many programs.",
     "Remove the character."},
    {1109, TW_ERROR, "half a surrogate pair",
     "A character outside the basic plane was escaped by halves; the text was cut in the middle of one.",
     "Write both halves, or the character itself in UTF-8."},
    {1110, TW_ERROR, "text after the value",
     "More text follows after the closing bracket of the one value a file holds; two files may have been joined.",
     "Remove what follows, or split the file."},
    {1111, TW_ERROR, "byte order mark",
     "The file begins with the three bytes EF BB BF, which JSON does not allow.",
     "Save the file as UTF-8 without a byte order mark."},
    {1112, TW_WARNING, "byte order mark skipped",
     "The file begins with the three bytes EF BB BF, which JSON does not allow; some programs write them.",
     "Nothing needs doing here; other readers may refuse the file."},
    {1113, TW_ERROR, "name used twice",
     "Two members of one object have the same name, so it is not clear which one is meant.",
     "Remove or rename one of them."},
    {1114, TW_WARNING, "name used twice, first one counts",
     "Two members of one object have the same name; the reference library takes the first.",
     "Remove one of them when it matters which one is meant."},
    {1115, TW_ERROR, "NaN or infinity",
     "A number is NaN or infinite; JSON has no way to write that.",
     "Write a number, or null where that is allowed."},
    {1116, TW_WARNING, "NaN or infinity kept",
     "A number is NaN or infinite; JSON has no way to write that, but the reference library writes it so.",
     "Look at the value: it seldom means what was meant."},
    {1117, TW_ERROR, "nested too deep",
     "Lists and objects stand in each other more than 128 levels deep.",
     "Check that the right file was named; no edit is that deep."},
    {1118, TW_ERROR, "too many values",
     "The file holds more than ten million values.",
     "Split the file."},
    {1119, TW_ERROR, "file too large for JSON",
     "The file is larger than 1 GiB.",
     "Split the file, or check that the right one was named."},
    {1120, TW_ERROR, "tree not built",
     "The JSON library could not build the tree although the text is fine: memory ran out, or this tool has a fault.",
     "Free some memory and try again; if it stays, report it with the file."},

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
    {1901, TW_ERROR, "nothing to frame",
     "The edit holds no picture clip with a length: it may be a list of sound only.",
     "Name the list that holds the picture, or export one."},
    {1902, TW_ERROR, "size needed",
     "A table of boxes is in pixels, and pixels mean nothing without the size of the picture.",
     "Give the source its size in the plan."},
    {1903, TW_WARNING, "sizes to fill in",
     "No --source pattern gave these sources a size.",
     "Fill in \"size\": [width, height] for each, or run `start` again with --source."},
    {1904, TW_ERROR, "format not written",
     "A delivery names a format this tool does not write.",
     "Use one of the names that `tallwide convert -h` gives."},

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
