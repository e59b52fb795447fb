/* SPDX-License-Identifier: Apache-2.0 */
#include "smil_internal.h"

#include <tallwide/version.h>

typedef enum loss {
    LOST_SPEED,
    LOST_NEST_SPEED,
    LOST_VARIABLE,
    LOST_SWITCH,
    LOST_TRACK_SWITCH,
    LOST_NEST_SWITCH,
    LOST_MARKER,
    LOST_REMARK,
    LOST_MEDIA,
    LOST_FILE,
    LOST_SOURCE,
    LOST_WIPE,
    LOST_OUTWARD,
    LOST_ORDER,
    LOST_PART,
    LOST_UNPLACED,
    LOST_CHARACTER,
    LOSSES
} loss;

typedef struct writer {
    tw_arena *arena;
    const tw_timeline *timeline;
    tw_diags *diags;
    tw_xml xml;
    size_t transitions, nests; /* numbered so far */
    size_t lost[LOSSES];
} writer;

/* ---- small pieces ---------------------------------------------------------------------------------------- */

static void attr_clock(writer *w, const char *name, const char *before, int64_t ms)
{
    tw_buf value = {.arena = w->arena};
    tw_buf_addz(&value, before);
    twi_smil_clock(ms, &value);
    tw_xml_attr(&w->xml, name, tw_buf_str(&value));
}

static void param(writer *w, const char *name, tw_str value)
{
    tw_xml_open_with(&w->xml, "param", "name", name);
    tw_xml_attr(&w->xml, "value", value);
    tw_xml_close(&w->xml);
}

static void param_text(writer *w, const char *name, tw_str value)
{
    if (value.len > 0)
        param(w, name, value);
}

static void param_frames(writer *w, const char *name, tw_time t, tw_rate rate)
{
    bool whole;
    param(w, name, tw_arena_printf(w->arena, "%lld", (long long)tw_time_round(t, rate, &whole)));
    w->lost[LOST_PART] += !whole;
}

static void meta(writer *w, const char *name, tw_str content)
{
    tw_xml_open_with(&w->xml, "meta", "name", name);
    tw_xml_attr(&w->xml, "content", content);
    tw_xml_close(&w->xml);
}

static tw_str window_text(writer *w, tw_window win, tw_size source)
{
    const tw_window p = twi_smil_whole(win, source);
    tw_buf text = {.arena = w->arena};
    const double values[] = {p.x, p.y, p.w, p.h};
    for (int i = 0; i < 4; i++) {
        if (i > 0)
            tw_buf_addc(&text, ',');
        tw_buf_add_fixed(&text, values[i], 0);
    }
    return tw_buf_str(&text);
}

/* ---- head ------------------------------------------------------------------------------------------------ */

static void write_meta(writer *w)
{
    const tw_timeline *t = w->timeline;
    meta(w, "generator", TW_STR("tallwide " TW_VERSION));
    meta(w, "title", t->name);
    tw_buf rate = {.arena = w->arena};
    tw_rate_write(t->rate, &rate);
    meta(w, "edit-rate", tw_buf_str(&rate));
    meta(w, "drop-frame", t->drop ? TW_STR("true") : TW_STR("false"));
    meta(w, "start", tw_tc_text(w->arena, tw_time_round(t->start, t->rate, NULL), t->rate, t->drop));
    if (t->stamp == NULL)
        return;
    meta(w, "delivery", t->stamp->delivery);
    meta(w, "master", tw_arena_hex(w->arena, t->stamp->master_hash));
    meta(w, "plan", tw_arena_hex(w->arena, t->stamp->plan_hash));
}

static tw_size stage_size(const tw_timeline *t)
{
    return t->stamp != NULL ? t->stamp->size : (tw_size){1920, 1080};
}

static void write_layout(writer *w)
{
    tw_size size = stage_size(w->timeline);
    tw_xml_open(&w->xml, "layout");
    tw_xml_open(&w->xml, "root-layout");
    tw_xml_attrf(&w->xml, "width", "%d", size.w);
    tw_xml_attrf(&w->xml, "height", "%d", size.h);
    tw_xml_attrz(&w->xml, "backgroundColor", "black");
    tw_xml_close(&w->xml);
    tw_xml_open_with(&w->xml, "region", "xml:id", "frame");
    tw_xml_attrf(&w->xml, "width", "%d", size.w);
    tw_xml_attrf(&w->xml, "height", "%d", size.h);
    tw_xml_attrz(&w->xml, "fit", "fill");
    tw_xml_close(&w->xml);
    tw_xml_close(&w->xml);
}

static bool is_dissolve(const tw_item *item)
{
    return tw_str_is(item->name, "dissolve") || tw_str_is(item->name, "SMPTE_Dissolve");
}

/* A transition out of it would be read as one out of the clip before it. */
static bool leaves_no_trace(const tw_item *item)
{
    return item->kind == TW_ITEM_GAP && tw_time_cmp(item->record.dur, TW_TIME_ZERO) <= 0;
}

/* Does it lead into a clip, and would be read so? */
static bool leads_in(const tw_track *track, size_t i)
{
    const tw_item *items = track->items;
    return i + 1 < track->item_count && items[i + 1].kind == TW_ITEM_CLIP &&
           (i == 0 || !leaves_no_trace(&items[i - 1]));
}

/* Does it lead out of a clip into nothing? */
static bool leads_out(const tw_track *track, size_t i)
{
    const tw_item *items = track->items;
    if (i >= track->item_count || items[i].kind != TW_ITEM_TRANSITION || i == 0 || items[i - 1].kind != TW_ITEM_CLIP)
        return false;
    return i + 1 == track->item_count ||
           (items[i + 1].kind == TW_ITEM_GAP && tw_time_cmp(items[i + 1].record.dur, TW_TIME_ZERO) > 0);
}

static void head_transition(writer *w, const tw_item *item, bool out)
{
    bool dissolve = is_dissolve(item);
    w->lost[LOST_WIPE] += !dissolve;
    tw_xml_open(&w->xml, "transition");
    tw_xml_attrf(&w->xml, "xml:id", "t%zu", ++w->transitions);
    tw_xml_attrz(&w->xml, "type", dissolve ? "fade" : "barWipe");
    tw_xml_attrz(&w->xml, "subtype", !dissolve ? "leftToRight" : out ? "fadeToColor" : "crossfade");
    if (dissolve && out)
        tw_xml_attrz(&w->xml, "fadeColor", "black");
    attr_clock(w, "dur", "", twi_smil_ms(item->record.dur));
    tw_xml_close(&w->xml);
}

/* Transitions are numbered in the order in which the body meets them. */
static void head_transitions(writer *w, const tw_track *tracks, size_t count)
{
    for (size_t t = 0; t < count; t++) {
        for (size_t i = 0; i < tracks[t].item_count; i++) {
            const tw_item *item = &tracks[t].items[i];
            if (item->kind == TW_ITEM_NEST)
                head_transitions(w, item->tracks, item->track_count);
            if (item->kind == TW_ITEM_TRANSITION)
                head_transition(w, item, leads_out(&tracks[t], i));
        }
    }
}

/* ---- clips ----------------------------------------------------------------------------------------------- */

static void write_framing(writer *w, const tw_item *item)
{
    static const char *const interp_word[] = {"straight-eased", "bezier", "linear"};
    const tw_framing *f = item->framing;
    param(w, "frame", f->mode == TW_FRAME_FIT ? TW_STR("fit") : TW_STR("fill"));
    param(w, "interpolation", tw_str_z(interp_word[f->interp]));
    param(w, "size", tw_arena_printf(w->arena, "%dx%d", f->delivery.w, f->delivery.h));
    param(w, "source-size", tw_arena_printf(w->arena, "%dx%d", f->source.w, f->source.h));
    tw_buf squeeze = {.arena = w->arena};
    tw_buf_add_double(&squeeze, f->squeeze);
    param(w, "squeeze", tw_buf_str(&squeeze));
    for (size_t k = 0; k < f->key_count; k++) { /* frame, left, top, width, ease */
        const tw_window win = tw_geom_key_window(f->keys[k], f->squeeze, f->delivery);
        tw_buf key = {.arena = w->arena};
        tw_buf_add_int(&key, f->keys[k].frame);
        tw_buf_addc(&key, ' ');
        tw_buf_add_fixed(&key, win.x, 3);
        tw_buf_addc(&key, ' ');
        tw_buf_add_fixed(&key, win.y, 3);
        tw_buf_addc(&key, ' ');
        tw_geom_add_width(win.w, &key);
        tw_buf_addc(&key, ' ');
        tw_buf_add_double(&key, f->keys[k].ease);
        param(w, "key", tw_buf_str(&key));
    }
}

static void write_motion(writer *w, const tw_item *item)
{
    const tw_framing *f = item->framing;
    twi_smil_point *points;
    size_t count = twi_smil_points(w->arena, f, &points);
    tw_time frame = tw_time_frames(1, w->timeline->rate);
    for (size_t i = 0; i + 1 < count; i++) {
        const twi_smil_point *a = &points[i], *b = a + 1;
        /* thousandths of a frame are finer than the clock */
        int64_t begin = twi_smil_ms(tw_time_mul(frame, (int64_t)(a->frame * 1000), 1000));
        int64_t end = twi_smil_ms(tw_time_mul(frame, (int64_t)(b->frame * 1000), 1000));
        if (end <= begin || end <= 0)
            continue;
        tw_xml_open_with(&w->xml, "animate", "attributeName", "panZoom");
        attr_clock(w, "begin", begin < 0 ? "-" : "", begin < 0 ? -begin : begin);
        attr_clock(w, "dur", "", end - begin);
        tw_xml_attr(&w->xml, "from", window_text(w, a->window, f->source));
        tw_xml_attr(&w->xml, "to", window_text(w, b->window, f->source));
        tw_xml_attrz(&w->xml, "fill", "freeze");
        tw_xml_close(&w->xml);
    }
}

#define MOST_FRAMES 1000 /* a second: more is no rate that tw_rate_read takes */

static void write_exact(writer *w, const tw_item *item)
{
    const tw_timeline *t = w->timeline;
    param_text(w, "event", item->event);
    param_text(w, "reel", item->reel);
    param_frames(w, "record-in", item->record.start, t->rate);
    param_frames(w, "record-out", tw_range_end(item->record), t->rate);
    if (item->has_source) {
        tw_rate rate = tw_item_source_rate(t, item);
        if (tw_rate_count(rate) > MOST_FRAMES) /* a count of samples or ticks */
            rate = t->rate;
        tw_buf text = {.arena = w->arena};
        tw_rate_write(rate, &text);
        param(w, "source-rate", tw_buf_str(&text));
        param_frames(w, "source-in", item->source.start, rate);
        param_frames(w, "source-frames", item->source.dur, rate);
        if (item->source_drop)
            param(w, "source-drop", TW_STR("true"));
        w->lost[LOST_UNPLACED] += tw_item_media(item) == NULL || !tw_item_media(item)->has_available;
    }
    if (item->speed < 1 || item->speed > 1) {
        tw_buf text = {.arena = w->arena};
        tw_buf_add_double(&text, item->speed);
        param(w, "speed", tw_buf_str(&text));
        w->lost[LOST_SPEED]++;
    }
    if (!item->enabled) {
        param(w, "enabled", TW_STR("false"));
        w->lost[LOST_SWITCH]++;
    }
    w->lost[LOST_VARIABLE] += item->variable_speed;
    w->lost[LOST_MEDIA] += item->media_count > 1;
    if (tw_item_media(item) == NULL || tw_item_media(item)->url.len == 0)
        w->lost[item->reel.len > 0 ? LOST_FILE : LOST_SOURCE]++;
}

/* Where in the media file the clip begins and ends: file time starts at the media's first frame where that is known. */
static void clip_times(writer *w, const tw_item *item)
{
    const tw_media *m = tw_item_media(item);
    tw_time zero = m != NULL && m->has_available ? m->available.start : TW_TIME_ZERO;
    tw_time in = tw_time_sub(item->source.start, zero), out = tw_time_add(in, item->source.dur);
    if (tw_time_cmp(in, TW_TIME_ZERO) < 0 || tw_time_cmp(out, in) < 0)
        return;
    attr_clock(w, "clipBegin", "npt=", twi_smil_ms(in));
    attr_clock(w, "clipEnd", "npt=", twi_smil_ms(out));
}

typedef struct neighbours {
    const tw_item *before, *after; /* transitions, or NULL */
    bool out;                      /* the latter leads into nothing */
    size_t before_number;
    tw_time at; /* record time the seq has reached */
} neighbours;

/* Empty where neither file nor reel is known: a title is neither. */
static tw_str media_name(const tw_item *item)
{
    const tw_media *m = tw_item_media(item);
    return m != NULL && m->url.len > 0 ? m->url : item->reel;
}

static void open_timed(writer *w, const char *element, const tw_item *item, const neighbours *n)
{
    tw_xml_open(&w->xml, element);
    if (item->kind == TW_ITEM_NEST)
        tw_xml_attrf(&w->xml, "xml:id", "n%zu", ++w->nests);
    else
        tw_xml_attrf(&w->xml, "xml:id", "c%zu", item->index);
    if (item->name.len > 0)
        tw_xml_attr(&w->xml, "title", item->name);
    int64_t in = twi_smil_ms(item->record.start), out = twi_smil_ms(tw_range_end(item->record)),
            at = twi_smil_ms(n->at);
    w->lost[LOST_ORDER] += in < at;
    if (in > at)
        attr_clock(w, "begin", "", in - at);
    attr_clock(w, "dur", "", out - in);
}

static void write_mix(writer *w, const tw_item *transition, const char *name, const char *in, const char *out)
{
    param_text(w, name, transition->name);
    param_frames(w, in, transition->in_offset, w->timeline->rate);
    param_frames(w, out, transition->out_offset, w->timeline->rate);
}

static void write_clip(writer *w, const tw_track *track, const tw_item *item, const neighbours *n)
{
    bool picture = track->kind == TW_TRACK_VIDEO;
    open_timed(w, picture ? "video" : "audio", item, n);
    if (picture)
        tw_xml_attrz(&w->xml, "region", "frame");
    if (media_name(item).len > 0)
        tw_xml_attr(&w->xml, "src", media_name(item));
    if (item->has_source)
        clip_times(w, item);
    if (picture && item->framing != NULL && item->framing->key_count > 0) {
        const tw_window win = tw_framing_window(item->framing, 0);
        tw_xml_attr(&w->xml, "panZoom", window_text(w, win, item->framing->source));
    }
    if (picture && n->before != NULL)
        tw_xml_attrf(&w->xml, "transIn", "t%zu", n->before_number);
    if (picture && n->out)
        tw_xml_attrf(&w->xml, "transOut", "t%zu", w->transitions + 1);
    else if (picture && n->after != NULL)
        tw_xml_attrz(&w->xml, "fill", "transition");
    write_exact(w, item);
    if (n->before != NULL)
        write_mix(w, n->before, "transition", "transition-in", "transition-out");
    if (n->out)
        write_mix(w, n->after, "transition-after", "transition-after-in", "transition-after-out");
    if (picture && item->framing != NULL) {
        write_framing(w, item);
        write_motion(w, item);
    }
    tw_xml_close(&w->xml);
}

/* ---- tracks ---------------------------------------------------------------------------------------------- */

static void write_tracks(writer *w, const tw_track *tracks, size_t count, tw_time zero);

static void write_nest(writer *w, const tw_item *item, const neighbours *n)
{
    open_timed(w, "par", item, n);
    write_tracks(w, item->tracks, item->track_count, TW_TIME_ZERO);
    tw_xml_close(&w->xml);
    w->lost[LOST_NEST_SPEED] += item->speed < 1 || item->speed > 1;
    w->lost[LOST_VARIABLE] += item->variable_speed;
    w->lost[LOST_NEST_SWITCH] += !item->enabled;
}

/* The numbers of the transitions around each item follow from how many the walk has passed. */
static void write_track(writer *w, const tw_track *track, tw_time zero)
{
    neighbours n = {.at = zero};
    tw_xml_open_with(&w->xml, "seq", "class", tw_track_word(track->kind));
    if (track->name.len > 0)
        tw_xml_attr(&w->xml, "title", track->name);
    w->lost[LOST_TRACK_SWITCH] += !track->enabled;
    w->lost[LOST_MARKER] += track->marker_count;
    for (size_t i = 0; i < track->item_count; i++) {
        const tw_item *item = &track->items[i];
        w->lost[LOST_MARKER] += item->marker_count;
        w->lost[LOST_REMARK] += item->remark_count;
        if (item->kind == TW_ITEM_TRANSITION) {
            n.before_number = ++w->transitions;
            w->lost[LOST_OUTWARD] += !leads_in(track, i) && !leads_out(track, i);
        }
        n.before = i > 0 && track->items[i - 1].kind == TW_ITEM_TRANSITION && leads_in(track, i - 1)
                       ? &track->items[i - 1]
                       : NULL;
        n.after =
            i + 1 < track->item_count && track->items[i + 1].kind == TW_ITEM_TRANSITION ? &track->items[i + 1] : NULL;
        n.out = leads_out(track, i + 1);
        if (item->kind != TW_ITEM_CLIP && item->kind != TW_ITEM_NEST)
            continue;
        if (item->kind == TW_ITEM_CLIP)
            write_clip(w, track, item, &n);
        else
            write_nest(w, item, &n);
        n.at = tw_range_end(item->record);
    }
    tw_xml_close(&w->xml);
}

static void write_tracks(writer *w, const tw_track *tracks, size_t count, tw_time zero)
{
    for (size_t t = 0; t < count; t++)
        write_track(w, &tracks[t], zero);
}

static void report_losses(writer *w)
{
    static const struct {
        const char *noun, *fate;
    } rows[LOSSES] = {
        [LOST_SPEED] = {"clip", "with a speed of its own, kept as a param, which players do not obey"},
        [LOST_NEST_SPEED] = {"nested timeline", "at another speed, which is left out"},
        [LOST_VARIABLE] = {"item", "changing speed on the way, kept at one speed"},
        [LOST_SWITCH] = {"disabled item", "kept as such by a param, but played"},
        [LOST_TRACK_SWITCH] = {"disabled track", "played like the others"},
        [LOST_NEST_SWITCH] = {"disabled nested timeline", "played like the others"},
        [LOST_MARKER] = {"marker", "left out"},
        [LOST_REMARK] = {"remark", "left out"},
        [LOST_FILE] = {"clip", "without a file: src gives the reel instead"},
        [LOST_SOURCE] = {"clip", "without a file or a reel: src is left out"},
        [LOST_MEDIA] = {"clip", "with several media, of which the active one is kept"},
        [LOST_WIPE] = {"transition", "other than a dissolve, drawn as a plain wipe"},
        [LOST_OUTWARD] =
            {"transition",
             "into a nested timeline, out of one into nothing, between gaps, or out of a gap without length or of what "
             "a nested timeline hides, left out"},
        [LOST_ORDER] = {"item", "beginning before the one before has ended, or before what it is in, played late"},
        [LOST_PART] = {"time", "between two frames, rounded"},
        [LOST_UNPLACED] = {"clip",
                           "without a known start of media, so that clipBegin counts from time code 00:00:00:00"},
        [LOST_CHARACTER] = {"character", "that XML cannot hold, replaced"},
    };
    for (size_t i = 0; i < LOSSES; i++)
        if (w->lost[i] > 0)
            tw_diag_add(w->diags, 2010, TW_IN(w->timeline->file), "SMIL: %zu %s%s %s", w->lost[i], rows[i].noun,
                        TW_PLURAL(w->lost[i]), rows[i].fate);
}

tw_status twi_smil_write(tw_arena *arena, const tw_timeline *timeline, size_t part, const tw_write_options *options,
                         tw_diags *diags, tw_buf *out)
{
    writer w = {.arena = arena, .timeline = timeline, .diags = diags, .xml = {.out = out}};
    (void)part, (void)options;
    tw_xml_begin(&w.xml, SMIL_DOCTYPE);
    tw_xml_open_with(&w.xml, "smil", "xmlns", SMIL_SPACE);
    tw_xml_attrz(&w.xml, "version", "3.0");
    tw_xml_attrz(&w.xml, "baseProfile", "Language");
    tw_xml_open(&w.xml, "head");
    write_meta(&w);
    write_layout(&w);
    const tw_track *tracks = tw_timeline_without_heads(arena, timeline, &w.lost[LOST_OUTWARD]); /* the dur cuts tails */
    head_transitions(&w, tracks, timeline->track_count);
    tw_xml_close(&w.xml);
    w.transitions = 0;
    tw_xml_open(&w.xml, "body");
    tw_xml_open(&w.xml, "par");
    write_tracks(&w, tracks, timeline->track_count, timeline->start);
    tw_xml_close_to(&w.xml, 0);
    w.lost[LOST_MARKER] += timeline->marker_count;
    w.lost[LOST_REMARK] += timeline->remark_count;
    w.lost[LOST_CHARACTER] = w.xml.replaced;
    report_losses(&w);
    return TW_OK;
}
