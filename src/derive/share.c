/* SPDX-License-Identifier: Apache-2.0
 *
 * A cut back to the same set-up keeps the same framing (solver.md section 8: common practice, no source).
 */
#include "derive_internal.h"

#include <string.h>

/* Still, with all of the must regions. */
static bool holds_all(const tw_path_result *path)
{
    for (size_t i = 0; i < path->compromise_count; i++)
        if (path->compromises[i].what == TW_YIELD_CUT || path->compromises[i].what == TW_YIELD_DROPPED)
            return false;
    return path->reason == TW_PATH_STILL;
}

static bool can_share(const twi_unit *unit)
{
    return unit->asked && holds_all(&unit->path) && !(unit->path.steadied > 0) && unit->ask.note_count > 0;
}

static int by_set_up(const void *a, const void *b)
{
    const twi_unit *x = *(const twi_unit *const *)a, *y = *(const twi_unit *const *)b;
    int order = tw_then(TW_CMP(x->shots->source, y->shots->source), TW_CMP(x->ask.note_count, y->ask.note_count));
    for (size_t n = 0; order == 0 && n < x->ask.note_count; n++)
        order = TW_CMP(x->ask.notes[n], y->ask.notes[n]);
    return tw_then(order, TW_CMP(x->shot, y->shot));
}

static bool same_set_up(const twi_unit *x, const twi_unit *y)
{
    return x->shots->source == y->shots->source && x->ask.note_count == y->ask.note_count &&
           memcmp(x->ask.notes, y->ask.notes, x->ask.note_count * sizeof *x->ask.notes) == 0;
}

/* One long job made of all the units', one after the other; regions are told apart by the plan's own. */
typedef struct joint {
    twi_ask *asks;
    size_t count;
    const tw_region **regions;
    size_t region_count;
    tw_path_job job;
} joint;

static size_t find_region(const tw_region *const *regions, size_t count, const tw_region *wanted)
{
    size_t i = 0;
    while (i < count && regions[i] != wanted)
        i++;
    return i;
}

static void join_regions(joint *j, tw_arena *scratch)
{
    size_t most = 0;
    for (size_t a = 0; a < j->count; a++)
        most += j->asks[a].region_count;
    j->regions = TW_NEW_N(scratch, const tw_region *, most);
    tw_path_region *regions = TW_NEW_N(scratch, tw_path_region, most);
    int64_t start = 0;
    for (size_t a = 0; a < j->count; a++) {
        const twi_ask *ask = &j->asks[a];
        for (size_t r = 0; r < ask->region_count; r++) {
            size_t k = find_region(j->regions, j->region_count, ask->regions[r]);
            if (k == j->region_count) {
                j->regions[j->region_count++] = ask->regions[r];
                regions[k] = ask->job.regions[r];
                regions[k].boxes = TW_NEW_N(scratch, tw_path_box, (size_t)j->job.frames);
            }
            tw_path_box *boxes = (tw_path_box *)regions[k].boxes;
            memcpy(boxes + start, ask->job.regions[r].boxes, (size_t)ask->job.frames * sizeof *boxes);
        }
        start += ask->job.frames;
    }
    j->job.regions = regions;
    j->job.region_count = j->region_count;
}

static void share_one(tw_arena *arena, const twi_asking *asking, twi_unit **units, size_t count)
{
    tw_arena *scratch = tw_arena_like(arena);
    joint j = {.asks = TW_NEW_N(scratch, twi_ask, count), .count = count};
    int64_t frames = 0;
    for (size_t i = 0; i < count; i++) {
        twi_derive_ask(scratch, asking, units[i]->shots, &j.asks[i]);
        frames += j.asks[i].job.frames;
    }
    j.job = j.asks[0].job;
    j.job.first_frame = 0;
    j.job.shake = NULL;
    j.job.frames = frames;
    j.job.moves = TW_MOVES_STILL;
    join_regions(&j, scratch);
    tw_path_result path;
    tw_path_solve(scratch, &j.job, &path);
    bool serves = holds_all(&path) && path.key_count == 1;
    for (size_t i = 0; serves && i < count; i++) {
        units[i]->path.keys = TW_NEW(arena, tw_key);
        units[i]->path.keys[0] = path.keys[0];
        units[i]->path.keys[0].frame = 0;
        units[i]->path.key_count = 1;
        units[i]->shared = true;
    }
    tw_arena_free(&scratch);
}

void twi_derive_share(tw_arena *arena, const twi_asking *asking, twi_unit *units, size_t count)
{
    twi_unit **able = TW_NEW_N(arena, twi_unit *, count);
    size_t able_count = 0;
    for (size_t i = 0; i < count; i++)
        if (can_share(&units[i]))
            able[able_count++] = &units[i];
    TW_SORT(able, able_count, by_set_up);
    for (size_t i = 0, end; i < able_count; i = end) {
        for (end = i + 1; end < able_count && same_set_up(able[i], able[end]); end++)
            ;
        if (end - i > 1)
            share_one(arena, asking, able + i, end - i);
    }
}
