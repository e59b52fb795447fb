/* SPDX-License-Identifier: Apache-2.0
 *
 * What a text list of a million lines costs to read, against a getline loop over the same bytes: processor time of both
 * in one run, the better of five each. The aim is 5 or less.
 */
#define _POSIX_C_SOURCE 200809L
#include <stdio.h>
#include <stdlib.h>

#include <tallwide/edl.h>

#include "clock.h"

static void add_time(tw_buf *buf, long frames)
{
    tw_buf_addf(buf, " %02ld:%02ld:%02ld:%02ld", frames / 86400 % 24, frames / 1440 % 60, frames / 24 % 60,
                frames % 24);
}

static tw_str make_list(tw_arena *arena, long events)
{
    tw_buf buf = {.arena = arena};
    tw_buf_addz(&buf, "TITLE: THE WHEEL BUILDER\nFCM: NON-DROP FRAME\n");
    for (long i = 0; i < events; i++) {
        const long frames[4] = {i * 5 + 7, i * 5 + 12, i * 5, i * 5 + 5};
        tw_buf_addf(&buf, "%06ld  A%03ld     V     C       ", i + 1, i % 400);
        for (size_t t = 0; t < 4; t++)
            add_time(&buf, frames[t]);
        tw_buf_addf(&buf, " \n* FROM CLIP NAME:  HANDS %ld\n* SOURCE FILE: A%03ld_C001\n", i, i % 400);
    }
    return tw_buf_str(&buf);
}

static double time_getline(tw_str bytes)
{
    double start = spent(RUSAGE_SELF);
    FILE *f = fmemopen((void *)bytes.at, bytes.len, "r");
    char *line = NULL;
    size_t cap = 0, lines = 0;
    while (f != NULL && getline(&line, &cap, f) >= 0)
        lines++;
    free(line);
    if (f == NULL || fclose(f) != 0 || lines == 0)
        exit(1);
    return spent(RUSAGE_SELF) - start;
}

static double time_read(tw_str bytes)
{
    double start = spent(RUSAGE_SELF);
    tw_arena *arena = tw_arena_new(NULL, NULL);
    const tw_read_options options = {.rate = {24, 1}};
    tw_timeline *timeline;
    if (tw_format_edl.read(arena, bytes, TW_STR("bench.edl"), &options, tw_diags_new(arena), &timeline) != TW_OK)
        exit(1);
    tw_arena_free(&arena);
    return spent(RUSAGE_SELF) - start;
}

int main(void)
{
    for (long events = 3330; events <= 333000; events *= 10) {
        tw_arena *arena = tw_arena_new(NULL, NULL);
        tw_str bytes = make_list(arena, events);
        double bare = 1e9, read = 1e9;
        for (int i = 0; i < 5; i++) {
            double a = time_getline(bytes), b = time_read(bytes);
            bare = a < bare ? a : bare;
            read = b < read ? b : read;
        }
        printf("%7ld lines: getline %8.2f ms, read %8.2f ms, ratio %.1f\n", events * 3 + 2, bare * 1e3, read * 1e3,
               read / bare);
        tw_arena_free(&arena);
    }
    return 0;
}
