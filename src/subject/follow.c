/* SPDX-License-Identifier: Apache-2.0
 *
 * One box from frame to frame: the points inside it say roughly where it went, how it turned and how its size changed;
 * the filters say exactly, and whether it is still the same thing.
 *
 * The numbers below were chosen by what they did on the films made for the tests and on the sets `truth` and `held` of
 * fixtures/subject, which are therefore no independent judges of them (`last` is); no source.
 */
#include "subject_internal.h"

#include <math.h>

#define PAD 2.5         /* the view is this many times as long as the box, by area */
#define PAD_LONG 1.6    /* and at least so many times its longer side */
#define LEARN 0.03      /* share of the newest frame in what is known */
#define RELY 0.4        /* share of points that agree, from which on they are believed */
#define LEAK 0.98       /* how far an angle lasts to the next frame if nothing confirms it */
#define SLIGHT 0.1      /* radians that do not widen the box: limbs swing */
#define FADE 0.97       /* speed of what is not seen, per frame */
#define YOUNG 8         /* frames in which everything is learnt at once */
#define ENOUGH_CLEAR 25 /* more than that says no more */

/* Quality of a peak, 1: as ever. */
#define LEAST 0.2  /* below: it is something else */
#define SURE 0.35  /* from here on: learn from it */
#define AGAIN 0.35 /* what was lost must show so much to be taken for found */

typedef struct pair {
    double x, y;
} pair;

struct tw_follower {
    twi_place *place;
    twi_ladder *size, *turn;
    twi_past *past;
    double w, h;                /* of the box at first */
    pair at;                    /* its middle */
    double grown, low, high;    /* its size against that at first, with bounds */
    double angle, cosine, sine; /* how far it has turned */
    pair speed, slow;           /* its own, without the camera's: of late and over a longer time */
    double height, clear;       /* of the peak, as is usual */
    int hidden, frames;
};

static void set_angle(tw_follower *f, double angle)
{
    f->angle = tw_clamp(angle, -1.5, 1.5);
    twi_angle(f->angle, &f->cosine, &f->sine);
}

static twi_view place_view(const tw_follower *f, pair at)
{
    double side = PAD * sqrt(f->w * f->h), least = PAD_LONG * (f->w > f->h ? f->w : f->h);
    return (twi_view){at.x, at.y, (side > least ? side : least) * f->grown / TWI_VIEW, 1, f->cosine, f->sine};
}

static twi_view box_view(const tw_follower *f)
{
    return (twi_view){f->at.x, f->at.y, f->w * f->grown / TWI_LADDER_VIEW, f->h / f->w, f->cosine, f->sine};
}

tw_follower *tw_follower_new(tw_arena *arena, const tw_pyramid *frame, const tw_spot *box)
{
    tw_follower *f = TW_NEW(arena, tw_follower);
    f->place = twi_place_new(arena);
    f->size = twi_ladder_new(arena, false);
    f->turn = twi_ladder_new(arena, true);
    f->past = twi_past_new(arena, frame->level[0].w, frame->level[0].h);
    tw_follower_again(f, frame, box);
    return f;
}

void tw_follower_again(tw_follower *f, const tw_pyramid *frame, const tw_spot *box)
{
    *f = (tw_follower){.place = f->place, .size = f->size, .turn = f->turn, .past = f->past};
    twi_past_clear(f->past);
    f->w = box->width > 4 ? box->width : 4;
    f->h = box->height > 4 ? box->height : 4;
    f->at = (pair){box->left + box->width / 2, box->top + box->height / 2};
    f->low = tw_clamp(6 / (f->w < f->h ? f->w : f->h), 0.2, 1); /* not below 6 pixels */
    f->high = 5;
    f->grown = f->cosine = 1;
    f->height = 0.6;
    f->clear = 20;
    twi_view place = place_view(f, f->at), inside = box_view(f);
    twi_place_learn(f->place, frame, &place, 1);
    twi_ladder_learn(f->size, frame, &inside, 1);
    twi_ladder_learn(f->turn, frame, &inside, 1);
    twi_past_keep(f->past, frame, box);
}

/* ---- what is seen ---------------------------------------------------------------------------------------- */

/* The box, upright. What is turned fills a wider one: by how much depends on its shape, so the middle between an
 * ellipse and a rectangle is taken. */
static tw_spot spot(const tw_follower *f, double sure)
{
    double c, s, fw = f->w * f->grown, fh = f->h * f->grown;
    twi_angle(tw_clamp(fabs(f->angle) - SLIGHT, 0, 1.5), &c, &s);
    double w = (fw * c + fh * s + sqrt(fw * c * fw * c + fh * s * fh * s)) / 2;
    double h = (fh * c + fw * s + sqrt(fh * c * fh * c + fw * s * fw * s)) / 2;
    return (tw_spot){f->at.x - w / 2, f->at.y - h / 2, w, h, sure};
}

/* Moves to the peak, and looks again when that was far from the middle of the view. */
static twi_peak seek(tw_follower *f, const tw_pyramid *now, pair *at)
{
    twi_peak peak;
    for (int round = 0; round < 2; round++) {
        twi_view view = place_view(f, *at);
        peak = twi_place_find(f->place, now, &view);
        at->x += (peak.x * f->cosine - peak.y * f->sine) * view.step;
        at->y += (peak.x * f->sine + peak.y * f->cosine) * view.step;
        if (fabs(peak.x) + fabs(peak.y) < 4 * TWI_CELL)
            break;
    }
    return peak;
}

static double quality(const tw_follower *f, const twi_peak *peak)
{
    double most = f->clear < ENOUGH_CLEAR ? f->clear : ENOUGH_CLEAR;
    return tw_clamp(peak->height / f->height, 0, 1.2) * tw_clamp(peak->clear / most, 0, 1.2);
}

/* Is it the subject, and not what happens to stand there? */
static bool trusted(const tw_follower *f, const tw_pyramid *now, const twi_peak *peak, pair at, double least)
{
    double w = f->w * f->grown, h = f->h * f->grown;
    tw_spot box = {at.x - w / 2, at.y - h / 2, w, h, 1};
    return quality(f, peak) > least && !twi_past_shows(f->past, now, &box);
}

/* ---- what is learnt -------------------------------------------------------------------------------------- */

/* The filters learn in turn, so that no frame costs much; all of them while there is little to go by. */
static void learn(tw_follower *f, const tw_pyramid *now)
{
    twi_view place = place_view(f, f->at), inside = box_view(f);
    bool young = f->frames < YOUNG;
    if (young || f->frames % 2 == 0)
        twi_place_learn(f->place, now, &place, young ? LEARN : 2 * LEARN);
    if (young || f->frames % 4 == 1)
        twi_ladder_learn(f->size, now, &inside, LEARN);
    if (young || f->frames % 4 == 3)
        twi_ladder_learn(f->turn, now, &inside, LEARN);
}

/* Size and angle by their filters, in turn. */
static void measure(tw_follower *f, const tw_pyramid *now)
{
    twi_view inside = box_view(f);
    if (f->frames % 2 == 0)
        f->grown = tw_clamp(f->grown * twi_ladder_find(f->size, now, &inside), f->low, f->high);
    else
        set_angle(f, f->angle + 0.5 * twi_ladder_find(f->turn, now, &inside));
}

static void approach(pair *v, pair to, double rate)
{
    v->x += rate * (to.x - v->x);
    v->y += rate * (to.y - v->y);
}

/* The subject is at `at`; without a movement of its own it would be at `still`. */
static void settle(tw_follower *f, const tw_pyramid *now, const twi_peak *peak, pair at, pair still)
{
    pair moved = {at.x - still.x, at.y - still.y};
    double rate = f->frames < YOUNG ? 0.2 : 0.05;
    if (f->hidden == 0) {
        approach(&f->speed, moved, 0.4);
        approach(&f->slow, moved, f->frames < YOUNG ? 0.3 : 0.1);
    }
    f->at = at;
    f->hidden = 0;
    measure(f, now);
    if (quality(f, peak) > SURE)
        learn(f, now);
    f->height += rate * (peak->height - f->height);
    f->clear += rate * (peak->clear - f->clear);
}

/* ---- what is lost ---------------------------------------------------------------------------------------- */

/* Looks where it should be, and in turn at eight places around, further off every time. */
static bool find_again(tw_follower *f, const tw_pyramid *now, pair still)
{
    static const pair around[8] = {{1, 0},     {-1, 0},      {0, 0.7},    {0, -0.7},
                                   {0.7, 0.7}, {-0.7, -0.7}, {-0.7, 0.7}, {0.7, -0.7}};
    double w = now->level[0].w, h = now->level[0].h;
    double far = place_view(f, f->at).step * TWI_VIEW * 0.35 * (1 + f->hidden / 4 % 3);
    twi_peak best = {0, 0, 0, 0};
    pair best_at = f->at;
    for (int i = 0; i < 3; i++) {
        pair way = around[(2 * f->hidden + i) % 8], at = f->at;
        if (i > 0)
            at = (pair){tw_clamp(at.x + way.x * far, 0, w), tw_clamp(at.y + way.y * far, 0, h)};
        twi_peak peak = seek(f, now, &at);
        if (peak.height > best.height && trusted(f, now, &peak, at, AGAIN)) {
            best = peak;
            best_at = at;
        }
    }
    if (best.height > 0)
        settle(f, now, &best, best_at, still);
    return best.height > 0;
}

/* It goes on as it went, at most to the edge of the picture. What was learnt of late may be what hides it. */
static tw_spot unseen(tw_follower *f, const tw_pyramid *now, pair still)
{
    if (f->hidden++ == 0) {
        twi_place_recall(f->place);
        f->speed = f->slow;
    }
    f->at.x = tw_clamp(still.x + f->speed.x, 0, now->level[0].w);
    f->at.y = tw_clamp(still.y + f->speed.y, 0, now->level[0].h);
    f->speed.x *= FADE;
    f->speed.y *= FADE;
    bool found = f->hidden > 1 && find_again(f, now, still);
    return spot(f, found ? 0.5 : 0);
}

/* ---- a step ---------------------------------------------------------------------------------------------- */

/* As the points have it; half the change of size, since that is what they know worst. */
static void take_over(tw_follower *f, const twi_move *move)
{
    bool rely = move->share > RELY;
    set_angle(f, f->angle * LEAK + (rely ? tw_clamp(move->turn, -0.2, 0.2) : 0));
    if (rely)
        f->grown = tw_clamp(f->grown * tw_clamp((1 + move->grown) / 2, 0.9, 1.1), f->low, f->high);
}

tw_spot tw_follower_step(tw_follower *f, const tw_pyramid *before, const tw_pyramid *now, const tw_camera *camera)
{
    pair still = f->at, at, guess;
    f->frames++;
    twi_past_step(f->past, camera);
    tw_camera_point(camera, now->level[0].w, now->level[0].h, &still.x, &still.y);
    if (f->hidden > 0)
        return unseen(f, now, still);
    guess = (pair){still.x + f->speed.x, still.y + f->speed.y};
    double w = f->w * f->grown, h = f->h * f->grown, angle = f->angle, grown = f->grown;
    tw_spot box = {f->at.x - w / 2, f->at.y - h / 2, w, h, 1};
    twi_move move = twi_inner(before, now, &box, guess.x - f->at.x, guess.y - f->at.y);
    if (move.share > RELY)
        guess = (pair){move.x, move.y};
    take_over(f, &move);
    at = guess;
    twi_peak peak = seek(f, now, &at);
    /* What leaps must be all the more like the subject. */
    double leap = fabs(at.x - guess.x) / w + fabs(at.y - guess.y) / h;
    if (!trusted(f, now, &peak, at, LEAST * (1 + leap))) {
        set_angle(f, angle);
        f->grown = grown;
        return unseen(f, now, still);
    }
    settle(f, now, &peak, at, still);
    tw_spot found = spot(f, tw_clamp(quality(f, &peak), 0.1, 1));
    twi_past_keep(f->past, now, &found);
    return found;
}
