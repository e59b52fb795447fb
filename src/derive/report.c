/* SPDX-License-Identifier: Apache-2.0
 *
 * What is to be said of shots and notes, before solving and after.
 */
#include "derive_internal.h"

#include <stdlib.h>

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
    tw_diag_add(diags, 1610, TW_IN(master->file),
                "the shots of this edit have %lld frames together: at most %lld are framed", (long long)frames,
                (long long)TW_EDIT_FRAMES_LIMIT);
    return false;
}

static void mark_notes(const tw_plan *plan, const twi_shots *shots, bool *used)
{
    for (size_t i = 0; i < shots->len; i++)
        for (size_t n = 0; n < shots->at[i].note_count; n++)
            used[shots->at[i].notes[n] - plan->notes] = true;
}

/* ---- notes no shot uses ---------------------------------------------------------------------------------- */

/* What the edit shows of a reel. */
typedef struct reel_span {
    tw_str name, key; /* as the edit has it, empty when in several ways; see key_of */
    int64_t low, high;
    tw_rate rate;
    bool drop;
} reel_span;

typedef struct reel_spans {
    tw_arena *arena;
    reel_span *at;
    size_t len, cap;
} reel_spans;

/* Small letters, without leading zeros of numbers and what stands between words: "A 03" is "A003" to people. */
static tw_str key_of(tw_arena *arena, tw_str name)
{
    tw_buf key = {.arena = arena};
    const tw_str lower = tw_arena_lower(arena, name);
    for (size_t i = 0; i < lower.len; i++) {
        char c = lower.at[i], last = key.len > 0 ? key.at[key.len - 1] : ' ';
        bool leads = c == '0' && (last < '0' || last > '9');
        if (!leads && c != ' ' && c != '_' && c != '-' && c != '.')
            tw_buf_addc(&key, c);
    }
    return tw_buf_str(&key);
}

static int by_key(const void *a, const void *b)
{
    const reel_span *x = a, *y = b;
    return tw_str_cmp(x->key, y->key);
}

static void add_spans(reel_spans *spans, const tw_derived *derived, const twi_shot *shot)
{
    const tw_timeline *master = derived->master;
    const tw_names names = tw_item_names(shot->clip);
    int64_t a = (int64_t)tw_item_source_frame(master, shot->clip, shot->first);
    int64_t b = (int64_t)tw_item_source_frame(master, shot->clip, shot->first + shot->frames - 1);
    reel_span span = {.low = a < b ? a : b, .high = a < b ? b : a};
    tw_plan_clock(derived->plan, name_of(shot->clip), master->rate, master->drop, &span.rate, &span.drop);
    for (size_t i = 0; i < names.count; i++) {
        span.name = names.at[i];
        span.key = key_of(spans->arena, names.at[i]);
        TW_PUSH(spans->arena, spans->at, spans->len, spans->cap) = span;
    }
}

static reel_spans spans_of(tw_arena *arena, const tw_derived *derived, const twi_shots *shots)
{
    reel_spans spans = {.arena = arena};
    for (size_t i = 0; i < shots->len; i++)
        add_spans(&spans, derived, &shots->at[i]);
    TW_SORT(spans.at, spans.len, by_key);
    size_t kept = 0;
    for (size_t i = 0; i < spans.len; i++) {
        const reel_span *s = &spans.at[i];
        reel_span *before = kept > 0 ? &spans.at[kept - 1] : NULL;
        if (before == NULL || !tw_str_eq(before->key, s->key)) {
            spans.at[kept++] = *s;
            continue;
        }
        if (!tw_str_ieq(before->name, s->name))
            before->name = TW_STR("");
        before->low = s->low < before->low ? s->low : before->low;
        before->high = s->high > before->high ? s->high : before->high;
    }
    spans.len = kept;
    return spans;
}

/* A cut away part of a reel is minutes from what is left of it; the record's time code, or a wrong digit, hours. The
 * clock begins anew at midnight: far is meant both ways round it. */
static bool is_far(const tw_note *note, const reel_span *span)
{
    int64_t hour = (int64_t)(3600 * tw_rate_fps(span->rate)), day = tw_tc_day(span->rate, span->drop);
    return (note->has_in && note->in > span->high + hour && note->in < span->low - hour + day) ||
           (note->has_out && note->out < span->low - hour && note->out > span->high + hour - day);
}

static void tell_far(const tw_plan *plan, const tw_note *note, const reel_span *span, tw_diags *diags)
{
    const tw_place place = tw_json_place(&plan->doc, tw_json_get(note->json, note->has_in ? "in" : "out"));
    char low[12], high[12];
    tw_tc_write(span->low, span->rate, span->drop, false, low);
    tw_tc_write(span->high, span->rate, span->drop, false, high);
    tw_diag_add(diags, 1612, &place,
                "the times of note %.*s are more than an hour from all that this edit shows of reel %.*s",
                TW_ARG(note->id), TW_ARG(span->name));
    tw_diag_hint(diags, "it shows frames from %.11s to %.11s; a note's times are those of the reel, not of the edit",
                 low, high);
}

static void tell_misspelt(const tw_plan *plan, const tw_note *note, const reel_span *span, tw_diags *diags)
{
    const tw_place place = tw_json_place(&plan->doc, tw_json_get(note->json, "reel"));
    tw_diag_add(diags, 1612, &place, "note %.*s is for reel \"%.*s\", of which this edit has no shot", TW_ARG(note->id),
                TW_ARG(note->reel));
    tw_diag_hint(diags, "did you mean \"%.*s\"?", TW_ARG(span->name));
}

static void report_unused(const tw_plan *plan, const tw_note *note, const reel_spans *spans, tw_diags *diags)
{
    const reel_span wanted = {.key = key_of(spans->arena, note->reel)};
    const reel_span *span = spans->len > 0 ? bsearch(&wanted, spans->at, spans->len, sizeof *spans->at, by_key) : NULL;
    bool known = span != NULL && span->name.len > 0;
    if (known && !tw_str_ieq(span->name, note->reel)) {
        tell_misspelt(plan, note, span, diags);
    } else if (known && is_far(note, span)) {
        tell_far(plan, note, span, diags);
    } else {
        const tw_place place = tw_json_place(&plan->doc, note->json);
        tw_diag_add(diags, 1603, &place, "no shot of this edit shows what note %.*s on reel %.*s speaks of; it is kept",
                    TW_ARG(note->id), TW_ARG(note->reel));
    }
}

static void report_notes(tw_arena *arena, const tw_derived *derived, const twi_shots *shots, tw_diags *diags)
{
    tw_arena *scratch = tw_arena_like(arena);
    reel_spans spans = {.at = NULL};
    for (size_t n = 0; n < derived->plan->note_count; n++) {
        const tw_note *note = &derived->plan->notes[n];
        if (derived->note_used[n]) {
            twi_derive_tell_corners(arena, derived->plan, note, diags);
            continue;
        }
        if (spans.arena == NULL)
            spans = spans_of(scratch, derived, shots);
        report_unused(derived->plan, note, &spans, diags);
    }
    tw_arena_free(&scratch);
}

void twi_derive_report(tw_arena *arena, const tw_derived *derived, const twi_shots *shots, tw_diags *diags)
{
    mark_notes(derived->plan, shots, derived->note_used);
    report_sources(arena, derived->master, shots, diags);
    report_notes(arena, derived, shots, diags);
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
