/* SPDX-License-Identifier: Apache-2.0
 *
 * Both passes over a clip. Backwards, pictures come in runs: the run that ends where the pass stands is read forwards
 * into what is held, and gone through from its end. Runs share a frame, since a step needs two.
 */
#include <tallwide/follow.h>

#include "base/ext.h"

#include <string.h>

#define MOST_SUBJECTS 64
#define LEAST_HELD 8

typedef struct walk {
    tw_arena *arena;
    const tw_follow_ask *ask;
    tw_followed *out;
    uint8_t *held; /* room for `room` pictures: picture i lies at i % room */
    int64_t room, held_from, held_to;
    tw_pyramid pyramid[2];
    tw_follower **followers;
    bool *active;
    tw_spot **forth, **back; /* by subject and frame */
} walk;

/* ---- pictures -------------------------------------------------------------------------------------------- */

static size_t picture_size(const walk *k)
{
    return (size_t)k->ask->pictures->w * (size_t)k->ask->pictures->h;
}

static uint8_t *slot(const walk *k, int64_t i)
{
    return k->held + (size_t)(i % k->room) * picture_size(k);
}

/* The picture's pyramid takes the place of the one two steps ago. */
static tw_pyramid *show(walk *k, int64_t i)
{
    tw_pyramid *p = &k->pyramid[i & 1];
    int w = k->ask->pictures->w;
    tw_pyramid_fill(p, &(tw_plane){slot(k, i), w, k->ask->pictures->h, (size_t)w});
    return p;
}

static void count_frames(const walk *k, int64_t frames)
{
    if (k->ask->progress != NULL)
        k->ask->progress(k->ask->progress_context, frames);
}

/* Reads one more into its slot; *got false at the end. */
static tw_status take(walk *k, int64_t i, bool *got)
{
    const uint8_t *luma = NULL;
    tw_status status = k->ask->pictures->next(k->ask->pictures->context, &luma);
    *got = status == TW_OK && luma != NULL;
    if (*got)
        memcpy(slot(k, i), luma, picture_size(k));
    return status;
}

/* Makes sure that `from` .. `to` are held. */
static tw_status hold(walk *k, int64_t from, int64_t to)
{
    if (from >= k->held_from && to <= k->held_to)
        return TW_OK;
    const tw_follow_pictures *p = k->ask->pictures;
    tw_status status = p->open(p->context, from, to - from + 1);
    for (int64_t i = from; i <= to && status == TW_OK; i++) {
        bool got;
        status = take(k, i, &got);
        if (status == TW_OK && !got)
            status = TW_ERR_IO; /* it was there a moment ago */
    }
    k->held_from = from;
    k->held_to = to;
    return status;
}

/* ---- a step ---------------------------------------------------------------------------------------------- */

static const tw_follow_key *key_at(const tw_follow_subject *s, int64_t frame)
{
    for (size_t i = 0; i < s->key_count; i++)
        if (s->keys[i].frame == frame)
            return &s->keys[i];
    return NULL;
}

/* All subjects from one picture to the next, in either direction; `before` NULL: there is nothing to come from. */
static void step(walk *k, int64_t i, const tw_pyramid *before, const tw_pyramid *now, const tw_camera *camera,
                 tw_spot **spots)
{
    for (size_t s = 0; s < k->ask->subject_count; s++) {
        const tw_follow_key *key = key_at(&k->ask->subjects[s], i);
        k->active[s] = k->active[s] && before != NULL;
        if (key != NULL) {
            if (k->followers[s] == NULL)
                k->followers[s] = tw_follower_new(k->arena, now, &key->box);
            else
                tw_follower_again(k->followers[s], now, &key->box);
            spots[s][i] = key->box;
            spots[s][i].sure = 1;
            k->active[s] = true;
        } else if (k->active[s]) {
            spots[s][i] = tw_follower_step(k->followers[s], before, now, camera);
        }
    }
}

/* Where the subjects were, so that the camera is not told by them. */
static size_t leave_out(const walk *k, int64_t i, tw_spot boxes[MOST_SUBJECTS])
{
    size_t count = 0;
    for (size_t s = 0; s < k->ask->subject_count; s++)
        if (k->forth[s][i].width > 0)
            boxes[count++] = k->forth[s][i];
    return count;
}

/* ---- forwards -------------------------------------------------------------------------------------------- */

static void go_forth(walk *k, int64_t i)
{
    tw_pyramid *now = show(k, i), *before = i > 0 ? &k->pyramid[(i + 1) & 1] : NULL;
    tw_followed *out = k->out;
    out->cameras[i] = TW_CAMERA_STILL;
    out->cuts[i] = before != NULL && tw_cut_between(before, now);
    if (out->cuts[i])
        before = NULL;
    if (before != NULL) {
        tw_spot boxes[MOST_SUBJECTS];
        size_t count = leave_out(k, i - 1, boxes);
        out->cameras[i] = tw_camera_between(before, now, boxes, count);
    }
    step(k, i, before, now, &out->cameras[i], k->forth);
}

static tw_status forwards(walk *k)
{
    const tw_follow_pictures *p = k->ask->pictures;
    tw_status status = p->open(p->context, 0, k->ask->count);
    for (int64_t i = 0; i < k->ask->count && status == TW_OK; i++) {
        bool got;
        status = take(k, i, &got);
        if (status != TW_OK || !got)
            break;
        go_forth(k, i);
        k->out->count = i + 1;
        k->held_to = i;
        k->held_from = i + 1 > k->room ? i + 1 - k->room : 0;
        count_frames(k, 1);
    }
    return status;
}

/* ---- backwards ------------------------------------------------------------------------------------------- */

static void go_back(walk *k, int64_t i, bool first)
{
    tw_pyramid *now = show(k, i), *after = first || k->out->cuts[i + 1] ? NULL : &k->pyramid[(i + 1) & 1];
    tw_camera camera = TW_CAMERA_STILL;
    if (after != NULL)
        camera = tw_camera_inverse(&k->out->cameras[i + 1]);
    step(k, i, after, now, &camera, k->back);
}

/* From the last key on there is something to follow. */
static int64_t last_key(const walk *k)
{
    int64_t last = 0;
    for (size_t s = 0; s < k->ask->subject_count; s++)
        for (size_t i = 0; i < k->ask->subjects[s].key_count; i++) {
            int64_t frame = k->ask->subjects[s].keys[i].frame;
            last = frame < k->out->count && frame > last ? frame : last;
        }
    return last;
}

static tw_status backwards(walk *k)
{
    int64_t last = last_key(k), at = last;
    tw_status status = TW_OK;
    memset(k->active, 0, sizeof *k->active * k->ask->subject_count);
    while (at > 0 && status == TW_OK) {
        int64_t from = at + 1 > k->room ? at + 1 - k->room : 0;
        if (at <= k->held_to && at > k->held_from)
            from = k->held_from;
        status = hold(k, from, at);
        if (status != TW_OK)
            break;
        /* The frame the runs share is gone through once, but its pyramid is needed again where it was overwritten. */
        if (at == last)
            go_back(k, at, true);
        else
            show(k, at);
        for (int64_t i = at - 1; i >= from; i--)
            go_back(k, i, false);
        count_frames(k, at - from);
        at = from;
    }
    return status;
}

/* ---- one track of both ----------------------------------------------------------------------------------- */

/* Before the first key only the way back knows anything, after the last only the way forth; between, both. */
static void merge(const walk *k, size_t index)
{
    tw_follow_subject *s = &k->ask->subjects[index];
    const tw_spot *forth = k->forth[index], *back = k->back[index];
    int64_t count = k->out->count, from = 0;
    size_t cap = 0;
    for (size_t i = 0; i <= s->key_count; i++) {
        int64_t to = i < s->key_count && s->keys[i].frame < count ? s->keys[i].frame : count;
        size_t first = 0, apart = 0;
        if (to > from)
            apart = tw_spots_meet(forth + from, back + from, (size_t)(to - from), s->spots + from, &first);
        if (apart > 0)
            TW_PUSH(k->arena, s->seams, s->seam_count, cap) = (tw_follow_seam){from + (int64_t)first, (int64_t)apart};
        if (to == count)
            break;
        s->spots[to] = forth[to];
        from = to + 1;
    }
}

static void fill(tw_spot *spots, int64_t from, int64_t to)
{
    for (int64_t i = from; i < to; i++)
        spots[i] = tw_spot_between(&spots[from - 1], &spots[to], (double)(i - from + 1) / (double)(to - from + 1));
}

/* What is not seen is bridged when it is seen again soon and no cut lies between, and is else not there. */
static void bridge(const walk *k, tw_spot *spots)
{
    int64_t count = k->out->count, from = -1;
    bool cut = false;
    for (int64_t i = 0; i < count; i++) {
        cut = cut || k->out->cuts[i];
        if (!(spots[i].sure > 0)) {
            spots[i] = (tw_spot){0, 0, 0, 0, 0};
            continue;
        }
        if (from >= 0 && i - from > 1 && i - from - 1 <= k->ask->bridge && !cut)
            fill(spots, from + 1, i);
        from = i;
        cut = false;
    }
}

/* ---- the whole ------------------------------------------------------------------------------------------- */

static tw_spot **tables(tw_arena *arena, size_t subjects, int64_t frames)
{
    tw_spot **all = TW_NEW_N(arena, tw_spot *, subjects);
    for (size_t s = 0; s < subjects; s++)
        all[s] = TW_NEW_N(arena, tw_spot, (size_t)frames);
    return all;
}

static void begin(walk *k)
{
    const tw_follow_ask *ask = k->ask;
    TW_ASSERT(ask->count > 0 && ask->subject_count <= MOST_SUBJECTS);
    k->room = (int64_t)((ask->held > 0 ? ask->held : TW_FOLLOW_HELD) / picture_size(k));
    k->room = k->room < LEAST_HELD ? LEAST_HELD : k->room > ask->count ? ask->count : k->room;
    k->held = tw_arena_alloc(k->arena, (size_t)k->room, picture_size(k));
    for (int i = 0; i < 2; i++)
        tw_pyramid_init(k->arena, ask->pictures->w, ask->pictures->h, &k->pyramid[i]);
    k->followers = TW_NEW_N(k->arena, tw_follower *, ask->subject_count);
    k->active = TW_NEW_N(k->arena, bool, ask->subject_count);
    k->forth = tables(k->arena, ask->subject_count, ask->count);
    k->back = tables(k->arena, ask->subject_count, ask->count);
}

tw_status tw_follow_run(tw_arena *arena, const tw_follow_ask *ask, tw_followed *out)
{
    tw_arena *scratch = tw_arena_like(arena);
    tw_followed own = {0};
    walk k = {.arena = scratch, .ask = ask, .out = &own};
    begin(&k);
    own.cameras = TW_NEW_N(arena, tw_camera, (size_t)ask->count);
    own.cuts = TW_NEW_N(arena, bool, (size_t)ask->count);
    tw_status status = forwards(&k);
    if (status == TW_OK)
        status = backwards(&k);
    k.arena = arena;
    for (size_t s = 0; s < ask->subject_count && status == TW_OK; s++) {
        ask->subjects[s].spots = TW_NEW_N(arena, tw_spot, (size_t)ask->count);
        ask->subjects[s].seams = NULL;
        ask->subjects[s].seam_count = 0;
        merge(&k, s);
        bridge(&k, ask->subjects[s].spots);
    }
    if (status == TW_OK)
        *out = own;
    tw_arena_free(&scratch);
    return status;
}
