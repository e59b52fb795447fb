/* SPDX-License-Identifier: Apache-2.0
 *
 * Framings people agreed on.
 */
#include "project.h"

size_t note_uses(tw_arena *arena, const tw_derived_delivery *d, bool agreed, tw_note_use **out)
{
    size_t count = 0, cap = 0;
    *out = NULL;
    for (size_t s = 0; s < d->shot_count; s++) {
        const tw_decision *shot = &d->shots[s];
        tw_item *framed = NULL;
        for (size_t n = 0; shot->framing != NULL && n < shot->note_count; n++) {
            const tw_note *note = shot->notes[n];
            if (agreed && !tw_str_is(note->state, "agreed"))
                continue;
            if (framed == NULL) {
                framed = TW_NEW(arena, tw_item);
                *framed = *shot->clip;
                framed->framing = shot->framing;
            }
            TW_PUSH(arena, *out, count, cap) = (tw_note_use){note, framed};
        }
    }
    return count;
}

static void tell_broken(cli *app, const project *p, const tw_agreed *b, const tw_stand *stands, tw_diags *diags)
{
    const tw_place place = tw_json_place(&p->plan->doc, tw_json_get(b->note->json, "id"));
    const tw_timeline *t = p->edit.timeline;
    if (b->item == NULL) {
        tw_diag_add(diags, 1807, &place, "note %.*s is agreed, but not on any framing in \"%.*s\"", TW_ARG(b->note->id),
                    TW_ARG(b->delivery));
        return;
    }
    tw_str at = tw_tc_text(app->arena, stands[b->item->index].seen.first, t->rate, t->drop);
    tw_diag_add(diags, app->set.reopen ? 1809 : 1806, &place,
                "note %.*s: the framing of %.*s at %.*s in \"%.*s\" is not the one agreed on%s%.*s",
                TW_ARG(b->note->id), TW_ARG(tw_item_source_name(b->item)), TW_ARG(at), TW_ARG(b->delivery),
                b->by.len > 0 ? " by " : "", TW_ARG(b->by));
}

size_t agreed_broken(cli *app, const project *p, const tw_derived *derived, const tw_note *only, tw_diags *diags,
                     const tw_note ***reopened)
{
    size_t count = 0, cap = 0;
    tw_arena *scratch = tw_arena_like(app->arena);
    const tw_stand *stands = tw_timeline_stands(scratch, p->edit.timeline);
    *reopened = NULL;
    for (size_t i = 0; i < derived->delivery_count; i++) {
        const tw_derived_delivery *d = &derived->deliveries[i];
        tw_note_use *uses;
        tw_agreed *broken;
        size_t use_count = note_uses(scratch, d, true, &uses);
        size_t found = tw_recut_broken(scratch, p->edit.timeline, d->delivery->name, uses, use_count, &broken);
        for (size_t b = 0; b < found; b++) {
            if (only != NULL && broken[b].note != only)
                continue;
            tell_broken(app, p, &broken[b], stands, diags);
            if (broken[b].item == NULL)
                continue;
            TW_PUSH(app->arena, *reopened, count, cap) = broken[b].note;
        }
    }
    tw_arena_free(&scratch);
    return count;
}

exit_code agreed_refused(void)
{
    say_error("nothing was written: agreed framings would change; --reopen lets them");
    return EXIT_FINDINGS;
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
    size_t use_count = note_uses(app->arena, d, true, &uses);
    for (size_t u = 0, shot = 0; u < use_count; u++) {
        tw_agreed *broken;
        while (d->shots[shot].clip->index != uses[u].item->index)
            shot++; /* uses are in the order of shots */
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
