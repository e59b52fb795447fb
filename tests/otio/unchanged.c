/* SPDX-License-Identifier: Apache-2.0 */
#include "otio/unchanged.h"

#include "otio/otio_internal.h"

#define MANY 1000 /* members past which another order is compared by sorting */

/* Master and derived document are walked side by side; what this tool adds is passed over on both sides. Members may
 * stand in any order, for a pass through the reference library sorts them. */

typedef struct comparing {
    tw_arena *arena;
    const tw_json_doc *derived;
    const char *first; /* difference; NULL: none so far */
} comparing;

static void differ(comparing *c, const tw_json *at, const char *what, const tw_json *wanted)
{
    if (c->first != NULL)
        return;
    const tw_place place = tw_json_place(c->derived, at);
    c->first = tw_arena_printf(c->arena, "%u:%u %s%s", place.line, place.column, what,
                               wanted != NULL ? twi_otio_what(c->arena, wanted) : "")
                   .at;
}

static void compare(comparing *c, const tw_json *a, const tw_json *b);

/* ---- lists ----------------------------------------------------------------------------------------------- */

static const tw_json *past_own(const tw_json *effect)
{
    while (effect != NULL && tw_str_is(twi_otio_text(effect, "effect_name"), TWI_OTIO_WINDOW))
        effect = effect->next;
    return effect;
}

static void compare_lists(comparing *c, const tw_json *a, const tw_json *b, bool effects)
{
    const tw_json *list = b;
    a = effects ? past_own(tw_json_first(a)) : tw_json_first(a);
    b = effects ? past_own(tw_json_first(b)) : tw_json_first(b);
    while (a != NULL && b != NULL) {
        compare(c, a, b);
        a = effects ? past_own(a->next) : a->next;
        b = effects ? past_own(b->next) : b->next;
    }
    if (a != NULL)
        differ(c, list, "the list lacks ", a);
    if (b != NULL)
        differ(c, b, "the master's list ends before this", NULL);
}

/* ---- the stamp ------------------------------------------------------------------------------------------- */

static bool of_stamp(tw_str name)
{
    static const char *const names[] = {"delivery", "master", "plan", "size", "version"};
    for (size_t i = 0; i < sizeof names / sizeof names[0]; i++)
        if (tw_str_is(name, names[i]))
            return true;
    return false;
}

static bool stamped(const tw_json *object)
{
    return tw_json_get(twi_otio_space(object), "delivery") != NULL;
}

/* Nothing but the stamp's members? */
static bool only_stamp(const tw_json *space)
{
    for (const tw_json *m = tw_json_is(space, TW_JSON_OBJECT) ? tw_json_first(space) : NULL; m != NULL; m = m->next)
        if (!of_stamp(m->key))
            return false;
    return tw_json_is(space, TW_JSON_OBJECT);
}

/* ---- objects --------------------------------------------------------------------------------------------- */

/* What the members of an object mean for the comparison. */
typedef enum scope { PLAIN, TIMELINE, TIMELINE_METADATA, TIMELINE_SPACE } scope;

static void compare_members(comparing *c, const tw_json *a, const tw_json *b, scope in);

static bool ours_alone(const tw_json *m, scope in)
{
    if (tw_str_is(m->key, "effects"))
        return tw_json_is(m, TW_JSON_ARRAY) && m->count > 0 && past_own(tw_json_first(m)) == NULL;
    if (in == TIMELINE)
        return tw_str_is(m->key, "name") ||
               (tw_str_is(m->key, "metadata") && m->count == 1 && only_stamp(tw_json_get(m, TWI_OTIO_SPACE)));
    if (in == TIMELINE_METADATA)
        return tw_str_is(m->key, TWI_OTIO_SPACE) && only_stamp(m);
    return in == TIMELINE_SPACE && of_stamp(m->key);
}

static void compare_member(comparing *c, const tw_json *a, const tw_json *b, scope in)
{
    bool objects = tw_json_is(a, TW_JSON_OBJECT) && tw_json_is(b, TW_JSON_OBJECT);
    if (in == TIMELINE && tw_str_is(a->key, "name"))
        return; /* by compare_names */
    if (in == TIMELINE_SPACE && of_stamp(a->key))
        return;
    if (objects && in == TIMELINE && tw_str_is(a->key, "metadata"))
        compare_members(c, a, b, TIMELINE_METADATA);
    else if (objects && in == TIMELINE_METADATA && tw_str_is(a->key, TWI_OTIO_SPACE))
        compare_members(c, a, b, TIMELINE_SPACE);
    else if (tw_json_is(a, TW_JSON_ARRAY) && tw_json_is(b, TW_JSON_ARRAY))
        compare_lists(c, a, b, tw_str_is(a->key, "effects"));
    else
        compare(c, a, b);
}

/* The member of that name, looked for first where the order of the other side puts it. */
static const tw_json *member_at(const tw_json *object, const tw_json *hint, tw_str name)
{
    return hint != NULL && tw_str_eq(hint->key, name) ? hint : tw_json_get_str(object, name);
}

static void compare_members(comparing *c, const tw_json *a, const tw_json *b, scope in)
{
    if (in == PLAIN && a->count > MANY) {
        if (!tw_json_same(a, b))
            differ(c, b, "something in here is not as in the master", NULL);
        return;
    }
    const tw_json *hint = tw_json_first(b);
    for (const tw_json *m = tw_json_first(a); m != NULL; m = m->next) {
        const tw_json *other = member_at(b, hint, m->key);
        if (other != NULL)
            compare_member(c, m, other, in);
        else if (!ours_alone(m, in))
            differ(c, b, tw_arena_printf(c->arena, "\"%.*s\" of the master is missing", TW_ARG(m->key)).at, NULL);
        hint = other != NULL ? other->next : hint;
    }
    hint = tw_json_first(a);
    for (const tw_json *m = tw_json_first(b); m != NULL; m = m->next) {
        const tw_json *other = member_at(a, hint, m->key);
        if (other == NULL && !ours_alone(m, in))
            differ(c, m, tw_arena_printf(c->arena, "\"%.*s\" is not in the master", TW_ARG(m->key)).at, NULL);
        hint = other != NULL ? other->next : hint;
    }
}

static void compare_names(comparing *c, const tw_json *a, const tw_json *b)
{
    if (!tw_str_eq(twi_otio_bare_name(a), twi_otio_bare_name(b)))
        differ(c, tw_json_get(b, "name"), "the name is neither the master's nor made from it: the master has ",
               tw_json_get(a, "name"));
}

/* ---- any value ------------------------------------------------------------------------------------------- */

/* Depth is that of the files. */
static void compare(comparing *c, const tw_json *a, const tw_json *b)
{
    if (a->kind != b->kind || !tw_str_eq(tw_json_text(a), tw_json_text(b))) {
        differ(c, b, "the master has ", a);
        return;
    }
    if (a->kind == TW_JSON_ARRAY)
        compare_lists(c, a, b, false);
    if (a->kind != TW_JSON_OBJECT)
        return;
    bool top = stamped(b);
    if (top)
        compare_names(c, a, b);
    compare_members(c, a, b, top ? TIMELINE : PLAIN);
}

const char *otio_difference(tw_arena *arena, tw_str master, tw_str derived)
{
    tw_diags *diags = tw_diags_new(arena);
    twi_otio a = {.arena = arena, .scratch = arena, .diags = diags}, b = a;
    if (twi_otio_open(&a, master, TW_STR("master")) != TW_OK || twi_otio_open(&b, derived, TW_STR("derived")) != TW_OK)
        return "not to be read";
    comparing c = {arena, &b.doc, NULL};
    compare(&c, a.doc.root, b.doc.root);
    return c.first;
}
