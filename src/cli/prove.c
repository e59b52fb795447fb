/* SPDX-License-Identifier: Apache-2.0
 *
 * Written files and their proof, shared by `fork`, before anything is on disk, and `check`.
 */
#include "outputs.h"

size_t output_formats(const project *p, const tw_delivery *d, const tw_format *out[TW_PLAN_FORMATS + 2])
{
    size_t count = 0;
    while (count < d->format_count) {
        out[count] = tw_formats_named(d->formats[count]); /* known: the plan was held against the table */
        count++;
    }
    if (count == 0) {
        const tw_format *richest = tw_formats_at(0);
        out[count++] = p->edit.timeline->format;
        if (out[0] != richest)
            out[count++] = richest;
    }
    return count;
}

const char *output_path(cli *app, tw_str folder, const project *p, const tw_delivery *d, size_t part,
                        const char *ending)
{
    tw_buf name = {.arena = app->arena};
    tw_buf_add(&name, d->name);
    if (part > 0)
        tw_buf_addf(&name, ".V%zu", part + 1);
    tw_buf_addf(&name, ".%s", ending);
    return name_beside(app->arena, folder, p->edit.path, tw_buf_str(&name));
}

void outputs_add(cli *app, outputs *files, output file)
{
    TW_PUSH(app->arena, files->at, files->len, files->cap) = file;
}

/* What a reader says of a written file beside errors: only what concerns its framing. The rest it says of the master
 * too, or it is how this format carries it. */
static bool is_about_framing(const tw_format *format, int code)
{
    size_t i = 0;
    while (format->framing_codes[i] != 0 && format->framing_codes[i] != code)
        i++;
    return format->framing_codes[i] != 0;
}

static void pass_some(const tw_format *format, const tw_diags *from, tw_diags *to)
{
    for (size_t i = 0; i < tw_diags_kept(from); i++) {
        const tw_diag *d = tw_diags_get(from, i);
        if (d->severity == TW_ERROR || is_about_framing(format, d->code))
            tw_diag_take(to, d);
    }
}

typedef struct reading {
    const project *project;
    tw_arena *scratch;
} reading;

/* The model is the scratch arena's: only the findings stay. */
static tw_status read_back(const reading *r, const output *file, tw_diags *diags, tw_proof_file *out)
{
    const tw_read_options options = tw_timeline_reading(r->project->edit.timeline);
    tw_diags *found = tw_diags_new(r->scratch);
    tw_timeline *written = NULL;
    tw_status status = file->format->read(r->scratch, file->text, file->name, &options, found, &written);
    pass_some(file->format, found, diags);
    if (status != TW_OK)
        return status;
    *out = (tw_proof_file){.name = file->name, .written = written, .part = file->part, .text = file->text};
    return TW_OK;
}

static tw_status read_all(const reading *r, size_t delivery, const outputs *files, tw_diags *diags, tw_proof_input *in)
{
    tw_proof_file *written = TW_NEW_N(r->scratch, tw_proof_file, files->len);
    in->files = written;
    for (size_t i = 0; i < files->len; i++) {
        if (files->at[i].delivery != delivery || files->at[i].format == NULL)
            continue;
        tw_status status = read_back(r, &files->at[i], diags, &written[in->file_count++]);
        if (status != TW_OK)
            return status;
    }
    return TW_OK;
}

exit_code prove_delivery(cli *app, const project *p, size_t delivery, const outputs *files, proved *out)
{
    const reading r = {p, tw_arena_like(app->arena)};
    tw_proof_input in = {
        .plan = p->plan,
        .master = p->edit.timeline,
        .master_hash = p->edit.hash,
        .delivery = delivery,
    };
    in.progress = progress_of(app);
    out->findings = tw_diags_new(app->arena);
    tw_status status = read_all(&r, delivery, files, out->findings, &in);
    tw_arena *models = r.scratch, *told = tw_arena_like(app->arena);
    if (status == TW_OK)
        status = tw_proof_run(told, &in, out->findings, &out->proof);
    tw_arena_free(&models); /* large, and the pages have memory of their own */
    if (status == TW_OK)
        status = prove_pages(told, p, delivery, files, out);
    out->proof.told = NULL;
    tw_arena_free(&told);
    return code_of(status);
}
