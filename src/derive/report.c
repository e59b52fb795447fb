/* SPDX-License-Identifier: Apache-2.0
 *
 * What is to be said of shots and notes, before solving and after.
 */
#include "derive_internal.h"

static tw_str name_of(const tw_item *clip)
{
    tw_str name = tw_item_source_name(clip);
    return name.len > 0 ? name : TW_STR("(no name)");
}

static tw_place place_in(const tw_timeline *master, const tw_item *clip)
{
    tw_place place = clip->place;
    place.file = place.file.len > 0 ? place.file : master->file;
    return place;
}

static void report_endless(tw_arena *arena, const tw_timeline *master, const twi_shot *shot, const tw_place *place,
                           tw_diags *diags)
{
    int64_t frames = 0;
    for (size_t p = 0; p < shot->parts && frames <= TW_SHOT_FRAMES_LIMIT; p++)
        frames += shot[p].frames;
    tw_buf hours = {.arena = arena};
    tw_buf_add_fixed(&hours, (double)frames / tw_rate_fps(master->rate) / 3600, 1);
    if (frames > TW_SHOT_FRAMES_LIMIT)
        tw_diag_add(diags, 1609, place,
                    "this shot runs for %.*s hours, %lld frames: at most %lld are framed, it is left without framing",
                    TW_ARG(tw_buf_str(&hours)), (long long)frames, (long long)TW_SHOT_FRAMES_LIMIT);
    else
        tw_diag_add(diags, 1609, place,
                    "this shot runs for %.*s hours, and its notes have too many regions to follow them all in each of "
                    "its %lld frames: it is left without framing",
                    TW_ARG(tw_buf_str(&hours)), (long long)frames);
}

static void report_sources(tw_arena *arena, const tw_timeline *master, const twi_shots *shots, tw_diags *diags)
{
    for (size_t i = 0; i < shots->len; i++) {
        const twi_shot *s = &shots->at[i];
        tw_place place = place_in(master, s->clip);
        if (s->source == NULL && !tw_item_is_black(s->clip)) {
            tw_diag_add(diags, 1601, &place, "no source in the plan matches \"%.*s\": the shot is left without framing",
                        TW_ARG(name_of(s->clip)));
            tw_diag_hint(diags, "add {\"reel\": \"%.*s\", \"size\": [width, height]} to the plan's sources",
                         TW_ARG(name_of(s->clip)));
        } else if (s->source != NULL && s->source->size.w <= 0) {
            tw_diag_add(diags, 1602, &place,
                        "the size of source \"%.*s\" is not known: the shot is left without framing",
                        TW_ARG(s->source->reel));
            tw_diag_hint(diags, "give the plan's source \"%.*s\" its \"size\": [width, height]",
                         TW_ARG(s->source->reel));
        } else if (s->endless && s->parts > 0) {
            report_endless(arena, master, s, &place, diags);
        }
    }
}

bool twi_derive_in_bounds(const tw_timeline *master, const twi_shots *shots, tw_diags *diags)
{
    int64_t frames = 0;
    for (size_t i = 0; i < shots->len; i++)
        frames += shots->at[i].endless ? 0 : shots->at[i].frames;
    if (frames <= TW_EDIT_FRAMES_LIMIT)
        return true;
    const tw_place place = {.file = master->file};
    tw_diag_add(diags, 1610, &place, "the shots of this edit have %lld frames together: at most %lld are framed",
                (long long)frames, (long long)TW_EDIT_FRAMES_LIMIT);
    return false;
}

static void mark_notes(const tw_plan *plan, const twi_shots *shots, bool *used)
{
    for (size_t i = 0; i < shots->len; i++)
        for (size_t n = 0; n < shots->at[i].note_count; n++)
            used[shots->at[i].notes[n] - plan->notes] = true;
}

static void report_notes(tw_arena *arena, const tw_plan *plan, const bool *used, tw_diags *diags)
{
    for (size_t n = 0; n < plan->note_count; n++) {
        const tw_note *note = &plan->notes[n];
        if (used[n]) {
            twi_derive_tell_corners(arena, plan, note, diags);
            continue;
        }
        const tw_place place = tw_json_place(&plan->doc, note->json);
        tw_diag_add(diags, 1603, &place, "no shot of this edit shows what note %.*s on reel %.*s speaks of; it is kept",
                    TW_ARG(note->id), TW_ARG(note->reel));
    }
}

void twi_derive_report(tw_arena *arena, const tw_derived *derived, const twi_shots *shots, tw_diags *diags)
{
    mark_notes(derived->plan, shots, derived->note_used);
    report_sources(arena, derived->master, shots, diags);
    report_notes(arena, derived->plan, derived->note_used, diags);
}

/* ---- what had to give ------------------------------------------------------------------------------------ */

static int code_for(tw_path_yield what)
{
    if (what == TW_YIELD_SCALE)
        return 1605;
    return what == TW_YIELD_CUT || what == TW_YIELD_DROPPED ? 1604 : 1606;
}

static void report_shot(tw_arena *arena, const tw_derived *derived, const tw_delivery *delivery,
                        const tw_decision *shot, tw_diags *diags)
{
    tw_place place = place_in(derived->master, shot->clip);
    place.text = TW_STR(""); /* nothing is wrong with the line */
    for (size_t c = 0; c < shot->path.compromise_count; c++) {
        const tw_path_compromise *what = &shot->path.compromises[c];
        tw_str say = tw_derive_say(arena, shot, what);
        tw_diag_add(diags, code_for(what->what), &place, "%.*s, %.*s: %.*s", TW_ARG(delivery->name),
                    TW_ARG(name_of(shot->clip)), TW_ARG(say));
    }
}

void tw_derive_findings(tw_arena *arena, const tw_derived *derived, tw_diags *diags)
{
    for (size_t d = 0; d < derived->delivery_count; d++) {
        const tw_derived_delivery *delivery = &derived->deliveries[d];
        for (size_t i = 0; i < delivery->shot_count; i++)
            if (delivery->shots[i].part == 0)
                report_shot(arena, derived, delivery->delivery, &delivery->shots[i], diags);
    }
}
