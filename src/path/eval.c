/* SPDX-License-Identifier: Apache-2.0
 *
 * Straight lines between keys with a parabola around each corner (solver.md section 2).
 */
#include "path_internal.h"

static const tw_key *key_before(const tw_key *keys, size_t count, double frame)
{
    size_t i;
    TW_SEARCH(i, count, (double)keys[i].frame <= frame);
    return i > 0 ? &keys[i - 1] : NULL;
}

static tw_key mix(const tw_key *a, const tw_key *b, double share)
{
    return (tw_key){.cx = a->cx + (b->cx - a->cx) * share,
                    .cy = a->cy + (b->cy - a->cy) * share,
                    .w = a->w + (b->w - a->w) * share};
}

tw_key tw_path_turn(tw_path_view path, size_t i)
{
    const tw_key *k = &path.keys[i];
    tw_key v1 = i > 0 ? twi_key_slope(k - 1, k) : (tw_key){.w = 0};
    tw_key v2 = i + 1 < path.count ? twi_key_slope(k, k + 1) : (tw_key){.w = 0};
    return (tw_key){.cx = v2.cx - v1.cx, .cy = v2.cy - v1.cy, .w = v2.w - v1.w};
}

/* Adds the corner's parabola: (v2 - v1)(r - |t - t_i|)^2 / (4 r). */
static void add_corner(const tw_key *keys, size_t count, size_t i, double frame, tw_key *out)
{
    double r = keys[i].ease, inside = r - fabs(frame - (double)keys[i].frame);
    if (!(r > 0) || !(inside > 0))
        return;
    tw_key turn = tw_path_turn((tw_path_view){keys, count}, i);
    double share = inside * inside / (4 * r);
    out->cx += turn.cx * share;
    out->cy += turn.cy * share;
    out->w += turn.w * share;
}

tw_key tw_path_at(const tw_key *keys, size_t count, double frame)
{
    if (count == 0)
        return (tw_key){.frame = 0};
    const tw_key *before = key_before(keys, count, frame);
    size_t i = before != NULL ? (size_t)(before - keys) : 0;
    tw_key out = keys[i];
    if (before != NULL && i + 1 < count)
        out =
            mix(&keys[i], &keys[i + 1], (frame - (double)keys[i].frame) / (double)(keys[i + 1].frame - keys[i].frame));
    add_corner(keys, count, i, frame, &out);
    if (before != NULL && i + 1 < count)
        add_corner(keys, count, i + 1, frame, &out);
    out.frame = (int64_t)floor(frame);
    out.ease = 0;
    return out;
}

static bool key_is_sound(const tw_key *key)
{
    return isfinite(key->cx) && isfinite(key->cy) && isfinite(key->w) && key->w > 0 && isfinite(key->ease) &&
           key->ease >= 0;
}

/* Do the eases of neighbours go together? */
static bool eases_fit(const tw_key *a, const tw_key *b, tw_path_form form)
{
    double gap = (double)b->frame - (double)a->frame;
    if (form == TW_PATH_EASED)
        return a->ease + b->ease <= gap * (1 + 1e-12);
    return !(a->ease > 0) || (form == TW_PATH_BEZIER && fabs(2 * a->ease - gap) <= gap * 1e-12);
}

bool tw_path_valid_form(tw_path_view path, tw_path_form form, size_t *bad)
{
    const tw_key *keys = path.keys;
    for (size_t i = 0; i < path.count; i++) {
        bool good = key_is_sound(&keys[i]) && (i == 0 || keys[i].frame > keys[i - 1].frame);
        if (good && i > 0)
            good = eases_fit(&keys[i - 1], &keys[i], form);
        if (form != TW_PATH_EASED && i + 1 == path.count) /* no corner can begin at the last key */
            good = good && !(keys[i].ease > 0);
        if (!good) {
            if (bad != NULL)
                *bad = i;
            return false;
        }
    }
    return path.count > 0;
}

bool tw_path_valid(const tw_key *keys, size_t count, size_t *bad)
{
    return tw_path_valid_form((tw_path_view){keys, count}, TW_PATH_EASED, bad);
}
