/* SPDX-License-Identifier: Apache-2.0 */
#include "cmd.h"

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

exit_code cmd_convert(cli *app)
{
    const tw_format *format = target_of(app);
    if (format == NULL)
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
    return put_files(app, files);
}
