/* SPDX-License-Identifier: Apache-2.0
 *
 * look_raw W H LEAST [FACE.xml [BODY.xml]]: reads raw W x H frames of brightness bytes from standard input, a tenth of a
 * second apart, and prints what is proposed when a thing must stay for LEAST frames: for each of its frames
 * number,left,top,width,height,rank reason. To be drawn over the film.
 */
#include <tallwide/cascade.h>

#include <stdio.h>
#include <stdlib.h>

static const tw_cascade *cascade(tw_arena *arena, const char *path)
{
    tw_str bytes, why;
    tw_cascade *out = TW_NEW(arena, tw_cascade);
    if (tw_file_read(arena, path, TW_FILE_LIMIT, &bytes, &why) != TW_OK ||
        tw_cascade_read(arena, bytes, tw_str_z(path), tw_diags_new(arena), out) != TW_OK)
        exit(4);
    return out;
}

static void print(tw_arena *arena, const tw_proposal *p, int rank)
{
    const tw_str words = tw_proposal_words(arena, p);
    for (int64_t f = p->first; f <= p->last; f++) {
        const tw_spot *b = &p->boxes[f - p->first];
        printf("%lld,%.1f,%.1f,%.1f,%.1f,%d %.*s\n", (long long)f, b->left, b->top, b->width, b->height, rank,
               TW_ARG(words));
    }
}

int main(int count, char **arg)
{
    if (count < 4 || count > 6)
        return 2;
    tw_arena *arena = tw_arena_new(NULL, NULL);
    const int w = atoi(arg[1]), h = atoi(arg[2]);
    const tw_look_ask ask = {count > 4 ? cascade(arena, arg[4]) : NULL, count > 5 ? cascade(arena, arg[5]) : NULL};
    tw_look *look = tw_look_new(arena, w, h, &ask);
    const size_t size = (size_t)w * (size_t)h;
    uint8_t *px = TW_NEW_N(arena, uint8_t, size);
    while (fread(px, 1, size, stdin) == size)
        tw_look_frame(look, &(tw_plane){px, w, h, (size_t)w});
    tw_proposal *list;
    const size_t n = tw_look_rank(arena, look, atoi(arg[3]), &list);
    for (size_t i = 0; i < n; i++)
        print(arena, &list[i], (int)i + 1);
    tw_arena_free(&arena);
    return 0;
}
