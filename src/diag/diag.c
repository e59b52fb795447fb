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

/* A message is one line, whatever the names in it hold. */
static tw_str in_a_line(tw_arena *arena, const char *format, va_list values)
{
    tw_buf text = {.arena = arena}, line = {.arena = arena};
    tw_buf_addv(&text, format, values);
    tw_buf_add_shown(&line, tw_buf_str(&text));
    return tw_buf_str(&line);
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
    TW_PUSH(diags->arena, diags->at, diags->len, diags->cap) = (tw_diag){
        .severity = severity,
        .code = code,
        .place = copied(diags->arena, place),
        .message = in_a_line(diags->arena, format, values),
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
    va_list values;
    va_start(values, format);
    diags->at[diags->len - 1].hint = in_a_line(diags->arena, format, values);
    va_end(values);
}

void tw_diag_take(tw_diags *diags, const tw_diag *finding)
{
    tw_diag_add(diags, finding->code, &finding->place, "%.*s", TW_ARG(finding->message));
    if (finding->hint.len > 0)
        tw_diag_hint(diags, "%.*s", TW_ARG(finding->hint));
}

void tw_diags_pass(const tw_diags *from, tw_severity least, tw_diags *to)
{
    for (size_t i = 0; i < from->len; i++)
        if (from->at[i].severity >= least)
            tw_diag_take(to, &from->at[i]);
    for (int severity = (int)least; severity <= TW_ERROR; severity++)
        to->count[severity] += from->count[severity] - from->kept[severity];
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
