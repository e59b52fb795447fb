/* SPDX-License-Identifier: Apache-2.0 */
#define _DEFAULT_SOURCE /* madvise, where there is one */
#include <tallwide/base.h>

#include <stdalign.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/mman.h>

#include "arena_text.h"
#include "ext.h"

#define FIRST_CHUNK ((size_t)4096)
#define LARGEST_CHUNK ((size_t)1 << 26)

/* Small requests share chunks; a request larger than a quarter of the current chunk size gets a block of its own, which
 * tw_arena_grow can then enlarge in place with realloc. */
typedef struct block {
    struct block *prev, *next;
    size_t size; /* bytes after the header */
} block;

struct tw_arena {
    tw_oom_fn oom;
    void *context;
    block head; /* ring of all blocks */
    char *at, *end;
    size_t chunk;
    size_t held;
};

#define HEADER ((sizeof(block) + alignof(max_align_t) - 1) / alignof(max_align_t) * alignof(max_align_t))

_Noreturn void twi_assert_failed(const char *condition, const char *file, int line)
{
    fprintf(stderr, "tallwide: fault at %s:%d: %s\n", file, line, condition);
    abort();
}

static void *out_of_memory(const tw_arena *arena, size_t wanted)
{
    if (arena->oom != NULL)
        arena->oom(arena->context, wanted);
    fprintf(stderr, "tallwide: out of memory (%zu bytes wanted)\n", wanted);
    abort();
}

tw_arena *tw_arena_new(tw_oom_fn oom, void *context)
{
    tw_arena *arena = calloc(1, sizeof *arena);
    if (arena == NULL) {
        tw_arena none = {.oom = oom, .context = context};
        return out_of_memory(&none, sizeof *arena);
    }
    arena->oom = oom;
    arena->context = context;
    arena->head.prev = arena->head.next = &arena->head;
    arena->chunk = FIRST_CHUNK;
    return arena;
}

tw_arena *tw_arena_like(const tw_arena *arena)
{
    return tw_arena_new(arena->oom, arena->context);
}

void tw_arena_free(tw_arena **arena)
{
    if (*arena == NULL)
        return;
    block *b = (*arena)->head.next;
    while (b != &(*arena)->head) {
        block *next = b->next;
        free(b);
        b = next;
    }
    free(*arena);
    *arena = NULL;
}

static void link_block(tw_arena *arena, block *b)
{
    b->prev = arena->head.prev;
    b->next = &arena->head;
    b->prev->next = b;
    b->next->prev = b;
}

#define HUGE_PAGE ((size_t)1 << 21)
#define PAGE ((uintptr_t)1 << 12)

/* A large block is filled from end to end: where the system offers pages of two megabytes, asking for them spares
 * hundreds of page faults each. All pages of the block are meant, so that a mapping of its own stays in one piece and
 * can be enlarged where it is. It is advice: a refusal changes nothing. */
static void advise(block *b, size_t size)
{
#ifdef MADV_HUGEPAGE
    uintptr_t into = (uintptr_t)b % PAGE;
    if (size >= 2 * HUGE_PAGE)
        (void)madvise((char *)b - into, (into + size + PAGE - 1) / PAGE * PAGE, MADV_HUGEPAGE);
#else
    (void)b, (void)size;
#endif
}

static char *own_block(tw_arena *arena, size_t size)
{
    if (size > SIZE_MAX - HEADER)
        out_of_memory(arena, size);
    block *b = calloc(1, HEADER + size);
    if (b == NULL)
        return out_of_memory(arena, size);
    advise(b, HEADER + size);
    b->size = size;
    link_block(arena, b);
    arena->held += HEADER + size;
    while (arena->chunk < LARGEST_CHUNK && arena->chunk < arena->held)
        arena->chunk *= 2; /* what holds much will hold more, and pages are large in large blocks only */
    return (char *)b + HEADER;
}

static size_t rounded(size_t size)
{
    const size_t a = alignof(max_align_t);
    return size > SIZE_MAX - a ? SIZE_MAX : (size + a - 1) / a * a;
}

static void open_chunk(tw_arena *arena)
{
    size_t chunk = arena->chunk;
    arena->at = own_block(arena, chunk);
    arena->end = arena->at + chunk;
}

void tw_arena_reserve(tw_arena *arena, size_t size)
{
    while (arena->chunk < size && arena->chunk < LARGEST_CHUNK)
        arena->chunk *= 2;
    if (size > (size_t)(arena->end - arena->at))
        open_chunk(arena);
}

void *tw_arena_alloc(tw_arena *arena, size_t count, size_t size)
{
    if (size != 0 && count > SIZE_MAX / size)
        out_of_memory(arena, SIZE_MAX);
    size_t need = rounded(count * size > 0 ? count * size : 1);
    if (need > arena->chunk / 4)
        return own_block(arena, need);
    if (need > (size_t)(arena->end - arena->at))
        open_chunk(arena);
    char *p = arena->at;
    arena->at += need;
    return p;
}

tw_str tw_arena_dup(tw_arena *arena, tw_str s)
{
    return (tw_str){tw_arena_dupz(arena, s), s.len};
}

char *tw_arena_dupz(tw_arena *arena, tw_str s)
{
    char *copy = tw_arena_alloc(arena, s.len + 1, 1);
    if (s.len > 0)
        memcpy(copy, s.at, s.len);
    return copy;
}

tw_str tw_arena_printf(tw_arena *arena, const char *format, ...)
{
    tw_buf buf = {.arena = arena};
    va_list values;
    va_start(values, format);
    tw_buf_addv(&buf, format, values);
    va_end(values);
    tw_buf_addc(&buf, '\0');
    return (tw_str){buf.at, buf.len - 1};
}

/* The block that starts right before `at` if `at` has one of its own: blocks are never smaller than what grow gave. */
static void *enlarge_own(tw_arena *arena, void *at, size_t wanted)
{
    block *b = (block *)(void *)((char *)at - HEADER);
    block *prev = b->prev, *next = b->next;
    if (wanted > SIZE_MAX - HEADER)
        out_of_memory(arena, wanted);
    block *moved = realloc(b, HEADER + wanted);
    if (moved == NULL)
        return out_of_memory(arena, wanted);
    advise(moved, HEADER + wanted);
    prev->next = moved;
    next->prev = moved;
    arena->held += wanted - moved->size;
    moved->size = wanted;
    return (char *)moved + HEADER;
}

#define GROW_OWN ((size_t)1 << 16) /* arrays past this size live in blocks of their own */

void *tw_arena_grow(tw_arena *arena, void *at, size_t len, size_t *cap, size_t size)
{
    bool room = len < *cap;
    if (room && at != NULL)
        return at;
    size_t more = *cap < 8 ? 8 : room ? *cap : *cap > SIZE_MAX / 2 ? SIZE_MAX : *cap * 2;
    if (more > SIZE_MAX / size)
        out_of_memory(arena, SIZE_MAX);
    size_t old = room ? 0 : *cap * size, wanted = rounded(more * size);
    void *grown;
    if (old >= GROW_OWN) {
        grown = enlarge_own(arena, at, wanted);
        memset((char *)grown + old, 0, wanted - old);
    } else {
        grown = wanted >= GROW_OWN ? own_block(arena, wanted) : tw_arena_alloc(arena, wanted, 1);
        if (len > 0)
            memcpy(grown, at, len * size);
    }
    *cap = more;
    return grown;
}

/* What is behind the text is neither copied nor cleared, so that memory is touched as it is filled and no sooner. */
char *twi_arena_text(tw_arena *arena, char *at, size_t len, size_t *cap, size_t more)
{
    if (more > SIZE_MAX / 2 - len)
        out_of_memory(arena, SIZE_MAX);
    size_t wanted = *cap < 32 ? 32 : *cap;
    while (wanted - len < more)
        wanted *= 2;
    char *grown;
    if (*cap >= GROW_OWN) {
        grown = enlarge_own(arena, at, wanted);
    } else {
        grown = wanted >= GROW_OWN ? own_block(arena, wanted) : tw_arena_alloc(arena, wanted, 1);
        if (len > 0)
            memcpy(grown, at, len);
    }
    *cap = wanted;
    return grown;
}

void tw_arena_adopt(tw_arena *arena, tw_arena **from)
{
    block *head = &(*from)->head;
    if (head->next != head) {
        head->next->prev = arena->head.prev;
        head->prev->next = &arena->head;
        arena->head.prev->next = head->next;
        arena->head.prev = head->prev;
    }
    arena->held += (*from)->held;
    free(*from);
    *from = NULL;
}

size_t tw_arena_held(const tw_arena *arena)
{
    return arena->held;
}
