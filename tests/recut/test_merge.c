/* SPDX-License-Identifier: Apache-2.0
 *
 * Laws over random triples of plans, and single cases in full.
 */
#define _POSIX_C_SOURCE 200809L
#include "recut/plans.h"

#include <stdio.h>
#include <stdlib.h>

/* ---- single cases ---------------------------------------------------------------------------------------- */

#define NOTE(rest)                                                                                                     \
    "{\"notes\": [{\"id\": \"n1\", \"reel\": \"A003\", \"in\": \"01:00:00:00\", \"out\": \"01:00:09:00\"" rest "}]}"

static void single_cases(void **state)
{
    static const struct {
        const char *what, *base, *ours, *theirs, *expected, *conflict;
    } rows[] = {
        {"both sides alike", NOTE(""), NOTE(", \"say\": \"x\""), NOTE(", \"say\": \"x\""), NOTE(", \"say\": \"x\""),
         NULL},
        {"two fields", NOTE(""), NOTE(", \"say\": \"x\""), NOTE(", \"by\": \"y\""),
         NOTE(", \"say\": \"x\", \"by\": \"y\""), NULL},
        {"one field", NOTE(", \"say\": \"a\""), NOTE(", \"say\": \"b\""), NOTE(", \"say\": \"c\""),
         NOTE(", \"say\": \"b\", \"conflict\": {\"say\": {\"ours\": \"b\", \"theirs\": \"c\"}}"), "note n1: say"},
        {"a field removed and changed", NOTE(", \"say\": \"a\""), NOTE(""), NOTE(", \"say\": \"c\""),
         NOTE(", \"say\": \"c\", \"conflict\": {\"say\": {\"theirs\": \"c\"}}"), "note n1: say"},
        {"a note removed and left alone", NOTE(""), "{\"notes\": []}", NOTE(""), "{\"notes\": []}", NULL},
        {"a note removed and changed", NOTE(""), "{\"notes\": []}", NOTE(", \"say\": \"c\""),
         NOTE(", \"say\": \"c\", \"conflict\": {\"note\": {\"ours\": \"removed\", \"theirs\": \"changed\"}}"),
         "note n1"},
        {"number text is kept", "{\"v\": 1}", "{\"v\": 1, \"o\": 0.10}", "{\"v\": 1, \"t\": 1e3}",
         "{\"v\": 1, \"o\": 0.10, \"t\": 1e3}", NULL},
        {"a region's need", NOTE(", \"regions\": [{\"name\": \"hub\", \"need\": \"must\"}]"),
         NOTE(", \"regions\": [{\"name\": \"hub\", \"need\": \"nice\"}]"),
         NOTE(", \"regions\": [{\"name\": \"hub\", \"need\": \"must\", \"weight\": 2}, {\"name\": \"rim\"}]"),
         NOTE(", \"regions\": [{\"name\": \"hub\", \"need\": \"nice\", \"weight\": 2}, {\"name\": \"rim\"}]"), NULL},
        {"one key of a region on both sides",
         NOTE(", \"regions\": [{\"name\": \"hub\", \"keys\": [[\"01:00:00:00\", 0.1], [\"01:00:02:00\", 0.2]]}]"),
         NOTE(", \"regions\": [{\"name\": \"hub\", \"keys\": [[\"01:00:00:00\", 0.3], [\"01:00:02:00\", 0.2]]}]"),
         NOTE(", \"regions\": [{\"name\": \"hub\", \"keys\": [[\"01:00:00:00\", 0.4], [\"01:00:02:00\", 0.5]]}]"),
         NOTE(", \"regions\": [{\"name\": \"hub\", \"keys\": [[\"01:00:00:00\", 0.3], [\"01:00:02:00\", 0.5]]}]"
              ", \"conflict\": {\"regions/hub/keys/01:00:00:00\": "
              "{\"ours\": [\"01:00:00:00\", 0.3], \"theirs\": [\"01:00:00:00\", 0.4]}}"),
         "note n1: regions/hub/keys/01:00:00:00"},
        {"sizes are taken whole", "{\"sources\": [{\"reel\": \"A*\", \"size\": [1, 1]}]}",
         "{\"sources\": [{\"reel\": \"A*\", \"size\": [2, 1]}]}",
         "{\"sources\": [{\"reel\": \"A*\", \"size\": [1, 3]}]}",
         "{\"sources\": [{\"reel\": \"A*\", \"size\": [2, 1], \"conflict\": {\"size\": {\"ours\": [2, 1], \"theirs\": "
         "[1, "
         "3]}}}]}",
         "source A*: size"},
        {"the plan itself", "{\"motion\": {\"ease\": 1}}", "{\"motion\": {\"ease\": 2}}", "{\"motion\": {\"ease\": 3}}",
         "{\"motion\": {\"ease\": 2}, \"conflict\": {\"motion/ease\": {\"ours\": 2, \"theirs\": 3}}}",
         "plan: motion/ease"},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_arena *arena = tw_test_arena(state);
        tw_merged m;
        tw_row(i, rows[i].what);
        tw_recut_merge(arena, plan_tree(arena, rows[i].base), plan_tree(arena, rows[i].ours),
                       plan_tree(arena, rows[i].theirs), &m);
        assert_same_tree(arena, m.root, plan_tree(arena, rows[i].expected));
        assert_int_equal(m.conflict_count, rows[i].conflict != NULL);
        if (rows[i].conflict != NULL)
            tw_assert_text(m.conflicts[0], rows[i].conflict);
    }
}

static void conflicts_are_told(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    const char *text = "{\"conflict\": {\"edit/rate\": {\"ours\": 1, \"theirs\": 2}},\n"
                       " \"notes\": [{\"id\": \"n1\", \"conflict\": {\"say\": {\"ours\": 1, \"theirs\": 2}}},\n"
                       "  {\"id\": \"n2\", \"conflict\": {\"note\": {\"ours\": {}}}}]}";
    tw_diags *diags = tw_diags_new(arena);
    tw_json_doc doc;
    assert_int_equal(tw_json_read(arena, tw_str_z(text), TW_STR("p"), NULL, diags, &doc), TW_OK);
    assert_int_equal(tw_recut_conflicts(&doc, diags), 3);
    tw_assert_text(tw_str_z(tw_findings(arena, diags)),
                   "p:1:15: error TW1801: the plan: two branches disagree on \"edit/rate\"\n"
                   "  {\"conflict\": {\"edit/rate\": {\"ours\": 1, \"theirs\": 2}},\n"
                   "                ^^^^^^^^^^^\n"
                   "  -> leave the value that is to hold in its place and take \"conflict\" out\n"
                   "p:2:38: error TW1801: note n1: two branches disagree on \"say\"\n"
                   "   \"notes\": [{\"id\": \"n1\", \"conflict\": {\"say\": {\"ours\": 1, \"theirs\": 2}}},\n"
                   "                                       ^^^^^\n"
                   "  -> leave the value that is to hold in its place and take \"conflict\" out\n"
                   "p:3:29: error TW1801: note n2: one branch removed it, the other changed it\n"
                   "    {\"id\": \"n2\", \"conflict\": {\"note\": {\"ours\": {}}}}]}\n"
                   "                              ^^^^^^\n"
                   "  -> delete the note, or keep it and take \"conflict\" out\n");
}

/* ---- random plans ---------------------------------------------------------------------------------------- */

typedef struct making {
    tw_arena *arena;
    tw_rng rng;
} making;

static int64_t pick(making *m, int64_t most)
{
    return tw_rng_between(&m->rng, 0, most);
}

static tw_json *text_value(making *m, const char *format, int64_t n)
{
    tw_buf out = {.arena = m->arena};
    tw_buf_addf(&out, format, (int)n);
    return tw_json_new_text(m->arena, tw_buf_str(&out));
}

static tw_json *random_key(making *m)
{
    tw_json *key = tw_json_new(m->arena, TW_JSON_ARRAY);
    tw_json_append(key, text_value(m, "01:00:%02d:00", pick(m, 20)));
    for (int i = 0; i < 4; i++)
        tw_json_append(key, tw_json_new_int(m->arena, pick(m, 9)));
    return key;
}

/* Keys with ascending times. */
static tw_json *random_keys(making *m)
{
    tw_json *keys = tw_json_new(m->arena, TW_JSON_ARRAY);
    for (int64_t t = pick(m, 4); t < 20; t += 1 + pick(m, 9)) {
        tw_json *key = random_key(m);
        tw_json_first(key)->text = text_value(m, "01:00:%02d:00", t)->text;
        tw_json_append(keys, key);
    }
    return keys;
}

static tw_json *random_region(making *m, int64_t name)
{
    tw_json *r = tw_json_new(m->arena, TW_JSON_OBJECT);
    tw_json_set(m->arena, r, "name", text_value(m, "region%d", name));
    tw_json_set(m->arena, r, "need", tw_json_new_text(m->arena, pick(m, 1) ? TW_STR("must") : TW_STR("nice")));
    tw_json_set(m->arena, r, "keys", random_keys(m));
    return r;
}

static tw_json *random_note(making *m, int64_t id)
{
    tw_json *n = tw_json_new(m->arena, TW_JSON_OBJECT);
    tw_json_set(m->arena, n, "id", text_value(m, "n%03d", id));
    tw_json_set(m->arena, n, "reel", text_value(m, "A%03d", pick(m, 3)));
    tw_json_set(m->arena, n, "in", text_value(m, "01:00:%02d:00", pick(m, 20)));
    tw_json_set(m->arena, n, "out", text_value(m, "01:01:%02d:00", pick(m, 20)));
    tw_json_set(m->arena, n, "say", text_value(m, "words %d", pick(m, 9)));
    tw_json *regions = tw_json_new(m->arena, TW_JSON_ARRAY);
    for (int64_t r = pick(m, 2); r >= 0; r--)
        tw_json_append(regions, random_region(m, r));
    tw_json_set(m->arena, n, "regions", regions);
    return n;
}

static tw_json *random_source(making *m, int64_t name)
{
    tw_json *s = tw_json_new(m->arena, TW_JSON_OBJECT);
    tw_json_set(m->arena, s, "reel", text_value(m, "A%d*", name));
    tw_json_set(m->arena, s, "squeeze", tw_json_new_int(m->arena, 1 + pick(m, 2)));
    return s;
}

static tw_json *random_plan(making *m)
{
    tw_json *root = tw_json_new(m->arena, TW_JSON_OBJECT);
    tw_json_set(m->arena, root, "tallwide_plan", tw_json_new_int(m->arena, 1));
    tw_json *sources = tw_json_new(m->arena, TW_JSON_ARRAY), *notes = tw_json_new(m->arena, TW_JSON_ARRAY);
    for (int64_t i = pick(m, 3); i >= 0; i--)
        tw_json_append(sources, random_source(m, i));
    for (int64_t i = pick(m, 5); i >= 0; i--)
        tw_json_append(notes, random_note(m, i));
    tw_json_set(m->arena, root, "sources", sources);
    tw_json_set(m->arena, root, "notes", notes);
    return root;
}

static tw_json *any_of(making *m, tw_json *list)
{
    tw_json *e = tw_json_first(list);
    for (int64_t k = list->count > 0 ? pick(m, list->count - 1) : 0; k > 0; k--)
        e = e->next;
    return e;
}

/* Takes an element out and puts it in at the end. */
static void move_to_end(making *m, tw_json *list)
{
    tw_json *e = any_of(m, list);
    if (e == NULL)
        return;
    tw_json *copy = tw_json_copy(m->arena, e);
    tw_json_remove(list, e);
    tw_json_append(list, copy);
}

static void change_note(making *m, tw_json *note)
{
    tw_json *regions = tw_json_get(note, "regions"), *region = any_of(m, regions);
    switch (pick(m, 7)) {
    case 0: tw_json_set(m->arena, note, "say", text_value(m, "other words %d", pick(m, 3))); break;
    case 1: tw_json_set(m->arena, note, "by", text_value(m, "person %d", pick(m, 3))); break;
    case 2: tw_json_remove(note, tw_json_get(note, "say")); break;
    case 3: tw_json_append(regions, random_region(m, 10 + pick(m, 40))); break;
    case 4:
        if (region != NULL)
            tw_json_remove(regions, region);
        break;
    case 5:
        if (region != NULL)
            tw_json_set(m->arena, region, "keys", random_keys(m));
        break;
    case 6:
        if (region != NULL)
            tw_json_set(m->arena, region, "weight", tw_json_new_int(m->arena, pick(m, 3)));
        break;
    default: tw_json_set(m->arena, note, "reel", text_value(m, "B%03d", pick(m, 3))); break;
    }
}

static tw_json *changed_plan(making *m, const tw_json *base)
{
    tw_json *root = tw_json_copy(m->arena, base);
    tw_json *notes = tw_json_get(root, "notes"), *sources = tw_json_get(root, "sources");
    for (int64_t k = pick(m, 5); k > 0; k--) {
        tw_json *note = any_of(m, notes);
        switch (pick(m, 6)) {
        case 0: tw_json_append(notes, random_note(m, 100 * k + pick(m, 20))); break;
        case 1:
            if (note != NULL)
                tw_json_remove(notes, note);
            break;
        case 2: move_to_end(m, sources); break;
        case 3: tw_json_append(sources, random_source(m, 100 * k + pick(m, 20))); break;
        default:
            if (note != NULL)
                change_note(m, note);
            break;
        }
    }
    return root;
}

/* A plan in which no list names two elements alike. */
static bool fit(const tw_json *root)
{
    const tw_json *notes = tw_json_get(root, "notes"), *sources = tw_json_get(root, "sources");
    for (const tw_json *a = tw_json_first(notes); a != NULL; a = a->next) {
        for (const tw_json *b = a->next; b != NULL; b = b->next)
            if (tw_json_same(tw_json_get(a, "id"), tw_json_get(b, "id")))
                return false;
        for (const tw_json *r = tw_json_first(tw_json_get(a, "regions")); r != NULL; r = r->next)
            for (const tw_json *q = r->next; q != NULL; q = q->next)
                if (tw_json_same(tw_json_get(r, "name"), tw_json_get(q, "name")))
                    return false;
    }
    for (const tw_json *a = tw_json_first(sources); a != NULL; a = a->next)
        for (const tw_json *b = a->next; b != NULL; b = b->next)
            if (tw_json_same(tw_json_get(a, "reel"), tw_json_get(b, "reel")))
                return false;
    return true;
}

/* ---- laws ------------------------------------------------------------------------------------------------ */

static tw_json *merged(tw_arena *arena, tw_json *b, tw_json *x, tw_json *y, size_t *conflicts)
{
    tw_merged m;
    tw_recut_merge(arena, b, x, y, &m);
    if (conflicts != NULL)
        *conflicts = m.conflict_count;
    return m.root;
}

static const tw_json *note_of(const tw_json *root, tw_str id)
{
    for (const tw_json *n = tw_json_first(tw_json_get(root, "notes")); n != NULL; n = n->next)
        if (tw_str_eq(tw_json_get(n, "id")->text, id))
            return n;
    return NULL;
}

static bool same_range(const tw_json *a, const tw_json *b)
{
    static const char *const names[] = {"reel", "in", "out"};
    for (size_t i = 0; i < 3; i++)
        if (!tw_json_same(tw_json_get(a, names[i]), tw_json_get(b, names[i])))
            return false;
    return true;
}

/* Is a note of one side in the result, under its id or, when that was given twice, under another? */
static bool is_kept(const tw_json *root, const tw_json *note, bool is_new)
{
    tw_str id = tw_json_get(note, "id")->text;
    if (!is_new)
        return note_of(root, id) != NULL;
    for (const tw_json *n = tw_json_first(tw_json_get(root, "notes")); n != NULL; n = n->next)
        if (tw_str_starts(tw_json_get(n, "id")->text, id) && same_range(n, note))
            return true;
    return false;
}

static void assert_notes_kept(const tw_json *base, const tw_json *side, const tw_json *result)
{
    for (const tw_json *n = tw_json_first(tw_json_get(side, "notes")); n != NULL; n = n->next) {
        const tw_json *old = note_of(base, tw_json_get(n, "id")->text);
        if (old == NULL || !tw_json_same(old, n))
            assert_true(is_kept(result, n, old == NULL));
    }
}

static void swap_sides(tw_json *conflict)
{
    for (tw_json *r = conflict != NULL ? tw_json_first(conflict) : NULL; r != NULL; r = r->next)
        for (tw_json *v = tw_json_first(r); v != NULL; v = v->next)
            v->key = tw_str_is(v->key, "ours") ? TW_STR("theirs") : TW_STR("ours");
}

/* The same conflicts in the same notes, sides changed; and notes without one are the same altogether. */
static void assert_mirrored(const tw_json *there, tw_json *back)
{
    const tw_json *a = tw_json_first(tw_json_get(there, "notes"));
    tw_json *b = tw_json_first(tw_json_get(back, "notes"));
    for (; a != NULL && b != NULL; a = a->next, b = b->next) {
        tw_json *cb = tw_json_get(b, "conflict");
        swap_sides(cb);
        const tw_json *ca = tw_json_get(a, "conflict");
        assert_true((ca == NULL) == (cb == NULL));
        assert_true(ca == NULL || tw_json_same(ca, cb));
        assert_true(ca != NULL || tw_json_same(a, b));
    }
    assert_true(a == NULL && b == NULL);
}

/* Read from its text, where "keys" may be kept as text. */
static tw_json *from_text(tw_arena *arena, tw_json *plan, const char *fold)
{
    const tw_json_options options = {.fold = fold};
    tw_json_doc doc = {.root = NULL};
    tw_diags *diags = tw_diags_new(arena);
    assert_int_equal(tw_json_read(arena, plan_text(arena, plan), TW_STR("p"), &options, diags, &doc), TW_OK);
    return doc.root;
}

static void assert_folding_changes_nothing(tw_arena *arena, tw_json *const plans[3])
{
    tw_json *plain[3], *folded[3];
    for (int i = 0; i < 3; i++) {
        plain[i] = from_text(arena, plans[i], NULL);
        folded[i] = from_text(arena, plans[i], TW_PLAN_FOLD);
    }
    tw_str expected = plan_text(arena, merged(arena, plain[0], plain[1], plain[2], NULL));
    tw_str all = plan_text(arena, merged(arena, folded[0], folded[1], folded[2], NULL));
    tw_str one = plan_text(arena, merged(arena, plain[0], folded[1], plain[2], NULL));
    tw_assert_text(all, tw_arena_dupz(arena, expected));
    tw_assert_text(one, tw_arena_dupz(arena, expected));
    tw_plan_change *changes;
    size_t count = tw_recut_compare_plans(arena, plain[1], plain[2], &changes);
    assert_int_equal(tw_recut_compare_plans(arena, folded[1], folded[2], &changes), count);
}

static void laws(void **state)
{
    making m = {.rng = {66}};
    size_t triples = 0, with_conflicts = 0;
    while (triples < 2000) {
        m.arena = tw_arena_like(tw_test_arena(state));
        tw_arena *arena = m.arena;
        tw_json *b = random_plan(&m), *x = changed_plan(&m, b), *y = changed_plan(&m, b);
        if (fit(x) && fit(y)) {
            size_t there, back;
            tw_row(triples, "random triple");
            assert_same_tree(arena, merged(arena, b, x, b, NULL), x);
            assert_same_tree(arena, merged(arena, b, b, x, NULL), x);
            assert_same_tree(arena, merged(arena, b, x, x, NULL), x);
            tw_json *r = merged(arena, b, x, y, &there);
            assert_same_tree(arena, merged(arena, b, r, x, NULL), r);
            assert_same_tree(arena, merged(arena, b, r, y, NULL), r);
            assert_same_tree(arena, merged(arena, r, r, r, NULL), r);
            if (triples % 8 == 0)
                assert_folding_changes_nothing(arena, (tw_json *const[3]){b, x, y});
            assert_notes_kept(b, x, r);
            assert_notes_kept(b, y, r);
            tw_json *s = merged(arena, b, y, x, &back);
            assert_int_equal(there, back);
            assert_mirrored(r, s);
            with_conflicts += there > 0;
            triples++;
        }
        tw_arena_free(&m.arena);
    }
    assert_in_range(with_conflicts, 200, 1800); /* both kinds are tried */
}

/* ---- against git ----------------------------------------------------------------------------------------- */

static void save(const char *folder, const char *name, tw_str text)
{
    char path[256];
    snprintf(path, sizeof path, "%s/%s", folder, name);
    FILE *f = fopen(path, "wb");
    assert_non_null(f);
    assert_int_equal(fwrite(text.at, 1, text.len, f), text.len);
    fclose(f);
}

static tw_str git_merge(tw_arena *arena, const char *folder, int *code)
{
    tw_str command = tw_arena_printf(arena, "cd %s && git merge-file -p -q ours base theirs 2>/dev/null", folder);
    FILE *f = popen(command.at, "r");
    assert_non_null(f);
    tw_buf out = {.arena = arena};
    char block[4096];
    for (size_t n; (n = fread(block, 1, sizeof block, f)) > 0;)
        tw_buf_add(&out, (tw_str){block, n});
    *code = pclose(f);
    return tw_buf_str(&out);
}

/* Where the changed lines do not touch git merges the texts by itself: the result must be the same to the byte. */
static void as_git_does(void **state)
{
    char folder[] = "/tmp/tallwide-merge-XXXXXX";
    if (system("git --version >/dev/null 2>&1") != 0)
        skip();
    assert_non_null(mkdtemp(folder));
    making m = {.rng = {77}};
    size_t compared = 0;
    for (int k = 0; k < 150; k++) {
        m.arena = tw_arena_like(tw_test_arena(state));
        tw_json *b = random_plan(&m), *notes = tw_json_get(b, "notes");
        for (int64_t i = 0; i < 6; i++)
            tw_json_append(notes, random_note(&m, 50 + i));
        tw_json *x = tw_json_copy(m.arena, b), *y = tw_json_copy(m.arena, b);
        tw_json *first = tw_json_first(tw_json_get(x, "notes")), *last = tw_json_get(y, "notes")->in.last;
        tw_json_set(m.arena, first, "say", text_value(&m, "our words %d", k));
        tw_json_set(m.arena, any_of(&m, tw_json_get(last, "regions")), "keys", random_keys(&m));
        save(folder, "base", plan_text(m.arena, b));
        save(folder, "ours", plan_text(m.arena, x));
        save(folder, "theirs", plan_text(m.arena, y));
        int code;
        tw_str git = git_merge(m.arena, folder, &code);
        tw_row((size_t)k, "merge of texts");
        if (code == 0) {
            tw_assert_text(plan_text(m.arena, merged(m.arena, b, x, y, NULL)), tw_arena_dupz(m.arena, git));
            compared++;
        }
        tw_arena_free(&m.arena);
    }
    assert_true(compared > 100);
    assert_int_equal(system(tw_arena_printf(tw_test_arena(state), "rm -r %s", folder).at), 0);
}

TW_SUITE(merge)
{
    const struct CMUnitTest tests[] = {
        TW_TEST(single_cases),
        TW_TEST(conflicts_are_told),
        TW_TEST(laws),
        TW_TEST(as_git_does),
    };
    return tw_run("recut/merge", tests);
}
