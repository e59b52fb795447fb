/* SPDX-License-Identifier: Apache-2.0
 *
 * What two shots have in common. Positions are seconds as labels count them; whole frames come back by rounding.
 */
#include "recut_internal.h"

#include <math.h>

#define SAME_STEP 1e-6 /* seconds of source per record frame: far below a tenth of a percent of any speed */
#define TOUCHING 1e-3  /* seconds: well under a frame of 120 a second */

twi_span twi_recut_span(const tw_shot *shot)
{
    double frames = (double)shot->frames;
    twi_span span = {shot->start, shot->start + shot->step * frames};
    if (shot->step < 0) /* the first frame shown is the last of the span */
        span = (twi_span){shot->start + shot->step * (frames - 1), shot->start - shot->step};
    span.high = tw_max(span.high, span.low + 4 * TOUCHING); /* what stays, or almost, shows a frame all the same */
    return span;
}

static bool same_step(double a, double b)
{
    return fabs(a - b) < SAME_STEP;
}

bool twi_recut_linked(const tw_shot *old_shot, const tw_shot *new_shot, bool *retimed)
{
    if (old_shot->media != new_shot->media)
        return false;
    if (retimed != NULL)
        *retimed = !same_step(old_shot->step, new_shot->step);
    twi_span a = twi_recut_span(old_shot), b = twi_recut_span(new_shot);
    return a.low + TOUCHING < b.high && b.low + TOUCHING < a.high;
}

/* Record frames that a stretch of source takes, played forwards in the direction of the shot. */
static int64_t in_record(double source, double step)
{
    if (step >= 0 && step <= 0)
        return 0;
    double frames = tw_clamp(source / step, -1e15, 1e15); /* of a step next to nothing */
    /* half frames are whole numbers plus a half but for noise: away from zero */
    return (int64_t)round(frames + (frames < 0 ? -1e-6 : 1e-6));
}

int64_t twi_recut_head(const tw_shot *old_shot, const tw_shot *new_shot)
{
    double moved = old_shot->start - new_shot->start;
    return fabs(moved) < TOUCHING ? 0 : in_record(moved, new_shot->step);
}

static double end_of(const tw_shot *shot)
{
    return shot->start + shot->step * (double)shot->frames;
}

int64_t twi_recut_tail(const tw_shot *old_shot, const tw_shot *new_shot)
{
    if (new_shot->step >= 0 && new_shot->step <= 0)
        return new_shot->frames - old_shot->frames;
    double moved = end_of(new_shot) - end_of(old_shot);
    return fabs(moved) < TOUCHING ? 0 : in_record(moved, new_shot->step);
}

int64_t twi_recut_trim_price(int64_t frames)
{
    if (frames == 0)
        return 0;
    int64_t far = frames < 0 ? -frames : frames;
    return TW_PRICE_TRIM + (far < 499 ? far : 499);
}

bool twi_recut_follows(const tw_shot *a, const tw_shot *b, int64_t *missing)
{
    if (a->media != b->media || !same_step(a->step, b->step) || (a->step >= 0 && a->step <= 0))
        return false;
    double apart = (b->start - end_of(a)) * (a->step < 0 ? -1 : 1);
    if (apart < -TOUCHING)
        return false;
    *missing = apart < TOUCHING ? 0 : in_record(b->start - end_of(a), a->step);
    return true;
}
