/* SPDX-License-Identifier: Apache-2.0
 *
 * A delivery from its files: who is who, is the cut the master's, what does every frame show, do the files agree.
 */
#include "proof_internal.h"

typedef struct proving {
    tw_arena *scratch;
    const tw_proof_input *in;
    const tw_delivery *delivery;
    const twi_sight *sight;
    twi_twin **twins;   /* by file, by shot */
    tw_proof *per_file; /* frame counts, to take the worst of */
    tw_diags *diags;
    tw_proof *out;
} proving;

/* ---- stamps ---------------------------------------------------------------------------------------------- */

static void check_stamp(const proving *p, const tw_proof_file *file)
{
    const tw_stamp *stamp = file->written->stamp;
    const tw_delivery *d = p->delivery;
    const tw_place place = {.file = file->name};
    if (stamp == NULL) {
        tw_diag_add(p->diags, 1721, &place, "the file does not say which delivery it is, nor what it was made from");
        return;
    }
    if (!tw_str_eq(stamp->delivery, d->name) || !tw_size_same(stamp->size, d->size))
        tw_diag_add(p->diags, 1718, &place, "the file is delivery \"%.*s\" of %dx%d, not \"%.*s\" of %dx%d",
                    TW_ARG(stamp->delivery), stamp->size.w, stamp->size.h, TW_ARG(d->name), d->size.w, d->size.h);
    if (stamp->master_hash != p->in->master_hash)
        tw_diag_add(p->diags, 1722, &place, "the master edit has changed since this file was made");
    if (stamp->plan_hash != d->hash)
        tw_diag_add(p->diags, 1722, &place, "the plan has changed since this file was made");
}

/* ---- shots ----------------------------------------------------------------------------------------------- */

static void missing(const proving *p, size_t file, const twi_seen *shot, const tw_item *clip, twi_expected expected)
{
    const tw_place place = twi_proof_place(&p->in->files[file], clip);
    tw_str name = twi_proof_name(p->scratch, clip);
    if (expected != TWI_EXPECT_UNKNOWN)
        tw_diag_add(p->diags, 1732, &place, "%.*s, %.*s: the clip has no framing", TW_ARG(p->delivery->name),
                    TW_ARG(name));
    else if (shot->source != NULL && shot->endless)
        tw_diag_add(p->diags, 1609, &place, "%.*s, %.*s: the clip has no framing, since it is too long for one",
                    TW_ARG(p->delivery->name), TW_ARG(name));
    else
        tw_diag_add(p->diags, 1733, &place,
                    "%.*s, %.*s: the clip has no framing, since the plan does not know how large %s",
                    TW_ARG(p->delivery->name), TW_ARG(name),
                    shot->source == NULL ? "its picture is: no source matches" : "the source's picture is");
}

static void surplus(const proving *p, size_t file, const tw_item *clip)
{
    const tw_place place = twi_proof_place(&p->in->files[file], clip);
    tw_diag_add(p->diags, 1719, &place, "%.*s, %.*s: the clip has a framing where the plan gives it none",
                TW_ARG(p->delivery->name), TW_ARG(twi_proof_name(p->scratch, clip)));
}

static void prove_file_shot(const proving *p, size_t f, size_t i, const twi_asked *asked, twi_told *told)
{
    const twi_seen *shot = &p->sight->at[i];
    const twi_twin *twin = &p->twins[f][i];
    twi_expected expected = twi_proof_expected(shot, p->delivery);
    bool framed = twin->clip != NULL && twin->clip->framing != NULL;
    if (twin->clip == NULL || (!framed && expected == TWI_EXPECT_NOTHING))
        return;
    if (!framed) {
        uint64_t before = told->codes;
        told->codes |= UINT64_C(1) << 32;
        if (before == told->codes)
            return;
        missing(p, f, shot, twin->clip, expected);
    } else if (expected == TWI_EXPECT_NOTHING || expected == TWI_EXPECT_UNKNOWN) {
        surplus(p, f, twin->clip);
    } else {
        const twi_view view = {p->in, shot, asked, twin->clip->framing, twin->shift};
        twi_proof_judge(p->scratch, &view, &p->in->files[f], twin->clip, told, p->diags, &p->per_file[f]);
        twi_proof_agreed(p->scratch, p->in, shot, &p->in->files[f], twin->clip, p->diags);
        p->per_file[f].moving += twin->clip->framing->key_count > 1;
        p->per_file[f].keys += twin->clip->framing->key_count;
    }
}

/* True when notes say something of the shot's picture. */
static bool prove_shot(const proving *p, size_t i)
{
    const twi_seen *shot = &p->sight->at[i];
    tw_arena *scratch = tw_arena_like(p->scratch);
    twi_asked asked = {.any = false};
    twi_told told = {0};
    twi_expected expected = twi_proof_expected(shot, p->delivery);
    if (expected == TWI_EXPECT_FILLED)
        twi_proof_asked(scratch, p->in->master, shot, p->delivery, &asked);
    proving here = *p;
    here.scratch = scratch;
    for (size_t f = 0; f < p->in->file_count; f++)
        prove_file_shot(&here, f, i, &asked, &told);
    p->out->frames += expected != TWI_EXPECT_NOTHING && !shot->endless ? shot->frames : 0;
    bool any = asked.any;
    tw_arena_free(&scratch);
    return any;
}

/* A through-edit is framed when any of its clips is. */
static void prove_shots(const proving *p)
{
    for (size_t i = 0, end; i < p->sight->len; i = end) {
        bool any = false;
        for (end = i; end == i || (end < p->sight->len && p->sight->at[end].joined); end++)
            any = prove_shot(p, end) || any;
        if (p->in->progress.step != NULL)
            p->in->progress.step(p->in->progress.context, end, p->sight->len);
        bool filled = twi_proof_expected(&p->sight->at[i], p->delivery) == TWI_EXPECT_FILLED;
        p->out->not_framed += filled && !any ? end - i : 0;
    }
}

/* ---- the whole ------------------------------------------------------------------------------------------- */

static void take_worst(tw_proof *out, const tw_proof *file, bool first)
{
    out->moving = file->moving > out->moving ? file->moving : out->moving;
    out->keys = file->keys > out->keys ? file->keys : out->keys;
    out->outside_frames = file->outside_frames > out->outside_frames ? file->outside_frames : out->outside_frames;
    out->over_scale_frames =
        file->over_scale_frames > out->over_scale_frames ? file->over_scale_frames : out->over_scale_frames;
    int64_t lost = file->must_frames - file->must_held_frames, most = out->must_frames - out->must_held_frames;
    if (first || lost > most || (lost == most && file->must_frames > out->must_frames)) {
        out->must_frames = file->must_frames;
        out->must_held_frames = file->must_held_frames;
        out->must_forced_frames = file->must_forced_frames;
        out->must_by_hand_frames = file->must_by_hand_frames;
    }
    out->worst_cut_px = tw_max(out->worst_cut_px, file->worst_cut_px);
    out->max_scale = tw_max(out->max_scale, file->max_scale);
    out->peak_speed = tw_max(out->peak_speed, file->peak_speed);
    out->peak_accel = tw_max(out->peak_accel, file->peak_accel);
}

/* A copy, so that the files' models can be let go. A list may move a cut inside a dissolve, and counts its frames from
 * there. */
static const tw_framing *copied(tw_arena *arena, const twi_twin *twin)
{
    const tw_framing *f = twin->clip->framing;
    return f == NULL ? NULL : tw_framing_later(arena, f, twin->shift);
}

static void tell_shots(tw_arena *arena, const proving *p)
{
    tw_proof_shot *told = TW_NEW_N(arena, tw_proof_shot, p->sight->len);
    for (size_t i = 0; i < p->sight->len; i++) {
        const twi_seen *shot = &p->sight->at[i];
        told[i] = (tw_proof_shot){.clip = shot->clip, .track = shot->spot.track, .lost = true};
        told[i].black = twi_proof_expected(shot, p->delivery) == TWI_EXPECT_NOTHING;
        for (size_t f = 0; f < p->in->file_count && told[i].framing == NULL; f++) {
            if (p->twins[f][i].clip == NULL)
                continue;
            told[i].framing = copied(arena, &p->twins[f][i]);
            told[i].lost = false;
        }
    }
    p->out->told = told;
}

static void prove(const proving *p)
{
    size_t before = tw_diags_count(p->diags, TW_ERROR), warnings = tw_diags_count(p->diags, TW_WARNING);
    for (size_t f = 0; f < p->in->file_count; f++) {
        check_stamp(p, &p->in->files[f]);
        size_t errors = tw_diags_count(p->diags, TW_ERROR);
        bool damaged = twi_proof_cut(p->scratch, p->in, &p->in->files[f], p->diags);
        p->twins[f] = twi_proof_twins(p->scratch, p->in, p->sight, &p->in->files[f], damaged, p->diags);
        p->out->cut_unchanged = p->out->cut_unchanged && tw_diags_count(p->diags, TW_ERROR) == errors;
    }
    prove_shots(p);
    twi_proof_agree(p->scratch, p->in, p->sight, p->twins, p->diags);
    for (size_t f = 0; f < p->in->file_count; f++)
        take_worst(p->out, &p->per_file[f], f == 0);
    p->out->ok = tw_diags_count(p->diags, TW_ERROR) == before;
    p->out->warnings = tw_diags_count(p->diags, TW_WARNING) - warnings;
}

static bool in_bounds(const tw_timeline *master, const twi_sight *sight, tw_diags *diags)
{
    int64_t frames = 0;
    for (size_t i = 0; i < sight->len; i++)
        frames += sight->at[i].endless ? 0 : sight->at[i].frames;
    if (frames <= TW_EDIT_FRAMES_LIMIT)
        return true;
    tw_diag_add(diags, 1610, TW_IN(master->file),
                "the shots of this edit have %lld frames together: at most %lld are looked at", (long long)frames,
                (long long)TW_EDIT_FRAMES_LIMIT);
    return false;
}

tw_status tw_proof_run(tw_arena *arena, const tw_proof_input *in, tw_diags *diags, tw_proof *out)
{
    tw_arena *scratch = tw_arena_like(arena);
    twi_sight sight;
    twi_proof_look(scratch, in->plan, in->master, &sight);
    const tw_delivery *delivery = &in->plan->deliveries[in->delivery];
    *out = (tw_proof){.delivery = delivery->name, .shots = sight.len, .cut_unchanged = true};
    const proving p = {
        .scratch = scratch,
        .in = in,
        .delivery = delivery,
        .sight = &sight,
        .twins = TW_NEW_N(scratch, twi_twin *, in->file_count),
        .per_file = TW_NEW_N(scratch, tw_proof, in->file_count),
        .diags = diags,
        .out = out,
    };
    bool fine = in_bounds(in->master, &sight, diags);
    if (fine) {
        prove(&p);
        tell_shots(arena, &p);
    }
    tw_arena_free(&scratch);
    return fine ? TW_OK : TW_ERR_LIMIT;
}

void tw_proof_notes(tw_arena *arena, const tw_plan *plan, const tw_timeline *master, tw_diags *diags)
{
    tw_arena *scratch = tw_arena_like(arena);
    twi_sight sight;
    twi_proof_look(scratch, plan, master, &sight);
    for (size_t n = 0; n < plan->note_count; n++) {
        if (sight.note_used[n])
            continue;
        const tw_place place = tw_json_place(&plan->doc, plan->notes[n].json);
        tw_diag_add(diags, 1603, &place, "no shot of this edit shows what note %.*s on reel %.*s speaks of; it is kept",
                    TW_ARG(plan->notes[n].id), TW_ARG(plan->notes[n].reel));
    }
    tw_arena_free(&scratch);
}
