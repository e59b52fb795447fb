/* SPDX-License-Identifier: Apache-2.0
 *
 * The main job, told: a table of shots, or the proofs' numbers.
 */
#include "cmd.h"
#include "outputs.h"

/* ---- telling --------------------------------------------------------------------------------------------- */

#define WHY_COLUMN 45

static void text_shot(const tw_derived *derived, const tw_decision *shot, size_t number, tw_buf *out)
{
    const tw_timeline *master = derived->master;
    tw_buf_addz(out, "  ");
    say_event(shot->clip->event, number, out);
    tw_buf_addc(out, ' ');
    tw_tc_add(shot->stand->seen.first, master->rate, master->drop, out);
    tw_buf_addz(out, "  ");
    say_field(tw_item_source_name(shot->clip), 10, out);
    if (shot->framing != NULL && shot->framing->mode == TW_FRAME_FILL) {
        tw_buf_addf(out, " %3zu  ", shot->framing->key_count);
        tw_buf_add_fixed(out, tw_geom_scale(shot->framing->keys[0].w, shot->framing->delivery), 3);
        tw_buf_addz(out, "  ");
    } else {
        tw_buf_addz(out, "   -      -  ");
    }
    say_wrapped(shot->why, WHY_COLUMN, say_width(), out);
    tw_buf_addc(out, '\n');
}

/* Nothing is to be said of it but that no note does. */
static bool is_untouched(const tw_decision *shot)
{
    return shot->verdict == TW_VERDICT_NOT_FRAMED && shot->path.compromise_count == 0;
}

/* Does a range go on to the next shot? Events do not over tracks, nor to one that is no later. */
static bool goes_on(const tw_derived_delivery *d, size_t shot)
{
    if (shot + 1 == d->shot_count || !is_untouched(&d->shots[shot + 1]))
        return false;
    const tw_decision *here = &d->shots[shot], *next = here + 1;
    const tw_str a = here->clip->event, b = next->clip->event; /* without events it is places, which go up by one */
    return a.len == b.len && (a.len == 0 || (here->track == next->track && tw_str_cmp(a, b) < 0));
}

static void add_number(const tw_derived_delivery *d, size_t shot, tw_buf *out)
{
    const tw_str event = d->shots[shot].clip->event;
    if (event.len > 0)
        tw_buf_add_shown(out, event);
    else
        tw_buf_addf(out, "%zu", shot + 1);
}

/* "not framed yet, centred: 8, 10, 15-17" */
static void text_untouched(const tw_derived_delivery *d, tw_buf *out)
{
    tw_buf numbers = {.arena = out->arena};
    for (size_t s = 0; s < d->shot_count; s++) {
        size_t last = s;
        if (!is_untouched(&d->shots[s]))
            continue;
        while (goes_on(d, last))
            last++;
        tw_buf_addz(&numbers, numbers.len > 0 ? ", " : "");
        add_number(d, s, &numbers);
        if (last > s) {
            tw_buf_addc(&numbers, '-');
            add_number(d, last, &numbers);
        }
        s = last;
    }
    if (numbers.len == 0)
        return;
    tw_buf_addz(out, "  not framed yet, centred: ");
    say_wrapped(tw_buf_str(&numbers), 27, say_width(), out);
    tw_buf_addc(out, '\n');
}

static void text_totals(cli *app, const tw_derived_delivery *d)
{
    tw_buf line = {.arena = app->arena};
    tw_buf_addf(&line, "%zu shot%s: %zu framed, %zu moving (%zu key%s in all)", d->shot_count, TW_PLURAL(d->shot_count),
                d->framed, d->moving, d->keys, TW_PLURAL(d->keys));
    const struct {
        size_t count;
        const char *what;
    } rows[] = {
        {d->compromised, "with a compromise"}, {d->not_framed, "not framed yet"},    {d->graphics, "shown whole"},
        {d->black, "with nothing to frame"},   {d->unknown, "left without framing"},
    };
    for (size_t i = 0; i < TW_COUNT(rows); i++)
        if (rows[i].count > 0)
            tw_buf_addf(&line, ", %zu %s", rows[i].count, rows[i].what);
    tw_buf_addz(&line, "; largest scale ");
    tw_buf_add_fixed(&line, d->max_scale, 3);
    tw_buf_addz(&app->out, "  ");
    say_wrapped(tw_buf_str(&line), 2, say_width(), &app->out);
    tw_buf_addc(&app->out, '\n');
}

static void fork_text(cli *app, const tw_derived *derived, const outputs *files)
{
    tw_buf *out = &app->out;
    for (size_t i = 0; i < derived->delivery_count; i++) {
        const tw_derived_delivery *d = &derived->deliveries[i];
        tw_buf_addf(out, "%s%.*s %dx%d\n", i > 0 ? "\n" : "", TW_ARG(d->delivery->name), d->delivery->size.w,
                    d->delivery->size.h);
        tw_buf_addz(out, "  event  record in    source     keys  scale  what was decided\n");
        for (size_t s = 0; s < d->shot_count; s++)
            if (app->set.verbose || !is_untouched(&d->shots[s]))
                text_shot(derived, &d->shots[s], s + 1, out);
        text_totals(app, d);
        if (!app->set.verbose)
            text_untouched(d, out);
    }
    unused_notes(derived, out);
    tw_buf_addz(out, app->set.out == NULL ? "\nwrote beside the plan\n" : "\nwrote\n");
    for (size_t i = 0; i < files->len; i++)
        tw_buf_addf(out, "  %s\n", files->at[i].path);
    if (app->set.only != NULL) {
        tw_buf_addz(out, "\n");
        say_wrapped(TW_STR("not written: the sheet, which shows all deliveries; `tallwide sheet` makes it by itself"),
                    0, say_width(), out);
        tw_buf_addz(out, "\n");
    }
}

static void fork_json(cli *app, const tw_derived *derived, const proved *proofs, bool fine)
{
    size_t count = derived != NULL && proofs != NULL ? derived->delivery_count : 0;
    tw_proof *all = TW_NEW_N(app->arena, tw_proof, count);
    for (size_t i = 0; i < count; i++)
        all[i] = proofs[i].proof;
    tw_proof_write_json(all, count, fine, app->diags, &app->out);
    app->told = true;
}

exit_code cmd_fork(cli *app)
{
    project p;
    tw_derived *derived = NULL;
    outputs files = {.len = 0};
    proved *proofs = NULL;
    exit_code code = load_project(app, app->args[0], &p);
    if (code == EXIT_FINE)
        code = fork_project(app, &p, &derived, &files, &proofs);
    if (derived != NULL && app->set.json)
        tw_derive_findings(app->arena, derived, app->diags);
    if (app->set.json && code != EXIT_IO)
        fork_json(app, derived, proofs, code == EXIT_FINE);
    else if (!app->set.quiet && files.len > 0 && (code == EXIT_FINE || code == EXIT_FINDINGS))
        fork_text(app, derived, &files);
    return code;
}
