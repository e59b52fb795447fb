/* SPDX-License-Identifier: Apache-2.0 */
#include <tallwide/timeline.h>

static const char *called(tw_arena *scratch, const tw_item *item)
{
    tw_str what = item->name.len > 0 ? item->name : item->reel;
    if (item->kind == TW_ITEM_GAP)
        return "the gap beside it";
    if (what.len == 0 && item->event.len == 0)
        return item->kind == TW_ITEM_NEST ? "a nested timeline without a name" : "a clip without a name";
    if (item->event.len > 0)
        return tw_arena_printf(scratch, "event %.*s (%.*s)", TW_ARG(item->event), TW_ARG(what)).at;
    return tw_arena_printf(scratch, "\"%.*s\"", TW_ARG(what)).at;
}

typedef struct checking {
    const tw_timeline *timeline;
    tw_diags *diags;
    tw_arena *scratch;
} checking;

static void check_transition(const checking *c, const tw_track *track, size_t i)
{
    const tw_item *t = &track->items[i];
    const tw_item *before = i > 0 ? &track->items[i - 1] : NULL;
    const tw_item *after = i + 1 < track->item_count ? &track->items[i + 1] : NULL;
    if (before != NULL && before->kind != TW_ITEM_TRANSITION && tw_time_cmp(t->in_offset, before->record.dur) > 0)
        tw_diag_add(c->diags, 1401, &t->place, "the transition begins before %s does", called(c->scratch, before));
    if (after != NULL && after->kind != TW_ITEM_TRANSITION && tw_time_cmp(t->out_offset, after->record.dur) > 0)
        tw_diag_add(c->diags, 1401, &t->place, "the transition runs past the end of %s", called(c->scratch, after));
}

static double in_frames(tw_time t, tw_rate rate)
{
    return tw_time_seconds(t) * tw_rate_fps(rate);
}

/* What is shown, handles included, against what the file says was recorded. */
static void check_media(const checking *c, const tw_item *item)
{
    const tw_media *m = tw_item_media(item);
    if (m == NULL || !m->has_available || !item->has_source || tw_time_cmp(m->available.dur, TW_TIME_ZERO) <= 0)
        return;
    int64_t head = tw_item_head(c->timeline, item), last = tw_item_frames(c->timeline, item) - 1;
    if (last + tw_item_tail(c->timeline, item) < -head)
        return; /* nothing is shown */
    tw_rate rate = tw_item_source_rate(c->timeline, item);
    double a = tw_item_source_frame(c->timeline, item, -head);
    double b = tw_item_source_frame(c->timeline, item, last + tw_item_tail(c->timeline, item));
    double least = a < b ? a : b, most = a < b ? b : a;
    double first = in_frames(m->available.start, rate), end = in_frames(tw_range_end(m->available), rate);
    double missing = least < first - 0.5 ? first - least : most > end - 0.5 ? most + 1 - end : 0;
    if (missing < 0.5)
        return;
    long long frames = (long long)(missing + 0.5);
    tw_diag_add(c->diags, 1402, &item->place, "%s shows %lld frame%s that its media does not have",
                called(c->scratch, item), frames, TW_PLURAL(frames));
}

static bool check_item(void *context, const tw_track *track, const tw_item *item)
{
    if (item->kind == TW_ITEM_TRANSITION)
        check_transition(context, track, (size_t)(item - track->items));
    else if (item->kind == TW_ITEM_CLIP)
        check_media(context, item);
    return true;
}

void tw_timeline_check(const tw_timeline *timeline, tw_diags *diags)
{
    checking c = {timeline, diags, tw_arena_like(timeline->arena)};
    tw_timeline_walk(timeline, check_item, &c);
    tw_arena_free(&c.scratch);
}
