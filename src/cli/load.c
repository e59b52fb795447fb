/* SPDX-License-Identifier: Apache-2.0 */
#define _POSIX_C_SOURCE 200809L
#include "cmd.h"

#include <stdio.h>
#include <string.h>
#include <sys/stat.h>

void tell_beyond(const cli *app, const tw_timeline *t, const tw_format *to)
{
    if (to != t->format && t->format->beyond != NULL)
        t->format->beyond(t, app->diags);
}

bool is_folder(const char *path)
{
    struct stat st;
    if (stat(path, &st) == 0 && S_ISDIR(st.st_mode))
        return true;
    say_error("there is no folder %s", path);
    return false;
}

exit_code code_of(tw_status status)
{
    switch (status) {
    case TW_OK: return EXIT_FINE;
    case TW_ERR_IO: return EXIT_IO;
    case TW_ERR_BUG: return EXIT_FAULT;
    default: return EXIT_INPUT;
    }
}

bool has_name(const cli *app, const char *edit)
{
    if (strcmp(edit, "-") == 0)
        say_error("`%s` needs the name of the edit's file, since the plan names it", app->command->name);
    return strcmp(edit, "-") != 0;
}

exit_code load_bytes(cli *app, const char *path, tw_str *bytes)
{
    tw_str why;
    tw_status status = tw_file_read(app->arena, path, TW_FILE_LIMIT, bytes, &why);
    if (status != TW_OK)
        say_failed(app, why);
    return code_of(status);
}

tw_read_options load_options(const cli *app)
{
    return (tw_read_options){
        .rate = app->set.rate,
        .drop = app->set.drop,
        .timeline = tw_str_z(app->set.timeline),
    };
}

/* Reads the bytes too where there are none: that may take as long. */
static exit_code load(cli *app, const tw_read_options *options, loaded *edit)
{
    progress_phase(app, "reading", tw_str_basename(tw_str_z(edit->path)));
    progress_watch watch;
    progress_watch_begin(app, &watch);
    tw_str why = {NULL, 0};
    tw_status status =
        edit->bytes.at == NULL ? tw_file_read(app->arena, edit->path, TW_FILE_LIMIT, &edit->bytes, &why) : TW_OK;
    if (status == TW_OK)
        status = tw_formats_read(app->arena, edit->bytes, name_shown(edit->path), options, app->diags, &edit->timeline);
    progress_watch_end(&watch); /* nothing is said before: the line is the other thread's */
    progress_end(app);
    if (why.len > 0)
        say_error("%.*s", TW_ARG(why));
    if (status != TW_OK)
        return code_of(status);
    tw_timeline_check(edit->timeline, app->diags);
    return tw_diags_failed(app->diags) ? EXIT_INPUT : EXIT_FINE;
}

exit_code load_edit_text(cli *app, const char *path, tw_str bytes, const tw_read_options *options, loaded *out)
{
    *out = (loaded){.path = path, .bytes = bytes};
    return load(app, options, out);
}

exit_code load_edit(cli *app, const char *path, const tw_read_options *options, loaded *out)
{
    *out = (loaded){.path = path};
    return load(app, options, out);
}
