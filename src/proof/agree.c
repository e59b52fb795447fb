/* SPDX-License-Identifier: Apache-2.0
 *
 * The formats of a delivery must say the same, to half the last digit the one with fewer digits carries; and what
 * people agreed on.
 */
#include "proof_internal.h"

#include <math.h>

#include <tallwide/recut.h>

static bool same_head(const tw_framing *a, const tw_framing *b)
{
    return a->mode == b->mode && a->interp == b->interp && tw_size_same(a->source, b->source) &&
           tw_size_same(a->delivery, b->delivery) && fabs(a->squeeze - b->squeeze) < 1e-9;
}

static bool near(double a, double b)
{
    return fabs(a - b) <= TWI_HALF_DIGIT + 1e-7;
}

/* Where windows are what is written: left, top and width. */
static bool same_key(const tw_framing *a, const tw_key *x, const tw_framing *b, const tw_key *y)
{
    tw_window p = tw_geom_key_window(*x, a->squeeze, a->delivery);
    tw_window q = tw_geom_key_window(*y, b->squeeze, b->delivery);
    return near(p.x, q.x) && near(p.y, q.y) && near(p.w, q.w) && near(x->ease, y->ease);
}

static tw_str difference(tw_arena *arena, const tw_framing *a, int64_t shift_a, const tw_framing *b, int64_t shift_b)
{
    if (!same_head(a, b))
        return TW_STR("sizes, squeeze or the kind of framing");
    if (a->key_count != b->key_count)
        return tw_arena_printf(arena, "%zu keys against %zu", a->key_count, b->key_count);
    for (size_t k = 0; k < a->key_count; k++) {
        long long x = (long long)(a->keys[k].frame + shift_a), y = (long long)(b->keys[k].frame + shift_b);
        if (x != y && a->key_count > 1)
            return tw_arena_printf(arena, "key %zu is at frame %lld against %lld", k + 1, x, y);
        if (!same_key(a, &a->keys[k], b, &b->keys[k]))
            return tw_arena_printf(arena, "the window at frame %lld", x);
    }
    return (tw_str){NULL, 0};
}

static void compare(tw_arena *scratch, const tw_proof_input *in, size_t file, const twi_twin *first,
                    const twi_twin *other, tw_diags *diags)
{
    const tw_framing *a = first->clip->framing, *b = other->clip->framing;
    tw_str what = {NULL, 0};
    if (a != NULL && b != NULL)
        what = difference(scratch, a, first->shift, b, other->shift);
    else if (a != b)
        what = a != NULL ? TW_STR("a framing against none") : TW_STR("no framing against one");
    if (what.len == 0)
        return;
    const tw_place place = twi_proof_place(&in->files[file], other->clip);
    tw_diag_add(diags, 1715, &place, "%.*s is framed differently in %.*s: %.*s there",
                TW_ARG(twi_proof_name(scratch, other->clip)), TW_ARG(in->files[0].name), TW_ARG(what));
}

void twi_proof_agree(tw_arena *arena, const tw_proof_input *in, const twi_sight *sight, twi_twin *const *twins,
                     tw_diags *diags)
{
    tw_arena *scratch = tw_arena_like(arena);
    for (size_t i = 0; i < sight->len; i++) {
        const twi_twin *first = NULL;
        for (size_t f = 0; f < in->file_count; f++) {
            const twi_twin *twin = &twins[f][i];
            if (twin->clip == NULL)
                continue;
            if (first == NULL)
                first = twin;
            else
                compare(scratch, in, f, first, twin, diags);
        }
    }
    tw_arena_free(&scratch);
}

/* Framings are named with eased keys: other keys stand for them, but have other names. */
void twi_proof_agreed(tw_arena *scratch, const tw_proof_input *in, const twi_seen *shot, const tw_proof_file *file,
                      const tw_item *clip, tw_diags *diags)
{
    const tw_delivery *d = &in->plan->deliveries[in->delivery];
    for (size_t n = 0; n < shot->note_count; n++) {
        const tw_note_use use = {shot->notes[n], clip};
        tw_agreed *broken;
        if (clip->framing->interp != TW_INTERP_EASED || !tw_note_covers(use.note, d->name) ||
            tw_recut_broken(scratch, file->written, d->name, &use, 1, &broken) == 0 || broken->item == NULL)
            continue;
        const tw_place place = twi_proof_place(file, clip);
        tw_diag_add(diags, 1739, &place, "%.*s, %.*s: this framing is not one agreed on in note %.*s%s%.*s",
                    TW_ARG(d->name), TW_ARG(twi_proof_name(scratch, clip)), TW_ARG(use.note->id),
                    broken->by.len > 0 ? " by " : "", TW_ARG(broken->by));
    }
}
