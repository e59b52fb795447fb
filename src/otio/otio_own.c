/* SPDX-License-Identifier: Apache-2.0 */
#include "otio/otio_internal.h"

/* Text lists know things this format has no field for. A conversion keeps them in metadata under our one key, and reads
 * them back, so that list -> OTIO -> list gives the same events. */

/* ---- writing --------------------------------------------------------------------------------------------- */

static void set_text(tw_arena *arena, tw_json *dict, const char *name, tw_str text)
{
    if (text.len > 0)
        tw_json_set_sorted(arena, dict, name, tw_json_new_text(arena, text));
}

static void set_remarks(tw_arena *arena, tw_json *dict, const tw_remark *remarks, size_t count)
{
    if (count == 0)
        return;
    tw_json *list = tw_json_new(arena, TW_JSON_ARRAY);
    for (size_t i = 0; i < count; i++)
        tw_json_append(list, tw_json_new_text(arena, remarks[i].text));
    tw_json_set_sorted(arena, dict, "remarks", list);
}

/* Lists round the source out of a retimed event this way or that: what follows from length and speed is not kept. */
static void set_source_frames(tw_arena *arena, tw_json *dict, const tw_item *item)
{
    tw_rate rate = item->source_rate;
    if (!item->has_source || !tw_rate_known(rate))
        return;
    tw_time follows = twi_otio_media_used(item->record.dur, rate, item->speed);
    bool whole;
    int64_t frames = tw_time_round(item->source.dur, rate, &whole);
    if (!whole || tw_time_eq(item->source.dur, follows))
        return;
    tw_json_set_sorted(arena, dict, "source_frames", tw_json_new_int(arena, frames));
    tw_json_set_sorted(arena, dict, "record_frames",
                       tw_json_new_int(arena, tw_time_round(item->record.dur, rate, NULL)));
}

tw_json *twi_otio_own_item(tw_arena *arena, const tw_item *item)
{
    tw_json *dict = tw_json_new(arena, TW_JSON_OBJECT);
    set_text(arena, dict, "event", item->event);
    set_text(arena, dict, "reel", item->reel);
    if (item->kind == TW_ITEM_TRANSITION)
        set_text(arena, dict, "type", item->name);
    if (item->channels != 0)
        tw_json_set_sorted(arena, dict, "channels", tw_json_new_int(arena, item->channels));
    set_source_frames(arena, dict, item);
    if (item->source_drop)
        tw_json_set_sorted(arena, dict, "source_drop", tw_json_new_bool(arena, true));
    set_remarks(arena, dict, item->remarks, item->remark_count);
    return dict->count > 0 ? dict : NULL;
}

tw_json *twi_otio_own_timeline(tw_arena *arena, const tw_timeline *timeline, bool rate)
{
    tw_json *dict = tw_json_new(arena, TW_JSON_OBJECT);
    if (rate)
        tw_json_set(arena, dict, "rate", tw_json_new_double(arena, tw_rate_fps(timeline->rate)));
    if (timeline->drop)
        tw_json_set_sorted(arena, dict, "drop", tw_json_new_bool(arena, true));
    set_remarks(arena, dict, timeline->remarks, timeline->remark_count);
    return dict->count > 0 ? dict : NULL;
}

/* ---- reading --------------------------------------------------------------------------------------------- */

/* The member when it is of that kind; another kind is said and passed over. */
static const tw_json *own_member(twi_otio *o, const tw_json *space, const char *name, tw_json_kind kind)
{
    const tw_json *value = tw_json_get(space, name);
    if (value == NULL || tw_json_is(value, kind))
        return value;
    twi_otio_say(o, 1332, value, "\"%s\" is %s where a %s is expected: passed over", name,
                 twi_otio_what(o->arena, value), tw_json_kind_name(kind));
    return NULL;
}

static void read_text(twi_otio *o, const tw_json *space, const char *name, tw_str *out)
{
    const tw_json *value = own_member(o, space, name, TW_JSON_STRING);
    if (value != NULL)
        *out = value->text;
}

static void read_remarks(twi_otio *o, const tw_json *space, tw_remark **remarks, size_t *count)
{
    const tw_json *list = own_member(o, space, "remarks", TW_JSON_ARRAY);
    if (list == NULL || list->count == 0)
        return;
    *remarks = TW_NEW_N(o->arena, tw_remark, list->count);
    for (const tw_json *r = tw_json_first(list); r != NULL; r = r->next)
        if (tw_json_is(r, TW_JSON_STRING))
            (*remarks)[(*count)++] = (tw_remark){.text = r->text, .line = twi_otio_place(o, r).line};
}

/* Taken while the clip is as long as it was then: another program may have trimmed it since. */
static void read_source_frames(twi_otio *o, const tw_json *space, tw_item *item)
{
    int64_t frames = 0, record = 0;
    if (!item->has_source || !tw_json_int(own_member(o, space, "source_frames", TW_JSON_NUMBER), &frames) ||
        !tw_json_int(own_member(o, space, "record_frames", TW_JSON_NUMBER), &record))
        return;
    if (frames >= 0 && frames <= INT32_MAX && tw_time_round(item->record.dur, item->source_rate, NULL) == record)
        item->source.dur = tw_time_frames(frames, item->source_rate);
}

void twi_otio_own_item_read(twi_otio *o, const tw_json *object, tw_item *item)
{
    const tw_json *space = twi_otio_space(object);
    if (!tw_json_is(space, TW_JSON_OBJECT))
        return;
    int64_t channels = 0;
    read_text(o, space, "event", &item->event);
    read_text(o, space, "reel", &item->reel);
    if (item->kind == TW_ITEM_TRANSITION)
        read_text(o, space, "type", &item->name);
    if (tw_json_int(own_member(o, space, "channels", TW_JSON_NUMBER), &channels) && channels > 0 &&
        channels <= UINT32_MAX)
        item->channels = (uint32_t)channels;
    read_source_frames(o, space, item);
    item->source_drop = twi_otio_bool(space, "source_drop", false);
    read_remarks(o, space, &item->remarks, &item->remark_count);
}

tw_rate twi_otio_own_rate(twi_otio *o, const tw_json *object)
{
    const tw_json *space = twi_otio_space(object);
    tw_rate rate;
    double fps;
    bool told = tw_json_is(space, TW_JSON_OBJECT) && tw_json_double(own_member(o, space, "rate", TW_JSON_NUMBER), &fps);
    return told && tw_rate_snap(fps, &rate, NULL) ? rate : (tw_rate){0, 0};
}

void twi_otio_own_timeline_read(twi_otio *o, const tw_json *object, tw_timeline *timeline)
{
    const tw_json *space = twi_otio_space(object);
    timeline->drop = twi_otio_bool(space, "drop", false) && tw_rate_can_drop(timeline->rate);
    read_remarks(o, space, &timeline->remarks, &timeline->remark_count);
}
