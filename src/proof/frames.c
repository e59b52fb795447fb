/* SPDX-License-Identifier: Apache-2.0
 *
 * One framing over one shot, frame by frame.
 */
#include "proof_internal.h"

#include <math.h>

typedef struct watching {
    const twi_view *view;
    twi_showing *out;
    tw_size source;
    double widest, tallest; /* of a window inside the picture */
    double narrowest;       /* that the limit allows; never past the widest that three decimals can write */
    double slack;           /* what rounding to the written digits may do to an edge */
    double fps;
    tw_key before, last; /* one and two frames ago */
    int64_t run;         /* frames since the last jump */
    size_t link;         /* key at or before the frame */
} watching;

static const tw_framing *framing_of(const watching *w)
{
    return w->view->framing;
}

static tw_key key_at(const watching *w, int64_t frame)
{
    const tw_framing *f = framing_of(w);
    const tw_path_view path = {f->keys, f->key_count};
    return tw_path_at_form(path, (tw_path_form)f->interp, (double)(frame - w->view->shift));
}

/* ---- edges and scale ------------------------------------------------------------------------------------- */

static double sticks_out(tw_window win, tw_size source)
{
    double x = tw_max(-win.x, win.x + win.w - source.w), y = tw_max(-win.y, win.y + win.h - source.h);
    return tw_max(tw_max(x, y), 0);
}

static void watch_edges(watching *w, tw_window win, int64_t frame, bool by_hand)
{
    double out = sticks_out(win, w->source);
    if (tw_geom_inside(win, w->source, w->slack))
        return;
    w->out->outside_by_hand += by_hand;
    if (w->out->outside++ == 0)
        w->out->outside_first = frame;
    w->out->outside_px = tw_max(w->out->outside_px, out);
}

static void watch_scale(watching *w, double width, int64_t frame)
{
    double scale = tw_geom_scale(width, framing_of(w)->delivery);
    w->out->max_scale = tw_max(w->out->max_scale, scale);
    if (width < w->narrowest - TWI_HALF_DIGIT - 1e-6 && w->out->over++ == 0)
        w->out->over_first = frame;
}

/* ---- must regions ---------------------------------------------------------------------------------------- */

static bool there(const tw_path_box *box)
{
    return box->right > box->left;
}

static tw_path_box hull_at(const twi_asked *asked, size_t i, size_t *count)
{
    tw_path_box hull = {INFINITY, INFINITY, -INFINITY, -INFINITY};
    *count = 0;
    for (size_t h = 0; h < asked->hold_count; h++) {
        const tw_path_box *b = &asked->holds[h].boxes[i];
        if (!there(b))
            continue;
        ++*count;
        hull.left = tw_min(hull.left, b->left);
        hull.top = tw_min(hull.top, b->top);
        hull.right = tw_max(hull.right, b->right);
        hull.bottom = tw_max(hull.bottom, b->bottom);
    }
    return hull;
}

static double worst_side(tw_cut cut, char *side)
{
    const struct {
        double px;
        char side;
    } sides[] = {{cut.left, 'l'}, {cut.right, 'r'}, {cut.top, 't'}, {cut.bottom, 'b'}};
    size_t worst = 0;
    for (size_t i = 1; i < 4; i++)
        worst = sides[i].px > sides[worst].px ? i : worst;
    *side = sides[worst].side;
    return sides[worst].px;
}

/* Along an axis on which the box is larger than any window the least cut is what is too much, both sides together;
 * along one on which it fits it is nothing. */
static bool least_cut(const watching *w, const tw_path_box *box, tw_cut cut)
{
    double x = tw_max(box->right - box->left - w->widest, 0), y = tw_max(box->bottom - box->top - w->tallest, 0);
    return cut.left + cut.right <= x + 2 * w->slack && cut.top + cut.bottom <= y + 2 * w->slack;
}

static bool is_by_hand(const watching *w, int64_t frame)
{
    return w->view->asked->by_hand[frame - w->view->shot->first] != NULL;
}

static void lose(const watching *w, size_t hold, int64_t frame, tw_cut cut, bool forced)
{
    twi_lost *lost = &w->out->lost[hold];
    char side;
    double px = worst_side(cut, &side);
    if (is_by_hand(w, frame))
        lost->by_hand++;
    else if (forced)
        lost->forced++;
    else if (lost->frames++ == 0)
        lost->first = frame;
    if (px > lost->px) {
        lost->px = px;
        lost->side = side;
    }
    w->out->worst_cut = tw_max(w->out->worst_cut, px);
}

static void watch_raw(const watching *w, tw_window win, size_t hold, size_t i)
{
    const tw_path_box *b = w->view->asked->holds[hold].raw;
    if (b == NULL || !there(&b[i]))
        return;
    char side;
    double px = worst_side(tw_geom_cut(win, b[i].left, b[i].top, b[i].right, b[i].bottom), &side);
    if (px <= w->slack)
        return;
    w->out->lost[hold].raw++;
    w->out->lost[hold].raw_px = tw_max(w->out->lost[hold].raw_px, px);
}

static bool fits(const watching *w, const tw_path_box *hull)
{
    return hull->right - hull->left <= w->widest + w->slack && hull->bottom - hull->top <= w->tallest + w->slack;
}

static tw_path_box joined(const tw_path_box *a, const tw_path_box *b)
{
    return (tw_path_box){tw_min(a->left, b->left), tw_min(a->top, b->top), tw_max(a->right, b->right),
                         tw_max(a->bottom, b->bottom)};
}

static bool is_held(const watching *w, const tw_window *win, const tw_path_box *b)
{
    char side;
    return worst_side(tw_geom_cut(*win, b->left, b->top, b->right, b->bottom), &side) <= w->slack;
}

/* Where not all fit one window some are let go of, the lightest first. No choice was left for a region when it is
 * larger than the window and cut as little as can be, or when it does not fit beside those that are held and weigh as
 * much or more. */
static bool was_forced(const watching *w, const tw_window *win, size_t hold, size_t i, tw_cut cut)
{
    const twi_asked *asked = w->view->asked;
    const tw_path_box *own = &asked->holds[hold].boxes[i];
    tw_path_box hull = *own;
    bool others = false;
    for (size_t h = 0; h < asked->hold_count; h++) {
        const tw_path_box *b = &asked->holds[h].boxes[i];
        if (h == hold || !there(b) || !is_held(w, win, b))
            continue;
        others = true;
        if (asked->holds[h].region->weight >= asked->holds[hold].region->weight)
            hull = joined(&hull, b);
    }
    return !fits(w, own) ? others || least_cut(w, own, cut) : !fits(w, &hull);
}

static void watch_musts(watching *w, tw_window win, int64_t frame)
{
    const twi_asked *asked = w->view->asked;
    size_t i = (size_t)(frame - w->view->shot->first), count;
    tw_path_box hull = hull_at(asked, i, &count);
    if (count == 0)
        return;
    bool all_fit = fits(w, &hull), held = true, all_forced = true;
    for (size_t h = 0; h < asked->hold_count; h++) {
        const tw_path_box *b = &asked->holds[h].boxes[i];
        if (!there(b))
            continue;
        if (is_held(w, &win, b)) {
            watch_raw(w, win, h, i);
            continue;
        }
        tw_cut cut = tw_geom_cut(win, b->left, b->top, b->right, b->bottom);
        bool forced = !all_fit && was_forced(w, &win, h, i, cut);
        held = false;
        all_forced = all_forced && forced;
        lose(w, h, frame, cut, forced);
    }
    w->out->must++;
    w->out->held += held;
    w->out->cut_by_hand += !held && is_by_hand(w, frame);
    w->out->forced += !held && !is_by_hand(w, frame) && all_forced;
}

/* ---- motion ---------------------------------------------------------------------------------------------- */

/* From this frame to the one before the picture jumps, as a cut does, where the plan lets it. */
static bool jumps(watching *w, int64_t frame)
{
    const tw_framing *f = framing_of(w);
    int64_t at = frame - w->view->shift;
    while (w->link + 1 < f->key_count && f->keys[w->link + 1].frame < at)
        w->link++;
    size_t i = (size_t)(frame - w->view->shot->first);
    const twi_asked *asked = w->view->asked;
    if (!asked->steps && asked->by_hand[i] == NULL && asked->by_hand[i - 1] == NULL)
        return false;
    return w->link + 1 < f->key_count && f->keys[w->link].frame == at - 1 && f->keys[w->link + 1].frame == at;
}

static void watch_motion(watching *w, const tw_key *key, int64_t frame)
{
    if (frame > w->view->shot->first && !jumps(w, frame)) {
        double per_second = w->fps / key->w;
        double speed = tw_max(fabs(key->cx - w->last.cx), fabs(key->cy - w->last.cy)) * per_second;
        if (speed > w->out->peak_speed) {
            w->out->peak_speed = speed;
            w->out->fast_first = frame;
        }
        double ax = key->cx - 2 * w->last.cx + w->before.cx, ay = key->cy - 2 * w->last.cy + w->before.cy;
        double accel = tw_max(fabs(ax), fabs(ay)) * per_second * w->fps;
        if (w->run > 1 && accel > w->out->peak_accel) {
            w->out->peak_accel = accel;
            w->out->accel_slack = 4 * TWI_HALF_DIGIT * per_second * w->fps; /* 1 + 2 + 1 positions, each rounded */
            w->out->harsh_first = frame - 1;
        }
        w->run++;
    } else {
        w->run = 1;
    }
    w->before = w->last;
    w->last = *key;
}

/* ---- the whole ------------------------------------------------------------------------------------------- */

/* The widest window inside the picture loses what its last written digit cannot say. */
static double written_inside(double width)
{
    return width >= 1 ? floor(width * 1000 + 1e-6) / 1000 : width;
}

static void count_keys(const twi_view *view, twi_showing *out)
{
    const tw_framing *f = view->framing;
    for (size_t k = 0; k < f->key_count; k++) {
        int64_t frame = f->keys[k].frame + view->shift;
        out->keys_before += frame < view->shot->first;
        out->keys_after += frame >= view->shot->first + view->shot->frames;
    }
}

void twi_proof_watch(tw_arena *arena, const twi_view *view, twi_showing *out)
{
    const tw_framing *f = view->framing;
    const tw_delivery *d = &view->in->plan->deliveries[view->in->delivery];
    tw_window widest = tw_geom_widest(f->source, f->squeeze, f->delivery);
    double narrowest = tw_geom_narrowest(f->delivery, d->max_scale);
    *out = (twi_showing){
        .lost = TW_NEW_N(arena, twi_lost, view->asked->hold_count),
        .small = narrowest > widest.w + TWI_HALF_DIGIT,
    };
    watching w = {
        .view = view,
        .out = out,
        .source = f->source,
        .widest = widest.w,
        .tallest = widest.h,
        .narrowest = tw_min(narrowest, written_inside(widest.w)),
        .slack = TWI_HALF_DIGIT * (1 + tw_max(1, widest.h / widest.w)) + 1e-6,
        .fps = view->shot->fps,
    };
    for (int64_t i = 0; i < view->shot->frames; i++) {
        int64_t frame = view->shot->first + i;
        bool by_hand = view->asked->by_hand[i] != NULL;
        tw_key key = key_at(&w, frame);
        tw_window win = tw_geom_key_window(key, f->squeeze, f->delivery);
        watch_edges(&w, win, frame, by_hand);
        watch_scale(&w, key.w, frame);
        watch_musts(&w, win, frame);
        watch_motion(&w, &key, frame);
    }
    twi_proof_hand(arena, view, out);
    if (out->over > 0)
        out->over_by_hand = twi_proof_over_by_hand(view, w.narrowest, &out->over_first);
    count_keys(view, out);
}
