/* SPDX-License-Identifier: Apache-2.0 */
#include "codes.h"

/* clang-format off */
/* files and limits */
const tw_code twi_codes_files[] = {
    {1001, TW_ERROR, "format not recognised",
     "The bytes look like none of the formats this tool reads.",
     "Export the edit in one of the formats named, or check that the right file was named."},
    {0}
};

/* JSON */
const tw_code twi_codes_json[] = {
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
     "The file holds more than twenty million values; a row of a region's keys counts as one.",
     "Split the file."},
    {1119, TW_ERROR, "file too large for JSON",
     "The file is larger than 1 GiB.",
     "Split the file, or check that the right one was named."},
    /* 1120 was given out once */
    {0}
};

/* timeline */
const tw_code twi_codes_timeline[] = {
    {1401, TW_WARNING, "transition longer than its neighbour",
     "A transition starts before its outgoing clip does, or runs on after its incoming clip has ended.",
     "Shorten the transition in the edit; framing goes by the frames that exist."},
    {1402, TW_WARNING, "frames the media does not have",
     "The edit shows frames before the first or after the last one recorded, often as transition handles.",
     "Check the in and out points, or the start time code of the media."},
    {1403, TW_ERROR, "timelines nested too deep",
     "Timelines are nested in one another more than 24 deep, or a reference of the file leads into the object it is in.",
     "Flatten some of the nested timelines before exporting."},
    {0}
};

/* XML and pages */
const tw_code twi_codes_xml[] = {
    {2001, TW_ERROR, "not well-formed XML",
     "The file breaks XML's own rules, or is not UTF-8 text.",
     "Export it again, or mend the place shown."},
    {2002, TW_ERROR, "declarations inside the document",
     "The document type defines entities or the like, which can hide anything.",
     "Save the file without an internal document type."},
    {2003, TW_ERROR, "XML past the bounds",
     "The file nests deeper or holds more than this tool accepts.",
     "Check that the right file was named; split the edit."},
    {2010, TW_WARNING, "what SMIL cannot carry",
     "The open XML form has no place for something the edit holds.",
     "Use the OTIO form where it matters; it holds everything."},
    {2011, TW_ERROR, "value that cannot be read",
     "A time, number or size in the file is not in the form SMIL or this tool writes.",
     "Mend the value shown, or write the file again."},
    {2012, TW_ERROR, "no edit rate",
     "The file was not made by this tool and does not say how many frames make a second.",
     "Give the rate with --rate."},
    {2013, TW_ERROR, "no timeline of this kind",
     "The file is XML but holds no SMIL timeline, or one with parts that are no tracks.",
     "Name a SMIL file with par and seq of video and audio."},
    {2014, TW_WARNING, "part of a SMIL file not taken",
     "Words, colours and choices have no place on a track of pictures or sound.",
     "Nothing, if the pictures are all there; else put what is meant into a seq of its own."},
    {2015, TW_ERROR, "timing that is not followed",
     "Something in the file changes when or how often its parts play in a way this tool does not follow.",
     "Write begin, dur and end as clock values, repeats of single clips as repeatCount, and in groups every play by itself."},
    {2016, TW_WARNING, "passed over in a SMIL file",
     "The file holds things that are not taken into the edit; a file written of it is without them.",
     "Keep the file; in what is written of it, add by hand what is needed."},
    {2017, TW_WARNING, "another rate than the file says",
     "The file says its edit rate, and another one was asked for: frames that it counts are counted at that.",
     "Leave the rate out of the command or plan, unless what the file says is wrong."},
    {0}
};

/* tables of keys and notes tracks */
const tw_code twi_codes_pages[] = {
    {2201, TW_ERROR, "not a table of keys",
     "The file does not begin with the names of the columns, or is no comma-separated table from some line on.",
     "Save it from the spreadsheet as comma-separated values (not with semicolons or tabs), or write it anew with `fork`."},
    {2202, TW_ERROR, "value that cannot be read",
     "A number in a table of keys is not written as one, or a line is cut off.",
     "Mend the value shown, with a point before the decimals, or write the table anew with `fork`."},
    {2203, TW_ERROR, "table of keys disagrees with the timeline",
     "The table was changed by hand, or the timeline was and the table is older.",
     "Write both anew with `fork`; take wanted changes in the timeline back with `adopt` first."},
    {2204, TW_ERROR, "not a notes track",
     "The file is not WebVTT, or the times of a cue cannot be read or run backwards.",
     "Mend the line shown, or write the track anew with `fork`."},
    {2205, TW_ERROR, "notes track disagrees with the timeline",
     "The notes track was changed by hand, or the timeline was and the track is older.",
     "Write both anew with `fork`; take wanted changes in the timeline back with `adopt` first."},
    {2206, TW_WARNING, "no stills in the folder",
     "The folder given with --stills holds none that goes by the name of a shot: the page has drawn boxes only.",
     "Make them with `stills`, or name the folder it wrote."},
    {0}
};
