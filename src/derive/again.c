/* SPDX-License-Identifier: Apache-2.0
 *
 * What was solved before is not solved again. The solver's answer follows from what it is asked and nothing else, so a
 * question that is the same to the last bit has the answer it had: after a re-cut, nearly all of them.
 */
#include "derive_internal.h"

#include <stddef.h>
#include <string.h>

/* ---- the same question ----------------------------------------------------------------------------------- */

static bool same_bytes(const void *a, const void *b, size_t count, size_t size)
{
    return count == 0 || memcmp(a, b, count * size) == 0;
}

static bool same_region(const tw_path_region *a, const tw_path_region *b, int64_t frames)
{
    return a->must == b->must && a->detector == b->detector && a->look == b->look && a->has_focus == b->has_focus &&
           same_bytes(&a->weight, &b->weight, 1, sizeof a->weight) &&
           same_bytes(&a->focus_x, &b->focus_x, 1, sizeof a->focus_x) &&
           same_bytes(&a->focus_y, &b->focus_y, 1, sizeof a->focus_y) &&
           same_bytes(a->boxes, b->boxes, (size_t)frames, sizeof *a->boxes);
}

static bool same_hand(const tw_path_hand *a, const tw_path_hand *b)
{
    return a->from == b->from && a->to == b->to && a->key_count == b->key_count &&
           same_bytes(a->keys, b->keys, a->key_count, sizeof *a->keys);
}

static bool same_params(const tw_path_params *a, const tw_path_params *b)
{
    return a->no_settle == b->no_settle && same_bytes(a, b, 1, offsetof(tw_path_params, no_settle));
}

static bool same_frame(const tw_path_job *a, const tw_path_job *b)
{
    return a->first_frame == b->first_frame && a->frames == b->frames && a->source.w == b->source.w &&
           a->source.h == b->source.h && a->delivery.w == b->delivery.w && a->delivery.h == b->delivery.h &&
           a->moves == b->moves && a->zoom == b->zoom && same_bytes(&a->fps, &b->fps, 1, sizeof a->fps) &&
           same_bytes(&a->squeeze, &b->squeeze, 1, sizeof a->squeeze) &&
           same_bytes(&a->max_scale, &b->max_scale, 1, sizeof a->max_scale) &&
           same_bytes(&a->inset, &b->inset, 1, sizeof a->inset) &&
           same_bytes(&a->subject_fill, &b->subject_fill, 1, sizeof a->subject_fill) &&
           same_params(&a->params, &b->params);
}

/* Every field of tw_path_job is looked at. */
bool twi_derive_same_job(const tw_path_job *a, const tw_path_job *b)
{
    if (!same_frame(a, b) || a->region_count != b->region_count || a->hand_count != b->hand_count ||
        (a->shake == NULL) != (b->shake == NULL))
        return false;
    for (size_t i = 0; i < a->region_count; i++)
        if (!same_region(&a->regions[i], &b->regions[i], a->frames))
            return false;
    for (size_t i = 0; i < a->hand_count; i++)
        if (!same_hand(&a->hands[i], &b->hands[i]))
            return false;
    return a->shake == NULL || same_bytes(a->shake, b->shake, (size_t)a->frames, sizeof *a->shake);
}

/* ---- where to look --------------------------------------------------------------------------------------- */

/* Tells most questions apart: the length, the shape, and where things are in the first and the last frame. */
static uint64_t sign_of(const tw_path_job *job)
{
    tw_path_box ends[2] = {{.left = 0}, {.left = 0}};
    if (job->region_count > 0) {
        ends[0] = job->regions[0].boxes[0];
        ends[1] = job->regions[0].boxes[job->frames - 1];
    }
    const int64_t counts[] = {job->first_frame, job->frames, job->delivery.w, job->delivery.h,
                              (int64_t)job->region_count};
    return tw_str_hash((tw_str){(const char *)ends, sizeof ends}) ^
           tw_str_hash((tw_str){(const char *)counts, sizeof counts}) * 31;
}

struct twi_solved {
    twi_answers answers; /* by sign, then as they were asked */
};

static int by_sign(const void *a, const void *b)
{
    const twi_answer *x = a, *y = b;
    return tw_then(TW_CMP(x->sign, y->sign), tw_then(TW_CMP(x->delivery, y->delivery), TW_CMP(x->shots, y->shots)));
}

struct twi_solved *twi_derive_remember(tw_arena *arena, const twi_answers *answers)
{
    struct twi_solved *solved = TW_NEW(arena, struct twi_solved);
    *solved = (struct twi_solved){*answers};
    TW_SORT(answers->at, answers->len, by_sign);
    return solved;
}

static const twi_answer *first_of(const struct twi_solved *solved, uint64_t sign)
{
    size_t low = 0, high = solved->answers.len;
    while (low < high) {
        size_t middle = low + (high - low) / 2;
        if (solved->answers.at[middle].sign < sign)
            low = middle + 1;
        else
            high = middle;
    }
    return solved->answers.at + low;
}

#define TRIES 8 /* questions of one sign that are asked again to be compared */

void twi_derive_solve(tw_arena *arena, tw_arena *scratch, const tw_derived *like, const tw_path_job *job,
                      twi_answer *out)
{
    out->sign = sign_of(job);
    const struct twi_solved *solved = like != NULL ? like->solved : NULL;
    const twi_answer *a = solved != NULL ? first_of(solved, out->sign) : NULL;
    for (int i = 0; a != NULL && i < TRIES && a < solved->answers.at + solved->answers.len && a->sign == out->sign;
         i++, a++) {
        const twi_asking asking = {like->plan, like->master, a->delivery};
        twi_ask ask;
        twi_derive_ask(scratch, &asking, a->shots, &ask);
        if (twi_derive_same_job(&ask.job, job)) {
            out->path = a->path;
            return;
        }
    }
    tw_path_solve(arena, job, &out->path);
}
