/* SPDX-License-Identifier: Apache-2.0 */
#include <math.h>

#include "edl_out.h"

#define LONGEST_MIX 999

/* ---- frames ---------------------------------------------------------------------------------------------- */

int64_t twi_edl_whole(twi_out *out, tw_time t, tw_rate rate, const tw_item *item)
{
    bool exact;
    int64_t frames = tw_time_round(t, rate, &exact);
    if (!exact)
        twi_edl_lose(out, TWI_LOSS_SUBFRAME, item);
    return frames;
}

/* A count that no reader of lists would think of is not written. */
tw_rate twi_edl_source_rate(const twi_out *out, const tw_item *item)
{
    const tw_rate own = item->source_rate, list = out->timeline->rate;
    int32_t count = tw_rate_known(own) ? tw_rate_count(own) : 0;
    return count == tw_rate_count(list) || twi_edl_is_count(count) ? own : list;
}

/* Source frames an event of so many record frames goes through. */
static int64_t consumed(const twi_out *out, const tw_item *item, int64_t frames)
{
    tw_rate rate = twi_edl_source_rate(out, item);
    double speed = fabs(item->speed);
    if (speed == 0)
        return 1;
    double span = (double)frames * speed;
    if (!tw_rate_eq(rate, out->timeline->rate))
        span *= tw_rate_fps(rate) / tw_rate_fps(out->timeline->rate);
    return (int64_t)floor(span + 0.5);
}

static double source_step(const twi_out *out, const tw_item *item)
{
    return item->speed * tw_rate_fps(twi_edl_source_rate(out, item)) / tw_rate_fps(out->timeline->rate);
}

/* In frames of the rate that is written. */
static int64_t source_at(const twi_out *out, const tw_item *item, int64_t frame)
{
    double at = tw_item_source_frame(out->timeline, item, frame);
    tw_rate own = tw_item_source_rate(out->timeline, item), rate = twi_edl_source_rate(out, item);
    if (!tw_rate_eq(own, rate))
        at *= tw_rate_fps(rate) / tw_rate_fps(own);
    return (int64_t)floor(at + 0.5);
}

/* ---- transitions ----------------------------------------------------------------------------------------- */

static uint16_t wipe_number(tw_str name)
{
    for (size_t i = 0; i < name.len; i++) {
        int64_t value;
        size_t n = 0;
        while (i + n < name.len && tw_is_digit(name.at[i + n]))
            n++;
        if (n > 0)
            return tw_num_int((tw_str){name.at + i, n}, &value) && value <= 999 ? (uint16_t)value : 1;
    }
    return 1;
}

static void set_kind(twi_out *out, const tw_item *t, twi_out_event *e)
{
    e->cut = TWI_DISSOLVE;
    if (tw_str_glob(TW_STR("*wipe*"), t->name)) {
        e->cut = TWI_WIPE;
        e->wipe = wipe_number(t->name);
    } else if (tw_str_is(t->name, "key") || tw_str_is(t->name, "key out")) {
        e->cut = tw_str_is(t->name, "key") ? TWI_KEY : TWI_KEY_OUT;
    } else if (!tw_str_glob(TW_STR("*dissolve*"), t->name)) {
        twi_edl_lose(out, TWI_LOSS_MIX, t);
    }
}

typedef struct collecting {
    twi_out *out;
    uint16_t video;
    uint32_t channels;
    const tw_item *pending; /* a transition that waits for its incoming side */
    const tw_item *before;  /* outgoing side */
    size_t last;            /* its event, SIZE_MAX when it has none */
} collecting;

static twi_out_event *push(twi_out *out)
{
    twi_out_event *e = &TW_PUSH(out->arena, out->events, out->count, out->cap);
    *e = (twi_out_event){.order = out->count - 1, .cut = TWI_CUT};
    return e;
}

/* What an event lost at its end its own transition cannot take. */
static void shorten_mix(twi_out_event *e)
{
    int64_t most = e->out - e->in;
    e->mix = e->mix > most ? most : e->mix;
    if (e->mix == 0 && e->cut != TWI_KEY && e->cut != TWI_KEY_OUT)
        e->cut = TWI_CUT;
}

/* A list's transition begins at its cut: the cut moves to where the transition began. */
static void move_cut(collecting *c, twi_out_event *e, int64_t early)
{
    e->in -= early;
    e->moved = early;
    if (e->item != NULL)
        e->source_in = source_at(c->out, e->item, -early);
    if (c->last == SIZE_MAX)
        return;
    twi_out_event *before = &c->out->events[c->last];
    if (before->out - early >= before->in) {
        before->out -= early;
        shorten_mix(before);
        if (before->item != NULL)
            before->source_span = consumed(c->out, before->item, before->out - before->in);
    }
}

/* As a list said it (its items have channels), so that it comes back with the source outs it had; what follows from
 * length and speed where no list said it or the cut was moved. */
static int64_t written_span(twi_out *out, const tw_item *item, const twi_out_event *e)
{
    bool said =
        item->channels != 0 && item->has_source && e->moved == 0 && tw_time_cmp(item->source.dur, TW_TIME_ZERO) > 0;
    if (tw_item_is_black(item))
        return e->out - e->in;
    return said ? twi_edl_whole(out, item->source.dur, twi_edl_source_rate(out, item), item)
                : consumed(out, item, e->out - e->in);
}

static void check_media(collecting *c, const twi_out_event *e)
{
    const tw_item *from = e->from;
    const tw_media *m = from != NULL ? tw_item_media(from) : NULL;
    if (m == NULL || !m->has_available || from->speed <= 0)
        return;
    double last = (double)e->from_source + (double)(e->mix - 1) * source_step(c->out, from);
    if (last >= tw_time_seconds(tw_range_end(m->available)) * tw_rate_fps(twi_edl_source_rate(c->out, from)) - 1e-3)
        twi_edl_lose(c->out, TWI_LOSS_SHORT_MEDIA, from);
}

static void set_from(collecting *c, twi_out_event *e)
{
    e->from = c->before;
    if (c->before == NULL)
        return;
    int64_t shown = tw_item_frames(c->out->timeline, c->before);
    int64_t start = tw_item_record_in(c->out->timeline, c->before);
    e->from_source = source_at(c->out, c->before, shown == 0 ? 0 : e->in - start);
}

/* A list's own pair whose first line has a length stays one event. */
static void merge_pair(collecting *c, twi_out_event *e)
{
    twi_out_event *before = c->last != SIZE_MAX ? &c->out->events[c->last] : NULL;
    if (before == NULL || before->item == NULL || e->item == NULL || before->item->event.len == 0)
        return;
    const tw_item *from = before->item;
    bool plain = from->remark_count == 0 && from->marker_count == 0 && from->framing == NULL && from->speed == 1;
    if (!plain || !tw_str_eq(from->event, e->item->event) || before->cut != TWI_CUT || before->out != e->in)
        return;
    e->from_long = before->merged = true;
    e->from_in = before->in;
    e->from_start = before->source_in;
}

/* Frames the event before can give up: it keeps one, and what its own transition needs to reach the end of the clip it
 * comes from. */
static int64_t to_spare(const collecting *c)
{
    if (c->last == SIZE_MAX)
        return INT64_MAX;
    const twi_out_event *before = &c->out->events[c->last];
    int64_t spare = before->out - before->in - (before->moved > 1 ? before->moved : 1);
    return spare > 0 ? spare : 0;
}

/* Nothing of a programme comes before its start, and no time code before midnight. */
static int64_t earliest(const collecting *c, const twi_out_event *e, int64_t early)
{
    int64_t spare = to_spare(c);
    early = early > spare ? spare : early;
    const tw_timeline *t = c->out->timeline;
    int64_t room = e->in - tw_time_round(t->start, t->rate, NULL);
    early = early > room && room >= 0 ? room : early;
    if (e->item != NULL && e->item->has_source)
        while (early > 0 && source_at(c->out, e->item, -early) < 0)
            early--;
    return early;
}

static void apply_pending(collecting *c, twi_out_event *e)
{
    const tw_item *t = c->pending;
    c->pending = NULL;
    if (t == NULL)
        return;
    if (e->item != NULL && e->out <= e->in) { /* nothing to lead into */
        twi_edl_lose(c->out, TWI_LOSS_MIX, t);
        return;
    }
    int64_t early = twi_edl_whole(c->out, t->in_offset, c->out->timeline->rate, t);
    early = earliest(c, e, early);
    int64_t late = twi_edl_whole(c->out, t->out_offset, c->out->timeline->rate, t);
    if (early != 0)
        move_cut(c, e, early);
    set_kind(c->out, t, e);
    e->mix = early + late;
    int64_t most = e->out - e->in < LONGEST_MIX ? e->out - e->in : LONGEST_MIX;
    if (early != 0 || e->mix > most || tw_time_cmp(t->in_offset, TW_TIME_ZERO) > 0)
        twi_edl_lose(c->out, TWI_LOSS_MIX, t);
    e->mix = e->mix > most ? most : e->mix;
    if (e->mix <= 0 && e->cut != TWI_KEY && e->cut != TWI_KEY_OUT) {
        e->cut = TWI_CUT;
        return;
    }
    set_from(c, e);
    merge_pair(c, e);
    check_media(c, e);
}

/* ---- items ----------------------------------------------------------------------------------------------- */

/* Black is what a list has of its own. */
static bool is_other_than_black(const tw_media *m)
{
    return m != NULL && m->kind == TW_MEDIA_GENERATOR && !tw_str_ieq(m->name, TW_STR("black"));
}

static void count_losses(twi_out *out, const tw_item *item)
{
    tw_rate rate = twi_edl_source_rate(out, item);
    if (item->kind == TW_ITEM_NEST)
        twi_edl_lose(out, TWI_LOSS_NEST, item);
    if (item->media_count > 1)
        twi_edl_lose(out, TWI_LOSS_MEDIA, item);
    if (is_other_than_black(tw_item_media(item)))
        twi_edl_lose(out, TWI_LOSS_GENERATOR, item);
    if (item->variable_speed)
        twi_edl_lose(out, TWI_LOSS_VARIABLE, item);
    if (!tw_rate_eq(rate, out->timeline->rate) && !tw_item_is_black(item))
        twi_edl_lose(out, TWI_LOSS_SOURCE_RATE, item);
    else if (tw_rate_known(item->source_rate) && !tw_rate_eq(rate, item->source_rate))
        twi_edl_lose(out, TWI_LOSS_SOURCE_COUNT, item);
    double value = fabs(item->speed) * tw_rate_count(rate);
    if (item->speed != 1 && fabs(value - tw_num_round(value, 1)) > 1e-6)
        twi_edl_lose(out, TWI_LOSS_SPEED, item);
}

static void add_clip(collecting *c, const tw_item *item)
{
    twi_out *out = c->out;
    const tw_timeline *timeline = out->timeline;
    twi_out_event *e = push(out);
    count_losses(out, item);
    e->item = item;
    e->video = c->video;
    e->channels = c->channels;
    e->in = twi_edl_whole(out, item->record.start, timeline->rate, item);
    e->out = twi_edl_whole(out, tw_range_end(item->record), timeline->rate, item);
    e->source_in = item->has_source ? twi_edl_whole(out, item->source.start, twi_edl_source_rate(out, item), item) : 0;
    apply_pending(c, e);
    e->source_span = written_span(out, item, e);
    if (c->last != SIZE_MAX && c->last + 1 < out->count && e->in < out->events[c->last].out)
        twi_edl_lose(out, TWI_LOSS_OVERLAP, item);
    c->before = item;
    c->last = out->count - 1;
}

/* A fade out: the transition leads into a gap, or into nothing at the end of the track. */
static void add_fade_out(collecting *c, int64_t cut, int64_t room)
{
    if (c->pending != NULL && c->before == NULL) { /* from black to black */
        twi_edl_lose(c->out, TWI_LOSS_MIX, c->pending);
        c->pending = NULL;
    }
    if (c->pending == NULL)
        return;
    int64_t late = twi_edl_whole(c->out, c->pending->out_offset, c->out->timeline->rate, c->pending);
    twi_out_event *e = push(c->out);
    e->video = c->video;
    e->channels = c->channels;
    e->in = cut;
    e->out = cut + (late < room ? late : room); /* apply_pending moves the cut, not the end */
    apply_pending(c, e);
    e->source_span = e->out - e->in;
    if (e->mix == 0)
        c->out->count--;
}

static bool is_from_side_only(const tw_track *track, size_t i)
{
    const tw_item *item = &track->items[i];
    return tw_time_eq(item->record.dur, TW_TIME_ZERO) && i + 1 < track->item_count &&
           track->items[i + 1].kind == TW_ITEM_TRANSITION && track->items[i + 1].enabled;
}

static void forget_before(collecting *c)
{
    c->before = NULL;
    c->last = SIZE_MAX;
}

/* A nest may hold less than it is long: what ended before its end goes out into nothing. */
static bool is_hole_before(const collecting *c, int64_t cut)
{
    return c->before != NULL && tw_time_round(tw_range_end(c->before->record), c->out->timeline->rate, NULL) < cut;
}

static void collect_item(collecting *c, const tw_track *track, size_t i)
{
    const tw_item *item = &track->items[i];
    const tw_timeline *timeline = c->out->timeline;
    bool shown = item->kind != TW_ITEM_GAP && item->enabled && track->enabled;
    for (size_t m = 0; m < item->marker_count && (item->kind == TW_ITEM_TRANSITION || item->kind == TW_ITEM_GAP); m++)
        twi_edl_lose(c->out, TWI_LOSS_MARKER, item);
    if (item->kind == TW_ITEM_TRANSITION) {
        if (item->enabled)
            c->pending = item;
        else
            twi_edl_lose(c->out, TWI_LOSS_MIX_OFF, item);
        return;
    }
    if (is_hole_before(c, tw_item_record_in(timeline, item)))
        forget_before(c);
    if (item->kind != TW_ITEM_GAP && !shown)
        twi_edl_lose(c->out, TWI_LOSS_DISABLED, item);
    if (!shown) {
        add_fade_out(c, tw_item_record_in(timeline, item), tw_item_frames(timeline, item));
        forget_before(c);
    } else if (is_from_side_only(track, i)) {
        c->before = item; /* it is the first line of the pair to come */
        c->last = SIZE_MAX;
    } else {
        add_clip(c, item);
    }
}

void twi_edl_collect(twi_out *out, const tw_track *track, uint16_t video, uint32_t channels)
{
    collecting c = {.out = out, .video = video, .channels = channels, .last = SIZE_MAX};
    for (size_t i = 0; i < track->item_count; i++)
        collect_item(&c, track, i);
    if (c.pending != NULL && track->item_count > 0) {
        int64_t cut =
            tw_time_round(tw_time_add(c.pending->record.start, c.pending->in_offset), out->timeline->rate, NULL);
        if (is_hole_before(&c, cut))
            forget_before(&c);
        add_fade_out(&c, cut, LONGEST_MIX);
    }
    for (size_t i = 0; i < track->marker_count; i++)
        twi_edl_lose(out, TWI_LOSS_MARKER, NULL);
}
