/* SPDX-License-Identifier: Apache-2.0
 *
 * Pyramids, and views cut out of them.
 */
#include "subject_internal.h"

#include "base/ext.h"

#include <math.h>

#define LEAST 24 /* a level is not smaller than this */

void tw_pyramid_init(tw_arena *arena, int w, int h, tw_pyramid *out)
{
    TW_ASSERT(w >= 16 && h >= 16 && w <= 32768 && h <= 32768);
    *out = (tw_pyramid){.count = 1};
    out->level[0] = (tw_plane){NULL, w, h, 0};
    while (out->count < TW_PYRAMID_LEVELS && w / 2 >= LEAST && h / 2 >= LEAST) {
        w /= 2;
        h /= 2;
        uint8_t *store = tw_arena_alloc(arena, (size_t)h, (size_t)w);
        out->store[out->count] = store;
        out->level[out->count++] = (tw_plane){store, w, h, (size_t)w};
    }
}

static void halve_row(const uint8_t *restrict a, const uint8_t *restrict b, int w, uint8_t *restrict out)
{
    for (int x = 0; x < w; x++)
        out[x] = (uint8_t)((a[2 * x] + a[2 * x + 1] + b[2 * x] + b[2 * x + 1] + 2) >> 2);
}

static void halve(const tw_plane *from, const tw_plane *to, uint8_t *store)
{
    for (int y = 0; y < to->h; y++) {
        const uint8_t *row = from->px + (size_t)(2 * y) * from->stride;
        halve_row(row, row + from->stride, to->w, store + (size_t)y * to->stride);
    }
}

void tw_pyramid_fill(tw_pyramid *pyramid, const tw_plane *plane)
{
    TW_ASSERT(plane->w == pyramid->level[0].w && plane->h == pyramid->level[0].h);
    pyramid->level[0] = *plane;
    for (int i = 1; i < pyramid->count; i++)
        halve(&pyramid->level[i - 1], &pyramid->level[i], pyramid->store[i]);
}

/* ---- views ----------------------------------------------------------------------------------------------- */

static int clamp(int v, int most)
{
    return v < 0 ? 0 : v > most ? most : v;
}

static int fixed(double v)
{
    double most = 32767.0 * 32768.0;
    v = floor(v * 65536 + 0.5);
    return (int)(v < -most ? -most : v > most ? most : v);
}

/* Between four pixels; positions in 1/65536. */
static uint8_t sample(const tw_plane *p, int u, int v)
{
    int x = u >> 16, y = v >> 16, fx = (u >> 8) & 255, fy = (v >> 8) & 255;
    int x0 = clamp(x, p->w - 1), x1 = clamp(x + 1, p->w - 1);
    const uint8_t *a = p->px + (size_t)clamp(y, p->h - 1) * p->stride;
    const uint8_t *b = p->px + (size_t)clamp(y + 1, p->h - 1) * p->stride;
    int top = a[x0] * (256 - fx) + a[x1] * fx, bottom = b[x0] * (256 - fx) + b[x1] * fx;
    return (uint8_t)((top * (256 - fy) + bottom * fy + 32768) >> 16);
}

/* The same where all four pixels are known to be there. */
static void sample_inside(const tw_plane *p, int u, int v, int du, int dv, int n, uint8_t *out)
{
    for (int i = 0; i < n; i++, u += du, v += dv) {
        int fx = (u >> 8) & 255, fy = (v >> 8) & 255;
        const uint8_t *a = p->px + (size_t)(v >> 16) * p->stride + (u >> 16), *b = a + p->stride;
        int top = a[0] * (256 - fx) + a[1] * fx, bottom = b[0] * (256 - fx) + b[1] * fx;
        out[i] = (uint8_t)((top * (256 - fy) + bottom * fy + 32768) >> 16);
    }
}

static bool inside(const tw_plane *p, int u, int v)
{
    return u >= 0 && v >= 0 && u >> 16 < p->w - 1 && v >> 16 < p->h - 1;
}

void twi_turned(const twi_view *view, double angle, twi_view *out)
{
    double c, s;
    twi_angle(angle, &c, &s);
    *out = *view;
    out->cosine = view->cosine * c - view->sine * s;
    out->sine = view->sine * c + view->cosine * s;
}

void twi_view_take(const tw_pyramid *pyramid, const twi_view *view, int n, uint8_t *out)
{
    int level = 0;
    double step = view->step, shrink = 1;
    while (level + 1 < pyramid->count && step * (view->tall < 1 ? view->tall : 1) > 1.5) {
        level++;
        step /= 2;
        shrink /= 2;
    }
    const tw_plane *p = &pyramid->level[level];
    double ax = step * view->cosine, ay = step * view->sine, middle = (n - 1) / 2.0;
    double bx = -step * view->tall * view->sine, by = step * view->tall * view->cosine;
    int u = fixed(view->x * shrink - 0.5 - middle * (ax + bx)), v = fixed(view->y * shrink - 0.5 - middle * (ay + by));
    int right[2] = {fixed(ax), fixed(ay)}, down[2] = {fixed(bx), fixed(by)};
    for (int j = 0; j < n; j++, u += down[0], v += down[1]) {
        uint8_t *row = out + (size_t)j * (size_t)n;
        if (inside(p, u, v) && inside(p, u + (n - 1) * right[0], v + (n - 1) * right[1])) {
            sample_inside(p, u, v, right[0], right[1], n, row);
            continue;
        }
        for (int i = 0; i < n; i++)
            row[i] = sample(p, u + i * right[0], v + i * right[1]);
    }
}
