/* SPDX-License-Identifier: Apache-2.0
 *
 * From an alignment to what an editor would call what happened.
 */
#include "recut_internal.h"

typedef struct comparing {
    tw_arena *arena;
    const tw_alignment *a;
    tw_comparison *out;
    double slack;
} comparing;

/* ---- one group ------------------------------------------------------------------------------------------- */

bool twi_recut_same_transition(const tw_item *a, const tw_item *b)
{
    if (a == NULL || b == NULL)
        return a == b;
    return tw_time_eq(a->in_offset, b->in_offset) && tw_time_eq(a->out_offset, b->out_offset);
}

static void widest_window(const comparing *c, tw_change *change)
{
    for (size_t o = 0; o < change->old_count; o++) {
        for (size_t n = 0; n < change->new_count; n++) {
            const tw_shot *x = &c->a->olds[change->olds[o]], *y = &c->a->news[change->news[n]];
            tw_frame_map map = tw_recut_map(x, y);
            if (map.to <= map.from)
                continue;
            tw_window_change w = tw_recut_windows(x->item->framing, y->item->framing, map, c->slack);
            if (w.one_side || w.px > change->window.px || (w.changed && !change->window.changed))
                change->window = w;
            if (w.one_side)
                return;
        }
    }
}

static void missing_frames(const comparing *c, tw_change *change)
{
    const tw_shot *shots = change->new_count > 1 ? c->a->news : c->a->olds;
    const size_t *list = change->new_count > 1 ? change->news : change->olds;
    size_t count = change->new_count > 1 ? change->new_count : change->old_count;
    for (size_t k = 1; k < count; k++) {
        int64_t missing = 0;
        if (twi_recut_follows(&shots[list[k - 1]], &shots[list[k]], &missing))
            change->missing += missing;
    }
}

static tw_change_kind kind_of(const tw_change *change, const tw_shot *old_shot, const tw_shot *new_shot)
{
    bool retimed;
    if (change->new_count > 1)
        return TW_CHANGE_SPLIT;
    if (change->old_count > 1)
        return TW_CHANGE_JOINED;

    if (twi_recut_linked(old_shot, new_shot, &retimed) && retimed)
        return TW_CHANGE_RETIMED;
    return change->head != 0 || change->tail != 0 ? TW_CHANGE_TRIMMED : TW_CHANGE_KEPT;
}

static tw_change change_of(const comparing *c, const tw_shot_group *g)
{
    tw_change change = {
        .moved = g->moved, .olds = g->olds, .news = g->news, .old_count = g->old_count, .new_count = g->new_count};
    const tw_shot *x = &c->a->olds[g->olds[0]], *y = &c->a->news[g->news[0]];
    const tw_shot *xl = &c->a->olds[g->olds[g->old_count - 1]], *yl = &c->a->news[g->news[g->new_count - 1]];
    change.head = twi_recut_head(x, y);
    change.tail = twi_recut_tail(xl, yl);
    change.kind = kind_of(&change, x, y);
    missing_frames(c, &change);
    change.old_transition = x->before;
    change.new_transition = y->before;
    change.transition =
        !twi_recut_same_transition(x->before, y->before) || !twi_recut_same_transition(xl->after, yl->after);
    change.enabled = (x->item->enabled && x->track->enabled) != (y->item->enabled && y->track->enabled);
    widest_window(c, &change);
    return change;
}

/* ---- in order -------------------------------------------------------------------------------------------- */

static void add_change(const comparing *c, tw_change change)
{
    tw_comparison *out = c->out;
    out->changes[out->count++] = change;
    out->of_kind[change.kind]++;
    out->moved += change.moved;
    out->transitions += change.transition;
    out->windows += change.window.changed;
    out->enabled += change.enabled;
    if (change.kind != TW_CHANGE_KEPT || change.moved || change.transition || change.window.changed || change.enabled)
        out->same = false;
}

static const size_t *one(const comparing *c, size_t index)
{
    size_t *list = TW_NEW(c->arena, size_t);
    *list = index;
    return list;
}

static void add_alone(const comparing *c, size_t old_index, size_t new_index)
{
    tw_change change = {.kind = TW_CHANGE_REPLACED};
    if (old_index != SIZE_MAX) {
        change.olds = one(c, old_index);
        change.old_count = 1;
    }
    if (new_index != SIZE_MAX) {
        change.news = one(c, new_index);
        change.new_count = 1;
    }
    if (change.new_count == 0)
        change.kind = TW_CHANGE_REMOVED;
    else if (change.old_count == 0)
        change.kind = TW_CHANGE_ADDED;
    add_change(c, change);
}

static size_t next_alone(const size_t *group, size_t from, size_t to)
{
    while (from < to && group[from] != SIZE_MAX)
        from++;
    return from;
}

static size_t count_alone(const size_t *group, size_t from, size_t to)
{
    size_t count = 0;
    for (size_t i = from; i < to; i++)
        count += group[i] == SIZE_MAX;
    return count;
}

/* Shots between two that stayed in order. One in the place of one, or one of the same length at the same turn, is a
 * replacement. */
static void add_slot(const comparing *c, size_t i, size_t old_end, size_t j, size_t new_end)
{
    const tw_alignment *a = c->a;
    bool only = count_alone(a->old_group, i, old_end) == 1 && count_alone(a->new_group, j, new_end) == 1;
    i = next_alone(a->old_group, i, old_end);
    for (; j < new_end; j++) {
        if (a->new_group[j] != SIZE_MAX) {
            const tw_shot_group *g = &a->groups[a->new_group[j]];
            if (g->moved)
                add_change(c, change_of(c, g));
            continue;
        }
        bool replaced = i < old_end && (only || a->olds[i].frames == a->news[j].frames);
        add_alone(c, replaced ? i : SIZE_MAX, j);
        if (replaced)
            i = next_alone(a->old_group, i + 1, old_end);
    }
    for (; i < old_end; i = next_alone(a->old_group, i + 1, old_end))
        add_alone(c, i, SIZE_MAX);
}

tw_comparison *tw_recut_compare(tw_arena *arena, const tw_timeline *old_timeline, const tw_timeline *new_timeline,
                                double slack)
{
    const tw_alignment *a = tw_recut_align(arena, old_timeline, new_timeline);
    tw_comparison *out = TW_NEW(arena, tw_comparison);
    out->alignment = a;
    out->changes = TW_NEW_N(arena, tw_change, a->old_count + a->new_count);
    out->same = true;
    const comparing c = {arena, a, out, slack};
    size_t i = 0, j = 0;
    for (size_t g = 0; g < a->group_count; g++) {
        const tw_shot_group *group = &a->groups[g];
        if (group->moved)
            continue;
        add_slot(&c, i, group->olds[0], j, group->news[0]);
        add_change(&c, change_of(&c, group));
        i = group->olds[0] + 1;
        j = group->news[0] + 1;
    }
    add_slot(&c, i, a->old_count, j, a->new_count);
    return out;
}
