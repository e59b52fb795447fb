/* SPDX-License-Identifier: Apache-2.0
 *
 * Takes windows changed in derived timelines back into notes.
 */
#include "cmd.h"
#include "project.h"

typedef struct adopting {
    project p;
    tw_derived *derived;
    tw_json *root;
    loaded *changed;
    size_t count;
    bool again;          /* after the first round */
    struct taken *notes; /* whose windows were taken, and from which file */
    size_t note_count, note_cap;
    size_t taken, left; /* windows; things a person must see to */
} adopting;

typedef struct taken {
    tw_str id;
    const loaded *from;
} taken;

#define MOST_ROUNDS 4

/* ---- which delivery -------------------------------------------------------------------------------------- */

static bool find_framing(void *context, const tw_track *track, const tw_item *item)
{
    const tw_framing **first = context;
    (void)track;
    *first = item->framing;
    return *first == NULL;
}

static tw_size size_of(const tw_timeline *t)
{
    const tw_framing *first = NULL;
    if (t->stamp != NULL)
        return t->stamp->size;
    tw_timeline_walk(t, find_framing, (void *)&first);
    return first != NULL ? first->delivery : (tw_size){0, 0};
}

/* By its stamp, by --only, or by a size that only one delivery has. SIZE_MAX when it cannot be told. */
static size_t find_delivery(cli *app, const tw_derived *derived, const tw_timeline *t)
{
    tw_str name = app->set.only != NULL ? tw_str_z(app->set.only) : t->stamp != NULL ? t->stamp->delivery : TW_STR("");
    tw_size size = size_of(t);
    size_t found = SIZE_MAX, same_size = 0;
    for (size_t i = 0; i < derived->delivery_count; i++) {
        const tw_delivery *d = derived->deliveries[i].delivery;
        if (name.len > 0 && tw_str_eq(d->name, name))
            return i;
        if (name.len == 0 && d->size.w == size.w && d->size.h == size.h) {
            found = i;
            same_size++;
        }
    }
    return same_size == 1 ? found : SIZE_MAX;
}

/* What the file says of itself is not overruled by --only; a delivery may have got another name since. */
static bool contradicts(const tw_derived *derived, const tw_timeline *t, const tw_delivery *wanted)
{
    const tw_size size = size_of(t);
    if (size.w > 0 && (size.w != wanted->size.w || size.h != wanted->size.h))
        return true;
    for (size_t i = 0; t->stamp != NULL && i < derived->delivery_count; i++) {
        const tw_delivery *d = derived->deliveries[i].delivery;
        if (d != wanted && tw_str_eq(d->name, t->stamp->delivery))
            return true;
    }
    return false;
}

static size_t delivery_of(cli *app, const tw_derived *derived, const loaded *edit)
{
    const tw_timeline *t = edit->timeline;
    size_t found = find_delivery(app, derived, t);
    if (found == SIZE_MAX) {
        tw_diag_add(app->diags, 1808, TW_IN(tw_str_z(edit->path)),
                    "it cannot be told which delivery of the plan this is");
    } else if (contradicts(derived, t, derived->deliveries[found].delivery)) {
        const tw_delivery *d = derived->deliveries[found].delivery;
        const tw_size size = size_of(t);
        const tw_str name = t->stamp != NULL ? t->stamp->delivery : TW_STR("one without a name");
        tw_diag_add(app->diags, 1808, TW_IN(tw_str_z(edit->path)),
                    "it says that it is delivery \"%.*s\" of %dx%d, and \"%.*s\" is another, of %dx%d", TW_ARG(name),
                    size.w, size.h, TW_ARG(d->name), d->size.w, d->size.h);
        found = SIZE_MAX;
    }
    return found;
}

/* ---- one timeline ---------------------------------------------------------------------------------------- */

/* The solved timeline as the changed file's format carries it: of several files the one most like the changed one. */
static exit_code read_written(cli *app, const tw_timeline *solved, const tw_timeline *changed, tw_timeline **out)
{
    const tw_write_options write = {.crlf = false};
    const tw_read_options read = tw_timeline_reading(solved);
    int64_t least = INT64_MAX;
    for (size_t part = 0; part < changed->format->parts(solved); part++) {
        tw_buf text = {.arena = app->arena};
        tw_diags *unseen = tw_diags_new(app->arena);
        tw_timeline *t;
        tw_status status = changed->format->write(app->arena, solved, part, &write, unseen, &text);
        if (status == TW_OK)
            status = changed->format->read(app->arena, tw_buf_str(&text), solved->file, &read, unseen, &t);
        if (status != TW_OK)
            return EXIT_FAULT;
        int64_t cost = tw_recut_align(app->arena, t, changed)->cost;
        if (cost < least) {
            least = cost;
            *out = t;
        }
    }
    return EXIT_FINE;
}

/* Its number among the shots, where the edit has none of its own. */
static size_t number_of(const tw_derived_delivery *d, const tw_item *clip)
{
    size_t s = 0;
    while (s < d->shot_count && d->shots[s].clip->index != clip->index)
        s++;
    return s < d->shot_count ? s + 1 : 0;
}

static void say_windows(cli *app, const adopting *a, const tw_derived_delivery *d, const char *path,
                        const tw_adopted *adopted)
{
    const tw_timeline *t = a->derived->master;
    const bool again = a->again;
    if (!put_may_tell(app, app->set.out) || (again && adopted->window_count == 0))
        return;
    tw_buf_addf(&app->out, "%s: %zu window%s %s\n", path, adopted->window_count, TW_PLURAL(adopted->window_count),
                again ? "beside them kept as they were" : "taken over");
    for (size_t i = 0; i < adopted->window_count; i++) {
        const tw_adopted_window *w = &adopted->windows[i];
        tw_buf_addz(&app->out, "  ");
        say_event(w->item->event, number_of(d, w->item), &app->out);
        tw_buf_addc(&app->out, ' ');
        tw_tc_add(w->record, t->rate, t->drop, &app->out);
        tw_buf_addc(&app->out, ' ');
        say_field(tw_item_source_name(w->item), 16, &app->out);
        tw_buf_addz(&app->out, " up to ");
        tw_buf_add_fixed(&app->out, w->px, 1);
        tw_buf_addf(&app->out, " px elsewhere: %s %.*s\n", w->updated ? "note changed," : "new note", TW_ARG(w->id));
    }
}

static exit_code load_timelines(cli *app, adopting *a)
{
    tw_read_options options = tw_timeline_reading(a->p.edit.timeline);
    if (tw_rate_known(app->set.rate)) {
        options.rate = app->set.rate;
        options.drop = app->set.drop;
    }
    a->count = app->arg_count - 1;
    a->changed = TW_NEW_N(app->arena, loaded, a->count);
    for (size_t i = 0; i < a->count; i++) {
        exit_code code = load_edit(app, app->args[i + 1], &options, &a->changed[i]);
        if (code != EXIT_FINE)
            return code;
    }
    return EXIT_FINE;
}

/* Notes that a file gave their window keep it, whatever the other files of the delivery still show there. */
static const tw_str *settled_elsewhere(cli *app, const adopting *a, const loaded *edit, size_t *count)
{
    tw_str *ids = TW_NEW_N(app->arena, tw_str, a->note_count);
    *count = 0;
    for (size_t i = 0; i < a->note_count; i++)
        if (a->notes[i].from != edit)
            ids[(*count)++] = a->notes[i].id;
    return ids;
}

static exit_code adopt_timeline(cli *app, adopting *a, const loaded *edit)
{
    size_t index = delivery_of(app, a->derived, edit);
    if (index == SIZE_MAX)
        return EXIT_INPUT;
    tw_timeline *solved = tw_derive_timeline(app->arena, a->derived, index, a->p.edit.hash);
    tw_timeline *written = solved;
    exit_code code = read_written(app, solved, edit->timeline, &written);
    if (code != EXIT_FINE)
        return code;
    size_t settled_count;
    const tw_str *settled = settled_elsewhere(app, a, edit, &settled_count);
    const tw_adopt_job job = {
        .plan = a->p.plan,
        .solved = solved,
        .written = written,
        .changed = edit->timeline,
        .delivery = a->derived->deliveries[index].delivery->name,
        .by = tw_str_z(app->set.by),
        .say = a->again ? TW_STR("kept as it was when windows beside it were taken over") : tw_str_z(app->set.say),
        .again = a->again,
        .settled = settled,
        .settled_count = settled_count,
    };
    tw_adopted adopted;
    tw_recut_adopt(app->arena, &job, a->root, app->diags, &adopted);
    for (size_t i = 0; i < adopted.window_count; i++)
        TW_PUSH(app->arena, a->notes, a->note_count, a->note_cap) = (taken){adopted.windows[i].id, edit};
    say_windows(app, a, &a->derived->deliveries[index], edit->path, &adopted);
    a->taken += adopted.window_count;
    a->left += a->again ? 0 : adopted.refused + adopted.cuts + adopted.shared;
    return EXIT_FINE;
}

/* ---- the command ----------------------------------------------------------------------------------------- */

static exit_code adopt_round(cli *app, adopting *a)
{
    exit_code code = solve(app, &a->p, app->diags, &a->derived);
    if (code != EXIT_FINE)
        return code;
    a->root = tw_json_copy(app->arena, a->p.plan->doc.root);
    for (size_t i = 0; code == EXIT_FINE && i < a->count; i++)
        code = adopt_timeline(app, a, &a->changed[i]);
    return code;
}

/* A hand window may move its neighbours: through-edits are solved as one, and cuts back to a set-up share a framing.
 * So the new plan is solved, and what comes out otherwise than in the changed timelines is written down as well. */
static exit_code adopt_neighbours(cli *app, adopting *a)
{
    tw_diags *told = app->diags;
    exit_code code = EXIT_FINE;
    a->again = true;
    app->diags = tw_diags_new(app->arena); /* the first round has told all there is */
    bool at_rest = false;
    for (int round = 0; round < MOST_ROUNDS && code == EXIT_FINE && !at_rest; round++) {
        const tw_json *before = a->root;
        code = load_project_text(app, a->p.plan_path, plan_text(app, a->root, a->p.plan->doc.bytes), NULL, GIVEN_FIRST,
                                 &a->p);
        if (code == EXIT_FINE)
            code = adopt_round(app, a);
        at_rest = code == EXIT_FINE && tw_json_same(before, a->root);
    }
    tw_diags_pass(app->diags, TW_ERROR, told);
    app->diags = told;
    if (code == EXIT_FINE && !at_rest) {
        a->left++;
        tw_diag_add(app->diags, 1804, TW_IN(a->p.plan->file),
                    "windows beside those taken over still changed after %d rounds: fork and compare", MOST_ROUNDS);
    }
    return code;
}

exit_code cmd_adopt(cli *app)
{
    adopting a = {.taken = 0};
    exit_code code = load_project(app, app->args[0], &a.p);
    if (code == EXIT_FINE)
        code = load_timelines(app, &a);
    if (code == EXIT_FINE)
        code = adopt_round(app, &a);
    if (code == EXIT_FINE && a.taken > 0)
        code = adopt_neighbours(app, &a);
    if (code == EXIT_FINE)
        code = plan_put(app, a.root, a.p.plan->doc.bytes, a.p.plan_path);
    if (code != EXIT_FINE)
        app->out.len = 0; /* nothing is taken over */
    if (app->set.json && code == EXIT_FINE && !put_is_stdout(app->set.out)) {
        tw_buf_addf(&app->out, "{\"ok\": %s, \"windows\": %zu, \"left\": %zu", a.left == 0 ? "true" : "false", a.taken,
                    a.left);
        tw_diag_json_end(app->diags, &app->out);
        app->told = true;
    }
    return code == EXIT_FINE && a.left > 0 ? EXIT_FINDINGS : code;
}
