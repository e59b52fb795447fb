/* SPDX-License-Identifier: Apache-2.0
 *
 * Derived timelines that somebody changed since they were made. A proof names its timelines with a hash of their bytes:
 * by that `fork` knows them again before it writes over them.
 */
#include "outputs.h"

#include <sys/stat.h>

static tw_str hash_text(tw_arena *arena, tw_str bytes)
{
    return tw_arena_printf(arena, "%016llx", (unsigned long long)tw_str_hash(bytes));
}

void proof_text(cli *app, const proved *result, const outputs *files, tw_buf *out)
{
    bool fine = result->proof.ok && tw_diags_count(result->findings, TW_WARNING) == 0;
    tw_proof_write_json(&result->proof, 1, fine, result->findings, out);
    out->len -= sizeof "}\n" - 1; /* one member more */
    tw_buf_addz(out, ",\n \"files\": [");
    for (size_t i = 0; i < files->len; i++) {
        if (files->at[i].format == NULL)
            continue;
        tw_diag_json_next("\n  {", out);
        tw_diag_json_text("name", files->at[i].name, out);
        tw_diag_json_text("hash", hash_text(app->arena, files->at[i].text), out);
        tw_buf_addc(out, '}');
    }
    tw_buf_addz(out, "]}\n");
}

/* The hash a proof names a file with; empty: none. */
static tw_str hash_in(const tw_json_doc *proof, tw_str name)
{
    for (const tw_json *f = tw_json_first(tw_json_get(proof->root, "files")); f != NULL; f = f->next) {
        const tw_json *own = tw_json_get(f, "name"), *hash = tw_json_get(f, "hash");
        if (tw_json_is(own, TW_JSON_STRING) && tw_str_eq(own->text, name) && tw_json_is(hash, TW_JSON_STRING))
            return hash->text;
    }
    return (tw_str){NULL, 0};
}

static bool read_there(tw_arena *arena, const char *path, tw_str *bytes)
{
    tw_str why;
    struct stat st;
    return stat(path, &st) == 0 && S_ISREG(st.st_mode) &&
           tw_file_read(arena, path, TW_FILE_LIMIT, bytes, &why) == TW_OK;
}

static bool read_text(tw_arena *arena, const project *p, const output *file, tw_str text, tw_timeline **out)
{
    const tw_read_options options = tw_timeline_reading(p->edit.timeline);
    return file->format->read(arena, text, file->name, &options, tw_diags_new(arena), out) == TW_OK;
}

static bool write_text(tw_arena *arena, const output *file, const tw_timeline *timeline, tw_buf *out)
{
    const tw_write_options options = {.crlf = false};
    *out = (tw_buf){.arena = arena};
    return file->format->write(arena, timeline, file->part, &options, tw_diags_new(arena), out) == TW_OK;
}

/* Does the file there say no more than the one about to be made? Windows may differ by what the last digits round. */
static bool says_the_same(tw_arena *arena, const project *p, const output *file, tw_str bytes, const tw_timeline *made)
{
    tw_timeline *there, *now;
    tw_buf a, b;
    if (!read_text(arena, p, file, bytes, &there) || !write_text(arena, file, made, &a) ||
        !read_text(arena, p, file, tw_buf_str(&a), &now) || there->clip_count != now->clip_count ||
        !tw_recut_compare(arena, there, now, TW_RECUT_SLACK)->same)
        return false;
    tw_timeline_frame_like(arena, there, now);
    return write_text(arena, file, there, &a) && write_text(arena, file, now, &b) &&
           tw_str_eq(tw_buf_str(&a), tw_buf_str(&b));
}

/* Git marks what it could not join of two versions, of which neither is anybody's by hand. */
static const tw_str torn = {"\n<<<<<<< ", 9};

static size_t find_changed(cli *app, tw_arena *arena, const project *p, const tw_derived *derived, size_t index,
                           const outputs *files, const char *proof)
{
    tw_str bytes;
    tw_json_doc doc = {.root = NULL};
    const tw_timeline *made = NULL;
    size_t changed = 0;
    if (!read_there(arena, proof, &bytes) ||
        tw_json_read(arena, bytes, tw_str_z(proof), &(tw_json_options){.fold = NULL}, tw_diags_new(arena), &doc) !=
            TW_OK)
        return 0;
    for (size_t i = 0; i < files->len; i++) {
        const output *file = &files->at[i];
        tw_str hash = hash_in(&doc, file->name);
        if (file->format == NULL || hash.len == 0 || !read_there(arena, file->path, &bytes) ||
            tw_str_eq(hash, hash_text(arena, bytes)) || tw_str_holds(bytes, torn))
            continue;
        if (made == NULL)
            made = tw_derive_timeline(arena, derived, index, p->edit.hash);
        if (says_the_same(arena, p, file, bytes, made))
            continue;
        tw_diag_add(app->diags, 1907, TW_IN(tw_str_z(file->path)),
                    "somebody changed this timeline since it was made, and what is to be written is not like it");
        changed++;
    }
    return changed;
}

bool changed_by_hand(cli *app, const project *p, const tw_derived *derived, size_t index, const outputs *files,
                     const char *proof)
{
    tw_arena *scratch = tw_arena_like(app->arena);
    size_t changed = find_changed(app, scratch, p, derived, index, files, proof);
    tw_arena_free(&scratch);
    return changed > 0;
}
