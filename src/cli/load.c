/* SPDX-License-Identifier: Apache-2.0 */
#include "cli.h"

#include <stdio.h>
#include <string.h>

exit_code code_of(tw_status status)
{
    switch (status) {
    case TW_OK: return EXIT_FINE;
    case TW_ERR_IO: return EXIT_IO;
    case TW_ERR_BUG: return EXIT_FAULT;
    default: return EXIT_INPUT;
    }
}

exit_code load_bytes(cli *app, const char *path, tw_str *bytes)
{
    tw_str why;
    tw_status status = tw_file_read(app->arena, path, TW_FILE_LIMIT, bytes, &why);
    if (status != TW_OK)
        say_failed(app, why);
    return code_of(status);
}

static tw_str display_name(const char *path)
{
    return strcmp(path, "-") == 0 ? TW_STR("standard input") : tw_str_z(path);
}

tw_read_options load_options(const cli *app)
{
    return (tw_read_options){
        .rate = app->set.rate,
        .drop = app->set.drop,
        .timeline = tw_str_z(app->set.timeline),
    };
}

exit_code load_edit(cli *app, const char *path, const tw_read_options *options, loaded *out)
{
    out->path = path;
    progress_phase(app, "reading", tw_str_basename(tw_str_z(path)));
    progress_watch watch;
    progress_watch_begin(app, &watch);
    exit_code code = load_bytes(app, path, &out->bytes);
    tw_status status = TW_OK;
    if (code == EXIT_FINE)
        status = tw_formats_read(app->arena, out->bytes, display_name(path), options, app->diags, &out->timeline);
    progress_watch_end(&watch);
    progress_end(app);
    if (code != EXIT_FINE)
        return code;
    if (status != TW_OK)
        return code_of(status);
    tw_timeline_check(out->timeline, app->diags);
    return tw_diags_failed(app->diags) ? EXIT_INPUT : EXIT_FINE;
}

void project_input(cli *app, project *p, const char *path)
{
    p->inputs = tw_arena_grow(app->arena, p->inputs, p->input_count, &p->input_cap, sizeof *p->inputs);
    p->inputs[p->input_count++] = path;
}

const char *project_path(cli *app, const project *p, tw_str path)
{
    bool absolute = path.len > 0 && path.at[0] == '/';
    return tw_arena_printf(app->arena, "%.*s%.*s", absolute ? 0 : (int)p->folder.len, p->folder.at, TW_ARG(path)).at;
}

static exit_code load_track(cli *app, project *p, tw_note *note, tw_region *region)
{
    const char *path = project_path(app, p, region->track);
    const tw_source *source = tw_plan_source(p->plan, &note->reel, 1);
    tw_str bytes;
    exit_code code = load_bytes(app, path, &bytes);
    if (code != EXIT_FINE)
        return code;
    project_input(app, p, path);
    if (source == NULL || source->size.w <= 0) {
        const tw_place place = tw_json_place(&p->plan->doc, region->json);
        tw_diag_add(app->diags, 1902, &place, "the table %.*s holds pixels, but the size of reel %.*s is not known",
                    TW_ARG(region->track), TW_ARG(note->reel));
        return EXIT_INPUT;
    }
    int64_t first = region->has_track_start ? region->track_start : note->in;
    return code_of(tw_plan_track(app->arena, bytes, tw_str_z(path), source->size, first, region, app->diags));
}

static exit_code load_movement(cli *app, project *p, tw_note *note)
{
    const char *path = project_path(app, p, note->movement);
    tw_str bytes;
    exit_code code = load_bytes(app, path, &bytes);
    if (code != EXIT_FINE)
        return code;
    project_input(app, p, path);
    return code_of(tw_plan_movement(app->arena, bytes, tw_str_z(path), note, app->diags));
}

static exit_code load_tables(cli *app, project *p)
{
    exit_code code = EXIT_FINE;
    for (size_t n = 0; n < p->plan->note_count && code == EXIT_FINE; n++) {
        tw_note *note = &p->plan->notes[n];
        if (note->movement.len > 0)
            code = load_movement(app, p, note);
        for (size_t r = 0; r < note->region_count && code == EXIT_FINE; r++)
            if (note->regions[r].track.len > 0)
                code = load_track(app, p, note, &note->regions[r]);
    }
    return code;
}

/* --only must name a delivery of the plan. */
static exit_code check_only(cli *app, const tw_plan *plan)
{
    tw_buf names = {.arena = app->arena};
    if (app->set.only == NULL)
        return EXIT_FINE;
    for (size_t i = 0; i < plan->delivery_count; i++) {
        if (tw_str_is(plan->deliveries[i].name, app->set.only))
            return EXIT_FINE;
        tw_buf_addf(&names, "%s%.*s", i > 0 ? ", " : "", TW_ARG(plan->deliveries[i].name));
    }
    say_error("the plan has no delivery named \"%s\"; it has %.*s", app->set.only, TW_ARG(tw_buf_str(&names)));
    return EXIT_USAGE;
}

exit_code load_project(cli *app, const char *plan_path, project *p)
{
    tw_str text;
    exit_code code = load_bytes(app, plan_path, &text);
    if (code == EXIT_FINE)
        code = load_project_text(app, plan_path, text, p);
    if (code == EXIT_FINE)
        project_input(app, p, plan_path);
    return code;
}

exit_code load_project_text(cli *app, const char *plan_path, tw_str text, project *p)
{
    *p = (project){.plan_path = plan_path, .folder = name_folder(plan_path), .plan_bytes = text};
    tw_plan_edit edit;
    tw_status status = tw_plan_read_edit(app->arena, p->plan_bytes, display_name(plan_path), app->diags, &edit);
    if (status != TW_OK)
        return code_of(status);
    tw_read_options options = load_options(app);
    if (!tw_rate_known(options.rate)) {
        options.rate = edit.rate;
        options.drop = edit.drop;
    }
    if (options.timeline.len == 0)
        options.timeline = edit.timeline;
    const char *edit_path = project_path(app, p, edit.file);
    project_input(app, p, edit_path);
    exit_code code = load_edit(app, edit_path, &options, &p->edit);
    if (code != EXIT_FINE)
        return code;
    p->edit.hash = tw_str_hash(p->edit.bytes);
    const tw_timeline *t = p->edit.timeline;
    status = tw_plan_read(app->arena, p->plan_bytes, display_name(plan_path), t->rate, t->drop, app->diags, &p->plan);
    if (status != TW_OK)
        return code_of(status);
    code = check_only(app, p->plan);
    if (code != EXIT_FINE)
        return code;
    return tw_recut_conflicts(&p->plan->doc, app->diags) > 0 ? EXIT_INPUT : load_tables(app, p);
}
