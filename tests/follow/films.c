/* SPDX-License-Identifier: Apache-2.0
 *
 * films: prints the names of the films of tests/subject/film.c. films NAME SEED TRUTH.csv: writes that film's frames,
 * FILM_W x FILM_H bytes of brightness each, to standard output, and where the subject is in them as MOTChallenge rows
 * to the file. For tests/follow/propose.
 */
#include "subject/film.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static int draw(const film_kind *kind, uint64_t seed, FILE *rows)
{
    tw_arena *arena = tw_arena_new(NULL, NULL);
    film *made = film_new(arena, kind, seed);
    uint8_t *px = TW_NEW_N(arena, uint8_t, FILM_W * FILM_H);
    bool written = true;
    for (int t = 0; t < FILM_FRAMES && written; t++) {
        film_truth truth;
        film_draw(made, t, px, &truth);
        fprintf(rows, "%d,1,%.2f,%.2f,%.2f,%.2f,1,-1,-1,-1\n", t + 1, truth.left, truth.top, truth.width, truth.height);
        written = fwrite(px, FILM_W * FILM_H, 1, stdout) == 1;
    }
    tw_arena_free(&arena);
    return written ? 0 : 1;
}

int main(int count, char **arg)
{
    for (size_t i = 0; i < film_kind_count; i++) {
        if (count != 4)
            printf("%s\n", film_kinds[i].name);
        else if (strcmp(film_kinds[i].name, arg[1]) == 0) {
            FILE *rows = fopen(arg[3], "w");
            return rows == NULL || draw(&film_kinds[i], strtoull(arg[2], NULL, 10), rows) != 0 || fclose(rows) != 0;
        }
    }
    return count == 4 ? 2 : 0;
}
