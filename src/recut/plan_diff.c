/* SPDX-License-Identifier: Apache-2.0
 *
 * What changed between two plans: what a person changed, by the names people use.
 */
#include "merge_internal.h"

#include <math.h>

typedef struct differing {
    tw_arena *arena;
    tw_plan_change *at;
    size_t len, cap;
    tw_str where;
    tw_buf path;
} differing;

static void diff_value(differing *d, const tw_json *a, const tw_json *b);

/* Numbers 1, 2 and 3 of a window key are left, top and width: how far its edges moved at most. The bottom follows
 * from the width and the delivery's shape, which a note does not know. */
static double window_px(const tw_json *a, const tw_json *b)
{
    double va[3], vb[3];
    const tw_json *x = tw_json_first(a), *y = tw_json_first(b);
    for (int i = 0; i < 3; i++) {
        x = x != NULL ? x->next : NULL;
        y = y != NULL ? y->next : NULL;
        if (!tw_json_double(x, &va[i]) || !tw_json_double(y, &vb[i]))
            return -1;
    }
    return tw_max(tw_max(fabs(va[0] - vb[0]), fabs(va[1] - vb[1])), fabs(va[0] + va[2] - vb[0] - vb[2]));
}

static void add(differing *d, const tw_json *a, const tw_json *b)
{
    tw_str what = tw_arena_dup(d->arena, tw_buf_str(&d->path));
    TW_PUSH(d->arena, d->at, d->len, d->cap) = (tw_plan_change){
        .where = d->where,
        .what = what,
        .before = a,
        .after = b,
        .px = a != NULL && b != NULL && tw_str_starts(what, TW_STR("window/")) ? window_px(a, b) : -1,
    };
}

/* ---- lists ----------------------------------------------------------------------------------------------- */

static void diff_element(differing *d, const twi_list_kind *kind, tw_str name, const tw_json *a, const tw_json *b)
{
    if (kind->holder == NULL) {
        size_t before = twi_merge_step(&d->path, name);
        diff_value(d, a, b);
        d->path.len = before;
        return;
    }
    const tw_str where = d->where;
    const tw_buf path = d->path;
    d->where = tw_arena_printf(d->arena, "%s %.*s", kind->holder, TW_ARG(name));
    d->path = (tw_buf){.arena = d->arena};
    diff_value(d, a, b);
    d->where = where;
    d->path = path;
}

static bool same_order(const twi_side *a, const twi_side *b)
{
    size_t i = 0, k = 0;
    for (;;) {
        while (i < a->count && twi_side_find(b, a->listed[i].name) == NULL)
            i++;
        while (k < b->count && twi_side_find(a, b->listed[k].name) == NULL)
            k++;
        if (i == a->count || k == b->count)
            return i == a->count && k == b->count;
        if (!tw_str_eq(a->listed[i++].name, b->listed[k++].name))
            return false;
    }
}

static void diff_list(differing *d, const twi_list_kind *kind, const tw_json *a, const tw_json *b)
{
    twi_side x, y;
    twi_side_read(d->arena, kind, a, &x);
    twi_side_read(d->arena, kind, b, &y);
    for (size_t i = 0; i < x.count; i++) {
        const twi_named_value *other = twi_side_find(&y, x.listed[i].name);
        diff_element(d, kind, x.listed[i].name, x.listed[i].value, other != NULL ? other->value : NULL);
    }
    for (size_t i = 0; i < y.count; i++)
        if (twi_side_find(&x, y.listed[i].name) == NULL)
            diff_element(d, kind, y.listed[i].name, NULL, y.listed[i].value);
    bool matters = kind->holder == NULL || tw_str_is(tw_buf_str(&d->path), "sources"); /* the first match counts */
    if (matters && !same_order(&x, &y)) {
        size_t before = twi_merge_step(&d->path, TW_STR("order"));
        add(d, NULL, NULL);
        d->path.len = before;
    }
}

/* ---- values ---------------------------------------------------------------------------------------------- */

static void diff_member(differing *d, tw_str name, const tw_json *a, const tw_json *b)
{
    if (twi_merge_same(a, b))
        return;
    size_t before = twi_merge_step(&d->path, name);
    const tw_json *const sides[3] = {NULL, a, b};
    const twi_list_kind *kind = twi_merge_kind(d->arena, name, sides);
    if (kind != NULL)
        diff_list(d, kind, a, b);
    else
        diff_value(d, a, b);
    d->path.len = before;
}

static void diff_value(differing *d, const tw_json *a, const tw_json *b)
{
    if (a != NULL && b != NULL && tw_json_same(a, b))
        return;
    if (!tw_json_is(a, TW_JSON_OBJECT) || !tw_json_is(b, TW_JSON_OBJECT)) {
        add(d, a, b);
        return;
    }
    for (const tw_json *m = tw_json_first(a); m != NULL; m = m->next)
        diff_member(d, m->key, m, tw_json_get_str(b, m->key));
    for (const tw_json *m = tw_json_first(b); m != NULL; m = m->next)
        if (tw_json_get_str(a, m->key) == NULL)
            diff_member(d, m->key, NULL, m);
}

size_t tw_recut_compare_plans(tw_arena *arena, const tw_json *before, const tw_json *after, tw_plan_change **out)
{
    differing d = {.arena = arena, .where = TW_STR("plan"), .path = {.arena = arena}};
    diff_value(&d, before, after);
    *out = d.at;
    return d.len;
}

/* ---- words ----------------------------------------------------------------------------------------------- */

#define SHOWN 60 /* bytes of a value */

static void say_value(const tw_json *value, tw_buf *out)
{
    const tw_json_style style = {.indent = 0};
    tw_buf text = {.arena = out->arena};
    tw_json_write(value, &style, &text);
    tw_str shown = tw_str_cut(tw_buf_str(&text), SHOWN);
    while (shown.len > 0 && !tw_str_utf8(shown, NULL))
        shown.len--;
    tw_buf_add(out, shown);
    if (shown.len < text.len)
        tw_buf_addz(out, "...");
}

void tw_recut_say_plans(const tw_plan_change *changes, size_t count, tw_buf *out)
{
    for (size_t i = 0; i < count; i++) {
        const tw_plan_change *c = &changes[i];
        bool whole = c->what.len == 0;
        tw_buf_addz(out, "  ");
        tw_buf_add_shown(out, c->where);
        tw_buf_addz(out, whole ? "" : ": ");
        tw_buf_add_shown(out, c->what);
        if (c->before == NULL && c->after == NULL) {
            tw_buf_addz(out, " changed");
        } else if (c->before == NULL) {
            tw_buf_addz(out, " added");
        } else if (c->after == NULL) {
            tw_buf_addz(out, " removed");
        } else if (c->px >= 0) {
            tw_buf_addz(out, " up to ");
            tw_buf_add_fixed(out, c->px, 1);
            tw_buf_addz(out, " px elsewhere");
        }
        if (!whole && c->before != NULL && c->px < 0) {
            tw_buf_addz(out, c->after != NULL ? " " : ", was ");
            say_value(c->before, out);
        }
        if (!whole && c->after != NULL && c->px < 0) {
            tw_buf_addz(out, c->before != NULL ? " is now " : ": ");
            say_value(c->after, out);
        }
        tw_buf_addc(out, '\n');
    }
    tw_buf_addf(out, "%zu change%s\n", count, TW_PLURAL(count));
}

static void json_value(const char *name, const tw_json *value, tw_buf *out)
{
    const tw_json_style style = {.indent = 0};
    if (value == NULL)
        return;
    tw_diag_json_key(name, out);
    tw_json_write(value, &style, out);
}

void tw_recut_json_plans(const tw_plan_change *changes, size_t count, const tw_diags *diags, tw_buf *out)
{
    const char *same = count == 0 ? "true" : "false";
    tw_buf_addf(out, "{\"ok\": %s, \"same\": %s, \"changes\": [", same, same);
    for (size_t i = 0; i < count; i++) {
        tw_diag_json_next("\n  {", out);
        tw_diag_json_text("where", changes[i].where, out);
        tw_diag_json_text("what", changes[i].what, out);
        json_value("before", changes[i].before, out);
        json_value("after", changes[i].after, out);
        if (changes[i].px >= 0)
            tw_diag_json_number("px", changes[i].px, 3, out);
        tw_buf_addc(out, '}');
    }
    tw_buf_addz(out, "],\n ");
    tw_diag_json_end(diags, out);
}
