/* SPDX-License-Identifier: Apache-2.0
 *
 * Looks through a clip frame by frame, for all reasons there are.
 */
#include "subject_internal.h"

#include <string.h>

#define MOST 16           /* findings for one reason in one frame */
#define CASCADE_WIDTH 480 /* cascades look at the first level no wider */
#define SMALLEST_FACE 20  /* of the picture's width one part in so many; */
#define SMALLEST_BODY 12  /* what is smaller is left to its movement */
#define CASCADE_STEP 1.2
#define CASCADE_EVERY 3 /* frames */
#define CASCADE_VOTES 2
#define CASCADE_APART 2
#define CAMERA_SURE 0.3 /* below, nothing can be said to move by itself */

struct tw_look {
    tw_look_ask ask;
    tw_arena *arena;
    tw_pyramid frame[3];
    uint8_t *px[3];
    tw_camera camera[2]; /* to the frame looked at, and on to the next */
    twi_moving *moving;
    twi_proposals *proposals;
    int64_t count; /* frames seen; the last but one is looked at */
};

tw_look *tw_look_new(tw_arena *arena, int w, int h, const tw_look_ask *ask)
{
    tw_look *look = TW_NEW(arena, tw_look);
    *look = (tw_look){.ask = *ask, .arena = arena, .camera = {TW_CAMERA_STILL, TW_CAMERA_STILL}};
    for (int i = 0; i < 3; i++) {
        look->px[i] = TW_NEW_N(arena, uint8_t, (size_t)w * (size_t)h);
        tw_pyramid_init(arena, w, h, &look->frame[i]);
    }
    look->moving = twi_moving_new(arena, &look->frame[0]);
    look->proposals = twi_proposals_new(arena, w, h);
    return look;
}

static void look_with(tw_look *look, const tw_cascade *cascade, tw_reason reason, const tw_pyramid *now)
{
    if (cascade == NULL)
        return;
    int level = 0;
    while (level + 1 < now->count && now->level[level].w > CASCADE_WIDTH)
        level++;
    tw_arena *scratch = tw_arena_like(look->arena);
    tw_found *found;
    const int parts = reason == TW_REASON_FACE ? SMALLEST_FACE : SMALLEST_BODY;
    const tw_cascade_ask ask = {CASCADE_STEP, now->level[level].w / parts, 0, CASCADE_VOTES, CASCADE_APART};
    size_t count = tw_cascade_find(scratch, cascade, &now->level[level], &ask, &found);
    tw_spot spots[MOST];
    count = count < MOST ? count : MOST;
    for (size_t i = 0; i < count; i++) {
        const double size = 1 << level;
        const tw_spot *b = &found[i].box;
        spots[i] = (tw_spot){b->left * size, b->top * size, b->width * size, b->height * size, 1};
    }
    twi_proposals_add(look->proposals, reason, spots, count);
    tw_arena_free(&scratch);
}

static void look_for_movement(tw_look *look, int64_t n)
{
    const twi_moving_frames frames = {&look->frame[(n + 2) % 3], &look->frame[n % 3], &look->frame[(n + 1) % 3],
                                      look->camera[0], look->camera[1]};
    if (frames.from_before.sure < CAMERA_SURE || frames.to_after.sure < CAMERA_SURE)
        return;
    tw_spot spots[MOST];
    const size_t count = twi_moving_areas(look->moving, &frames, MOST, spots);
    twi_proposals_add(look->proposals, TW_REASON_MOVES, spots, count);
}

/* Frame n, of which the frame before and (but for the last) the one after are known. */
static void look_at(tw_look *look, int64_t n, bool last)
{
    const tw_pyramid *now = &look->frame[n % 3];
    twi_proposals_frame(look->proposals, &look->camera[0]);
    if (n % CASCADE_EVERY == 0) {
        look_with(look, look->ask.face, TW_REASON_FACE, now);
        look_with(look, look->ask.body, TW_REASON_BODY, now);
    }
    if (n > 0 && !last)
        look_for_movement(look, n);
    tw_spot spots[MOST];
    const size_t count = twi_standing_out(&now->level[now->count > 2 ? 2 : 0], MOST, spots);
    const double size = now->count > 2 ? 4 : 1;
    for (size_t i = 0; i < count; i++)
        spots[i] = (tw_spot){spots[i].left * size, spots[i].top * size, spots[i].width * size, spots[i].height * size,
                             spots[i].sure};
    twi_proposals_add(look->proposals, TW_REASON_STANDS_OUT, spots, count);
}

void tw_look_frame(tw_look *look, const tw_plane *plane)
{
    const int64_t n = look->count++;
    tw_pyramid *now = &look->frame[n % 3];
    for (int y = 0; y < plane->h; y++)
        memcpy(look->px[n % 3] + (size_t)y * (size_t)plane->w, plane->px + (size_t)y * plane->stride, (size_t)plane->w);
    tw_pyramid_fill(now, &(tw_plane){look->px[n % 3], plane->w, plane->h, (size_t)plane->w});
    look->camera[0] = look->camera[1];
    if (n == 0)
        return;
    look->camera[1] = tw_camera_between(&look->frame[(n + 2) % 3], now, NULL, 0);
    look_at(look, n - 1, false);
}

size_t tw_look_rank(tw_arena *arena, tw_look *look, int64_t least, tw_proposal **out)
{
    look->camera[0] = look->camera[1];
    if (look->count > 0)
        look_at(look, look->count - 1, true);
    return twi_proposals_rank(arena, look->proposals, least, out);
}
