/* SPDX-License-Identifier: Apache-2.0 */
#include "smil_internal.h"

#include <math.h>

#include <tallwide/path.h>

#define MOST_CHORDS 64

static double larger(double a, double b)
{
    return a > b ? a : b;
}

/* Largest change of slope at a key over left, top, width and height, pixels a frame. */
static double bend(const tw_framing *f, size_t i)
{
    const tw_key *k = &f->keys[i];
    double before[3] = {0}, after[3] = {0};
    if (i > 0) {
        double t = (double)(k->frame - k[-1].frame);
        before[0] = (k->cx - k[-1].cx) / t, before[1] = (k->cy - k[-1].cy) / t, before[2] = (k->w - k[-1].w) / t;
    }
    if (i + 1 < f->key_count) {
        double t = (double)(k[1].frame - k->frame);
        after[0] = (k[1].cx - k->cx) / t, after[1] = (k[1].cy - k->cy) / t, after[2] = (k[1].w - k->w) / t;
    }
    double w = fabs(after[2] - before[2]);
    double tall = tw_geom_height(w, f->squeeze, f->delivery);
    return larger(fabs(after[0] - before[0]) + w / 2, larger(fabs(after[1] - before[1]) + tall / 2, larger(w, tall)));
}

/* c chords over a blend of half-length r err by |v2 - v1| r / (4 c^2) at most (solver.md section 2). */
static int chords(const tw_framing *f, size_t i)
{
    double r = f->keys[i].ease;
    if (!(r > 0))
        return 0;
    double c = ceil(sqrt(bend(f, i) * r / (4 * TW_SMIL_CHORD)));
    return c < 1 ? 1 : c > MOST_CHORDS ? MOST_CHORDS : (int)c;
}

/* Two cubic keys per corner are the one eased key where the straight lines beside the corner meet. */
static tw_framing eased(tw_arena *arena, const tw_framing *f)
{
    const tw_path_view path = {f->keys, f->key_count};
    tw_framing copy = *f;
    copy.interp = TW_INTERP_EASED;
    copy.keys = TW_NEW_N(arena, tw_key, f->key_count);
    copy.key_count = 0;
    for (size_t i = 0; i < f->key_count; i++) {
        tw_key key = f->keys[i];
        bool ends_corner = i > 0 && f->keys[i - 1].ease > 0;
        if (key.ease > 0) {
            const tw_key slope = tw_path_slope(path, i);
            key.frame += (int64_t)key.ease;
            key.cx += slope.cx * key.ease;
            key.cy += slope.cy * key.ease;
            key.w += slope.w * key.ease;
        } else if (ends_corner) {
            continue;
        }
        copy.keys[copy.key_count++] = key;
    }
    return copy;
}

static size_t eased_points(tw_arena *arena, const tw_framing *f, twi_smil_point **out);

size_t twi_smil_points(tw_arena *arena, const tw_framing *f, twi_smil_point **out)
{
    if (f->interp != TW_INTERP_BEZIER)
        return eased_points(arena, f, out); /* linear keys have no eases */
    const tw_framing same = eased(arena, f);
    return eased_points(arena, &same, out);
}

static size_t eased_points(tw_arena *arena, const tw_framing *f, twi_smil_point **out)
{
    size_t most = f->key_count * (MOST_CHORDS + 1), count = 0;
    twi_smil_point *points = NULL;
    size_t cap = 0;
    for (size_t i = 0; i < f->key_count && count < most; i++) {
        int c = chords(f, i);
        for (int k = 0; k <= c; k++) {
            double t = (double)f->keys[i].frame - f->keys[i].ease + (c > 0 ? 2 * f->keys[i].ease * k / c : 0);
            if (count > 0 && t <= points[count - 1].frame)
                continue; /* blends that touch share their end */
            points = tw_arena_grow(arena, points, count, &cap, sizeof *points);
            points[count++] = (twi_smil_point){t, tw_framing_window(f, t)};
        }
    }
    *out = points;
    return count;
}

tw_window twi_smil_whole(tw_window win, tw_size source)
{
    double w = floor(win.w + 0.5), h = floor(win.h + 0.5), x = floor(win.x + 0.5), y = floor(win.y + 0.5);
    if (win.x >= -0.01 && win.x + win.w <= source.w + 0.01) {
        w = w > source.w ? source.w : w;
        x = x < 0 ? 0 : x + w > source.w ? source.w - w : x;
    }
    if (win.y >= -0.01 && win.y + win.h <= source.h + 0.01) {
        h = h > source.h ? source.h : h;
        y = y < 0 ? 0 : y + h > source.h ? source.h - h : y;
    }
    return (tw_window){x, y, w > 0 ? w : 1, h > 0 ? h : 1};
}
