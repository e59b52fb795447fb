/* SPDX-License-Identifier: Apache-2.0
 *
 * The files of a fork. All are named first; then, as many deliveries at a time as there are threads, they are written
 * in memory, read back and proved, and put into temporaries beside where they belong; when all stand there, they take
 * their places together.
 */
#include "media.h"
#include "outputs.h"

#include <string.h>

typedef struct making {
    cli *app;
    const project *p;
    const tw_derived *derived;
    tw_str folder;
    outputs *files; /* all that is made, in the order it is told: timelines, pages, records */
    outputs pages;
    tw_fileset *set;
    struct piece *pieces; /* one for each delivery, then the sheet's */
    cli worker;           /* what a piece begins with: app without a line of progress and without a set */
    progress_line line;   /* of the thread that starts the others */
    bool through;         /* each delivery went as far as its verdict */
} making;

/* One delivery, or the sheet of all, on its way through a thread. */
typedef struct piece {
    outputs files; /* named beforehand; their texts are there from writing to staging */
    outputs record;
    proved *result;
    exit_code code;
    tw_str why;  /* of what the system refused; else empty */
    bool faulty; /* a writer has found fault with the edit */
    bool proved;
} piece;

/* ---- names ----------------------------------------------------------------------------------------------- */

/* Position of the delivery in the plan. */
static size_t number_of(const project *p, const tw_delivery *d)
{
    return (size_t)(d - p->plan->deliveries);
}

/* The same format named twice. */
static bool is_taken(cli *app, const project *p, const tw_delivery *d, const outputs *files, const char *path)
{
    for (size_t i = 0; i < files->len; i++) {
        if (strcmp(files->at[i].path, path) != 0)
            continue;
        const tw_place place = tw_json_place(&p->plan->doc, d->json);
        const tw_str other = p->plan->deliveries[files->at[i].delivery].name;
        tw_diag_add(app->diags, 1906, &place,
                    "delivery \"%.*s\" would write %s, which delivery \"%.*s\" writes already", TW_ARG(d->name), path,
                    TW_ARG(other));
        return true;
    }
    return false;
}

static bool name_timelines(making *m, const tw_delivery *d, outputs *named)
{
    const tw_format *formats[TW_PLAN_FORMATS + 2];
    size_t count = output_formats(m->p, d, formats);
    for (size_t f = 0; f < count; f++) {
        for (size_t part = 0; part < formats[f]->parts(m->p->edit.timeline); part++) {
            output file = {.format = formats[f], .part = part, .delivery = number_of(m->p, d), .staged = true};
            file.path = output_path(m->app, m->folder, m->p, d, part, formats[f]->extensions[0]);
            file.name = tw_str_basename(tw_str_z(file.path));
            if (is_taken(m->app, m->p, d, m->files, file.path))
                return false;
            outputs_add(m->app, m->files, file);
            outputs_add(m->app, named, file);
        }
    }
    return true;
}

static void name_pages(making *m, const tw_delivery *d, outputs *named)
{
    for (size_t k = 0; page_ending(k) != NULL; k++) {
        output file = {.delivery = number_of(m->p, d), .page = page_ending(k), .staged = true};
        file.path = output_path(m->app, m->folder, m->p, d, 0, file.page);
        file.name = tw_str_basename(tw_str_z(file.path));
        outputs_add(m->app, &m->pages, file);
        outputs_add(m->app, named, file);
    }
}

/* ---- one delivery ---------------------------------------------------------------------------------------- */

/* The text of one file. What a writer builds on the way is gone when it is done. */
static exit_code write_timeline(cli *app, tw_arena *arena, const tw_timeline *timeline, output *file)
{
    const tw_write_options options = {.crlf = false};
    tw_buf text = {.arena = arena};
    tw_arena *scratch = tw_arena_like(arena);
    tw_status status = file->format->write(scratch, timeline, file->part, &options, app->diags, &text);
    tw_arena_free(&scratch);
    file->text = tw_buf_str(&text);
    return code_of(status);
}

/* Files for people that say what the timelines say, and are held against them. */
static void write_page(const tw_derived *written, tw_arena *arena, output *file)
{
    tw_buf text = {.arena = arena};
    page_write(file->page, written, 0, &text);
    file->text = tw_buf_str(&text);
}

static exit_code write_files(cli *app, const making *m, size_t index, piece *d)
{
    tw_arena *arena = d->files.arena, *models = tw_arena_like(arena); /* gone before the proof reads its own */
    const tw_timeline *timeline = tw_derive_timeline(models, m->derived, index, m->p->edit.hash);
    const tw_derived *written = tw_derive_as_written(models, m->derived, index);
    exit_code code = EXIT_FINE;
    for (size_t i = 0; i < d->files.len && code == EXIT_FINE; i++) {
        if (d->files.at[i].format != NULL)
            code = write_timeline(app, arena, timeline, &d->files.at[i]);
        else
            write_page(written, arena, &d->files.at[i]);
    }
    tw_arena_free(&models);
    d->faulty = tw_diags_failed(app->diags);
    return code;
}

static tw_str record_text(cli *app, const piece *d)
{
    tw_buf text = {.arena = app->arena};
    tw_proof_named *named = TW_NEW_N(app->arena, tw_proof_named, d->files.len);
    size_t count = 0;
    for (size_t i = 0; i < d->files.len; i++)
        if (d->files.at[i].format != NULL)
            named[count++] = (tw_proof_named){d->files.at[i].name, tw_str_hash(d->files.at[i].text)};
    bool fine = d->result->proof.ok && tw_diags_count(d->result->findings, TW_WARNING) == 0;
    tw_proof_write_record(&d->result->proof, fine, named, count, d->result->findings, &text);
    return tw_buf_str(&text);
}

static void prove(cli *app, const making *m, size_t index, piece *d)
{
    const tw_delivery *delivery = m->derived->deliveries[index].delivery;
    exit_code code = prove_delivery(app, m->p, number_of(m->p, delivery), &d->files, d->result);
    tw_diags_pass(d->result->findings, TW_ERROR, app->diags);
    d->proved = code == EXIT_FINE && !tw_diags_failed(d->result->findings);
    if (!d->proved)
        return;
    const char *path = output_path(app, m->folder, m->p, delivery, 0, RECORD);
    outputs_add(app, &d->record, (output){.path = path, .text = record_text(app, d)});
}

/* What stands in temporaries need not be kept in memory. */
static exit_code stage(const making *m, piece *d)
{
    tw_status status = TW_OK;
    for (size_t i = 0; i < d->files.len && status == TW_OK; i++)
        status = tw_fileset_stage(m->set, d->files.at[i].path, d->files.at[i].text, &d->why);
    return code_of(status);
}

static exit_code make_delivery(cli *app, const making *m, size_t index, piece *d)
{
    tw_str name = m->derived->deliveries[index].delivery->name;
    progress_phase(app, "writing", name);
    exit_code code = write_files(app, m, index, d);
    if (code != EXIT_FINE || d->faulty)
        return code;
    progress_phase(app, "proving", name);
    prove(app, m, index, d);
    return d->proved ? stage(m, d) : EXIT_FINE;
}

/* ---- all of them ----------------------------------------------------------------------------------------- */

static exit_code make_sheet(cli *app, const making *m, piece *d)
{
    progress_phase(app, "writing", TW_STR("the sheet"));
    tw_buf page = {.arena = d->files.arena};
    const tw_sheet_options options = {.agreed = agreed_shots(app, m->p, m->derived)};
    tw_report_sheet(m->derived, &options, &page);
    const char *path = name_beside(app->arena, m->folder, m->p->edit.path, TW_STR(SHEET_NAME));
    outputs_add(app, &d->files, (output){.path = path, .text = tw_buf_str(&page), .staged = true});
    return stage(m, d);
}

/* A piece has findings and memory of its own. Not even begun after Ctrl-C, it counts as failed. */
static void make_piece(void *context, tw_arena *arena, tw_diags *diags, size_t index)
{
    making *m = context;
    piece *d = &m->pieces[index];
    cli own = m->worker;
    bool tells = arena == m->app->arena;
    if (tw_fileset_interrupted())
        return;
    own.arena = arena;
    own.diags = diags;
    if (tells) {
        own.progress = m->line;
        own.staged = m->set;
    }
    d->files.arena = tw_arena_like(arena);
    d->code = index < m->derived->delivery_count ? make_delivery(&own, m, index, d) : make_sheet(&own, m, d);
    tw_arena_free(&d->files.arena);
    if (tells)
        m->line = own.progress;
}

static bool name_files(making *m, proved *proofs)
{
    size_t errors = tw_diags_count(m->app->diags, TW_ERROR);
    for (size_t i = 0; i < m->derived->delivery_count; i++) {
        const tw_delivery *d = m->derived->deliveries[i].delivery;
        m->pieces[i].code = EXIT_IO;
        m->pieces[i].result = &proofs[i];
        if (!name_timelines(m, d, &m->pieces[i].files))
            return false;
        name_pages(m, d, &m->pieces[i].files);
    }
    const tw_timeline *master = m->p->edit.timeline;
    size_t f = 0;
    while (f < m->files->len && (m->files->at[f].format == NULL || m->files->at[f].format == master->format))
        f++;
    if (f < m->files->len) /* the same for all of them */
        tell_beyond(m->app, master, m->files->at[f].format);
    return tw_diags_count(m->app->diags, TW_ERROR) == errors;
}

static exit_code tell_pieces(making *m, size_t count)
{
    bool readable = true, fine = true;
    for (size_t i = 0; i < count; i++) {
        const piece *d = &m->pieces[i];
        if (d->why.len > 0)
            say_failed(m->app, d->why);
        if (d->code != EXIT_FINE)
            return d->code;
        readable = readable && !d->faulty;
        fine = fine && (d->proved || i == m->derived->delivery_count);
    }
    if (!readable)
        return EXIT_INPUT;
    m->through = true;
    if (fine)
        return EXIT_FINE;
    say_failed(m->app, TW_STR("what was about to be written does not keep its promises, so nothing was written. This is"
                              " a fault of the tool: please report it with the plan, the edit and the findings"));
    return EXIT_FAULT;
}

static void append(making *m, const outputs *files)
{
    for (size_t i = 0; i < files->len; i++)
        outputs_add(m->app, m->files, files->at[i]);
}

static bool spare_changed(const making *m)
{
    bool changed = false;
    for (size_t i = 0; i < m->derived->delivery_count; i++) {
        const char *record = output_path(m->app, m->folder, m->p, m->derived->deliveries[i].delivery, 0, RECORD);
        changed = changed_by_hand(m->app, m->p, m->derived, i, &m->pieces[i].files, record) || changed;
    }
    if (changed)
        say_failed(m->app,
                   TW_STR("nothing was written: `adopt` takes changed windows into notes; --over lets timelines "
                          "be lost that were changed by hand"));
    return changed;
}

static exit_code make_pieces(making *m, proved *proofs)
{
    size_t deliveries = m->derived->delivery_count, count = deliveries + (m->app->set.only == NULL);
    m->pieces = TW_NEW_N(m->app->arena, piece, deliveries + 1);
    m->pieces[deliveries].code = EXIT_IO;
    if (!name_files(m, proofs))
        return EXIT_INPUT;
    if (!m->app->set.over && spare_changed(m)) {
        m->files->len = 0;
        return EXIT_FINDINGS;
    }
    m->worker = *m->app;
    m->worker.progress = (progress_line){.wanted = false};
    m->worker.staged = NULL;
    m->line = m->app->progress;
    jobs_run(m->app, count, make_piece, m);
    m->app->progress = m->line;
    exit_code code = tell_pieces(m, count);
    append(m, &m->pages);
    append(m, &m->pieces[deliveries].files);
    for (size_t i = 0; i < deliveries; i++)
        append(m, &m->pieces[i].record);
    return code;
}

/* ---- the set --------------------------------------------------------------------------------------------- */

static exit_code save(making *m)
{
    for (size_t i = 0; i < m->files->len; i++)
        if (!m->files->at[i].staged)
            tw_fileset_add(m->set, m->files->at[i].path, m->files->at[i].text);
    return put_files(m->app, m->set);
}

static exit_code make_files(making *m, proved *proofs)
{
    tw_str why;
    const char *folder = tw_arena_dupz(m->app->arena, m->folder);
    for (size_t i = 0; i < m->p->input_count; i++)
        tw_fileset_protect(m->set, m->p->inputs[i]);
    tw_status status = tw_fileset_begin(m->set, folder, &why);
    if (status != TW_OK) {
        say_failed(m->app, why);
        return code_of(status);
    }
    exit_code code = make_pieces(m, proofs);
    return code == EXIT_FINE ? save(m) : code;
}

/* ---- the job --------------------------------------------------------------------------------------------- */

/* Whatever ends the work before the files stand in their places takes the temporaries away: app->staged. */
static exit_code make_all(cli *app, making *m, proved *proofs)
{
    tw_arena *names = tw_arena_like(app->arena); /* the set's own: threads put files into it */
    app->staged = m->set = tw_fileset_new(names);
    exit_code code = make_files(m, proofs);
    progress_end(app);
    app->staged = NULL;
    tw_fileset_drop(m->set);
    tw_arena_free(&names);
    return code;
}

exit_code fork_project(cli *app, const project *p, tw_derived **derived, outputs *files, proved **proofs)
{
    exit_code code = *derived == NULL ? solve_project(app, p, derived) : check_solved(app, p, *derived);
    if (code != EXIT_FINE)
        return code;
    const tw_note **broken;
    if (agreed_broken(app, p, *derived, NULL, app->diags, &broken) > 0 && !app->set.reopen)
        return agreed_refused();
    making m = {
        .app = app,
        .p = p,
        .derived = *derived,
        .folder = app->set.out != NULL ? tw_str_z(app->set.out) : p->folder,
        .files = files,
    };
    proved *all = TW_NEW_N(app->arena, proved, (*derived)->delivery_count);
    code = make_all(app, &m, all);
    if (m.through)
        *proofs = all;
    bool incomplete = false;
    for (size_t i = 0; i < (*derived)->delivery_count; i++)
        incomplete = incomplete || (*derived)->deliveries[i].unknown > 0;
    return code == EXIT_FINE && incomplete ? EXIT_FINDINGS : code;
}
