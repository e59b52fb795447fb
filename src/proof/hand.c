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
    size_t len, next; /* points before `next` lie at or before the frame looked at */
    double reach;     /* the longest corner */
    bool read, known;
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

/* A corner ends where the next key stands, if not before: only those of the keys around a frame count. */
static void keep_apart(track *t)
{
    for (size_t i = 1; i < t->len; i++) {
        point *a = &t->at[i - 1], *b = &t->at[i];
        a->ease = tw_min(a->ease, b->frame - a->frame);
        b->ease = tw_min(b->ease, b->frame - a->frame);
    }
}

/* Points by record frame; the later of two that fall on one frame. False when the note's windows leave the picture, or
 * the shot stands still: where they are moved to is the writer's affair. */
static bool read_track(tw_arena *arena, const twi_view *view, const tw_note *note, track *out)
{
    const tw_timeline *m = view->in->master;
    const tw_item *clip = view->shot->clip;
    double start = tw_item_source_frame(m, clip, 0), step = tw_item_source_frame(m, clip, 1) - start;
    *out = (track){.at = TW_NEW_N(arena, point, note->window_count), .read = true};
    if (fabs(step) < 1e-9)
        return false;
    for (size_t i = 0; i < note->window_count; i++) {
        const tw_hand_key *k = &note->window[step > 0 ? i : note->window_count - 1 - i];
        if (leaves(view, k))
            return false;
        point p = point_of(view, k, ((double)k->frame + k->part - start) / step, k->ease / fabs(step));
        out->reach = tw_max(out->reach, p.ease);
        out->len -= out->len > 0 && out->at[out->len - 1].frame >= p.frame;
        out->at[out->len++] = p;
    }
    keep_apart(out);
    return out->len > 0;
}

/* The straight line between the points around a frame. */
static double line_at(const track *t, double frame, int axis)
{
    size_t i = t->next;
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
    for (size_t i = t->next > 0 ? t->next - 1 : 0; i < t->len && i <= t->next; i++) {
        double r = fabs(frame - t->at[i].frame), e = t->at[i].ease;
        double turn = slope(t, i + 1, axis) - slope(t, i, axis);
        if (r < e)
            *(turn < 0 ? below : above) += fabs(turn) * (e - r) * (e - r) / (4 * e);
    }
}

static double off_by(const twi_view *view, track *t, int64_t frame)
{
    while (t->next < t->len && t->at[t->next].frame <= (double)frame)
        t->next++;
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

/* Frames to the nearest one, on the side looked from, at which another note sets the window too; lowers *far. */
static void look_from(const twi_asked *asked, int64_t frames, bool end, double *far)
{
    const tw_note *last = NULL;
    double at = -INFINITY, other = -INFINITY; /* the last frames of that note, and of any other */
    for (int64_t k = 0; k < frames; k++) {
        int64_t i = end ? frames - 1 - k : k;
        const tw_note *here = asked->by_hand[i];
        if (here == NULL)
            continue;
        if (here != last)
            other = at;
        if (asked->shared[i])
            other = (double)k;
        last = asked->shared[i] ? NULL : here;
        at = (double)k;
        far[i] = tw_min(far[i], (double)k - other);
    }
}

/* Notes whose ranges meet pass the window on from one to the other: around there either may be what is seen. */
static const double *apart(tw_arena *arena, const twi_view *view)
{
    int64_t frames = view->shot->frames;
    double *far = TW_NEW_N(arena, double, (size_t)frames);
    for (int64_t i = 0; i < frames; i++)
        far[i] = INFINITY;
    look_from(view->asked, frames, false, far);
    look_from(view->asked, frames, true, far);
    return far;
}

/* The shot's notes stand as in the plan. */
static int by_place(const void *a, const void *b)
{
    const tw_note *const *x = a, *const *y = b;
    return TW_CMP(*x, *y);
}

static track *track_of(tw_arena *arena, const twi_view *view, const tw_note *note, track *tracks)
{
    const tw_note **notes = view->shot->notes;
    const tw_note **found = bsearch(&note, notes, view->shot->note_count, sizeof *notes, by_place);
    track *t = &tracks[found - notes];
    if (!t->read)
        t->known = read_track(arena, view, note, t);
    return t;
}

void twi_proof_hand(tw_arena *arena, const twi_view *view, twi_showing *out)
{
    const twi_seen *shot = view->shot;
    int64_t i = 0;
    while (i < shot->frames && view->asked->by_hand[i] == NULL)
        i++;
    if (i == shot->frames)
        return;
    track *tracks = TW_NEW_N(arena, track, shot->note_count);
    const double *far = apart(arena, view);
    for (; i < shot->frames; i++) {
        const tw_note *note = view->asked->by_hand[i];
        track *t = note != NULL ? track_of(arena, view, note, tracks) : NULL;
        if (t == NULL || !t->known || far[i] <= floor(t->reach) + 1)
            continue;
        double px = off_by(view, t, shot->first + i);
        if (px <= 0)
            continue;
        if (out->moved++ == 0) {
            out->moved_first = shot->first + i;
            out->moved_note = note;
        }
        out->moved_px = tw_max(out->moved_px, px);
    }
}
