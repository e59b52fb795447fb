/* SPDX-License-Identifier: Apache-2.0
 *
 * Regions made fit for use: clipped to the source; a detector's jumps taken out and its jitter smoothed (solver.md
 * 3.1).
 */
#include "path_internal.h"

#include "region.h"

#define MEAN_HALF 4        /* 9-frame mean */
#define OUTLIER_MAD 3.0    /* our proposal */
#define OUTLIER_PX 20.0    /* our proposal */
#define MEDIAN_SECONDS 0.5 /* half window */
#define MEDIAN_MOST 64     /* frames each way, whatever the rate */

tw_path_box twi_box_around(const tw_path_box *a, const tw_path_box *b)
{
    if (!twi_box_there(a) || !twi_box_there(b))
        return twi_box_there(a) ? *a : *b;
    return (tw_path_box){tw_min(a->left, b->left), tw_min(a->top, b->top), tw_max(a->right, b->right),
                         tw_max(a->bottom, b->bottom)};
}

tw_path_box twi_box_clip(const tw_path_box *box, tw_size source)
{
    tw_path_box out = {tw_max(box->left, 0), tw_max(box->top, 0), tw_min(box->right, source.w),
                       tw_min(box->bottom, source.h)};
    return twi_box_there(box) && twi_box_there(&out) ? out : (tw_path_box){.left = 0}; /* a NaN is nowhere */
}

int twi_by_value(const void *a, const void *b)
{
    double x = *(const double *)a, y = *(const double *)b;
    return TW_CMP(x, y);
}

static double median(double *values, size_t count)
{
    TW_SORT(values, count, twi_by_value);
    return count % 2 == 1 ? values[count / 2] : (values[count / 2 - 1] + values[count / 2]) / 2;
}

/* The four numbers of a box: centre and size. */
static void parts_of(const tw_path_box *box, double part[4])
{
    part[0] = (box->left + box->right) / 2;
    part[1] = (box->top + box->bottom) / 2;
    part[2] = box->right - box->left;
    part[3] = box->bottom - box->top;
}

/* A run of frames in which the thing is there. */
typedef struct run {
    const tw_path_box *boxes;
    size_t from, to;
} run;

/* Is one of the box's numbers further than 3 MAD + 20 px from the median of its neighbours? */
static bool is_outlier(const run *r, size_t t, size_t half)
{
    size_t from = t > r->from + half ? t - half : r->from, to = t + half + 1 < r->to ? t + half + 1 : r->to;
    double own[4], value[2 * MEDIAN_MOST + 1];
    parts_of(&r->boxes[t], own);
    for (size_t k = 0; k < 4; k++) {
        double part[4];
        for (size_t u = from; u < to; u++) {
            parts_of(&r->boxes[u], part);
            value[u - from] = part[k];
        }
        double middle = median(value, to - from);
        for (size_t u = from; u < to; u++)
            value[u - from] = fabs(value[u - from] - middle);
        if (fabs(own[k] - middle) > OUTLIER_MAD * median(value, to - from) + OUTLIER_PX)
            return true;
    }
    return false;
}

/* Straight line between the good boxes on both sides; at an end the nearest good one. */
static void bridge(tw_path_box *boxes, const bool *bad, const run *r)
{
    size_t before = SIZE_MAX;
    for (size_t t = r->from, after; t < r->to; t++) {
        if (!bad[t]) {
            before = t;
            continue;
        }
        for (after = t; after < r->to && bad[after]; after++)
            ;
        if (before == SIZE_MAX && after == r->to)
            return; /* nothing but outliers: they stay */
        const tw_path_box *a = before != SIZE_MAX ? &boxes[before] : &boxes[after];
        const tw_path_box *b = after < r->to ? &boxes[after] : a;
        double share = before != SIZE_MAX && after < r->to ? (double)(t - before) / (double)(after - before) : 0;
        boxes[t] = (tw_path_box){a->left + (b->left - a->left) * share, a->top + (b->top - a->top) * share,
                                 a->right + (b->right - a->right) * share, a->bottom + (b->bottom - a->bottom) * share};
    }
}

void twi_running_mean(tw_arena *scratch, double *at, size_t count, size_t numbers, size_t half)
{
    double *sum = TW_NEW_N(scratch, double, (count + 1) * numbers);
    for (size_t i = 0; i < count * numbers; i++)
        sum[i + numbers] = sum[i] + at[i];
    for (size_t i = 0; i < count; i++) {
        size_t h = i < half ? i : half;
        h = count - 1 - i < h ? count - 1 - i : h;
        for (size_t k = 0; k < numbers; k++)
            at[i * numbers + k] = (sum[(i + h + 1) * numbers + k] - sum[(i - h) * numbers + k]) / (double)(2 * h + 1);
    }
}

void twi_region_filter(tw_arena *scratch, tw_path_box *boxes, size_t n, double fps)
{
    size_t half = fps * MEDIAN_SECONDS < MEDIAN_MOST ? (size_t)tw_max(1, fps * MEDIAN_SECONDS) : MEDIAN_MOST;
    bool *bad = TW_NEW_N(scratch, bool, n);
    for (size_t from = 0, to; from < n; from = to) {
        for (to = from + 1; to < n && twi_box_there(&boxes[to]) == twi_box_there(&boxes[from]); to++)
            ;
        if (!twi_box_there(&boxes[from]))
            continue;
        run r = {boxes, from, to};
        for (size_t t = from; t < to; t++)
            bad[t] = is_outlier(&r, t, half);
        bridge(boxes, bad, &r);
        twi_running_mean(scratch, (double *)&boxes[from], to - from, 4, MEAN_HALF);
    }
}

tw_path_box *twi_region_boxes(tw_arena *arena, const tw_path_region *region, size_t n, tw_size source, double fps)
{
    tw_path_box *boxes = TW_NEW_N(arena, tw_path_box, n);
    bool any = false;
    for (size_t t = 0; t < n; t++) {
        boxes[t] = twi_box_clip(&region->boxes[t], source);
        any = any || twi_box_there(&boxes[t]);
    }
    if (any && region->detector)
        twi_region_filter(arena, boxes, n, fps);
    return any ? boxes : NULL;
}
