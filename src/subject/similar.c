/* SPDX-License-Identifier: Apache-2.0
 *
 * The movement (shift, turn, size) that most points agree on: pairs of points propose one (Fischler and Bolles 1981),
 * what agrees with the best proposal is fitted by least squares, weights falling with distance (P. Huber 1964, in the
 * biweight form of A. Beaton and J. Tukey 1974).
 */
#include "subject_internal.h"

#include <math.h>

#define PROPOSALS 96
#define ROUNDS 3
#define ENOUGH 0.8 /* agreement that no other proposal is needed for */

/* Steele, Lea, Flood 2014: the same choices every time. */
static uint64_t next(uint64_t *state)
{
    uint64_t z = *state += 0x9e3779b97f4a7c15u;
    z = (z ^ z >> 30) * 0xbf58476d1ce4e5b9u;
    z = (z ^ z >> 27) * 0x94d049bb133111ebu;
    return z ^ z >> 31;
}

static double miss(const twi_similar *s, const twi_point *p)
{
    double x = p->x, y = p->y, u = s->a * x - s->b * y + s->c - p->u, v = s->b * x + s->a * y + s->d - p->v;
    return u * u + v * v;
}

static bool from_pair(const twi_point *p, const twi_point *q, twi_similar *out)
{
    double x = q->x - p->x, y = q->y - p->y, u = q->u - p->u, v = q->v - p->v, long2 = x * x + y * y;
    if (long2 < 16)
        return false;
    out->a = (u * x + v * y) / long2;
    out->b = (v * x - u * y) / long2;
    out->c = p->u - (out->a * p->x - out->b * p->y);
    out->d = p->v - (out->b * p->x + out->a * p->y);
    return out->a > 0.5 && out->a < 2;
}

/* Weight of what agrees; nearer counts for more, so that the best of many good ones wins. */
static double agreement(const twi_similar *s, const twi_point *points, size_t count, double slack2)
{
    double sum = 0;
    for (size_t i = 0; i < count; i++) {
        double d = points[i].weight > 0 ? miss(s, &points[i]) / slack2 : 1;
        sum += d < 1 ? points[i].weight * (1 - d) : 0;
    }
    return sum;
}

/* Least squares about the weighted middle. */
static bool refine(twi_similar *s, const twi_point *points, size_t count, double slack2)
{
    double w = 0, x = 0, y = 0, u = 0, v = 0, a = 0, b = 0, spread = 0;
    for (int pass = 0; pass < 2; pass++) {
        for (size_t i = 0; i < count; i++) {
            const twi_point *p = &points[i];
            double d = p->weight > 0 ? miss(s, p) / slack2 : 1, k = d < 1 ? p->weight * (1 - d) * (1 - d) : 0;
            if (pass == 0) {
                w += k;
                x += k * p->x;
                y += k * p->y;
                u += k * p->u;
                v += k * p->v;
            } else {
                double px = p->x - x, py = p->y - y, pu = p->u - u, pv = p->v - v;
                a += k * (px * pu + py * pv);
                b += k * (px * pv - py * pu);
                spread += k * (px * px + py * py);
            }
        }
        if (!(w > 0))
            return false;
        if (pass == 0) {
            x /= w;
            y /= w;
            u /= w;
            v /= w;
        }
    }
    if (!(spread > 0))
        return false;
    a /= spread;
    b /= spread;
    *s = (twi_similar){a, b, u - (a * x - b * y), v - (b * x + a * y)};
    return true;
}

double twi_similar_fit(twi_point *points, size_t count, double slack, double last, twi_similar *out)
{
    double all = 0, best = 0, slack2 = slack * slack, agreed = 0;
    uint64_t state = 1;
    for (size_t i = 0; i < count; i++)
        all += points[i].weight;
    if (count < 3 || !(all > 0))
        return 0;
    for (int i = 0; i < PROPOSALS && best < ENOUGH * all; i++) {
        twi_similar s;
        const twi_point *p = &points[next(&state) % count], *q = &points[next(&state) % count];
        if (!(p->weight > 0) || !(q->weight > 0) || !from_pair(p, q, &s))
            continue;
        double score = agreement(&s, points, count, slack2);
        if (score > best) {
            best = score;
            *out = s;
        }
    }
    if (!(best > 0))
        return 0;
    for (int i = 0; i < ROUNDS; i++)
        if (!refine(out, points, count, i == 0 ? slack2 : last * last))
            return 0;
    for (size_t i = 0; i < count; i++) {
        if (points[i].weight > 0 && miss(out, &points[i]) > slack2)
            points[i].weight = 0;
        agreed += points[i].weight;
    }
    return agreed / all;
}
