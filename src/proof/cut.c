/* SPDX-License-Identifier: Apache-2.0
 *
 * The cut is untouched: a written file against what its format makes of the master, value for value.
 */
#include "proof_internal.h"

/* ---- names and places ------------------------------------------------------------------------------------ */

tw_str twi_proof_name(tw_arena *arena, const tw_item *item)
{
    static const char *const kinds[] = {"clip", "gap", "transition", "nest"};
    tw_str called = item->reel.len > 0 ? item->reel : item->name;
    if (item->event.len > 0)
        return tw_arena_printf(arena, "event %.*s (%.*s)", TW_ARG(item->event), TW_ARG(called));
    if (called.len > 0)
        return tw_arena_printf(arena, "%s \"%.*s\"", kinds[item->kind], TW_ARG(called));
    return tw_arena_printf(arena, "the %s without a name", kinds[item->kind]);
}

tw_place twi_proof_place(const tw_proof_file *file, const tw_item *item)
{
    tw_place place = item != NULL ? item->place : (tw_place){.line = 0};
    place.file = file->name;
    return place;
}

/* ---- aspects of an item ---------------------------------------------------------------------------------- */

typedef struct comparing {
    tw_arena *scratch;
    const tw_proof_file *file;
    const tw_timeline *expected;
    tw_diags *diags;
} comparing;

static bool same_number(double a, double b)
{
    return !(a < b) && !(a > b);
}

static bool same_range(tw_range a, tw_range b)
{
    return tw_time_eq(a.start, b.start) && tw_time_eq(a.dur, b.dur);
}

static bool same_kind(const tw_item *a, const tw_item *b)
{
    return a->kind == b->kind && a->track_count == b->track_count;
}

static bool same_record(const tw_item *a, const tw_item *b)
{
    return same_range(a->record, b->record);
}

static bool same_source(const tw_item *a, const tw_item *b)
{
    return a->has_source == b->has_source && (!a->has_source || same_range(a->source, b->source)) &&
           tw_rate_eq(a->source_rate, b->source_rate) && a->source_drop == b->source_drop;
}

static bool same_speed(const tw_item *a, const tw_item *b)
{
    return same_number(a->speed, b->speed) && a->variable_speed == b->variable_speed;
}

static bool same_transition(const tw_item *a, const tw_item *b)
{
    bool named = a->kind != TW_ITEM_TRANSITION || tw_str_eq(a->name, b->name);
    return named && tw_time_eq(a->head, b->head) && tw_time_eq(a->tail, b->tail); /* of transitions: their offsets */
}

static bool same_enabled(const tw_item *a, const tw_item *b)
{
    return a->enabled == b->enabled;
}

static bool marks_same(const tw_marker *a, size_t a_count, const tw_marker *b, size_t b_count)
{
    bool same = a_count == b_count;
    for (size_t i = 0; same && i < a_count; i++)
        same = tw_str_eq(a[i].name, b[i].name) && tw_str_eq(a[i].comment, b[i].comment) &&
               tw_str_eq(a[i].color, b[i].color) && same_range(a[i].at, b[i].at);
    return same;
}

static bool same_markers(const tw_item *a, const tw_item *b)
{
    return marks_same(a->markers, a->marker_count, b->markers, b->marker_count);
}

static bool texts_same(const tw_remark *a, size_t a_count, const tw_remark *b, size_t b_count)
{
    bool same = a_count == b_count;
    for (size_t i = 0; same && i < a_count; i++)
        same = tw_str_eq(a[i].text, b[i].text);
    return same;
}

static bool same_remarks(const tw_item *a, const tw_item *b)
{
    return texts_same(a->remarks, a->remark_count, b->remarks, b->remark_count);
}

static bool one_media_same(const tw_media *a, const tw_media *b)
{
    return a->kind == b->kind && tw_str_eq(a->key, b->key) && tw_str_eq(a->name, b->name) &&
           tw_str_eq(a->url, b->url) && a->has_available == b->has_available &&
           (!a->has_available || same_range(a->available, b->available)) && tw_rate_eq(a->rate, b->rate);
}

static bool same_media(const tw_item *a, const tw_item *b)
{
    bool same = a->media_count == b->media_count && a->media_active == b->media_active;
    for (size_t i = 0; same && i < a->media_count; i++)
        same = one_media_same(&a->media[i], &b->media[i]);
    return same;
}

static bool same_names(const tw_item *a, const tw_item *b)
{
    return tw_str_eq(a->name, b->name) && tw_str_eq(a->event, b->event) && tw_str_eq(a->reel, b->reel) &&
           a->channels == b->channels;
}

static void tell_range(const comparing *c, tw_range r, tw_rate rate, bool drop, tw_buf *out)
{
    rate = tw_rate_known(rate) ? rate : c->expected->rate;
    tw_tc_add(tw_time_round(r.start, rate, NULL), rate, drop, out);
    tw_buf_addf(out, ", %lld frames", (long long)tw_time_round(r.dur, rate, NULL));
}

static void tell_record(const comparing *c, const tw_item *item, tw_buf *out)
{
    tell_range(c, item->record, c->expected->rate, c->expected->drop, out);
}

static void tell_source(const comparing *c, const tw_item *item, tw_buf *out)
{
    if (item->has_source)
        tell_range(c, item->source, item->source_rate, item->source_drop, out);
    else
        tw_buf_addz(out, "none");
}

static void tell_speed(const comparing *c, const tw_item *item, tw_buf *out)
{
    (void)c;
    tw_buf_add_double(out, item->speed);
}

static void tell_enabled(const comparing *c, const tw_item *item, tw_buf *out)
{
    (void)c;
    tw_buf_addz(out, item->enabled ? "on" : "off");
}

typedef struct aspect {
    int code;
    const char *what;
    bool (*same)(const tw_item *a, const tw_item *b);
    void (*tell)(const comparing *c, const tw_item *item, tw_buf *out); /* may be NULL */
} aspect;

static const aspect aspects[] = {
    {1703, "kind", same_kind, NULL},
    {1704, "place on the record", same_record, tell_record},
    {1705, "source range", same_source, tell_source},
    {1706, "speed", same_speed, tell_speed},
    {1707, "transition", same_transition, NULL},
    {1709, "switch", same_enabled, tell_enabled},
    {1710, "markers", same_markers, NULL},
    {1711, "remarks", same_remarks, NULL},
    {1712, "media", same_media, NULL},
    {1713, "names", same_names, NULL},
};

/* ---- items and tracks ------------------------------------------------------------------------------------ */

static void say_aspect(const comparing *c, const aspect *a, int code, const tw_item *want, const tw_item *got)
{
    const tw_place place = twi_proof_place(c->file, got);
    tw_buf values = {.arena = c->scratch};
    if (a->tell != NULL) {
        tw_buf_addz(&values, ": ");
        a->tell(c, got, &values);
        tw_buf_addz(&values, "; in the master ");
        a->tell(c, want, &values);
    } else {
        tw_buf_addz(&values, " not as in the master");
    }
    tw_diag_add(c->diags, code, &place, "%.*s: %s%.*s", TW_ARG(twi_proof_name(c->scratch, got)), a->what,
                TW_ARG(tw_buf_str(&values)));
}

static void compare_tracks(const comparing *c, const tw_track *want, size_t want_count, const tw_track *got,
                           size_t got_count);

static int code_for(const tw_track *track, int code)
{
    return track->kind == TW_TRACK_AUDIO ? 1708 : code;
}

static void compare_inside(const comparing *c, const tw_item *want, const tw_item *got)
{
    if (want->kind == TW_ITEM_NEST)
        compare_tracks(c, want->tracks, want->track_count, got->tracks, got->track_count);
}

/* trimmed: its length has been told. */
static void compare_item(const comparing *c, const tw_track *track, const tw_item *want, const tw_item *got,
                         bool trimmed)
{
    for (size_t i = 0; i < TW_COUNT(aspects); i++) {
        bool told = trimmed && (aspects[i].same == same_record || aspects[i].same == same_source);
        if (told || aspects[i].same(want, got))
            continue;
        say_aspect(c, &aspects[i], code_for(track, aspects[i].code), want, got);
        if (i == 0)
            return; /* nothing else can be compared */
    }
    compare_inside(c, want, got);
}

/* All but the place on the record, and what a nest holds. */
static bool same_elsewhere(const tw_item *a, const tw_item *b)
{
    bool same = tw_time_eq(a->record.dur, b->record.dur);
    for (size_t i = 0; same && i < TW_COUNT(aspects); i++)
        same = aspects[i].same == same_record || aspects[i].same(a, b);
    return same;
}

/* What differs: items [from, want) of the master, [from, got) of the file. All behind stands `late` later. */
typedef struct stretch {
    size_t from, want, got;
    tw_time late;
} stretch;

static stretch differing(const tw_track *want, const tw_track *got)
{
    const tw_item *w = want->items, *g = got->items;
    stretch s = {0, want->item_count, got->item_count, TW_TIME_ZERO};
    while (s.from < s.want && s.from < s.got && same_elsewhere(&w[s.from], &g[s.from]) &&
           same_record(&w[s.from], &g[s.from]))
        s.from++;
    if (s.from < s.want && s.from < s.got)
        s.late = tw_time_sub(g[s.got - 1].record.start, w[s.want - 1].record.start);
    while (s.from < s.want && s.from < s.got && same_elsewhere(&w[s.want - 1], &g[s.got - 1]) &&
           tw_time_eq(tw_time_sub(g[s.got - 1].record.start, w[s.want - 1].record.start), s.late)) {
        s.want--;
        s.got--;
    }
    return s;
}

/* "; what follows stands 5 frames earlier" */
static tw_str follows(const comparing *c, const stretch *s, const tw_track *got)
{
    int64_t late = tw_time_round(s->late, c->expected->rate, NULL);
    if (late == 0 || s->got == got->item_count)
        return TW_STR("");
    return tw_arena_printf(c->scratch, "; what follows stands %lld frame%s %s", (long long)(late < 0 ? -late : late),
                           TW_PLURAL(late < 0 ? -late : late), late < 0 ? "earlier" : "later");
}

/* Cut short or made longer at one end, and nothing else that concerns time. */
static bool say_trimmed(const comparing *c, const tw_track *track, const tw_item *want, const tw_item *got,
                        tw_str after)
{
    bool head = !tw_time_eq(want->source.start, got->source.start);
    bool one_end = !head || tw_time_eq(tw_range_end(want->source), tw_range_end(got->source));
    int64_t longer = tw_time_round(tw_time_sub(got->record.dur, want->record.dur), c->expected->rate, NULL);
    if (want->kind != TW_ITEM_CLIP || got->kind != TW_ITEM_CLIP || !want->has_source || !got->has_source ||
        !same_names(want, got) || !same_speed(want, got) || !one_end || longer == 0 ||
        tw_time_eq(want->source.dur, got->source.dur))
        return false;
    const tw_place place = twi_proof_place(c->file, got);
    tw_buf places = {.arena = c->scratch};
    tell_source(c, got, &places);
    tw_buf_addz(&places, "; in the master ");
    tell_source(c, want, &places);
    tw_diag_add(c->diags, code_for(track, 1704), &place, "%.*s: %s %lld frame%s %s: %.*s%.*s",
                TW_ARG(twi_proof_name(c->scratch, got)), head ? "head" : "tail",
                (long long)(longer < 0 ? -longer : longer), TW_PLURAL(longer < 0 ? -longer : longer),
                longer < 0 ? "shorter" : "longer", TW_ARG(tw_buf_str(&places)), TW_ARG(after));
    compare_item(c, track, want, got, true);
    return true;
}

/* One item gone, come or trimmed (a list leaves a gap there), or only what stands before the others: one finding. */
static bool say_one(const comparing *c, const tw_track *want, const tw_track *got, const stretch *s)
{
    const tw_item *w = &want->items[s->from], *g = &got->items[s->from];
    size_t gone = s->want - s->from, come = s->got - s->from;
    tw_str after = follows(c, s, got);
    if (gone == 1 && come == 2 && (g[0].kind == TW_ITEM_GAP || g[1].kind == TW_ITEM_GAP))
        return say_trimmed(c, want, w, &g[g[0].kind == TW_ITEM_GAP], after);
    if (gone == 1 && come == 1)
        return say_trimmed(c, want, w, g, after);
    if (gone + come > 1 || (gone + come == 0 && s->from == got->item_count))
        return false;
    const tw_place place = twi_proof_place(c->file, s->from < got->item_count ? g : NULL);
    tw_buf at = {.arena = c->scratch};
    tell_record(c, gone > 0 ? w : g, &at);
    tw_diag_add(c->diags, code_for(want, gone + come > 0 ? 1703 : 1704), &place, "%.*s%s%.*s%.*s",
                TW_ARG(twi_proof_name(c->scratch, gone > 0 ? w : g)),
                gone > 0   ? " is missing: in the master it stands at "
                : come > 0 ? " is not in the master: it stands at "
                           : " and what follows are not where they are in the master: here from ",
                TW_ARG(tw_buf_str(&at)), TW_ARG(after));
    return true;
}

/* One item was taken out and put in elsewhere, and what lies between went along. */
static bool say_moved(const comparing *c, const tw_track *want, const tw_track *got, const stretch *s)
{
    const tw_item *w = want->items, *g = got->items;
    size_t a = s->from, b = s->want;
    if (s->got != b || b - a < 2)
        return false;
    bool later = same_elsewhere(&w[a], &g[b - 1]), earlier = same_elsewhere(&w[b - 1], &g[a]);
    for (size_t i = a; i + 1 < b && (later || earlier); i++) {
        later = later && w[i].kind != TW_ITEM_NEST && same_elsewhere(&w[i + 1], &g[i]);
        earlier = earlier && g[i].kind != TW_ITEM_NEST && same_elsewhere(&w[i], &g[i + 1]);
    }
    if (!(later || earlier) || w[b - 1].kind == TW_ITEM_NEST || g[b - 1].kind == TW_ITEM_NEST)
        return false;
    const tw_item *then = &w[later ? a : b - 1], *now = &g[later ? b - 1 : a];
    tw_buf places = {.arena = c->scratch};
    tell_record(c, now, &places);
    tw_buf_addz(&places, "; in the master ");
    tell_record(c, then, &places);
    const tw_place place = twi_proof_place(c->file, now);
    tw_diag_add(c->diags, code_for(want, 1704), &place, "%.*s stands %zu item%s %s: %.*s%s",
                TW_ARG(twi_proof_name(c->scratch, now)), b - a - 1, TW_PLURAL(b - a - 1), later ? "later" : "earlier",
                TW_ARG(tw_buf_str(&places)), b - a > 2 ? "; what lies between went along" : "");
    return true;
}

static void say_count(const comparing *c, const tw_track *want, const tw_track *got, size_t from)
{
    const tw_place place = twi_proof_place(c->file, from < got->item_count ? &got->items[from] : NULL);
    const tw_item *first = from < want->item_count ? &want->items[from] : &got->items[from];
    tw_diag_add(c->diags, code_for(want, 1703), &place,
                "%s track \"%.*s\" holds %zu items, in the master %zu; the first that differs is %.*s",
                want->kind == TW_TRACK_AUDIO ? "audio" : "picture", TW_ARG(want->name), got->item_count,
                want->item_count, TW_ARG(twi_proof_name(c->scratch, first)));
}

static void compare_items(const comparing *c, const tw_track *want, const tw_track *got)
{
    const stretch s = differing(want, got);
    for (size_t i = 0; i < s.from; i++)
        compare_inside(c, &want->items[i], &got->items[i]);
    for (size_t i = 0; s.want + i < want->item_count; i++)
        compare_inside(c, &want->items[s.want + i], &got->items[s.got + i]);
    bool same = s.from == s.want && s.from == s.got && tw_time_eq(s.late, TW_TIME_ZERO);
    if (same || say_one(c, want, got, &s) || say_moved(c, want, got, &s))
        return;
    if (s.want != s.got)
        say_count(c, want, got, s.from);
    for (size_t i = s.from; s.want == s.got && i < s.want; i++)
        compare_item(c, want, &want->items[i], &got->items[i], false);
}

static void compare_track(const comparing *c, const tw_track *want, const tw_track *got)
{
    const tw_place place = {.file = c->file->name};
    int code = code_for(want, 1713);
    if (want->kind != got->kind || !tw_str_eq(want->name, got->name))
        tw_diag_add(c->diags, code, &place, "track \"%.*s\" is \"%.*s\" in the master, or of another kind",
                    TW_ARG(got->name), TW_ARG(want->name));
    if (want->enabled != got->enabled)
        tw_diag_add(c->diags, 1709, &place, "track \"%.*s\" is switched %s, in the master %s", TW_ARG(got->name),
                    got->enabled ? "on" : "off", want->enabled ? "on" : "off");
    if (!marks_same(want->markers, want->marker_count, got->markers, got->marker_count))
        tw_diag_add(c->diags, 1710, &place, "the markers of track \"%.*s\" differ from the master", TW_ARG(got->name));
    compare_items(c, want, got);
}

/* Depth is bounded by what readers accept. */
static void compare_tracks(const comparing *c, const tw_track *want, size_t want_count, const tw_track *got,
                           size_t got_count)
{
    if (want_count != got_count) {
        const tw_track *more = want_count > got_count ? &want[got_count] : &got[want_count];
        tw_diag_add(c->diags, more->kind == TW_TRACK_AUDIO ? 1708 : 1703, TW_IN(c->file->name),
                    "%zu tracks, in the master %zu", got_count, want_count);
    }
    for (size_t t = 0; t < want_count && t < got_count; t++)
        compare_track(c, &want[t], &got[t]);
}

static void compare_heads(const comparing *c)
{
    const tw_timeline *want = c->expected, *got = c->file->written;
    const tw_place place = {.file = c->file->name};
    if (!tw_rate_eq(want->rate, got->rate) || want->drop != got->drop || !tw_time_eq(want->start, got->start))
        tw_diag_add(c->diags, 1704, &place, "the record clock differs from the master: rate, drop frame or start");
    if (!tw_str_starts(got->name, want->name)) /* a document is called after its delivery too */
        tw_diag_add(c->diags, 1713, &place, "the edit is called \"%.*s\", in the master \"%.*s\"", TW_ARG(got->name),
                    TW_ARG(want->name));
    if (!marks_same(want->markers, want->marker_count, got->markers, got->marker_count))
        tw_diag_add(c->diags, 1710, &place, "the markers of the timeline differ from the master");
    if (!texts_same(want->remarks, want->remark_count, got->remarks, got->remark_count))
        tw_diag_add(c->diags, 1711, &place, "remarks that belong to no event differ from the master");
}

/* ---- the whole ------------------------------------------------------------------------------------------- */

const tw_timeline *twi_proof_as_format(tw_arena *arena, const tw_proof_input *in, const tw_proof_file *file)
{
    const tw_format *format = file->written->format;
    const tw_write_options write = {.crlf = false};
    const tw_read_options read = tw_timeline_reading(in->master);
    tw_diags *losses = tw_diags_new(arena);
    tw_buf text = {.arena = arena};
    tw_timeline *out = NULL;
    if (format->write(arena, in->master, file->part, &write, losses, &text) != TW_OK ||
        format->read(arena, tw_buf_str(&text), file->name, &read, losses, &out) != TW_OK)
        return NULL;
    return out;
}

bool twi_proof_cut(tw_arena *arena, const tw_proof_input *in, const tw_proof_file *file, tw_diags *diags)
{
    tw_arena *scratch = tw_arena_like(arena);
    bool own = file->written->format == in->master->format, damaged = false;
    if (!own && twi_proof_made_again(scratch, in, file->written)) {
        tw_arena_free(&scratch);
        return false;
    }
    comparing c = {scratch, file, own ? in->master : twi_proof_as_format(scratch, in, file), diags};
    size_t before = tw_diags_count(diags, TW_ERROR);
    if (c.expected == NULL) {
        tw_diag_add(diags, 1714, TW_IN(file->name),
                    "the master cannot be written in this format, so nothing can be compared");
    } else {
        compare_heads(&c);
        size_t heads = tw_diags_count(diags, TW_ERROR);
        compare_tracks(&c, c.expected->tracks, c.expected->track_count, file->written->tracks,
                       file->written->track_count);
        damaged = tw_diags_count(diags, TW_ERROR) > heads;
        if (tw_diags_count(diags, TW_ERROR) == before)
            twi_proof_document(scratch, in, file, diags);
    }
    tw_arena_free(&scratch);
    return damaged;
}
