/* SPDX-License-Identifier: Apache-2.0
 *
 * Which source a reel belongs to. Starter plans name every reel, so there are as many sources as reels: those without
 * wildcards are looked up by name, only the others are tried one by one.
 */
#include "plan_internal.h"

typedef struct entry {
    tw_str reel; /* in lower case: patterns ignore case */
    size_t source;
} entry;

typedef struct twi_reel_index {
    entry *plain; /* by name, then by place in the plan */
    size_t plain_count;
    size_t *globs; /* sources with wildcards, in the order of the plan */
    size_t glob_count;
} twi_reel_index;

static int by_reel(const void *a, const void *b)
{
    const entry *x = a, *y = b;
    return tw_then(tw_str_cmp(x->reel, y->reel), TW_CMP(x->source, y->source));
}

void twi_plan_index(tw_arena *arena, tw_plan *plan)
{
    twi_reel_index *index = TW_NEW(arena, twi_reel_index);
    index->plain = TW_NEW_N(arena, entry, plan->source_count);
    index->globs = TW_NEW_N(arena, size_t, plan->source_count);
    for (size_t i = 0; i < plan->source_count; i++) {
        tw_str reel = plan->sources[i].reel;
        if (tw_str_has_wildcard(reel))
            index->globs[index->glob_count++] = i;
        else
            index->plain[index->plain_count++] = (entry){tw_arena_lower(arena, reel), i};
    }
    TW_SORT(index->plain, index->plain_count, by_reel);
    plan->by_reel = index;
}

/* The first source of that very name, or SIZE_MAX. */
static size_t plain_match(const twi_reel_index *index, tw_str name)
{
    size_t i;
    TW_SEARCH(i, index->plain_count, tw_str_icmp(index->plain[i].reel, name) < 0);
    bool same = i < index->plain_count && tw_str_icmp(index->plain[i].reel, name) == 0;
    return same ? index->plain[i].source : SIZE_MAX;
}

static bool has_name(tw_str reel, tw_str name, bool loose)
{
    return tw_str_has_wildcard(reel) ? loose && tw_str_glob(reel, name) : tw_str_ieq(reel, name);
}

static size_t match(const tw_plan *plan, tw_str name, bool loose)
{
    const twi_reel_index *index = plan->by_reel;
    if (index == NULL) {
        for (size_t i = 0; i < plan->source_count; i++)
            if (has_name(plan->sources[i].reel, name, loose))
                return i;
        return SIZE_MAX;
    }
    size_t first = plain_match(index, name);
    for (size_t i = 0; loose && i < index->glob_count && index->globs[i] < first; i++)
        if (tw_str_glob(plan->sources[index->globs[i]].reel, name))
            return index->globs[i];
    return first;
}

const tw_source *tw_plan_source(const tw_plan *plan, const tw_str *names, size_t count, size_t loose)
{
    size_t any = SIZE_MAX;
    for (size_t i = 0; i < count; i++) {
        size_t found = match(plan, names[i], i < loose);
        if (found >= any)
            continue;
        if (!tw_str_is(plan->sources[found].reel, "*"))
            return &plan->sources[found];
        any = found;
    }
    return any != SIZE_MAX ? &plan->sources[any] : NULL;
}
