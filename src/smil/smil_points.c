/* SPDX-License-Identifier: Apache-2.0 */
#include "smil_internal.h"

#include <math.h>

#include <tallwide/path.h>

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
    size_t most = f->key_count * (TW_PATH_CHORDS + 1), count = 0;
    twi_smil_point *points = NULL;
    size_t cap = 0;
    for (size_t i = 0; i < f->key_count && count < most; i++) {
        double r = f->keys[i].ease;
        tw_key turn = tw_path_turn((tw_path_view){f->keys, f->key_count}, i);
        int c = r > 0 ? tw_path_chords(turn, r, f->squeeze, f->delivery, TW_SMIL_CHORD) : 0;
        for (int k = 0; k <= c; k++) {
            double t = (double)f->keys[i].frame - r + (c > 0 ? 2 * r * k / c : 0);
            if (count > 0 && t <= points[count - 1].frame)
                continue; /* blends that touch share their end */
            TW_PUSH(arena, points, count, cap) = (twi_smil_point){t, tw_framing_window(f, t)};
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
