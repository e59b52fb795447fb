/* SPDX-License-Identifier: Apache-2.0
 *
 * Where shots stand on the record side, through the nests around them.
 */
#include "report_internal.h"

/* How a nest's own time maps to the top level, and the part of the top level it may be seen in. */
typedef struct view {
    const tw_timeline *timeline;
    twi_place *places;
    const tw_item *nest; /* NULL at the top */
    const struct view *outer;
    tw_range seen; /* top level */
} view;

static bool unit_speed(const tw_item *nest)
{
    return !(nest->speed < 1 || nest->speed > 1);
}

/* One step outwards. Speeds of nests are doubles, so their times are exact to the frame only. */
static tw_time step_out(const view *v, tw_time inner)
{
    tw_time into = inner;
    if (!unit_speed(v->nest)) {
        double frames = tw_time_seconds(into) / v->nest->speed * tw_rate_fps(v->timeline->rate);
        tw_time snapped = TW_TIME_ZERO;
        bool whole;
        if (tw_time_snap(frames, v->timeline->rate, &snapped, &whole))
            into = tw_time_frames(tw_time_round(snapped, v->timeline->rate, NULL), v->timeline->rate);
    }
    return tw_time_add(v->nest->record.start, into);
}

static tw_time to_top(const view *v, tw_time t)
{
    for (; v->nest != NULL; v = v->outer)
        t = step_out(v, t);
    return t;
}

static tw_range range_at_top(const view *v, tw_range r)
{
    for (const view *at = v; at->nest != NULL; at = at->outer)
        if (at->nest->speed <= 0) /* frozen or reversed: all of it may show at any time */
            return v->seen;
    return tw_range_cut(tw_range_of(to_top(v, r.start), to_top(v, tw_range_end(r))), v->seen);
}

static void place_clip(const view *v, const tw_item *clip)
{
    tw_range seen = v->nest == NULL ? clip->record : range_at_top(v, clip->record);
    twi_place *p = &v->places[clip->index];
    p->in = tw_time_sub(seen.start, v->timeline->start);
    p->out = tw_time_sub(tw_range_end(seen), v->timeline->start);
    if (v->nest == NULL || !unit_speed(v->nest))
        return;
    tw_time lead = tw_time_sub(seen.start, to_top(v, clip->record.start));
    if (tw_time_cmp(lead, TW_TIME_ZERO) > 0)
        p->lead = lead;
}

static void place_tracks(const view *v, const tw_track *tracks, size_t count)
{
    for (size_t t = 0; t < count; t++) {
        for (size_t i = 0; i < tracks[t].item_count; i++) {
            const tw_item *item = &tracks[t].items[i];
            if (item->kind == TW_ITEM_CLIP)
                place_clip(v, item);
            if (item->kind != TW_ITEM_NEST)
                continue;
            tw_range seen = v->nest == NULL ? item->record : range_at_top(v, item->record);
            const view inner = {v->timeline, v->places, item, v, seen};
            place_tracks(&inner, item->tracks, item->track_count);
        }
    }
}

twi_place *twi_report_places(tw_arena *arena, const tw_timeline *timeline)
{
    twi_place *places = TW_NEW_N(arena, twi_place, timeline->clip_count);
    for (size_t i = 0; i < timeline->clip_count; i++)
        places[i] = (twi_place){TW_TIME_ZERO, TW_TIME_ZERO, TW_TIME_ZERO};
    const view top = {.timeline = timeline, .places = places};
    place_tracks(&top, timeline->tracks, timeline->track_count);
    return places;
}

int64_t twi_report_record(const tw_timeline *timeline, const twi_place *place)
{
    tw_time zero = tw_time_add(timeline->start, tw_time_sub(place->in, place->lead));
    return tw_time_round(zero, timeline->rate, NULL);
}
