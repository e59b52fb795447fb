/* SPDX-License-Identifier: Apache-2.0 */
#include <tallwide/base.h>

#include <pthread.h>
#include <stdatomic.h>

#define MOST_THREADS 64u

typedef struct pile {
    tw_piece_fn fn;
    void *context;
    size_t count;
    atomic_size_t next;
} pile;

typedef struct hand {
    pile *work;
    tw_arena *arena;
    pthread_t thread;
    bool here;
} hand;

static void *work_on(void *context)
{
    hand *h = context;
    for (size_t i; (i = atomic_fetch_add(&h->work->next, 1)) < h->work->count;)
        h->work->fn(h->work->context, h->arena, i, h->here);
    return NULL;
}

void tw_work(tw_arena *arena, size_t count, unsigned threads, tw_piece_fn fn, void *context)
{
    pile work = {.fn = fn, .context = context, .count = count};
    atomic_init(&work.next, 0);
    hand hands[MOST_THREADS];
    unsigned started = 0;
    for (unsigned i = 1; i < threads && i < count && i < MOST_THREADS; i++) {
        hands[started] = (hand){.work = &work, .arena = tw_arena_like(arena)};
        if (pthread_create(&hands[started].thread, NULL, work_on, &hands[started]) != 0) {
            tw_arena_free(&hands[started].arena);
            break;
        }
        started++;
    }
    hand self = {.work = &work, .arena = arena, .here = true};
    work_on(&self);
    for (unsigned i = 0; i < started; i++) {
        pthread_join(hands[i].thread, NULL);
        tw_arena_adopt(arena, &hands[i].arena);
    }
}
