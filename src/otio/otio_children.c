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

static bool outside(tw_range item, tw_range shown)
{
    if (tw_time_cmp(item.start, tw_range_end(shown)) >= 0)
        return true;
    tw_time end = tw_range_end(item);
    return tw_time_cmp(end, shown.start) < 0 ||
           (tw_time_eq(end, shown.start) && tw_time_cmp(item.dur, TW_TIME_ZERO) > 0);
}

/* Times count from the start of what is shown; items wholly outside it are not shown, and so not in the model. */
static size_t trim(tw_track *track, tw_range shown)
{
    size_t kept = 0, all = track->item_count;
    for (size_t i = 0; i < all; i++) {
        if (outside(track->items[i].record, shown))
            continue;
        tw_item item = track->items[i];
        item.record.start = tw_time_sub(item.record.start, shown.start);
        track->items[kept++] = item;
    }
    track->item_count = kept;
    return all - kept;
}

static void shift_markers(tw_marker *markers, size_t count, tw_time by)
{
    for (size_t i = 0; i < count; i++)
        markers[i].at.start = tw_time_sub(markers[i].at.start, by);
}

static void trim_all(twi_otio *o, const tw_json *object, twi_otio_tracks *tracks)
{
    tw_json *source = twi_otio_member(object, "source_range");
    if (source == NULL || !twi_otio_range_read(o, source, &tracks->range))
        return;
    tracks->trimmed = true;
    tracks->length = tracks->range.at.dur;
    size_t left = 0;
    for (size_t t = 0; t < tracks->count; t++) {
        left += trim(&tracks->at[t], tracks->range.at);
        shift_markers(tracks->at[t].markers, tracks->at[t].marker_count, tracks->range.at.start);
    }
    shift_markers(tracks->markers, tracks->marker_count, tracks->range.at.start);
    if (left > 0)
        twi_otio_say(o, 1322, source, "%zu item%s of %s lie%s outside its source_range: kept in the file, not shown",
                     left, TW_PLURAL(left), twi_otio_called(o->arena, object), left == 1 ? "s" : "");
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
    trim_all(o, object, out);
    o->picture = picture;
}

/* A clip, gap or nested stack that stands in a stack by itself: a track of its own. */
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
    if (item->kind == TW_ITEM_TRANSITION)
        twi_otio_say(o, 1310, child,
                     "the transition \"%.*s\" stands in a stack: it belongs between two clips of a track",
                     TW_ARG(item->name));
    return item->kind != TW_ITEM_TRANSITION;
}

static bool stack_child(twi_otio *o, tw_json *child, tw_track *track, tw_time *length)
{
    const twi_otio_schema *row = twi_otio_schema_of(child);
    if (row != NULL && row->is == TWI_OTIO_IS_REFERENCE) {
        tw_json *object = twi_otio_resolve(o, child);
        row = object != NULL ? twi_otio_schema_of(object) : NULL;
    }
    if (row == NULL || row->is != TWI_OTIO_IS_TRACK)
        return lone_item(o, child, track, length);
    twi_otio_tracks one;
    if (!twi_otio_object(o, &child, TWI_OTIO_COMPOSABLE, "a track", &row))
        return false;
    twi_otio_compose(o, child, &one);
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
    trim_all(o, object, out);
}

void twi_otio_compose(twi_otio *o, tw_json *composition, twi_otio_tracks *out)
{
    *out = (twi_otio_tracks){.length = TW_TIME_ZERO};
    if (twi_otio_schema_of(composition)->is == TWI_OTIO_IS_TRACK)
        compose_track(o, composition, out);
    else
        compose_stack(o, composition, out);
}
