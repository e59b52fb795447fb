/* SPDX-License-Identifier: Apache-2.0 */
#include <tallwide/diag.h>

struct tw_diags {
    tw_arena *arena;
    tw_diag *at;
    size_t len, cap;
    size_t count[TW_ERROR + 1]; /* by severity, kept or not */
    size_t kept[TW_ERROR + 1];
    bool last_kept;
};

const char *tw_severity_word(tw_severity severity)
{
    static const char *const words[] = {"note", "warning", "error"};
    return words[severity];
}

tw_diags *tw_diags_new(tw_arena *arena)
{
    tw_diags *diags = TW_NEW(arena, tw_diags);
    diags->arena = arena;
    return diags;
}

static tw_place copied(tw_arena *arena, const tw_place *place)
{
    if (place == NULL)
        return (tw_place){.line = 0};
    tw_place copy = *place;
    copy.file = tw_arena_dup(arena, place->file);
    copy.text = tw_arena_dup(arena, place->text);
    copy.pointer = tw_arena_dup(arena, place->pointer);
    return copy;
}

void tw_diag_addv(tw_diags *diags, int code, const tw_place *place, const char *format, va_list values)
{
    const tw_code *row = tw_code_find(code);
    tw_severity severity = row != NULL ? row->severity : TW_ERROR;
    diags->count[severity]++;
    diags->last_kept = diags->kept[severity] < TW_DIAGS_KEPT;
    if (!diags->last_kept)
        return;
    diags->kept[severity]++;
    tw_buf message = {.arena = diags->arena};
    tw_buf_addv(&message, format, values);
    TW_PUSH(diags->arena, diags->at, diags->len, diags->cap) = (tw_diag){
        .severity = severity,
        .code = code,
        .place = copied(diags->arena, place),
        .message = tw_buf_str(&message),
    };
}

void tw_diag_add(tw_diags *diags, int code, const tw_place *place, const char *format, ...)
{
    va_list values;
    va_start(values, format);
    tw_diag_addv(diags, code, place, format, values);
    va_end(values);
}

void tw_diag_hint(tw_diags *diags, const char *format, ...)
{
    if (!diags->last_kept || diags->len == 0)
        return;
    tw_buf hint = {.arena = diags->arena};
    va_list values;
    va_start(values, format);
    tw_buf_addv(&hint, format, values);
    va_end(values);
    diags->at[diags->len - 1].hint = tw_buf_str(&hint);
}

size_t tw_diags_kept(const tw_diags *diags)
{
    return diags->len;
}

const tw_diag *tw_diags_get(const tw_diags *diags, size_t index)
{
    return index < diags->len ? &diags->at[index] : NULL;
}

size_t tw_diags_count(const tw_diags *diags, tw_severity severity)
{
    return diags->count[severity];
}

bool tw_diags_failed(const tw_diags *diags)
{
    return diags->count[TW_ERROR] > 0;
}
