/* SPDX-License-Identifier: Apache-2.0
 *
 * What was there before: when the box shows the same as the place did before the subject came to it, the follower holds
 * on to the background and not to the subject. Appearance alone cannot tell: the filter has learnt the background by
 * then.
 */
#include "subject_internal.h"

#include <math.h>
#include <string.h>

#define KEPT 6
#define EVERY 7 /* frames from one picture to the next */
#define SIDE 16
#define SAME 0.85 /* correlation */
#define FLAT 36   /* variance of brightness below which pictures say nothing */

typedef struct memory {
    bool filled;
    uint8_t *px;
    tw_pyramid picture;
    tw_spot box;
    twi_similar since; /* where its pixels are now */
} memory;

struct twi_past {
    memory kept[KEPT];
    int w, h, level, at, age;
};

twi_past *twi_past_new(tw_arena *arena, int w, int h)
{
    twi_past *past = TW_NEW(arena, twi_past);
    tw_pyramid shape;
    past->w = w;
    past->h = h;
    tw_pyramid_init(arena, w, h, &shape);
    past->level = w > 640 && shape.count > 2 ? 2 : w > 320 && shape.count > 1 ? 1 : 0;
    const tw_plane *p = &shape.level[past->level];
    for (int i = 0; i < KEPT; i++) {
        past->kept[i].px = TW_NEW_N(arena, uint8_t, (size_t)p->w * (size_t)p->h);
        tw_pyramid_init(arena, p->w, p->h, &past->kept[i].picture);
    }
    twi_past_clear(past);
    return past;
}

void twi_past_clear(twi_past *past)
{
    past->age = EVERY;
    for (int i = 0; i < KEPT; i++)
        past->kept[i].filled = false;
}

void twi_past_step(twi_past *past, const tw_camera *camera)
{
    double x0 = 0, y0 = 0, x1 = 1, y1 = 0;
    past->age++;
    tw_camera_point(camera, past->w, past->h, &x0, &y0);
    tw_camera_point(camera, past->w, past->h, &x1, &y1);
    twi_similar m = {x1 - x0, y1 - y0, x0, y0};
    for (int i = 0; i < KEPT; i++) {
        memory *k = &past->kept[i];
        twi_similar s = k->since;
        k->since = (twi_similar){m.a * s.a - m.b * s.b, m.b * s.a + m.a * s.b, m.a * s.c - m.b * s.d + m.c,
                                 m.b * s.c + m.a * s.d + m.d};
        k->filled = k->filled && camera->sure >= 0.3;
    }
}

void twi_past_keep(twi_past *past, const tw_pyramid *frame, const tw_spot *box)
{
    if (past->age < EVERY)
        return;
    past->age = 0;
    memory *k = &past->kept[past->at];
    past->at = (past->at + 1) % KEPT;
    const tw_plane *p = &frame->level[past->level];
    for (int y = 0; y < p->h; y++)
        memcpy(k->px + (size_t)y * (size_t)p->w, p->px + (size_t)y * p->stride, (size_t)p->w);
    tw_pyramid_fill(&k->picture, &(tw_plane){k->px, p->w, p->h, (size_t)p->w});
    k->box = *box;
    k->filled = true;
    k->since = (twi_similar){1, 0, 0, 0};
}

/* Did the subject stand in that place then? */
static bool was_there(const memory *k, double x, double y, const tw_spot *box, double scale)
{
    double w = (k->box.width + box->width / scale) * 0.55, h = (k->box.height + box->height / scale) * 0.55;
    return fabs(k->box.left + k->box.width / 2 - x) < w && fabs(k->box.top + k->box.height / 2 - y) < h;
}

double twi_alike(const uint8_t *a, const uint8_t *b, int n, double least)
{
    int64_t sa = 0, sb = 0, aa = 0, bb = 0, ab = 0;
    for (int i = 0; i < n; i++) {
        sa += a[i];
        sb += b[i];
        aa += a[i] * a[i];
        bb += b[i] * b[i];
        ab += a[i] * b[i];
    }
    double va = (double)(n * aa - sa * sa), vb = (double)(n * bb - sb * sb), under = least * n * n;
    return va > under && vb > under ? (double)(n * ab - sa * sb) / sqrt(va * vb) : 0;
}

bool twi_past_shows(const twi_past *past, const tw_pyramid *frame, const tw_spot *box)
{
    uint8_t now[SIDE * SIDE], then[SIDE * SIDE];
    double x = box->left + box->width / 2, y = box->top + box->height / 2;
    twi_view view = {x, y, box->width / SIDE, box->height / box->width, 1, 0};
    twi_view_take(frame, &view, SIDE, now);
    for (int i = 0; i < KEPT; i++) {
        const memory *k = &past->kept[i];
        double a = k->since.a, b = k->since.b, s2 = a * a + b * b, s = sqrt(s2), px = x - k->since.c,
               py = y - k->since.d;
        if (!k->filled || !(s2 > 0.01))
            continue;
        double tx = (a * px + b * py) / s2, ty = (a * py - b * px) / s2;
        if (was_there(k, tx, ty, box, s) || tx < 0 || ty < 0 || tx >= past->w || ty >= past->h)
            continue;
        double shrink = 1.0 / (1 << past->level);
        twi_view old = {tx * shrink, ty * shrink, view.step / s * shrink, view.tall, a / s, -b / s};
        twi_view_take(&k->picture, &old, SIDE, then);
        if (twi_alike(now, then, SIDE * SIDE, FLAT) > SAME)
            return true;
    }
    return false;
}
