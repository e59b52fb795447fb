/* SPDX-License-Identifier: Apache-2.0
 *
 * Three-way merge of plans, field by field. What one side left alone is taken from the other; what both changed alike
 * is taken once; what both changed in different ways is a conflict: our value stays, both are noted.
 */
#include "merge_internal.h"

static const char conflict_name[] = "conflict";

/* ---- conflicts ------------------------------------------------------------------------------------------- */

size_t twi_merge_step(tw_buf *path, tw_str name)
{
    size_t before = path->len;
    if (before > 0)
        tw_buf_addc(path, '/');
    tw_buf_add(path, name);
    return before;
}

static void tell(twi_merging *m, tw_str where)
{
    const twi_holder *h = m->holder;
    TW_PUSH(m->arena, m->out->conflicts, m->out->conflict_count, m->cap) =
        tw_arena_printf(m->arena, "%s%s%.*s%s%.*s", h->word, h->name.len > 0 ? " " : "", TW_ARG(h->name),
                        where.len > 0 ? ": " : "", TW_ARG(where));
}

static void record(twi_merging *m, const char *path, tw_json *ours, tw_json *theirs)
{
    tw_json *both = tw_json_new(m->arena, TW_JSON_OBJECT);
    if (ours != NULL)
        tw_json_set(m->arena, both, "ours", ours);
    if (theirs != NULL)
        tw_json_set(m->arena, both, "theirs", theirs);
    if (m->holder->records == NULL)
        m->holder->records = tw_json_new(m->arena, TW_JSON_OBJECT);
    tw_json_set(m->arena, m->holder->records, path, both);
}

/* The two sides do not agree on what the path leads to. NULL: absent on that side. */
static void conflict(twi_merging *m, const tw_json *ours, const tw_json *theirs)
{
    tell(m, tw_buf_str(&m->path));
    if (m->path.len == 0) { /* the holder itself was removed by one side and changed by the other */
        record(m, m->holder->word, tw_json_new_text(m->arena, tw_str_z(ours != NULL ? "changed" : "removed")),
               tw_json_new_text(m->arena, tw_str_z(theirs != NULL ? "changed" : "removed")));
        return;
    }
    record(m, tw_arena_dupz(m->arena, tw_buf_str(&m->path)), ours != NULL ? tw_json_copy(m->arena, ours) : NULL,
           theirs != NULL ? tw_json_copy(m->arena, theirs) : NULL);
}

bool twi_merge_same(const tw_json *a, const tw_json *b)
{
    return a == NULL || b == NULL ? a == b : tw_json_same(a, b);
}

/* The same two values, maybe with sides changed: so that merging a merged plan again changes nothing. */
static bool same_record(const tw_json *a, const tw_json *b)
{
    const tw_json *ao = tw_json_get(a, "ours"), *at = tw_json_get(a, "theirs");
    const tw_json *bo = tw_json_get(b, "ours"), *bt = tw_json_get(b, "theirs");
    return (twi_merge_same(ao, bo) && twi_merge_same(at, bt)) || (twi_merge_same(ao, bt) && twi_merge_same(at, bo));
}

void twi_merge_settle(twi_merging *m, tw_json *object)
{
    if (m->holder->records == NULL)
        return;
    tw_json *all = tw_json_need(m->arena, object, conflict_name, TW_JSON_OBJECT);
    for (const tw_json *r = tw_json_first(m->holder->records); r != NULL; r = r->next) {
        const tw_json *old = tw_json_get_str(all, r->key);
        if (old == NULL || !same_record(old, r))
            tw_json_set_sorted(m->arena, all, tw_arena_dupz(m->arena, r->key), tw_json_copy(m->arena, r));
    }
}

/* ---- values ---------------------------------------------------------------------------------------------- */

static const tw_json *member(const tw_json *object, tw_str name)
{
    return object != NULL ? tw_json_get_str(object, name) : NULL;
}

static void put(twi_merging *m, tw_json *object, tw_str name, const tw_json *value)
{
    if (value != NULL)
        tw_json_set(m->arena, object, tw_arena_dupz(m->arena, name), tw_json_copy(m->arena, value));
}

/* Conflicts noted in earlier merges: each is kept unless a side took it out; where the sides differ, ours. */
static void merge_earlier(twi_merging *m, tw_json *object, const tw_json *const sides[3])
{
    tw_json *all = tw_json_new(m->arena, TW_JSON_OBJECT);
    for (int side = 1; side < 3; side++) {
        for (const tw_json *c = tw_json_first(sides[side]); c != NULL; c = c->next) {
            const tw_json *b = member(sides[0], c->key), *o = member(sides[1], c->key), *t = member(sides[2], c->key);
            const tw_json *kept = twi_merge_same(b, o) ? t : twi_merge_same(b, t) ? o : o != NULL ? o : t;
            if (kept != NULL && tw_json_get_str(all, c->key) == NULL)
                tw_json_set_sorted(m->arena, all, tw_arena_dupz(m->arena, c->key), tw_json_copy(m->arena, kept));
        }
    }
    if (all->count > 0)
        put(m, object, tw_str_z(conflict_name), all);
}

static void merge_member(twi_merging *m, tw_json *object, tw_str name, const tw_json *const sides[3])
{
    const tw_json *const of[3] = {member(sides[0], name), member(sides[1], name), member(sides[2], name)};
    if (tw_str_is(name, conflict_name)) {
        merge_earlier(m, object, of);
        return;
    }
    size_t before = twi_merge_step(&m->path, name);
    bool apart = !twi_merge_same(of[1], of[2]) && !twi_merge_same(of[0], of[1]) && !twi_merge_same(of[0], of[2]);
    const twi_list_kind *kind = apart ? twi_merge_kind(m->arena, name, of) : NULL;
    if (kind != NULL)
        put(m, object, name, twi_merge_list(m, kind, of));
    else
        put(m, object, name, twi_merge_value(m, of[0], of[1], of[2]));
    m->path.len = before;
}

static tw_json *merge_object(twi_merging *m, const tw_json *const sides[3])
{
    tw_json *out = tw_json_new(m->arena, TW_JSON_OBJECT);
    for (const tw_json *o = tw_json_first(sides[1]); o != NULL; o = o->next)
        merge_member(m, out, o->key, sides);
    for (const tw_json *t = tw_json_first(sides[2]); t != NULL; t = t->next)
        if (tw_json_get_str(sides[1], t->key) == NULL)
            merge_member(m, out, t->key, sides);
    return out;
}

tw_json *twi_merge_value(twi_merging *m, const tw_json *base, const tw_json *ours, const tw_json *theirs)
{
    const tw_json *taken = NULL;
    if (twi_merge_same(ours, theirs) || twi_merge_same(base, theirs))
        taken = ours;
    else if (twi_merge_same(base, ours))
        taken = theirs;
    else if (tw_json_is(ours, TW_JSON_OBJECT) && tw_json_is(theirs, TW_JSON_OBJECT)) {
        const tw_json *b = tw_json_is(base, TW_JSON_OBJECT) ? base : NULL;
        return merge_object(m, (const tw_json *const[3]){b, ours, theirs});
    } else {
        conflict(m, ours, theirs);
        taken = ours != NULL ? ours : theirs;
    }
    return taken != NULL ? tw_json_copy(m->arena, taken) : NULL;
}

/* ---- the whole ------------------------------------------------------------------------------------------- */

void tw_recut_merge(tw_arena *arena, const tw_json *base, const tw_json *ours, const tw_json *theirs, tw_merged *out)
{
    *out = (tw_merged){.root = NULL};
    twi_holder plan = {.word = "plan"};
    twi_merging m = {.arena = arena, .out = out, .holder = &plan, .path = {.arena = arena}};
    out->root = twi_merge_value(&m, base, ours, theirs);
    twi_merge_settle(&m, out->root);
}

static void tell_held(tw_diags *diags, const tw_json_doc *doc, const tw_json *object, const char *word, tw_str name,
                      size_t *count)
{
    for (const tw_json *c = tw_json_first(tw_json_get(object, conflict_name)); c != NULL; c = c->next) {
        const tw_place place = tw_json_name_place(doc, c);
        ++*count;
        if (tw_str_is(c->key, word)) {
            tw_diag_add(diags, 1801, &place, "%s %.*s: one branch removed it, the other changed it", word,
                        TW_ARG(name));
            tw_diag_hint(diags, "delete the %s, or keep it and take \"conflict\" out", word);
            continue;
        }
        tw_diag_add(diags, 1801, &place, "%s%s%.*s: two branches disagree on \"%.*s\"", word, name.len > 0 ? " " : "",
                    TW_ARG(name), TW_ARG(c->key));
        tw_diag_hint(diags, "leave the value that is to hold in its place and take \"conflict\" out");
    }
}

size_t tw_recut_conflicts(const tw_json_doc *doc, tw_diags *diags)
{
    static const struct {
        const char *list, *word, *name;
    } lists[] = {{"deliveries", "delivery", "name"}, {"sources", "source", "reel"}, {"notes", "note", "id"}};
    size_t count = 0;
    tell_held(diags, doc, doc->root, "the plan", TW_STR(""), &count);
    for (size_t i = 0; i < TW_COUNT(lists); i++) {
        for (const tw_json *e = tw_json_first(tw_json_get(doc->root, lists[i].list)); e != NULL; e = e->next) {
            const tw_json *name = tw_json_get(e, lists[i].name);
            tell_held(diags, doc, e, lists[i].word, tw_json_text(name), &count);
        }
    }
    return count;
}
