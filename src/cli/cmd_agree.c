/* SPDX-License-Identifier: Apache-2.0
 *
 * Writes down in notes that the framings they lead to are agreed on.
 */
#include "cmd.h"
#include "project.h"

static void say_agreed(cli *app, const tw_note *note)
{
    tw_buf *out = &app->out;
    tw_buf_add_shown(out, note->id);
    tw_buf_addz(out, ": agreed on");
    if (tw_str_is(note->state, "agreed")) {
        const tw_str by = tw_recut_agreed_by(note);
        tw_buf_addz(out, by.len > 0 ? "; it was before, by " : "; it was before");
        tw_buf_add_shown(out, by);
    }
    tw_buf_addc(out, '\n');
}

/* What notes lead to, note by note. */
typedef struct led {
    tw_note_use *at;
    size_t count;
} led;

typedef struct agreeing {
    cli *app;
    const project *p;
    const tw_derived *derived;
    led *led;        /* by delivery */
    tw_json **notes; /* objects of the plan being written, by index of the plan's notes */
} agreeing;

static int by_note(const void *a, const void *b)
{
    const tw_note_use *x = a, *y = b;
    return tw_then(TW_CMP(x->note, y->note), TW_CMP(x->item->index, y->item->index));
}

static void prepare(agreeing *a, const tw_json *root)
{
    tw_arena *arena = a->app->arena;
    a->led = TW_NEW_N(arena, led, a->derived->delivery_count);
    for (size_t i = 0; i < a->derived->delivery_count; i++) {
        led *l = &a->led[i];
        l->count = note_uses(arena, &a->derived->deliveries[i], false, &l->at);
        TW_SORT(l->at, l->count, by_note);
    }
    a->notes = TW_NEW_N(arena, tw_json *, a->p->plan->note_count);
    size_t n = 0;
    for (tw_json *json = tw_json_first(tw_json_get(root, "notes")); json != NULL; json = json->next)
        a->notes[n++] = json;
}

/* How many deliveries had a framing to agree on. */
static size_t agree_on(const agreeing *a, const tw_note *note)
{
    size_t agreed = 0;
    for (size_t i = 0; i < a->derived->delivery_count; i++) {
        const led *l = &a->led[i];
        size_t from, to;
        TW_SEARCH(from, l->count, l->at[from].note < note);
        TW_SEARCH(to, l->count, l->at[to].note <= note);
        if (from == to)
            continue;
        tw_recut_agree(a->app->arena, a->p->edit.timeline, a->derived->deliveries[i].delivery->name, l->at + from,
                       to - from, a->notes[note - a->p->plan->notes], tw_str_z(a->app->set.by));
        agreed++;
    }
    if (agreed > 0 && put_may_tell(a->app, a->app->set.out))
        say_agreed(a->app, note);
    return agreed;
}

static exit_code agree_named(const agreeing *a)
{
    const cli *app = a->app;
    for (size_t i = 1; i < app->arg_count; i++) {
        const tw_note *note = tw_plan_note(a->p->plan, tw_str_z(app->args[i]));
        if (note == NULL) {
            say_error("%s has no note \"%s\"", a->p->plan_path, app->args[i]);
            return EXIT_USAGE;
        }
        if (agree_on(a, note) == 0) {
            say_error("no shot uses note %s, so there is no framing to agree on", app->args[i]);
            return EXIT_FINDINGS;
        }
    }
    for (size_t i = 0; app->arg_count == 1 && i < a->p->plan->note_count; i++)
        agree_on(a, &a->p->plan->notes[i]);
    return EXIT_FINE;
}

/* What was agreed on before and is another framing now: it is agreed on anew, and not in silence. */
static void tell_changed(cli *app, const project *p, const tw_derived *derived)
{
    const tw_note **changed;
    app->set.reopen = true;
    if (app->arg_count == 1)
        agreed_broken(app, p, derived, NULL, app->diags, &changed);
    for (size_t i = 1; i < app->arg_count; i++) {
        const tw_note *note = tw_plan_note(p->plan, tw_str_z(app->args[i]));
        if (note != NULL)
            agreed_broken(app, p, derived, note, app->diags, &changed);
    }
}

exit_code cmd_agree(cli *app)
{
    project p;
    tw_derived *derived;
    exit_code code = load_project(app, app->args[0], &p);
    if (code == EXIT_FINE)
        code = solve(app, &p, app->diags, &derived);
    if (code != EXIT_FINE)
        return code;
    tw_json *root = tw_json_copy(app->arena, p.plan->doc.root);
    tell_changed(app, &p, derived);
    agreeing a = {.app = app, .p = &p, .derived = derived};
    prepare(&a, root);
    code = agree_named(&a);
    if (code == EXIT_FINE)
        code = plan_put(app, root, p.plan->doc.bytes, p.plan_path);
    if (code != EXIT_FINE)
        app->out.len = 0; /* nothing is agreed on */
    return code;
}
