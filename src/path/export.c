/* SPDX-License-Identifier: Apache-2.0
 *
 * Eased keys in forms that other programs animate: cubic corners and straight lines only (solver.md section 2).
 */
#include "path_internal.h"

typedef struct list {
    tw_arena *arena;
    tw_key *at;
    size_t len, cap;
} list;

static void add(list *l, const tw_path_view *from, double frame, double ease)
{
    tw_key key = tw_path_at(from->keys, from->count, frame);
    key.frame = (int64_t)frame;
    key.ease = ease;
    if (l->len > 0 && l->at[l->len - 1].frame >= key.frame) {
        l->at[l->len - 1].ease = ease; /* corners that touch share a key */
        return;
    }
    TW_PUSH(l->arena, l->at, l->len, l->cap) = key;
}

/* A chord over L frames of a parabola of acceleration a is off by a L^2 / 8, and a = bend / (2 r). */
static double chord_for(double bend, double r, double bound)
{
    double length = bend > 0 ? floor(sqrt(16 * r * bound / bend)) : 2 * r;
    return tw_min(tw_max(length, 1), 2 * r);
}

static void add_chords(list *l, const tw_path_view *v, size_t i, double bound)
{
    double r = v->keys[i].ease, from = ceil((double)v->keys[i].frame - r), to = floor((double)v->keys[i].frame + r);
    tw_key turn = tw_path_turn(*v, i);
    double step = chord_for(tw_max(fabs(turn.cx), tw_max(fabs(turn.cy), fabs(turn.w))), r, bound);
    for (double t = from; t < to; t += step)
        add(l, v, t, 0);
    add(l, v, to, 0);
}

int tw_path_chords(tw_key turn, double ease, double squeeze, tw_size delivery, double bound)
{
    double w = fabs(turn.w),
           h = tw_geom_height(w, squeeze, delivery); /* left and top turn with centre and half the size */
    double most = tw_max(tw_max(fabs(turn.cx) + w / 2, fabs(turn.cy) + h / 2), tw_max(w, h));
    double count = ceil(sqrt(most * ease / (4 * bound)));
    return count < 1 ? 1 : count > TW_PATH_CHORDS ? TW_PATH_CHORDS : (int)count;
}

tw_path_view tw_path_export(tw_arena *arena, tw_path_view path, tw_path_form form, double bound)
{
    list l = {.arena = arena};
    for (size_t i = 0; i < path.count; i++) {
        const tw_key *k = &path.keys[i];
        double whole = floor(k->ease), frame = (double)k->frame;
        if (form == TW_PATH_EASED || !(k->ease > 0) || (form == TW_PATH_BEZIER && whole < 1)) {
            add(&l, &path, frame, form == TW_PATH_EASED ? k->ease : 0);
            l.at[l.len - 1] = *k;
            l.at[l.len - 1].ease = form == TW_PATH_EASED ? k->ease : 0;
        } else if (form == TW_PATH_LINEAR) {
            add_chords(&l, &path, i, bound);
        } else {
            add(&l, &path, frame - whole, whole);
            add(&l, &path, frame + whole, 0);
        }
    }
    return (tw_path_view){l.at, l.len};
}

/* ---- evaluating ------------------------------------------------------------------------------------------ */

/* The slope at the end of a corner that begins with slope v1: a parabola covers r (v1 + v2). */
static tw_key slope_after(const tw_key *a, const tw_key *b, const tw_key *v1)
{
    tw_key mean = twi_key_slope(a, b);
    return (tw_key){.cx = 2 * mean.cx - v1->cx, .cy = 2 * mean.cy - v1->cy, .w = 2 * mean.w - v1->w};
}

tw_key tw_path_slope(tw_path_view path, size_t i)
{
    const tw_key *k = path.keys;
    if (i + 1 < path.count && !(k[i].ease > 0))
        return twi_key_slope(&k[i], &k[i + 1]);
    size_t start = i; /* the first of the corners that touch */
    while (start > 0 && k[start - 1].ease > 0)
        start--;
    tw_key v = start > 0 ? twi_key_slope(&k[start - 1], &k[start]) : (tw_key){.w = 0};
    if (i + 1 == path.count && start < i)
        return (tw_key){.w = 0}; /* at rest after the last corner */
    for (size_t c = start; c < i; c++)
        v = slope_after(&k[c], &k[c + 1], &v);
    if (i + 1 == path.count)
        v = (tw_key){.w = 0};
    return v;
}

static double hermite(const double v[4], double u, double length)
{
    double rest = 1 - u;
    return v[0] * (1 + 2 * u) * rest * rest + v[1] * u * u * (3 - 2 * u) + length * u * rest * (v[2] * rest - v[3] * u);
}

static tw_key bezier_at(const tw_path_view *path, double frame)
{
    size_t i; /* the last key at or before the frame, or the first */
    TW_SEARCH(i, path->count, (double)path->keys[i].frame <= frame);
    i -= i > 0;
    const tw_key *a = &path->keys[i], *b = a + 1;
    if (i + 1 == path->count || frame <= (double)a->frame || !(a->ease > 0)) {
        tw_key straight[2] = {*a, i + 1 < path->count ? *b : *a};
        straight[0].ease = straight[1].ease = 0;
        return tw_path_at(straight, i + 1 < path->count ? 2 : 1, frame);
    }
    double length = (double)(b->frame - a->frame), u = (frame - (double)a->frame) / length;
    tw_key v1 = tw_path_slope(*path, i), v2 = tw_path_slope(*path, i + 1);
    return (tw_key){.frame = (int64_t)floor(frame),
                    .cx = hermite((double[4]){a->cx, b->cx, v1.cx, v2.cx}, u, length),
                    .cy = hermite((double[4]){a->cy, b->cy, v1.cy, v2.cy}, u, length),
                    .w = hermite((double[4]){a->w, b->w, v1.w, v2.w}, u, length)};
}

tw_key tw_path_at_form(tw_path_view path, tw_path_form form, double frame)
{
    if (form == TW_PATH_BEZIER && path.count > 0)
        return bezier_at(&path, frame);
    return tw_path_at(path.keys, path.count, frame);
}
