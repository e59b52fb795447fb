/* SPDX-License-Identifier: Apache-2.0
 *
 * camera_raw W H: reads raw W x H frames of brightness bytes from standard input and prints the camera's movement to each
 * frame from the one before: dx,dy,turn,scale,sure; at the end "seconds," and the processor time spent, reading left
 * out. For tests/subject/compare_camera.
 */
#include <tallwide/subject.h>

#include <stdio.h>
#include <stdlib.h>
#include <time.h>

int main(int count, char **arg)
{
    if (count != 3)
        return 2;
    const int w = atoi(arg[1]), h = atoi(arg[2]);
    const size_t size = (size_t)w * (size_t)h;
    tw_arena *arena = tw_arena_new(NULL, NULL);
    uint8_t *px[2] = {TW_NEW_N(arena, uint8_t, size), TW_NEW_N(arena, uint8_t, size)};
    tw_pyramid pyramid[2];
    for (int i = 0; i < 2; i++)
        tw_pyramid_init(arena, w, h, &pyramid[i]);
    clock_t spent = 0;
    for (int i = 0; fread(px[i % 2], 1, size, stdin) == size; i++) {
        const clock_t began = clock();
        tw_pyramid_fill(&pyramid[i % 2], &(tw_plane){px[i % 2], w, h, (size_t)w});
        if (i == 0)
            continue;
        const tw_camera c = tw_camera_between(&pyramid[(i + 1) % 2], &pyramid[i % 2], NULL, 0);
        spent += clock() - began;
        printf("%.4f,%.4f,%.6f,%.6f,%.3f\n", c.dx, c.dy, c.turn, c.scale, c.sure);
    }
    printf("seconds,%.6f\n", (double)spent / CLOCKS_PER_SEC);
    tw_arena_free(&arena);
    return 0;
}
