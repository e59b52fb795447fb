/* SPDX-License-Identifier: Apache-2.0
 *
 * A path in the terms of animation in a browser: values at times, linear or by a cubic in between. The eased corners of
 * a path are parabolas, which a cubic states exactly where before and after the corner the window goes the same way (or
 * rests); elsewhere the corner becomes chords.
 */
#include "report_internal.h"

#include <math.h>

#define LINEAR_RISE                                                                                                    \
    {                                                                                                                  \
        1.0 / 3, 2.0 / 3                                                                                               \
    }

/* Velocity per frame of centre and width. */
typedef struct slope {
    double x, y, w;
} slope;

typedef struct making {
    tw_arena *arena;
    const tw_framing *framing;
    twi_motion *out;
} making;

static double dot(slope a, slope b)
{
    return a.x * b.x + a.y * b.y + a.w * b.w;
}

static slope slope_between(const tw_key *a, const tw_key *b)
{
    double frames = (double)(b->frame - a->frame);
    return (slope){(b->cx - a->cx) / frames, (b->cy - a->cy) / frames, (b->w - a->w) / frames};
}

static tw_window window_at(const making *m, double frame)
{
    const tw_framing *f = m->framing;
    return tw_geom_key_window(tw_path_at(f->keys, f->key_count, frame), f->squeeze, f->delivery);
}

static void add(const making *m, double frame, tw_window win)
{
    twi_motion *out = m->out;
    TW_PUSH(m->arena, out->at, out->len, out->cap) = (twi_point){frame, win, LINEAR_RISE};
}

/* How the piece that begins with the point added last rises, from speed a to speed b along one way:
 * (2 a s + (b - a) s^2) / (a + b), as the two ordinates of a cubic. */
static void curve(const making *m, double a, double b)
{
    twi_point *p = &m->out->at[m->out->len - 1];
    p->rise[0] = 2 * a / (3 * (a + b));
    p->rise[1] = 1 - 2 * b / (3 * (a + b));
    m->out->curved = true;
}

static void add_chords(const making *m, const tw_key *key, slope turn)
{
    const tw_framing *f = m->framing;
    int count = tw_path_chords((tw_key){.cx = turn.x, .cy = turn.y, .w = turn.w}, key->ease, f->squeeze, f->delivery,
                               TWI_MOTION_SLACK);
    for (int i = 0; i <= count; i++) {
        double frame = (double)key->frame + key->ease * (2.0 * i / count - 1);
        add(m, frame, window_at(m, frame));
    }
}

/* The corner at a key, with the speeds before and after it. */
static void add_corner(const making *m, const tw_key *key, slope before, slope after)
{
    double from = (double)key->frame - key->ease, to = (double)key->frame + key->ease;
    slope way = dot(before, before) > dot(after, after) ? before : after;
    double length = sqrt(dot(way, way));
    if (!(key->ease > 0) || !(length > 0)) {
        add(m, (double)key->frame, window_at(m, (double)key->frame));
        return;
    }
    double a = dot(before, way) / length, b = dot(after, way) / length;
    bool one_way =
        dot(before, before) - a * a <= 1e-9 * length * length && dot(after, after) - b * b <= 1e-9 * length * length;
    slope turn = {after.x - before.x, after.y - before.y, after.w - before.w};
    if (!one_way) {
        add_chords(m, key, turn);
        return;
    }
    add(m, from, window_at(m, from));
    if (a * b < 0) { /* it turns back: a cubic may not leave 0..1, so one up to the turn and one from it */
        double apex = from + 2 * key->ease * a / (a - b);
        curve(m, a, 0);
        add(m, apex, window_at(m, apex));
        curve(m, 0, b);
    } else {
        curve(m, a, b);
    }
    add(m, to, window_at(m, to));
}

/* A link of a frame is a cut inside the clip: the old window up to the new key's frame. */
static bool is_jump(const tw_key *a, const tw_key *b)
{
    return b->frame - a->frame <= 1;
}

static void add_keys(const making *m)
{
    const tw_framing *f = m->framing;
    for (size_t i = 0; i < f->key_count; i++) {
        const tw_key *key = &f->keys[i];
        bool from_jump = i > 0 && is_jump(key - 1, key);
        bool to_jump = i + 1 < f->key_count && is_jump(key, key + 1);
        slope before = i > 0 && !from_jump ? slope_between(key - 1, key) : (slope){0, 0, 0};
        slope after = i + 1 < f->key_count && !to_jump ? slope_between(key, key + 1) : (slope){0, 0, 0};
        if (from_jump)
            add(m, (double)key->frame, window_at(m, (double)key[-1].frame));
        add_corner(m, key, before, after);
    }
}

static bool is_linear(const twi_point *p)
{
    const double rise[2] = LINEAR_RISE;
    return !(p->rise[0] < rise[0] || p->rise[0] > rise[0] || p->rise[1] < rise[1] || p->rise[1] > rise[1]);
}

/* Of a curve across an end of the clip (a through-edit cut inside a corner) only a part is seen: a chord a frame. */
static void add_part(const making *m, const twi_point *p, double first, double last)
{
    double from = floor(tw_max(p->frame, first)) + 1, to = tw_min(p[1].frame, last);
    for (double frame = from; frame < to; frame++)
        add(m, frame, window_at(m, frame));
}

/* Cut to [first, last]: points outside go, and both ends are stated. */
static twi_motion cut(const making *m, const twi_motion *all, double first, double last)
{
    twi_motion kept = {.curved = all->curved};
    const making to = {m->arena, m->framing, &kept};
    if (all->at[0].frame < first || all->at[0].frame > first)
        add(&to, first, window_at(m, first));
    for (size_t i = 0; i < all->len; i++) {
        const twi_point *p = &all->at[i];
        bool inside = p->frame >= first && p->frame <= last, more = i + 1 < all->len;
        if (inside)
            add(&to, p->frame, p->win);
        if (inside && more && p[1].frame <= last) {
            kept.at[kept.len - 1].rise[0] = p->rise[0];
            kept.at[kept.len - 1].rise[1] = p->rise[1];
        } else if (more && p->frame < last && p[1].frame > first && !is_linear(p)) {
            add_part(&to, p, first, last);
        }
    }
    if (kept.at[kept.len - 1].frame < last)
        add(&to, last, window_at(m, last));
    return kept;
}

twi_motion twi_report_motion(tw_arena *arena, const tw_framing *framing, int64_t first, int64_t frames)
{
    twi_motion all = {.len = 0};
    const making m = {arena, framing, &all};
    if (framing->key_count < 2) {
        add(&m, (double)first, tw_geom_key_window(framing->keys[0], framing->squeeze, framing->delivery));
        return all;
    }
    add_keys(&m);
    return cut(&m, &all, (double)first, (double)(first + frames));
}
