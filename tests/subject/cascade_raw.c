/* SPDX-License-Identifier: Apache-2.0
 *
 * cascade_raw FILE.xml W H STEP VOTES: reads one W x H picture of brightness bytes from standard input and prints what
 * the cascade finds: left,top,width,height,votes. For tests/subject/compare_cascade.
 */
#include <tallwide/cascade.h>

#include <stdio.h>
#include <stdlib.h>

static int fail(const tw_diags *diags, tw_arena *arena)
{
    tw_buf text = {.arena = arena};
    tw_diags_write_text(diags, TW_ERROR, &text);
    fprintf(stderr, "%.*s", (int)text.len, text.at);
    return 3;
}

int main(int count, char **arg)
{
    if (count != 6)
        return 2;
    tw_arena *arena = tw_arena_new(NULL, NULL);
    tw_diags *diags = tw_diags_new(arena);
    const int w = atoi(arg[2]), h = atoi(arg[3]);
    uint8_t *px = TW_NEW_N(arena, uint8_t, (size_t)w * (size_t)h);
    tw_str bytes, why;
    if (fread(px, 1, (size_t)w * (size_t)h, stdin) != (size_t)w * (size_t)h ||
        tw_file_read(arena, arg[1], TW_FILE_LIMIT, &bytes, &why) != TW_OK)
        return 4;
    tw_cascade cascade;
    if (tw_cascade_read(arena, bytes, tw_str_z(arg[1]), diags, &cascade) != TW_OK)
        return fail(diags, arena);
    const tw_plane plane = {px, w, h, (size_t)w};
    const tw_cascade_ask ask = {.step = strtod(arg[4], NULL), .votes = atoi(arg[5])};
    tw_found *found;
    const size_t n = tw_cascade_find(arena, &cascade, &plane, &ask, &found);
    for (size_t i = 0; i < n; i++)
        printf("%.2f,%.2f,%.2f,%.2f,%d\n", found[i].box.left, found[i].box.top, found[i].box.width, found[i].box.height,
               found[i].votes);
    tw_arena_free(&arena);
    return 0;
}
