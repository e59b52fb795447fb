/* SPDX-License-Identifier: Apache-2.0
 *
 * The path that cuts least: slope trick (folklore). f_t(x) = least cost of a path that is at x in frame t is convex and
 * piecewise linear; its breakpoints left and right of the minimum live in two heaps. Moving at most V per frame shifts
 * the left ones by -V and the right ones by +V; a gate adds one breakpoint to each side.
 */
#include "path_internal.h"

typedef struct breakpoint {
    double at, weight;
} breakpoint;

/* A heap of breakpoints whose largest `sign * at` is on top; `shift` is added to all. */
typedef struct heap {
    breakpoint *item;
    size_t len, cap;
    double sign, shift;
    tw_arena *arena;
} heap;

static bool above(const heap *h, size_t a, size_t b)
{
    return h->sign * h->item[a].at > h->sign * h->item[b].at;
}

static void swap(heap *h, size_t a, size_t b)
{
    breakpoint kept = h->item[a];
    h->item[a] = h->item[b];
    h->item[b] = kept;
}

static void heap_push(heap *h, double at, double weight)
{
    h->item = tw_arena_grow(h->arena, h->item, h->len, &h->cap, sizeof *h->item);
    size_t i = h->len++;
    h->item[i] = (breakpoint){at - h->shift, weight};
    for (; i > 0 && above(h, i, (i - 1) / 2); i = (i - 1) / 2)
        swap(h, i, (i - 1) / 2);
}

static void heap_pop(heap *h)
{
    h->item[0] = h->item[--h->len];
    for (size_t i = 0, child; (child = 2 * i + 1) < h->len; i = child) {
        if (child + 1 < h->len && above(h, child + 1, child))
            child++;
        if (!above(h, child, i))
            return;
        swap(h, i, child);
    }
}

static double heap_top(const heap *h)
{
    return h->len > 0 ? h->item[0].at + h->shift : -h->sign * INFINITY;
}

/* Adds weight * max(0, sign * (from.top-side distance)) : a hinge whose slope lies on the side of `near`. The
 * breakpoint goes through the far heap so that the one that ends up in `near` is its outermost. */
static double add_hinge(heap *near, heap *far, double at, double weight)
{
    double cost = 0, left = weight;
    heap_push(far, at, weight);
    while (left > 0) {
        breakpoint *top = &far->item[0];
        double moved = tw_min(left, top->weight), place = top->at + far->shift;
        cost += moved * tw_max(0, far->sign * (place - at));
        heap_push(near, place, moved);
        left -= moved;
        top = &far->item[0];
        if (moved < top->weight)
            top->weight -= moved;
        else
            heap_pop(far);
    }
    return cost;
}

double twi_cut_least(tw_arena *scratch, const twi_gate *gates, size_t count, double speed, double *x)
{
    heap left = {.sign = 1, .arena = scratch}, right = {.sign = -1, .arena = scratch};
    size_t n = gates[0].tube->n, last = n - 1;
    double *best_lo = TW_NEW_N(scratch, double, n), *best_hi = TW_NEW_N(scratch, double, n), cost = 0;
    for (size_t t = 0; t < n; t++) {
        for (size_t g = 0; g < count; g++) {
            double w = (gates[g].weight != NULL ? gates[g].weight[t] : 1) * gates[g].factor;
            if (!(w > 0))
                continue;
            cost += add_hinge(&left, &right, gates[g].tube->lo[t], w);
            cost += add_hinge(&right, &left, gates[g].tube->hi[t], w);
        }
        best_lo[t] = heap_top(&left);
        best_hi[t] = heap_top(&right);
        left.shift -= speed;
        right.shift += speed;
    }
    double middle = (gates[0].tube->lo[last] + gates[0].tube->hi[last]) / 2;
    x[last] = tw_min(tw_max(middle, best_lo[last]), best_hi[last]);
    for (size_t t = last; t-- > 0;) {
        double inside = tw_min(tw_max(x[t + 1], best_lo[t]), best_hi[t]);
        x[t] = tw_min(tw_max(inside, x[t + 1] - speed), x[t + 1] + speed);
    }
    return cost;
}

void twi_cut_still(tw_arena *scratch, const twi_tube *tube, const double *weight, double *lo, double *hi)
{
    heap left = {.sign = 1, .arena = scratch}, right = {.sign = -1, .arena = scratch};
    *lo = tube->lo[0];
    *hi = tube->hi[0];
    for (size_t t = 0; t < tube->n; t++) {
        double w = weight != NULL ? weight[t] : 1;
        if (w <= 0)
            continue;
        add_hinge(&left, &right, tube->lo[t], w);
        add_hinge(&right, &left, tube->hi[t], w);
    }
    if (left.len > 0) {
        *lo = heap_top(&left);
        *hi = heap_top(&right);
    }
}
