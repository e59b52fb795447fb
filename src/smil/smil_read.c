/* SPDX-License-Identifier: Apache-2.0 */
#include "smil_read.h"

#include <math.h>

/* ---- items ----------------------------------------------------------------------------------------------- */

/* Frames are those nearest to what the clock says, not sums of lengths that were rounded one by one. */
typedef struct track_builder {
    tw_track *track;
    size_t cap;
    tw_time zero;                    /* where its clock begins */
    int64_t ms;                      /* reached on it, */
    tw_time at;                      /* and in record time, to the frame */
    tw_item leaving;                 /* what leads out of the clip last read, */
    const tw_xml_node *leaving_from; /* this one; NULL: nothing does */
} track_builder;

static tw_item *add_item(twi_smil_reader *r, track_builder *b, tw_item_kind kind)
{
    tw_track *t = b->track;
    tw_item *item = &TW_PUSH(r->arena, t->items, t->item_count, b->cap);
    *item = tw_timeline_item(kind);
    r->items++;
    return item;
}

/* Nothing comes after the clip for now. */
static void add_leaving(twi_smil_reader *r, track_builder *b)
{
    if (b->leaving_from == NULL)
        return;
    b->leaving.record =
        tw_range_of(tw_time_sub(b->at, b->leaving.in_offset), tw_time_add(b->at, b->leaving.out_offset));
    b->leaving.place = tw_xml_place(&r->doc, b->leaving_from);
    *add_item(r, b, TW_ITEM_TRANSITION) = b->leaving;
    b->leaving_from = NULL;
}

/* Something does, at once: a picture that is gone when it comes is no mix of the two. */
static void drop_leaving(twi_smil_reader *r, track_builder *b)
{
    if (b->leaving_from != NULL)
        twi_smil_pass(r, TWI_SMIL_TRANSITION, b->leaving_from, tw_xml_get(b->leaving_from, "transOut"));
    b->leaving_from = NULL;
}

static void add_gap(twi_smil_reader *r, track_builder *b, tw_time until)
{
    if (tw_time_cmp(until, b->at) <= 0)
        return;
    add_leaving(r, b);
    tw_item *last = b->track->item_count > 0 ? &b->track->items[b->track->item_count - 1] : NULL;
    if (last != NULL && last->kind == TW_ITEM_GAP)
        last->record = tw_range_of(last->record.start, until);
    else
        add_item(r, b, TW_ITEM_GAP)->record = tw_range_of(b->at, until);
}

static tw_time time_of(const twi_smil_reader *r, const track_builder *b, int64_t ms)
{
    return tw_time_add(b->zero, twi_smil_frame_at(r, ms));
}

/* Nothing plays until then. */
static void pause_until(twi_smil_reader *r, track_builder *b, int64_t ms)
{
    const tw_time until = time_of(r, b, ms);
    add_gap(r, b, until);
    b->at = tw_time_cmp(until, b->at) > 0 ? until : b->at;
    b->ms = ms > b->ms ? ms : b->ms;
}

static void note(twi_smil_reader *r, const tw_xml_node *node, const char *what)
{
    const tw_place place = tw_xml_place(&r->doc, node);
    tw_diag_add(r->diags, 2014, &place, "%.*s: %s", TW_ARG(node->name), what);
}

/* A player holds the last frame of what is too short. */
static void check_media(twi_smil_reader *r, const tw_xml_node *node, int64_t simple)
{
    int64_t in = 0, out;
    if (!twi_smil_read_clock(tw_xml_get(node, "clipEnd"), &out))
        return;
    twi_smil_read_clock(tw_xml_get(node, "clipBegin"), &in);
    if (out > in && tw_time_cmp(twi_smil_frame_at(r, simple), twi_smil_frame_at(r, out - in)) > 0)
        note(r, node, "it goes on for longer than from clipBegin to clipEnd: taken to run on past that");
}

/* From exact frames where they stand, else from the clock. */
static tw_range record_of(twi_smil_reader *r, const track_builder *b, const tw_xml_node *node, twi_smil_span *span)
{
    int64_t in, out, clip_in = 0, clip_out, natural = -1;
    tw_rate rate = r->timeline->rate;
    if (twi_smil_frames(r, node, "record-in", &in) && twi_smil_frames(r, node, "record-out", &out) && out >= in) {
        *span = (twi_smil_span){.exact = true};
        return tw_range_of(tw_time_frames(in, rate), tw_time_frames(out, rate));
    }
    if (tw_xml_get(node, "dur").at == NULL && twi_smil_clock_of(r, node, "clipEnd", &clip_out))
        natural =
            twi_smil_clock_of(r, node, "clipBegin", &clip_in) && clip_in < clip_out ? clip_out - clip_in : clip_out;
    *span = twi_smil_span_of(r, node, natural);
    if (span->active < 0)
        twi_smil_fault(r, node, 2011, "this element has no dur", tw_xml_get(node, "src"));
    check_media(r, node, span->simple);
    int64_t first = span->simple < span->active ? span->simple : span->active, start = b->ms + span->begin;
    return tw_range_of(time_of(r, b, start), time_of(r, b, start + (first > 0 ? first : 0)));
}

static void read_source(twi_smil_reader *r, const tw_xml_node *node, tw_item *item)
{
    int64_t in = 0, frames = 0, ms;
    tw_rate rate;
    bool drop;
    item->source_rate = r->timeline->rate;
    if (tw_rate_read(twi_smil_param(node, "source-rate"), &rate, &drop))
        item->source_rate = rate;
    bool exact = twi_smil_frames(r, node, "source-in", &in);
    item->has_source = exact || twi_smil_clock_of(r, node, "clipBegin", &ms);
    if (item->has_source && !exact)
        in = tw_time_round(tw_time_make(ms, 1000), item->source_rate, NULL);
    if (item->has_source && !(exact && twi_smil_frames(r, node, "source-frames", &frames)))
        frames = tw_time_round(item->record.dur, item->source_rate, NULL);
    if (!item->has_source)
        item->source_rate = r->timeline->rate;
    else
        item->source = (tw_range){tw_time_frames(in, item->source_rate), tw_time_frames(frames, item->source_rate)};
    item->source_drop = tw_str_is(twi_smil_param(node, "source-drop"), "true");
    tw_str speed = twi_smil_param(node, "speed");
    if (speed.at != NULL && (!tw_num_double(speed, &item->speed) || fabs(item->speed) > 1e6))
        twi_smil_fault(r, node, 2011, "this speed cannot be read", speed);
}

static void read_media(twi_smil_reader *r, const tw_xml_node *node, tw_item *item)
{
    tw_str src = tw_xml_get(node, "src");
    if (src.len == 0 || tw_str_eq(src, item->reel))
        return;
    item->media = TW_NEW(r->arena, tw_media);
    *item->media = (tw_media){.kind = TW_MEDIA_FILE, .url = src};
    item->media_count = 1;
    item->media_active = 0;
}

static void note_leaving(twi_smil_reader *r, track_builder *b, const tw_xml_node *node)
{
    b->leaving = tw_timeline_item(TW_ITEM_TRANSITION);
    b->leaving_from = twi_smil_lead_out(r, node, &b->leaving) ? node : NULL;
}

static void add_transition(twi_smil_reader *r, track_builder *b, const tw_xml_node *node, tw_time cut)
{
    tw_item read = tw_timeline_item(TW_ITEM_TRANSITION);
    if (!twi_smil_lead_in(r, node, &read))
        return;
    read.record = tw_range_of(tw_time_sub(cut, read.in_offset), tw_time_add(cut, read.out_offset));
    read.place = tw_xml_place(&r->doc, node);
    *add_item(r, b, TW_ITEM_TRANSITION) = read;
}

static void put_clip(twi_smil_reader *r, track_builder *b, const tw_xml_node *node, tw_range record)
{
    tw_item *item = add_item(r, b, TW_ITEM_CLIP);
    item->record = record;
    item->name = tw_xml_get(node, "title");
    item->event = twi_smil_param(node, "event");
    item->reel = twi_smil_param(node, "reel");
    item->enabled = !tw_str_is(twi_smil_param(node, "enabled"), "false");
    item->place = tw_xml_place(&r->doc, node);
    read_source(r, node, item);
    read_media(r, node, item);
    twi_smil_framing(r, node, item);
    b->at = tw_range_end(record);
}

#define MOST_REPEATS 10000 /* of one clip: more is a slip, and would be a long list from a short file */

/* Repetitions are clips of a frame or more: of shorter ones, as many as are no longer than a frame are one. */
static void repeat_clip(twi_smil_reader *r, track_builder *b, const tw_xml_node *node, int64_t start,
                        const twi_smil_span *span)
{
    int64_t frame = twi_smil_ms(tw_time_frames(1, r->timeline->rate)), least = frame / span->simple;
    int64_t step = span->simple * (least > 1 ? least : 1);
    if (span->active / step > MOST_REPEATS) {
        twi_smil_fault(r, node, 2003, "this is repeated more than 10,000 times", node->name);
        return;
    }
    for (int64_t at = span->simple; at < span->active && !r->failed && r->items < TW_EVENTS_LIMIT;) {
        int64_t next = at + step < span->active ? at + step : span->active;
        tw_time until = time_of(r, b, start + next);
        if (tw_time_cmp(until, b->at) > 0) /* else shorter than a frame */
            put_clip(r, b, node, tw_range_of(b->at, until));
        at = next;
    }
}

/* One that repeats is as many clips, the last of them perhaps not whole. */
static void add_clip(twi_smil_reader *r, track_builder *b, const tw_xml_node *node)
{
    twi_smil_span span;
    tw_range record = record_of(r, b, node, &span);
    add_gap(r, b, record.start);
    drop_leaving(r, b);
    add_transition(r, b, node, record.start);
    put_clip(r, b, node, record);
    twi_smil_look_at_clip(r, node, b->track->items[b->track->item_count - 1].framing != NULL);
    if (span.repeats)
        repeat_clip(r, b, node, b->ms + span.begin, &span);
    note_leaving(r, b, node);
    if (r->failed)
        return;
    if (span.exact)
        b->ms = twi_smil_ms(tw_time_sub(b->at, b->zero));
    else if (span.active > span.simple)
        pause_until(r, b, b->ms + span.begin + span.active);
    else
        b->ms += span.begin + span.active;
}

static void read_tracks(twi_smil_reader *r, const tw_xml_node *parent, tw_time from, tw_time zero, tw_track **out,
                        size_t *count);

/* Nothing follows a pause at the end: its time is the group's. */
static void trim(tw_track *tracks, size_t count)
{
    for (size_t t = 0; t < count; t++)
        tracks[t].item_count -=
            tracks[t].item_count > 0 && tracks[t].items[tracks[t].item_count - 1].kind == TW_ITEM_GAP;
}

static twi_smil_span group_span(twi_smil_reader *r, const tw_xml_node *node)
{
    twi_smil_span span = twi_smil_span_of(r, node, -1);
    if (span.repeats)
        twi_smil_fault(r, node, 2015, "only single clips are repeated", node->name);
    return span;
}

static void add_nest(twi_smil_reader *r, track_builder *b, const tw_xml_node *node)
{
    tw_track *tracks;
    size_t count;
    const twi_smil_span span = group_span(r, node);
    if (r->nests == TW_NESTS_LIMIT) {
        twi_smil_fault(r, node, 1403, "timelines are nested too deep here", node->name);
        return;
    }
    r->nests++;
    read_tracks(r, node, TW_TIME_ZERO, TW_TIME_ZERO, &tracks, &count);
    r->nests--;
    const int64_t start = b->ms + span.begin;
    tw_range record = {time_of(r, b, start), tw_tracks_end(tracks, count)};
    if (span.active >= 0)
        record = tw_range_of(record.start, time_of(r, b, start + span.active));
    trim(tracks, count);
    add_gap(r, b, record.start);
    drop_leaving(r, b);
    tw_item *item = add_item(r, b, TW_ITEM_NEST);
    item->record = record;
    item->name = tw_xml_get(node, "title");
    item->place = tw_xml_place(&r->doc, node);
    item->tracks = tracks;
    item->track_count = count;
    b->at = tw_range_end(record);
    b->ms = span.active >= 0 ? start + span.active : twi_smil_ms(tw_time_sub(b->at, b->zero));
}

static const char *const media_elements[] = {"video", "audio", "img", "ref", "animation", NULL};
static const char *const containers[] = {"par", "seq", NULL};
static const char *const passed_over[] = {"param", "metadata", "animate", "set", "area", NULL};
static const char *const words[] = {"text", "textstream", "brush", "smilText", NULL};
static const char *const wrappers[] = {"a", "switch", NULL};

static const tw_xml_node *playable(const tw_xml_node *node)
{
    while (node != NULL && twi_smil_one_of(node->name, passed_over))
        node = node->next;
    return node;
}

/* What stands for the node: what a link or a choice holds. NULL: nothing with a length. */
static const tw_xml_node *meant(twi_smil_reader *r, const tw_xml_node *node)
{
    while (node != NULL && twi_smil_one_of(node->name, wrappers)) {
        const tw_xml_node *first = playable(node->child);
        if (first != NULL && playable(first->next) != NULL)
            note(r, node, "of what may be played here only the first is taken");
        node = first;
    }
    return node == NULL || twi_smil_one_of(node->name, passed_over) ? NULL : node;
}

/* Words and colours are neither picture nor sound. */
static void add_pause(twi_smil_reader *r, track_builder *b, const tw_xml_node *node)
{
    note(r, node, "no picture and no sound: only its time is kept");
    const twi_smil_span span = twi_smil_span_of(r, node, -1);
    pause_until(r, b, b->ms + span.begin + (span.active > 0 ? span.active : 0));
}

static void add_any(twi_smil_reader *r, track_builder *b, const tw_xml_node *node)
{
    if (twi_smil_one_of(node->name, media_elements))
        add_clip(r, b, node);
    else if (twi_smil_one_of(node->name, containers))
        add_nest(r, b, node);
    else if (twi_smil_one_of(node->name, words))
        add_pause(r, b, node);
    else
        twi_smil_fault(r, node, 2013, "this element cannot be put on a track", node->name);
}

/* A track of time `from` on, in which nothing plays before `zero`. */
static track_builder build(twi_smil_reader *r, tw_track *track, tw_time from, tw_time zero)
{
    track_builder b = {.track = track, .zero = zero, .at = from};
    add_gap(r, &b, zero);
    b.at = zero;
    return b;
}

static void read_seq(twi_smil_reader *r, const tw_xml_node *seq, tw_time from, tw_time zero, tw_track *track)
{
    track_builder b = build(r, track, from, zero);
    tw_str kind = tw_xml_get(seq, "class");
    size_t sounds = 0, played = 0;
    track->enabled = true;
    track->name = tw_xml_get(seq, "title");
    for (const tw_xml_node *child = seq->child; child != NULL && r->items < TW_EVENTS_LIMIT; child = child->next) {
        const tw_xml_node *n = meant(r, child);
        if (n == NULL)
            continue;
        sounds += tw_str_is(n->name, "audio");
        played += !twi_smil_one_of(n->name, words);
        add_any(r, &b, n);
    }
    add_leaving(r, &b);
    track->kind = tw_str_is(kind, "audio") || (kind.at == NULL && sounds > 0 && sounds == played) ? TW_TRACK_AUDIO
                  : tw_str_is(kind, "other")                                                      ? TW_TRACK_OTHER
                                                                                                  : TW_TRACK_VIDEO;
}

/* A track that is cut short by a time of its own would have to be cut here. Who wrote the file may have rounded too:
 * half a frame for each item, and for the whole, is no cut. */
static void check_end(twi_smil_reader *r, const tw_xml_node *node, tw_time start, int64_t active,
                      const tw_track *tracks, size_t count)
{
    tw_time end = tw_time_add(start, twi_smil_frame_at(r, active));
    for (size_t t = 0; t < count && active >= 0; t++) {
        int64_t late = tw_time_round(tw_time_sub(tw_tracks_end(&tracks[t], 1), end), r->timeline->rate, NULL);
        if (2 * late > (int64_t)tracks[t].item_count + 1) {
            twi_smil_fault(r, node, 2015, "this ends before what it holds, which is not cut", node->name);
            return;
        }
    }
}

/* What a par holds plays at once, each on a track of its own; anything else is one track. */
static void read_tracks(twi_smil_reader *r, const tw_xml_node *parent, tw_time from, tw_time zero, tw_track **out,
                        size_t *count)
{
    *count = 1;
    if (!tw_str_is(parent->name, "par")) {
        *out = TW_NEW(r->arena, tw_track);
        read_seq(r, parent, from, zero, *out);
        return;
    }
    size_t most = 0;
    for (const tw_xml_node *n = parent->child; n != NULL; n = n->next)
        most++;
    *out = TW_NEW_N(r->arena, tw_track, most);
    *count = 0;
    for (const tw_xml_node *child = parent->child; child != NULL && r->items < TW_EVENTS_LIMIT; child = child->next) {
        const tw_xml_node *n = meant(r, child);
        if (n == NULL)
            continue;
        tw_track *track = &(*out)[(*count)++];
        if (tw_str_is(n->name, "seq")) {
            const twi_smil_span span = group_span(r, n);
            const tw_time begin = tw_time_add(zero, twi_smil_frame_at(r, span.begin));
            read_seq(r, n, from, begin, track);
            check_end(r, n, begin, span.active, track, 1);
            continue;
        }
        track->enabled = true;
        track->kind = tw_str_is(n->name, "audio") ? TW_TRACK_AUDIO : TW_TRACK_VIDEO;
        track_builder b = build(r, track, from, zero);
        add_any(r, &b, n);
        add_leaving(r, &b);
    }
}

/* ---- head ------------------------------------------------------------------------------------------------ */

static const tw_xml_node *child(const tw_xml_node *node, const char *name)
{
    const tw_xml_node *n = node != NULL ? node->child : NULL;
    while (n != NULL && !tw_str_is(n->name, name))
        n = n->next;
    return n;
}

static tw_str meta(const tw_xml_node *head, const char *name)
{
    for (const tw_xml_node *n = head != NULL ? head->child : NULL; n != NULL; n = n->next)
        if (tw_str_is(n->name, "meta") && tw_str_is(tw_xml_get(n, "name"), name))
            return tw_xml_get(n, "content");
    return (tw_str){NULL, 0};
}

static uint64_t hash_of(tw_str text)
{
    uint64_t hash = 0;
    return tw_num_hex(text, &hash) ? hash : 0;
}

static void read_stage(twi_smil_reader *r, const tw_xml_node *head)
{
    const tw_xml_node *root = child(child(head, "layout"), "root-layout");
    int64_t w = 0, h = 0;
    if (root != NULL && tw_num_int(tw_xml_get(root, "width"), &w) && tw_num_int(tw_xml_get(root, "height"), &h) &&
        w > 0 && h > 0 && w <= 1000000 && h <= 1000000)
        r->stage = (tw_size){(int32_t)w, (int32_t)h};
    tw_str delivery = meta(head, "delivery");
    if (delivery.len == 0)
        return;
    r->timeline->stamp = TW_NEW(r->arena, tw_stamp);
    *r->timeline->stamp = (tw_stamp){
        .delivery = delivery,
        .size = r->stage,
        .master_hash = hash_of(meta(head, "master")),
        .plan_hash = hash_of(meta(head, "plan")),
    };
}

/* Frames in params are then not what was meant by them. */
static void say_rate(twi_smil_reader *r, const tw_xml_node *head, tw_str said, tw_rate wanted)
{
    tw_rate rate;
    bool drop;
    if (!tw_rate_read(said, &rate, &drop) || tw_rate_eq(rate, wanted))
        return;
    tw_buf text = {.arena = r->arena};
    tw_rate_write_spoken(rate, drop, &text);
    tw_buf_addz(&text, " frames a second, and is read at ");
    tw_rate_write_spoken(wanted, false, &text);
    const tw_place place = tw_xml_place(&r->doc, head);
    tw_diag_add(r->diags, 2017, &place, "the file says that it counts %.*s, as was asked for",
                TW_ARG(tw_buf_str(&text)));
}

static tw_status read_head(twi_smil_reader *r, const tw_xml_node *head, const tw_read_options *options)
{
    tw_timeline *t = r->timeline;
    tw_str rate = meta(head, "edit-rate");
    bool drop = false;
    if (rate.at == NULL && !tw_rate_known(options->rate)) {
        tw_diag_add(r->diags, 2012, &(tw_place){.file = r->doc.file},
                    "the file does not say its edit rate: give one with --rate");
        return TW_ERR_SEMANTIC;
    }
    if (tw_rate_known(options->rate)) {
        t->rate = options->rate;
        drop = options->drop;
        say_rate(r, head, rate, t->rate);
    } else if (!tw_rate_read(rate, &t->rate, &drop)) {
        twi_smil_fault(r, head, 2011, "the edit rate cannot be read", rate);
        return TW_ERR_SEMANTIC;
    }
    t->drop = drop || (tw_str_is(meta(head, "drop-frame"), "true") && tw_rate_can_drop(t->rate));
    t->name = meta(head, "title");
    int64_t start = 0;
    tw_str label = meta(head, "start");
    if (label.at != NULL && tw_tc_read(label, t->rate, t->drop, &start) != TW_TC_FINE)
        twi_smil_fault(r, head, 2011, "the start time code cannot be read", label);
    t->start = tw_time_frames(start, t->rate);
    read_stage(r, head);
    return TW_OK;
}

/* `root` is the body, or the only group in it. */
static void read_body(twi_smil_reader *r, const tw_xml_node *body, const tw_xml_node *root)
{
    tw_timeline *t = r->timeline;
    const twi_smil_span outer = group_span(r, body);
    tw_time zero = tw_time_add(t->start, twi_smil_frame_at(r, outer.begin)), begin = zero;
    twi_smil_span span = outer;
    if (root != body) {
        span = group_span(r, root);
        begin = tw_time_add(zero, twi_smil_frame_at(r, span.begin));
    }
    read_tracks(r, root, t->start, begin, &t->tracks, &t->track_count);
    check_end(r, root, begin, span.active, t->tracks, t->track_count);
    check_end(r, body, zero, outer.active, t->tracks, t->track_count);
    trim(t->tracks, t->track_count);
}

tw_status twi_smil_read(tw_arena *arena, tw_str bytes, tw_str file, const tw_read_options *options, tw_diags *diags,
                        tw_timeline **out)
{
    twi_smil_reader r = {.arena = arena, .diags = diags, .timeline = tw_timeline_new(arena), .stage = {1920, 1080}};
    tw_status status = tw_xml_read(arena, bytes, file, diags, &r.doc);
    if (status != TW_OK)
        return status;
    const tw_xml_node *head = child(r.doc.root, "head"), *body = child(r.doc.root, "body");
    if (!tw_str_is(r.doc.root->name, "smil") || body == NULL) {
        twi_smil_fault(&r, r.doc.root, 2013, "a SMIL timeline has the root smil with a body in it, this is",
                       r.doc.root->name);
        return TW_ERR_SEMANTIC;
    }
    r.timeline->file = file;
    r.timeline->format = &tw_format_smil;
    status = read_head(&r, head, options);
    if (status != TW_OK)
        return status;
    twi_smil_transitions(&r, head);
    twi_smil_look_at_head(&r, head);
    bool wrapped = body->child != NULL && body->child->next == NULL && twi_smil_one_of(body->child->name, containers);
    read_body(&r, body, wrapped ? body->child : body);
    if (r.items >= TW_EVENTS_LIMIT) {
        tw_diag_add(diags, 2003, &(tw_place){.file = file}, "the timeline holds more than %u items", TW_EVENTS_LIMIT);
        return TW_ERR_LIMIT;
    }
    if (r.failed)
        return TW_ERR_SEMANTIC;
    twi_smil_tell_passed(&r);
    tw_timeline_settle(r.timeline);
    *out = r.timeline;
    return TW_OK;
}
