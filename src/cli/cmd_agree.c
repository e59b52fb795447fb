/* SPDX-License-Identifier: Apache-2.0
 *
 * Writes down in notes that the framings they lead to are agreed on.
 */
#include "cmd.h"
#include "project.h"

static void say_agreed(cli *app, const tw_note *note)
{
    tw_buf_addf(&app->out, "%.*s: agreed on", TW_ARG(note->id));
    if (tw_str_is(note->state, "agreed")) {
        const tw_str by = tw_recut_agreed_by(note);
        tw_buf_addf(&app->out, "; it was before%s%.*s", by.len > 0 ? ", by " : "", TW_ARG(by));
    }
    tw_buf_addc(&app->out, '\n');
}

/* How many deliveries had a framing to agree on. */
static size_t agree_on(cli *app, const project *p, const tw_derived *derived, const tw_note *note, tw_json *root)
{
    size_t agreed = 0;
    for (size_t i = 0; i < derived->delivery_count; i++) {
        const tw_derived_delivery *d = &derived->deliveries[i];
        tw_note_use *uses;
        size_t count = note_uses(app->arena, d, note, &uses);
        if (count == 0)
            continue;
        tw_recut_agree(app->arena, p->edit.timeline, d->delivery->name, uses, count, tw_plan_note_json(root, note->id),
                       tw_str_z(app->set.by));
        agreed++;
    }
    if (agreed > 0 && put_may_tell(app, app->set.out))
        say_agreed(app, note);
    return agreed;
}

static exit_code agree_named(cli *app, const project *p, const tw_derived *derived, tw_json *root)
{
    for (size_t i = 1; i < app->arg_count; i++) {
        const tw_note *note = tw_plan_note(p->plan, tw_str_z(app->args[i]));
        if (note == NULL) {
            say_error("%s has no note \"%s\"", p->plan_path, app->args[i]);
            return EXIT_USAGE;
        }
        if (agree_on(app, p, derived, note, root) == 0) {
            say_error("no shot uses note %s, so there is no framing to agree on", app->args[i]);
            return EXIT_FINDINGS;
        }
    }
    for (size_t i = 0; app->arg_count == 1 && i < p->plan->note_count; i++)
        agree_on(app, p, derived, &p->plan->notes[i], root);
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
    code = agree_named(app, &p, derived, root);
    if (code == EXIT_FINE)
        code = plan_put(app, root, p.plan->doc.bytes, p.plan_path);
    if (code != EXIT_FINE)
        app->out.len = 0; /* nothing is agreed on */
    return code;
}
