/* SPDX-License-Identifier: Apache-2.0
 *
 * Points from one frame to the next: the small window around a point is brought into line by the slope of its
 * brightness (Lucas and Kanade 1981), coarse levels first (Bouguet 2000), the window's own slopes kept for all rounds
 * (S. Baker, I. Matthews, IJCV 56, 2004).
 */
#include "subject_internal.h"

#include <math.h>

#define REACH 4 /* the window is 9 x 9 */
#define SIDE (2 * REACH + 1)
#define OUTER (SIDE + 2)
#define PADDED 84 /* SIDE * SIDE and some that stay 0: sums run over four at a time */
#define ROUNDS 5
#define NEAR 0.03f /* pixels of a level: close enough */

typedef struct patch {
    float at[PADDED], gx[PADDED], gy[PADDED];
    float xx, xy, yy, det, sx, sy;
} patch;

/* side x side samples from (x, y) on, one pixel apart. False where the plane ends. */
static bool look(const tw_plane *p, float x, float y, int side, float *out)
{
    float fx0 = floorf(x), fy0 = floorf(y);
    if (!(fx0 >= 0 && fy0 >= 0 && fx0 + (float)side < (float)p->w && fy0 + (float)side < (float)p->h))
        return false;
    float fx = x - fx0, fy = y - fy0;
    float a = (1 - fx) * (1 - fy), b = fx * (1 - fy), c = (1 - fx) * fy, d = fx * fy;
    const uint8_t *row = p->px + (size_t)fy0 * p->stride + (size_t)fx0;
    for (int j = 0; j < side; j++, row += p->stride) {
        const uint8_t *under = row + p->stride;
        for (int i = 0; i < side; i++)
            out[j * side + i] = a * row[i] + b * row[i + 1] + c * under[i] + d * under[i + 1];
    }
    return true;
}

static float dot(const float *a, const float *b)
{
    float sum[4] = {0, 0, 0, 0};
    for (int k = 0; k < PADDED; k += 4)
        for (int i = 0; i < 4; i++)
            sum[i] += a[k + i] * b[k + i];
    return (sum[0] + sum[1]) + (sum[2] + sum[3]);
}

/* The window around (x, y) of the frame before, with its slopes. */
static bool take(const tw_plane *p, float x, float y, patch *out)
{
    float wide[OUTER * OUTER];
    if (!look(p, x - REACH - 1, y - REACH - 1, OUTER, wide))
        return false;
    out->sx = out->sy = 0;
    for (int k = SIDE * SIDE; k < PADDED; k++)
        out->at[k] = out->gx[k] = out->gy[k] = 0;
    for (int j = 0; j < SIDE; j++)
        for (int i = 0; i < SIDE; i++) {
            const float *w = wide + (j + 1) * OUTER + i + 1;
            float gx = (w[1] - w[-1]) * 0.5f, gy = (w[OUTER] - w[-OUTER]) * 0.5f;
            int k = j * SIDE + i;
            out->at[k] = w[0];
            out->gx[k] = gx;
            out->gy[k] = gy;
        }
    out->xx = dot(out->gx, out->gx);
    out->xy = dot(out->gx, out->gy);
    out->yy = dot(out->gy, out->gy);
    for (int k = 0; k < SIDE * SIDE; k++) {
        out->sx += out->gx[k];
        out->sy += out->gy[k];
    }
    out->det = out->xx * out->yy - out->xy * out->xy;
    float trace = out->xx + out->yy;
    /* The weaker slope must stand above noise: about det / trace. */
    return trace > 0 && out->det > trace * (SIDE * SIDE) * 1.0f;
}

/* One round: how the window at (u, v) differs; a common change of brightness is taken out. */
static bool nudge(const tw_plane *p, const patch *w, float *u, float *v, float *step)
{
    float now[PADDED] = {0}, mean = 0;
    if (!look(p, *u - REACH, *v - REACH, SIDE, now))
        return false;
    for (int k = 0; k < PADDED; k++)
        now[k] -= w->at[k];
    for (int k = 0; k < SIDE * SIDE; k++)
        mean += now[k];
    mean /= SIDE * SIDE;
    float bx = dot(now, w->gx) - mean * w->sx, by = dot(now, w->gy) - mean * w->sy;
    float du = (w->xy * by - w->yy * bx) / w->det, dv = (w->xy * bx - w->xx * by) / w->det;
    *u += du;
    *v += dv;
    *step = fabsf(du) + fabsf(dv);
    return true;
}

/* One point on one level; (u, v) is the guess and becomes the answer. */
static bool follow_level(const tw_plane *before, const tw_plane *now, float x, float y, float *u, float *v)
{
    patch w;
    float gu = *u, gv = *v, step = 1;
    if (!take(before, x, y, &w))
        return false;
    for (int round = 0; round < ROUNDS && step > NEAR; round++)
        if (!nudge(now, &w, &gu, &gv, &step))
            return false;
    if (fabsf(gu - *u) + fabsf(gv - *v) > 2 * SIDE || step > 1)
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
            found = follow_level(&before->level[level], &now->level[level], p->x * shrink - 0.5f, p->y * shrink - 0.5f,
                                 &u, &v);
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

/* How well a place can be found again: the smaller of the slopes in the two directions, roughly. */
static int corner_at(const tw_plane *p, int x, int y)
{
    int xx = 0, xy = 0, yy = 0;
    for (int j = y - 2; j <= y + 2; j++) {
        const uint8_t *row = p->px + (size_t)j * p->stride, *up = row - p->stride, *down = row + p->stride;
        for (int i = x - 2; i <= x + 2; i++) {
            int gx = row[i + 1] - row[i - 1], gy = down[i] - up[i];
            xx += gx * gx;
            xy += gx * gy;
            yy += gy * gy;
        }
    }
    int64_t det = (int64_t)xx * yy - (int64_t)xy * xy;
    return xx + yy > 0 ? (int)(det / (xx + yy)) : 0;
}

/* The best corner in a field of a level; false when there is none worth it. */
static bool best_in(const tw_plane *p, const int field[4], int every, int *bx, int *by)
{
    int best = 300; /* 25 places with slopes of about 3 */
    bool any = false;
    for (int y = field[1]; y < field[3]; y += every)
        for (int x = field[0]; x < field[2]; x += every) {
            int c = corner_at(p, x, y);
            if (c > best) {
                best = c;
                *bx = x;
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
