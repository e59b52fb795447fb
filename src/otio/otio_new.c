/* SPDX-License-Identifier: Apache-2.0 */
#include "otio/otio_internal.h"

#include <stdlib.h>

/* New documents use Clip.1, Marker.2 and no field younger than release 0.12: every release reads those and brings them
 * up to its own versions. Members stand in the order the reference library writes them. */

#define LAYERS 100 /* tracks that one track of overlapping items may be spread over */

typedef struct making {
    tw_arena *arena;
    const tw_timeline *timeline;
    tw_diags *diags;
    struct sums *sums;
    struct beside *beside; /* NULL: all is made */
} making;

/* A written document beside the one that is made: each item of its tracks is made alone, looked at and let go. */
typedef struct beside {
    const tw_json *track; /* the next one of the written */
    bool same;
} beside;

/* What a reader can add up: see twi_otio_measurable. */
typedef struct sums {
    int64_t measure;
    size_t rounded; /* times that go between two frames, and are not written so */
    size_t strays;  /* clips whose length is not counted at the rate of the timeline, which readers go by */
} sums;

/* ---- values ---------------------------------------------------------------------------------------------- */

static tw_json *make_time(const making *m, tw_time time, tw_rate rate)
{
    bool whole;
    double value = (double)tw_time_round(time, rate, &whole);
    if (!whole && twi_otio_measurable(&m->sums->measure, (int64_t)rate.num * 1000))
        value = tw_num_round(tw_time_seconds(time) * tw_rate_fps(rate), 3);
    else if (!whole)
        m->sums->rounded++;
    tw_json *json = twi_otio_make(m->arena, "RationalTime.1");
    tw_json_set(m->arena, json, "rate", tw_json_new_double(m->arena, tw_rate_fps(rate)));
    tw_json_set(m->arena, json, "value", tw_json_new_double(m->arena, value));
    return json;
}

static tw_json *make_range(const making *m, tw_range range, tw_rate start_rate, tw_rate dur_rate)
{
    tw_json *json = twi_otio_make(m->arena, "TimeRange.1");
    tw_json_set(m->arena, json, "duration", make_time(m, range.dur, dur_rate));
    tw_json_set(m->arena, json, "start_time", make_time(m, range.start, start_rate));
    return json;
}

static tw_json *make_metadata(const making *m, tw_json *own)
{
    tw_json *metadata = tw_json_new(m->arena, TW_JSON_OBJECT);
    if (own != NULL)
        tw_json_set(m->arena, metadata, TWI_OTIO_SPACE, own);
    return metadata;
}

/* An object with what all of them begin with. */
static tw_json *make_object(const making *m, const char *schema, tw_json *own, tw_str name)
{
    tw_json *json = twi_otio_make(m->arena, schema);
    tw_json_set(m->arena, json, "metadata", make_metadata(m, own));
    tw_json_set_text(m->arena, json, "name", name);
    return json;
}

/* zero: what the owner's own time counts from. */
static tw_json *make_markers(const making *m, const tw_marker *markers, size_t count, tw_time zero)
{
    tw_json *list = tw_json_new(m->arena, TW_JSON_ARRAY);
    for (size_t i = 0; i < count; i++) {
        tw_json *json = make_object(m, "Marker.2", NULL, markers[i].name);
        tw_json_set_text(m->arena, json, "color", markers[i].color.len > 0 ? markers[i].color : TW_STR("GREEN"));
        const tw_range at = {tw_time_sub(markers[i].at.start, zero), markers[i].at.dur};
        tw_json_set(m->arena, json, "marked_range", make_range(m, at, m->timeline->rate, m->timeline->rate));
        tw_json_set_text(m->arena, json, "comment", markers[i].comment);
        tw_json_append(list, json);
    }
    return list;
}

/* ---- items ----------------------------------------------------------------------------------------------- */

static tw_json *make_effects(const making *m, const tw_item *item)
{
    tw_json *list = tw_json_new(m->arena, TW_JSON_ARRAY);
    if (item->variable_speed)
        tw_diag_add(m->diags, 1336, &item->place, "\"%.*s\" changes its speed on the way: it is written at one speed",
                    TW_ARG(item->name));
    if (item->speed >= 1 && item->speed <= 1)
        return list;
    bool freeze = item->speed >= 0 && item->speed <= 0;
    tw_json *json = make_object(m, freeze ? "FreezeFrame.1" : "LinearTimeWarp.1", NULL, TW_STR(""));
    tw_json_set_text(m->arena, json, "effect_name", freeze ? TW_STR("FreezeFrame") : TW_STR("LinearTimeWarp"));
    tw_json_set(m->arena, json, "time_scalar", tw_json_new_double(m->arena, item->speed));
    tw_json_append(list, json);
    return list;
}

/* What every item carries. range NULL: source_range null. zero: of its markers. */
static void set_item(const making *m, tw_json *json, const tw_item *item, tw_json *range, tw_time zero)
{
    tw_json_set(m->arena, json, "source_range", range != NULL ? range : tw_json_new(m->arena, TW_JSON_NULL));
    tw_json_set(m->arena, json, "effects", make_effects(m, item));
    tw_json_set(m->arena, json, "markers", make_markers(m, item->markers, item->marker_count, zero));
    if (!item->enabled)
        tw_json_set(m->arena, json, "enabled", tw_json_new_bool(m->arena, false));
}

static tw_json *make_gap(const making *m, const tw_item *gap, tw_time dur)
{
    const tw_range range = {TW_TIME_ZERO, dur};
    tw_json *json = make_object(m, "Gap.1", NULL, gap->name);
    set_item(m, json, gap, make_range(m, range, m->timeline->rate, m->timeline->rate), TW_TIME_ZERO);
    return json;
}

static tw_json *make_media(const making *m, const tw_item *item)
{
    const tw_media *media = tw_item_media(item);
    bool file = media != NULL && (media->kind == TW_MEDIA_FILE || media->kind == TW_MEDIA_IMAGES) && media->url.len > 0;
    bool made = tw_item_is_black(item);
    const char *schema = file ? "ExternalReference.1" : made ? "GeneratorReference.1" : "MissingReference.1";
    tw_str name = media != NULL && !(made && !file) ? media->name : TW_STR("");
    tw_json *json = make_object(m, schema, NULL, name);
    bool known = media != NULL && media->has_available;
    tw_rate rate = known && tw_rate_known(media->rate) ? media->rate : m->timeline->rate;
    tw_json_set(m->arena, json, "available_range",
                known ? make_range(m, media->available, rate, rate) : tw_json_new(m->arena, TW_JSON_NULL));
    if (file)
        tw_json_set_text(m->arena, json, "target_url", media->url);
    if (made && !file) {
        tw_json_set_text(m->arena, json, "generator_kind",
                         media != NULL && media->name.len > 0 ? media->name : TW_STR("black"));
        tw_json_set(m->arena, json, "parameters", tw_json_new(m->arena, TW_JSON_OBJECT));
    }
    return json;
}

/* Frames of the timeline, but where only the source's are whole. */
static tw_rate length_rate(const making *m, const tw_item *item, tw_rate source)
{
    bool whole, own;
    tw_time_round(item->record.dur, m->timeline->rate, &whole);
    tw_time_round(item->record.dur, source, &own);
    return own && !whole ? source : m->timeline->rate;
}

static tw_json *make_clip(const making *m, const tw_item *item)
{
    tw_rate rate = tw_item_source_rate(m->timeline, item);
    const tw_range range = {item->source.start, item->record.dur};
    tw_json *json = make_object(m, "Clip.1", twi_otio_own_item(m->arena, item), item->name);
    set_item(m, json, item, make_range(m, range, rate, length_rate(m, item, rate)), TW_TIME_ZERO);
    tw_json_set(m->arena, json, "media_reference", make_media(m, item));
    if (item->media_count > 1)
        tw_diag_add(m->diags, 1335, &item->place, "\"%.*s\" has %zu media references: the active one is written",
                    TW_ARG(item->name), item->media_count);
    const twi_otio_clock clock = {.start = item->source.start, .rate = m->timeline->rate};
    if (item->framing != NULL)
        twi_otio_window_set(m->arena, json, m->timeline, item, &clock);
    return json;
}

/* The schema names one kind, and leaves all others to whoever makes them. */
static tw_json *make_transition(const making *m, const tw_item *item)
{
    bool dissolve = item->name.len == 0 || tw_str_istarts(item->name, TW_STR("D")) ||
                    tw_str_ieq(item->name, TW_STR("SMPTE_Dissolve"));
    tw_json *json = make_object(m, "Transition.1", twi_otio_own_item(m->arena, item), TW_STR(""));
    tw_json_set(m->arena, json, "in_offset", make_time(m, item->in_offset, m->timeline->rate));
    tw_json_set(m->arena, json, "out_offset", make_time(m, item->out_offset, m->timeline->rate));
    tw_json_set_text(m->arena, json, "transition_type",
                     dissolve ? TW_STR("SMPTE_Dissolve") : TW_STR("Custom_Transition"));
    return json;
}

/* ---- tracks ---------------------------------------------------------------------------------------------- */

/* Items of one model track that follow one another: a track of the document. */
typedef struct layer {
    tw_json *json, *children;
    const tw_json *written; /* the next child of the track beside */
    tw_time end;
    const tw_item *last; /* but transitions */
} layer;

static void open_layer(const making *m, const tw_track *track, bool more, tw_time zero, layer *out)
{
    static const char *const words[] = {"Video", "Audio", "Other"};
    tw_item plain = tw_timeline_item(TW_ITEM_NEST);
    plain.enabled = track->enabled;
    plain.markers = more ? NULL : track->markers;
    plain.marker_count = more ? 0 : track->marker_count;
    out->json = make_object(m, "Track.1", NULL, track->name);
    set_item(m, out->json, &plain, NULL, zero);
    out->end = zero;
    out->last = NULL;
    out->children = tw_json_new(m->arena, TW_JSON_ARRAY);
    if (m->beside != NULL && m->beside->track != NULL) {
        out->written = tw_json_first(tw_json_get(m->beside->track, "children"));
        m->beside->track = m->beside->track->next;
    }
    tw_json_set(m->arena, out->json, "children", out->children);
    tw_json_set_text(m->arena, out->json, "kind", tw_str_z(words[track->kind]));
}

static tw_json *make_nest(const making *m, const tw_item *item);

static void lay(const making *m, layer *to, tw_json *made)
{
    if (m->beside == NULL) {
        tw_json_append(to->children, made);
        return;
    }
    m->beside->same = m->beside->same && to->written != NULL && tw_json_identical(made, to->written);
    to->written = to->written != NULL ? to->written->next : NULL;
}

/* With the transition that leads into it, if any, and a gap before both. */
static void lay_item(const making *m, const making *own, layer *to, const tw_item *transition, const tw_item *item)
{
    const tw_item plain = tw_timeline_item(TW_ITEM_GAP);
    if (tw_time_cmp(item->record.start, to->end) > 0)
        lay(m, to, make_gap(own, &plain, tw_time_sub(item->record.start, to->end)));
    if (transition != NULL)
        lay(m, to, make_transition(own, transition));
    to->end = tw_range_end(item->record);
    to->last = item;
    if (item->kind == TW_ITEM_GAP)
        lay(m, to, make_gap(own, item, item->record.dur));
    else
        lay(m, to, item->kind == TW_ITEM_CLIP ? make_clip(own, item) : make_nest(own, item));
}

static void add_item(const making *m, layer *to, const tw_item *transition, const tw_item *item)
{
    making own = *m;
    own.beside = NULL;
    if (m->beside == NULL) {
        lay_item(m, &own, to, transition, item);
        return;
    }
    own.arena = tw_arena_like(m->arena);
    lay_item(m, &own, to, transition, item);
    tw_arena_free(&own.arena);
}

static int by_start(const void *a, const void *b)
{
    const tw_item *x = *(const tw_item *const *)a, *y = *(const tw_item *const *)b;
    return tw_then(tw_time_cmp(x->record.start, y->record.start), TW_CMP(x, y));
}

/* Time order; a transition stays with the clip it leads into, that is, with the item after it in the list. */
static size_t in_time_order(const making *m, const tw_track *track, const tw_item ***out)
{
    const tw_item **order = TW_NEW_N(m->arena, const tw_item *, track->item_count);
    size_t count = 0;
    for (size_t i = 0; i < track->item_count; i++)
        if (track->items[i].kind != TW_ITEM_TRANSITION)
            order[count++] = &track->items[i];
    TW_SORT(order, count, by_start);
    *out = order;
    return count;
}

static const tw_item *transition_before(const tw_track *track, const tw_item *item)
{
    const tw_item *before = item > track->items ? item - 1 : NULL;
    return before != NULL && before->kind == TW_ITEM_TRANSITION ? before : NULL;
}

/* One track of the model, spread over as many of the document as it needs. */
typedef struct spread {
    const making *m;
    const tw_track *track;
    tw_time zero; /* where its time begins */
    layer *layers;
    size_t count;
} spread;

static layer *add_layer(spread *s)
{
    layer *fresh = &s->layers[s->count];
    open_layer(s->m, s->track, s->count > 0, s->zero, fresh);
    s->count++;
    return fresh;
}

static bool is_free(const layer *l, const tw_item *item)
{
    return tw_time_cmp(l->end, item->record.start) <= 0;
}

/* A transition must not come from a clip that happens to end there. */
static bool is_strange(const layer *l, const tw_item *from, const tw_item *item)
{
    return l->last != NULL && l->last != from && tw_time_eq(l->end, item->record.start);
}

/* The first layer that is free when the item begins, with a transition the one behind the clip it comes from; a new one
 * when none is. */
static layer *layer_for(spread *s, const tw_item *item)
{
    const tw_item *transition = transition_before(s->track, item);
    const tw_item *from = transition != NULL && transition > s->track->items ? transition - 1 : NULL;
    for (size_t i = 0; from != NULL && i < s->count; i++)
        if (s->layers[i].last == from && is_free(&s->layers[i], item))
            return &s->layers[i];
    for (size_t i = 0; i < s->count; i++)
        if (is_free(&s->layers[i], item) && (transition == NULL || !is_strange(&s->layers[i], from, item)))
            return &s->layers[i];
    tw_str called = item->event.len > 0 ? item->event : item->name;
    if (s->count == LAYERS) {
        tw_diag_add(s->m->diags, 1337, &item->place,
                    "more than %d items lie over one another here: \"%.*s\" is left out", LAYERS, TW_ARG(called));
        return NULL;
    }
    tw_diag_add(s->m->diags, 1331, &item->place,
                "\"%.*s\" overlaps what comes before it: it is put on a track of its own", TW_ARG(called));
    return add_layer(s);
}

static void add_track(const making *m, const tw_track *track, tw_time zero, tw_json *children)
{
    spread s = {.m = m, .track = track, .zero = zero, .layers = TW_NEW_N(m->arena, layer, LAYERS)};
    const tw_item **items;
    size_t count = in_time_order(m, track, &items);
    add_layer(&s);
    for (size_t i = 0; i < count; i++) {
        tw_time early = tw_time_sub(zero, items[i]->record.start);
        if (items[i]->kind != TW_ITEM_GAP && tw_time_cmp(early, TW_TIME_ZERO) > 0) {
            tw_diag_add(m->diags, 1342, &items[i]->place, "this begins %lld frames before the edit or nest it is in",
                        (long long)tw_time_round(early, m->timeline->rate, NULL));
            continue;
        }
        layer *to = layer_for(&s, items[i]);
        if (to != NULL)
            add_item(m, to, transition_before(track, items[i]), items[i]);
    }
    if (track->item_count > 0 && track->items[track->item_count - 1].kind == TW_ITEM_TRANSITION)
        lay(m, &s.layers[0], make_transition(m, &track->items[track->item_count - 1]));
    for (size_t i = 0; i < s.count; i++) {
        tw_json_append(children, s.layers[i].json);
        if (m->beside != NULL)
            m->beside->same = m->beside->same && s.layers[i].written == NULL;
    }
}

static bool is_as_long(const tw_item *nest)
{
    return tw_time_eq(tw_tracks_end(nest->tracks, nest->track_count), nest->record.dur);
}

static tw_json *make_stack(const making *m, const tw_item *as, const tw_track *tracks, size_t count, tw_time zero)
{
    tw_json *json = make_object(m, "Stack.1", NULL, as->name), *children = tw_json_new(m->arena, TW_JSON_ARRAY);
    const tw_range range = {as->source.start, as->record.dur};
    tw_rate rate = tw_item_source_rate(m->timeline, as);
    bool cut = as->has_source || !tw_time_eq(range.start, TW_TIME_ZERO) || !is_as_long(as);
    set_item(m, json, as, cut ? make_range(m, range, rate, m->timeline->rate) : NULL, zero);
    tw_json_set(m->arena, json, "children", children);
    for (size_t t = 0; t < count; t++)
        add_track(m, &tracks[t], zero, children);
    return json;
}

/* Times inside a nest count from what its range shows first. */
static tw_json *make_nest(const making *m, const tw_item *item)
{
    tw_time zero = tw_time_sub(TW_TIME_ZERO, item->source.start);
    return make_stack(m, item, item->tracks, item->track_count, zero);
}

/* ---- the document ---------------------------------------------------------------------------------------- */

static bool add_rates(void *context, const tw_track *track, const tw_item *item)
{
    const making *m = context;
    sums *s = m->sums;
    (void)track;
    if (item->kind == TW_ITEM_CLIP)
        s->strays += !tw_rate_eq(length_rate(m, item, tw_item_source_rate(m->timeline, item)), m->timeline->rate);
    if (tw_rate_known(item->source_rate))
        twi_otio_measurable(&s->measure, item->source_rate.num);
    for (size_t i = 0; i < item->media_count; i++)
        if (tw_rate_known(item->media[i].rate))
            twi_otio_measurable(&s->measure, item->media[i].rate.num);
    return true;
}

static void say_rounded(const making *m)
{
    if (m->sums->rounded > 0)
        tw_diag_add(
            m->diags, 1341, TW_IN(m->timeline->file),
            "%zu %s between two frames: the nearest one is written, since parts of frames cannot be added up at "
            "the rates in this edit",
            m->sums->rounded, m->sums->rounded == 1 ? "time lies" : "times lie");
}

static tw_json *make_document(tw_arena *arena, const tw_timeline *timeline, tw_diags *diags, beside *written)
{
    sums all = {.measure = timeline->rate.num};
    making m = {arena, timeline, diags, &all, written};
    tw_timeline_walk(timeline, add_rates, &m);
    tw_json *own = twi_otio_own_timeline(arena, timeline, all.strays > 0);
    tw_json *json = make_object(&m, "Timeline.1", own, timeline->name);
    tw_item top = tw_timeline_item(TW_ITEM_NEST);
    top.name = TW_STR("tracks");
    top.markers = timeline->markers;
    top.marker_count = timeline->marker_count;
    tw_json_set(arena, json, "global_start_time", make_time(&m, timeline->start, timeline->rate));
    tw_json_set(arena, json, "tracks", make_stack(&m, &top, timeline->tracks, timeline->track_count, timeline->start));
    if (timeline->stamp != NULL)
        twi_otio_stamp_set(arena, json, timeline->stamp);
    say_rounded(&m);
    return json;
}

tw_json *twi_otio_new(tw_arena *arena, const tw_timeline *timeline, tw_diags *diags)
{
    return make_document(arena, timeline, diags, NULL);
}

/* The document without what its tracks hold. */
static tw_json *without_items(tw_arena *arena, const tw_json *written)
{
    tw_json *root = twi_otio_shallow(arena, written), *stack = twi_otio_dict(arena, root, "tracks");
    tw_json *tracks = tw_json_new(arena, TW_JSON_ARRAY);
    for (const tw_json *t = tw_json_first(tw_json_get(stack, "children")); t != NULL; t = t->next) {
        tw_json *track = twi_otio_shallow(arena, t);
        if (tw_json_is(tw_json_get(track, "children"), TW_JSON_ARRAY))
            tw_json_set(arena, track, "children", tw_json_new(arena, TW_JSON_ARRAY));
        tw_json_append(tracks, track);
    }
    tw_json_set(arena, stack, "children", tracks);
    tw_json_set(arena, root, "tracks", stack);
    return root;
}

bool twi_otio_is_new(tw_arena *arena, const tw_timeline *timeline, const tw_json *written)
{
    const tw_json *stack = tw_json_get(written, "tracks"), *tracks = tw_json_get(stack, "children");
    if (!tw_json_is(stack, TW_JSON_OBJECT) || !tw_json_is(tracks, TW_JSON_ARRAY))
        return false;
    beside b = {tw_json_first(tracks), true};
    const tw_json *made = make_document(arena, timeline, tw_diags_new(arena), &b);
    return b.same && tw_json_identical(made, without_items(arena, written));
}
