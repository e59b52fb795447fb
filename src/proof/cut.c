/* SPDX-License-Identifier: Apache-2.0
 *
 * The cut is untouched: a written file against what its format makes of the master, value for value, then the documents
 * themselves, line for line, for all that the model does not hold.
 */
#include "proof_internal.h"

#include <string.h>

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

static void compare_item(const comparing *c, tw_track_kind track, const tw_item *want, const tw_item *got)
{
    for (size_t i = 0; i < TW_COUNT(aspects); i++) {
        if (aspects[i].same(want, got))
            continue;
        say_aspect(c, &aspects[i], track == TW_TRACK_AUDIO ? 1708 : aspects[i].code, want, got);
        if (i == 0)
            return; /* nothing else can be compared */
    }
    if (want->kind == TW_ITEM_NEST)
        compare_tracks(c, want->tracks, want->track_count, got->tracks, got->track_count);
}

static void say_count(const comparing *c, const tw_track *want, const tw_track *got)
{
    size_t i = 0, most = want->item_count < got->item_count ? want->item_count : got->item_count;
    while (i < most && same_kind(&want->items[i], &got->items[i]) && same_record(&want->items[i], &got->items[i]) &&
           same_names(&want->items[i], &got->items[i]))
        i++;
    const tw_place place = twi_proof_place(c->file, i < got->item_count ? &got->items[i] : NULL);
    const tw_item *first = i < want->item_count ? &want->items[i] : &got->items[i];
    tw_diag_add(c->diags, want->kind == TW_TRACK_AUDIO ? 1708 : 1703, &place,
                "%s track \"%.*s\" holds %zu items, in the master %zu; the first that differs is %.*s",
                want->kind == TW_TRACK_AUDIO ? "audio" : "picture", TW_ARG(want->name), got->item_count,
                want->item_count, TW_ARG(twi_proof_name(c->scratch, first)));
}

/* All but the place on the record, and what a nest holds. */
static bool same_elsewhere(const tw_item *a, const tw_item *b)
{
    bool same = tw_time_eq(a->record.dur, b->record.dur);
    for (size_t i = 0; same && i < TW_COUNT(aspects); i++)
        same = aspects[i].same == same_record || aspects[i].same(a, b);
    return same;
}

/* One item was taken out and put in elsewhere, and what lies between went along: that is one finding, about the items
 * [*from, *to). */
static void say_moved(const comparing *c, const tw_track *want, const tw_track *got, size_t *from, size_t *to)
{
    const tw_item *w = want->items, *g = got->items;
    size_t a = 0, b = want->item_count;
    while (a < b && same_elsewhere(&w[a], &g[a]))
        a++;
    while (b > a && same_elsewhere(&w[b - 1], &g[b - 1]))
        b--;
    bool later = b > a && same_elsewhere(&w[a], &g[b - 1]), earlier = b > a && same_elsewhere(&w[b - 1], &g[a]);
    for (size_t i = a; i + 1 < b && (later || earlier); i++) {
        later = later && w[i].kind != TW_ITEM_NEST && same_elsewhere(&w[i + 1], &g[i]);
        earlier = earlier && g[i].kind != TW_ITEM_NEST && same_elsewhere(&w[i], &g[i + 1]);
    }
    if (b - a < 2 || !(later || earlier) || w[b - 1].kind == TW_ITEM_NEST || g[b - 1].kind == TW_ITEM_NEST)
        return;
    const tw_item *then = &w[later ? a : b - 1], *now = &g[later ? b - 1 : a];
    tw_buf places = {.arena = c->scratch};
    tell_record(c, now, &places);
    tw_buf_addz(&places, "; in the master ");
    tell_record(c, then, &places);
    const tw_place place = twi_proof_place(c->file, now);
    tw_diag_add(c->diags, want->kind == TW_TRACK_AUDIO ? 1708 : 1704, &place, "%.*s stands %zu item%s %s: %.*s%s",
                TW_ARG(twi_proof_name(c->scratch, now)), b - a - 1, TW_PLURAL(b - a - 1), later ? "later" : "earlier",
                TW_ARG(tw_buf_str(&places)), b - a > 2 ? "; what lies between went along" : "");
    *from = a;
    *to = b;
}

static void compare_track(const comparing *c, const tw_track *want, const tw_track *got)
{
    const tw_place place = {.file = c->file->name};
    int code = want->kind == TW_TRACK_AUDIO ? 1708 : 1713;
    if (want->kind != got->kind || !tw_str_eq(want->name, got->name))
        tw_diag_add(c->diags, code, &place, "track \"%.*s\" is \"%.*s\" in the master, or of another kind",
                    TW_ARG(got->name), TW_ARG(want->name));
    if (want->enabled != got->enabled)
        tw_diag_add(c->diags, 1709, &place, "track \"%.*s\" is switched %s, in the master %s", TW_ARG(got->name),
                    got->enabled ? "on" : "off", want->enabled ? "on" : "off");
    if (!marks_same(want->markers, want->marker_count, got->markers, got->marker_count))
        tw_diag_add(c->diags, 1710, &place, "the markers of track \"%.*s\" differ from the master", TW_ARG(got->name));
    if (want->item_count != got->item_count) {
        say_count(c, want, got);
        return;
    }
    size_t from = 0, to = 0;
    say_moved(c, want, got, &from, &to);
    for (size_t i = 0; i < want->item_count; i++)
        if (i < from || i >= to)
            compare_item(c, want->kind, &want->items[i], &got->items[i]);
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

/* ---- documents ------------------------------------------------------------------------------------------- */

/* The master in the written file's format, framed and stamped as the file is: what the file should be. */
static tw_timeline *framed_alike(tw_arena *arena, const tw_timeline *master, const tw_timeline *written)
{
    tw_timeline *copy = tw_timeline_copy(arena, master);
    tw_item **mine = tw_timeline_clips(arena, copy), **theirs = tw_timeline_clips(arena, written);
    for (size_t i = 0; i < copy->clip_count; i++)
        mine[i]->framing = theirs[i]->framing;
    copy->stamp = written->stamp;
    return copy;
}

static bool write_again(tw_arena *arena, const tw_timeline *timeline, const tw_format *format, tw_buf *out)
{
    const tw_write_options options = {.crlf = false};
    tw_diags *losses = tw_diags_new(arena); /* told when the file was written */
    *out = (tw_buf){.arena = arena};
    return format->write(arena, timeline, 0, &options, losses, out) == TW_OK;
}

static tw_str next_line(tw_str text, size_t *at)
{
    tw_str rest = tw_str_from(text, *at);
    const char *end = rest.len > 0 ? memchr(rest.at, '\n', rest.len) : NULL;
    tw_str line = tw_str_cut(rest, end != NULL ? (size_t)(end - rest.at) : rest.len);
    *at += line.len + (end != NULL);
    return line;
}

static size_t own_lines(const char *mark, tw_str text)
{
    size_t count = 0;
    for (size_t at = 0; at < text.len;)
        count += tw_str_holds(next_line(text, &at), tw_str_z(mark));
    return count;
}

static void compare_texts(const comparing *c, tw_str want, tw_str got)
{
    if (tw_str_eq(want, got))
        return;
    tw_place place = {.file = c->file->name};
    const char *mark = c->file->written->format->mark;
    if (own_lines(mark, got) > own_lines(mark, want)) {
        tw_diag_add(c->diags, 1716, &place,
                    "a clip is framed twice in this file: it holds more marks of this tool than "
                    "its clips need");
        return;
    }
    size_t a = 0, b = 0;
    uint32_t line = 0;
    tw_str x = {NULL, 0}, y = {NULL, 0};
    while (tw_str_eq(x, y) && (a < want.len || b < got.len)) {
        x = next_line(want, &a);
        y = next_line(got, &b);
        line++;
    }
    place.line = line;
    place.text = y;
    tw_diag_add(c->diags, 1714, &place,
                "here the file is not what the master and its own framing make; they make: %.*s",
                TW_ARG(tw_str_cut(tw_str_trim(x), 200)));
}

static void compare_documents(const comparing *c, const tw_timeline *master)
{
    tw_buf want, got;
    const tw_timeline *alike = framed_alike(c->scratch, master, c->file->written);
    const tw_format *format = c->file->written->format;
    if (format->made_from != NULL && format->made_from(c->scratch, alike, c->file->written))
        return;
    if (!write_again(c->scratch, alike, format, &want))
        return;
    if (format->to_the_letter)
        compare_texts(c, tw_buf_str(&want), c->file->text);
    else if (write_again(c->scratch, c->file->written, format, &got))
        compare_texts(c, tw_buf_str(&want), tw_buf_str(&got));
}

/* Are its clips the master's, one by one? Then it can be made again of the master and its own framings. */
static bool is_told_twice(const tw_proof_input *in, const tw_proof_file *file)
{
    const tw_timeline *written = file->written;
    if (!written->format->to_the_letter)
        return written->format == in->master->format;
    return file->text.len > 0 && written->clip_count == in->master->clip_count;
}

/* ---- the whole ------------------------------------------------------------------------------------------- */

/* Is the file what its format, which is not the master's, makes of the master? Then there is nothing to compare. Where
 * clips stand in another order the answer is no. */
static bool made_of_master(tw_arena *arena, const tw_proof_input *in, const tw_timeline *written)
{
    return written->format->made_from != NULL && written->clip_count == in->master->clip_count &&
           written->format->made_from(arena, framed_alike(arena, in->master, written), written);
}

/* The master as another format carries it: written without framing and read back. NULL when it cannot. */
static const tw_timeline *as_format(tw_arena *arena, const tw_proof_input *in, const tw_proof_file *file)
{
    const tw_format *format = file->written->format;
    const tw_write_options write = {.crlf = false};
    const tw_read_options read = {.rate = in->master->rate, .drop = in->master->drop};
    tw_diags *losses = tw_diags_new(arena);
    tw_buf text = {.arena = arena};
    tw_timeline *out = NULL;
    if (format->write(arena, in->master, file->part, &write, losses, &text) != TW_OK ||
        format->read(arena, tw_buf_str(&text), file->name, &read, losses, &out) != TW_OK)
        return NULL;
    return out;
}

void twi_proof_cut(tw_arena *arena, const tw_proof_input *in, const tw_proof_file *file, tw_diags *diags)
{
    tw_arena *scratch = tw_arena_like(arena);
    bool own = file->written->format == in->master->format;
    if (!own && made_of_master(scratch, in, file->written)) {
        tw_arena_free(&scratch);
        return;
    }
    comparing c = {scratch, file, own ? in->master : as_format(scratch, in, file), diags};
    size_t before = tw_diags_count(diags, TW_ERROR);
    if (c.expected == NULL) {
        tw_diag_add(diags, 1714, TW_IN(file->name),
                    "the master cannot be written in this format, so nothing can be compared");
    } else {
        compare_heads(&c);
        compare_tracks(&c, c.expected->tracks, c.expected->track_count, file->written->tracks,
                       file->written->track_count);
        if (tw_diags_count(diags, TW_ERROR) == before && is_told_twice(in, file))
            compare_documents(&c, in->master);
    }
    tw_arena_free(&scratch);
}
