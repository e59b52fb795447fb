/* SPDX-License-Identifier: Apache-2.0
 *
 * What the points inside a box say about where it went. Those that do not come back to where they began are dropped
 * (Kalal 2010).
 */
#include "subject_internal.h"

#include <math.h>

#define SIDE 7 /* points */
#define MOST (SIDE * SIDE)
#define FEWEST 6
#define ASTRAY 1.0 /* pixels between where a point began and where the way back ends */

/* Those near the middle count for more: the corners of a box are seldom the subject. */
static double weight_at(const tw_spot *box, const twi_point *p)
{
    double x = (p->x - box->left) / box->width * 2 - 1, y = (p->y - box->top) / box->height * 2 - 1;
    return 1.2 - 0.5 * (x * x + y * y);
}

static void weigh(const tw_pyramid *before, const tw_pyramid *now, const tw_spot *box, twi_point *points, size_t count)
{
    twi_point back[MOST];
    for (size_t i = 0; i < count; i++)
        back[i] = (twi_point){points[i].u, points[i].v, points[i].x, points[i].y, points[i].weight};
    twi_flow(now, before, 1, 0, back, count);
    for (size_t i = 0; i < count; i++) {
        twi_point *p = &points[i];
        double dx = back[i].u - p->x, dy = back[i].v - p->y;
        bool ok = p->weight > 0 && back[i].weight > 0 && dx * dx + dy * dy < ASTRAY * ASTRAY;
        p->weight = ok ? (float)weight_at(box, p) : 0;
    }
}

twi_move twi_inner(const tw_pyramid *before, const tw_pyramid *now, const tw_spot *box, double dx, double dy)
{
    twi_point points[MOST];
    double area = box->width * box->height, x = box->left + box->width / 2, y = box->top + box->height / 2;
    double slack = sqrt(area) * 0.02;
    slack = slack < 1 ? 1 : slack > 4 ? 4 : slack;
    size_t count =
        twi_corners(before, area > 200 * 200 ? 1 : 0, (double[]){box->left, box->top, box->width, box->height}, SIDE,
                    SIDE, area > 60 * 60 ? 2 : 1, points);
    for (size_t i = 0; i < count; i++) {
        points[i].u += (float)dx;
        points[i].v += (float)dy;
    }
    twi_flow(before, now, area > 80 * 80 ? 3 : 2, 0, points, count);
    weigh(before, now, box, points, count);
    twi_similar s;
    double share = count >= FEWEST ? twi_similar_fit(points, count, slack, slack, &s) : 0;
    if (share <= 0)
        return (twi_move){x + dx, y + dy, 1, 0, 0};
    return (twi_move){s.a * x - s.b * y + s.c, s.b * x + s.a * y + s.d, sqrt(s.a * s.a + s.b * s.b), s.b / s.a, share};
}
