/* SPDX-License-Identifier: Apache-2.0 */
#include "otio/otio_internal.h"

#define NEAR 4096 /* bytes in which a document names its schema */

/* ---- rate and start -------------------------------------------------------------------------------------- */

#define FASTEST 1000 /* frames in a second; what is above counts samples or ticks */

static size_t votes(const twi_otio *o, tw_rate rate, bool pictures)
{
    size_t votes = 0;
    for (size_t i = 0; i < o->rate_count; i++)
        if (tw_rate_eq(o->rates[i].rate, rate))
            votes += pictures ? o->rates[i].clips : o->rates[i].items;
    return votes;
}

/* The rate most are counted at, of equals the larger; {0, 0} when there is none. */
static tw_rate most_common(const twi_otio *o, bool pictures)
{
    size_t most = 0;
    tw_rate best = {0, 0};
    for (size_t i = 0; i < o->rate_count; i++) {
        tw_rate rate = o->rates[i].rate;
        size_t count = votes(o, rate, pictures);
        if (count == 0 || count < most || tw_rate_fps(rate) > FASTEST)
            continue;
        if (count > most || tw_rate_cmp(rate, best) > 0)
            best = rate;
        most = count;
    }
    return best;
}

/* The one said for our own sake, where times count at it; that of the picture clips; else that of the timeline's start,
 * of sound and gaps; else what was asked for, or 24. */
static void choose_rate(twi_otio *o, const tw_json *chosen, tw_rate start_rate, tw_rate wanted)
{
    const tw_rate own = twi_otio_own_rate(o, chosen);
    const tw_rate choices[] = {tw_rate_eq(own, start_rate) ? own : (tw_rate){0, 0},
                               most_common(o, true),
                               start_rate,
                               most_common(o, false),
                               wanted,
                               {24, 1}};
    size_t i = 0;
    while (!tw_rate_known(choices[i]))
        i++;
    o->timeline->rate = choices[i];
    if (i + 1 == TW_COUNT(choices))
        twi_otio_say(o, 1334, o->doc.root, "nothing in the file tells its rate: 24 frames in a second are assumed");
}

static tw_rate read_start(twi_otio *o, const tw_json *timeline)
{
    tw_rate rate = {0, 0};
    tw_json *start = twi_otio_member(timeline, "global_start_time");
    if (start != NULL && twi_otio_time(o, start, &o->timeline->start, &rate))
        return rate;
    o->timeline->start = TW_TIME_ZERO;
    return (tw_rate){0, 0};
}

/* ---- the timeline ---------------------------------------------------------------------------------------- */

/* The stack (or track) whose children are the tracks. */
static tw_json *read_root(twi_otio *o, tw_json *chosen, tw_rate *start_rate)
{
    const twi_otio_schema *row;
    if (!twi_otio_object(o, &chosen, TWI_OTIO_TIMELINE | TWI_OTIO_COMPOSABLE, "a timeline", &row))
        return NULL;
    if (row->is != TWI_OTIO_IS_TIMELINE)
        return chosen;
    *start_rate = read_start(o, chosen);
    tw_json *stack = tw_json_get(chosen, "tracks");
    if (!twi_otio_object(o, &stack, TWI_OTIO_COMPOSABLE, "a Stack.1", &row))
        return NULL;
    if (row != NULL && row->is == TWI_OTIO_IS_STACK)
        return stack;
    twi_otio_say(o, 1305, stack, "%s stands where a Stack.1 is expected", twi_otio_what(o->arena, stack));
    return NULL;
}

static void begin_markers(tw_marker *markers, size_t count, tw_time start)
{
    for (size_t i = 0; i < count; i++)
        markers[i].at.start = tw_time_add(markers[i].at.start, start);
}

/* At the top, record time includes the start of the programme. */
static void take_tracks(twi_otio *o, const twi_otio_tracks *from)
{
    tw_timeline *timeline = o->timeline;
    timeline->tracks = from->at;
    timeline->track_count = from->count;
    timeline->markers = from->markers;
    timeline->marker_count = from->marker_count;
    begin_markers(from->markers, from->marker_count, timeline->start);
    for (size_t t = 0; t < from->count; t++) {
        tw_track *track = &from->at[t];
        begin_markers(track->markers, track->marker_count, timeline->start);
        for (size_t i = 0; i < track->item_count; i++)
            track->items[i].record.start = tw_time_add(track->items[i].record.start, timeline->start);
    }
}

static void read_windows(twi_otio *o)
{
    tw_item **clips = tw_timeline_clips(o->arena, o->timeline);
    for (size_t i = 0; i < o->timeline->clip_count; i++) {
        const twi_otio_origin *origin = clips[i]->origin;
        twi_otio_window_read(o, origin->object, clips[i]);
    }
}

static void say_rate(twi_otio *o, tw_rate wanted)
{
    tw_buf text = {.arena = o->arena};
    tw_rate_write_spoken(o->timeline->rate, false, &text);
    tw_buf_addz(&text, ", not the ");
    tw_rate_write_spoken(wanted, false, &text);
    twi_otio_say(o, 1346, o->doc.root, "this edit says itself how it counts: it is read at %.*s that was asked for",
                 TW_ARG(tw_buf_str(&text)));
}

static void build(twi_otio *o, tw_json *chosen, tw_rate wanted)
{
    tw_rate start_rate = {0, 0};
    tw_json *root = read_root(o, chosen, &start_rate);
    twi_otio_tracks tracks;
    if (root == NULL)
        return;
    twi_otio_compose(o, root, &tracks);
    twi_otio_cut(o, root, &tracks);
    if (twi_otio_bends(root))
        twi_otio_say(
            o, 1345, tw_json_get(root, "effects"),
            "%s, which all tracks are in, has a speed of its own: it is kept, and framing goes by normal speed",
            twi_otio_called(o->arena, root));
    if (twi_otio_failed(o))
        return;
    choose_rate(o, chosen, start_rate, wanted);
    if (tw_rate_known(wanted) && !tw_rate_eq(wanted, o->timeline->rate))
        say_rate(o, wanted);
    take_tracks(o, &tracks);
    tw_timeline_settle(o->timeline);
    read_windows(o);
    o->timeline->name = twi_otio_text(chosen, "name");
    o->timeline->stamp = twi_otio_stamp_read(o, chosen);
    twi_otio_own_timeline_read(o, chosen, o->timeline);
    if (o->timeline->clip_count == 0)
        twi_otio_say(o, 1319, chosen, "the timeline holds no clips");
}

static tw_status read_document(twi_otio *o, tw_str bytes, tw_str file, const tw_read_options *options)
{
    tw_status status = twi_otio_open(o, bytes, file);
    if (status != TW_OK)
        return status;
    o->timeline = tw_timeline_new(o->arena);
    o->timeline->file = file;
    o->timeline->format = &tw_format_otio;
    tw_json *chosen = twi_otio_choose(o, options);
    if (chosen != NULL)
        build(o, chosen, options != NULL ? options->rate : (tw_rate){0, 0});
    if (chosen == NULL || twi_otio_failed(o))
        return TW_ERR_SEMANTIC;
    twi_otio_source *source = TW_NEW(o->arena, twi_otio_source);
    source->doc = o->doc;
    source->chosen = chosen;
    o->timeline->origin = source;
    return TW_OK;
}

static tw_status otio_read(tw_arena *arena, tw_str bytes, tw_str file, const tw_read_options *options, tw_diags *diags,
                           tw_timeline **out)
{
    tw_arena *scratch = tw_arena_like(arena);
    twi_otio o = {
        .arena = arena,
        .scratch = scratch,
        .diags = diags,
        .errors = tw_diags_count(diags, TW_ERROR),
        .measure = 1,
    };
    tw_status status = read_document(&o, bytes, file, options);
    tw_arena_free(&scratch);
    if (status == TW_OK)
        *out = o.timeline;
    return status;
}

/* ---- the row --------------------------------------------------------------------------------------------- */

static int otio_probe(tw_str bytes)
{
    size_t i = tw_str_starts(bytes, TW_STR("\xEF\xBB\xBF")) ? 3 : 0;
    while (i < bytes.len && (bytes.at[i] == ' ' || bytes.at[i] == '\t' || bytes.at[i] == '\r' || bytes.at[i] == '\n'))
        i++;
    if (i == bytes.len || (bytes.at[i] != '{' && bytes.at[i] != '['))
        return 0;
    if (tw_str_holds(tw_str_cut(tw_str_from(bytes, i), NEAR), TW_STR("\"OTIO_SCHEMA\"")))
        return 95;
    return tw_str_holds(bytes, TW_STR("\"OTIO_SCHEMA\"")) ? 60 : 10;
}

const tw_format tw_format_otio = {
    .name = "otio",
    .title = "OpenTimelineIO JSON",
    .extensions = {"otio"},
    .states_rate = true,
    .probe = otio_probe,
    .read = otio_read,
    .parts = twi_otio_parts,
    .write = twi_otio_write,
    .made_from = twi_otio_made_from,
    .beyond = twi_otio_beyond,
    .mark = "tallwide",
    .framing_codes = {1324, 1325},
    .cannot_carry =
        "drop-frame counting, event numbers, remarks and channels have no field of their own: they are kept "
        "in metadata; of several media references a new document holds the active one.",
};
