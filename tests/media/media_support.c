/* SPDX-License-Identifier: Apache-2.0 */
#define _XOPEN_SOURCE 700
#include "media/media_support.h"

#include <ftw.h>
#include <stdio.h>
#include <stdlib.h>

#include "media/child.h"

const tw_media_tools film_tools = {.ffmpeg = NULL};

static char folder[] = "/tmp/tallwide-films-XXXXXX";
static bool made;

static int remove_one(const char *path, const struct stat *st, int kind, struct FTW *at)
{
    (void)st;
    (void)kind;
    (void)at;
    return remove(path);
}

static void clean(void)
{
    nftw(folder, remove_one, 16, FTW_DEPTH | FTW_PHYS);
}

const char *film_path(tw_arena *arena, const char *name)
{
    if (!made) {
        made = mkdtemp(folder) != NULL;
        assert_true(made);
        atexit(clean);
    }
    return tw_arena_printf(arena, "%s/%s", folder, name).at;
}

void film_need(tw_arena *arena)
{
    tw_diags *diags = tw_diags_new(arena);
    tw_media_tools tools = film_tools;
    if (tw_media_ready(arena, &tools, diags) == TW_OK)
        return;
    print_message("skipped: ffmpeg is not installed\n");
    skip();
}

void film_make(tw_arena *arena, const char *words)
{
    twi_args args = {.arena = arena};
    twi_args_list(&args, (const char *const[]){"ffmpeg", "-v", "error", "-nostdin", "-y", NULL});
    for (tw_str rest = tw_str_z(words); rest.len > 0;) {
        size_t n = 0;
        while (n < rest.len && rest.at[n] != ' ')
            n++;
        if (n > 0)
            twi_args_addf(&args, "%.*s", (int)n, rest.at);
        rest = tw_str_from(rest, n + 1);
    }
    const twi_child_ask ask = {.args = &args};
    twi_child *child = NULL;
    assert_int_equal(twi_child_start(arena, &ask, &child), TWI_CHILD_FINE);
    twi_child_fault fault = twi_child_finish(child);
    if (fault != TWI_CHILD_FINE)
        print_error("ffmpeg %s: %.*s\n", words, TW_ARG(twi_child_said(child)));
    twi_child_end(&child);
    assert_int_equal(fault, TWI_CHILD_FINE);
}

const char *film_numbered(tw_arena *arena, const char *name, const char *rate, int frames, const char *options)
{
    const char *path = film_path(arena, name);
    film_make(arena, tw_arena_printf(arena,
                                     "-f lavfi -i color=black:size=%dx%d:rate=%s,format=yuv420p,geq=lum='if(bitand(N,"
                                     "pow(2,floor(X/%d))),220,30)':cb=128:cr=128 -frames:v %d %s %s",
                                     FILM_WIDE, FILM_HIGH, rate, FILM_WIDE / 8, frames, options, path)
                         .at);
    return path;
}

int film_number(const tw_media_frame *frame)
{
    int number = 0;
    for (int bit = 0; bit < 8; bit++) {
        int x = (2 * bit + 1) * frame->width / 16;
        number |= (frame->planes[0][frame->height / 2 * frame->width + x] > 125) << bit;
    }
    return number;
}
