/* SPDX-License-Identifier: Apache-2.0
 *
 * The table of commands and their options; help comes from the same rows.
 */
#ifndef TW_CLI_CMD_H
#define TW_CLI_CMD_H

#include "cli.h"

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

struct command {
    const char *name;
    const char *arguments; /* "EDIT", "PLAN" ... for the usage line */
    const char *summary;   /* one line */
    const char *details;   /* paragraphs for -h; may be NULL */
    const option *options; /* ended by a row without name; -h --json -q -v come on top */
    size_t least, most;    /* arguments */
    exit_code (*run)(cli *app);
};

/* cmd.c */
const command *cmd_find(tw_str name);
const command *cmd_at(size_t index); /* NULL past the last */

/* opt.c */
bool opt_parse(cli *app, int argc, char **argv);  /* from argv[2] on; false: a usage error was printed */
bool opt_size(const char *word, named_size *out); /* [NAME=]WxH; false: told */
void opt_help(const command *command, tw_buf *out);
void opt_overview(tw_buf *out);

/* What began at `start` of out is explained from a column on; on the next line where it reaches too far itself. */
void opt_row(size_t start, int column, const char *help, tw_buf *out);

/* cmd_NAME.c */
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
