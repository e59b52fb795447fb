/* SPDX-License-Identifier: Apache-2.0
 *
 * A window set by hand stands where its note puts it: the keys of the note, from source time to record frames, against
 * what a file shows. Corners may be shorter than asked where there is no room; what they round off is bounded.
 */
#include "proof_internal.h"

#include <math.h>

#define CHORD_SLACK 0.51 /* source pixels: what straight or cubic keys may be off the eased path, and rounding */

/* One key on the record: where, when, and how far its corner reaches. */
typedef struct point {
    double frame, value[3], ease; /* centre x and y, width */
} point;

typedef struct track {
    point *at;
    size_t len;
} track;

static point point_of(const twi_view *view, const tw_hand_key *k, double frame, double ease)
{
    const tw_framing *f = view->framing;
    double h = tw_geom_height(k->w, f->squeeze, f->delivery);
    return (point){floor(frame + 0.5), {k->x + k->w / 2, k->y + h / 2, k->w}, ease};
}

/* Would the key's window, moved inside by a writer, be another one? */
static bool leaves(const twi_view *view, const tw_hand_key *k)
{
    const tw_framing *f = view->framing;
    tw_window win = {k->x, k->y, k->w, tw_geom_height(k->w, f->squeeze, f->delivery)};
    return k->w > tw_geom_widest(f->source, f->squeeze, f->delivery).w || !tw_geom_inside(win, f->source, 0);
}

/* Points by record frame; the later of two that fall on one frame. False when the note's windows leave the picture, or
 * the shot stands still: where they are moved to is the writer's affair. */
static bool read_track(tw_arena *arena, const twi_view *view, const tw_note *note, track *out)
{
    const tw_timeline *m = view->in->master;
    const tw_item *clip = view->shot->clip;
    double start = tw_item_source_frame(m, clip, 0), step = tw_item_source_frame(m, clip, 1) - start;
    *out = (track){.at = TW_NEW_N(arena, point, note->window_count)};
    if (fabs(step) < 1e-9)
        return false;
    for (size_t i = 0; i < note->window_count; i++) {
        const tw_hand_key *k = &note->window[step > 0 ? i : note->window_count - 1 - i];
        if (leaves(view, k))
            return false;
        point p = point_of(view, k, ((double)k->frame + k->part - start) / step, k->ease / fabs(step));
        out->len -= out->len > 0 && out->at[out->len - 1].frame >= p.frame;
        out->at[out->len++] = p;
    }
    return out->len > 0;
}

/* The straight line between the points around a frame. */
static double line_at(const track *t, double frame, int axis)
{
    size_t i = 0;
    while (i < t->len && t->at[i].frame <= frame)
        i++;
    const point *a = &t->at[i > 0 ? i - 1 : 0], *b = &t->at[i < t->len ? i : t->len - 1];
    double share = b->frame > a->frame ? tw_clamp((frame - a->frame) / (b->frame - a->frame), 0, 1) : 0;
    return a->value[axis] + (b->value[axis] - a->value[axis]) * share;
}

static double slope(const track *t, size_t i, int axis)
{
    if (i == 0 || i >= t->len)
        return 0; /* it rests outside its keys */
    const point *a = &t->at[i - 1], *b = &t->at[i];
    return (b->value[axis] - a->value[axis]) / (b->frame - a->frame);
}

/* A corner of half length e over which the slope changes by d is d (e - r)^2 / (4 e) off the lines, r frames from its
 * key, to the side the path turns to. Shorter corners are less. */
static void rounded_off(const track *t, double frame, int axis, double *below, double *above)
{
    *below = *above = 0;
    for (size_t i = 0; i < t->len; i++) {
        double r = fabs(frame - t->at[i].frame), e = t->at[i].ease;
        double turn = slope(t, i + 1, axis) - slope(t, i, axis);
        if (r < e)
            *(turn < 0 ? below : above) += fabs(turn) * (e - r) * (e - r) / (4 * e);
    }
}

static double off_by(const twi_view *view, const track *t, int64_t frame)
{
    const tw_framing *f = view->framing;
    const tw_path_view path = {f->keys, f->key_count};
    tw_key key = tw_path_at_form(path, (tw_path_form)f->interp, (double)(frame - view->shift));
    const double got[3] = {key.cx, key.cy, key.w};
    double worst = 0, form = f->interp == TW_INTERP_EASED ? 4 * TWI_HALF_DIGIT : CHORD_SLACK;
    for (int axis = 0; axis < 3; axis++) {
        double below, above, off = got[axis] - line_at(t, (double)frame, axis);
        rounded_off(t, (double)frame, axis, &below, &above);
        worst = tw_max(worst, tw_max(off - above, -off - below) - form);
    }
    return worst;
}

/* Notes whose ranges meet pass the window on from one to the other: around there either may be what is seen. */
static bool is_alone(const twi_view *view, const tw_note *note, int64_t frame, double reach)
{
    const twi_seen *shot = view->shot;
    for (int64_t i = frame - (int64_t)reach - 1; i <= frame + (int64_t)reach + 1; i++) {
        if (i < shot->first || i >= shot->first + shot->frames)
            continue;
        const tw_note *other = view->asked->by_hand[i - shot->first];
        if (other != NULL && other != note)
            return false;
        double source = tw_item_source_frame(view->in->master, shot->clip, i);
        for (size_t n = 0; n < shot->note_count; n++)
            if (shot->notes[n] != note && shot->notes[n]->window_count > 0 && tw_note_holds(shot->notes[n], source))
                return false;
    }
    return true;
}

static double longest_corner(const track *t)
{
    double most = 0;
    for (size_t i = 0; i < t->len; i++)
        most = tw_max(most, t->at[i].ease);
    return tw_min(most, 1e6);
}

void twi_proof_hand(tw_arena *arena, const twi_view *view, twi_showing *out)
{
    const twi_seen *shot = view->shot;
    const tw_note *note = NULL;
    track t = {.len = 0};
    bool known = false;
    for (int64_t i = 0; i < shot->frames; i++) {
        const tw_note *here = view->asked->by_hand[i];
        if (here != note && here != NULL)
            known = read_track(arena, view, here, &t);
        note = here;
        int64_t frame = shot->first + i;
        if (note == NULL || !known || !is_alone(view, note, frame, longest_corner(&t)))
            continue;
        double px = off_by(view, &t, frame);
        if (px <= 0)
            continue;
        if (out->moved++ == 0) {
            out->moved_first = frame;
            out->moved_note = note;
        }
        out->moved_px = tw_max(out->moved_px, px);
    }
}
