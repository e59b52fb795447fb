/* SPDX-License-Identifier: Apache-2.0
 *
 * The camera's movement: corners all over the picture, followed at half size, and what most of them agree on; where
 * that is unclear, a jump is tried first.
 */
#include "subject_internal.h"

#include <math.h>

#define COLUMNS 12
#define ROWS 8
#define COARSEST 3 /* level */
#define ENOUGH 0.5 /* share of points that agree */

static bool held(const twi_point *p, const tw_spot *boxes, size_t count)
{
    for (size_t i = 0; i < count; i++)
        if (p->x >= boxes[i].left && p->x < boxes[i].left + boxes[i].width && p->y >= boxes[i].top &&
            p->y < boxes[i].top + boxes[i].height)
            return true;
    return false;
}

/* Unless nearly all the picture is subject. */
static size_t leave_out(twi_point *points, size_t count, const tw_spot *boxes, size_t box_count)
{
    size_t kept = 0;
    for (size_t i = 0; i < count; i++)
        if (!held(&points[i], boxes, box_count))
            points[kept++] = points[i];
    return kept >= 8 ? kept : count;
}

/* Small pictures are followed at their own size. */
static int finest(const tw_pyramid *p)
{
    return p->count > 2 && p->level[0].w >= 480 ? 1 : 0;
}

/* Follows the points from where they are, moved by (dx, dy); returns the share that agrees. */
static double follow(const tw_pyramid *before, const tw_pyramid *now, const twi_point *points, size_t count, double dx,
                     double dy, twi_similar *out)
{
    twi_point moved[COLUMNS * ROWS];
    int fine = finest(before);
    for (size_t i = 0; i < count; i++) {
        moved[i] = points[i];
        moved[i].u += (float)dx;
        moved[i].v += (float)dy;
    }
    twi_flow(before, now, COARSEST, fine, moved, count);
    return twi_similar_fit(moved, count, 1.5 * (1 << fine), 0.75 * (1 << fine), out);
}

/* Points follow a jump only so far: where few agree, they are followed from where the whole picture seems to be. */
tw_camera tw_camera_between(const tw_pyramid *before, const tw_pyramid *now, const tw_spot *subjects, size_t count)
{
    twi_point points[COLUMNS * ROWS];
    int w = before->level[0].w, h = before->level[0].h, fine = finest(before);
    int look = fine + 1 < before->count ? fine + 1 : fine;
    size_t found = twi_corners(before, look, (double[]){0, 0, w, h}, COLUMNS, ROWS, 3, points);
    found = leave_out(points, found, subjects, count);
    if (found < 8)
        return TW_CAMERA_STILL;
    twi_similar s, jumped;
    double sure = follow(before, now, points, found, 0, 0, &s);
    if (sure < ENOUGH) {
        double dx, dy;
        twi_shift(before, now, &dx, &dy);
        double again = dx != 0 || dy != 0 ? follow(before, now, points, found, dx, dy, &jumped) : 0;
        s = again > sure ? jumped : s;
        sure = again > sure ? again : sure;
    }
    if (sure <= 0)
        return TW_CAMERA_STILL;
    double x = w / 2.0, y = h / 2.0, scale = sqrt(s.a * s.a + s.b * s.b), t = s.b / s.a;
    /* Arc tangent of a small angle: t - t^3/3 + t^5/5 - t^7/7; 1e-4 rad off at 0.45 rad, where no camera gets. */
    double turn = t * (1 - t * t * (1 / 3.0 - t * t * (1 / 5.0 - t * t / 7)));
    return (tw_camera){s.a * x - s.b * y + s.c - x, s.b * x + s.a * y + s.d - y, turn, scale, sure};
}

void tw_camera_point(const tw_camera *camera, int w, int h, double *x, double *y)
{
    double c, s, px = *x - w / 2.0, py = *y - h / 2.0;
    twi_angle(camera->turn, &c, &s);
    *x = w / 2.0 + camera->dx + camera->scale * (c * px - s * py);
    *y = h / 2.0 + camera->dy + camera->scale * (s * px + c * py);
}

tw_camera tw_camera_inverse(const tw_camera *camera)
{
    double c, s, size = camera->scale > 0 ? 1 / camera->scale : 1;
    twi_angle(-camera->turn, &c, &s);
    return (tw_camera){-size * (c * camera->dx - s * camera->dy), -size * (s * camera->dx + c * camera->dy),
                       -camera->turn, size, camera->sure};
}
