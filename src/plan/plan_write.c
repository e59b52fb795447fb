/* SPDX-License-Identifier: Apache-2.0
 *
 * Canonical text. Line breaks follow from the table and never from lengths, so that a changed number changes one line.
 */
#include "plan_internal.h"

#include <string.h>

static const tw_json_style inline_style = {.spaced = true};

static void new_line(size_t column, tw_buf *out)
{
    tw_buf_addc(out, '\n');
    tw_buf_fill(out, ' ', column);
}

/* ---- order ----------------------------------------------------------------------------------------------- */

typedef struct element {
    const tw_json *value;
    tw_str reel, in, id;
    int64_t time; /* of `in`, by its four numbers */
    uint32_t index;
} element;

static int by_reel_in_id(const void *a, const void *b)
{
    const element *x = a, *y = b;
    int place = tw_then(tw_str_cmp(x->reel, y->reel), tw_then(TW_CMP(x->time, y->time), tw_str_cmp(x->in, y->in)));
    return tw_then(place, tw_then(tw_str_cmp(x->id, y->id), TW_CMP(x->index, y->index)));
}

/* Times are compared as written: the rate is not needed for the order of labels. Notes from the reel's start come
 * first, what is no time code last. */
static int64_t order_of(tw_str in)
{
    tw_tc tc;
    if (in.at == NULL)
        return -1;
    if (tw_tc_split(in, &tc, NULL) != TW_TC_FINE)
        return INT64_MAX;
    return (((int64_t)tc.hours * 60 + tc.minutes) * 60 + tc.seconds) * 1000 + tc.frames;
}

static element *elements(const tw_json *list, bool sorted, tw_arena *arena)
{
    element *all = TW_NEW_N(arena, element, list->count);
    uint32_t n = 0;
    for (const tw_json *e = tw_json_first(list); e != NULL; e = e->next, n++) {
        tw_str in = twi_plan_text(e, "in");
        all[n] = (element){e, twi_plan_text(e, "reel"), in, twi_plan_text(e, "id"), order_of(in), n};
    }
    if (sorted)
        TW_SORT(all, n, by_reel_in_id);
    return all;
}

static int by_key(const void *a, const void *b)
{
    const tw_json *x = *(const tw_json *const *)a, *y = *(const tw_json *const *)b;
    return tw_str_cmp(x->key, y->key);
}

/* Members the table does not know, in byte order. */
static size_t strangers(const tw_json *object, twi_section section, tw_arena *arena, const tw_json ***out)
{
    size_t n = 0, cap = 0;
    *out = NULL;
    for (const tw_json *m = tw_json_first(object); m != NULL; m = m->next) {
        if (twi_plan_field(section, m->key) != NULL)
            continue;
        TW_PUSH(arena, *out, n, cap) = m;
    }
    TW_SORT(*out, n, by_key);
    return n;
}

/* ---- layout ---------------------------------------------------------------------------------------------- */

static void write_object(const tw_json *object, const char *where, size_t column, tw_buf *out);

/* A list with one element a line; the lists of the root close on a line of their own. */
static void write_lines(const tw_json *list, const tw_plan_field *field, size_t column, tw_buf *out)
{
    const char *where = twi_plan_inside(field);
    bool top = field->where[0] == '\0';
    size_t inner = column + (top ? 2 : 1);
    element *all =
        where != NULL ? elements(list, top && strcmp(field->name, "notes") == 0, out->arena) : NULL; /* else rows */
    tw_json_rows rows;
    tw_json_rows_begin(&rows, list);
    tw_buf_addc(out, '[');
    for (uint32_t i = 0; i < list->count; i++) {
        if (i > 0)
            tw_buf_addc(out, ',');
        new_line(inner, out);
        const tw_json *value = all != NULL ? all[i].value : tw_json_row(&rows);
        if (where != NULL && value->kind == TW_JSON_OBJECT)
            write_object(value, where, inner + 1, out);
        else
            tw_json_write(value, &inline_style, out);
    }
    if (top)
        new_line(column, out);
    tw_buf_addc(out, ']');
}

static bool by_lines(const tw_plan_field *field)
{
    static const char *const types[] = {"objects", "region_keys", "window_keys"};
    for (size_t i = 0; i < TW_COUNT(types); i++)
        if (strcmp(field->type, types[i]) == 0)
            return true;
    return false;
}

/* What has been written of an object. */
typedef struct progress {
    size_t column;
    bool root, begun;
    bool broken; /* the last member ended on a line of its own, so the next one does not go on there */
} progress;

static void write_member(const tw_json *member, const tw_plan_field *field, bool line, progress *p, tw_buf *out)
{
    line = p->root || (p->begun && (line || p->broken));
    tw_buf_addz(out, !p->begun ? "" : line ? "," : ", ");
    if (line)
        new_line(p->column, out);
    tw_diag_json_string(member->key, out);
    tw_buf_addz(out, ": ");
    p->begun = true;
    const char *where = field != NULL && member->kind == TW_JSON_OBJECT ? twi_plan_inside(field) : NULL;
    p->broken = field != NULL && member->kind == TW_JSON_ARRAY && member->count > 0 && by_lines(field);
    if (where != NULL)
        write_object(member, where, p->column + 1, out);
    else if (p->broken)
        write_lines(member, field, p->column, out);
    else
        tw_json_write(member, &inline_style, out);
}

/* The brace stands before `column`, where members begin on later lines. */
static void write_object(const tw_json *object, const char *where, size_t column, tw_buf *out)
{
    twi_section section = twi_plan_section(where);
    progress p = {.column = column, .root = where[0] == '\0'};
    tw_buf_addc(out, '{');
    for (size_t i = 0; i < section.count; i++) {
        const tw_json *member = tw_json_get(object, section.fields[i].name);
        if (member != NULL)
            write_member(member, &section.fields[i], section.fields[i].line, &p, out);
    }
    const tw_json **unknown;
    size_t count = strangers(object, section, out->arena, &unknown);
    for (size_t i = 0; i < count; i++)
        write_member(unknown[i], NULL, section.lines, &p, out);
    if (p.root)
        tw_buf_addc(out, '\n');
    tw_buf_addc(out, '}');
}

void tw_plan_write(const tw_json *root, tw_buf *out)
{
    write_object(root, "", 2, out);
    tw_buf_addc(out, '\n');
}
