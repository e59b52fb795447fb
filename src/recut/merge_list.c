/* SPDX-License-Identifier: Apache-2.0
 *
 * Lists whose elements have names: merged element by element, in an order both sides can be found in.
 */
#include "merge_internal.h"

#include <stdlib.h>
#include <string.h>

static const twi_list_kind kinds[] = {
    {"deliveries", "name", "delivery"},
    {"sources", "reel", "source"},
    {"notes", "id", "note"},
    {"regions", "name", NULL},
    {"media", "file", NULL},
    {"keys", NULL, NULL},
    {"window", NULL, NULL},
};

/* ---- names ----------------------------------------------------------------------------------------------- */

static tw_str name_of(const twi_list_kind *kind, const tw_json *element)
{
    const tw_json *name = kind->name != NULL                   ? tw_json_get(element, kind->name)
                          : tw_json_is(element, TW_JSON_ARRAY) ? tw_json_first(element)
                                                               : NULL;
    bool fits = tw_json_is(name, TW_JSON_STRING) || (kind->name == NULL && tw_json_is(name, TW_JSON_NUMBER));
    return fits ? name->text : (tw_str){NULL, 0};
}

static int by_name(const void *a, const void *b)
{
    const twi_named_value *x = a, *y = b;
    return tw_str_cmp(x->name, y->name);
}

bool twi_side_read(tw_arena *arena, const twi_list_kind *kind, const tw_json *list, twi_side *out)
{
    *out = (twi_side){.count = 0};
    if (list == NULL)
        return true;
    if (list->kind != TW_JSON_ARRAY)
        return false;
    list = tw_json_unfold(arena, list);
    out->listed = TW_NEW_N(arena, twi_named_value, list->count);
    out->sorted = TW_NEW_N(arena, twi_named_value, list->count);
    for (const tw_json *e = tw_json_first(list); e != NULL; e = e->next) {
        const twi_named_value n = {name_of(kind, e), e, out->count};
        if (n.name.at == NULL)
            return false;
        out->listed[out->count] = out->sorted[out->count] = n;
        out->count++;
    }
    TW_SORT(out->sorted, out->count, by_name);
    for (size_t i = 1; i < out->count; i++)
        if (tw_str_eq(out->sorted[i - 1].name, out->sorted[i].name))
            return false;
    return true;
}

const twi_named_value *twi_side_find(const twi_side *s, tw_str name)
{
    const twi_named_value key = {.name = name};
    return s->count > 0 ? bsearch(&key, s->sorted, s->count, sizeof *s->sorted, by_name) : NULL;
}

static const tw_json *value_in(const twi_side *s, tw_str name)
{
    const twi_named_value *n = twi_side_find(s, name);
    return n != NULL ? n->value : NULL;
}

const twi_list_kind *twi_merge_kind(tw_arena *arena, tw_str member, const tw_json *const sides[3])
{
    for (size_t k = 0; k < TW_COUNT(kinds); k++) {
        if (!tw_str_is(member, kinds[k].list))
            continue;
        twi_side ignored;
        for (int i = 0; i < 3; i++)
            if (!twi_side_read(arena, &kinds[k], sides[i], &ignored))
                return NULL;
        return sides[1] != NULL && sides[2] != NULL ? &kinds[k] : NULL;
    }
    return NULL;
}

/* ---- elements -------------------------------------------------------------------------------------------- */

/* An element of the result; sides it comes from. */
typedef struct joined {
    tw_str name;
    tw_json *value;
    bool in_ours, in_theirs;
} joined;

static tw_json *join_element(twi_merging *m, const twi_list_kind *kind, tw_str name, const tw_json *const of[3])
{
    if (kind->holder == NULL) {
        size_t before = twi_merge_step(&m->path, name);
        tw_json *value = twi_merge_value(m, of[0], of[1], of[2]);
        m->path.len = before;
        return value;
    }
    twi_holder *outer = m->holder, holder = {.word = kind->holder, .name = name};
    const tw_buf path = m->path;
    m->holder = &holder;
    m->path = (tw_buf){.arena = m->arena};
    tw_json *value = twi_merge_value(m, of[0], of[1], of[2]);
    if (value != NULL)
        twi_merge_settle(m, value);
    m->holder = outer;
    m->path = path;
    return value;
}

static bool same_member(const tw_json *a, const tw_json *b, const char *name)
{
    return twi_merge_same(tw_json_get(a, name), tw_json_get(b, name));
}

/* Two notes made on two branches that happen to carry one id speak of different things. */
static bool another_note(const twi_list_kind *kind, const tw_json *const of[3])
{
    return kind->holder != NULL && strcmp(kind->holder, "note") == 0 && of[0] == NULL && of[1] != NULL &&
           of[2] != NULL &&
           !(same_member(of[1], of[2], "reel") && same_member(of[1], of[2], "in") && same_member(of[1], of[2], "out"));
}

static int by_key(const void *a, const void *b)
{
    const tw_json *x = *(const tw_json *const *)a, *y = *(const tw_json *const *)b;
    return tw_str_cmp(x->key, y->key);
}

/* The value with the members of objects in byte order: the same however it was laid out. */
static void add_sorted_text(const tw_json *value, tw_buf *out)
{
    const tw_json_style style = {.indent = 0};
    if (value->kind != TW_JSON_OBJECT && value->kind != TW_JSON_ARRAY) {
        tw_json_write(value, &style, out);
        return;
    }
    value = tw_json_unfold(out->arena, value);
    const tw_json **children = (const tw_json **)tw_arena_alloc(out->arena, value->count, sizeof *children);
    size_t count = 0;
    for (const tw_json *c = tw_json_first(value); c != NULL; c = c->next)
        children[count++] = c;
    if (value->kind == TW_JSON_OBJECT)
        TW_SORT(children, count, by_key);
    tw_buf_addc(out, value->kind == TW_JSON_OBJECT ? '{' : '[');
    for (size_t i = 0; i < count; i++) {
        tw_buf_addc(out, ',');
        tw_buf_add(out, children[i]->key);
        tw_buf_addc(out, ':');
        add_sorted_text(children[i], out);
    }
    tw_buf_addc(out, value->kind == TW_JSON_OBJECT ? '}' : ']');
}

static tw_str text_of(tw_arena *arena, const tw_json *value)
{
    tw_buf text = {.arena = arena};
    add_sorted_text(value, &text);
    return tw_buf_str(&text);
}

/* Which of the two keeps the id is decided by their text, so that it comes out the same whichever side merges; the
 * other one gets an id that its text names. */
static tw_json *rename_one(twi_merging *m, const tw_json *ours, const tw_json *theirs, bool *theirs_renamed, tw_str *id)
{
    tw_str a = text_of(m->arena, ours), b = text_of(m->arena, theirs);
    *theirs_renamed = tw_str_cmp(a, b) < 0;
    const tw_json *other = *theirs_renamed ? theirs : ours;
    uint64_t hash = tw_str_hash(*theirs_renamed ? b : a);
    tw_json *copy = tw_json_copy(m->arena, other);
    *id = tw_arena_printf(m->arena, "%.*s-%08x", TW_ARG(tw_json_text(tw_json_get(other, "id"))),
                          (unsigned)(hash & UINT32_MAX));
    tw_json_set_text(m->arena, copy, "id", *id);
    return copy;
}

/* Gives one of every pair of notes with one id another id, on the side it is on. */
static void part_notes(twi_merging *m, const twi_list_kind *kind, twi_side sides[3])
{
    bool changed[3] = {false, false, false};
    for (size_t i = 0; i < sides[1].count; i++) {
        twi_named_value *o = &sides[1].listed[i];
        const twi_named_value *found = twi_side_find(&sides[2], o->name);
        const tw_json *const of[3] = {value_in(&sides[0], o->name), o->value, found != NULL ? found->value : NULL};
        if (!another_note(kind, of))
            continue;
        bool theirs;
        tw_str id;
        tw_json *copy = rename_one(m, of[1], of[2], &theirs, &id);
        twi_named_value *row = theirs ? &sides[2].listed[found->index] : o;
        changed[theirs ? 2 : 1] = true;
        row->name = id;
        row->value = copy;
    }
    for (int s = 1; s < 3; s++) {
        if (!changed[s])
            continue;
        memcpy(sides[s].sorted, sides[s].listed, sides[s].count * sizeof *sides[s].sorted);
        TW_SORT(sides[s].sorted, sides[s].count, by_name);
    }
}

/* ---- order ----------------------------------------------------------------------------------------------- */

typedef struct names {
    tw_str *at;
    size_t len, cap;
} names;

typedef struct ordering {
    tw_arena *arena;
    const twi_side *sides;
    joined *all; /* by name */
    size_t count;
} ordering;

static int by_joined(const void *a, const void *b)
{
    const joined *x = a, *y = b;
    return tw_str_cmp(x->name, y->name);
}

static const joined *result_of(const ordering *o, tw_str name)
{
    const joined key = {.name = name};
    return o->count > 0 ? bsearch(&key, o->all, o->count, sizeof *o->all, by_joined) : NULL;
}

static bool is_common(const ordering *o, tw_str name)
{
    const joined *j = result_of(o, name);
    return j != NULL && j->in_ours && j->in_theirs;
}

/* The names both sides have, in the order of one; `old`: only those the base has as well. */
static names common(const ordering *o, const twi_side *s, bool old)
{
    names out = {.len = 0};
    for (size_t i = 0; i < s->count; i++)
        if (is_common(o, s->listed[i].name) && (!old || twi_side_find(&o->sides[0], s->listed[i].name) != NULL))
            TW_PUSH(o->arena, out.at, out.len, out.cap) = s->listed[i].name;
    return out;
}

static int compare_names(names a, names b)
{
    for (size_t i = 0; i < a.len && i < b.len; i++) {
        int order = tw_str_cmp(a.at[i], b.at[i]);
        if (order != 0)
            return order;
    }
    return TW_CMP(a.len, b.len);
}

/* The side that changed the order counts; when both did, the one that comes first in byte order. */
static names skeleton(const ordering *o)
{
    names base = common(o, &o->sides[0], true);
    names ours_old = common(o, &o->sides[1], true), theirs_old = common(o, &o->sides[2], true);
    names ours = common(o, &o->sides[1], false), theirs = common(o, &o->sides[2], false);
    bool ours_kept = compare_names(ours_old, base) == 0, theirs_kept = compare_names(theirs_old, base) == 0;
    if (ours_kept && !theirs_kept)
        return theirs;
    if (theirs_kept && !ours_kept)
        return ours;
    return compare_names(ours, theirs) <= 0 ? ours : theirs;
}

/* Numbers by value, texts by bytes: the order of keys in time. */
static int compare_keys(tw_str a, tw_str b)
{
    double x, y;
    if (tw_num_double(a, &x) && tw_num_double(b, &y) && (x < y || x > y))
        return x < y ? -1 : 1;
    return tw_str_cmp(a, b);
}

/* Appends the names after place `i` of a side that only it has; gives how many. */
static names loose_after(const ordering *o, const twi_side *s, size_t i)
{
    names run = {.len = 0};
    for (; i < s->count && !is_common(o, s->listed[i].name); i++)
        if (result_of(o, s->listed[i].name) != NULL)
            TW_PUSH(o->arena, run.at, run.len, run.cap) = s->listed[i].name;
    return run;
}

static void append(const ordering *o, tw_str name, tw_json *list)
{
    const joined *j = result_of(o, name);
    tw_json_append(list, j->value);
}

static void append_runs(const ordering *o, names a, names b, tw_json *list)
{
    size_t i = 0, k = 0;
    while (i < a.len || k < b.len) {
        bool take_a = k == b.len || (i < a.len && compare_keys(a.at[i], b.at[k]) < 0);
        append(o, take_a ? a.at[i++] : b.at[k++], list);
    }
}

/* The place after a name in a side, 0 when it is not there. */
static size_t place_after(const twi_side *s, tw_str name)
{
    const twi_named_value *n = twi_side_find(s, name);
    return n != NULL ? n->index + 1 : 0;
}

static tw_json *put_in_order(const ordering *o)
{
    tw_json *list = tw_json_new(o->arena, TW_JSON_ARRAY);
    const twi_side *ours = &o->sides[1], *theirs = &o->sides[2];
    names bones = skeleton(o);
    append_runs(o, loose_after(o, ours, 0), loose_after(o, theirs, 0), list);
    for (size_t i = 0; i < bones.len; i++) {
        append(o, bones.at[i], list);
        append_runs(o, loose_after(o, ours, place_after(ours, bones.at[i])),
                    loose_after(o, theirs, place_after(theirs, bones.at[i])), list);
    }
    return list;
}

/* ---- the list -------------------------------------------------------------------------------------------- */

static void join_name(twi_merging *m, const twi_list_kind *kind, const twi_side sides[3], tw_str name, ordering *o)
{
    const tw_json *const of[3] = {value_in(&sides[0], name), value_in(&sides[1], name), value_in(&sides[2], name)};
    tw_json *value = join_element(m, kind, name, of);
    if (value != NULL)
        o->all[o->count++] = (joined){name, value, of[1] != NULL, of[2] != NULL};
}

tw_json *twi_merge_list(twi_merging *m, const twi_list_kind *kind, const tw_json *const lists[3])
{
    twi_side sides[3];
    for (int i = 0; i < 3; i++)
        twi_side_read(m->arena, kind, lists[i], &sides[i]);
    part_notes(m, kind, sides);
    ordering o = {.arena = m->arena, .sides = sides};
    o.all = TW_NEW_N(m->arena, joined, sides[1].count + sides[2].count);
    for (size_t i = 0; i < sides[1].count; i++)
        join_name(m, kind, sides, sides[1].listed[i].name, &o);
    for (size_t i = 0; i < sides[2].count; i++)
        if (twi_side_find(&sides[1], sides[2].listed[i].name) == NULL)
            join_name(m, kind, sides, sides[2].listed[i].name, &o);
    TW_SORT(o.all, o.count, by_joined);
    return put_in_order(&o);
}
