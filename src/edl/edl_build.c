/* SPDX-License-Identifier: Apache-2.0 */
#include "edl_internal.h"

/* From checked events to the model. */

typedef struct items {
    tw_item *at;
    size_t len;
} items;

static tw_item *push(items *v, tw_item_kind kind)
{
    v->at[v->len] = tw_timeline_item(kind);
    return &v->at[v->len++];
}

static tw_range record_range(const twi_list *list, int64_t in, int64_t out)
{
    return (tw_range){tw_time_frames(in, list->rate), tw_time_frames(out - in, list->rate)};
}

/* ---- notes of an event ----------------------------------------------------------------------------------- */

/* An event's remarks stand with its picture, or with its first sound channel. */
static bool is_main(const twi_row *row, const twi_event *e)
{
    if (row->kind == TW_TRACK_VIDEO)
        return true;
    return e->video == 0 && (e->channels & ((1u << row->number) - 1)) == 0;
}

static bool is_verbatim(const twi_note *note)
{
    return (TWI_KIND(note->kind) & TWI_RESAID) == 0;
}

/* The notes of most events are its remarks as they stand. */
static void take_remarks(twi_list *list, const twi_event *e, tw_item *item)
{
    twi_note *notes = &list->notes[e->note];
    bool split = e->note > 0 && notes[-1].kind == TWI_NOTE_SPLIT && notes[-1].line + 1 == e->line;
    item->remarks = notes;
    item->remark_count = e->notes;
    if (!split && (e->kinds & TWI_RESAID) == 0)
        return;
    item->remarks = TW_NEW_N(list->arena, tw_remark, 1 + e->notes);
    item->remark_count = 0;
    if (split)
        item->remarks[item->remark_count++] = notes[-1];
    for (size_t i = 0; i < e->notes; i++)
        if (is_verbatim(&notes[i]))
            item->remarks[item->remark_count++] = notes[i];
}

static tw_str first_word(tw_str s)
{
    size_t n = 0;
    while (n < s.len && !tw_is_blank(s.at[n]))
        n++;
    return tw_str_cut(s, n);
}

typedef struct marker_note {
    tw_tc time;
    tw_str color, text;
} marker_note;

/* The marker of a LOC note: its parts. False when its time cannot be read. */
static bool read_marker(tw_str value, marker_note *loc)
{
    tw_str time = first_word(value);
    tw_tc_fault fault = tw_tc_split(time, &loc->time, NULL);
    tw_str rest = tw_str_trim(tw_str_from(value, time.len));
    loc->color = first_word(rest);
    loc->text = tw_str_trim(tw_str_from(rest, loc->color.len));
    return fault == TW_TC_FINE;
}

/* A marker's time is record time in most lists and source time in some: the range that holds it decides. */
static bool marker_time(const twi_list *list, const twi_event *e, tw_tc tc, tw_time *at)
{
    int64_t rec, src;
    bool in_record = tw_tc_frames(tc, list->rate, list->drop, &rec) == TW_TC_FINE;
    bool in_source = tw_tc_frames(tc, e->source_rate, e->source_drop, &src) == TW_TC_FINE;
    tw_time start = tw_time_frames(e->frame[TWI_SRC_IN], e->source_rate);
    if (in_record && rec >= e->frame[TWI_REC_IN] && rec <= e->frame[TWI_REC_OUT]) {
        tw_time after = tw_time_frames(rec - e->frame[TWI_REC_IN], list->rate);
        *at = tw_time_add(start,
                          tw_time_mul(after, (int64_t)(e->speed * 1000000 + (e->speed < 0 ? -0.5 : 0.5)), 1000000));
        return true;
    }
    if (in_source && src >= e->frame[TWI_SRC_IN] && src <= e->frame[TWI_SRC_OUT]) {
        *at = tw_time_frames(src, e->source_rate);
        return true;
    }
    return false;
}

static void list_marker(twi_list *list, tw_timeline *timeline, const marker_note *loc, uint32_t line)
{
    int64_t frame;
    if (tw_tc_frames(loc->time, list->rate, list->drop, &frame) != TW_TC_FINE)
        return;
    size_t cap = timeline->marker_count; /* rare: one more at a time in a power-of-two array */
    if ((cap & (cap - 1)) == 0) {
        tw_marker *more = TW_NEW_N(list->arena, tw_marker, cap == 0 ? 1 : cap * 2);
        for (size_t i = 0; i < cap; i++)
            more[i] = timeline->markers[i];
        timeline->markers = more;
    }
    timeline->markers[timeline->marker_count++] = (tw_marker){
        .name = loc->text, .color = loc->color, .at = {tw_time_frames(frame, list->rate), TW_TIME_ZERO}, .line = line};
}

static void take_marker(twi_list *list, tw_timeline *timeline, const twi_event *e, tw_item *item, const twi_note *note)
{
    marker_note loc;
    tw_place place = twi_edl_note_place(list, note);
    tw_time at;
    if (!read_marker(twi_edl_value(note), &loc)) {
        tw_diag_add(list->diags, 1233, &place, "the time of this marker cannot be read: it is kept as a remark");
    } else if (marker_time(list, e, loc.time, &at)) {
        item->markers[item->marker_count++] =
            (tw_marker){.name = loc.text, .color = loc.color, .at = {at, TW_TIME_ZERO}, .line = note->line};
    } else {
        if (e->video > 0)
            tw_diag_add(list->diags, 1233, &place,
                        "the marker's time lies neither in the record nor in the source range of %s: it is put on the "
                        "timeline",
                        twi_edl_called(list, e));
        list_marker(list, timeline, &loc, note->line);
    }
}

static void take_markers(twi_list *list, tw_timeline *timeline, const twi_event *e, tw_item *item)
{
    if (e->kinds & TWI_KIND(TWI_NOTE_LOC))
        item->markers = TW_NEW_N(list->arena, tw_marker, e->notes);
    TWI_EACH_NOTE (note, list, e, TWI_NOTE_LOC)
        take_marker(list, timeline, e, item, note);
}

/* What the notes of a pair say of its outgoing side. */
static void take_outgoing_names(twi_list *list, size_t pair, tw_item *item)
{
    twi_naming own, from;
    twi_edl_naming(list, &list->events[pair], &own, &from);
    twi_edl_name(list, &from, item);
}

/* Its own notes come first; then those of the pair whose from-line it is, or that runs on from it. */
static void take_names(twi_list *list, const twi_event *e, tw_item *item, size_t index)
{
    twi_naming own, from;
    twi_edl_naming(list, e, &own, &from);
    twi_edl_name(list, &own, item);
    if (twi_edl_next_is_pair(list, index))
        take_outgoing_names(list, index + 1, item);
    else if (twi_edl_goes_on(list, index))
        take_outgoing_names(list, index + 2, item);
}

/* ---- items ----------------------------------------------------------------------------------------------- */

static void make_black(twi_list *list, tw_item *item)
{
    if (list->black == NULL) {
        list->black = TW_NEW(list->arena, tw_media);
        *list->black = (tw_media){.kind = TW_MEDIA_GENERATOR, .key = TW_STR("DEFAULT_MEDIA"), .name = TW_STR("black")};
    }
    item->media = list->black;
    item->media_count = 1;
    item->media_active = 0;
}

/* The events go when the model stands; their anchors stay with it. */
static twi_anchor *keep_anchor(twi_list *list, size_t index)
{
    bool from = twi_edl_next_is_pair(list, index);
    twi_anchor *anchor = &list->anchors[index];
    *anchor = (twi_anchor){list->events[index + from].last_line, from};
    return anchor;
}

static void set_source(const twi_list *list, const twi_event *e, tw_item *item)
{
    item->has_source = true;
    item->source_rate = e->source_rate;
    item->source_drop = e->source_drop;
    item->source.start = tw_time_frames(e->frame[TWI_SRC_IN], e->source_rate);
    bool same = tw_rate_eq(e->source_rate, list->rate) && twi_edl_source_frames(e) == twi_edl_record_frames(e);
    item->source.dur = same ? item->record.dur : tw_time_frames(twi_edl_source_frames(e), e->source_rate);
    item->speed = e->speed;
    item->variable_speed = e->variable;
}

static void add_clip(twi_list *list, tw_timeline *timeline, const twi_row *row, size_t index, items *out)
{
    twi_event *e = &list->events[index];
    tw_item *item = push(out, TW_ITEM_CLIP);
    item->event = twi_edl_word(e, TWI_NUMBER);
    item->reel = twi_edl_word(e, TWI_REEL);
    item->channels = e->channels;
    item->record = record_range(list, e->frame[TWI_REC_IN], e->frame[TWI_REC_OUT]);
    item->place =
        (tw_place){.file = list->file, .line = e->line, .column = 1, .width = (uint32_t)e->text.len, .text = e->text};
    item->origin = keep_anchor(list, index);
    set_source(list, e, item);
    if (e->black)
        make_black(list, item);
    take_names(list, e, item, index);
    if (!is_main(row, e))
        return;
    take_remarks(list, e, item);
    take_markers(list, timeline, e, item);
    item->framing = row->kind == TW_TRACK_VIDEO ? e->framing : NULL;
}

static tw_str transition_name(twi_list *list, const twi_event *e)
{
    switch (e->cut) {
    case TWI_WIPE: return tw_arena_printf(list->arena, "wipe %03u", e->wipe);
    case TWI_KEY: return TW_STR("key");
    case TWI_KEY_OUT: return TW_STR("key out");
    default: return TW_STR("dissolve");
    }
}

static void add_transition(twi_list *list, const twi_event *e, items *out)
{
    tw_item *t = push(out, TW_ITEM_TRANSITION);
    t->name = transition_name(list, e);
    t->event = twi_edl_word(e, TWI_NUMBER);
    t->channels = e->channels;
    t->record = record_range(list, e->frame[TWI_REC_IN], e->frame[TWI_REC_IN] + e->mix);
    t->out_offset = t->record.dur;
    t->place = twi_edl_place(list, e, TWI_CUT_WORDS);
}

static void add_gap(twi_list *list, int64_t from, int64_t to, items *out)
{
    tw_item *gap = push(out, TW_ITEM_GAP);
    gap->record = record_range(list, from, to);
    gap->has_source = false;
}

static tw_str row_name(twi_list *list, const twi_row *row)
{
    if (row->kind == TW_TRACK_AUDIO)
        return tw_arena_printf(list->arena, "A%u", row->number);
    tw_str name = row->number == 1 ? TW_STR("V") : tw_arena_printf(list->arena, "V%u", row->number);
    return row->key ? tw_arena_printf(list->arena, "%.*s key", TW_ARG(name)) : name;
}

/* Clips, the transitions before them, and the gaps where one begins later than all before it ended. */
static size_t count_items(const twi_list *list, const twi_row *row, int32_t reach)
{
    size_t count = row->count + row->mixes;
    for (size_t i = 0; i < (row->ragged ? row->count : 1); i++) {
        const twi_event *e = &list->events[row->at[i]];
        count += e->frame[TWI_REC_IN] > reach;
        reach = e->frame[TWI_REC_OUT] > reach ? e->frame[TWI_REC_OUT] : reach;
    }
    return count;
}

static void build_track(twi_list *list, tw_timeline *timeline, const twi_row *row, tw_track *track)
{
    int32_t reach = (int32_t)tw_time_round(timeline->start, list->rate, NULL);
    items out = {.at = TW_NEW_N(list->arena, tw_item, count_items(list, row, reach))};
    for (size_t i = 0; i < row->count; i++) {
        const twi_event *e = &list->events[row->at[i]];
        if (e->frame[TWI_REC_IN] > reach)
            add_gap(list, reach, e->frame[TWI_REC_IN], &out);
        if (e->mix > 0)
            add_transition(list, e, &out);
        add_clip(list, timeline, row, row->at[i], &out);
        reach = e->frame[TWI_REC_OUT] > reach ? e->frame[TWI_REC_OUT] : reach;
    }
    *track = (tw_track){
        .kind = row->kind, .name = row_name(list, row), .enabled = true, .items = out.at, .item_count = out.len};
}

/* ---- the list -------------------------------------------------------------------------------------------- */

/* Sound may begin before the picture. */
static int32_t first_frame(const twi_list *list)
{
    int32_t first = INT32_MAX;
    for (size_t r = 0; r < list->row_count; r++) {
        int32_t in = list->events[list->rows[r].at[0]].frame[TWI_REC_IN];
        first = in < first ? in : first;
    }
    return first == INT32_MAX ? 0 : first;
}

static void add_list_remark(tw_timeline *timeline, const twi_note *note)
{
    if (is_verbatim(note))
        timeline->remarks[timeline->remark_count++] = *note;
}

static void add_tail_note(twi_list *list, tw_timeline *timeline, const twi_note *note)
{
    marker_note loc;
    add_list_remark(timeline, note);
    if (note->kind == TWI_NOTE_LOC && read_marker(twi_edl_value(note), &loc))
        list_marker(list, timeline, &loc, note->line);
}

/* Those before the first event, and of trailers: what follows the notes of an event up to the next one's. */
static void take_list_remarks(twi_list *list, tw_timeline *timeline)
{
    timeline->remarks = TW_NEW_N(list->arena, tw_remark, list->head_notes + list->tail_notes);
    for (size_t i = 0; i < list->head_notes; i++)
        add_list_remark(timeline, &list->notes[i]);
    for (size_t i = 0; i < list->event_count && list->tail_notes > 0; i++) {
        const twi_event *e = &list->events[i];
        size_t end = i + 1 < list->event_count ? e[1].note : list->note_count;
        for (size_t n = e->note + e->notes; n < end; n++)
            add_tail_note(list, timeline, &list->notes[n]);
    }
}

tw_timeline *twi_edl_build(twi_list *list)
{
    list->anchors = TW_NEW_N(list->arena, twi_anchor, list->event_count);
    tw_timeline *timeline = tw_timeline_new(list->arena);
    timeline->file = list->file;
    timeline->name = list->title;
    timeline->format = &tw_format_edl;
    timeline->rate = list->rate;
    timeline->drop = list->drop;
    timeline->stamp = list->stamp;
    timeline->start = tw_time_frames(first_frame(list), list->rate);
    timeline->tracks = TW_NEW_N(list->arena, tw_track, list->row_count);
    timeline->track_count = list->row_count;
    for (size_t r = 0; r < list->row_count; r++)
        build_track(list, timeline, &list->rows[r], &timeline->tracks[r]);
    take_list_remarks(list, timeline);
    tw_timeline_settle(timeline);
    return timeline;
}
