/* SPDX-License-Identifier: Apache-2.0 */
#include "derive_internal.h"

#include <math.h>

/* ---- solving --------------------------------------------------------------------------------------------- */

typedef struct job_list {
    const twi_asking *asking;
    twi_unit *units;
    size_t count;
    tw_progress progress;
    size_t before, all; /* units of deliveries before this one, and of all */
} job_list;

static void solve_unit(tw_arena *arena, const job_list *work, twi_unit *unit)
{
    tw_arena *scratch = tw_arena_like(arena);
    twi_ask ask;
    twi_derive_ask(scratch, work->asking, unit->shots, &ask);
    tw_path_solve(arena, &ask.job, &unit->path);
    unit->ask = (twi_ask){.note_count = ask.note_count, .region_count = ask.region_count};
    unit->ask.notes = TW_NEW_N(arena, const tw_note *, ask.note_count);
    for (size_t i = 0; i < ask.note_count; i++)
        unit->ask.notes[i] = ask.notes[i];
    unit->ask.regions = TW_NEW_N(arena, const tw_region *, ask.region_count);
    for (size_t i = 0; i < ask.region_count; i++)
        unit->ask.regions[i] = ask.regions[i];
    tw_arena_free(&scratch);
}

/* Every unit is solved by itself from the same input, so it does not matter which thread takes it. */
static void solve_piece(void *context, tw_arena *arena, size_t index, bool here)
{
    job_list *work = context;
    if (work->units[index].asked)
        solve_unit(arena, work, &work->units[index]);
    if (here && work->progress.step != NULL)
        work->progress.step(work->progress.context, work->before + index + 1, work->all);
}

/* ---- from paths to decisions ----------------------------------------------------------------------------- */

static bool shown_whole(const tw_source *source, const tw_delivery *delivery)
{
    return source->kind == TW_SOURCE_GRAPHIC || source->frame == TW_FRAME_FIT || delivery->frame == TW_FRAME_FIT;
}

static tw_verdict known_so_far(const twi_shot *shot, const tw_delivery *delivery)
{
    if (shot->source == NULL && tw_item_is_black(shot->clip))
        return TW_VERDICT_BLACK;
    if (shot->source == NULL || shot->source->size.w <= 0 || shot->endless)
        return TW_VERDICT_UNKNOWN;
    if (shown_whole(shot->source, delivery))
        return shot->source->kind == TW_SOURCE_GRAPHIC ? TW_VERDICT_GRAPHIC : TW_VERDICT_FRAMED;
    return TW_VERDICT_NOT_FRAMED;
}

static bool gives_way(const tw_path_result *path)
{
    bool any = false;
    for (size_t i = 0; i < path->compromise_count; i++) {
        tw_path_yield what = path->compromises[i].what;
        any = any || what == TW_YIELD_CUT || what == TW_YIELD_DROPPED || what == TW_YIELD_SCALE;
    }
    return any;
}

static tw_verdict verdict_of(const tw_path_result *path)
{
    if (path->reason == TW_PATH_CENTRED)
        return TW_VERDICT_NOT_FRAMED;
    return gives_way(path) ? TW_VERDICT_COMPROMISE : TW_VERDICT_FRAMED;
}

/* The keys that clip number `shot` of a path needs, counted from its own first frame; `offset`: record frames from the
 * first clip's in to its own. */
static void take_keys(tw_arena *arena, const tw_path_result *path, const twi_shot *shot, int64_t offset,
                      tw_framing *framing)
{
    double first = (double)(offset + shot->first), last = first + (double)shot->frames - 1;
    size_t from = 0, to = path->key_count - 1;
    while (from < to && (double)path->keys[from + 1].frame + path->keys[from + 1].ease <= first)
        from++;
    while (to > from && (double)path->keys[to - 1].frame - path->keys[to - 1].ease >= last)
        to--;
    bool still = true;
    for (size_t i = from; i < to; i++)
        still = still && tw_key_same_place(&path->keys[i], &path->keys[i + 1]);
    framing->key_count = still ? 1 : to - from + 1;
    framing->keys = TW_NEW_N(arena, tw_key, framing->key_count);
    for (size_t i = 0; i < framing->key_count; i++) {
        framing->keys[i] = path->keys[from + i];
        framing->keys[i].frame -= offset;
    }
    if (still) {
        framing->keys[0].frame = shot->stand.body.first;
        framing->keys[0].ease = 0;
    }
}

static tw_framing *framing_of(tw_arena *arena, const tw_source *source, const tw_delivery *delivery)
{
    tw_framing *framing = TW_NEW(arena, tw_framing);
    *framing = (tw_framing){
        .mode = TW_FRAME_FILL,
        .source = source->size,
        .delivery = delivery->size,
        .squeeze = source->squeeze,
        .interp = TW_INTERP_EASED,
    };
    return framing;
}

static void frame_whole(tw_arena *arena, const twi_shot *shot, tw_framing *framing)
{
    double w = tw_geom_written(tw_geom_fit(framing->source, framing->squeeze, framing->delivery).w);
    double h = tw_geom_height(w, framing->squeeze, framing->delivery);
    framing->mode = TW_FRAME_FIT;
    framing->keys = TW_NEW(arena, tw_key);
    framing->keys[0] = (tw_key){
        .frame = shot->stand.body.first,
        .cx = tw_num_round((framing->source.w - w) / 2, 3) + w / 2,
        .cy = tw_num_round((framing->source.h - h) / 2, 3) + h / 2,
        .w = w,
    };
    framing->key_count = 1;
}

static void decide(tw_arena *arena, const twi_asking *asking, const twi_unit *unit, size_t part, int64_t offset,
                   tw_decision *out)
{
    const twi_shot *shot = &unit->shots[part];
    *out = (tw_decision){
        .clip = shot->clip,
        .track = shot->track,
        .stand = &shot->stand,
        .source = shot->source,
        .first = shot->first,
        .frames = shot->frames,
        .verdict = known_so_far(shot, asking->delivery),
        .endless = shot->endless,
        .part = part,
        .parts = unit->shots->parts,
    };
    if (out->verdict != TW_VERDICT_BLACK && out->verdict != TW_VERDICT_UNKNOWN)
        out->framing = framing_of(arena, shot->source, asking->delivery);
    if (unit->asked) {
        out->path = unit->path;
        out->shared = unit->shared;
        out->notes = unit->ask.notes;
        out->note_count = unit->ask.note_count;
        out->regions = unit->ask.regions;
        out->region_count = unit->ask.region_count;
        out->verdict = verdict_of(&unit->path);
        take_keys(arena, &unit->path, shot, offset, out->framing);
        out->moving = out->framing->key_count > 1;
    } else if (out->framing != NULL) {
        frame_whole(arena, shot, out->framing);
    }
    twi_derive_why(arena, out);
}

static void count(tw_derived_delivery *d, const tw_decision *shot)
{
    d->framed += shot->verdict == TW_VERDICT_FRAMED || shot->verdict == TW_VERDICT_COMPROMISE;
    d->not_framed += shot->verdict == TW_VERDICT_NOT_FRAMED;
    d->compromised += gives_way(&shot->path); /* what is not framed yet may be enlarged too far */
    d->graphics += shot->verdict == TW_VERDICT_GRAPHIC;
    d->black += shot->verdict == TW_VERDICT_BLACK;
    d->unknown += shot->verdict == TW_VERDICT_UNKNOWN;
    d->moving += shot->moving;
    d->frames += shot->verdict == TW_VERDICT_BLACK || shot->endless ? 0 : shot->frames;
    if (shot->framing == NULL)
        return;
    d->keys += shot->framing->key_count;
    for (size_t k = 0; shot->framing->mode == TW_FRAME_FILL && k < shot->framing->key_count; k++) {
        double scale = tw_geom_scale(shot->framing->keys[k].w, shot->framing->delivery);
        d->max_scale = scale > d->max_scale ? scale : d->max_scale;
    }
}

static twi_unit *make_units(tw_arena *arena, const twi_asking *asking, const twi_shots *shots, size_t *count)
{
    twi_unit *units = TW_NEW_N(arena, twi_unit, shots->len);
    *count = 0;
    for (size_t i = 0; i < shots->len; i += shots->at[i].parts) {
        const twi_shot *shot = &shots->at[i];
        units[*count] = (twi_unit){
            .shots = shot,
            .shot = i,
            .asked = known_so_far(shot, asking->delivery) == TW_VERDICT_NOT_FRAMED,
        };
        ++*count;
    }
    return units;
}

/* One delivery of several. */
typedef struct turn {
    const tw_derive_options *options;
    size_t number, of;
} turn;

static void derive_one(tw_arena *arena, const twi_asking *asking, const twi_shots *shots, const turn *t,
                       tw_derived_delivery *out)
{
    job_list work = {.asking = asking, .progress = t->options->progress};
    tw_arena *scratch = tw_arena_like(arena);
    work.units = make_units(scratch, asking, shots, &work.count);
    work.before = t->number * work.count;
    work.all = t->of * work.count;
    tw_work(arena, work.count, t->options->threads, solve_piece, &work);
    twi_derive_share(arena, asking, work.units, work.count);
    *out = (tw_derived_delivery){.delivery = asking->delivery, .shot_count = shots->len};
    out->shots = TW_NEW_N(arena, tw_decision, shots->len);
    for (size_t u = 0; u < work.count; u++) {
        const twi_unit *unit = &work.units[u];
        int64_t offset = 0;
        for (size_t p = 0; p < unit->shots->parts; p++) {
            tw_decision *shot = &out->shots[unit->shot + p];
            decide(arena, asking, unit, p, offset, shot);
            count(out, shot);
            offset += unit->shots[p].stand.frames;
        }
    }
    tw_arena_free(&scratch);
}

/* ---- the whole ------------------------------------------------------------------------------------------- */

static bool hands_fit(tw_arena *arena, const twi_asking *asking, const twi_shots *shots, tw_diags *diags)
{
    bool *told = TW_NEW_N(arena, bool, asking->plan->note_count), fit = true;
    for (size_t i = 0; i < shots->len; i++)
        if (known_so_far(&shots->at[i], asking->delivery) == TW_VERDICT_NOT_FRAMED)
            fit = twi_derive_hands_fit(arena, asking, &shots->at[i], told, diags) && fit;
    return fit;
}

tw_status tw_derive(tw_arena *arena, const tw_plan *plan, const tw_timeline *master, const tw_derive_options *options,
                    tw_diags *diags, tw_derived **out)
{
    size_t first = 0, last = plan->delivery_count;
    if (options->only.len > 0) {
        const tw_delivery *only = tw_plan_delivery(plan, options->only);
        if (only == NULL) {
            tw_diag_add(diags, 1607, TW_IN(plan->file), "the plan has no delivery named \"%.*s\"; it has %.*s",
                        TW_ARG(options->only), TW_ARG(tw_plan_delivery_names(arena, plan)));
            return TW_ERR_SEMANTIC;
        }
        first = (size_t)(only - plan->deliveries);
        last = first + 1;
    }
    tw_derived *derived = TW_NEW(arena, tw_derived);
    derived->plan = plan;
    derived->master = master;
    twi_shots shots = {.len = 0};
    twi_derive_shots(arena, plan, master, &shots);
    derived->note_used = TW_NEW_N(arena, bool, plan->note_count);
    twi_derive_report(arena, derived, &shots, diags);
    if (!twi_derive_in_bounds(master, &shots, diags))
        return TW_ERR_LIMIT;
    bool fit = true;
    for (size_t d = first; d < last; d++) {
        const twi_asking asking = {plan, master, &plan->deliveries[d]};
        fit = hands_fit(arena, &asking, &shots, diags) && fit;
    }
    if (!fit)
        return TW_ERR_SEMANTIC;
    derived->delivery_count = last - first;
    derived->deliveries = TW_NEW_N(arena, tw_derived_delivery, last - first);
    for (size_t d = first; d < last; d++) {
        const twi_asking asking = {plan, master, &plan->deliveries[d]};
        const turn t = {options, d - first, last - first};
        derive_one(arena, &asking, &shots, &t, &derived->deliveries[d - first]);
    }
    *out = derived;
    return TW_OK;
}

/* Chords this near in centre and width keep every edge within half a source pixel. */
#define CHORD (1.0 / 3)

/* Left, top and width as every format writes them: three decimals, inside the picture. */
static void as_written(tw_key *key, const tw_framing *f)
{
    double room_x, room_y, h;
    key->w = tw_min(tw_geom_written(key->w), tw_geom_widest(f->source, f->squeeze, f->delivery).w);
    h = tw_geom_height(key->w, f->squeeze, f->delivery);
    room_x = f->source.w - key->w;
    room_y = f->source.h - h;
    key->cx = tw_max(tw_min(tw_num_round(key->cx - key->w / 2, 3), room_x), 0) + key->w / 2;
    key->cy = tw_max(tw_min(tw_num_round(key->cy - h / 2, 3), room_y), 0) + h / 2;
}

/* The framing in the form of keys that a delivery asks for. */
static tw_framing *formed(tw_arena *arena, tw_framing *framing, tw_keys_form form)
{
    static const tw_path_form forms[] = {
        [TW_KEYS_EASED] = TW_PATH_EASED, [TW_KEYS_BEZIER] = TW_PATH_BEZIER, [TW_KEYS_LINEAR] = TW_PATH_LINEAR};
    if (framing == NULL || form == TW_KEYS_EASED || framing->mode != TW_FRAME_FILL)
        return framing;
    tw_framing *copy = TW_NEW(arena, tw_framing);
    *copy = *framing;
    copy->interp = (tw_interp)forms[form];
    const tw_path_view keys =
        tw_path_export(arena, (tw_path_view){framing->keys, framing->key_count}, forms[form], CHORD);
    copy->keys = TW_NEW_N(arena, tw_key, keys.count);
    copy->key_count = keys.count;
    for (size_t k = 0; k < keys.count; k++) {
        copy->keys[k] = keys.keys[k];
        as_written(&copy->keys[k], copy);
    }
    return copy;
}

tw_derived *tw_derive_as_written(tw_arena *arena, const tw_derived *derived, size_t delivery)
{
    tw_derived *out = TW_NEW(arena, tw_derived);
    *out = *derived;
    out->delivery_count = 1;
    out->deliveries = TW_NEW(arena, tw_derived_delivery);
    tw_derived_delivery *d = out->deliveries;
    *d = derived->deliveries[delivery];
    d->shots = TW_NEW_N(arena, tw_decision, d->shot_count);
    for (size_t i = 0; i < d->shot_count; i++) {
        d->shots[i] = derived->deliveries[delivery].shots[i];
        d->shots[i].framing = formed(arena, d->shots[i].framing, d->delivery->keys);
    }
    return out;
}

tw_timeline *tw_derive_timeline(tw_arena *arena, const tw_derived *derived, size_t delivery, uint64_t master_hash)
{
    const tw_derived_delivery *d = &derived->deliveries[delivery];
    tw_timeline *timeline = tw_timeline_copy(arena, derived->master);
    tw_item **clips = tw_timeline_clips(arena, timeline);
    for (size_t i = 0; i < d->shot_count; i++)
        clips[d->shots[i].clip->index]->framing = formed(arena, d->shots[i].framing, d->delivery->keys);
    timeline->stamp = TW_NEW(arena, tw_stamp);
    *timeline->stamp = (tw_stamp){
        .delivery = d->delivery->name,
        .size = d->delivery->size,
        .master_hash = master_hash,
        .plan_hash = d->delivery->hash,
    };
    return timeline;
}
