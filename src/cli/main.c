/* SPDX-License-Identifier: Apache-2.0 */
#define _XOPEN_SOURCE 700 /* SIGXFSZ */
#include "cmd.h"
#include "media.h"

#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* Takes no memory. */
_Noreturn static void out_of_memory(void *context, size_t wanted)
{
    cli *app = context;
    progress_end(app);
    tw_fileset_drop(app->staged);
    fprintf(stderr, "tallwide: not enough memory (%zu bytes wanted)\n", wanted);
    exit(EXIT_FAULT);
}

static bool is_any(const char *word, const char *a, const char *b)
{
    return strcmp(word, a) == 0 || strcmp(word, b) == 0;
}

/* Findings: in text on standard error, unless a JSON report holds them. With --json a command that prints nothing else
 * gives such a report of them alone. */
static void print_findings(cli *app, exit_code code)
{
    if (app->set.json && app->out.len == 0 && code != EXIT_USAGE && code != EXIT_IO) {
        tw_buf_addf(&app->out, "{\"ok\": %s", code == EXIT_FINE ? "true" : "false");
        tw_diag_json_end(app->diags, &app->out);
        app->told = true;
    }
    if (app->told)
        return;
    tw_severity least = app->set.quiet ? TW_ERROR : app->set.verbose ? TW_NOTE : TW_WARNING;
    tw_buf text = {.arena = app->arena};
    tw_diags_write_text(app->diags, least, &text);
    fwrite(text.at, 1, text.len, stderr);
}

static exit_code print_out(const cli *app, exit_code code)
{
    bool fine = fwrite(app->out.at, 1, app->out.len, stdout) == app->out.len;
    fine = fflush(stdout) == 0 && fine;
    if (fine)
        return code;
    say_error("cannot write to standard output");
    return EXIT_IO;
}

static void say_no_command(const char *word)
{
    const char *meant = NULL;
    size_t least = TW_NO_SLIP;
    for (size_t i = 0; cmd_at(i) != NULL; i++)
        if (tw_str_is_nearer(tw_str_z(word), tw_str_z(cmd_at(i)->name), &least))
            meant = cmd_at(i)->name;
    if (word[0] == '-')
        say_error("\"%s\" is no command: that comes first, options after it; `tallwide -h` lists them", word);
    else if (meant != NULL)
        say_error("there is no command \"%s\"; did you mean \"%s\"?", word, meant);
    else
        say_error("there is no command \"%s\"; `tallwide -h` lists them", word);
}

static exit_code run(cli *app, int argc, char **argv)
{
    if (argc < 2) {
        opt_overview(&app->out);
        fwrite(app->out.at, 1, app->out.len, stderr);
        app->out.len = 0;
        return EXIT_USAGE;
    }
    if (is_any(argv[1], "-V", "--version")) {
        tw_buf_addz(&app->out, "tallwide " TW_VERSION "\n");
        return EXIT_FINE;
    }
    app->command = cmd_find(tw_str_z(is_any(argv[1], "-h", "--help") ? "help" : argv[1]));
    if (app->command == NULL) {
        say_no_command(argv[1]);
        return EXIT_USAGE;
    }
    if (!opt_parse(app, argc, argv))
        return EXIT_USAGE;
    if (app->set.help) {
        opt_help(app->command, &app->out);
        return EXIT_FINE;
    }
    return app->command->run(app);
}

int main(int argc, char **argv)
{
    cli app = {.set = {.help = false}};
    app.arena = tw_arena_new(out_of_memory, &app);
    progress_begin(&app);
    signal(SIGXFSZ, SIG_IGN); /* a limit on file sizes is told like a full disk, and nothing is left behind */
    app.out.arena = app.arena;
    app.diags = tw_diags_new(app.arena);
    exit_code code = run(&app, argc, argv);
    progress_end(&app);
    fflush(stderr);
    print_findings(&app, code);
    code = print_out(&app, code);
    tw_arena_free(&app.arena);
    stop_pass_on();
    return (int)code;
}
