/* SPDX-License-Identifier: Apache-2.0
 *
 * The one table of commands. A command is a file cmd_NAME.c and a row here.
 */
#include "cmd.h"

/* clang-format off */
#define TEXT(name, letter, field, value, help) {name, letter, OPTION_TEXT, offsetof(settings, field), value, help}
#define FLAG(name, field, help) {name, 0, OPTION_FLAG, offsetof(settings, field), NULL, help}
#define END {NULL, 0, OPTION_FLAG, 0, NULL, NULL}

/* What several commands have. */
#define OUTPUT(value, help) TEXT("--output", 'o', out, value, help)
#define PLAN_OUT OUTPUT("FILE", "write the plan here (it may be PLAN itself) instead of to standard output")
#define ONLY TEXT("--only", 0, only, "NAME", "this delivery alone")
#define BY TEXT("--by", 0, by, "NAME", "who: goes into the notes")
#define REOPEN FLAG("--reopen", reopen, "let framings change that people agreed on")
#define OVER FLAG("--over", over, "write over timelines that were changed by hand since they were made")
#define THREADS(help) {"--threads", 0, OPTION_COUNT, offsetof(settings, threads), "N", help}
#define SHOTS_SOLVED "shots solved at a time; without it one per processor; the result is the same"
#define MEDIA                                                                                                          \
    {"--media", 0, OPTION_TEXTS, offsetof(settings, media), "DIR",                                                     \
     "look for camera files and proxies in this folder and those within it; repeat for more (needs ffmpeg)"}
#define EDIT                                                                                                           \
    {"--rate", 0, OPTION_RATE, offsetof(settings, rate), "RATE",                                                       \
     "frame rate of a text list: 24, 25/1, 30000/1001, 29.97df; without it the plan's, else the best evidence"},       \
    TEXT("--timeline", 0, timeline, "NAME", "which timeline, by name or as \"#2\", when a file holds several")

static const option list_options[] = {
    EDIT,
    FLAG("--dump", dump, "print the whole model, exactly (for reports and tests)"),
    FLAG("--plain", plain, "one line a shot, without numbers that change when others do (for git's textconv)"),
    END,
};

static const option start_options[] = {
    {"--delivery", 'd', OPTION_SIZES, offsetof(settings, deliveries), "[NAME=]WxH", "a delivery; repeat for each"},
    {"--source", 0, OPTION_SIZES, offsetof(settings, sources), "[REEL=]WxH",
     "size of the sources of a reel or file name, such as 'A*=5760x4320'; without REEL of all others; repeat for more"},
    MEDIA,
    OUTPUT("FILE", "write the plan here instead of to standard output"),
    EDIT, END,
};

static const option fork_options[] = {
    OUTPUT("DIR", "folder for the timelines; without it the plan's folder"),
    ONLY, THREADS(SHOTS_SOLVED), REOPEN, OVER, EDIT, END,
};

static const option check_options[] = {ONLY, EDIT, END};

static const option recut_options[] = {
    OUTPUT("DIR", "folder for plan and timelines; else the plan's folder"),
    REOPEN, OVER, THREADS("shots solved at a time"), EDIT, END,
};

static const option adopt_options[] = {
    PLAN_OUT, BY,
    TEXT("--say", 0, say, "TEXT", "words for people: go into the notes"),
    TEXT("--only", 0, only, "NAME", "the delivery, when the timelines do not say it"),
    EDIT, END,
};

static const option follow_options[] = {
    PLAN_OUT,
    FLAG("--propose", propose,
         "instead: for shots without a region, write notes with what moves by itself or stands out; always nice"),
    TEXT("--reel", 0, reel, "GLOB", "notes of these reels alone, such as 'A0*'"),
    TEXT("--note", 0, note, "ID", "this note alone"),
    MEDIA,
    THREADS("clips followed at a time; without it one per processor; the result is the same"),
    EDIT, END,
};

static const option agree_options[] = {PLAN_OUT, BY, ONLY, EDIT, END};

static const option compare_options[] = {EDIT, END};

static const option merge_options[] = {OUTPUT("FILE", "write the plan here instead of to standard output"), END};

static const option convert_options[] = {
    TEXT("--to", 0, to, "FORMAT", "format to write, when OUT's ending does not say it"),
    FLAG("--crlf", crlf, "text lists: end lines with CR LF"),
    FLAG("--long-reels", long_reels, "text lists: write reels in full instead of cutting them to eight characters"),
    EDIT, END,
};

static const option chart_options[] = {
    {"--source", 0, OPTION_SIZES, offsetof(settings, sources), "[NAME=]WxH",
     "size the camera records; repeat for several recording modes"},
    {"--squeeze", 0, OPTION_NUMBER, offsetof(settings, squeeze), "S",
     "how many times as wide as high a recorded pixel is shown; 1 without it"},
    {"--max-scale", 0, OPTION_NUMBER, offsetof(settings, max_scale), "K",
     "delivery pixels per source pixel at which punching in ends; 1 without it"},
    TEXT("--safe", 0, safe, "NAME", "safe areas too: st2046-1 or ebu-r95"),
    TEXT("--monitor", 0, monitor, "WxH", "how large each picture fits a monitor whole"),
    OUTPUT("FILE", "write here instead of to standard output; .svg makes a drawing to print, .json JSON"),
    END,
};

static const option stills_options[] = {
    MEDIA,
    OUTPUT("DIR", "folder for them; without it EDIT.stills beside the plan"),
    TEXT("--only", 0, only, "NAME", "keys of this delivery alone"),
    THREADS("stills made at a time; without it one per processor"),
    EDIT, END,
};

static const option preview_options[] = {
    MEDIA, ONLY,
    FLAG("--side-by-side", side_by_side, "one film with all deliveries next to each other"),
    OUTPUT("FILE",
           "the film, .mp4 or .mov, or .mkv without loss; without it EDIT.NAME.mp4 beside the plan for each delivery"),
    FLAG("--draft", draft, "fast and small, from the smallest proxies"),
    FLAG("--burn-in", burn_in, "show event number, record and source time code in the picture"),
    EDIT, END,
};

static const option sheet_options[] = {
    OUTPUT("FILE", "the page; without it EDIT.sheet.xhtml beside the plan"),
    TEXT("--stills", 0, stills, "DIR",
         "show stills from this folder, named REEL_HHMMSSFF.jpg (or .png, .webp) by the source time code of the shot's"
         " first frame; the page links to them"),
    TEXT("--title", 0, title, "TEXT", "what the page is called; without it the edit's name"),
    ONLY, THREADS(SHOTS_SOLVED), EDIT, END,
};

static const option no_options[] = {END};

static const command commands[] = {
    {"chart", "SIZE...", "before the shoot: what a picture holds for each shape, with guide positions",
     "SIZE is a delivery, such as 1080x1920 or tall=1080x1920.",
     chart_options, 1, 64, cmd_chart},
    {"list", "EDIT", "what an edit holds: shots, sources, totals, and what is odd about it",
     "Shots are numbered as the edit does, else as they are counted. Of tracks without pictures the clips are counted; -v"
     " lists them.",
     list_options, 1, 1, cmd_list},
    {"start", "EDIT", "write a starter plan that names every source of an edit",
     "The plan is a text file to fill in: sizes of sources that --source did not give, and framing notes.",
     start_options, 1, 1, cmd_start},
    {"fork", "PLAN", "the main job: solve every shot for every delivery and write the derived timelines",
     "Writes, beside the plan or into the folder of -o, for each delivery one timeline in each of its formats, a table of keys,"
     " framing notes and a proof, named after the edit and the delivery, and one sheet for all. The files appear"
     " together or, when anything fails, not at all. A timeline that somebody changed by hand since is not written over,"
     " unless the plan now says the same: `adopt` first. What is decided is a proposal for a person to look at."
     " Shots no note speaks of are counted; -v lists them.",
     fork_options, 1, 1, cmd_fork},
    {"check", "PLAN [DIR]", "prove written timelines against the plan and the master, frame by frame",
     "Reads every timeline of every delivery in DIR (without it the plan's folder) and says whether the cut is the"
     " master's, no edge of a picture shows, must regions are held where the shape can, nothing is enlarged past the limit, and all formats"
     " of a delivery, its table of keys and its notes track say the same. Exit code 1: something was found.",
     check_options, 1, 2, cmd_check},
    {"compare", "OLD NEW", "what changed between two edits, two derived timelines or two plans",
     "Tells shots by what they show, not by their numbers: trimmed, moved, added, removed, split, joined, retimed,"
     " replaced; and which windows differ, by how many pixels at most and where. -v also lists what stayed."
     " Exit code 1: something changed.",
     compare_options, 2, 2, cmd_compare},
    {"recut", "PLAN NEW_EDIT", "put the plan on a new cut of its edit",
     "Writes a plan for the new cut, NEW_EDIT's name with .plan.json, and forks it. Tells what was done to the cut and, of"
     " each shot it touched (-v: of all), whether it is framed as before, solved anew, has an end no note speaks of, or was"
     " never framed, and which notes no shot uses now. Notes are kept, all of them. Exit code 1: something needs eyes.",
     recut_options, 2, 2, cmd_recut},
    {"adopt", "PLAN TIMELINE...", "take windows changed in derived timelines back into notes",
     "Each window that differs from what the plan solves to becomes a hand window in a note, for that delivery. Changes of"
     " the cut are told and left alone. Without -o the new plan goes to standard output.",
     adopt_options, 2, SIZE_MAX, cmd_adopt},
    {"follow", "PLAN", "boxes in every frame, from a few drawn by hand and the camera files",
     "Follows each region that has keys over its note, both ways from every key, and writes a table beside the plan, in"
     " tracks/, which the region then names; its keys stay and are obeyed. A box that is wrong somewhere is put right by one"
     " more key there. Also written: how the camera moved (NOTE.motion.csv). Says where a subject was lost. Tables a"
     " person made are left alone. With --propose, shots that no note with a region speaks of get new notes instead: what"
     " moves by itself, looks like a face or an upper body (where the cascades of opencv-data are installed, or the folder"
     " TW_CASCADES holds them), or stands out; the best three, with the reason, to keep or throw away. Without -o the new plan goes to standard output. All is written or nothing.",
     follow_options, 1, 1, cmd_follow},
    {"agree", "PLAN [NOTE...]", "write down that the framings of notes are agreed on",
     "Without names: of all notes that shots use. From then on `fork` and `recut` refuse to change these framings"
     " without --reopen. To open a note again set its state to \"open\".",
     agree_options, 1, SIZE_MAX, cmd_agree},
    {"merge", "BASE OURS THEIRS", "merge two versions of a plan that began as one",
     "Deliveries, sources, notes, regions and keys are told by their names, and everything is merged field by field."
     " Where both sides changed one field in different ways both values are kept under \"conflict\" beside it and the"
     " exit code is 1. Serves git as a merge driver.",
     merge_options, 3, 3, cmd_merge},
    {"sheet", "PLAN", "the page for people: every shot in every shape, side by side, with the reasons",
     "One file that opens in any browser, works without a network and prints without cutting a shot in two.",
     sheet_options, 1, 1, cmd_sheet},
    {"stills", "PLAN", "pictures for the sheet: first and last frame of every shot and the frame of every key",
     "JPEG, at most 960 pixels wide, named as `sheet --stills` looks for them. Files come from the plan's \"media\" and from"
     " --media, proxies where they are large enough. Each picture appears whole or not at all; those newer than their"
     " camera file are left as they are, so a run that was stopped goes on where it was. Exit code 1: some have no file.",
     stills_options, 1, 1, cmd_stills},
    {"preview", "PLAN", "the deliveries as moving pictures, from camera files or proxies",
     "Every frame shows exactly the window its keyframes say; cuts, dissolves, speed changes, freezes and gaps are as in the"
     " edit, and so is the sound. A clip without a file becomes a slate with its reel and time code. Ctrl-C leaves nothing"
     " behind. Exit code 1: something is missing.",
     preview_options, 1, 1, cmd_preview},
    {"convert", "IN OUT", "write an edit in another format, naming every loss", NULL,
     convert_options, 2, 2, cmd_convert},
    {"help", "[WORD]", "about a command, the code of a finding such as TW1701, or `plan`: all that may stand in one", NULL,
     no_options, 0, 1, cmd_help},
    {"codes", "", "the codes of all findings", NULL,
     no_options, 0, 0, cmd_codes},
};
/* clang-format on */

const command *cmd_at(size_t index)
{
    return index < TW_COUNT(commands) ? &commands[index] : NULL;
}

const command *cmd_find(tw_str name)
{
    for (size_t i = 0; i < TW_COUNT(commands); i++)
        if (tw_str_is(name, commands[i].name))
            return &commands[i];
    return NULL;
}
