/* SPDX-License-Identifier: Apache-2.0
 *
 * What following costs against decoding: processor seconds of ffmpeg for giving the frames of a file once, 960 wide,
 * and of this process for following one box over them, forwards alone and both ways from the middle. Run by hand:
 * bench_follow FILE LEFT TOP WIDTH HEIGHT, the box in shares of the picture. The aim is a ratio below 1.
 */
#define _POSIX_C_SOURCE 200809L
#include <stdio.h>
#include <stdlib.h>

#include <tallwide/follow.h>
#include <tallwide/media.h>

#include "clock.h"

#define WIDE 960

typedef struct film {
    tw_arena *arena;
    tw_diags *diags;
    tw_media_tools tools;
    tw_media_info info;
    tw_media_reader *reader;
    int w, h;
} film;

static tw_status film_open(void *context, int64_t first, int64_t count)
{
    film *f = context;
    tw_media_close(&f->reader);
    const tw_media_ask ask = {.first = first, .count = count, .width = f->w};
    return tw_media_open(f->arena, &f->tools, &f->info, &ask, f->diags, &f->reader);
}

static tw_status film_next(void *context, const uint8_t **luma)
{
    film *f = context;
    const tw_media_frame *frame = NULL;
    tw_status status = tw_media_next(f->reader, &frame);
    *luma = status == TW_OK && frame != NULL ? frame->planes[0] : NULL;
    return status;
}

/* Processor seconds of this process for going through the film and nothing else, and of ffmpeg. */
static int64_t read_all(film *f, double *own, double *theirs)
{
    int64_t count = 0;
    const uint8_t *luma = NULL;
    double self = spent(RUSAGE_SELF), child = spent(RUSAGE_CHILDREN);
    if (film_open(f, 0, INT32_MAX) != TW_OK)
        return 0;
    while (film_next(f, &luma) == TW_OK && luma != NULL)
        count++;
    tw_media_close(&f->reader);
    *own = spent(RUSAGE_SELF) - self;
    *theirs = spent(RUSAGE_CHILDREN) - child;
    return count;
}

static double follow(film *f, int64_t count, int64_t at, const tw_spot *box)
{
    tw_arena *arena = tw_arena_new(NULL, NULL);
    const tw_follow_pictures pictures = {f, f->w, f->h, film_open, film_next};
    const tw_follow_key key = {at, *box};
    tw_follow_subject subject = {.keys = &key, .key_count = 1};
    const tw_follow_ask ask = {
        .pictures = &pictures, .count = count, .bridge = 25, .subjects = &subject, .subject_count = 1};
    tw_followed out;
    double self = spent(RUSAGE_SELF);
    if (tw_follow_run(arena, &ask, &out) != TW_OK)
        exit(1);
    tw_media_close(&f->reader);
    self = spent(RUSAGE_SELF) - self;
    tw_arena_free(&arena);
    return self;
}

int main(int count, char **arg)
{
    film f = {.arena = tw_arena_new(NULL, NULL)};
    f.diags = tw_diags_new(f.arena);
    if (count != 6 || tw_media_probe(f.arena, &f.tools, arg[1], f.diags, &f.info) != TW_OK) {
        fprintf(stderr, "bench_follow FILE LEFT TOP WIDTH HEIGHT (shares of the picture)\n");
        return 2;
    }
    f.w = f.info.width < WIDE ? f.info.width : WIDE;
    f.h = (int)((double)f.info.height * f.w / f.info.width + 0.5);
    const tw_spot box = {atof(arg[2]) * f.w, atof(arg[3]) * f.h, atof(arg[4]) * f.w, atof(arg[5]) * f.h, 1};
    double reading = 0, decoding = 0;
    int64_t frames = read_all(&f, &reading, &decoding);
    if (frames == 0)
        return 1;
    double forth = follow(&f, frames, 0, &box) - reading, both = follow(&f, frames, frames / 2, &box) - reading;
    double each = 1e3 / (double)frames;
    printf("%lld frames %dx%d at %dx%d: decoding %.2f ms a frame; following %.2f ms, ratio %.2f; both ways from the "
           "middle %.2f ms, ratio %.2f\n",
           (long long)frames, f.info.width, f.info.height, f.w, f.h, decoding * each, forth * each, forth / decoding,
           both * each, both / decoding);
    struct rusage use;
    getrusage(RUSAGE_SELF, &use);
    printf("largest memory of this process %.0f MB\n", (double)use.ru_maxrss / 1024);
    tw_arena_free(&f.arena);
    return 0;
}
