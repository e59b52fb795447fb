/* SPDX-License-Identifier: Apache-2.0
 *
 * The main job: read, solve, write in memory, then put the whole set on disk.
 */
#define _POSIX_C_SOURCE 200809L
#include "cli.h"

#include <errno.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

/* ---- writing --------------------------------------------------------------------------------------------- */

/* Position of the delivery in the plan. */
static size_t number_of(const project *p, const tw_delivery *d)
{
    return (size_t)(d - p->plan->deliveries);
}

/* The text of one file. What a writer builds on the way is gone when it is done. */
static exit_code write_file(cli *app, const tw_timeline *timeline, output *file)
{
    const tw_write_options options = {.crlf = false};
    tw_buf text = {.arena = app->arena};
    tw_arena *scratch = tw_arena_like(app->arena);
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

static exit_code write_delivery(cli *app, const project *p, const tw_derived *derived, size_t index, tw_str folder,
                                outputs *files)
{
    const tw_delivery *d = derived->deliveries[index].delivery;
    const tw_format *formats[TW_PLAN_FORMATS + 2];
    size_t count = output_formats(app, p, d, formats);
    const tw_timeline *timeline = tw_derive_timeline(app->arena, derived, index, p->edit.hash);
    for (size_t f = 0; f < count; f++) {
        for (size_t part = 0; part < formats[f]->parts(timeline); part++) {
            const char *path = output_path(app, folder, p, d, part, formats[f]->extensions[0]);
            output file = {.path = path, .format = formats[f], .part = part, .delivery = number_of(p, d)};
            file.name = tw_str_basename(tw_str_z(path));
            if (is_taken(app, p, d, files, path))
                return EXIT_INPUT;
            exit_code code = write_file(app, timeline, &file);
            if (code != EXIT_FINE)
                return code;
            outputs_add(app, files, file);
        }
    }
    return EXIT_FINE;
}

/* What is about to be written is read back and proved first; the numbers go into a file of their own. */
static exit_code prove(cli *app, const project *p, const tw_derived *derived, tw_str folder, outputs *files,
                       proved *proofs)
{
    bool ok = true;
    for (size_t i = 0; i < derived->delivery_count; i++) {
        const tw_delivery *d = derived->deliveries[i].delivery;
        exit_code code = prove_delivery(app, p, number_of(p, d), files, &proofs[i]);
        findings_pass(proofs[i].findings, TW_ERROR, app->diags);
        ok = ok && code == EXIT_FINE && !tw_diags_failed(proofs[i].findings);
        if (!ok)
            continue;
        tw_buf text = {.arena = app->arena};
        tw_proof_write_json(&proofs[i].proof, 1, proofs[i].findings, &text);
        const char *path = output_path(app, folder, p, d, 0, "proof.json");
        outputs_add(app, files, (output){.path = path, .text = tw_buf_str(&text)});
    }
    if (ok)
        return EXIT_FINE;
    say_error("what was about to be written does not keep its promises, so nothing was written. This is a fault of the"
              " tool: please report it with the plan, the edit and the findings");
    return EXIT_FAULT;
}

static exit_code save(cli *app, const project *p, tw_str folder, const outputs *files)
{
    const char *dir = tw_arena_dupz(app->arena, folder);
    if (dir[0] != '\0' && mkdir(dir, 0777) != 0 && errno != EEXIST) {
        say_error("cannot make the folder %s: %s", dir, strerror(errno));
        return EXIT_IO;
    }
    tw_fileset *set = tw_fileset_new(app->arena);
    for (size_t i = 0; i < p->input_count; i++)
        tw_fileset_protect(set, p->inputs[i]);
    for (size_t i = 0; i < files->len; i++)
        tw_fileset_add(set, files->at[i].path, files->at[i].text);
    tw_str why;
    tw_status status = tw_fileset_commit(set, &why);
    if (status != TW_OK)
        say_error("%.*s", TW_ARG(why));
    return status == TW_ERR_SEMANTIC ? EXIT_USAGE : code_of(status);
}

/* ---- telling --------------------------------------------------------------------------------------------- */

#define WHY_COLUMN 45

/* The number a list gives the event; other edits have their shots counted. */
static void text_event(const tw_decision *shot, size_t number, tw_buf *out)
{
    if (shot->clip->event.len > 0) {
        say_field(shot->clip->event, 6, out);
        return;
    }
    size_t start = out->len;
    tw_buf_addf(out, "%zu", number);
    tw_buf_fill(out, ' ', out->len - start < 6 ? 6 - (out->len - start) : 0);
}

static void text_shot(const tw_derived *derived, const tw_decision *shot, size_t number, tw_buf *out)
{
    const tw_timeline *master = derived->master;
    tw_buf_addz(out, "  ");
    text_event(shot, number, out);
    tw_buf_addc(out, ' ');
    say_time(shot->record_in, master->rate, master->drop, out);
    tw_buf_addz(out, "  ");
    say_field(name_of_source(shot->clip), 10, out);
    if (shot->framing != NULL && shot->framing->mode == TW_FRAME_FILL) {
        tw_buf_addf(out, " %3zu  ", shot->framing->key_count);
        tw_buf_add_fixed(out, tw_geom_scale(shot->framing->keys[0].w, shot->framing->delivery), 3);
        tw_buf_addz(out, "  ");
    } else {
        tw_buf_addz(out, "   -      -  ");
    }
    say_wrapped(shot->why, WHY_COLUMN, say_width(), out);
    tw_buf_addc(out, '\n');
}

static void text_totals(cli *app, const tw_derived_delivery *d)
{
    tw_buf line = {.arena = app->arena};
    tw_buf_addf(&line, "%zu shot%s: %zu framed, %zu moving (%zu key%s in all)", d->shot_count,
                d->shot_count == 1 ? "" : "s", d->framed + d->compromised, d->moving, d->keys, d->keys == 1 ? "" : "s");
    const struct {
        size_t count;
        const char *what;
    } rows[] = {
        {d->compromised, "with a compromise"},
        {d->not_framed, "not framed yet"},
        {d->graphics, "shown whole"},
        {d->unknown, "of unknown size"},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++)
        if (rows[i].count > 0)
            tw_buf_addf(&line, ", %zu %s", rows[i].count, rows[i].what);
    tw_buf_addz(&line, "; largest scale ");
    tw_buf_add_fixed(&line, d->max_scale, 3);
    tw_buf_addz(&app->out, "  ");
    say_wrapped(tw_buf_str(&line), 2, say_width(), &app->out);
    tw_buf_addc(&app->out, '\n');
}

static void fork_text(cli *app, const tw_derived *derived, const outputs *files)
{
    tw_buf *out = &app->out;
    for (size_t i = 0; i < derived->delivery_count; i++) {
        const tw_derived_delivery *d = &derived->deliveries[i];
        tw_buf_addf(out, "%s%.*s %dx%d\n", i > 0 ? "\n" : "", TW_ARG(d->delivery->name), d->delivery->size.w,
                    d->delivery->size.h);
        tw_buf_addz(out, "  event  record in    source     keys  scale  what was decided\n");
        for (size_t s = 0; s < d->shot_count; s++)
            text_shot(derived, &d->shots[s], s + 1, out);
        text_totals(app, d);
    }
    tw_buf_addz(out, app->set.out == NULL ? "\nwrote beside the plan\n" : "\nwrote\n");
    for (size_t i = 0; i < files->len; i++)
        tw_buf_addf(out, "  %s\n", files->at[i].path);
}

static void fork_json(cli *app, const tw_derived *derived, const proved *proofs)
{
    size_t count = derived != NULL && proofs != NULL ? derived->delivery_count : 0;
    tw_proof *all = TW_NEW_N(app->arena, tw_proof, count);
    for (size_t i = 0; i < count; i++)
        all[i] = proofs[i].proof;
    tw_proof_write_json(all, count, app->diags, &app->out);
}

/* ---- the job --------------------------------------------------------------------------------------------- */

exit_code solve_project(cli *app, const project *p, tw_derived **derived)
{
    const tw_derive_options options = {.only = tw_str_z(app->set.only), .threads = thread_count(app)};
    tw_status status = tw_derive(app->arena, p->plan, p->edit.timeline, &options, app->diags, derived);
    if (status != TW_OK)
        return code_of(status);
    if ((*derived)->delivery_count == 0) {
        const tw_place place = {.file = p->plan->file};
        tw_diag_add(app->diags, 1905, &place, "the plan names no deliveries: there is nothing to make");
        return EXIT_INPUT;
    }
    if ((*derived)->deliveries[0].shot_count == 0) {
        const tw_place place = {.file = tw_str_z(p->edit.path)};
        tw_diag_add(app->diags, 1901, &place, "the edit has no picture clips: there is nothing to frame");
        return EXIT_INPUT;
    }
    return EXIT_FINE;
}

exit_code fork_project(cli *app, const project *p, tw_derived **derived, outputs *files, proved **proofs)
{
    exit_code code = solve_project(app, p, derived);
    if (code != EXIT_FINE)
        return code;
    const tw_note **broken;
    if (agreed_broken(app, p, *derived, &broken) > 0 && !app->set.reopen)
        return EXIT_FINDINGS;
    tw_str folder = app->set.out != NULL ? tw_str_z(app->set.out) : p->folder;
    for (size_t i = 0; i < (*derived)->delivery_count; i++) {
        code = write_delivery(app, p, *derived, i, folder, files);
        if (code != EXIT_FINE)
            return code;
    }
    if (tw_diags_failed(app->diags))
        return EXIT_INPUT;
    *proofs = TW_NEW_N(app->arena, proved, (*derived)->delivery_count);
    pages_add(app, p, *derived, folder, files);
    code = prove(app, p, *derived, folder, files, *proofs);
    if (code != EXIT_FINE)
        return code;
    code = save(app, p, folder, files);
    bool incomplete = false;
    for (size_t i = 0; i < (*derived)->delivery_count; i++)
        incomplete = incomplete || (*derived)->deliveries[i].unknown > 0;
    return code == EXIT_FINE && incomplete ? EXIT_FINDINGS : code;
}

exit_code cmd_fork(cli *app)
{
    project p;
    tw_derived *derived = NULL;
    outputs files = {.len = 0};
    proved *proofs = NULL;
    exit_code code = load_project(app, app->args[0], &p);
    if (code == EXIT_FINE)
        code = fork_project(app, &p, &derived, &files, &proofs);
    if (derived != NULL && app->set.json)
        tw_derive_findings(app->arena, derived, app->diags);
    if (app->set.json && code != EXIT_IO)
        fork_json(app, derived, proofs);
    else if (!app->set.quiet && files.len > 0 && (code == EXIT_FINE || code == EXIT_FINDINGS))
        fork_text(app, derived, &files);
    return code;
}
