/* SPDX-License-Identifier: Apache-2.0
 *
 * Points from one frame to the next: the small window around a point is brought into line by the slope of its
 * brightness (Lucas and Kanade 1981), coarse levels first (Bouguet 2000), the window's own slopes kept for all rounds
 * (S. Baker, I. Matthews, IJCV 56, 2004).
 */
#include "subject_internal.h"

#include <math.h>

#define SIDE 8 /* of the window */
#define REACH ((SIDE - 1) / 2.0f)
#define OUTER (SIDE + 2)
#define PIXELS (SIDE * SIDE)
#define ROUNDS 5
#define NEAR 0.03f   /* pixels of a level: close enough */
#define ROUGHLY 0.2f /* on levels that a finer one puts right */
#define STRIP 60     /* columns gone through at once */

typedef struct patch {
    float at[PIXELS], gx[PIXELS], gy[PIXELS];
    float xx, xy, yy, det, sx, sy;
} patch;

/* side x side samples from (x, y) on, one pixel apart. False where the plane ends. */
static bool look(const tw_plane *p, float x, float y, int side, float *restrict out)
{
    float fx0 = floorf(x), fy0 = floorf(y), rows[2][OUTER];
    if (!(fx0 >= 0 && fy0 >= 0 && fx0 + (float)side < (float)p->w && fy0 + (float)side < (float)p->h))
        return false;
    float fx = x - fx0, fy = y - fy0;
    const uint8_t *row = p->px + (size_t)fy0 * p->stride + (size_t)fx0;
    for (int j = 0; j <= side; j++, row += p->stride) {
        float *now = rows[j & 1], *above = rows[!(j & 1)];
        for (int i = 0; i < side; i++)
            now[i] = (float)row[i] + fx * (float)(row[i + 1] - row[i]);
        for (int i = 0; i < side && j > 0; i++)
            out[(j - 1) * side + i] = above[i] + fy * (now[i] - above[i]);
    }
    return true;
}

static float sum(const float *a)
{
    float s[4] = {0, 0, 0, 0};
    for (int k = 0; k < PIXELS; k += 4)
        for (int i = 0; i < 4; i++)
            s[i] += a[k + i];
    return (s[0] + s[1]) + (s[2] + s[3]);
}

static float dot(const float *a, const float *b)
{
    float s[4] = {0, 0, 0, 0};
    for (int k = 0; k < PIXELS; k += 4)
        for (int i = 0; i < 4; i++)
            s[i] += a[k + i] * b[k + i];
    return (s[0] + s[1]) + (s[2] + s[3]);
}

/* The window around (x, y) of the frame before, with its slopes. */
static bool take(const tw_plane *p, float x, float y, patch *out)
{
    float wide[OUTER * OUTER];
    if (!look(p, x - REACH - 1, y - REACH - 1, OUTER, wide))
        return false;
    for (int j = 0; j < SIDE; j++)
        for (int i = 0; i < SIDE; i++) {
            const float *w = wide + (j + 1) * OUTER + i + 1;
            int k = j * SIDE + i;
            out->at[k] = w[0];
            out->gx[k] = (w[1] - w[-1]) * 0.5f;
            out->gy[k] = (w[OUTER] - w[-OUTER]) * 0.5f;
        }
    out->xx = dot(out->gx, out->gx);
    out->xy = dot(out->gx, out->gy);
    out->yy = dot(out->gy, out->gy);
    out->sx = sum(out->gx);
    out->sy = sum(out->gy);
    out->det = out->xx * out->yy - out->xy * out->xy;
    float trace = out->xx + out->yy;
    /* The weaker slope must stand above noise: about det / trace. */
    return trace > 0 && out->det > trace * PIXELS;
}

/* One round: how the window at (u, v) differs; a common change of brightness is taken out. */
static bool nudge(const tw_plane *p, const patch *w, float *u, float *v, float *step)
{
    float now[PIXELS];
    if (!look(p, *u - REACH, *v - REACH, SIDE, now))
        return false;
    for (int k = 0; k < PIXELS; k++)
        now[k] -= w->at[k];
    float mean = sum(now) / PIXELS, bx = dot(now, w->gx) - mean * w->sx, by = dot(now, w->gy) - mean * w->sy;
    float du = (w->xy * by - w->yy * bx) / w->det, dv = (w->xy * bx - w->xx * by) / w->det;
    *u += du;
    *v += dv;
    *step = fabsf(du) + fabsf(dv);
    return true;
}

/* One point on one level; (u, v) is the guess and becomes the answer. */
static bool follow_level(const tw_plane *before, const tw_plane *now, float near, float x, float y, float *u, float *v)
{
    patch w;
    float gu = *u, gv = *v, step = 1;
    if (!take(before, x, y, &w))
        return false;
    for (int round = 0; round < ROUNDS && step > near; round++)
        if (!nudge(now, &w, &gu, &gv, &step))
            return false;
    if (fabsf(gu - *u) + fabsf(gv - *v) > 2 * (SIDE + 1) || step > 1)
        return false;
    *u = gu;
    *v = gv;
    return true;
}

void twi_flow(const tw_pyramid *before, const tw_pyramid *now, int from, int to, twi_point *points, size_t count)
{
    if (from >= before->count)
        from = before->count - 1;
    for (size_t i = 0; i < count; i++) {
        twi_point *p = &points[i];
        bool found = false;
        for (int level = from; level >= to; level--) {
            float shrink = 1.0f / (float)(1 << level), u = p->u * shrink - 0.5f, v = p->v * shrink - 0.5f;
            found = follow_level(&before->level[level], &now->level[level], level > to ? ROUGHLY : NEAR,
                                 p->x * shrink - 0.5f, p->y * shrink - 0.5f, &u, &v);
            if (found) {
                p->u = (u + 0.5f) / shrink;
                p->v = (v + 0.5f) / shrink;
            }
        }
        if (!found)
            p->weight = 0;
    }
}

/* ---- where to look --------------------------------------------------------------------------------------- */

/* What corners are told by: slopes in both directions and their product, over five rows around row y, for n columns
 * from x on. */
static void slopes(const tw_plane *p, int x, int y, int n, int32_t *restrict xx, int32_t *restrict xy,
                   int32_t *restrict yy)
{
    for (int i = 0; i < n; i++)
        xx[i] = xy[i] = yy[i] = 0;
    for (int j = y - 2; j <= y + 2; j++) {
        const uint8_t *row = p->px + (size_t)j * p->stride + x, *up = row - p->stride, *down = row + p->stride;
        for (int i = 0; i < n; i++) {
            int16_t gx = (int16_t)(row[i + 1] - row[i - 1]), gy = (int16_t)(down[i] - up[i]);
            xx[i] += gx * gx;
            xy[i] += gx * gy;
            yy[i] += gy * gy;
        }
    }
}

static int32_t five(const int32_t *a)
{
    return a[0] + a[1] + a[2] + a[3] + a[4];
}

/* The best corner in a field of a level; false when there is none worth it. How well a place can be found again is the
 * smaller of the slopes in the two directions, roughly: determinant by trace. */
static bool best_in(const tw_plane *p, const int field[4], int every, int *bx, int *by)
{
    int32_t xx[STRIP + 12], xy[STRIP + 12], yy[STRIP + 12];
    int64_t best = 300; /* 25 places with slopes of about 3 */
    bool any = false;
    for (int y = field[1]; y < field[3]; y += every)
        for (int left = field[0]; left < field[2]; left += STRIP / every * every) {
            int n = field[2] - left < STRIP / every * every ? field[2] - left : STRIP / every * every;
            int wide = (n + 11) / 8 * 8; /* which compilers like */
            slopes(p, left - 2, y, left + wide < p->w ? wide : n + 4, xx, xy, yy);
            for (int i = 0; i < n; i += every) {
                int64_t a = five(xx + i), b = five(xy + i), c = five(yy + i), det = a * c - b * b;
                if (det < (best + 1) * (a + c) || a + c == 0)
                    continue;
                best = det / (a + c);
                *bx = left + i;
                *by = y;
                any = true;
            }
        }
    return any;
}

static int within(double v, int least, int most)
{
    return v < least ? least : v > most ? most : (int)v;
}

size_t twi_corners(const tw_pyramid *pyramid, int level, const double box[4], int columns, int rows, int every,
                   twi_point *out)
{
    const tw_plane *p = &pyramid->level[level];
    double size = 1 << level, fw = box[2] / columns, fh = box[3] / rows;
    size_t count = 0;
    for (int r = 0; r < rows; r++)
        for (int c = 0; c < columns; c++) {
            int field[4] = {within((box[0] + c * fw) / size, 6, p->w - 6),
                            within((box[1] + r * fh) / size, 6, p->h - 6),
                            within((box[0] + (c + 1) * fw) / size, 6, p->w - 6),
                            within((box[1] + (r + 1) * fh) / size, 6, p->h - 6)};
            int x, y;
            if (!best_in(p, field, every, &x, &y))
                continue;
            float px = ((float)x + 0.5f) * (float)size, py = ((float)y + 0.5f) * (float)size;
            out[count++] = (twi_point){px, py, px, py, 1};
        }
    return count;
}
