/* SPDX-License-Identifier: Apache-2.0
 *
 * What commands that write plans or mind agreed framings share.
 */
#include "cli.h"

#include <string.h>
#include <unistd.h>

unsigned thread_count(const cli *app)
{
    if (app->set.threads > 0)
        return (unsigned)app->set.threads;
    long processors = sysconf(_SC_NPROCESSORS_ONLN);
    return processors > 0 ? (unsigned)processors : 1;
}

static void move_path(cli *app, tw_json *object, const char *member, const char *from, const char *to)
{
    const tw_json *path = tw_json_get(object, member);
    if (!tw_json_is(path, TW_JSON_STRING) || tw_str_starts(path->text, TW_STR("/")))
        return;
    tw_str now = tw_arena_printf(app->arena, "%.*s%.*s", TW_ARG(name_folder(from)), TW_ARG(path->text));
    tw_json_set_text(app->arena, object, member, name_relative(app->arena, to, now.at));
}

static bool ends_in(tw_str s, tw_str end)
{
    return s.len >= end.len && tw_str_eq(tw_str_from(s, s.len - end.len), end);
}

/* Conflicts a merge noted hold values of both sides: paths among them move along. */
static void move_conflicts(cli *app, const tw_json *object, const char *ending, const char *from, const char *to)
{
    const tw_json *all = tw_json_get(object, "conflict");
    for (tw_json *c = all != NULL ? all->child : NULL; c != NULL; c = c->next) {
        if (!ends_in(c->key, tw_str_z(ending)))
            continue;
        move_path(app, c, "ours", from, to);
        move_path(app, c, "theirs", from, to);
    }
}

void plan_move(cli *app, tw_json *root, const char *from, const char *to)
{
    if (to == NULL || strchr(name_relative(app->arena, from, to).at, '/') == NULL)
        return; /* the same folder */
    move_path(app, tw_json_get(root, "edit"), "file", from, to);
    move_conflicts(app, root, "edit/file", from, to);
    const tw_json *sources = tw_json_get(root, "sources"), *notes = tw_json_get(root, "notes");
    for (tw_json *s = sources != NULL ? sources->child : NULL; s != NULL; s = s->next) {
        const tw_json *media = tw_json_get(s, "media");
        for (tw_json *m = media != NULL ? media->child : NULL; m != NULL; m = m->next)
            move_path(app, m, "file", from, to);
    }
    for (tw_json *n = notes != NULL ? notes->child : NULL; n != NULL; n = n->next) {
        const tw_json *regions = tw_json_get(n, "regions");
        move_path(app, n, "movement", from, to);
        for (tw_json *g = regions != NULL ? regions->child : NULL; g != NULL; g = g->next)
            move_path(app, g, "track", from, to);
        move_conflicts(app, n, "/track", from, to);
        move_conflicts(app, n, "movement", from, to);
    }
}

size_t note_uses(cli *app, const tw_derived_delivery *d, const tw_note *only, tw_note_use **out)
{
    size_t count = 0, cap = 0;
    *out = NULL;
    for (size_t s = 0; s < d->shot_count; s++) {
        const tw_decision *shot = &d->shots[s];
        tw_item *framed = NULL;
        for (size_t n = 0; shot->framing != NULL && n < shot->note_count; n++) {
            if (only != NULL && shot->notes[n] != only)
                continue;
            if (framed == NULL) {
                framed = TW_NEW(app->arena, tw_item);
                *framed = *shot->clip;
                framed->framing = shot->framing;
            }
            *out = tw_arena_grow(app->arena, *out, count, &cap, sizeof **out);
            (*out)[count++] = (tw_note_use){shot->notes[n], framed};
        }
    }
    return count;
}

static void tell_broken(cli *app, const project *p, const tw_agreed *b)
{
    const tw_place place = tw_json_place(&p->plan->doc, tw_json_get(b->note->json, "id"));
    const tw_timeline *t = p->edit.timeline;
    if (b->item == NULL) {
        tw_diag_add(app->diags, 1807, &place, "note %.*s is agreed, but not on any framing in \"%.*s\"",
                    TW_ARG(b->note->id), TW_ARG(b->delivery));
        return;
    }
    tw_buf at = {.arena = app->arena};
    tw_tc_add(tw_item_record_in(t, b->item), t->rate, t->drop, &at);
    tw_diag_add(app->diags, app->set.reopen ? 1809 : 1806, &place,
                "note %.*s: the framing of %.*s at %.*s in \"%.*s\" is not the one agreed on%s%.*s",
                TW_ARG(b->note->id), TW_ARG(tw_item_source_name(b->item)), TW_ARG(tw_buf_str(&at)), TW_ARG(b->delivery),
                b->by.len > 0 ? " by " : "", TW_ARG(b->by));
}

size_t agreed_broken(cli *app, const project *p, const tw_derived *derived, const tw_note ***reopened)
{
    size_t count = 0, cap = 0;
    *reopened = NULL;
    for (size_t i = 0; i < derived->delivery_count; i++) {
        const tw_derived_delivery *d = &derived->deliveries[i];
        tw_note_use *uses;
        tw_agreed *broken;
        size_t use_count = note_uses(app, d, NULL, &uses);
        size_t found = tw_recut_broken(app->arena, p->edit.timeline, d->delivery->name, uses, use_count, &broken);
        for (size_t b = 0; b < found; b++) {
            tell_broken(app, p, &broken[b]);
            if (broken[b].item == NULL)
                continue;
            *reopened = (const tw_note **)tw_arena_grow(app->arena, (void *)*reopened, count, &cap, sizeof **reopened);
            (*reopened)[count++] = broken[b].note;
        }
    }
    return count;
}

exit_code agreed_refused(void)
{
    say_error("nothing was written: agreed framings would change; --reopen lets them");
    return EXIT_FINDINGS;
}

void unused_notes(const tw_derived *derived, tw_buf *out)
{
    tw_buf names = {.arena = out->arena};
    for (size_t i = 0; i < derived->plan->note_count; i++)
        if (!derived->note_used[i])
            tw_buf_addf(&names, "%s%.*s", names.len == 0 ? "" : ", ", TW_ARG(derived->plan->notes[i].id));
    if (names.len == 0)
        return;
    tw_buf_addz(out, "\nnotes no shot uses, kept: ");
    say_wrapped(tw_buf_str(&names), 26, say_width(), out);
    tw_buf_addc(out, '\n');
}

/* Of several notes the worst counts, with the names of all who agreed on such. */
static void add_agreed(cli *app, tw_sheet_agreed *shot, tw_sheet_agreement state, tw_str by)
{
    if (state < shot->state)
        return;
    if (state > shot->state)
        *shot = (tw_sheet_agreed){.state = state, .by = by};
    else if (shot->by.len == 0)
        shot->by = by;
    else if (by.len > 0 && !tw_str_eq(by, shot->by))
        shot->by = tw_arena_printf(app->arena, "%.*s, %.*s", TW_ARG(shot->by), TW_ARG(by));
}

static tw_sheet_agreed *agreed_in(cli *app, const tw_timeline *master, const tw_derived_delivery *d)
{
    tw_sheet_agreed *shots = TW_NEW_N(app->arena, tw_sheet_agreed, d->shot_count);
    tw_note_use *uses;
    size_t use_count = note_uses(app, d, NULL, &uses);
    for (size_t u = 0, shot = 0; u < use_count; u++) {
        tw_agreed *broken;
        while (d->shots[shot].clip->index != uses[u].item->index)
            shot++; /* uses are in the order of shots */
        if (!tw_str_is(uses[u].note->state, "agreed"))
            continue;
        bool changes = tw_recut_broken(app->arena, master, d->delivery->name, &uses[u], 1, &broken) > 0;
        if (!changes || broken->item != NULL)
            add_agreed(app, &shots[shot], changes ? TW_SHEET_WOULD_CHANGE : TW_SHEET_AGREED,
                       tw_recut_agreed_by(uses[u].note));
    }
    return shots;
}

const tw_sheet_agreed *const *agreed_shots(cli *app, const project *p, const tw_derived *derived)
{
    tw_sheet_agreed **all = TW_NEW_N(app->arena, tw_sheet_agreed *, derived->delivery_count);
    for (size_t i = 0; i < derived->delivery_count; i++)
        all[i] = agreed_in(app, p->edit.timeline, &derived->deliveries[i]);
    return (const tw_sheet_agreed *const *)all;
}
