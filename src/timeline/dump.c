/* SPDX-License-Identifier: Apache-2.0 */
#include <tallwide/timeline.h>

static const char *const media_word[] = {"missing", "file", "images", "generator", "unknown"};

static void add_text(const char *name, tw_str value, tw_buf *out)
{
    if (value.len > 0)
        tw_buf_addf(out, " %s=\"%.*s\"", name, TW_ARG(value));
}

static void add_time(tw_time t, tw_buf *out)
{
    tw_buf_add_int(out, t.num);
    if (t.den != 1)
        tw_buf_addf(out, "/%lld", (long long)t.den);
}

static void add_range(const char *name, tw_range r, tw_buf *out)
{
    tw_buf_addf(out, " %s=", name);
    add_time(r.start, out);
    tw_buf_addc(out, '+');
    add_time(r.dur, out);
}

static void add_offset(const char *name, tw_time t, tw_buf *out)
{
    if (tw_time_eq(t, TW_TIME_ZERO))
        return;
    tw_buf_addf(out, " %s=", name);
    add_time(t, out);
}

static void dump_media(const tw_media *m, bool active, int depth, tw_buf *out)
{
    tw_buf_fill(out, ' ', (size_t)depth);
    tw_buf_addf(out, "media %s%s", media_word[m->kind], active ? " active" : "");
    add_text("key", m->key, out);
    add_text("name", m->name, out);
    add_text("url", m->url, out);
    if (m->has_available)
        add_range("available", m->available, out);
    tw_buf_addc(out, '\n');
}

static void dump_markers(const tw_marker *markers, size_t count, int depth, tw_buf *out)
{
    for (size_t i = 0; i < count; i++) {
        tw_buf_fill(out, ' ', (size_t)depth);
        tw_buf_addz(out, "marker");
        add_text("name", markers[i].name, out);
        add_text("color", markers[i].color, out);
        add_text("comment", markers[i].comment, out);
        add_range("at", markers[i].at, out);
        tw_buf_addc(out, '\n');
    }
}

static void dump_framing(const tw_framing *f, int depth, tw_buf *out)
{
    static const char *const interp_word[] = {"eased", "bezier", "linear"};
    tw_buf_fill(out, ' ', (size_t)depth);
    tw_buf_addf(out, "framing %s %dx%d of %dx%d %s squeeze ", f->mode == TW_FRAME_FIT ? "fit" : "fill", f->delivery.w,
                f->delivery.h, f->source.w, f->source.h, interp_word[f->interp]);
    tw_buf_add_double(out, f->squeeze);
    tw_buf_addc(out, '\n');
    for (size_t i = 0; i < f->key_count; i++) {
        tw_buf_fill(out, ' ', (size_t)depth + 1);
        tw_buf_addf(out, "key %lld", (long long)f->keys[i].frame);
        const double values[] = {f->keys[i].cx, f->keys[i].cy, f->keys[i].w, f->keys[i].ease};
        for (size_t v = 0; v < 4; v++) {
            tw_buf_addc(out, ' ');
            tw_buf_add_double(out, values[v]);
        }
        tw_buf_addc(out, '\n');
    }
}

static void dump_source(const tw_item *item, tw_buf *out)
{
    if (item->has_source) {
        add_range("source", item->source, out);
        tw_buf_addc(out, '@');
        tw_rate_write(item->source_rate, out);
        if (item->source_drop)
            tw_buf_addz(out, " drop");
    }
    if (item->speed < 1 || item->speed > 1) {
        tw_buf_addz(out, " speed=");
        tw_buf_add_double(out, item->speed);
    }
    if (item->variable_speed)
        tw_buf_addz(out, " variable-speed");
}

static void dump_tracks(const tw_track *tracks, size_t count, int depth, tw_buf *out);

static void dump_item(const tw_item *item, int depth, tw_buf *out)
{
    tw_buf_fill(out, ' ', (size_t)depth);
    tw_buf_addz(out, tw_item_word(item->kind));
    if (item->kind == TW_ITEM_CLIP)
        tw_buf_addf(out, " #%zu", item->index);
    add_text("event", item->event, out);
    add_text("name", item->name, out);
    add_text("reel", item->reel, out);
    add_range("record", item->record, out);
    dump_source(item, out);
    bool transition = item->kind == TW_ITEM_TRANSITION;
    add_offset(transition ? "in" : "head", item->head, out);
    add_offset(transition ? "out" : "tail", item->tail, out);
    if (item->channels != 0)
        tw_buf_addf(out, " channels=%x", item->channels);
    tw_buf_addz(out, item->enabled ? "\n" : " disabled\n");
    for (size_t i = 0; i < item->media_count; i++)
        dump_media(&item->media[i], i == item->media_active, depth + 1, out);
    dump_markers(item->markers, item->marker_count, depth + 1, out);
    for (size_t i = 0; i < item->remark_count; i++) {
        tw_buf_fill(out, ' ', (size_t)depth + 1);
        tw_buf_addf(out, "remark %.*s\n", TW_ARG(item->remarks[i].text));
    }
    if (item->framing != NULL)
        dump_framing(item->framing, depth + 1, out);
    dump_tracks(item->tracks, item->track_count, depth + 1, out);
}

static void dump_tracks(const tw_track *tracks, size_t count, int depth, tw_buf *out)
{
    for (size_t t = 0; t < count; t++) {
        tw_buf_fill(out, ' ', (size_t)depth);
        tw_buf_addf(out, "track %s", tw_track_word(tracks[t].kind));
        add_text("name", tracks[t].name, out);
        tw_buf_addz(out, tracks[t].enabled ? "\n" : " disabled\n");
        dump_markers(tracks[t].markers, tracks[t].marker_count, depth + 1, out);
        for (size_t i = 0; i < tracks[t].item_count; i++)
            dump_item(&tracks[t].items[i], depth + 1, out);
    }
}

void tw_timeline_dump(const tw_timeline *timeline, tw_buf *out)
{
    tw_buf_addz(out, "timeline");
    add_text("name", timeline->name, out);
    tw_buf_addz(out, " rate=");
    tw_rate_write(timeline->rate, out);
    if (timeline->number > 0)
        tw_buf_addf(out, " number=%zu", timeline->number);
    tw_buf_addz(out, timeline->drop ? " drop start=" : " start=");
    add_time(timeline->start, out);
    tw_buf_addc(out, '\n');
    if (timeline->stamp != NULL)
        tw_buf_addf(out, " stamp %.*s %dx%d %.*s %.*s\n", TW_ARG(timeline->stamp->delivery), timeline->stamp->size.w,
                    timeline->stamp->size.h, TW_ARG(tw_arena_hex(out->arena, timeline->stamp->master_hash)),
                    TW_ARG(tw_arena_hex(out->arena, timeline->stamp->plan_hash)));
    dump_markers(timeline->markers, timeline->marker_count, 1, out);
    dump_tracks(timeline->tracks, timeline->track_count, 1, out);
}
