/* SPDX-License-Identifier: Apache-2.0
 *
 * Pictures of a camera file, given to the follower.
 */
#include "follow.h"

#include <math.h>
#include <pthread.h>

/* ---- progress -------------------------------------------------------------------------------------------- */

typedef struct meter {
    cli *app;
    pthread_mutex_t drawing;
    int64_t done, all; /* frames */
} meter;

static void progress(void *context, int64_t frames)
{
    meter *m = context;
    pthread_mutex_lock(&m->drawing);
    m->done += frames;
    progress_frames(m->app, m->done, m->all);
    pthread_mutex_unlock(&m->drawing);
}

/* ---- pictures -------------------------------------------------------------------------------------------- */

typedef struct film {
    tw_arena *arena;
    const following *f;
    const followed_note *note;
    tw_diags *diags;
    tw_media_reader *reader;
    int32_t w, h;
} film;

static tw_status film_open(void *context, int64_t first, int64_t count)
{
    film *m = context;
    tw_media_close(&m->reader);
    const tw_media_ask ask = {.first = m->note->first + first, .count = count, .width = m->w};
    return tw_media_open(m->arena, &m->f->lib.tools, m->note->info, &ask, m->diags, &m->reader);
}

static tw_status film_next(void *context, const uint8_t **luma)
{
    film *m = context;
    const tw_media_frame *frame = NULL;
    tw_status status = tw_media_next(m->reader, &frame);
    *luma = status == TW_OK && frame != NULL ? frame->planes[0] : NULL;
    return status;
}

/* ---- a note ---------------------------------------------------------------------------------------------- */

/* Keys in pixels of the pictures; those outside the stretch cannot be looked at. */
static void set_keys(tw_arena *arena, const followed_note *n, const tw_region *r, int w, int h, tw_follow_subject *out)
{
    tw_follow_key *keys = TW_NEW_N(arena, tw_follow_key, r->hand_count);
    *out = (tw_follow_subject){.keys = keys};
    for (size_t i = 0; i < r->hand_count; i++) {
        const tw_region_key *k = &r->hand[i];
        int64_t at = k->frame - n->start;
        at = at == n->count ? at - 1 : at; /* a key on the note's out stands for the last frame */
        if (at < 0 || at >= n->count || (out->key_count > 0 && keys[out->key_count - 1].frame == at))
            continue;
        keys[out->key_count++] = (tw_follow_key){at, {k->left * w, k->top * h, k->width * w, k->height * h, 1}};
    }
}

static void follow_one(void *context, tw_arena *arena, tw_diags *diags, size_t index)
{
    const following *f = context;
    followed_note *n = &f->notes[index];
    film m = {.arena = arena, .f = f, .note = n, .diags = diags};
    m.w = n->info->width < FOLLOW_WIDE ? n->info->width : FOLLOW_WIDE;
    m.h = (int32_t)floor((double)n->info->height * m.w / n->info->width + 0.5);
    const tw_follow_pictures pictures = {&m, m.w, m.h, film_open, film_next};
    n->scale = (tw_follow_scale){(double)n->source->size.w / m.w, (double)n->source->size.h / m.h, n->source->size.w,
                                 n->source->size.h};
    n->subjects = TW_NEW_N(arena, tw_follow_subject, n->region_count);
    for (size_t r = 0; r < n->region_count; r++)
        set_keys(arena, n, n->regions[r].region, m.w, m.h, &n->subjects[r]);
    const tw_follow_ask ask = {
        .pictures = &pictures,
        .count = n->count,
        .bridge = tw_rate_count(n->rate), /* a second */
        .subjects = n->subjects,
        .subject_count = n->region_count,
        .progress = progress,
        .progress_context = f->progress,
    };
    n->done = tw_follow_run(arena, &ask, &n->out) == TW_OK;
    tw_media_close(&m.reader);
}

/* Frames gone through a second time. */
static int64_t way_back(const followed_note *n)
{
    int64_t last = 0;
    for (size_t r = 0; r < n->region_count; r++) {
        const tw_region *region = n->regions[r].region;
        int64_t at = region->hand[region->hand_count - 1].frame - n->start;
        last = at > last ? at : last;
    }
    return last < n->count ? last : n->count;
}

exit_code follow_run(following *f)
{
    meter m = {.app = f->app};
    for (size_t i = 0; i < f->count; i++)
        m.all += f->notes[i].count + way_back(&f->notes[i]);
    pthread_mutex_init(&m.drawing, NULL);
    f->progress = &m;
    progress_phase(f->app, "following", (tw_str){NULL, 0});
    jobs_run(f->app, f->count, follow_one, f);
    progress_end(f->app);
    f->progress = NULL;
    pthread_mutex_destroy(&m.drawing);
    for (size_t i = 0; i < f->count; i++)
        if (!f->notes[i].done)
            return EXIT_IO;
    return stop_asked() ? EXIT_IO : EXIT_FINE;
}
