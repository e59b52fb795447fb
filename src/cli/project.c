/* SPDX-License-Identifier: Apache-2.0
 *
 * A plan and what it names: loaded, solved, moved to another folder.
 */
#include "project.h"

#include <string.h>

/* ---- loading ------------------------------------------------------------------------------------------------ */

void project_input(cli *app, project *p, const char *path)
{
    TW_PUSH(app->arena, p->inputs, p->input_count, p->input_cap) = path;
}

const char *project_path(cli *app, const project *p, tw_str path)
{
    return name_from(app->arena, p->folder, path);
}

/* A table a note names, as what: its own path says too little where it cannot be read. */
static exit_code load_table(cli *app, project *p, const tw_note *note, tw_str as, const char *path, tw_str *bytes)
{
    exit_code code = load_bytes(app, path, bytes);
    if (code != EXIT_FINE)
        say_error("note %.*s names it as the table of %.*s", TW_ARG(note->id), TW_ARG(as));
    else
        project_input(app, p, path);
    return code;
}

static exit_code load_track(cli *app, project *p, tw_note *note, tw_region *region)
{
    const char *path = project_path(app, p, region->track);
    const tw_source *source = tw_plan_source(p->plan, &note->reel, 1, 1);
    tw_str bytes, as = tw_arena_printf(app->arena, "its region \"%.*s\"", TW_ARG(region->name));
    exit_code code = load_table(app, p, note, as, path, &bytes);
    if (code != EXIT_FINE)
        return code;
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
    exit_code code = load_table(app, p, note, TW_STR("its camera's movement"), path, &bytes);
    if (code != EXIT_FINE)
        return code;
    return code_of(tw_plan_movement(app->arena, bytes, tw_str_z(path), note, app->diags));
}

/* All of them, so that all that is wrong is told; the code of the first that fails. */
static exit_code load_tables(cli *app, project *p)
{
    exit_code first = EXIT_FINE;
    for (size_t n = 0; n < p->plan->note_count; n++) {
        tw_note *note = &p->plan->notes[n];
        exit_code code = note->movement.len > 0 ? load_movement(app, p, note) : EXIT_FINE;
        first = first == EXIT_FINE ? code : first;
        for (size_t r = 0; r < note->region_count; r++) {
            code = note->regions[r].track.len > 0 ? load_track(app, p, note, &note->regions[r]) : EXIT_FINE;
            first = first == EXIT_FINE ? code : first;
        }
    }
    return first;
}

/* --only must name a delivery of the plan. */
static exit_code check_only(cli *app, const tw_plan *plan)
{
    if (app->set.only == NULL || tw_plan_delivery(plan, tw_str_z(app->set.only)) != NULL)
        return EXIT_FINE;
    say_error("the plan has no delivery named \"%s\"; it has %.*s", app->set.only,
              TW_ARG(tw_plan_delivery_names(app->arena, plan)));
    return EXIT_USAGE;
}

/* Every format a delivery asks for must be one there is. */
static void check_formats(cli *app, const tw_plan *plan, const tw_delivery *d)
{
    const tw_json *named = tw_json_first(tw_json_get(d->json, "formats"));
    for (size_t i = 0; i < d->format_count; i++, named = named->next) {
        if (tw_formats_named(d->formats[i]) != NULL)
            continue;
        const tw_place place = tw_json_place(&plan->doc, named);
        tw_diag_add(app->diags, 1904, &place,
                    "delivery \"%.*s\" asks for the format \"%.*s\", which this tool does not write", TW_ARG(d->name),
                    TW_ARG(d->formats[i]));
        tw_diag_hint(app->diags, "it writes %.*s", TW_ARG(tw_formats_names(app->arena)));
    }
}

exit_code load_project(cli *app, const char *plan_path, project *p)
{
    tw_str text;
    exit_code code = load_bytes(app, plan_path, &text);
    if (code == EXIT_FINE)
        code = load_project_text(app, plan_path, text, NULL, GIVEN_FIRST, p);
    if (code == EXIT_FINE)
        project_input(app, p, plan_path);
    return code;
}

/* How to read the edit: as the options say and as the plan does. */
static tw_read_options options_for(const cli *app, const tw_plan *plan, reading_by by)
{
    tw_read_options options = load_options(app);
    bool first = by == PLAN_FIRST;
    if (tw_rate_known(plan->rate) && (first || !tw_rate_known(options.rate))) {
        options.rate = plan->rate;
        options.drop = plan->drop;
    }
    if (first || options.timeline.len == 0)
        options.timeline = plan->edit_timeline;
    return options;
}

exit_code load_project_text(cli *app, const char *plan_path, tw_str text, const char *edit_path, reading_by by,
                            project *p)
{
    *p = (project){.plan_path = plan_path, .folder = tw_str_folder(tw_str_z(plan_path))};
    tw_plan *plan;
    tw_status status = tw_plan_open(app->arena, text, name_shown(plan_path), app->diags, &plan);
    if (status != TW_OK)
        return code_of(status);
    const tw_read_options options = options_for(app, plan, by);
    if (edit_path == NULL)
        edit_path = project_path(app, p, plan->edit_file);
    project_input(app, p, edit_path);
    exit_code code = load_edit(app, edit_path, &options, &p->edit);
    if (code != EXIT_FINE)
        return code;
    p->edit.hash = tw_str_hash(p->edit.bytes);
    const tw_timeline *t = p->edit.timeline;
    tw_derive_clocks(app->arena, t, plan);
    status = tw_plan_finish(app->arena, plan, t->rate, t->drop, app->diags);
    if (status != TW_OK)
        return code_of(status);
    p->plan = plan;
    code = check_only(app, p->plan);
    if (code != EXIT_FINE)
        return code;
    for (size_t i = 0; i < plan->delivery_count; i++)
        check_formats(app, plan, &plan->deliveries[i]);
    tw_recut_conflicts(&plan->doc, app->diags);
    return tw_diags_failed(app->diags) ? EXIT_INPUT : load_tables(app, p);
}

/* ---- solving ------------------------------------------------------------------------------------------------ */

exit_code solve(cli *app, const project *p, tw_diags *diags, tw_derived **out)
{
    const tw_derive_options options = {
        .only = tw_str_z(app->set.only), .threads = thread_count(app), .progress = progress_of(app)};
    progress_phase(app, "solving", tw_str_basename(tw_str_z(p->edit.path)));
    tw_status status = tw_derive(app->arena, p->plan, p->edit.timeline, &options, diags, out);
    progress_end(app);
    return code_of(status);
}

exit_code check_solved(cli *app, const project *p, const tw_derived *derived)
{
    if (derived->delivery_count == 0) {
        tw_diag_add(app->diags, 1905, TW_IN(p->plan->file), "the plan names no deliveries: there is nothing to make");
        return EXIT_INPUT;
    }
    if (derived->deliveries[0].shot_count == 0) {
        tw_diag_add(app->diags, 1901, TW_IN(tw_str_z(p->edit.path)),
                    "the edit has no picture clips: there is nothing to frame");
        return EXIT_INPUT;
    }
    return EXIT_FINE;
}

exit_code solve_project(cli *app, const project *p, tw_derived **derived)
{
    exit_code code = solve(app, p, app->diags, derived);
    return code == EXIT_FINE ? check_solved(app, p, *derived) : code;
}

exit_code load_solved(cli *app, project *p, tw_derived **derived)
{
    exit_code code = load_project(app, app->args[0], p);
    return code == EXIT_FINE ? solve_project(app, p, derived) : code;
}

void unused_notes(const tw_derived *derived, tw_buf *out)
{
    tw_buf names = {.arena = out->arena};
    for (size_t i = 0; i < derived->plan->note_count; i++)
        if (!derived->note_used[i])
            tw_buf_addf(&names, "%s%.*s", names.len == 0 ? "" : ", ", TW_ARG(derived->plan->notes[i].id));
    if (names.len == 0)
        return;
    tw_buf_addz(out, "\nnotes no shot uses, kept: ");
    say_wrapped(tw_buf_str(&names), 26, say_width(), out);
    tw_buf_addc(out, '\n');
}

/* ---- writing ------------------------------------------------------------------------------------------------ */

tw_str plan_text(cli *app, const tw_json *root, tw_str like)
{
    tw_buf text = {.arena = app->arena}, out = {.arena = app->arena};
    tw_plan_write(root, &text);
    size_t end = 0;
    while (end < like.len && like.at[end] != '\n')
        end++;
    if (end == 0 || end == like.len || like.at[end - 1] != '\r')
        return tw_buf_str(&text);
    for (size_t i = 0; i < text.len; i++) {
        if (text.at[i] == '\n')
            tw_buf_addc(&out, '\r');
        tw_buf_addc(&out, text.at[i]);
    }
    return tw_buf_str(&out);
}

static void move_path(cli *app, tw_json *object, const char *member, const char *from, const char *to)
{
    const tw_json *path = tw_json_get(object, member);
    if (!tw_json_is(path, TW_JSON_STRING) || tw_str_starts(path->text, TW_STR("/")))
        return;
    tw_str now = tw_arena_printf(app->arena, "%.*s%.*s", TW_ARG(tw_str_folder(tw_str_z(from))), TW_ARG(path->text));
    tw_json_set_text(app->arena, object, member, name_relative(app->arena, to, now.at));
}

static bool ends_in(tw_str s, tw_str end)
{
    return s.len >= end.len && tw_str_eq(tw_str_from(s, s.len - end.len), end);
}

/* Conflicts a merge noted hold values of both sides: paths among them move along. */
static void move_conflicts(cli *app, const tw_json *object, const char *ending, const char *from, const char *to)
{
    for (tw_json *c = tw_json_first(tw_json_get(object, "conflict")); c != NULL; c = c->next) {
        if (!ends_in(c->key, tw_str_z(ending)))
            continue;
        move_path(app, c, "ours", from, to);
        move_path(app, c, "theirs", from, to);
    }
}

void plan_move(cli *app, tw_json *root, const char *from, const char *to)
{
    if (to == NULL || strchr(name_relative(app->arena, from, to).at, '/') == NULL)
        return; /* the same folder */
    move_path(app, tw_json_get(root, "edit"), "file", from, to);
    move_conflicts(app, root, "edit/file", from, to);
    for (const tw_json *s = tw_json_first(tw_json_get(root, "sources")); s != NULL; s = s->next)
        for (tw_json *m = tw_json_first(tw_json_get(s, "media")); m != NULL; m = m->next)
            move_path(app, m, "file", from, to);
    for (tw_json *n = tw_json_first(tw_json_get(root, "notes")); n != NULL; n = n->next) {
        move_path(app, n, "movement", from, to);
        for (tw_json *g = tw_json_first(tw_json_get(n, "regions")); g != NULL; g = g->next)
            move_path(app, g, "track", from, to);
        move_conflicts(app, n, "/track", from, to);
        move_conflicts(app, n, "movement", from, to);
    }
}

bool is_plan(tw_str bytes)
{
    return tw_str_holds(bytes, TW_STR("\"tallwide_plan\"")); /* also one git could not join */
}

exit_code may_stand(cli *app, const char *path, bool plan)
{
    tw_str bytes, why;
    if (!put_replaces(path))
        return EXIT_FINE;
    tw_arena *scratch = tw_arena_like(app->arena);
    bool was = tw_file_read(scratch, path, TW_FILE_LIMIT, &bytes, &why) == TW_OK && is_plan(bytes);
    tw_arena_free(&scratch);
    if (plan == was)
        return EXIT_FINE;
    say_error("%s is there already and is %s plan: it would be lost; choose another name%s", path, plan ? "no" : "a",
              plan ? " for -o" : "");
    return EXIT_USAGE;
}

exit_code load_tree(cli *app, const char *path, tw_str bytes, tw_json_doc *doc)
{
    const tw_json_options options = {.bom_ok = true, .fold = TW_PLAN_FOLD};
    tw_status status = tw_json_read(app->arena, bytes, name_shown(path), &options, app->diags, doc);
    if (status != TW_OK)
        return code_of(status);
    if (tw_json_get(doc->root, "tallwide_plan") != NULL)
        return EXIT_FINE;
    const tw_place place = tw_json_place(doc, doc->root);
    tw_diag_add(app->diags, 1501, &place, "this is no plan: it has no \"tallwide_plan\"");
    return EXIT_INPUT;
}

exit_code plan_put(cli *app, tw_json *root, tw_str was, const char *from)
{
    exit_code code = may_stand(app, app->set.out, true);
    if (code != EXIT_FINE)
        return code;
    plan_move(app, root, from, app->set.out);
    return put_text(app, app->set.out, plan_text(app, root, was), NULL, 0);
}
