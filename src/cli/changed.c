/* SPDX-License-Identifier: Apache-2.0
 *
 * Derived timelines that somebody changed since they were made. The record of a proof names its timelines with a hash
 * of their bytes: by that `fork` knows them again before it writes over them.
 */
#include "outputs.h"

#include <sys/stat.h>

/* The hash a record names a timeline with; NULL: none. */
static const uint64_t *hash_in(const tw_proof_named *named, size_t count, tw_str name)
{
    for (size_t i = 0; i < count; i++)
        if (tw_str_eq(named[i].name, name))
            return &named[i].hash;
    return NULL;
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
                           const outputs *files, const char *record)
{
    tw_str bytes;
    const tw_proof_named *named = NULL;
    const tw_timeline *made = NULL;
    size_t changed = 0, count = read_there(arena, record, &bytes) ? tw_proof_record_files(arena, bytes, &named) : 0;
    for (size_t i = 0; i < files->len && count > 0; i++) {
        const output *file = &files->at[i];
        const uint64_t *hash = file->format != NULL ? hash_in(named, count, file->name) : NULL;
        if (hash == NULL || !read_there(arena, file->path, &bytes) || *hash == tw_str_hash(bytes) ||
            tw_str_holds(bytes, torn))
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
                     const char *record)
{
    tw_arena *scratch = tw_arena_like(app->arena);
    size_t changed = find_changed(app, scratch, p, derived, index, files, record);
    tw_arena_free(&scratch);
    return changed > 0;
}
