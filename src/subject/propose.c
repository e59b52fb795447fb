/* SPDX-License-Identifier: Apache-2.0
 *
 * What was found frame by frame becomes things that stay: each finding goes to the thing it overlaps most, where that
 * is expected by its speed; what is not expected begins a new one.
 */
#include "boxes.h"

#include <math.h>
#include <string.h>

#include "base/ext.h"

#define PATIENCE 24   /* frames a thing may be out of sight */
#define SAME 0.2      /* least overlap with where it was expected */
#define LEAP 1.2      /* times its size: what is as far off and as large may be the same */
#define LIKE_SIZE 1.6 /* areas differ by no more than this, then */
#define CATCH_UP 0.3  /* how fast the speed follows what was seen */
#define CALM 4        /* frames to either side over which boxes are evened out */
#define ONE_THING 0.3 /* mean overlap of what was found for two reasons and is the same */
#define LARGE 0.02    /* of the picture: beyond this, size makes nothing more interesting */

typedef struct sight {
    int64_t frame;
    tw_spot box;
} sight;

typedef struct thing {
    tw_spot box; /* where it is expected in the frame that was begun */
    double vx, vy;
    int64_t last;
    tw_reason reason;
    sight *sights;
    size_t count, cap;
} thing;

struct twi_proposals {
    tw_arena *arena;
    int w, h;
    int64_t frame; /* number of the one begun; -1 at first */
    int64_t looked[TW_REASONS];
    thing *things;
    size_t count, cap;
    size_t awake; /* things before this are not looked for any more */
};

twi_proposals *twi_proposals_new(tw_arena *arena, int w, int h)
{
    twi_proposals *p = TW_NEW(arena, twi_proposals);
    *p = (twi_proposals){.arena = arena, .w = w, .h = h, .frame = -1};
    return p;
}

static bool asleep(const twi_proposals *p, const thing *t)
{
    return p->frame - t->last > PATIENCE;
}

void twi_proposals_frame(twi_proposals *p, const tw_camera *camera)
{
    p->frame++;
    while (p->awake < p->count && asleep(p, &p->things[p->awake]))
        p->awake++;
    for (size_t i = p->awake; i < p->count; i++) {
        thing *t = &p->things[i];
        double x = t->box.left + t->box.width / 2, y = t->box.top + t->box.height / 2;
        tw_camera_point(camera, p->w, p->h, &x, &y);
        t->box.left = x + t->vx - t->box.width / 2;
        t->box.top = y + t->vy - t->box.height / 2;
    }
}

/* ---- findings to things ---------------------------------------------------------------------------------- */

/* How well a finding fits where a thing is expected: more than 1 where they overlap; less where it could have got there
 * by a leap, which is believed only of a thing not found in this frame yet. */
static double likeness(const twi_proposals *p, const thing *t, const tw_spot *box)
{
    const double share = tw_spot_overlap(&t->box, box);
    if (share > SAME)
        return 1 + share;
    const double area = t->box.width * t->box.height, other = box->width * box->height;
    if (t->last == p->frame || area > LIKE_SIZE * other || other > LIKE_SIZE * area)
        return 0;
    const double x = t->box.left + t->box.width / 2 - box->left - box->width / 2;
    const double y = t->box.top + t->box.height / 2 - box->top - box->height / 2;
    return 1 - sqrt(x * x + y * y) / (LEAP * sqrt(other));
}

static thing *expected(const twi_proposals *p, tw_reason reason, const tw_spot *box)
{
    thing *best = NULL;
    double most = 0;
    for (size_t i = p->awake; i < p->count; i++) {
        thing *t = &p->things[i];
        if (t->reason != reason || asleep(p, t))
            continue;
        const double score = likeness(p, t, box);
        if (score > most) {
            most = score;
            best = t;
        }
    }
    return best;
}

static thing *begin(twi_proposals *p, tw_reason reason, const tw_spot *box)
{
    thing *t = &TW_PUSH(p->arena, p->things, p->count, p->cap);
    *t = (thing){.box = *box, .last = p->frame, .reason = reason};
    return t;
}

static void see(twi_proposals *p, thing *t, const tw_spot *box)
{
    const double gone = (double)(p->frame - t->last);
    if (gone > 0) { /* what the expectation was off by is speed */
        t->vx += CATCH_UP * (box->left + box->width / 2 - t->box.left - t->box.width / 2) / gone;
        t->vy += CATCH_UP * (box->top + box->height / 2 - t->box.top - t->box.height / 2) / gone;
    }
    t->box = *box;
    t->last = p->frame;
    if (t->count > 0 && t->sights[t->count - 1].frame == p->frame)
        return; /* of two findings for one thing the first, the surer, counts */
    TW_PUSH(p->arena, t->sights, t->count, t->cap) = (sight){p->frame, *box};
}

void twi_proposals_add(twi_proposals *p, tw_reason reason, const tw_spot *found, size_t count)
{
    TW_ASSERT(p->frame >= 0);
    p->looked[reason]++;
    for (size_t i = 0; i < count; i++) {
        thing *t = expected(p, reason, &found[i]);
        if (t == NULL)
            t = begin(p, reason, &found[i]);
        see(p, t, &found[i]);
    }
}

/* ---- what is proposed ------------------------------------------------------------------------------------ */

/* A box for each frame, straight between those it was seen in. */
static tw_spot *filled(tw_arena *arena, const thing *t, size_t frames)
{
    tw_spot *out = TW_NEW_N(arena, tw_spot, frames);
    for (size_t i = 0; i + 1 < t->count; i++) {
        const sight *a = &t->sights[i], *b = a + 1;
        for (int64_t f = a->frame; f < b->frame; f++)
            out[f - t->sights[0].frame] =
                tw_spot_between(&a->box, &b->box, (double)(f - a->frame) / (double)(b->frame - a->frame));
    }
    out[frames - 1] = t->sights[t->count - 1].box;
    for (size_t i = 0; i < frames; i++)
        out[i].sure = 0;
    for (size_t i = 0; i < t->count; i++)
        out[t->sights[i].frame - t->sights[0].frame].sure = 1;
    return out;
}

static tw_spot *calmed(tw_arena *arena, const tw_spot *boxes, size_t frames)
{
    tw_spot *out = TW_NEW_N(arena, tw_spot, frames);
    for (size_t i = 0; i < frames; i++) {
        size_t reach = CALM; /* the same to both sides, so that the ends do not lag */
        reach = i < reach ? i : reach;
        reach = frames - 1 - i < reach ? frames - 1 - i : reach;
        tw_spot sum = {0, 0, 0, 0, boxes[i].sure};
        for (size_t k = i - reach; k <= i + reach; k++) {
            sum.left += boxes[k].left;
            sum.top += boxes[k].top;
            sum.width += boxes[k].width;
            sum.height += boxes[k].height;
        }
        const double n = (double)(2 * reach + 1);
        out[i] = (tw_spot){sum.left / n, sum.top / n, sum.width / n, sum.height / n, sum.sure};
    }
    return out;
}

/* How much each reason counts for, when it holds in every frame; from memory of what editors hold first. */
static const double worth[TW_REASONS] = {0.9, 0.7, 0.8, 0.3};

static double mean_area(const tw_proposal *o)
{
    double sum = 0;
    for (int64_t i = 0; i <= o->last - o->first; i++)
        sum += o->boxes[i].width * o->boxes[i].height;
    return sum / (double)(o->last - o->first + 1);
}

static void weigh(const twi_proposals *p, tw_proposal *o)
{
    double dull = 1;
    for (int r = 0; r < TW_REASONS; r++) {
        if (p->looked[r] > 0)
            dull *= 1 - worth[r] * (double)o->seen[r] / (double)p->looked[r];
    }
    const double size = mean_area(o) / (LARGE * p->w * p->h);
    o->score = (1 - dull) * (0.5 + 0.5 * (size < 1 ? size : 1));
}

static int by_score(const void *a, const void *b)
{
    const tw_proposal *x = a, *y = b;
    return tw_then(TW_CMP(y->score, x->score), TW_CMP(x->first, y->first));
}

/* Seen in less than half of the frames looked at while it was there? */
static bool too_seldom(const twi_proposals *p, const thing *t, int64_t frames)
{
    return (double)t->count * 2 * (double)(p->frame + 1) < (double)frames * (double)p->looked[t->reason];
}

/* Is b, found for another reason, the thing a is? Where both are there, half of b's frames at least, they overlap. */
static bool same_thing(const tw_proposal *a, const tw_proposal *b)
{
    const int64_t first = a->first > b->first ? a->first : b->first, last = a->last < b->last ? a->last : b->last;
    double sum = 0;
    for (int64_t f = first; f <= last; f++)
        sum += tw_spot_overlap(&a->boxes[f - a->first], &b->boxes[f - b->first]);
    return a->seen[b->reason] == 0 && (last - first + 1) * 2 >= b->last - b->first + 1 &&
           sum > ONE_THING * (double)(last - first + 1);
}

/* One thing found for several reasons is one proposal, boxed as its best reason has it. */
static size_t joined(const twi_proposals *p, tw_proposal *list, size_t count)
{
    size_t kept = 0;
    for (size_t i = 0; i < count; i++) {
        size_t j = 0;
        while (j < kept && !same_thing(&list[j], &list[i]))
            j++;
        if (j == kept) {
            list[kept++] = list[i];
            continue;
        }
        list[j].seen[list[i].reason] = list[i].seen[list[i].reason];
        weigh(p, &list[j]);
    }
    return kept;
}

/* What merely stands out is for shots in which there is nothing else. */
static size_t without_idle(tw_proposal *list, size_t count)
{
    size_t kept = 0;
    for (size_t i = 0; i < count; i++) {
        if (list[i].reason != TW_REASON_STANDS_OUT)
            list[kept++] = list[i];
    }
    return kept > 0 ? kept : count;
}

size_t twi_proposals_rank(tw_arena *arena, const twi_proposals *p, int64_t least, tw_proposal **out)
{
    tw_proposal *list = TW_NEW_N(arena, tw_proposal, p->count);
    size_t count = 0;
    for (size_t i = 0; i < p->count; i++) {
        const thing *t = &p->things[i];
        const int64_t first = t->sights[0].frame, last = t->sights[t->count - 1].frame, frames = last - first + 1;
        if (frames < least || too_seldom(p, t, frames))
            continue;
        tw_proposal *o = &list[count++];
        *o = (tw_proposal){.reason = t->reason, .first = first, .last = last};
        o->boxes = calmed(arena, filled(arena, t, (size_t)frames), (size_t)frames);
        memcpy(o->looked, p->looked, sizeof o->looked);
        o->seen[t->reason] = (int64_t)t->count;
        weigh(p, o);
    }
    TW_SORT(list, count, by_score);
    count = without_idle(list, joined(p, list, count));
    TW_SORT(list, count, by_score);
    *out = list;
    return count;
}

tw_str tw_proposal_words(tw_arena *arena, const tw_proposal *p)
{
    static const char *const words[TW_REASONS] = {"face", "upper body", "moves on its own", "stands out"};
    tw_buf text = {.arena = arena};
    tw_buf_addf(&text, "%s, seen in %lld of %lld frames", words[p->reason], (long long)p->seen[p->reason],
                (long long)p->looked[p->reason]);
    for (int r = 0; r < TW_REASONS; r++) {
        if (r != (int)p->reason && p->seen[r] * 4 >= p->looked[r] && p->seen[r] > 0)
            tw_buf_addf(&text, "; %s", words[r]);
    }
    return tw_buf_str(&text);
}
