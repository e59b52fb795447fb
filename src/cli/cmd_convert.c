/* SPDX-License-Identifier: Apache-2.0 */
#define _POSIX_C_SOURCE 200809L
#include "cmd.h"
#include "project.h"

#include <unistd.h>

/* OUT itself for the first part; for the others the track's number goes before the ending: cut.V2.edl. */
static const char *part_path(cli *app, tw_str path, size_t part)
{
    if (part == 0)
        return tw_arena_dupz(app->arena, path);
    tw_str base = tw_str_basename(path), stem = tw_str_stem(path);
    tw_str folder = tw_str_cut(path, path.len - base.len), ending = tw_str_from(base, stem.len);
    return tw_arena_printf(app->arena, "%.*s%.*s.V%zu%.*s", TW_ARG(folder), TW_ARG(stem), part + 1, TW_ARG(ending)).at;
}

static const tw_format *target_of(cli *app)
{
    tw_str wanted = tw_str_z(app->set.to);
    const tw_format *format = wanted.len > 0 ? tw_formats_named(wanted) : tw_formats_for_path(tw_str_z(app->args[1]));
    if (format == NULL)
        say_error("cannot tell the format of \"%s\"; name one with --to (%.*s)",
                  wanted.len > 0 ? app->set.to : app->args[1], TW_ARG(tw_formats_names(app->arena)));
    return format;
}

/* Parts after the first go by names nobody gave: where OUT is not there and one of them is, it is something else. */
static bool spare_others(cli *app, size_t parts)
{
    const char *out = app->args[1];
    for (size_t part = 1; part < parts && access(out, F_OK) != 0; part++) {
        const char *path = part_path(app, tw_str_z(out), part);
        if (access(path, F_OK) != 0)
            continue;
        say_error("picture track %zu would be written to %s, which is there already: choose another name", part + 1,
                  path);
        return false;
    }
    return true;
}

/* One after the other they would read as one track. */
static bool is_one(const tw_format *format, size_t parts)
{
    if (parts > 1)
        say_error("%zu picture tracks are %zu files of the format %s, which standard output cannot keep apart: name a"
                  " file",
                  parts, parts, format->name);
    return parts <= 1;
}

static void say_parts(cli *app, size_t parts)
{
    for (size_t part = 0; parts > 1 && part < parts; part++)
        tw_buf_addf(&app->out, "wrote %s\n", part_path(app, tw_str_z(app->args[1]), part));
}

exit_code cmd_convert(cli *app)
{
    const tw_format *format = target_of(app);
    if (format == NULL || may_stand(app, app->args[1], false) != EXIT_FINE)
        return EXIT_USAGE;
    const tw_read_options options = load_options(app);
    loaded edit;
    exit_code code = load_edit(app, app->args[0], &options, &edit);
    if (code != EXIT_FINE)
        return code;
    bool to_stdout = put_is_stdout(app->args[1]);
    const tw_write_options write = {.crlf = app->set.crlf, .long_reels = app->set.long_reels};
    tw_fileset *files = tw_fileset_new(app->arena);
    tw_fileset_protect(files, app->args[0]);
    size_t parts = format->parts(edit.timeline);
    if (to_stdout ? !is_one(format, parts) : !spare_others(app, parts))
        return EXIT_USAGE;
    tell_beyond(app, edit.timeline, format);
    for (size_t part = 0; part < parts; part++) {
        tw_buf text = {.arena = app->arena};
        tw_status status = format->write(app->arena, edit.timeline, part, &write, app->diags, &text);
        if (status != TW_OK)
            return code_of(status);
        if (to_stdout)
            tw_buf_add(&app->out, tw_buf_str(&text));
        else
            tw_fileset_add(files, part_path(app, tw_str_z(app->args[1]), part), tw_buf_str(&text));
    }
    code = put_files(app, files);
    if (code == EXIT_FINE && put_may_tell(app, app->args[1]))
        say_parts(app, parts);
    return code;
}
