/* SPDX-License-Identifier: Apache-2.0
 *
 * Proves written timelines against the plan and the master.
 */
#define _POSIX_C_SOURCE 200809L
#include "cmd.h"
#include "outputs.h"

#include <unistd.h>

typedef struct proofs {
    tw_proof *at;
    size_t len;
    bool unreadable; /* some file could not be read */
    size_t broken;   /* agreed framings the plan would change */
    tw_diags *findings;
} proofs;

static tw_str folder_of(const cli *app, const project *p)
{
    return app->arg_count > 1 ? tw_str_z(app->args[1]) : p->folder;
}

/* Adds a file if it is there. */
static exit_code find_file(cli *app, output file, outputs *files)
{
    if (access(file.path, F_OK) != 0)
        return EXIT_FINE;
    tw_str why;
    tw_status status = tw_file_read(files->arena, file.path, TW_FILE_LIMIT, &file.text, &why);
    if (status != TW_OK) {
        say_error("%.*s", TW_ARG(why));
        return code_of(status);
    }
    file.name = tw_str_z(file.path);
    outputs_add(app, files, file);
    return EXIT_FINE;
}

static exit_code find_timeline(cli *app, const project *p, size_t delivery, const tw_format *format, size_t part,
                               outputs *files)
{
    exit_code code = EXIT_FINE;
    for (size_t e = 0; code == EXIT_FINE && e < 4 && format->extensions[e] != NULL; e++) {
        output file = {.format = format, .part = part, .delivery = delivery};
        file.path = output_path(app, folder_of(app, p), p, &p->plan->deliveries[delivery], part, format->extensions[e]);
        code = find_file(app, file, files);
    }
    return code;
}

static exit_code find_pages(cli *app, const project *p, size_t delivery, outputs *files, tw_diags *findings)
{
    const tw_delivery *d = &p->plan->deliveries[delivery];
    exit_code code = EXIT_FINE;
    for (size_t i = 0; code == EXIT_FINE && page_ending(i) != NULL; i++) {
        output file = {.page = page_ending(i), .delivery = delivery};
        file.path = output_path(app, folder_of(app, p), p, d, 0, file.page);
        size_t before = files->len;
        code = find_file(app, file, files);
        if (code == EXIT_FINE && files->len == before)
            tw_diag_add(findings, 1742, TW_IN(tw_str_z(file.path)),
                        "delivery \"%.*s\" is there, but not this file, which goes with it", TW_ARG(d->name));
    }
    return code;
}

static bool is_wanted(const tw_format *format, const tw_format *const *wanted, size_t count)
{
    for (size_t i = 0; i < count; i++)
        if (wanted[i] == format)
            return true;
    return false;
}

/* Every file that goes by the delivery's name, in any format; those the plan asks for must be there. */
static exit_code find_files(cli *app, const project *p, size_t delivery, outputs *files, tw_diags *findings)
{
    const tw_delivery *d = &p->plan->deliveries[delivery];
    const tw_format *wanted[TW_PLAN_FORMATS + 2];
    size_t count = output_formats(p, d, wanted);
    for (size_t i = 0; tw_formats_at(i) != NULL; i++) {
        const tw_format *format = tw_formats_at(i);
        size_t parts = format->parts(p->edit.timeline);
        for (size_t part = 0; part < parts; part++) {
            size_t before = files->len;
            exit_code code = find_timeline(app, p, delivery, format, part, files);
            if (code != EXIT_FINE)
                return code;
            if (files->len > before || !is_wanted(format, wanted, count))
                continue;
            const char *path = output_path(app, folder_of(app, p), p, d, part, format->extensions[0]);
            tw_diag_add(findings, 1734, TW_IN(tw_str_z(path)), "delivery \"%.*s\" has no such file yet",
                        TW_ARG(d->name));
        }
    }
    return EXIT_FINE;
}

/* The record beside the files must tell of them what is found now. */
static exit_code hold_record(cli *app, const project *p, size_t delivery, const tw_proof *proof, outputs *files,
                             tw_diags *findings)
{
    output file = {.delivery = delivery};
    file.path = output_path(app, folder_of(app, p), p, &p->plan->deliveries[delivery], 0, RECORD);
    size_t before = files->len;
    exit_code code = find_file(app, file, files);
    if (code == EXIT_FINE && files->len > before && !tw_proof_record_tells(files->arena, files->at[before].text, proof))
        tw_diag_add(findings, 1743, TW_IN(tw_str_z(file.path)),
                    "the proof beside delivery \"%.*s\" is not that of these files",
                    TW_ARG(p->plan->deliveries[delivery].name));
    return code;
}

static exit_code check_files(cli *app, const project *p, size_t delivery, outputs *files, proofs *out)
{
    size_t warnings = tw_diags_count(out->findings, TW_WARNING);
    exit_code code = find_files(app, p, delivery, files, out->findings);
    if (code != EXIT_FINE || files->len == 0)
        return code;
    code = find_pages(app, p, delivery, files, out->findings);
    if (code != EXIT_FINE)
        return code;
    proved result;
    progress_phase(app, "proving", p->plan->deliveries[delivery].name);
    code = prove_delivery(app, p, delivery, files, &result);
    progress_end(app);
    tw_diags_pass(result.findings, TW_NOTE, out->findings);
    if (code == EXIT_FINE && result.proof.ok)
        code = hold_record(app, p, delivery, &result.proof, files, out->findings);
    if (code == EXIT_FINE) {
        result.proof.warnings = tw_diags_count(out->findings, TW_WARNING) - warnings;
        out->at[out->len++] = result.proof;
    } else {
        out->unreadable = true;
    }
    return code == EXIT_INPUT ? EXIT_FINE : code; /* the others are still worth checking */
}

static exit_code check_delivery(cli *app, const project *p, size_t delivery, proofs *out)
{
    outputs files = {.arena = tw_arena_like(app->arena)};
    exit_code code = check_files(app, p, delivery, &files, out);
    tw_arena_free(&files.arena);
    return code;
}

/* Agreed framings that the plan would not give any more; solving is needed only where something was agreed on. */
static void check_agreed(cli *app, const project *p, proofs *out)
{
    bool any = false;
    for (size_t i = 0; i < p->plan->note_count; i++)
        any = any || tw_str_is(p->plan->notes[i].state, "agreed");
    tw_derived *derived;
    const tw_note **broken;
    if (any && solve(app, p, tw_diags_new(app->arena), &derived) == EXIT_FINE)
        out->broken = agreed_broken(app, p, derived, NULL, out->findings, &broken);
}

static exit_code check_project(cli *app, const project *p, proofs *out)
{
    for (size_t d = 0; d < p->plan->delivery_count; d++) {
        if (app->set.only != NULL && !tw_str_is(p->plan->deliveries[d].name, app->set.only))
            continue;
        exit_code code = check_delivery(app, p, d, out);
        if (code != EXIT_FINE)
            return code;
    }
    tw_proof_notes(app->arena, p->plan, p->edit.timeline, out->findings);
    check_agreed(app, p, out);
    if (out->unreadable)
        return EXIT_INPUT;
    bool fine = tw_diags_count(out->findings, TW_ERROR) + tw_diags_count(out->findings, TW_WARNING) == 0;
    return fine ? EXIT_FINE : EXIT_FINDINGS;
}

static void say_proofs(cli *app, const proofs *out)
{
    tw_proof_write_text(out->at, out->len, &app->out);
    if (out->broken > 0)
        tw_buf_addf(&app->out, "\nbut the plan would change %zu agreed framing%s\n", out->broken,
                    TW_PLURAL(out->broken));
}

exit_code cmd_check(cli *app)
{
    project p;
    proofs out = {.findings = tw_diags_new(app->arena)};
    if (app->arg_count > 1 && !is_folder(app->args[1]))
        return EXIT_IO;
    exit_code code = load_project(app, app->args[0], &p);
    if (code == EXIT_FINE) {
        out.at = TW_NEW_N(app->arena, tw_proof, p.plan->delivery_count);
        code = check_project(app, &p, &out);
    }
    tw_diags_pass(out.findings, TW_NOTE, app->diags);
    app->told = app->set.json && code != EXIT_IO;
    if (app->told)
        tw_proof_write_json(out.at, out.len, code == EXIT_FINE, app->diags, &app->out);
    else if (!app->set.quiet && !app->set.json)
        say_proofs(app, &out);
    return code;
}
