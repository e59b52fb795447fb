/* SPDX-License-Identifier: Apache-2.0 */
#include "otio/otio_internal.h"

/* ---- markers --------------------------------------------------------------------------------------------- */

static tw_str color_name(const tw_json *color)
{
    if (tw_json_is(color, TW_JSON_STRING))
        return color->text;
    return twi_otio_text(color, "name"); /* Color.1 */
}

static bool read_marker(twi_otio *o, tw_json *object, tw_marker *marker)
{
    const twi_otio_schema *row;
    if (!twi_otio_object(o, &object, TWI_OTIO_MARKER, "a marker", &row))
        return false;
    if (row == NULL) {
        twi_otio_say(o, 1313, object, "%s is a marker nobody knows: kept as it is, and not listed",
                     twi_otio_what(o->arena, object));
        return false;
    }
    twi_otio_range range;
    if (!twi_otio_range_read(o, tw_json_get(object, row->first == 1 ? "range" : "marked_range"), &range))
        return false;
    *marker = (tw_marker){
        .name = twi_otio_text(object, "name"),
        .comment = twi_otio_text(object, "comment"),
        .color = color_name(tw_json_get(object, "color")),
        .at = range.at,
        .line = twi_otio_place(o, object).line,
    };
    return true;
}

void twi_otio_markers(twi_otio *o, const tw_json *owner, tw_marker **markers, size_t *count)
{
    const tw_json *list = tw_json_get(owner, "markers");
    *count = 0;
    if (!tw_json_is(list, TW_JSON_ARRAY) || list->count == 0)
        return;
    *markers = TW_NEW_N(o->arena, tw_marker, list->count);
    for (tw_json *m = tw_json_first(list); m != NULL; m = m->next)
        *count += read_marker(o, m, &(*markers)[*count]);
}

/* ---- the kinds of item ----------------------------------------------------------------------------------- */

static void set_rate(tw_item *item, const twi_otio_range *range)
{
    twi_otio_origin *origin = item->origin;
    origin->rate = tw_json_get(range->dur, "rate");
    item->has_source = true;
    item->source = range->at;
    item->source_rate = range->start_rate;
    item->record.dur = range->at.dur;
    origin->start = range->at.start;
}

/* A vote for the timeline's rate. */
static void count_rate(twi_otio *o, tw_rate rate, bool clip)
{
    for (size_t i = 0; i < o->rate_count; i++) {
        if (!tw_rate_eq(o->rates[i].rate, rate))
            continue;
        o->rates[i].clips += o->picture && clip;
        o->rates[i].items++;
        return;
    }
}

static bool read_clip(twi_otio *o, tw_json *clip, tw_item *item)
{
    tw_json *active;
    twi_otio_range available, range;
    twi_otio_media(o, clip, item, &active, &available);
    tw_json *source = twi_otio_member(clip, "source_range");
    if (source == NULL && available.dur == NULL) {
        twi_otio_say(o, 1308, clip,
                     "clip \"%.*s\" has no length: neither a source_range nor media with an "
                     "available_range",
                     TW_ARG(item->name));
        return false;
    }
    if (source != NULL && !twi_otio_range_read(o, source, &range))
        return false;
    set_rate(item, source != NULL ? &range : &available);
    count_rate(o, source != NULL ? range.dur_rate : available.dur_rate, true);
    item->reel = twi_otio_reel(o, clip, active, item);
    twi_otio_speed(o, clip, item);
    twi_otio_own_item_read(o, clip, item);
    return true;
}

/* Gaps; base classes and unknown schemas that say how long they are hold their time and show nothing. */
static bool read_gap(twi_otio *o, tw_json *gap, const twi_otio_schema *row, tw_item *item)
{
    bool plain = row != NULL && row->is == TWI_OTIO_IS_GAP;
    tw_json *source = tw_json_get(gap, "source_range");
    if (plain && source == NULL)
        return true; /* a gap without the key lasts nothing */
    if (source == NULL || source->kind == TW_JSON_NULL) {
        twi_otio_say(o, plain ? 1308 : 1312, gap, "%s has no length: it has no source_range",
                     twi_otio_called(o->arena, gap));
        return false;
    }
    twi_otio_range range;
    if (!twi_otio_range_read(o, source, &range))
        return false;
    item->record.dur = range.at.dur;
    count_rate(o, range.dur_rate, false);
    if (!plain)
        twi_otio_say(o, 1313, gap, "%s is nothing this tool can show: it is kept, and takes its time as a gap",
                     twi_otio_called(o->arena, gap));
    return true;
}

static bool read_offset(twi_otio *o, tw_json *transition, const char *name, tw_time *out)
{
    tw_json *offset = tw_json_get(transition, name);
    if (!twi_otio_time(o, offset, out, NULL))
        return false;
    if (tw_time_cmp(*out, TW_TIME_ZERO) >= 0)
        return true;
    const tw_json *value = tw_json_get(offset, "value");
    twi_otio_say(o, 1307, value, "an %s of %.*s frames: it cannot be below 0", name, TW_ARG(tw_json_text(value)));
    return false;
}

static bool read_transition(twi_otio *o, tw_json *transition, tw_item *item)
{
    item->name = twi_otio_text(transition, "transition_type");
    bool in = read_offset(o, transition, "in_offset", &item->in_offset);
    bool out = read_offset(o, transition, "out_offset", &item->out_offset);
    if (!in || !out)
        return false;
    item->record.start = tw_time_sub(TW_TIME_ZERO, item->in_offset); /* as seen from the cut */
    item->record.dur = tw_time_add(item->in_offset, item->out_offset);
    twi_otio_own_item_read(o, transition, item);
    return true;
}

static bool read_nest(twi_otio *o, tw_json *nest, tw_item *item)
{
    twi_otio_tracks tracks;
    if (o->nests == TW_NESTS_LIMIT) {
        twi_otio_say(o, 1403, nest, "timelines are nested more than %d deep, or a reference leads into itself",
                     TW_NESTS_LIMIT);
        return false;
    }
    o->nests++;
    twi_otio_compose(o, nest, &tracks);
    o->nests--;
    item->tracks = tracks.at;
    item->track_count = tracks.count;
    item->markers = tracks.markers;
    item->marker_count = tracks.marker_count;
    item->record.dur = tracks.length;
    if (tracks.trimmed)
        set_rate(item, &tracks.range);
    twi_otio_speed(o, nest, item);
    twi_otio_hide(o, nest, item, &tracks);
    return true;
}

/* ---- any item -------------------------------------------------------------------------------------------- */

static const tw_item_kind kinds[] = {
    [TWI_OTIO_IS_CLIP] = TW_ITEM_CLIP,  [TWI_OTIO_IS_TRANSITION] = TW_ITEM_TRANSITION,
    [TWI_OTIO_IS_STACK] = TW_ITEM_NEST, [TWI_OTIO_IS_TRACK] = TW_ITEM_NEST,
    [TWI_OTIO_IS_GAP] = TW_ITEM_GAP,    [TWI_OTIO_IS_ITEM] = TW_ITEM_GAP,
};

static bool read_kind(twi_otio *o, tw_json *object, const twi_otio_schema *row, tw_item *item)
{
    if (item->kind == TW_ITEM_TRANSITION)
        return read_transition(o, object, item);
    if (item->kind == TW_ITEM_NEST)
        return read_nest(o, object, item);
    twi_otio_markers(o, object, &item->markers, &item->marker_count);
    return item->kind == TW_ITEM_CLIP ? read_clip(o, object, item) : read_gap(o, object, row, item);
}

bool twi_otio_item(twi_otio *o, tw_json *value, tw_item *item)
{
    const twi_otio_schema *row;
    tw_json *object = value;
    if (!twi_otio_object(o, &object, TWI_OTIO_COMPOSABLE, "a clip, gap, transition, track or stack", &row))
        return false;
    if (o->items >= TW_EVENTS_LIMIT) {
        if (o->items++ == TW_EVENTS_LIMIT)
            twi_otio_say(o, 1327, value, "more than %u items: the rest is not read", TW_EVENTS_LIMIT);
        return false;
    }
    o->items++;
    *item = tw_timeline_item(row != NULL ? kinds[row->is] : TW_ITEM_GAP);
    twi_otio_origin *origin = TW_NEW(o->arena, twi_otio_origin);
    origin->place = value;
    origin->object = object;
    origin->start = TW_TIME_ZERO;
    item->origin = origin;
    item->name = twi_otio_text(object, "name");
    item->enabled = twi_otio_bool(object, "enabled", true);
    item->place = twi_otio_place(o, value);
    return read_kind(o, object, row, item);
}
