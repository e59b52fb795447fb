/* SPDX-License-Identifier: Apache-2.0
 *
 * Frames enlarged past the limit: set by hand, leading over to a window set by hand, or a broken promise. A lead is no
 * longer than moves take, and goes from the window set by hand straight to what is within the limit.
 */
#include "proof_internal.h"

#include <math.h>

/* Seconds and window widths per second of a move when the plan is silent, frames between windows by hand in which
 * nothing else is decided: src/path/solver.md, 8. */
#define MOVE_TIME 1.2
#define MOVE_EASE 0.3
#define LEAD_SPEED 0.5
#define SHORT_GAP 12

#define TOLERANCE (2 * TWI_HALF_DIGIT + 1e-6)

typedef struct looking {
    const twi_view *view;
    double narrowest;
    double fps, longest, ease, speed; /* of a lead: frames, frames, window widths per frame */
    int64_t most;                     /* frames that no lead of this path is longer than */
    int64_t from,
        end; /* frames the path has, of the clip and of those beside it in a through-edit, as far as matters */
} looking;

static tw_key key_at(const looking *l, int64_t frame)
{
    const tw_framing *f = l->view->framing;
    return tw_path_at_form((tw_path_view){f->keys, f->key_count}, (tw_path_form)f->interp,
                           (double)(frame - l->view->shift));
}

static bool is_over(const looking *l, int64_t frame)
{
    return key_at(l, frame).w < l->narrowest - TWI_HALF_DIGIT - 1e-6;
}

static int64_t end_of(const twi_seen *shot)
{
    return shot->first + shot->frames;
}

/* The longest move between any two windows of the path, eased corners at both ends included, twice. */
static int64_t longest_lead(const looking *l)
{
    const tw_framing *f = l->view->framing;
    tw_key least = f->keys[0], most = f->keys[0];
    for (size_t k = 1; k < f->key_count; k++) {
        const tw_key *key = &f->keys[k];
        least =
            (tw_key){.cx = tw_min(least.cx, key->cx), .cy = tw_min(least.cy, key->cy), .w = tw_min(least.w, key->w)};
        most = (tw_key){.cx = tw_max(most.cx, key->cx), .cy = tw_max(most.cy, key->cy), .w = tw_max(most.w, key->w)};
    }
    double far = tw_max(tw_max(most.cx - least.cx, most.cy - least.cy), most.w - least.w);
    double frames = 2 * (tw_max(l->longest, far / least.w / l->speed) + 2 * l->ease + 2) + SHORT_GAP;
    return (int64_t)tw_min(ceil(frames), (double)TW_SHOT_FRAMES_LIMIT);
}

static void find_path(looking *l)
{
    const twi_seen *shot = l->view->shot;
    l->most = longest_lead(l);
    l->from = shot->first;
    l->end = end_of(shot);
    for (const twi_seen *s = shot; s->joined && shot->first - l->from <= l->most + 2; s--)
        l->from -= s[-1].frames;
    for (const twi_seen *s = shot + 1; s->joined && l->end - end_of(shot) <= l->most + 2; s++)
        l->end += s->frames;
}

static bool exists(const looking *l, int64_t frame)
{
    return frame >= l->from && frame < l->end;
}

static bool noted(const looking *l, const twi_seen *shot, double source)
{
    const tw_delivery *d = &l->view->in->plan->deliveries[l->view->in->delivery];
    for (size_t n = 0; n < shot->note_count; n++) {
        const tw_note *note = shot->notes[n];
        if (note->window_count > 0 && tw_note_covers(note, d->name) && tw_note_holds(note, source))
            return true;
    }
    return false;
}

/* Does a note set the window here? Beyond the clip those of its neighbours count, whose source goes on. */
static bool by_hand(const looking *l, int64_t frame)
{
    const twi_seen *shot = l->view->shot;
    if (frame >= shot->first && frame < end_of(shot))
        return l->view->asked->by_hand[frame - shot->first] != NULL;
    if (!exists(l, frame))
        return false;
    double source = tw_item_source_frame(l->view->in->master, shot->clip, frame);
    const twi_seen *s = shot;
    if (frame < shot->first)
        for (int64_t first = shot->first; frame < first && s->joined; first -= s->frames)
            s--;
    else
        for (int64_t end = end_of(shot); frame >= end && s[1].joined; end += s->frames)
            s++;
    return noted(l, s, source);
}

/* Frames from..to, past the limit and not by hand, with what stands at both their ends; no more of them than tells that
 * they are too many. */
typedef struct row {
    int64_t from, to;
    bool hand_before, hand_after;
} row;

static bool goes_on(const looking *l, const row *r, int64_t frame)
{
    return r->to - r->from < l->most && exists(l, frame) && is_over(l, frame) && !by_hand(l, frame);
}

static row row_at(const looking *l, int64_t frame)
{
    row r = {frame, frame, false, false};
    while (goes_on(l, &r, r.to + 1))
        r.to++;
    while (goes_on(l, &r, r.from - 1))
        r.from--;
    r.hand_before = by_hand(l, r.from - 1);
    r.hand_after = by_hand(l, r.to + 1);
    return r;
}

/* Frames a move between the windows at two frames may take, eased corners at both ends included. */
static double longest_between(const looking *l, int64_t a, int64_t b)
{
    tw_key x = key_at(l, a), y = key_at(l, b);
    double far = tw_max(tw_max(fabs(x.cx - y.cx), fabs(x.cy - y.cy)), fabs(x.w - y.w));
    return tw_max(l->longest, far / tw_min(x.w, y.w) / l->speed) + 2 * l->ease + 2;
}

/* Seen from the window by hand at `hand`, does the width go one way only over `count` frames? A window that was moving
 * may go on for the length of a corner. */
static bool one_way(const looking *l, int64_t hand, int64_t step, int64_t count, double direction)
{
    double last = key_at(l, hand).w, going_on = 0;
    if (by_hand(l, hand - step))
        going_on = fabs(last - key_at(l, hand - step).w);
    for (int64_t i = 1; i <= count; i++) {
        double width = key_at(l, hand + i * step).w, against = (last - width) * direction;
        if (against > TOLERANCE + ((double)i <= l->ease ? going_on : 0))
            return false;
        last = width;
    }
    return true;
}

static bool is_lead(const looking *l, const row *r)
{
    int64_t count = r->to - r->from + 1;
    if (count > l->most || (!r->hand_before && !r->hand_after))
        return false;
    if (r->hand_before && r->hand_after) {
        double most = 2 * longest_between(l, r->from - 1, r->to + 1);
        double direction = key_at(l, r->to + 1).w >= key_at(l, r->from - 1).w ? 1 : -1;
        return count < SHORT_GAP || ((double)count <= most && one_way(l, r->from - 1, 1, count + 1, direction));
    }
    int64_t hand = r->hand_before ? r->from - 1 : r->to + 1, beyond = r->hand_before ? r->to + 1 : r->from - 1;
    if (!exists(l, beyond))
        return count < SHORT_GAP;
    return (double)count <= longest_between(l, hand, beyond) && one_way(l, hand, r->hand_before ? 1 : -1, count, 1);
}

int64_t twi_proof_over_by_hand(const twi_view *view, double narrowest, int64_t *first)
{
    const tw_motion *m = &view->in->plan->motion;
    looking l = {.view = view, .narrowest = narrowest, .fps = view->shot->fps};
    l.longest = ceil((m->move_time > 0 ? m->move_time : MOVE_TIME) * l.fps);
    l.ease = floor((m->ease > 0 ? m->ease : MOVE_EASE) * l.fps);
    l.speed = (m->speeds[2] > 0 ? m->speeds[2] : LEAD_SPEED) / l.fps;
    find_path(&l);
    int64_t excused = 0;
    bool told = false;
    for (int64_t f = view->shot->first; f < end_of(view->shot); f++) {
        if (!is_over(&l, f))
            continue;
        if (by_hand(&l, f)) {
            excused++;
            continue;
        }
        const row r = row_at(&l, f);
        int64_t last = r.to < end_of(view->shot) ? r.to : end_of(view->shot) - 1;
        if (is_lead(&l, &r)) {
            excused += last - f + 1;
        } else if (!told) {
            *first = f;
            told = true;
        }
        f = last;
    }
    return excused;
}
