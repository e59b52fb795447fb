/* SPDX-License-Identifier: Apache-2.0
 *
 * follow_raw W H COUNT LEFT TOP WIDTH HEIGHT: reads COUNT raw W x H frames of brightness bytes from standard input,
 * follows the box given for the first and prints number,left,top,width,height,sure for each later one; at the end
 * "seconds," and the processor time spent, reading left out. For tests/subject/compare.
 */
#include <tallwide/subject.h>

#include <stdio.h>
#include <stdlib.h>
#include <time.h>

static double seconds(clock_t from)
{
    return (double)(clock() - from) / CLOCKS_PER_SEC;
}

int main(int count, char **arg)
{
    if (count != 8)
        return 2;
    const int w = atoi(arg[1]), h = atoi(arg[2]), frames = atoi(arg[3]);
    const size_t size = (size_t)w * (size_t)h;
    tw_spot box = {strtod(arg[4], NULL), strtod(arg[5], NULL), strtod(arg[6], NULL), strtod(arg[7], NULL), 1};
    tw_arena *arena = tw_arena_new(NULL, NULL);
    uint8_t *px[2] = {TW_NEW_N(arena, uint8_t, size), TW_NEW_N(arena, uint8_t, size)};
    tw_pyramid pyramid[2];
    for (int i = 0; i < 2; i++)
        tw_pyramid_init(arena, w, h, &pyramid[i]);
    tw_follower *follower = NULL;
    double spent = 0;
    for (int i = 0; i < frames; i++) {
        if (fread(px[i % 2], 1, size, stdin) != size)
            return 4;
        const clock_t began = clock();
        tw_pyramid *now = &pyramid[i % 2], *before = &pyramid[(i + 1) % 2];
        tw_pyramid_fill(now, &(tw_plane){px[i % 2], w, h, (size_t)w});
        if (i == 0) {
            follower = tw_follower_new(arena, now, &box);
            continue;
        }
        const tw_camera camera = tw_camera_between(before, now, &box, 1);
        box = tw_follower_step(follower, before, now, &camera);
        spent += seconds(began);
        printf("%d,%.3f,%.3f,%.3f,%.3f,%.3f\n", i, box.left, box.top, box.width, box.height, box.sure);
    }
    printf("seconds,%.6f\n", spent);
    tw_arena_free(&arena);
    return 0;
}
