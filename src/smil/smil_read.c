/* SPDX-License-Identifier: Apache-2.0 */
#include "smil_internal.h"

#include <math.h>

#include <string.h>

/* No time is longer than 388 days; at most 1000 frames a second, begun and gone on for so long, make fewer frames than
 * this, so that what is read can be written and read again. */
#define MOST_MS INT64_C(33554432000)
#define MOST_FRAMES INT64_C(100000000000)

typedef struct reader {
    tw_arena *arena;
    tw_diags *diags;
    tw_xml_doc doc;
    tw_timeline *timeline;
    tw_size stage;
    uint32_t items;
    bool failed;
} reader;

static void fault(reader *r, const tw_xml_node *node, int code, const char *what, tw_str text)
{
    const tw_place place = tw_xml_place(&r->doc, node);
    tw_diag_add(r->diags, code, &place, "%s: \"%.*s\"", what, TW_ARG(tw_str_cut(text, 80)));
    r->failed = true;
}

/* ---- params ---------------------------------------------------------------------------------------------- */

static tw_str param(const tw_xml_node *node, const char *name)
{
    for (const tw_xml_node *p = node->child; p != NULL; p = p->next)
        if (tw_str_is(p->name, "param") && tw_str_is(tw_xml_get(p, "name"), name))
            return tw_xml_get(p, "value");
    return (tw_str){NULL, 0};
}

/* True when the param is there and is a whole number of frames within a year at any rate. */
static bool param_frames(reader *r, const tw_xml_node *node, const char *name, int64_t *out)
{
    tw_str text = param(node, name);
    if (text.at == NULL)
        return false;
    if (tw_num_int(text, out) && *out<MOST_FRAMES && * out> - MOST_FRAMES)
        return true;
    fault(r, node, 2011, "a param that counts frames does not", text);
    return false;
}

static bool clock_of(reader *r, const tw_xml_node *node, const char *name, int64_t *ms)
{
    tw_str text = tw_xml_get(node, name);
    if (text.at == NULL)
        return false;
    if (twi_smil_read_clock(text, ms) && *ms < MOST_MS)
        return true;
    fault(r, node, 2011, "this clock value cannot be read", text);
    return false;
}

/* Times were rounded up to milliseconds: the nearest frame is the one meant. */
static tw_time frame_at(const reader *r, int64_t ms)
{
    tw_time t = tw_time_make(ms, 1000);
    return tw_time_frames(tw_time_round(t, r->timeline->rate, NULL), r->timeline->rate);
}

/* ---- framing --------------------------------------------------------------------------------------------- */

/* "frame left top width ease" */
static bool read_key(tw_str text, const tw_framing *f, tw_key *key)
{
    double values[5];
    for (int i = 0; i < 5; i++) {
        size_t end = 0;
        while (end < text.len && text.at[end] != ' ')
            end++;
        if (!tw_num_double(tw_str_cut(text, end), &values[i]))
            return false;
        text = tw_str_from(text, end + 1);
    }
    bool sane = values[0] > -4e9 && values[0] < 4e9 && values[3] > 0 && values[4] >= 0;
    for (int i = 1; i < 5; i++)
        sane = sane && fabs(values[i]) <= TW_GEOM_LIMIT;
    if (text.len > 0 || !sane)
        return false;
    key->frame = (int64_t)values[0];
    key->w = values[3];
    key->ease = values[4];
    key->cx = values[1] + key->w / 2;
    key->cy = values[2] + tw_geom_height(key->w, f->squeeze, f->delivery) / 2;
    return true;
}

static bool read_keys(reader *r, const tw_xml_node *node, tw_framing *f)
{
    size_t cap = 0;
    for (const tw_xml_node *p = node->child; p != NULL; p = p->next) {
        if (!tw_str_is(p->name, "param") || !tw_str_is(tw_xml_get(p, "name"), "key"))
            continue;
        f->keys = tw_arena_grow(r->arena, f->keys, f->key_count, &cap, sizeof *f->keys);
        tw_key *key = &f->keys[f->key_count];
        if (!read_key(tw_xml_get(p, "value"), f, key) || (f->key_count > 0 && key->frame <= key[-1].frame)) {
            fault(r, p, 2011, "this key is not \"frame left top width ease\" after the one before",
                  tw_xml_get(p, "value"));
            return false;
        }
        f->key_count++;
    }
    return f->key_count > 0;
}

static void read_framing(reader *r, const tw_xml_node *node, tw_item *item)
{
    tw_str source = param(node, "source-size"), size = param(node, "size"), squeeze = param(node, "squeeze");
    if (source.at == NULL)
        return;
    tw_framing *f = TW_NEW(r->arena, tw_framing);
    f->squeeze = 1;
    f->delivery = r->stage;
    bool fine = tw_size_read(source, &f->source) && (size.at == NULL || tw_size_read(size, &f->delivery));
    fine = fine && (squeeze.at == NULL || (tw_num_double(squeeze, &f->squeeze) && f->squeeze > 0));
    if (!fine) {
        fault(r, node, 2011, "the picture sizes of this clip cannot be read", source);
        return;
    }
    tw_str interp = param(node, "interpolation");
    f->mode = tw_str_is(param(node, "frame"), "fit") ? TW_FRAME_FIT : TW_FRAME_FILL;
    f->interp = tw_str_is(interp, "bezier")   ? TW_INTERP_BEZIER
                : tw_str_is(interp, "linear") ? TW_INTERP_LINEAR
                                              : TW_INTERP_EASED;
    if (read_keys(r, node, f))
        item->framing = f;
}

/* ---- items ----------------------------------------------------------------------------------------------- */

typedef struct track_builder {
    tw_track *track;
    size_t cap;
    tw_time at; /* record time reached */
} track_builder;

static tw_item *add_item(reader *r, track_builder *b, tw_item_kind kind)
{
    tw_track *t = b->track;
    tw_item *item = &TW_PUSH(r->arena, t->items, t->item_count, b->cap);
    *item = tw_timeline_item(kind);
    r->items++;
    return item;
}

static void add_gap(reader *r, track_builder *b, tw_time until)
{
    if (tw_time_cmp(until, b->at) <= 0)
        return;
    add_item(r, b, TW_ITEM_GAP)->record = tw_range_of(b->at, until);
}

/* From exact frames where they stand, else from the clock. */
static tw_range record_of(reader *r, const track_builder *b, const tw_xml_node *node)
{
    int64_t in, out, begin = 0, dur = 0;
    tw_rate rate = r->timeline->rate;
    if (param_frames(r, node, "record-in", &in) && param_frames(r, node, "record-out", &out) && out >= in)
        return tw_range_of(tw_time_frames(in, rate), tw_time_frames(out, rate));
    clock_of(r, node, "begin", &begin);
    if (!clock_of(r, node, "dur", &dur)) {
        int64_t clip_in = 0, clip_out = 0;
        if (clock_of(r, node, "clipEnd", &clip_out))
            dur = clock_of(r, node, "clipBegin", &clip_in) && clip_in < clip_out ? clip_out - clip_in : clip_out;
        else
            fault(r, node, 2011, "this element has no dur", tw_xml_get(node, "src"));
    }
    tw_time start = tw_time_add(b->at, frame_at(r, begin));
    return (tw_range){start, frame_at(r, dur)};
}

static void read_source(reader *r, const tw_xml_node *node, tw_item *item)
{
    int64_t in, frames, ms;
    tw_rate rate;
    bool drop;
    item->source_rate = r->timeline->rate;
    if (tw_rate_read(param(node, "source-rate"), &rate, &drop))
        item->source_rate = rate;
    if (param_frames(r, node, "source-in", &in)) {
        if (!param_frames(r, node, "source-frames", &frames))
            frames = tw_time_round(item->record.dur, item->source_rate, NULL);
        item->source = (tw_range){tw_time_frames(in, item->source_rate), tw_time_frames(frames, item->source_rate)};
        item->has_source = true;
    } else if (clock_of(r, node, "clipBegin", &ms)) {
        item->source = (tw_range){frame_at(r, ms), item->record.dur};
        item->has_source = true;
    }
    tw_str speed = param(node, "speed");
    if (speed.at != NULL && (!tw_num_double(speed, &item->speed) || fabs(item->speed) > 1e6))
        fault(r, node, 2011, "this speed cannot be read", speed);
}

static void read_media(reader *r, const tw_xml_node *node, tw_item *item)
{
    tw_str src = tw_xml_get(node, "src");
    if (src.len == 0 || tw_str_eq(src, item->reel))
        return;
    item->media = TW_NEW(r->arena, tw_media);
    *item->media = (tw_media){.kind = TW_MEDIA_FILE, .url = src};
    item->media_count = 1;
    item->media_active = 0;
}

static void add_transition(reader *r, track_builder *b, const tw_xml_node *node, tw_time cut)
{
    tw_str name = param(node, "transition");
    int64_t in = 0, out = 0;
    if (name.at == NULL)
        return;
    param_frames(r, node, "transition-in", &in);
    param_frames(r, node, "transition-out", &out);
    tw_item *item = add_item(r, b, TW_ITEM_TRANSITION);
    item->name = name;
    item->in_offset = tw_time_frames(in, r->timeline->rate);
    item->out_offset = tw_time_frames(out, r->timeline->rate);
    item->record = tw_range_of(tw_time_sub(cut, item->in_offset), tw_time_add(cut, item->out_offset));
    item->place = tw_xml_place(&r->doc, node);
}

static void add_clip(reader *r, track_builder *b, const tw_xml_node *node)
{
    tw_range record = record_of(r, b, node);
    add_gap(r, b, record.start);
    add_transition(r, b, node, record.start);
    tw_item *item = add_item(r, b, TW_ITEM_CLIP);
    item->record = record;
    item->name = tw_xml_get(node, "title");
    item->event = param(node, "event");
    item->reel = param(node, "reel");
    item->enabled = !tw_str_is(param(node, "enabled"), "false");
    item->place = tw_xml_place(&r->doc, node);
    read_source(r, node, item);
    read_media(r, node, item);
    read_framing(r, node, item);
    b->at = tw_range_end(record);
}

static void read_tracks(reader *r, const tw_xml_node *parent, tw_time zero, tw_track **out, size_t *count);

/* Where the last item of the longest track ends. */
static tw_time longest(const tw_track *tracks, size_t count)
{
    tw_time end = TW_TIME_ZERO;
    for (size_t t = 0; t < count; t++) {
        const tw_track *track = &tracks[t];
        if (track->item_count == 0)
            continue;
        tw_time out = tw_range_end(track->items[track->item_count - 1].record);
        end = tw_time_cmp(out, end) > 0 ? out : end;
    }
    return end;
}

static void add_nest(reader *r, track_builder *b, const tw_xml_node *node)
{
    tw_track *tracks;
    size_t count;
    read_tracks(r, node, TW_TIME_ZERO, &tracks, &count);
    int64_t begin = 0, dur;
    clock_of(r, node, "begin", &begin);
    tw_range record = {tw_time_add(b->at, frame_at(r, begin)), longest(tracks, count)};
    if (clock_of(r, node, "dur", &dur))
        record.dur = frame_at(r, dur);
    add_gap(r, b, record.start);
    tw_item *item = add_item(r, b, TW_ITEM_NEST);
    item->record = record;
    item->name = tw_xml_get(node, "title");
    item->place = tw_xml_place(&r->doc, node);
    item->tracks = tracks;
    item->track_count = count;
    b->at = tw_range_end(record);
}

static bool one_of(tw_str name, const char *const *words)
{
    while (*words != NULL && !tw_str_is(name, *words))
        words++;
    return *words != NULL;
}

static const char *const media_elements[] = {"video", "audio", "img", "ref", "animation", NULL};
static const char *const containers[] = {"par", "seq", NULL};
static const char *const passed_over[] = {"param", "metadata", "animate", "set", "area", NULL};
static const char *const words[] = {"text", "textstream", "brush", "smilText", NULL};
static const char *const wrappers[] = {"a", "switch", NULL};

static void note(reader *r, const tw_xml_node *node, const char *what)
{
    const tw_place place = tw_xml_place(&r->doc, node);
    tw_diag_add(r->diags, 2014, &place, "%.*s: %s", TW_ARG(node->name), what);
}

static const tw_xml_node *playable(const tw_xml_node *node)
{
    while (node != NULL && one_of(node->name, passed_over))
        node = node->next;
    return node;
}

/* What stands for the node: what a link or a choice holds. NULL: nothing with a length. */
static const tw_xml_node *meant(reader *r, const tw_xml_node *node)
{
    while (node != NULL && one_of(node->name, wrappers)) {
        const tw_xml_node *first = playable(node->child);
        if (first != NULL && playable(first->next) != NULL)
            note(r, node, "of what may be played here only the first is taken");
        node = first;
    }
    return node == NULL || one_of(node->name, passed_over) ? NULL : node;
}

/* Words and colours are neither picture nor sound. */
static void add_pause(reader *r, track_builder *b, const tw_xml_node *node)
{
    int64_t begin = 0, dur = 0;
    note(r, node, "no picture and no sound: only its time is kept");
    clock_of(r, node, "begin", &begin);
    clock_of(r, node, "dur", &dur);
    tw_time until = tw_time_add(b->at, frame_at(r, begin + dur));
    add_gap(r, b, until);
    b->at = until;
}

static void add_any(reader *r, track_builder *b, const tw_xml_node *node)
{
    if (one_of(node->name, media_elements))
        add_clip(r, b, node);
    else if (one_of(node->name, containers))
        add_nest(r, b, node);
    else if (one_of(node->name, words))
        add_pause(r, b, node);
    else
        fault(r, node, 2013, "this element cannot be put on a track", node->name);
}

static void read_seq(reader *r, const tw_xml_node *seq, tw_time zero, tw_track *track)
{
    track_builder b = {.track = track, .at = zero};
    tw_str kind = tw_xml_get(seq, "class");
    size_t sounds = 0;
    track->enabled = true;
    track->name = tw_xml_get(seq, "title");
    for (const tw_xml_node *child = seq->child; child != NULL && r->items < TW_EVENTS_LIMIT; child = child->next) {
        const tw_xml_node *n = meant(r, child);
        if (n == NULL)
            continue;
        sounds += tw_str_is(n->name, "audio");
        add_any(r, &b, n);
    }
    track->kind = tw_str_is(kind, "audio") || (kind.at == NULL && sounds > 0 && sounds == track->item_count)
                      ? TW_TRACK_AUDIO
                  : tw_str_is(kind, "other") ? TW_TRACK_OTHER
                                             : TW_TRACK_VIDEO;
}

/* What a par holds plays at once, each on a track of its own; anything else is one track. Depth is bounded by xmlio. */
static void read_tracks(reader *r, const tw_xml_node *parent, tw_time zero, tw_track **out, size_t *count)
{
    *count = 1;
    if (!tw_str_is(parent->name, "par")) {
        *out = TW_NEW(r->arena, tw_track);
        read_seq(r, parent, zero, *out);
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
        track_builder b = {.track = track, .at = zero};
        if (tw_str_is(n->name, "seq")) {
            read_seq(r, n, zero, track);
            continue;
        }
        track->enabled = true;
        track->kind = tw_str_is(n->name, "audio") ? TW_TRACK_AUDIO : TW_TRACK_VIDEO;
        add_any(r, &b, n);
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
    for (size_t i = 0; i < text.len && i < 16; i++) {
        const char *digits = "0123456789abcdef", *at = strchr(digits, text.at[i]);
        hash = hash * 16 + (at != NULL && *at != '\0' ? (uint64_t)(at - digits) : 0);
    }
    return hash;
}

static void read_stage(reader *r, const tw_xml_node *head)
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

static tw_status read_head(reader *r, const tw_xml_node *head, const tw_read_options *options)
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
    } else if (!tw_rate_read(rate, &t->rate, &drop)) {
        fault(r, head, 2011, "the edit rate cannot be read", rate);
        return TW_ERR_SEMANTIC;
    }
    t->drop = drop || (tw_str_is(meta(head, "drop-frame"), "true") && tw_rate_can_drop(t->rate));
    t->name = meta(head, "title");
    int64_t start = 0;
    tw_str label = meta(head, "start");
    if (label.at != NULL && tw_tc_read(label, t->rate, t->drop, &start) != TW_TC_FINE)
        fault(r, head, 2011, "the start time code cannot be read", label);
    t->start = tw_time_frames(start, t->rate);
    read_stage(r, head);
    return TW_OK;
}

tw_status twi_smil_read(tw_arena *arena, tw_str bytes, tw_str file, const tw_read_options *options, tw_diags *diags,
                        tw_timeline **out)
{
    reader r = {.arena = arena, .diags = diags, .timeline = tw_timeline_new(arena), .stage = {1920, 1080}};
    tw_status status = tw_xml_read(arena, bytes, file, diags, &r.doc);
    if (status != TW_OK)
        return status;
    const tw_xml_node *head = child(r.doc.root, "head"), *body = child(r.doc.root, "body");
    if (!tw_str_is(r.doc.root->name, "smil") || body == NULL) {
        fault(&r, r.doc.root, 2013, "a SMIL timeline has the root smil with a body in it, this is", r.doc.root->name);
        return TW_ERR_SEMANTIC;
    }
    r.timeline->file = file;
    status = read_head(&r, head, options);
    if (status != TW_OK)
        return status;
    bool wrapped = body->child != NULL && body->child->next == NULL && one_of(body->child->name, containers);
    read_tracks(&r, wrapped ? body->child : body, r.timeline->start, &r.timeline->tracks, &r.timeline->track_count);
    if (r.items >= TW_EVENTS_LIMIT) {
        tw_diag_add(diags, 2003, &(tw_place){.file = file}, "the timeline holds more than %u items", TW_EVENTS_LIMIT);
        return TW_ERR_LIMIT;
    }
    if (r.failed)
        return TW_ERR_SEMANTIC;
    tw_timeline_settle(r.timeline);
    *out = r.timeline;
    return TW_OK;
}
