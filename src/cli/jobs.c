/* SPDX-License-Identifier: Apache-2.0 */
#include "media.h"

#include <pthread.h>
#include <stdatomic.h>

#define MOST_THREADS 64u

typedef struct pile {
    job_fn fn;
    void *context;
    size_t count;
    atomic_size_t next;
    tw_diags **found; /* by piece */
} pile;

typedef struct hand {
    pile *work;
    tw_arena *arena;
    pthread_t thread;
} hand;

static void *work_on(void *context)
{
    hand *h = context;
    while (!stop_asked()) {
        size_t i = atomic_fetch_add(&h->work->next, 1);
        if (i >= h->work->count)
            break;
        h->work->found[i] = tw_diags_new(h->arena);
        h->work->fn(h->work->context, h->arena, h->work->found[i], i);
    }
    return NULL;
}

void jobs_run(cli *app, size_t count, job_fn fn, void *context)
{
    pile work = {.fn = fn, .context = context, .count = count};
    work.found = TW_NEW_N(app->arena, tw_diags *, count);
    hand hands[MOST_THREADS];
    unsigned wanted = thread_count(app), started = 0;
    for (unsigned i = 1; i < wanted && i < count && i < MOST_THREADS; i++) {
        hands[started] = (hand){.work = &work, .arena = tw_arena_like(app->arena)};
        if (pthread_create(&hands[started].thread, NULL, work_on, &hands[started]) != 0) {
            tw_arena_free(&hands[started].arena); /* fewer hands, the same result */
            break;
        }
        started++;
    }
    hand self = {.work = &work, .arena = app->arena};
    work_on(&self);
    for (unsigned i = 0; i < started; i++) {
        pthread_join(hands[i].thread, NULL);
        tw_arena_adopt(app->arena, &hands[i].arena);
    }
    for (size_t i = 0; i < count; i++)
        if (work.found[i] != NULL)
            findings_pass(work.found[i], TW_NOTE, app->diags);
}
