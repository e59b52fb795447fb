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
    bool propose, over, help, json, quiet, verbose, dump, plain, reopen, crlf, long_reels, draft, burn_in, side_by_side;
    tw_rate rate; /* {0,0}: not given */
    bool drop;
    const char *out, *reel, *note, *only, *timeline, *to, *by, *say;
    int64_t threads;           /* 0: as many as processors */
    double squeeze, max_scale; /* 0: not given */
    const char *monitor, *safe, *stills, *title;
    named_sizes deliveries, sources;
    text_list media;
} settings;

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

typedef struct command command; /* cmd.h */

struct cli {
    tw_arena *arena;
    tw_diags *diags;
    settings set;
    const command *command;
    const char **args; /* what is no option */
    size_t arg_count;
    tw_buf out; /* goes to standard output at the end */
    bool told;  /* a report in out holds the findings */
    progress_line progress;
    tw_fileset *staged; /* has temporaries on disk; NULL: none */
};

/* load.c: inputs. On failure the findings or a message tell why and the code is what to exit with. */
exit_code load_bytes(cli *app, const char *path, tw_str *bytes);

typedef struct loaded {
    const char *path;
    tw_str bytes;
    uint64_t hash; /* of the bytes; set for the edit of a project */
    tw_timeline *timeline;
} loaded;
exit_code load_edit(cli *app, const char *path, const tw_read_options *options, loaded *out);
exit_code load_edit_text(cli *app, const char *path, tw_str bytes, const tw_read_options *options, loaded *out);
tw_read_options load_options(const cli *app);

/* A folder that is named must be there; says so when it is not. */
bool is_folder(const char *path);

/* What a plan is to name as its edit must be a file, not standard input; says so when it is not. */
bool has_name(const cli *app, const char *edit);

/* What an edit holds beyond the model and another format will not carry. */
void tell_beyond(const cli *app, const tw_timeline *t, const tw_format *to);

/* The exit code for a status. */
exit_code code_of(tw_status status);

unsigned thread_count(const cli *app); /* --threads, or as many as there are processors */

/* put.c: what is written. Puts a set of files in place, or tells why not. */
exit_code put_files(cli *app, tw_fileset *set);

/* A text to a file, or to standard output where the path is NULL or "-"; never over one of the inputs. */
bool put_is_stdout(const char *path);

/* Would a file be lost by writing there? Not an empty one, nor what is no plain file. */
bool put_replaces(const char *path);

/* May a summary be printed of what goes to a path? Not with -q or --json, nor where the work itself is printed. */
bool put_may_tell(const cli *app, const char *path);
exit_code put_text(cli *app, const char *path, tw_str text, const char *const *inputs, size_t input_count);

/* Makes a folder where there is none. */
exit_code put_folder(const char *folder);

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

#define CHANGE_COLUMN 12 /* where the event of a change stands (tw_recut_say) */

/* Lines as they are, but those that are wider are broken at blanks and go on in column `at`. */
void say_lines(tw_str text, int at, int width, tw_buf *out);

/* s in a field of `width` columns, cut with a tilde when longer. */
void say_field(tw_str s, int width, tw_buf *out);

/* The number an edit gives an event, or the one it is counted as (0: none), in six columns. */
void say_event(tw_str event, size_t number, tw_buf *out);

/* Columns a text takes: UTF-8 sequences count one. */
int say_columns(tw_str s);

/* name.c */
/* Path of `to` as seen from the folder of `from`; NULL `from` means the current folder. */
tw_str name_relative(tw_arena *arena, const char *from, const char *to);

/* A path that is meant from a folder (with its final '/', or empty), which need not be there yet: then there is no way
 * through it either. */
const char *name_from(tw_arena *arena, tw_str folder, tw_str path);

/* What findings call the input at a path. */
tw_str name_shown(const char *path);

/* FOLDER/STEM.ENDING, STEM being the name of the edit at `path`. */
const char *name_beside(tw_arena *arena, tw_str folder, const char *path, tw_str ending);

#endif
