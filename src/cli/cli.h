/* SPDX-License-Identifier: Apache-2.0
 *
 * Shared between the files of the command. Only this module prints, reads the environment and exits.
 */
#ifndef TW_CLI_H
#define TW_CLI_H

#include <pthread.h>
#include <tallwide/tallwide.h>

/* What the shell gets. */
typedef enum exit_code {
    EXIT_FINE = 0,
    EXIT_FINDINGS = 1,
    EXIT_USAGE = 2,
    EXIT_INPUT = 3,
    EXIT_IO = 4,
    EXIT_FAULT = 5
} exit_code;

/* [NAME=]WxH of -d and --source. */
typedef struct named_size {
    tw_str name;
    tw_size size;
} named_size;

typedef struct named_sizes {
    named_size *at;
    size_t len, cap;
} named_sizes;

typedef struct text_list {
    const char **at;
    size_t len, cap;
} text_list;

/* The values of all options of all commands; each command offers some of them. */
typedef struct settings {
    bool propose, help, json, quiet, verbose, dump, plain, reopen, crlf, long_reels, draft, burn_in, side_by_side;
    tw_rate rate; /* {0,0}: not given */
    bool drop;
    const char *out, *reel, *note, *only, *timeline, *to, *by, *say;
    int64_t threads;           /* 0: as many as processors */
    double squeeze, max_scale; /* 0: not given */
    const char *monitor, *safe, *stills, *title;
    named_sizes deliveries, sources;
    text_list media;
} settings;

typedef enum option_kind {
    OPTION_FLAG,
    OPTION_TEXT,
    OPTION_TEXTS, /* may be given several times */
    OPTION_COUNT,
    OPTION_RATE,
    OPTION_NUMBER,
    OPTION_SIZES /* several times too; names may be left out */
} option_kind;

/* One option: how it is written, what it takes, where its value goes, what help says. */
typedef struct option {
    const char *name; /* "--rate" */
    char letter;      /* 'o' of -o, or 0 */
    option_kind kind;
    size_t offset;     /* of the field in settings */
    const char *value; /* what its value is called in help; NULL for flags */
    const char *help;
} option;

typedef struct cli cli;

/* The line on the terminal that says how far long work has come. */
typedef struct progress_line {
    bool wanted;
    double began, since, drawn; /* seconds: of the command, of the phase, of the last drawing */
    char phase[80];
    int used; /* columns of the line that stands there; 0: none */
} progress_line;

/* Draws the line while one long call, which tells of no steps, goes on. */
typedef struct progress_watch {
    cli *app;
    pthread_t thread;
    pthread_mutex_t lock;
    pthread_cond_t ended;
    bool running, over;
} progress_watch;

typedef struct command {
    const char *name;
    const char *arguments; /* "EDIT", "PLAN" ... for the usage line */
    const char *summary;   /* one line */
    const char *details;   /* paragraphs for -h; may be NULL */
    const option *options; /* ended by a row without name; -h --json -q -v come on top */
    size_t least, most;    /* arguments */
    exit_code (*run)(cli *app);
} command;

struct cli {
    tw_arena *arena;
    tw_diags *diags;
    settings set;
    const command *command;
    const char **args; /* what is no option */
    size_t arg_count;
    tw_buf out; /* goes to standard output at the end */
    progress_line progress;
    tw_fileset *staged; /* has temporaries on disk; NULL: none */
};

/* cmd.c */
const command *cmd_find(tw_str name);
const command *cmd_at(size_t index); /* NULL past the last */

/* opt.c */
bool opt_parse(cli *app, int argc, char **argv);  /* from argv[2] on; false: a usage error was printed */
bool opt_size(const char *word, named_size *out); /* [NAME=]WxH; false: told */
void opt_help(const command *command, tw_buf *out);
void opt_overview(tw_buf *out);

/* load.c: inputs. On failure the findings or a message tell why and the code is what to exit with. */
exit_code load_bytes(cli *app, const char *path, tw_str *bytes);

typedef struct loaded {
    const char *path;
    tw_str bytes;
    uint64_t hash; /* of the bytes; set for the edit of a project */
    tw_timeline *timeline;
} loaded;
exit_code load_edit(cli *app, const char *path, const tw_read_options *options, loaded *out);
tw_read_options load_options(const cli *app);

typedef struct project {
    const char *plan_path;
    tw_str folder; /* of the plan, with its final '/', or empty */
    tw_str plan_bytes;
    tw_plan *plan;
    loaded edit;
    const char **inputs; /* every file read */
    size_t input_count, input_cap;
} project;
exit_code load_project(cli *app, const char *plan_path, project *out);

/* The same for a plan that is not on disk yet. */
exit_code load_project_text(cli *app, const char *plan_path, tw_str text, project *out);

/* Names a file that must not be written over. */
void project_input(cli *app, project *p, const char *path);

/* A path written in the plan, which is meant from the plan's folder. */
const char *project_path(cli *app, const project *p, tw_str path);

/* prove.c: written files and their proof. */
typedef struct output {
    const char *path;
    tw_str name; /* display name */
    tw_str text;
    const tw_format *format; /* NULL: not a timeline */
    size_t part, delivery;
    const char *page; /* what it is for people, by page_ending, when it says what a timeline says; else NULL */
    bool staged;      /* on disk as a temporary when the set is saved; the text is gone */
} output;

typedef struct outputs {
    tw_arena *arena; /* of their texts */
    output *at;
    size_t len, cap;
} outputs;
void outputs_add(cli *app, outputs *files, output file);

/* The formats of a delivery: named in the plan, else the master's own and OTIO. */
size_t output_formats(cli *app, const project *p, const tw_delivery *d, const tw_format *out[TW_PLAN_FORMATS + 2]);

/* FOLDER/STEM.DELIVERY[.Vn].ENDING */
const char *output_path(cli *app, tw_str folder, const project *p, const tw_delivery *d, size_t part,
                        const char *ending);

typedef struct proved {
    tw_proof proof;
    tw_diags *findings;
} proved;

/* Reads the files of one delivery back and proves them. */
exit_code prove_delivery(cli *app, const project *p, size_t delivery, const outputs *files, proved *out);

/* prove_pages.c: endings of the files for people that say what a timeline says; NULL past the last. */
const char *page_ending(size_t index);
void page_write(const char *ending, const tw_derived *derived, size_t delivery, tw_buf *out);

/* Holds those of a delivery against what the proof was told by its timelines. A file that cannot be read fails. */
tw_status prove_pages(tw_arena *scratch, const project *p, size_t delivery, const outputs *files, proved *out);

/* Adds the findings of one list that are at least so grave to another. */
void findings_pass(const tw_diags *from, tw_severity least, tw_diags *to);

/* make.c: solves every shot of the deliveries wanted; having none to solve is an error. */
exit_code solve_project(cli *app, const project *p, tw_derived **derived);
/* Solves unless *derived is given, writes, proves, and puts everything in `files` on disk; into --output or the plan's
 * folder. */
exit_code fork_project(cli *app, const project *p, tw_derived **derived, outputs *files, proved **proofs);

/* put.c: what is written. Puts a set of files in place, or tells why not. */
exit_code put_files(cli *app, tw_fileset *set);

/* A text to a file, or to standard output where the path is NULL; never over one of the inputs. */
exit_code put_text(cli *app, const char *path, tw_str text, const char *const *inputs, size_t input_count);

/* Canonical text of a plan document. */
tw_str plan_text(cli *app, const tw_json *root);

/* Makes a folder where there is none. */
exit_code put_folder(const char *folder);

/* keep.c: plans and agreed framings */
unsigned thread_count(const cli *app);

/* Paths in a plan are meant from its folder: makes those of the plan at `from` right for one at `to` (NULL: as it
 * is). */
void plan_move(cli *app, tw_json *root, const char *from, const char *to);

/* One line, after an empty one: the notes no shot uses; nothing when there are none. */
void unused_notes(const tw_derived *derived, tw_buf *out);

/* Says that nothing was written because agreed framings would change. */
exit_code agreed_refused(void);

/* Shots of a delivery with the notes they use; `only` (may be NULL): of one note. */
size_t note_uses(cli *app, const tw_derived_delivery *d, const tw_note *only, tw_note_use **out);

/* For the sheet: what people agreed on, by delivery and shot. */
const tw_sheet_agreed *const *agreed_shots(cli *app, const project *p, const tw_derived *derived);
/* Tells agreed framings that come out different; how many, and their notes. */
size_t agreed_broken(cli *app, const project *p, const tw_derived *derived, const tw_note ***notes);

#define SHEET_NAME "sheet.xhtml" /* ending of the page's name */

/* The exit code for a status. */
exit_code code_of(tw_status status);

/* progress.c: nothing is shown where standard error is no terminal, with -q, or in the first second. */
void progress_begin(cli *app);
void progress_watch_begin(cli *app, progress_watch *watch); /* of one long call; the phase is begun */
void progress_watch_end(progress_watch *watch);
void progress_phase(cli *app, const char *doing, tw_str what); /* "writing", "tall" */
void progress_step(void *app, size_t done, size_t all);        /* for tw_progress */
void progress_frames(void *app, int64_t done, int64_t all);    /* with the time left; one thread at a time */
void progress_end(cli *app);                                   /* takes the line away */
tw_progress progress_of(cli *app);
void say_failed(cli *app, tw_str why); /* say_error where a line of progress may stand */

/* say.c: words and tables */
void say_error(const char *format, ...) TW_PRINTF(1, 2); /* one line on standard error */
int say_width(void);                                     /* columns to use: of the terminal, at most 100 */

/* Text wrapped at blanks: the first line goes on where the buffer stands (column `at`), the others start at it. */
void say_wrapped(tw_str text, int at, int width, tw_buf *out);

/* s in a field of `width` columns, cut with a tilde when longer. */
void say_name(tw_str s, tw_buf *out);
void say_field(tw_str s, int width, tw_buf *out);

/* The number an edit gives an event, or the one it is counted as (0: none), in six columns. */
void say_event(tw_str event, size_t number, tw_buf *out);

/* Columns a text takes: UTF-8 sequences count one. */
int say_columns(tw_str s);

/* name.c */
/* Path of `to` as seen from the folder of `from`; NULL `from` means the current folder. */
tw_str name_relative(tw_arena *arena, const char *from, const char *to);

/* Folder part of a path with its final '/', or empty. */
tw_str name_folder(const char *path);

/* FOLDER/STEM.ENDING, STEM being the name of the edit at `path`. */
const char *name_beside(tw_arena *arena, tw_str folder, const char *path, tw_str ending);

exit_code cmd_list(cli *app);
exit_code cmd_start(cli *app);
exit_code cmd_fork(cli *app);
exit_code cmd_follow(cli *app);
exit_code cmd_check(cli *app);
exit_code cmd_help(cli *app);
exit_code cmd_codes(cli *app);
exit_code cmd_convert(cli *app);
exit_code cmd_chart(cli *app);
exit_code cmd_compare(cli *app);
exit_code cmd_merge(cli *app);
exit_code cmd_adopt(cli *app);
exit_code cmd_agree(cli *app);
exit_code cmd_recut(cli *app);
exit_code cmd_preview(cli *app);
exit_code cmd_sheet(cli *app);
exit_code cmd_stills(cli *app);

#endif
