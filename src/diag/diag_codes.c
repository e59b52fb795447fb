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
     "A line end, a tab or another control character stands between quotes; often the closing quote is missing.",
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
    {1501, TW_ERROR, "not a plan",
     "The file is JSON but has no \"tallwide_plan\" member.",
     "Check that the right file was named; `start` writes a plan."},
    {1502, TW_ERROR, "plan of another version",
     "The plan was written for another version of the format.",
     "Use a version of this tool that reads it."},
    {1503, TW_WARNING, "member not known",
     "A member has a name this tool does not know: a slip, or something another program added.",
     "Correct the name if it is a slip; else nothing needs doing."},
    {1504, TW_ERROR, "member missing",
     "An object lacks a member it cannot do without.",
     "Add the member."},
    {1505, TW_ERROR, "not what belongs here",
     "A member holds another kind of value than it should, or a number out of bounds.",
     "Write what the message asks for."},
    {1507, TW_ERROR, "not one of the choices",
     "A member holds a word that is none of its choices.",
     "Write one of the words named."},
    {1508, TW_ERROR, "delivery name unfit for files",
     "A delivery's name holds characters that file names should not have.",
     "Use letters, digits, '-' and '_'."},
    {1509, TW_ERROR, "delivery name used twice",
     "Two deliveries have the same name, so that they would write the same files. Capitals do not tell names apart.",
     "Rename one of them."},
    {1510, TW_ERROR, "safe area not known",
     "The plan names a safe area that no standard this tool knows defines.",
     "Write \"st2046-1\" or \"ebu-r95\", or give an \"inset\"."},
    {1511, TW_ERROR, "insets leave nothing",
     "The insets of opposite sides take up the whole picture.",
     "Make them smaller."},
    {1513, TW_ERROR, "time not readable",
     "A time is no time code, or names a frame that does not exist at the rate of its reel.",
     "Write HH:MM:SS:FF as the source counts, or correct the rate."},
    {1514, TW_ERROR, "no rate for times",
     "Times are written as time code, but neither the plan nor the edit says how many frames a second has.",
     "Write \"rate\" in \"edit\", or in the source, or give --rate."},
    {1515, TW_WARNING, "';' without drop frame",
     "A time is written with ';' before the frames at a rate that has no drop-frame counting.",
     "Write ':' instead."},
    {1516, TW_ERROR, "note ends before it begins",
     "A note's \"out\" is not after its \"in\".",
     "Correct one of them; \"out\" is the frame after the last."},
    {1517, TW_ERROR, "note id used twice",
     "Two notes have the same id; merging and comparing could not tell them apart.",
     "Give one of them another id."},
    {1518, TW_ERROR, "region name used twice",
     "Two regions of one note have the same name.",
     "Rename one of them."},
    {1519, TW_ERROR, "region without one place",
     "A region has neither keys nor a track, or both.",
     "Give it exactly one of them."},
    {1520, TW_ERROR, "keys out of order",
     "A key does not come after the one before it.",
     "Put the keys in order of time, one for each time."},
    {1521, TW_WARNING, "key outside the note",
     "A key lies before the note's \"in\" or after its \"out\".",
     "Nothing needs doing if that is meant."},
    {1522, TW_ERROR, "box of no size",
     "A box or window has no width or height, or lies outside the picture.",
     "Correct the box; shares run from 0 to 1."},
    {1523, TW_WARNING, "box sticks out",
     "A box reaches past the edge of the picture.",
     "Nothing needs doing; the part inside was used."},
    {1524, TW_ERROR, "not a key",
     "A row of keys has too few or too many values, or one that is no number.",
     "Write the row as the message shows."},
    {1525, TW_WARNING, "delivery not there",
     "A note names a delivery that the plan does not have.",
     "Correct the name, or leave it if the delivery comes later."},
    {1526, TW_WARNING, "reel named twice",
     "Two sources have the same pattern; only the first can match.",
     "Remove one of them."},
    {1528, TW_ERROR, "drop frame at this rate",
     "Drop frame is asked for at a rate that has none; only 29.97 and 59.94 have it.",
     "Leave \"drop\" out, or correct the rate."},
    {1529, TW_ERROR, "too many formats",
     "A delivery names more formats than can be written.",
     "Leave some out."},
    {1540, TW_WARNING, "header in a table of boxes",
     "The first line of a table of boxes holds no numbers.",
     "Nothing needs doing; it was skipped."},
    {1541, TW_ERROR, "line of boxes not readable",
     "A line of a table of boxes is not frame,id,left,top,width,height,... in numbers.",
     "Correct the line, or export the table again."},
    {1542, TW_WARNING, "no boxes",
     "A table of boxes holds none for the region that names it.",
     "Check \"track_id\" and the file."},
    {1543, TW_ERROR, "box of no size in a table",
     "A box in a table has no size or lies outside the picture.",
     "Check that the table was made for this source size."},
    {1544, TW_WARNING, "box in a table sticks out",
     "A box in a table reaches past the edge of the picture.",
     "Nothing needs doing; the part inside was used."},
    {1545, TW_ERROR, "two boxes for one frame",
     "A table of boxes has two for the same frame of one region.",
     "Say whose boxes are meant with \"track_id\", or remove one."},
    {1546, TW_ERROR, "table too large",
     "A table of boxes is larger than 1 GiB.",
     "Split the table."},

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
