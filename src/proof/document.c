/* SPDX-License-Identifier: Apache-2.0
 *
 * The documents themselves, line for line, for all that the model does not hold.
 */
#include "proof_internal.h"

#include <string.h>

/* A file that leaves out what nests hide at the heads of clips counts their frames from there. How many those are a
 * frame 0 tells that goes the same way; by index. */
static const int64_t *hidden_heads(tw_arena *arena, const tw_timeline *timeline, tw_item **clips)
{
    tw_key zero = {.frame = 0};
    tw_framing probe = {.keys = &zero, .key_count = 1};
    int64_t *hidden = TW_NEW_N(arena, int64_t, timeline->clip_count);
    tw_timeline cut = *timeline;
    for (size_t i = 0; i < cut.clip_count; i++)
        clips[i]->framing = &probe;
    cut.tracks = tw_timeline_without_heads(arena, timeline, NULL);
    tw_item **probes = tw_timeline_clips(arena, &cut);
    for (size_t i = 0; i < cut.clip_count; i++) {
        hidden[i] = probes[i] != NULL ? -probes[i]->framing->keys[0].frame : 0;
        clips[i]->framing = NULL;
    }
    return hidden;
}

/* The master in the written file's format, framed and stamped as the file is: what the file should be. */
static tw_timeline *framed_alike(tw_arena *arena, const tw_timeline *master, const tw_timeline *written)
{
    tw_timeline *copy = tw_timeline_copy(arena, master);
    tw_item **clips = tw_timeline_clips(arena, copy);
    const int64_t *hidden = written->format->to_the_letter ? hidden_heads(arena, copy, clips) : NULL;
    tw_timeline_frame_like(arena, copy, written);
    for (size_t i = 0; hidden != NULL && i < copy->clip_count; i++)
        if (hidden[i] > 0 && clips[i]->framing != NULL)
            clips[i]->framing = tw_framing_later(arena, clips[i]->framing, hidden[i]);
    return copy;
}

static bool write_again(tw_arena *arena, const tw_timeline *timeline, const tw_format *format, tw_buf *out)
{
    const tw_write_options options = {.crlf = false};
    tw_diags *losses = tw_diags_new(arena); /* told when the file was written */
    *out = (tw_buf){.arena = arena};
    return format->write(arena, timeline, 0, &options, losses, out) == TW_OK;
}

static tw_str next_line(tw_str text, size_t *at)
{
    tw_str rest = tw_str_from(text, *at);
    const char *end = rest.len > 0 ? memchr(rest.at, '\n', rest.len) : NULL;
    tw_str line = tw_str_cut(rest, end != NULL ? (size_t)(end - rest.at) : rest.len);
    *at += line.len + (end != NULL);
    return line;
}

static size_t own_lines(const char *mark, tw_str text)
{
    size_t count = 0;
    for (size_t at = 0; at < text.len;)
        count += tw_str_holds(next_line(text, &at), tw_str_z(mark));
    return count;
}

static void compare_texts(const tw_proof_file *file, tw_str want, tw_str got, tw_diags *diags)
{
    if (tw_str_eq(want, got))
        return;
    tw_place place = {.file = file->name};
    const char *mark = file->written->format->mark;
    if (own_lines(mark, got) > own_lines(mark, want)) {
        tw_diag_add(diags, 1716, &place,
                    "a clip is framed twice in this file: it holds more marks of this tool than "
                    "its clips need");
        return;
    }
    size_t a = 0, b = 0;
    uint32_t line = 0;
    tw_str x = {NULL, 0}, y = {NULL, 0};
    while (tw_str_eq(x, y) && (a < want.len || b < got.len)) {
        x = next_line(want, &a);
        y = next_line(got, &b);
        line++;
    }
    place.line = line;
    place.text = y;
    tw_diag_add(diags, 1714, &place, "here the file is not what the master and its own framing make; they make: %.*s",
                TW_ARG(tw_str_cut(tw_str_trim(x), 200)));
}

/* Are its clips the master's, one by one? Then it can be made again of the master and its own framings. */
static bool is_told_twice(const tw_proof_input *in, const tw_proof_file *file)
{
    const tw_timeline *written = file->written;
    if (!written->format->to_the_letter)
        return written->format == in->master->format;
    return file->text.len > 0 && written->clip_count == in->master->clip_count;
}

void twi_proof_document(tw_arena *arena, const tw_proof_input *in, const tw_proof_file *file, tw_diags *diags)
{
    const tw_format *format = file->written->format;
    tw_buf want, got;
    if (!is_told_twice(in, file))
        return;
    const tw_timeline *alike = framed_alike(arena, in->master, file->written);
    if (format->made_from != NULL && format->made_from(arena, alike, file->written))
        return;
    if (!write_again(arena, alike, format, &want))
        return;
    if (format->to_the_letter)
        compare_texts(file, tw_buf_str(&want), file->text, diags);
    else if (write_again(arena, file->written, format, &got))
        compare_texts(file, tw_buf_str(&want), tw_buf_str(&got), diags);
}

bool twi_proof_made_again(tw_arena *arena, const tw_proof_input *in, const tw_timeline *written)
{
    return written->format->made_from != NULL && written->clip_count == in->master->clip_count &&
           written->format->made_from(arena, framed_alike(arena, in->master, written), written);
}
