/* SPDX-License-Identifier: Apache-2.0
 *
 * Two passes over the same frames, one forwards from the key before and one backwards from the key after, made one.
 */
#include "subject_internal.h"

#define SAME 0.3 /* overlap from which on two boxes are taken to hold the same thing */

double tw_spot_overlap(const tw_spot *a, const tw_spot *b)
{
    double left = a->left > b->left ? a->left : b->left, top = a->top > b->top ? a->top : b->top;
    double ar = a->left + a->width, br = b->left + b->width, ab = a->top + a->height, bb = b->top + b->height;
    double w = (ar < br ? ar : br) - left, h = (ab < bb ? ab : bb) - top, both = w > 0 && h > 0 ? w * h : 0;
    double all = a->width * a->height + b->width * b->height - both;
    return all > 0 ? both / all : 0;
}

static double mixed(double a, double b, double share)
{
    return a + (b - a) * share;
}

tw_spot tw_spot_between(const tw_spot *a, const tw_spot *b, double share)
{
    return (tw_spot){mixed(a->left, b->left, share), mixed(a->top, b->top, share), mixed(a->width, b->width, share),
                     mixed(a->height, b->height, share), 0};
}

/* 0: nothing is known, 1: a guess, 2: found. A guess has a say only where the other is one too. */
static int standing(const tw_spot *s)
{
    return !(s->width > 0) ? 0 : s->sure > 0 ? 2 : 1;
}

size_t tw_spots_meet(const tw_spot *forth, const tw_spot *back, size_t count, tw_spot *out, size_t *first)
{
    size_t apart = 0;
    for (size_t i = 0; i < count; i++) {
        double near = (double)(count - i), far = (double)(i + 1); /* distance to the key after, from the key before */
        double a = (forth[i].sure + 1e-3) * near, b = (back[i].sure + 1e-3) * far, share = b / (a + b);
        int rank = standing(&forth[i]) - standing(&back[i]);
        if (rank != 0 || standing(&forth[i]) == 0) {
            out[i] = rank < 0 ? back[i] : forth[i];
            continue;
        }
        if (standing(&forth[i]) == 1 || tw_spot_overlap(&forth[i], &back[i]) > SAME) {
            out[i] = tw_spot_between(&forth[i], &back[i], share);
            out[i].sure = forth[i].sure > back[i].sure ? forth[i].sure : back[i].sure;
            continue;
        }
        if (apart++ == 0)
            *first = i;
        out[i] = share < 0.5 ? forth[i] : back[i];
        out[i].sure /= 2;
    }
    return apart;
}
