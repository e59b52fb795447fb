/* SPDX-License-Identifier: Apache-2.0
 *
 * look_raw W H: reads raw W x H frames of brightness bytes from standard input and prints for each but the first and
 * last what moves by itself: number,left,top,width,height,sure; or, with a number of frames as third argument, what is
 * proposed when a thing must stay so long: number,left,top,width,height,rank words. To be drawn over the film.
 */
#include <tallwide/subject.h>

#include <stdio.h>
#include <stdlib.h>

#define MOST 16

static void print_proposals(tw_arena *arena, const tw_proposals *proposals, int least)
{
    tw_proposal *list;
    const size_t n = tw_proposals_rank(arena, proposals, least, &list);
    for (size_t k = 0; k < n; k++) {
        const tw_str words = tw_proposal_words(arena, &list[k]);
        for (int64_t f = list[k].first; f <= list[k].last; f++) {
            const tw_spot *b = &list[k].boxes[f - list[k].first];
            printf("%lld,%.1f,%.1f,%.1f,%.1f,%d %.*s\n", (long long)f + 1, b->left, b->top, b->width, b->height,
                   (int)k + 1, TW_ARG(words));
        }
    }
}

int main(int count, char **arg)
{
    if (count != 3 && count != 4)
        return 2;
    const int w = atoi(arg[1]), h = atoi(arg[2]);
    const size_t size = (size_t)w * (size_t)h;
    tw_arena *arena = tw_arena_new(NULL, NULL);
    uint8_t *px[3];
    tw_pyramid pyramid[3];
    for (int i = 0; i < 3; i++) {
        px[i] = TW_NEW_N(arena, uint8_t, size);
        tw_pyramid_init(arena, w, h, &pyramid[i]);
    }
    tw_moving *moving = tw_moving_new(arena, &pyramid[0]);
    tw_proposals *proposals = tw_proposals_new(arena, w, h);
    tw_camera camera[2] = {TW_CAMERA_STILL, TW_CAMERA_STILL};
    for (int i = 0; fread(px[i % 3], 1, size, stdin) == size; i++) {
        tw_pyramid *after = &pyramid[i % 3], *now = &pyramid[(i + 2) % 3], *before = &pyramid[(i + 1) % 3];
        tw_pyramid_fill(after, &(tw_plane){px[i % 3], w, h, (size_t)w});
        camera[0] = camera[1];
        if (i > 0)
            camera[1] = tw_camera_between(now, after, NULL, 0);
        if (i < 2)
            continue;
        tw_spot spots[MOST];
        const size_t n =
            tw_moving_areas(moving, &(tw_moving_frames){before, now, after, camera[0], camera[1]}, MOST, spots);
        tw_proposals_frame(proposals, i == 2 ? &TW_CAMERA_STILL : &camera[0]);
        tw_proposals_add(proposals, TW_REASON_MOVES, spots, n);
        for (size_t k = 0; k < n && count == 3; k++)
            printf("%d,%.1f,%.1f,%.1f,%.1f,%.3f\n", i - 1, spots[k].left, spots[k].top, spots[k].width, spots[k].height,
                   spots[k].sure);
    }
    if (count == 4)
        print_proposals(arena, proposals, atoi(arg[3]));
    tw_arena_free(&arena);
    return 0;
}
