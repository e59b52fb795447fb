/* SPDX-License-Identifier: Apache-2.0
 *
 * Camera files for commands: which there are, and which of them a clip shows; work shared between threads; Ctrl-C.
 */
#ifndef TW_CLI_MEDIA_H
#define TW_CLI_MEDIA_H

#include "project.h"

/* ---- stop.c ---------------------------------------------------------------------------------------------- */

/* From here on Ctrl-C (SIGINT), SIGTERM and SIGHUP only set a flag; for commands that clean up behind themselves. */
void stop_watch(void);

const volatile sig_atomic_t *stop_flag(void);
bool stop_asked(void);

/* Ends the process as the signal would have, when there was one. */
void stop_pass_on(void);

/* ---- jobs.c ---------------------------------------------------------------------------------------------- */

/* One piece of work. Results belong in `arena`, findings in `diags`: both are the thread's own until all are done. */
typedef void (*job_fn)(void *context, tw_arena *arena, tw_diags *diags, size_t index);

/* Does pieces 0 .. count - 1, as many at a time as --threads or processors; stops early when asked to stop. Findings
 * come in the order of the pieces. */
void jobs_run(cli *app, size_t count, job_fn fn, void *context);

/* ---- media.c --------------------------------------------------------------------------------------------- */

typedef struct library {
    tw_media_tools tools;
    tw_media_file *files; /* what to match by: what the plan says goes before what the file says */
    tw_media_info *infos; /* of the same index */
    size_t count;
    tw_str *unread; /* paths of what could not be looked into */
    size_t unread_count;
    bool *doubted; /* by file: another might be meant; told once */
} library;

/* Looks through the folders of --media and, with a project (may be NULL), the files its plan names, which come first.
 * Files that cannot be read are warned about. Needs ffprobe only when there is a file to look into. Watches for Ctrl-C
 * from then on. */
exit_code library_load(cli *app, const project *of, const tw_timeline *edit, library *out);

/* Is the path one of the files? Those must not be written over. */
bool library_holds(const library *lib, const char *path);

/* tw_media_find among them; where two are as likely that is told, once for each file chosen (TW2116). */
tw_media_match library_find(cli *app, const library *lib, const tw_media_want *want);

/* Of the files that match the proxy when it is at least so wide, else the original; whichever there is. */
size_t library_best(const library *lib, const tw_media_match *match, int32_t wide);

/* What a clip shows from its record frame `first` on (0 is the first as cut), as something to look for. */
tw_media_want library_want(cli *app, const tw_timeline *edit, const tw_item *clip, int64_t first, int64_t frames);

/* Clips without a file, told reel by reel (TW2108). */
typedef struct missing_reel {
    tw_str reel;
    const tw_item *clip; /* the first */
    tw_media_want want;
    tw_media_match match;
    size_t count;
} missing_reel;

typedef struct missing {
    cli *app;
    const tw_timeline *edit;
    const library *lib;
    missing_reel *at;
    size_t len, cap;
} missing;
void missing_add(missing *m, const tw_item *clip, const tw_media_want *want, const tw_media_match *match);
void missing_tell(const missing *m);
void missing_all(const cli *app, const library *lib); /* there is no file that can be read (TW2113) */

#endif
