/* SPDX-License-Identifier: Apache-2.0
 *
 * From notes in source time to what the solver is asked in record frames.
 */
#include "derive_internal.h"

#include <math.h>
#include <string.h>

/* Record frames of a path and the source frames they show: a straight line, since a through-edit goes on where it left
 * off. */
typedef struct mapping {
    int64_t first, frames;
    double start, step; /* source frame at record frame 0, and per record frame */
    double gap;         /* source frames without a box after which a tracked thing counts as gone */
} mapping;

static mapping map_shots(const tw_timeline *master, const twi_shot *shots)
{
    const twi_shot *last = &shots[shots->parts - 1];
    mapping m = {.first = shots->first, .frames = shots->frames};
    for (const twi_shot *s = shots + 1; s <= last; s++)
        m.frames += s->frames;
    m.start = tw_item_source_frame(master, shots->clip, 0);
    m.step = tw_item_source_frame(master, shots->clip, 1) - m.start;
    m.gap = TW_DERIVE_GONE * tw_rate_fps(master->rate) * tw_max(fabs(m.step), 1);
    return m;
}

static double source_at(const mapping *m, int64_t frame)
{
    return m->start + (double)frame * m->step;
}

/* ---- boxes ----------------------------------------------------------------------------------------------- */

/* Index of the last key at or before the frame; SIZE_MAX when the first lies after it. */
static size_t key_before(const tw_region *region, double frame)
{
    size_t i;
    TW_SEARCH(i, region->key_count, (double)region->keys[i].frame <= frame);
    return i - 1;
}

bool tw_derive_box(const tw_region *region, double source_frame, double gap, tw_region_key *out)
{
    bool table = region->track.len > 0;
    if (region->key_count == 0)
        return false;
    size_t i = key_before(region, source_frame);
    if (i == SIZE_MAX || i == region->key_count - 1) {
        const tw_region_key *edge = &region->keys[i == SIZE_MAX ? 0 : i];
        *out = *edge;
        return !table || fabs(source_frame - (double)edge->frame) < 1;
    }
    const tw_region_key *a = &region->keys[i], *b = a + 1;
    double length = (double)(b->frame - a->frame);
    if (table && length > gap && source_frame - (double)a->frame >= 1)
        return false;
    double share = length > 0 ? (source_frame - (double)a->frame) / length : 0;
    *out = tw_region_between(a, b, share);
    return true;
}

/* True when the region shows anywhere in the shot. */
static bool fill_boxes(const mapping *m, const tw_note *note, const tw_region *region, const tw_path_job *job,
                       tw_path_box *boxes)
{
    bool any = false;
    for (int64_t i = 0; i < m->frames; i++) {
        double source = source_at(m, m->first + i);
        tw_region_key k;
        if (!tw_note_holds(note, source) || !tw_derive_box(region, source, m->gap, &k))
            continue;
        boxes[i] = (tw_path_box){
            .left = k.left * job->source.w,
            .top = k.top * job->source.h,
            .right = (k.left + k.width) * job->source.w,
            .bottom = (k.top + k.height) * job->source.h,
        };
        any = true;
    }
    return any;
}

static void ask_regions(tw_arena *arena, const mapping *m, twi_ask *ask)
{
    size_t most = 0;
    for (size_t n = 0; n < ask->note_count; n++)
        most += ask->notes[n]->region_count;
    tw_path_region *regions = TW_NEW_N(arena, tw_path_region, most);
    ask->regions = TW_NEW_N(arena, const tw_region *, most);
    tw_path_box *boxes = NULL;
    for (size_t n = 0; n < ask->note_count; n++) {
        const tw_note *note = ask->notes[n];
        for (size_t r = 0; r < note->region_count; r++) {
            const tw_region *region = &note->regions[r];
            if (boxes == NULL)
                boxes = TW_NEW_N(arena, tw_path_box, (size_t)m->frames);
            if (!fill_boxes(m, note, region, &ask->job, boxes))
                continue;
            regions[ask->region_count] = (tw_path_region){
                .boxes = boxes,
                .must = region->must,
                .detector = region->detector,
                .weight = region->weight,
                .look = region->look,
                .has_focus = region->has_focus,
                .focus_x = region->focus_x,
                .focus_y = region->focus_y,
            };
            ask->regions[ask->region_count++] = region;
            boxes = NULL;
        }
    }
    ask->job.regions = regions;
    ask->job.region_count = ask->region_count;
}

/* ---- the camera's shake ---------------------------------------------------------------------------------- */

#define SMOOTH_SECONDS 0.5 /* each way: what moves faster is shake; our proposal */

/* Shake at the rows of a table from `first` on. */
typedef struct shaking {
    const tw_path_offset *at;
    double first;
    size_t count;
} shaking;

/* Between the rows. */
static tw_path_offset shake_at(const shaking *s, double row)
{
    double whole = floor(row - s->first), part = row - s->first - whole;
    if (!(whole >= 0) || whole >= (double)s->count)
        return (tw_path_offset){0, 0};
    const tw_path_offset *a = &s->at[(size_t)whole], *b = whole + 1 < (double)s->count ? a + 1 : a;
    return (tw_path_offset){a->x + (b->x - a->x) * part, a->y + (b->y - a->y) * part};
}

/* Of rows a..b and as many beside them as their means take in: the mean of a mean is made of twice its reach. */
static shaking shake_of(tw_arena *arena, const tw_note *note, double fps, double a, double b)
{
    size_t half = (size_t)tw_max(SMOOTH_SECONDS * fps + 0.5, 1);
    double most = (double)note->moved_count, beside = 2 * (double)half + 2;
    size_t from = (size_t)tw_clamp(floor(tw_min(a, b)) - beside, 0, most);
    size_t count = (size_t)tw_clamp(ceil(tw_max(a, b)) + beside, (double)from, most) - from;
    tw_path_offset *moved = TW_NEW_N(arena, tw_path_offset, count), *shake = TW_NEW_N(arena, tw_path_offset, count);
    for (size_t i = 0; i < count; i++)
        moved[i] = (tw_path_offset){note->moved[from + i].x, note->moved[from + i].y};
    tw_path_shake(arena, moved, count, half, shake);
    return (shaking){shake, (double)from, count};
}

/* The first note with a table for a frame counts there. */
static void ask_shake(tw_arena *arena, const mapping *m, const tw_delivery *delivery, double fps, twi_ask *ask)
{
    tw_path_offset *all = NULL;
    for (size_t n = ask->note_count; n-- > 0;) {
        const tw_note *note = ask->notes[n];
        double share = note->steady >= 0 ? note->steady : delivery->steady;
        if (note->moved_count == 0 || (all == NULL && !(share > 0)))
            continue;
        if (all == NULL)
            all = TW_NEW_N(arena, tw_path_offset, (size_t)m->frames);
        double from = (double)(note->has_in ? note->in + note->moved_first : note->moved_first);
        const shaking shake =
            shake_of(arena, note, fps, source_at(m, m->first) - from, source_at(m, m->first + m->frames) - from);
        for (int64_t i = 0; i < m->frames; i++) {
            double source = source_at(m, m->first + i);
            if (!tw_note_holds(note, source))
                continue;
            all[i] = shake_at(&shake, source - from);
            all[i].x *= share;
            all[i].y *= share;
        }
    }
    ask->job.shake = all;
}

/* ---- hand windows ---------------------------------------------------------------------------------------- */

/* The record frames at which the note holds: one stretch, since source time is a straight line. */
static bool hand_span(const mapping *m, const tw_note *note, tw_path_hand *hand)
{
    int64_t end = m->first + m->frames;
    hand->from = m->first;
    while (hand->from < end && !tw_note_holds(note, source_at(m, hand->from)))
        hand->from++;
    hand->to = hand->from;
    while (hand->to < end && tw_note_holds(note, source_at(m, hand->to)))
        hand->to++;
    return hand->to > hand->from;
}

/* Corners must not overlap (path.h): what was asked for is kept as far as the gaps between keys allow. */
static void fit_eases(tw_key *keys, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        double before = i > 0 ? (double)(keys[i].frame - keys[i - 1].frame) : INFINITY;
        double after = i + 1 < count ? (double)(keys[i + 1].frame - keys[i].frame) : INFINITY;
        double room = tw_min(before, after) / 2;
        if (count == 1)
            keys[i].ease = 0;
        else if (keys[i].ease > room)
            keys[i].ease = floor(room);
    }
}

static void hand_keys(tw_arena *arena, const mapping *m, const tw_note *note, const tw_path_job *job,
                      tw_path_hand *hand)
{
    tw_key *keys = TW_NEW_N(arena, tw_key, note->window_count);
    for (size_t i = 0; i < note->window_count; i++) { /* in order of the record; a note's are in order of its source */
        const tw_hand_key *k = &note->window[m->step < 0 ? note->window_count - 1 - i : i];
        double frame = m->step != 0 ? ((double)k->frame + k->part - m->start) / m->step : (double)hand->from;
        keys[i] = (tw_key){
            .frame = (int64_t)floor(frame + 0.5),
            .cx = k->x + k->w / 2,
            .cy = k->y + tw_geom_height(k->w, job->squeeze, job->delivery) / 2,
            .w = k->w,
            .ease = m->step != 0 ? k->ease / fabs(m->step) : 0,
        };
    }
    size_t count = 0;
    for (size_t i = 0; i < note->window_count; i++) {
        if (count > 0 && keys[count - 1].frame == keys[i].frame)
            count--;
        keys[count++] = keys[i];
    }
    fit_eases(keys, count);
    hand->keys = keys;
    hand->key_count = count;
}

/* A window by hand and whose it is. */
typedef struct owned {
    tw_path_hand hand;
    const tw_note *note;
    size_t order; /* of the plan's notes */
} owned;

static int by_start(const void *a, const void *b)
{
    const owned *x = a, *y = b;
    return tw_then(TW_CMP(x->hand.from, y->hand.from), TW_CMP(x->order, y->order));
}

/* By their first frame; notes that begin together stay in the order of the plan. */
static owned *collect_hands(tw_arena *arena, const mapping *m, const twi_ask *ask, size_t *count)
{
    owned *hands = TW_NEW_N(arena, owned, ask->note_count);
    *count = 0;
    for (size_t n = 0; n < ask->note_count; n++) {
        owned *o = &hands[*count];
        *o = (owned){.note = ask->notes[n], .order = n};
        if (o->note->window_count == 0 || !hand_span(m, o->note, &o->hand))
            continue;
        hand_keys(arena, m, o->note, &ask->job, &o->hand);
        ++*count;
    }
    TW_SORT(hands, *count, by_start);
    return hands;
}

static void ask_hands(tw_arena *arena, const mapping *m, twi_ask *ask)
{
    size_t count,
        kept = 0; /* where two overlap, and say the same, the one that starts later begins when the other ends */
    const owned *all = collect_hands(arena, m, ask, &count);
    tw_path_hand *hands = TW_NEW_N(arena, tw_path_hand, count);
    for (size_t i = 0; i < count; i++) {
        tw_path_hand hand = all[i].hand;
        if (kept > 0 && hand.from < hands[kept - 1].to)
            hand.from = hands[kept - 1].to;
        if (hand.from < hand.to)
            hands[kept++] = hand;
    }
    ask->job.hands = hands;
    ask->job.hand_count = kept;
}

/* ---- the whole question ---------------------------------------------------------------------------------- */

static int by_place(const void *a, const void *b)
{
    const tw_note *const *x = a, *const *y = b;
    return TW_CMP(*x, *y);
}

/* In plan order, each once, whichever parts of a through-edit they meet. */
static void ask_notes(tw_arena *arena, const tw_delivery *delivery, const twi_shot *shots, twi_ask *ask)
{
    size_t most = 0, count = 0;
    for (size_t s = 0; s < shots->parts; s++)
        most += shots[s].note_count;
    ask->notes = TW_NEW_N(arena, const tw_note *, most);
    for (size_t s = 0; s < shots->parts; s++)
        for (size_t n = 0; n < shots[s].note_count; n++)
            if (tw_note_covers(shots[s].notes[n], delivery->name))
                ask->notes[count++] = shots[s].notes[n];
    TW_SORT(ask->notes, count, by_place);
    for (size_t n = 0; n < count; n++)
        if (n == 0 || ask->notes[n] != ask->notes[ask->note_count - 1])
            ask->notes[ask->note_count++] = ask->notes[n];
}

/* Frames in which two windows are set that differ, and by how much. */
static int64_t frames_apart(const twi_ask *ask, const tw_path_hand *a, const tw_path_hand *b, double *px)
{
    int64_t frames = 0;
    if (a->key_count == b->key_count && memcmp(a->keys, b->keys, a->key_count * sizeof *a->keys) == 0)
        return 0;
    for (int64_t f = b->from; f < a->to && f < b->to; f++) {
        tw_key x = tw_path_at(a->keys, a->key_count, (double)f), y = tw_path_at(b->keys, b->key_count, (double)f);
        tw_window v = tw_geom_key_window(x, ask->job.squeeze, ask->job.delivery);
        tw_window w = tw_geom_key_window(y, ask->job.squeeze, ask->job.delivery);
        double far = tw_max(tw_max(fabs(v.x - w.x), fabs(v.y - w.y)), fabs(v.x + v.w - w.x - w.w));
        frames += far > TW_WINDOW_READ_OFF;
        *px = tw_max(*px, far);
    }
    return frames;
}

bool twi_derive_hands_agree(tw_arena *arena, const twi_asking *asking, const twi_shot *shots, twi_clash *out)
{
    const mapping m = map_shots(asking->master, shots);
    twi_ask ask = {.job = {.squeeze = shots->source->squeeze, .delivery = asking->delivery->size}};
    size_t count, last = 0;
    ask_notes(arena, asking->delivery, shots, &ask);
    const owned *all = collect_hands(arena, &m, &ask, &count);
    for (size_t i = 1; i < count; i++) {
        *out = (twi_clash){.first = all[last].note, .second = all[i].note};
        out->frames = frames_apart(&ask, &all[last].hand, &all[i].hand, &out->px);
        if (out->frames > 0)
            return false;
        if (all[i].hand.to > all[last].hand.to)
            last = i;
    }
    return true;
}

static tw_path_moves moves_of(tw_moves moves)
{
    switch (moves) {
    case TW_PLAN_MOVES_STILL: return TW_MOVES_STILL;
    case TW_PLAN_MOVES_STEPS: return TW_MOVES_STEPS;
    default: return TW_MOVES_AUTO;
    }
}

static tw_path_params params_of(const tw_motion *motion)
{
    tw_path_params p = {
        .accel = motion->accel,
        .ease = motion->ease,
        .move_time = motion->move_time,
        .link = motion->link,
        .hold = motion->hold,
        .zoom = motion->zoom,
        .lazy = motion->lazy,
        .no_settle = motion->no_settle,
    };
    for (size_t i = 0; i < TW_COUNT(p.speeds); i++)
        p.speeds[i] = motion->speeds[i];
    return p;
}

void twi_derive_ask(tw_arena *arena, const twi_asking *asking, const twi_shot *shots, twi_ask *out)
{
    const tw_delivery *delivery = asking->delivery;
    const mapping m = map_shots(asking->master, shots);
    *out = (twi_ask){
        .job =
            {
                .first_frame = m.first,
                .frames = m.frames,
                .fps = tw_rate_fps(asking->master->rate) * shots->pace,
                .source = shots->source->size,
                .delivery = delivery->size,
                .squeeze = shots->source->squeeze,
                .max_scale = delivery->max_scale,
                .inset = delivery->inset,
                .moves = moves_of(delivery->moves),
                .zoom = delivery->zoom,
                .params = params_of(&asking->plan->motion),
            },
    };
    ask_notes(arena, delivery, shots, out);
    for (size_t n = 0; n < out->note_count; n++) {
        const tw_note *note = out->notes[n];
        if (note->moves != TW_PLAN_MOVES_DEFAULT)
            out->job.moves = moves_of(note->moves);
        if (note->subject_fill > out->job.subject_fill)
            out->job.subject_fill = note->subject_fill;
    }
    ask_regions(arena, &m, out);
    tw_rate own = shots->source->rate,
            rate = tw_rate_known(own) ? own : tw_item_source_rate(asking->master, shots->clip);
    ask_shake(arena, &m, delivery, tw_rate_fps(rate), out);
    ask_hands(arena, &m, out);
}
