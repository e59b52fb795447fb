/* SPDX-License-Identifier: Apache-2.0
 *
 * What counts of a detector's boxes (plan.h, tw_region): its jumps and its jitter are nobody's wish. Written from that
 * definition and not shared with the solver, so that a fault in one of the two shows.
 */
#include "proof_internal.h"

#include <math.h>
#include <stdlib.h>

#define WILD_MAD 3.0
#define WILD_PX 20.0
#define HALF_SECOND 0.5
#define MOST_HALF 64
#define MEAN_HALF 4

enum { CX, CY, WIDE, HIGH, NUMBERS };

static void numbers_of(const tw_path_box *b, double out[NUMBERS])
{
    out[CX] = (b->left + b->right) / 2;
    out[CY] = (b->top + b->bottom) / 2;
    out[WIDE] = b->right - b->left;
    out[HIGH] = b->bottom - b->top;
}

static int ascending(const void *a, const void *b)
{
    double x = *(const double *)a, y = *(const double *)b;
    return TW_CMP(x, y);
}

static double median_of(double *values, size_t count)
{
    qsort(values, count, sizeof *values, ascending);
    return (values[(count - 1) / 2] + values[count / 2]) / 2;
}

/* One number of a box against those of its neighbours [from, to). */
static bool is_wild(const tw_path_box *boxes, int64_t from, int64_t to, int64_t at, int which)
{
    double values[2 * MOST_HALF + 1], own[NUMBERS], number[NUMBERS];
    size_t count = 0;
    numbers_of(&boxes[at], own);
    for (int64_t i = from; i < to; i++) {
        numbers_of(&boxes[i], number);
        values[count++] = number[which];
    }
    double middle = median_of(values, count);
    for (size_t i = 0; i < count; i++)
        values[i] = fabs(values[i] - middle);
    return fabs(own[which] - middle) > WILD_MAD * median_of(values, count) + WILD_PX;
}

static tw_path_box mixed(const tw_path_box *a, const tw_path_box *b, double share)
{
    return (tw_path_box){a->left + share * (b->left - a->left), a->top + share * (b->top - a->top),
                         a->right + share * (b->right - a->right), a->bottom + share * (b->bottom - a->bottom)};
}

/* Wild boxes become what lies between the sound ones beside them. */
static void mend(const tw_path_box *raw, const bool *wild, int64_t from, int64_t to, tw_path_box *out)
{
    int64_t before = -1;
    for (int64_t i = from; i < to; i++) {
        int64_t after = i;
        while (after < to && wild[after])
            after++;
        out[i] = raw[i];
        if (!wild[i])
            before = i;
        else if (before >= 0 && after < to)
            out[i] = mixed(&raw[before], &raw[after], (double)(i - before) / (double)(after - before));
        else if (before >= 0 || after < to)
            out[i] = raw[before >= 0 ? before : after];
    }
}

/* The mean of as many boxes on both sides, at most MEAN_HALF. */
static tw_path_box mean_at(const tw_path_box *boxes, int64_t from, int64_t to, int64_t at)
{
    int64_t half = MEAN_HALF;
    half = at - from < half ? at - from : half;
    half = to - 1 - at < half ? to - 1 - at : half;
    tw_path_box sum = {.left = 0};
    for (int64_t i = at - half; i <= at + half; i++) {
        sum.left += boxes[i].left;
        sum.top += boxes[i].top;
        sum.right += boxes[i].right;
        sum.bottom += boxes[i].bottom;
    }
    double n = (double)(2 * half + 1);
    return (tw_path_box){sum.left / n, sum.top / n, sum.right / n, sum.bottom / n};
}

tw_path_box *twi_proof_calm(tw_arena *arena, const tw_path_box *raw, int64_t frames, double fps)
{
    tw_path_box *calm = TW_NEW_N(arena, tw_path_box, (size_t)frames);
    tw_path_box *mended = TW_NEW_N(arena, tw_path_box, (size_t)frames);
    bool *wild = TW_NEW_N(arena, bool, (size_t)frames);
    int64_t half = (int64_t)tw_min(tw_max(fps * HALF_SECOND, 1), MOST_HALF);
    for (int64_t from = 0, to; from < frames; from = to) {
        bool there = raw[from].right > raw[from].left;
        for (to = from + 1; to < frames && (raw[to].right > raw[to].left) == there;)
            to++;
        for (int64_t i = from; i < to && there; i++)
            for (int which = 0; which < NUMBERS && !wild[i]; which++)
                wild[i] =
                    is_wild(raw, i - half > from ? i - half : from, i + half + 1 < to ? i + half + 1 : to, i, which);
        if (there)
            mend(raw, wild, from, to, mended);
        for (int64_t i = from; i < to && there; i++)
            calm[i] = mean_at(mended, from, to, i);
    }
    return calm;
}
