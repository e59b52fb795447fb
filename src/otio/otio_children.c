/* SPDX-License-Identifier: Apache-2.0 */
#include "otio/otio_internal.h"

/* ---- a track's row of items ------------------------------------------------------------------------------ */

/* Children follow one another; transitions lie across the cut and take no time (otio track.cpp). */
static void place_item(twi_otio *o, const tw_json *child, tw_item *item, tw_time *at)
{
    item->record.start = tw_time_add(item->record.start, *at);
    if (item->kind == TW_ITEM_TRANSITION)
        return;
    tw_time end = tw_time_add(*at, item->record.dur);
    if (twi_otio_short(end))
        *at = end;
    else
        twi_otio_say(o, 1339, child, "the track is longer than a year here");
}

static void check_transition(twi_otio *o, const tw_track *track, size_t i)
{
    const tw_item *item = &track->items[i];
    const twi_otio_origin *origin = item->origin;
    if (i > 0 && track->items[i - 1].kind == TW_ITEM_TRANSITION)
        twi_otio_say(o, 1309, origin->place, "two transitions in a row (%.*s, %.*s): only one can stand at a cut",
                     TW_ARG(track->items[i - 1].name), TW_ARG(item->name));
    bool before = i > 0 && track->items[i - 1].kind != TW_ITEM_GAP;
    bool after = i + 1 < track->item_count && track->items[i + 1].kind != TW_ITEM_GAP;
    if (!before && !after)
        twi_otio_say(o, 1330, origin->place, "the transition \"%.*s\" has no clip on either side", TW_ARG(item->name));
}

/* A child of the row on its own: NULL when nothing was made of it. */
static tw_item *add_item(twi_otio *o, tw_json *value, tw_track *track)
{
    tw_item *item = &track->items[track->item_count];
    if (!twi_otio_item(o, value, item))
        return NULL;
    track->item_count++;
    return item;
}

static tw_time read_row(twi_otio *o, tw_json *object, tw_track *track)
{
    const tw_json *children = tw_json_get(object, "children");
    track->items = TW_NEW_N(o->arena, tw_item, children->count);
    tw_time at = TW_TIME_ZERO;
    for (tw_json *child = tw_json_first(children); child != NULL; child = child->next) {
        tw_item *item = add_item(o, child, track);
        if (item != NULL)
            place_item(o, child, item, &at);
    }
    for (size_t i = 0; i < track->item_count; i++)
        if (track->items[i].kind == TW_ITEM_TRANSITION)
            check_transition(o, track, i);
    return at;
}

/* ---- source_range of a track or stack -------------------------------------------------------------------- */

/* What a track or stack shows of its children. */
typedef struct showing {
    twi_otio *o;
    const tw_json *source; /* the range */
    tw_range shown;
    tw_time zero; /* times count from here */
    bool nested;  /* the nest hides what it does not show; elsewhere children are cut */
    size_t left, open;
} showing;

static bool outside(tw_range item, tw_range shown)
{
    if (tw_time_cmp(item.start, tw_range_end(shown)) >= 0)
        return true;
    tw_time end = tw_range_end(item);
    return tw_time_cmp(end, shown.start) < 0 ||
           (tw_time_eq(end, shown.start) && tw_time_cmp(item.dur, TW_TIME_ZERO) > 0);
}

/* May what a retimed item begins with be cut away? Times stay within what can be added up. */
static bool can_cut(const showing *s, const tw_item *item)
{
    if (item->speed >= 1 && item->speed <= 1)
        return true;
    const tw_rate rate = tw_item_source_rate(s->o->timeline, item);
    double most = tw_time_seconds(item->record.dur) * item->speed;
    if (twi_otio_short_seconds(most) && twi_otio_measurable(&s->o->measure, (int64_t)rate.num * 1000))
        return true;
    twi_otio_say(s->o, 1340, s->source, "\"%.*s\" is cut by this range, and at its speed no exact time is left",
                 TW_ARG(item->name));
    return false;
}

static bool shows(showing *s, tw_item *item)
{
    const tw_time start = item->record.start;
    if (outside(item->record, s->shown)) {
        s->left++;
        return false;
    }
    if (s->nested || tw_time_eq(tw_range_cut(item->record, s->shown).dur, item->record.dur))
        return true;
    if (!can_cut(s, item) || !tw_item_within(s->o->arena, s->o->timeline, s->shown, item)) {
        s->open += item->kind == TW_ITEM_TRANSITION;
        return false;
    }
    twi_otio_origin *origin = item->origin;
    origin->start = tw_time_add(origin->start, tw_time_sub(item->record.start, start));
    return true;
}

/* A picture that is wholly cut away has no side of a transition left. */
static bool is_gone(const showing *s, const tw_item *item)
{
    return !s->nested && (item->kind == TW_ITEM_CLIP || item->kind == TW_ITEM_NEST) && outside(item->record, s->shown);
}

/* Times count from the start of what is shown; what is not shown is not in the model. */
static void trim(showing *s, tw_track *track)
{
    size_t kept = 0;
    bool gone = false; /* the one before */
    for (size_t i = 0; i < track->item_count; i++) {
        tw_item item = track->items[i];
        bool alone = item.kind == TW_ITEM_TRANSITION &&
                     (gone || (i + 1 < track->item_count && is_gone(s, &track->items[i + 1])));
        gone = is_gone(s, &item);
        if (!shows(s, &item))
            continue;
        if (alone) {
            s->open++;
            continue;
        }
        item.record.start = tw_time_sub(item.record.start, s->zero);
        track->items[kept++] = item;
    }
    track->item_count = kept;
}

static void shift_markers(tw_marker *markers, size_t count, tw_time by)
{
    for (size_t i = 0; i < count; i++)
        markers[i].at.start = tw_time_sub(markers[i].at.start, by);
}

static void trim_all(showing *s, const tw_json *object, twi_otio_tracks *tracks)
{
    for (size_t t = 0; t < tracks->count; t++) {
        trim(s, &tracks->at[t]);
        shift_markers(tracks->at[t].markers, tracks->at[t].marker_count, s->zero);
    }
    shift_markers(tracks->markers, tracks->marker_count, s->zero);
    const char *called = s->left + s->open > 0 ? twi_otio_called(s->o->arena, object) : "";
    if (s->left > 0)
        twi_otio_say(s->o, 1322, s->source,
                     "%zu item%s of %s lie%s outside its source_range: kept in the file, not shown", s->left,
                     TW_PLURAL(s->left), called, s->left == 1 ? "s" : "");
    if (s->open > 0)
        twi_otio_say(
            s->o, 1344, s->source,
            "%zu transition%s of %s lie%s across an end of its source_range: kept in the file, and taken for a "
            "plain cut",
            s->open, TW_PLURAL(s->open), called, s->open == 1 ? "s" : "");
}

void twi_otio_cut(twi_otio *o, const tw_json *composition, twi_otio_tracks *tracks)
{
    const tw_range at = tracks->range.at;
    showing s = {.o = o, .source = twi_otio_member(composition, "source_range"), .shown = at, .zero = at.start};
    if (!tracks->trimmed)
        return;
    if (!tw_rate_known(o->timeline->rate)) /* until it is chosen, parts of frames are rounded as the range counts */
        o->timeline->rate = tracks->range.dur_rate;
    trim_all(&s, composition, tracks);
}

/* A nest shows what its speed takes it over: forwards from the start of its range, or that frame and those before. */
void twi_otio_hide(twi_otio *o, const tw_json *nest, const tw_item *item, twi_otio_tracks *tracks)
{
    showing s = {.o = o,
                 .source = twi_otio_member(nest, "source_range"),
                 .shown = item->source,
                 .zero = item->source.start,
                 .nested = true};
    if (!tracks->trimmed)
        return;
    if (item->speed < 0)
        s.shown.start =
            tw_time_add(tw_time_sub(s.zero, s.shown.dur), tw_time_frames(1, tw_item_source_rate(o->timeline, item)));
    trim_all(&s, nest, tracks);
}

/* ---- tracks ---------------------------------------------------------------------------------------------- */

static tw_track_kind track_kind(twi_otio *o, const tw_json *object)
{
    const tw_json *kind = tw_json_get(object, "kind");
    if (tw_str_ieq(tw_json_text(kind), TW_STR("Video")))
        return TW_TRACK_VIDEO;
    if (tw_str_ieq(tw_json_text(kind), TW_STR("Audio")))
        return TW_TRACK_AUDIO;
    twi_otio_say(o, 1317, kind, "a track of kind \"%.*s\": its clips are listed and kept, but not framed",
                 TW_ARG(tw_json_is(kind, TW_JSON_STRING) ? kind->text : TW_STR("")));
    return TW_TRACK_OTHER;
}

static void compose_track(twi_otio *o, tw_json *object, twi_otio_tracks *out)
{
    tw_track *track = TW_NEW(o->arena, tw_track);
    out->at = track;
    out->count = 1;
    track->kind = track_kind(o, object);
    track->name = twi_otio_text(object, "name");
    track->enabled = twi_otio_bool(object, "enabled", true);
    bool picture = o->picture;
    o->picture = track->kind == TW_TRACK_VIDEO;
    twi_otio_markers(o, object, &out->markers, &out->marker_count);
    out->length = read_row(o, object, track);
    o->picture = picture;
}

/* Of what a nest holds, where that is of one kind. */
static tw_track_kind kind_of(const tw_item *item)
{
    for (size_t t = 1; t < item->track_count; t++)
        if (item->tracks[t].kind != item->tracks->kind)
            return TW_TRACK_VIDEO;
    return item->track_count > 0 ? item->tracks->kind : TW_TRACK_VIDEO;
}

/* A clip, gap or nested stack that stands in a stack by itself, or a track at a speed of its own: a track that holds
 * it. */
static bool lone_item(twi_otio *o, tw_json *child, tw_track *track, tw_time *length)
{
    *track = (tw_track){.kind = TW_TRACK_VIDEO, .enabled = true, .items = TW_NEW(o->arena, tw_item)};
    bool picture = o->picture;
    o->picture = true;
    tw_item *item = add_item(o, child, track);
    o->picture = picture;
    if (item == NULL)
        return false;
    *length = item->record.dur;
    track->kind = kind_of(item);
    if (item->kind == TW_ITEM_TRANSITION)
        twi_otio_say(o, 1310, child,
                     "the transition \"%.*s\" stands in a stack: it belongs between two clips of a track",
                     TW_ARG(item->name));
    return item->kind != TW_ITEM_TRANSITION;
}

static bool stack_child(twi_otio *o, tw_json *child, tw_track *track, tw_time *length)
{
    const twi_otio_schema *row = twi_otio_schema_of(child);
    const tw_json *object = child;
    if (row != NULL && row->is == TWI_OTIO_IS_REFERENCE) {
        object = twi_otio_resolve(o, child);
        row = object != NULL ? twi_otio_schema_of(object) : NULL;
    }
    if (row == NULL || row->is != TWI_OTIO_IS_TRACK || twi_otio_bends(object))
        return lone_item(o, child, track, length);
    twi_otio_tracks one;
    if (!twi_otio_object(o, &child, TWI_OTIO_COMPOSABLE, "a track", &row))
        return false;
    twi_otio_compose(o, child, &one);
    twi_otio_cut(o, child, &one);
    *track = *one.at;
    track->markers = one.markers;
    track->marker_count = one.marker_count;
    *length = one.length;
    return true;
}

static void compose_stack(twi_otio *o, tw_json *object, twi_otio_tracks *out)
{
    const tw_json *children = tw_json_get(object, "children");
    out->at = TW_NEW_N(o->arena, tw_track, children->count);
    out->count = 0;
    out->length = TW_TIME_ZERO;
    twi_otio_markers(o, object, &out->markers, &out->marker_count);
    for (tw_json *child = tw_json_first(children); child != NULL; child = child->next) {
        tw_time length;
        if (!stack_child(o, child, &out->at[out->count], &length))
            continue;
        out->count++;
        out->length = tw_time_cmp(length, out->length) > 0 ? length : out->length;
    }
}

void twi_otio_compose(twi_otio *o, tw_json *composition, twi_otio_tracks *out)
{
    *out = (twi_otio_tracks){.length = TW_TIME_ZERO};
    if (twi_otio_schema_of(composition)->is == TWI_OTIO_IS_TRACK)
        compose_track(o, composition, out);
    else
        compose_stack(o, composition, out);
    tw_json *source = twi_otio_member(composition, "source_range");
    out->trimmed = source != NULL && twi_otio_range_read(o, source, &out->range);
    if (out->trimmed)
        out->length = out->range.at.dur;
}
