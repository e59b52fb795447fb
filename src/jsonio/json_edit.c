/* SPDX-License-Identifier: Apache-2.0 */
#include "json_internal.h"

#include "base/ext.h"

#include <stdlib.h>
#include <string.h>

#define FEW_DIGITS 16  /* bytes of room for a number, to begin with */
#define FEW_MEMBERS 16 /* up to here two objects are compared member by member without sorting */

/* ---- looking --------------------------------------------------------------------------------------------- */

tw_json *tw_json_get_str(const tw_json *object, tw_str name)
{
    if (!tw_json_is(object, TW_JSON_OBJECT))
        return NULL;
    for (tw_json *m = object->in.first; m != NULL; m = m->next) /* the last byte tells most names of one length apart */
        if (m->key.len == name.len && (name.len == 0 || (m->key.at[name.len - 1] == name.at[name.len - 1] &&
                                                         memcmp(m->key.at, name.at, name.len) == 0)))
            return m;
    return NULL;
}

const char *tw_json_kind_name(tw_json_kind kind)
{
    static const char *const names[] = {"null", "false", "true", "number", "text", "list", "object"};
    return names[kind];
}

bool tw_json_double(const tw_json *value, double *out)
{
    return tw_json_is(value, TW_JSON_NUMBER) && tw_num_double(value->text, out);
}

/* value * 10 + digit, for a value counted downwards so that INT64_MIN fits. */
static bool push_digit(int64_t *value, int digit)
{
    if (*value < (INT64_MIN + digit) / 10)
        return false;
    *value = *value * 10 - digit;
    return true;
}

/* The digits of a JSON number before its exponent, without the point; *shift is what the point takes away. Zeros at the
 * end are counted, not pushed, so that they can cancel a negative power of ten. */
static bool push_mantissa(tw_str s, int64_t *value, int64_t *shift)
{
    bool point = false;
    int64_t zeros = 0;
    for (size_t i = 0; i < s.len; i++) {
        if (s.at[i] == '.' || s.at[i] == '-') {
            point = point || s.at[i] == '.';
            continue;
        }
        *shift -= point;
        zeros++;
        if (s.at[i] == '0')
            continue;
        for (; zeros > 1 && *value != 0; zeros--)
            if (!push_digit(value, 0))
                return false;
        if (!push_digit(value, s.at[i] - '0'))
            return false;
        zeros = 0;
    }
    *shift += zeros;
    return true;
}

bool tw_json_int(const tw_json *value, int64_t *out)
{
    if (!tw_json_is(value, TW_JSON_NUMBER) || value->text.len == 0 || twi_json_nonfinite(value->text))
        return false;
    tw_str s = value->text;
    size_t e = 0;
    while (e < s.len && s.at[e] != 'e' && s.at[e] != 'E')
        e++;
    int64_t whole = 0, shift = 0, power = 0;
    if (!push_mantissa(tw_str_cut(s, e), &whole, &shift))
        return false;
    if (whole == 0) {
        *out = 0;
        return true;
    }
    if (e < s.len && (!tw_num_int(tw_str_from(s, e + 1), &power) || power > 1 << 30 || power < -(1 << 30)))
        return false;
    if (shift + power < 0)
        return false;
    for (int64_t i = 0; i < shift + power; i++)
        if (!push_digit(&whole, 0))
            return false;
    if (s.at[0] != '-' && whole == INT64_MIN)
        return false;
    *out = s.at[0] == '-' ? whole : -whole;
    return true;
}

/* ---- making ---------------------------------------------------------------------------------------------- */

tw_json *tw_json_new(tw_arena *arena, tw_json_kind kind)
{
    tw_json *value = TW_NEW(arena, tw_json);
    value->kind = kind & 7;
    value->offset = UINT32_MAX;
    return value;
}

tw_json *tw_json_new_text(tw_arena *arena, tw_str text)
{
    tw_json *value = tw_json_new(arena, TW_JSON_STRING);
    value->text = tw_arena_dup(arena, text);
    return value;
}

tw_json *tw_json_new_number(tw_arena *arena, tw_str text)
{
    tw_json *value = tw_json_new(arena, TW_JSON_NUMBER);
    value->text = tw_arena_dup(arena, text);
    return value;
}

tw_json *tw_json_new_int(tw_arena *arena, int64_t number)
{
    tw_buf text = {.arena = arena};
    tw_buf_add_int(&text, number);
    tw_json *value = tw_json_new(arena, TW_JSON_NUMBER);
    value->text = tw_buf_str(&text);
    return value;
}

tw_json *tw_json_new_double(tw_arena *arena, double number)
{
    tw_buf text = {.arena = arena, .at = tw_arena_alloc(arena, FEW_DIGITS, 1), .cap = FEW_DIGITS};
    tw_buf_add_double(&text, number);
    tw_json *value = tw_json_new(arena, TW_JSON_NUMBER);
    value->text = tw_buf_str(&text);
    return value;
}

tw_json *tw_json_new_bool(tw_arena *arena, bool truth)
{
    return tw_json_new(arena, truth ? TW_JSON_TRUE : TW_JSON_FALSE);
}

/* ---- changing -------------------------------------------------------------------------------------------- */

/* Puts a value behind `before` (NULL: in front). */
static void link_behind(tw_json *parent, tw_json *before, tw_json *value)
{
    TW_ASSERT(!parent->folded);
    tw_json **slot = before != NULL ? &before->next : &parent->in.first;
    value->next = *slot;
    *slot = value;
    if (value->next == NULL)
        parent->in.last = value;
    parent->count++;
}

static void unlink_behind(tw_json *parent, tw_json *before, tw_json *value)
{
    *(before != NULL ? &before->next : &parent->in.first) = value->next;
    if (parent->in.last == value)
        parent->in.last = before;
    value->next = NULL;
    parent->count--;
}

void tw_json_append(tw_json *array, tw_json *value)
{
    link_behind(array, array->in.last, value);
}

/* The member of that name with the one before it. */
static tw_json *seek(const tw_json *object, tw_str name, tw_json **before)
{
    *before = NULL;
    tw_json *member = tw_json_first(object);
    while (member != NULL && !tw_str_eq(member->key, name)) {
        *before = member;
        member = member->next;
    }
    return member;
}

/* Sets in place when the name is there; else leaves the value ready with its name. */
static bool replaced(tw_arena *arena, tw_json *object, tw_str name, tw_json *value)
{
    tw_json *before, *old = seek(object, name, &before);
    if (old == value)
        return true;
    if (old == NULL) {
        value->key = tw_arena_dup(arena, name);
        return false;
    }
    value->key = old->key;
    unlink_behind(object, before, old);
    link_behind(object, before, value);
    return true;
}

void tw_json_set(tw_arena *arena, tw_json *object, const char *name, tw_json *value)
{
    if (!replaced(arena, object, tw_str_z(name), value))
        link_behind(object, object->in.last, value);
}

void tw_json_set_text(tw_arena *arena, tw_json *object, const char *name, tw_str text)
{
    tw_json_set(arena, object, name, tw_json_new_text(arena, text));
}

tw_json *tw_json_need(tw_arena *arena, tw_json *object, const char *name, tw_json_kind kind)
{
    if (!tw_json_is(tw_json_get(object, name), kind))
        tw_json_set(arena, object, name, tw_json_new(arena, kind));
    return tw_json_get(object, name);
}

void tw_json_set_sorted(tw_arena *arena, tw_json *object, const char *name, tw_json *value)
{
    if (replaced(arena, object, tw_str_z(name), value))
        return;
    tw_json *before = NULL;
    for (tw_json *m = tw_json_first(object); m != NULL && tw_str_cmp(m->key, value->key) <= 0; m = m->next)
        before = m;
    link_behind(object, before, value);
}

bool tw_json_remove(tw_json *parent, const tw_json *value)
{
    tw_json *before = NULL;
    for (tw_json *m = tw_json_first(parent); m != NULL; before = m, m = m->next) {
        if (m == value) {
            unlink_behind(parent, before, m);
            return true;
        }
    }
    return false;
}

tw_json *tw_json_copy(tw_arena *arena, const tw_json *value)
{
    tw_json *copy = TW_NEW(arena, tw_json);
    *copy = *value;
    copy->next = NULL;
    if (value->kind >= TW_JSON_ARRAY && !value->folded) {
        copy->in = (tw_json_chain){NULL, NULL};
        copy->count = 0;
    }
    for (const tw_json *child = tw_json_first(value); child != NULL; child = child->next)
        tw_json_append(copy, tw_json_copy(arena, child));
    return copy;
}

/* ---- comparing ------------------------------------------------------------------------------------------- */

/* Of two lists, one or both of them folded. */
static bool same_rows(const tw_json *a, const tw_json *b)
{
    tw_json_rows left, right;
    tw_json_rows_begin(&left, a);
    tw_json_rows_begin(&right, b);
    for (;;) {
        const tw_json *x = tw_json_row(&left), *y = tw_json_row(&right);
        if (x == NULL || y == NULL || !tw_json_same(x, y))
            return x == y;
    }
}

/* Side by side, without a look at names. */
static bool same_in_order(const tw_json *x, const tw_json *y)
{
    for (; x != NULL && y != NULL; x = x->next, y = y->next)
        if (!tw_json_same(x, y))
            return false;
    return x == y;
}

static bool same_names(const tw_json *x, const tw_json *y)
{
    while (x != NULL && y != NULL && tw_str_eq(x->key, y->key)) {
        x = x->next;
        y = y->next;
    }
    return x == y;
}

static bool same_by_search(const tw_json *a, const tw_json *b)
{
    for (const tw_json *m = tw_json_first(a); m != NULL; m = m->next) {
        const tw_json *other = tw_json_get_str(b, m->key);
        if (other == NULL || !tw_json_same(m, other))
            return false;
    }
    return true;
}

static void list_members(const tw_json *object, const tw_json **out)
{
    size_t n = 0;
    for (const tw_json *m = tw_json_first(object); m != NULL; m = m->next)
        out[n++] = m;
    TW_SORT(out, n, twi_json_by_key);
}

static bool same_members(const tw_json *a, const tw_json *b)
{
    if (same_names(tw_json_first(a), tw_json_first(b)))
        return same_in_order(tw_json_first(a), tw_json_first(b));
    size_t n = a->count;
    const tw_json **all = n > FEW_MEMBERS ? malloc(2 * n * sizeof *all) : NULL;
    if (all == NULL)
        return same_by_search(a, b);
    list_members(a, all);
    list_members(b, all + n);
    bool same = true;
    for (size_t i = 0; i < n && same; i++)
        same = tw_str_eq(all[i]->key, all[n + i]->key) && tw_json_same(all[i], all[n + i]);
    free((void *)all);
    return same;
}

bool tw_json_same(const tw_json *a, const tw_json *b)
{
    if (a->kind != b->kind || a->count != b->count || !tw_str_eq(tw_json_text(a), tw_json_text(b)))
        return false;
    if (a->folded || b->folded)
        return same_rows(a, b);
    return a->kind == TW_JSON_OBJECT ? same_members(a, b) : same_in_order(tw_json_first(a), tw_json_first(b));
}

bool tw_json_identical(const tw_json *a, const tw_json *b)
{
    if (a->kind != b->kind || a->count != b->count || !tw_str_eq(tw_json_text(a), tw_json_text(b)))
        return false;
    if (a->folded || b->folded)
        return same_rows(a, b);
    const tw_json *x = tw_json_first(a), *y = tw_json_first(b);
    while (x != NULL && y != NULL && tw_str_eq(x->key, y->key) && tw_json_identical(x, y)) {
        x = x->next;
        y = y->next;
    }
    return x == y; /* both at their ends */
}
