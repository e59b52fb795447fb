/* SPDX-License-Identifier: Apache-2.0
 *
 * Holding the document against the table: unknown, missing and mistyped members, and how findings are told.
 */
#include "plan_internal.h"

#include <string.h>

#define SHOWN_VALUE 40 /* bytes of a value repeated in a message */

/* ---- telling --------------------------------------------------------------------------------------------- */

typedef tw_place place_fn(const tw_json_doc *doc, const tw_json *value);

static void tell(const twi_plan_job *job, int code, const tw_json *value, place_fn *where, const char *format,
                 va_list values)
{
    const tw_code *row = tw_code_find(code);
    tw_severity severity = row != NULL ? row->severity : TW_ERROR;
    tw_place place = {.line = 0};
    if (tw_diags_count(job->diags, severity) < TW_DIAGS_KEPT)
        place = where(&job->plan->doc, value);
    tw_diag_addv(job->diags, code, &place, format, values);
}

void twi_plan_tell(const twi_plan_job *job, int code, const tw_json *value, const char *format, ...)
{
    va_list values;
    va_start(values, format);
    tell(job, code, value, tw_json_place, format, values);
    va_end(values);
}

/* The same at the name of a member. */
TW_PRINTF(4, 5)
static void tell_name(const twi_plan_job *job, int code, const tw_json *member, const char *format, ...)
{
    va_list values;
    va_start(values, format);
    tell(job, code, member, tw_json_name_place, format, values);
    va_end(values);
}

/* ---- guessing what was meant ----------------------------------------------------------------------------- */

/* The one other kind of object that has a member of that name; NULL when there are none or several. */
static const tw_plan_field *elsewhere(tw_str name)
{
    size_t count, found = 0;
    const tw_plan_field *all = tw_plan_fields(&count), *at = NULL;
    for (size_t i = 0; i < count; i++) {
        if (tw_str_is(name, all[i].name)) {
            at = &all[i];
            found++;
        }
    }
    return found == 1 ? at : NULL;
}

static void hint_meant(const twi_plan_job *job, twi_section section, tw_str name)
{
    const char *meant = NULL;
    size_t least = TW_NO_SLIP;
    for (size_t i = 0; i < section.count; i++)
        if (tw_str_is_nearer(name, tw_str_z(section.fields[i].name), &least))
            meant = section.fields[i].name;
    const tw_plan_field *other = elsewhere(name);
    if (meant != NULL)
        tw_diag_hint(job->diags, "did you mean \"%s\"?", meant);
    else if (other != NULL)
        tw_diag_hint(job->diags, "it belongs %s%s", other->where[0] != '\0' ? "in " : "at the top of the plan",
                     other->where);
}

/* ---- the walk -------------------------------------------------------------------------------------------- */

static void tell_unknown(const twi_plan_job *job, twi_section section, const tw_json *member)
{
    tell_name(job, 1503, member, "\"%.*s\" is not known here; it is kept, but nothing comes of it",
              TW_ARG(tw_str_cut(member->key, SHOWN_VALUE)));
    hint_meant(job, section, member->key);
}

static void tell_type(const twi_plan_job *job, const tw_plan_field *field, const tw_json *value)
{
    tw_buf shown = {.arena = job->arena};
    bool large = tw_json_is(value, TW_JSON_OBJECT) || value->count > 8;
    if (large)
        tw_buf_addf(&shown, "%s %s", value->kind == TW_JSON_OBJECT ? "an" : "a",
                    tw_json_kind_name((tw_json_kind)value->kind));
    else
        tw_json_write(value, &(tw_json_style){.indent = 0}, &shown);
    tw_str text = tw_str_cut(tw_buf_str(&shown), SHOWN_VALUE);
    while (text.len > 0 && !tw_str_utf8(text, NULL))
        text.len--;
    const char *more = text.len < shown.len ? "..." : "";
    if (field->choices != NULL)
        twi_plan_tell(job, 1507, value, "\"%s\" must be one of %s, found %.*s%s", field->name, field->choices,
                      TW_ARG(text), more);
    else
        twi_plan_tell(job, 1505, value, "\"%s\" must be %s, found %.*s%s", field->name, tw_plan_takes(field),
                      TW_ARG(text), more);
}

static void check_inside(const twi_plan_job *job, const tw_plan_field *field, const tw_json *value)
{
    const char *where = twi_plan_inside(field);
    if (where == NULL)
        return;
    if (value->kind == TW_JSON_OBJECT) {
        twi_plan_check(job, value, where);
        return;
    }
    for (const tw_json *e = tw_json_first(value); e != NULL; e = e->next) {
        if (e->kind == TW_JSON_OBJECT)
            twi_plan_check(job, e, where);
        else
            twi_plan_tell(job, 1505, e, "\"%s\" must hold objects only, found a %s", field->name,
                          tw_json_kind_name((tw_json_kind)e->kind));
    }
}

void twi_plan_check(const twi_plan_job *job, const tw_json *object, const char *where)
{
    twi_section section = twi_plan_section(where);
    for (const tw_json *m = tw_json_first(object); m != NULL; m = m->next) {
        const tw_plan_field *field = twi_plan_field(section, m->key);
        if (field == NULL)
            tell_unknown(job, section, m);
        else if (!twi_plan_fits(field, m))
            tell_type(job, field, m);
        else
            check_inside(job, field, m);
    }
    for (size_t i = 0; i < section.count; i++) {
        const tw_plan_field *field = &section.fields[i];
        if (field->required && tw_json_get(object, field->name) == NULL)
            twi_plan_tell(job, 1504, object, "\"%s\" is missing here: %s", field->name, field->help);
    }
}

/* ---- repeated names -------------------------------------------------------------------------------------- */

static int by_name(const void *a, const void *b)
{
    const twi_named *x = a, *y = b;
    return tw_then(TW_CMP(x->scope, y->scope),
                   tw_then(tw_str_cmp(x->name, y->name), TW_CMP(x->at->offset, y->at->offset)));
}

void twi_plan_repeats(const twi_plan_job *job, twi_named *rows, size_t count, int code, const char *what)
{
    TW_SORT(rows, count, by_name);
    for (size_t i = 1; i < count; i++)
        if (rows[i].scope == rows[i - 1].scope && tw_str_eq(rows[i].name, rows[i - 1].name))
            twi_plan_tell(job, code, rows[i].at, "%s \"%.*s\" was used before: give this one another name", what,
                          TW_ARG(tw_str_cut(rows[i].at->text, SHOWN_VALUE)));
}
