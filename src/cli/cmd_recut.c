/* SPDX-License-Identifier: Apache-2.0
 *
 * A plan on a new cut of its edit: what is framed as before, what is not, and what nobody has looked at.
 */
#define _POSIX_C_SOURCE 200809L
#include "cmd.h"
#include "outputs.h"

#include <unistd.h>

/* What became of the shots of a delivery. */
typedef struct tally {
    size_t same, anew, never, open_ends;
    size_t untold; /* never framed or with open ends, and as they were before the cut */
    double worst_px;
} tally;

typedef struct recutting {
    project before, after;
    tw_arena *past; /* of `before` and `was` */
    tw_derived *was, *now;
    tw_diags *solving;     /* findings of solving the new plan, not told yet */
    const char *plan_path; /* of the new plan */
    outputs files;
    proved *proofs;
    tw_buf lines;                       /* shots that need eyes, and with -v all */
    tw_buf tallies;                     /* the same, counted, in JSON */
    const tw_derived_delivery *telling; /* the delivery that is being told */
    tally now_in;                       /* what became of its shots */
    size_t agreed;
} recutting;

/* ---- the new plan ---------------------------------------------------------------------------------------- */

static void set_rate(cli *app, tw_json *edit, tw_rate rate, bool drop)
{
    tw_buf text = {.arena = app->arena};
    const tw_json *flag = tw_json_get(edit, "drop");
    tw_rate_write(rate, &text);
    tw_json_set_text(app->arena, edit, "rate", tw_buf_str(&text));
    if (drop)
        tw_json_set(app->arena, edit, "drop", tw_json_new_bool(app->arena, true));
    else if (tw_json_is(flag, TW_JSON_TRUE)) /* that it drops none may still be said */
        tw_json_remove(edit, flag);
}

/* The new edit is read by the rate that is given, and so it must be whenever the plan is. Where the edit states none it
 * is that of the old one. */
static void keep_rate(cli *app, const recutting *r, tw_json *edit)
{
    const tw_plan *plan = r->before.plan;
    const tw_format *format = tw_formats_for_path(tw_str_z(app->args[1]));
    bool given = tw_rate_known(app->set.rate), known = tw_rate_known(plan->rate);
    if (given && (!tw_rate_eq(app->set.rate, plan->rate) || app->set.drop != plan->drop))
        set_rate(app, edit, app->set.rate, app->set.drop);
    else if (!given && !known && (format == NULL || !format->states_rate))
        set_rate(app, edit, r->before.edit.timeline->rate, plan->drop);
}

static void take_edit(cli *app, const recutting *r, tw_json *root)
{
    tw_str file = name_relative(app->arena, r->plan_path, app->args[1]);
    tw_json *edit = tw_json_get(root, "edit");
    plan_move(app, root, r->before.plan_path, r->plan_path);
    tw_json_set_text(app->arena, edit, "file", file);
    if (app->set.timeline != NULL)
        tw_json_set_text(app->arena, edit, "timeline", tw_str_z(app->set.timeline));
    keep_rate(app, r, edit);
}

static exit_code name_plan(const cli *app, recutting *r, tw_arena *arena)
{
    tw_str folder = app->set.out != NULL ? tw_str_z(app->set.out) : r->before.folder;
    r->plan_path = name_beside(arena, folder, app->args[1], TW_STR("plan.json"));
    if (access(r->plan_path, F_OK) != 0)
        return EXIT_FINE;
    say_error("%s is there already, and plans are not written over; name another folder with -o", r->plan_path);
    return EXIT_USAGE;
}

/* ---- what became of each shot ---------------------------------------------------------------------------- */

static const tw_decision *decision_of(const tw_derived_delivery *d, size_t clip_index)
{
    size_t i;
    TW_SEARCH(i, d->shot_count, d->shots[i].clip->index < clip_index);
    return i < d->shot_count && d->shots[i].clip->index == clip_index ? &d->shots[i] : NULL;
}

static void begin_line(recutting *r, const tw_decision *shot, const char *word)
{
    const tw_timeline *t = r->after.edit.timeline;
    tw_buf *out = &r->lines;
    tw_buf_addf(out, "  %-13s", word);
    say_event(shot->clip->event, (size_t)(shot - r->telling->shots) + 1, out);
    tw_buf_addc(out, ' ');
    tw_tc_add(shot->stand->seen.first, t->rate, t->drop, out);
    tw_buf_addz(out, "  ");
    say_field(tw_item_source_name(shot->clip), 14, out);
}

static void tell_never(recutting *r, const tw_decision *shot, bool told)
{
    r->now_in.never++;
    r->now_in.untold += !told;
    if (!told)
        return;
    begin_line(r, shot, "never framed");
    tw_buf_addz(&r->lines, shot->endless                         ? " too long\n"
                           : shot->verdict == TW_VERDICT_UNKNOWN ? " size not known\n"
                                                                 : " no note speaks of it\n");
}

/* Frames at the ends that no note of an otherwise framed shot speaks of. */
static void tell_open_ends(recutting *r, const tw_decision *shot, bool told)
{
    int64_t head, tail;
    if (shot->note_count == 0)
        return;
    const tw_span body = shot->stand->body;
    tw_recut_cover(r->after.edit.timeline, shot->clip, body, shot->notes, shot->note_count, &head, &tail);
    if ((head == 0 && tail == 0) || head == body.end - body.first)
        return;
    r->now_in.open_ends++;
    r->now_in.untold += !told;
    if (!told)
        return;
    begin_line(r, shot, "open end");
    if (head > 0)
        tw_buf_addf(&r->lines, " no note for the first %lld frame%s", (long long)head, TW_PLURAL(head));
    if (tail > 0)
        tw_buf_addf(&r->lines, "%s no note for the last %lld frame%s", head > 0 ? "," : "", (long long)tail,
                    TW_PLURAL(tail));
    tw_buf_addc(&r->lines, '\n');
}

static void tell_anew(recutting *r, const tw_change *c, const tw_decision *shot, bool fresh)
{
    r->now_in.anew++;
    begin_line(r, shot, fresh ? "new" : "solved anew");
    if (!fresh) {
        r->now_in.worst_px = c->window.px > r->now_in.worst_px ? c->window.px : r->now_in.worst_px;
        tw_buf_addz(&r->lines, " within ");
        tw_buf_add_fixed(&r->lines, c->window.px, 1);
        tw_buf_addz(&r->lines, " px of before");
    }
    tw_buf_addf(&r->lines, "%s %.*s\n", fresh ? "" : ",", TW_ARG(shot->why));
}

/* What was not touched by the cut is counted, and told with -v. */
static void tell_shot(cli *app, recutting *r, const tw_change *c, const tw_decision *shot)
{
    bool told = app->set.verbose || c->kind != TW_CHANGE_KEPT || c->window.changed;
    bool fresh = c->kind >= TW_CHANGE_REPLACED || c->window.one_side;
    if (shot->verdict == TW_VERDICT_BLACK)
        return;
    if (shot->verdict == TW_VERDICT_NOT_FRAMED || shot->verdict == TW_VERDICT_UNKNOWN) {
        tell_never(r, shot, told);
        return;
    }
    tell_open_ends(r, shot, told);
    if (fresh || c->window.changed) {
        tell_anew(r, c, shot, fresh);
        return;
    }
    r->now_in.same++;
    if (told) {
        begin_line(r, shot, "as before");
        tw_buf_addz(&r->lines, " the same windows\n");
    }
}

static void tell_delivery(cli *app, recutting *r, size_t index)
{
    tw_arena *models = tw_arena_like(app->arena); /* large, and of one delivery after the other */
    const tw_derived_delivery *d = &r->now->deliveries[index];
    const tw_timeline *was = tw_derive_timeline(models, r->was, index, 0);
    const tw_timeline *now = tw_derive_timeline(models, r->now, index, 0);
    const tw_comparison *c = tw_recut_compare(models, was, now, TW_RECUT_SLACK);
    r->now_in = (tally){.same = 0};
    r->telling = d;
    tw_buf_addf(&r->lines, "\n%.*s %dx%d\n", TW_ARG(d->delivery->name), d->delivery->size.w, d->delivery->size.h);
    for (size_t i = 0; i < c->count; i++) {
        for (size_t n = 0; n < c->changes[i].new_count; n++) {
            const tw_decision *shot = decision_of(d, c->alignment->news[c->changes[i].news[n]].item->index);
            if (shot != NULL)
                tell_shot(app, r, &c->changes[i], shot);
        }
    }
    tw_arena_free(&models);
}

/* ---- reports --------------------------------------------------------------------------------------------- */

static void say_tally(recutting *r, const tally *t)
{
    tw_buf *out = &r->lines;
    tw_buf_addf(out, "  %zu framed as before, %zu solved anew", t->same, t->anew);
    if (t->worst_px > 0) {
        tw_buf_addz(out, " (at most ");
        tw_buf_add_fixed(out, t->worst_px, 1);
        tw_buf_addz(out, " px from before)");
    }
    tw_buf_addf(out, ", %zu never framed, %zu with open ends\n", t->never, t->open_ends);
    if (t->untold > 0)
        tw_buf_addf(out, "  (%zu of those last two were so before the cut: -v lists them)\n", t->untold);
}

static void json_tally(tw_buf *out, tw_str name, const tally *t)
{
    tw_diag_json_next("\n  {", out);
    tw_diag_json_text("name", name, out);
    tw_buf_addf(out, ", \"as_before\": %zu, \"anew\": %zu, \"never_framed\": %zu, \"open_ends\": %zu", t->same, t->anew,
                t->never, t->open_ends);
    tw_diag_json_number("worst_px", t->worst_px, 3, out);
    tw_buf_addc(out, '}');
}

static void json_notes(const recutting *r, tw_buf *out)
{
    tw_buf_addz(out, "], \"unused_notes\": [");
    for (size_t i = 0; i < r->after.plan->note_count; i++) {
        if (r->now->note_used[i])
            continue;
        tw_diag_json_next("", out);
        tw_diag_json_string(r->after.plan->notes[i].id, out);
    }
    tw_buf_addc(out, ']');
}

/* What was done to the cut: what is gone is told nowhere else. */
static void say_cut(cli *app, recutting *r)
{
    tw_arena *scratch = tw_arena_like(app->arena);
    const tw_timeline *was = r->before.edit.timeline, *now = r->after.edit.timeline;
    tw_buf_addz(&r->lines, "the cut\n");
    tw_recut_say(tw_recut_compare(scratch, was, now, TW_RECUT_SLACK), false, &r->lines);
    tw_arena_free(&scratch);
}

/* True when something needs eyes. */
static bool look(cli *app, recutting *r)
{
    bool eyes = false;
    say_cut(app, r);
    for (size_t i = 0; i < r->now->delivery_count; i++) {
        tell_delivery(app, r, i);
        const tally t = r->now_in;
        say_tally(r, &t);
        json_tally(&r->tallies, r->now->deliveries[i].delivery->name, &t);
        eyes = eyes || t.anew + t.never + t.open_ends > 0;
    }
    unused_notes(r->now, &r->lines);
    return eyes;
}

static void say_files(const recutting *r, tw_buf *out)
{
    tw_buf_addz(out, "\nwrote\n");
    for (size_t i = 0; i < r->files.len; i++)
        tw_buf_addf(out, "  %s\n", r->files.at[i].path);
}

/* What came of it: the files stand in their places, or agreed framings were in the way. */
static void report(cli *app, const recutting *r, bool fine)
{
    tw_buf *out = &app->out;
    app->told = app->set.json;
    if (app->set.json) {
        tw_buf_addf(out, "{\"ok\": %s, \"agreed_changed\": %zu, \"deliveries\": [", fine ? "true" : "false", r->agreed);
        tw_buf_add(out, tw_buf_str(&r->tallies));
        json_notes(r, out);
        tw_diag_json_end(app->diags, out);
    } else if (!app->set.quiet) {
        say_lines(tw_buf_str(&r->lines), CHANGE_COLUMN, say_width(), out);
        if (r->files.len > 0)
            say_files(r, out);
    }
}

/* ---- the command ----------------------------------------------------------------------------------------- */

/* With --reopen, agreed notes whose framing changes are open again. */
static void reopen(cli *app, tw_json *root, const tw_note *const *notes, size_t count)
{
    for (size_t i = 0; i < count; i++)
        tw_json_set_text(app->arena, tw_plan_note_json(root, notes[i]->id), "state", TW_STR("open"));
}

/* The new plan is read from the text that will be written, so that what is solved is what the file says. */
static exit_code read_plan(cli *app, recutting *r, const tw_json *root)
{
    tw_str text = plan_text(app, root, r->before.plan->doc.bytes);
    exit_code code = load_project_text(app, r->plan_path, text, app->args[1], GIVEN_FIRST, &r->after);
    for (size_t i = 0; code == EXIT_FINE && i < r->before.input_count; i++)
        project_input(app, &r->after, tw_arena_dupz(app->arena, tw_str_z(r->before.inputs[i])));
    return code;
}

static exit_code make_plan(cli *app, recutting *r)
{
    tw_json *root = r->before.plan->doc.root; /* all that was asked of the old plan has been taken from it */
    const tw_note **reopened;
    take_edit(app, r, root);
    exit_code code = read_plan(app, r, root);
    if (code != EXIT_FINE)
        return code;
    r->after.plan->doc.file = tw_str_z(r->before.plan_path); /* the new one may never come to be */
    code = solve(app, &r->after, r->solving, &r->now);
    if (code != EXIT_FINE)
        return code;
    r->agreed = agreed_broken(app, &r->after, r->now, NULL, app->diags, &reopened);
    if (r->agreed == 0 || !app->set.reopen)
        return EXIT_FINE;
    reopen(app, root, reopened, r->agreed);
    tw_diags *told = app->diags;
    app->diags = tw_diags_new(app->arena); /* all was told the first time */
    code = read_plan(app, r, root);
    app->diags = told;
    return code;
}

static exit_code write_all(cli *app, recutting *r)
{
    outputs_add(app, &r->files,
                (output){.path = r->plan_path, .name = tw_str_z(r->plan_path), .text = r->after.plan->doc.bytes});
    tw_derived *made = r->now->plan == r->after.plan ? r->now : NULL; /* else notes were opened since */
    if (made != NULL)
        tw_diags_pass(r->solving, TW_NOTE, app->diags);
    return fork_project(app, &r->after, &made, &r->files, &r->proofs);
}

/* --rate and --timeline speak of the new edit. */
static exit_code load_before(cli *app, project *p)
{
    tw_str text;
    exit_code code = load_bytes(app, app->args[0], &text);
    if (code == EXIT_FINE)
        code = load_project_text(app, app->args[0], text, NULL, PLAN_FIRST, p);
    if (code == EXIT_FINE)
        project_input(app, p, app->args[0]);
    return code;
}

/* As it was: large, and not needed any more when the new files are made. */
static exit_code solve_before(cli *app, recutting *r)
{
    tw_arena *own = app->arena;
    app->arena = r->past;
    exit_code code = load_before(app, &r->before);
    if (code == EXIT_FINE)
        code = name_plan(app, r, own);
    if (code == EXIT_FINE)
        code = solve(app, &r->before, tw_diags_new(r->past), &r->was);
    app->arena = own;
    return code;
}

static exit_code recut(cli *app, recutting *r)
{
    exit_code code = solve_before(app, r);
    if (code == EXIT_FINE)
        code = make_plan(app, r);
    if (code != EXIT_FINE)
        return code;
    bool eyes = look(app, r);
    tw_arena_free(&r->past);
    code = r->agreed > 0 && !app->set.reopen ? agreed_refused() : write_all(app, r);
    code = code == EXIT_FINE && eyes ? EXIT_FINDINGS : code;
    if (code == EXIT_FINE || code == EXIT_FINDINGS)
        report(app, r, code == EXIT_FINE);
    return code;
}

exit_code cmd_recut(cli *app)
{
    recutting r = {.lines = {.arena = app->arena}, .tallies = {.arena = app->arena}};
    if (!has_name(app, app->args[1]))
        return EXIT_USAGE;
    r.solving = tw_diags_new(app->arena);
    r.past = tw_arena_like(app->arena);
    exit_code code = recut(app, &r);
    tw_arena_free(&r.past);
    return code;
}
