/* SPDX-License-Identifier: Apache-2.0 */
#include <tallwide/timeline.h>

#include <math.h>

const char *tw_track_word(tw_track_kind kind)
{
    static const char *const words[] = {"video", "audio", "other"};
    return words[kind];
}

const char *tw_item_word(tw_item_kind kind)
{
    static const char *const words[] = {"clip", "gap", "transition", "nest"};
    return words[kind];
}

tw_time tw_tracks_end(const tw_track *tracks, size_t count)
{
    tw_time end = TW_TIME_ZERO;
    for (size_t t = 0; t < count; t++) {
        for (size_t i = 0; i < tracks[t].item_count; i++) {
            const tw_item *item = &tracks[t].items[i];
            const tw_time own = tw_range_end(item->record);
            if (item->kind != TW_ITEM_TRANSITION && tw_time_cmp(own, end) > 0)
                end = own;
        }
    }
    return end;
}

int64_t tw_item_record_in(const tw_timeline *timeline, const tw_item *item)
{
    return tw_time_round(item->record.start, timeline->rate, NULL);
}

int64_t tw_item_record_out(const tw_timeline *timeline, const tw_item *item)
{
    return tw_time_round(tw_range_end(item->record), timeline->rate, NULL);
}

int64_t tw_item_frames(const tw_timeline *timeline, const tw_item *item)
{
    return tw_item_record_out(timeline, item) - tw_item_record_in(timeline, item);
}

int64_t tw_item_head(const tw_timeline *timeline, const tw_item *item)
{
    return tw_time_round(item->head, timeline->rate, NULL);
}

int64_t tw_item_tail(const tw_timeline *timeline, const tw_item *item)
{
    return tw_time_round(item->tail, timeline->rate, NULL);
}

tw_rate tw_item_source_rate(const tw_timeline *timeline, const tw_item *item)
{
    return tw_rate_known(item->source_rate) ? item->source_rate : timeline->rate;
}

double tw_item_source_frame(const tw_timeline *timeline, const tw_item *item, int64_t f)
{
    tw_rate rate = tw_item_source_rate(timeline, item);
    bool whole;
    int64_t nearest = tw_time_round(item->source.start, rate, &whole);
    double start = whole ? (double)nearest : tw_time_seconds(item->source.start) * tw_rate_fps(rate);
    double step = item->speed;
    if (!tw_rate_eq(rate, timeline->rate))
        step *= tw_rate_fps(rate) / tw_rate_fps(timeline->rate);
    return start + (double)f * step;
}

/* The small part is for positions that are whole but for rounding. */
int64_t tw_item_shown_frame(const tw_timeline *timeline, const tw_item *item, int64_t f)
{
    return (int64_t)floor(tw_item_source_frame(timeline, item, f) + 1e-6);
}

tw_framing *tw_framing_later(tw_arena *arena, const tw_framing *framing, int64_t frames)
{
    tw_framing *copy = TW_NEW(arena, tw_framing);
    *copy = *framing;
    copy->keys = TW_NEW_N(arena, tw_key, framing->key_count);
    for (size_t k = 0; k < framing->key_count; k++) {
        copy->keys[k] = framing->keys[k];
        copy->keys[k].frame += frames;
    }
    return copy;
}

tw_window tw_framing_window(const tw_framing *framing, double frame)
{
    const tw_path_view path = {framing->keys, framing->key_count};
    tw_key key = tw_path_at_form(path, (tw_path_form)framing->interp, frame);
    return tw_geom_key_window(key, framing->squeeze, framing->delivery);
}

const tw_media *tw_item_media(const tw_item *item)
{
    return item->media_active < item->media_count ? &item->media[item->media_active] : NULL;
}

bool tw_reel_is_black(tw_str reel)
{
    return tw_str_ieq(reel, TW_STR("BL")) || tw_str_ieq(reel, TW_STR("BLK")) || tw_str_ieq(reel, TW_STR("BLACK"));
}

bool tw_item_is_black(const tw_item *item)
{
    const tw_media *media = tw_item_media(item);
    if (media != NULL && media->kind == TW_MEDIA_GENERATOR)
        return true;
    if (media != NULL && (media->kind == TW_MEDIA_FILE || media->kind == TW_MEDIA_IMAGES))
        return false; /* a card may be called "black"; what has a file shows a picture */
    return tw_reel_is_black(item->reel);
}

static bool is_auxiliary(tw_str reel)
{
    return tw_str_ieq(reel, TW_STR("AX"));
}

tw_names tw_item_names(const tw_item *item)
{
    const tw_media *media = tw_item_media(item);
    bool reel = item->reel.len > 0 && !is_auxiliary(item->reel);
    tw_str wanted[6] = {reel ? item->reel : TW_STR("")};
    if (media != NULL) {
        wanted[1] = tw_str_basename(media->url);
        wanted[2] = tw_str_stem(media->url);
        wanted[3] = media->name;
    }
    wanted[4] = item->name;
    wanted[5] = reel ? TW_STR("") : item->reel;
    tw_names names = {.count = 0};
    for (size_t i = 0; i < 6; i++)
        if (wanted[i].len > 0)
            names.at[names.count++] = wanted[i];
    if (names.count == 0)
        names.count = 1;
    bool strict = names.count > 1 && (reel ? item->name.len > 0 : item->reel.len > 0); /* the last one */
    names.loose = names.count - strict;
    if (tw_item_is_black(item))
        names.loose = 0;
    return names;
}

tw_str tw_item_source_name(const tw_item *item)
{
    return tw_item_names(item).at[0];
}

/* ---- through-edits --------------------------------------------------------------------------------------- */

static bool close_to(double a, double b)
{
    return fabs(a - b) < 0.01;
}

static bool same_picture(const tw_item *a, const tw_item *b)
{
    tw_str name = tw_item_source_name(a);
    const tw_media *ma = tw_item_media(a), *mb = tw_item_media(b);
    return name.len > 0 && tw_str_ieq(name, tw_item_source_name(b)) &&
           (ma == NULL || mb == NULL || tw_str_eq(ma->url, mb->url));
}

bool tw_item_goes_on(const tw_timeline *timeline, const tw_item *a, const tw_item *b)
{
    int64_t end = tw_item_frames(timeline, a);
    return a + 1 == b && tw_time_eq(tw_range_end(a->record), b->record.start) && close_to(a->speed, b->speed) &&
           same_picture(a, b) && close_to(tw_item_source_frame(timeline, a, end), tw_item_source_frame(timeline, b, 0));
}

/* ---- totals ---------------------------------------------------------------------------------------------- */

typedef struct totalling {
    const tw_stand *stands;
    tw_totals *totals;
} totalling;

static bool count_item(void *context, const tw_track *track, const tw_item *item)
{
    const totalling *t = context;
    tw_totals *totals = t->totals;
    totals->markers += item->marker_count;
    if (item->kind == TW_ITEM_TRANSITION)
        totals->transitions++;
    else if (item->kind == TW_ITEM_NEST)
        totals->nests++;
    if (item->kind != TW_ITEM_CLIP || t->stands[item->index].shown.first == t->stands[item->index].shown.end)
        return true;
    totals->video_clips += track->kind == TW_TRACK_VIDEO;
    totals->audio_clips += track->kind == TW_TRACK_AUDIO;
    return true;
}

typedef struct span {
    int64_t in, out;
} span;

static int by_in(const void *a, const void *b)
{
    const span *x = a, *y = b;
    return tw_then(TW_CMP(x->in, y->in), TW_CMP(x->out, y->out));
}

/* Sorted spans: what they leave open between first and last, or what later ones cover twice. */
static int64_t open_frames(const span *spans, size_t count)
{
    int64_t open = 0, out = count > 0 ? spans[0].out : 0;
    for (size_t i = 1; i < count; i++) {
        if (spans[i].in > out)
            open += spans[i].in - out;
        out = spans[i].out > out ? spans[i].out : out;
    }
    return open;
}

static int64_t double_frames(const span *spans, size_t count)
{
    int64_t twice = 0, out = count > 0 ? spans[0].out : 0;
    for (size_t i = 1; i < count; i++) {
        int64_t shared = (spans[i].out < out ? spans[i].out : out) - spans[i].in;
        twice += shared > 0 ? shared : 0;
        out = spans[i].out > out ? spans[i].out : out;
    }
    return twice;
}

static size_t picture_spans(const tw_timeline *timeline, const tw_track *track, span *spans)
{
    size_t count = 0;
    for (size_t i = 0; i < track->item_count; i++) {
        const tw_item *item = &track->items[i];
        span s = {tw_item_record_in(timeline, item), tw_item_record_out(timeline, item)};
        if ((item->kind == TW_ITEM_CLIP || item->kind == TW_ITEM_NEST) && s.out > s.in)
            spans[count++] = s;
    }
    return count;
}

static void count_time(const tw_timeline *timeline, tw_totals *totals)
{
    size_t most = 0;
    for (size_t t = 0; t < timeline->track_count; t++)
        most += timeline->tracks[t].kind == TW_TRACK_VIDEO ? timeline->tracks[t].item_count : 0;
    tw_arena *scratch = tw_arena_like(timeline->arena);
    span *spans = TW_NEW_N(scratch, span, most);
    size_t count = 0;
    for (size_t t = 0; t < timeline->track_count; t++) {
        if (timeline->tracks[t].kind != TW_TRACK_VIDEO)
            continue;
        size_t more = picture_spans(timeline, &timeline->tracks[t], spans + count);
        TW_SORT(spans + count, more, by_in);
        totals->overlap_frames += double_frames(spans + count, more);
        count += more;
    }
    TW_SORT(spans, count, by_in);
    totals->gap_frames = open_frames(spans, count);
    int64_t out = 0;
    for (size_t i = 0; i < count; i++)
        out = i == 0 || spans[i].out > out ? spans[i].out : out;
    totals->record_in = count > 0 ? spans[0].in : 0;
    totals->record_frames = count > 0 ? out - spans[0].in : 0;
    tw_arena_free(&scratch);
}

/* From the start, or what lies before it, to the last of pictures and sound. */
static int64_t whole_length(const tw_timeline *timeline)
{
    int64_t in = tw_time_round(timeline->start, timeline->rate, NULL), out = in;
    for (size_t t = 0; t < timeline->track_count; t++) {
        const tw_track *track = &timeline->tracks[t];
        for (size_t i = 0; track->kind != TW_TRACK_OTHER && i < track->item_count; i++) {
            const tw_item *item = &track->items[i];
            if (item->kind != TW_ITEM_CLIP && item->kind != TW_ITEM_NEST)
                continue;
            int64_t from = tw_item_record_in(timeline, item), to = tw_item_record_out(timeline, item);
            in = from < in ? from : in;
            out = to > out ? to : out;
        }
    }
    return out - in;
}

tw_totals tw_timeline_totals(const tw_timeline *timeline)
{
    tw_totals totals = {.markers = timeline->marker_count};
    for (size_t t = 0; t < timeline->track_count; t++)
        totals.markers += timeline->tracks[t].marker_count;
    tw_arena *scratch = tw_arena_like(timeline->arena);
    totalling t = {tw_timeline_stands(scratch, timeline), &totals};
    tw_timeline_walk(timeline, count_item, &t);
    tw_arena_free(&scratch);
    count_time(timeline, &totals);
    totals.whole_frames = whole_length(timeline);
    return totals;
}
