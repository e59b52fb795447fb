/* SPDX-License-Identifier: Apache-2.0
 *
 * The files of a fork. Delivery by delivery they are written in memory, read back and proved, and put into temporaries
 * beside where they belong; when all stand there, they take their places together.
 */
#include "cli.h"

#include <string.h>

typedef struct making {
    cli *app;
    const project *p;
    const tw_derived *derived;
    tw_str folder;
    outputs *files; /* all that is made, in the order it is told: timelines, then these two */
    outputs pages, proofs;
    tw_fileset *set;
    bool readable; /* no writer has found fault with the edit */
    bool proved;
    bool through; /* every delivery has its proof */
} making;

/* ---- one delivery ---------------------------------------------------------------------------------------- */

/* Position of the delivery in the plan. */
static size_t number_of(const project *p, const tw_delivery *d)
{
    return (size_t)(d - p->plan->deliveries);
}

/* The text of one file. What a writer builds on the way is gone when it is done. */
static exit_code write_file(cli *app, tw_arena *arena, const tw_timeline *timeline, output *file)
{
    const tw_write_options options = {.crlf = false};
    tw_buf text = {.arena = arena};
    tw_arena *scratch = tw_arena_like(arena);
    tw_status status = file->format->write(scratch, timeline, file->part, &options, app->diags, &text);
    tw_arena_free(&scratch);
    file->text = tw_buf_str(&text);
    return code_of(status);
}

/* The same format named twice, or delivery "tall.V2" beside the second picture track of "tall". */
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

static exit_code write_timelines(making *m, size_t index, outputs *made)
{
    const tw_delivery *d = m->derived->deliveries[index].delivery;
    const tw_format *formats[TW_PLAN_FORMATS + 2];
    size_t count = output_formats(m->app, m->p, d, formats);
    const tw_timeline *timeline = tw_derive_timeline(made->arena, m->derived, index, m->p->edit.hash);
    for (size_t f = 0; f < count; f++) {
        for (size_t part = 0; part < formats[f]->parts(timeline); part++) {
            const char *path = output_path(m->app, m->folder, m->p, d, part, formats[f]->extensions[0]);
            output file = {
                .path = path,
                .name = tw_str_basename(tw_str_z(path)),
                .format = formats[f],
                .part = part,
                .delivery = number_of(m->p, d),
            };
            if (is_taken(m->app, m->p, d, m->files, path) || is_taken(m->app, m->p, d, made, path))
                return EXIT_INPUT;
            exit_code code = write_file(m->app, made->arena, timeline, &file);
            if (code != EXIT_FINE)
                return code;
            outputs_add(m->app, made, file);
        }
    }
    return EXIT_FINE;
}

/* Files for people that say what the timelines say, and are held against them. */
static void write_pages(const making *m, size_t index, outputs *made)
{
    static void (*const writers[])(const tw_derived *derived, size_t delivery, tw_buf *out) = {tw_report_vtt,
                                                                                               tw_report_keys};
    const tw_delivery *d = m->derived->deliveries[index].delivery;
    for (size_t k = 0; page_ending(k) != NULL; k++) {
        tw_buf text = {.arena = made->arena};
        writers[k](m->derived, index, &text);
        output file = {.text = tw_buf_str(&text), .delivery = number_of(m->p, d), .page = page_ending(k)};
        file.path = output_path(m->app, m->folder, m->p, d, 0, file.page);
        file.name = tw_str_basename(tw_str_z(file.path));
        outputs_add(m->app, made, file);
    }
}

/* The proof's numbers go into a file of their own. */
static void prove(making *m, size_t index, const outputs *made, proved *proof)
{
    cli *app = m->app;
    const tw_delivery *d = m->derived->deliveries[index].delivery;
    exit_code code = prove_delivery(app, m->p, number_of(m->p, d), made, proof);
    findings_pass(proof->findings, TW_ERROR, app->diags);
    m->proved = m->proved && code == EXIT_FINE && !tw_diags_failed(proof->findings);
    if (!m->proved)
        return;
    tw_buf text = {.arena = app->arena};
    tw_proof_write_json(&proof->proof, 1, proof->findings, &text);
    const char *path = output_path(app, m->folder, m->p, d, 0, "proof.json");
    outputs_add(app, &m->proofs, (output){.path = path, .text = tw_buf_str(&text)});
}

/* What is proved need not be kept in memory. */
static exit_code stage(making *m, const outputs *made)
{
    tw_status status = TW_OK;
    tw_str why;
    for (size_t i = 0; i < made->len && status == TW_OK; i++) {
        output file = made->at[i];
        if (m->proved)
            status = tw_fileset_stage(m->set, file.path, file.text, &why);
        file.text = (tw_str){NULL, 0};
        file.staged = true;
        outputs_add(m->app, file.format != NULL ? m->files : &m->pages, file);
    }
    if (status != TW_OK)
        say_failed(m->app, why);
    return code_of(status);
}

static exit_code make_delivery(making *m, size_t index, outputs *made, proved *proof)
{
    cli *app = m->app;
    tw_str name = m->derived->deliveries[index].delivery->name;
    size_t errors = tw_diags_count(app->diags, TW_ERROR);
    progress_phase(app, "writing", name);
    exit_code code = write_timelines(m, index, made);
    m->readable = m->readable && tw_diags_count(app->diags, TW_ERROR) == errors;
    if (code != EXIT_FINE || !m->readable)
        return code;
    write_pages(m, index, made);
    progress_phase(app, "proving", name);
    prove(m, index, made, proof);
    return stage(m, made);
}

static exit_code make_deliveries(making *m, proved *proofs)
{
    for (size_t i = 0; i < m->derived->delivery_count; i++) {
        outputs made = {.arena = tw_arena_like(m->app->arena)};
        exit_code code = make_delivery(m, i, &made, &proofs[i]);
        tw_arena_free(&made.arena);
        if (code != EXIT_FINE)
            return code;
    }
    if (!m->readable)
        return EXIT_INPUT;
    m->through = true;
    if (m->proved)
        return EXIT_FINE;
    say_failed(m->app, TW_STR("what was about to be written does not keep its promises, so nothing was written. This is"
                              " a fault of the tool: please report it with the plan, the edit and the findings"));
    return EXIT_FAULT;
}

/* ---- the set --------------------------------------------------------------------------------------------- */

static exit_code save(making *m)
{
    for (size_t i = 0; i < m->files->len; i++)
        if (!m->files->at[i].staged)
            tw_fileset_add(m->set, m->files->at[i].path, m->files->at[i].text);
    tw_str why;
    tw_status status = tw_fileset_commit(m->set, &why);
    if (status != TW_OK)
        say_failed(m->app, why);
    return status == TW_ERR_SEMANTIC ? EXIT_USAGE : code_of(status);
}

static void append(making *m, const outputs *files)
{
    for (size_t i = 0; i < files->len; i++)
        outputs_add(m->app, m->files, files->at[i]);
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
    exit_code code = make_deliveries(m, proofs);
    if (code != EXIT_FINE)
        return code;
    progress_phase(m->app, "writing", TW_STR("the sheet"));
    if (m->app->set.only == NULL)
        sheet_add(m->app, m->p, m->derived, m->folder, &m->pages);
    append(m, &m->pages);
    append(m, &m->proofs);
    return save(m);
}

/* ---- the job --------------------------------------------------------------------------------------------- */

static exit_code check_solved(cli *app, const project *p, const tw_derived *derived)
{
    if (derived->delivery_count == 0) {
        const tw_place place = {.file = p->plan->file};
        tw_diag_add(app->diags, 1905, &place, "the plan names no deliveries: there is nothing to make");
        return EXIT_INPUT;
    }
    if (derived->deliveries[0].shot_count == 0) {
        const tw_place place = {.file = tw_str_z(p->edit.path)};
        tw_diag_add(app->diags, 1901, &place, "the edit has no picture clips: there is nothing to frame");
        return EXIT_INPUT;
    }
    return EXIT_FINE;
}

exit_code solve_project(cli *app, const project *p, tw_derived **derived)
{
    const tw_derive_options options = {
        .only = tw_str_z(app->set.only), .threads = thread_count(app), .progress = progress_of(app)};
    progress_phase(app, "solving", (tw_str){NULL, 0});
    tw_status status = tw_derive(app->arena, p->plan, p->edit.timeline, &options, app->diags, derived);
    progress_end(app);
    return status == TW_OK ? check_solved(app, p, *derived) : code_of(status);
}

/* Whatever ends the work before the files stand in their places takes the temporaries away: app->staged. */
static exit_code make_all(cli *app, making *m, proved *proofs)
{
    app->staged = m->set;
    exit_code code = make_files(m, proofs);
    progress_end(app);
    app->staged = NULL;
    tw_fileset_drop(m->set);
    return code;
}

exit_code fork_project(cli *app, const project *p, tw_derived **derived, outputs *files, proved **proofs)
{
    exit_code code = *derived == NULL ? solve_project(app, p, derived) : check_solved(app, p, *derived);
    if (code != EXIT_FINE)
        return code;
    const tw_note **broken;
    if (agreed_broken(app, p, *derived, &broken) > 0 && !app->set.reopen)
        return EXIT_FINDINGS;
    making m = {
        .app = app,
        .p = p,
        .derived = *derived,
        .folder = app->set.out != NULL ? tw_str_z(app->set.out) : p->folder,
        .files = files,
        .set = tw_fileset_new(app->arena),
        .readable = true,
        .proved = true,
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
