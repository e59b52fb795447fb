/* SPDX-License-Identifier: Apache-2.0
 *
 * How the clips of an edit count their source frames, by the names a plan may call them by.
 */
#include "derive_internal.h"

typedef struct clocks {
    tw_arena *arena;
    const tw_timeline *master;
    tw_reel_clock *at;
    size_t len, cap;
    bool alike; /* as the record counts, all of them */
} clocks;

static bool is_picture(const tw_track *track, const tw_item *item)
{
    return item->kind == TW_ITEM_CLIP && track->kind == TW_TRACK_VIDEO && !tw_item_is_black(item);
}

static bool look_at(void *context, const tw_track *track, const tw_item *item)
{
    clocks *c = context;
    if (is_picture(track, item))
        c->alike = c->alike && tw_rate_eq(tw_item_source_rate(c->master, item), c->master->rate) &&
                   item->source_drop == c->master->drop;
    return c->alike;
}

static bool is_first(const tw_names *names, size_t n)
{
    size_t i = 0;
    while (!tw_str_ieq(names->at[i], names->at[n]))
        i++;
    return i == n;
}

/* Lists always say how they count, and what was made of one does. */
static bool add_clip(void *context, const tw_track *track, const tw_item *item)
{
    clocks *c = context;
    if (!is_picture(track, item))
        return true;
    const tw_names names = tw_item_names(item);
    for (size_t n = 0; n < names.count; n++)
        if (names.at[n].len > 0 && is_first(&names, n))
            TW_PUSH(c->arena, c->at, c->len, c->cap) = (tw_reel_clock){
                .name = tw_arena_lower(c->arena, names.at[n]),
                .written = names.at[n],
                .rate = tw_item_source_rate(c->master, item),
                .drop = item->source_drop,
                .says_drop = item->source_drop || c->master->drop || item->channels != 0,
                .loose = n < names.loose,
                .clips = 1,
            };
    return true;
}

static int by_name(const void *a, const void *b)
{
    const tw_reel_clock *x = a, *y = b;
    int order = tw_then(tw_str_cmp(x->name, y->name), tw_rate_cmp(x->rate, y->rate));
    return tw_then(order, tw_then(TW_CMP(x->drop, y->drop), TW_CMP(x->loose, y->loose)));
}

static void join(clocks *c)
{
    size_t kept = 0;
    TW_SORT(c->at, c->len, by_name);
    for (size_t i = 0; i < c->len; i++) {
        tw_reel_clock *last = kept > 0 ? &c->at[kept - 1] : NULL;
        if (last != NULL && by_name(last, &c->at[i]) == 0) {
            last->clips++;
            last->says_drop = last->says_drop || c->at[i].says_drop;
        } else {
            c->at[kept++] = c->at[i];
        }
    }
    c->len = kept;
}

static bool plan_says_clocks(const tw_plan *plan)
{
    const tw_json *source = tw_json_first(tw_json_get(plan->doc.root, "sources"));
    while (source != NULL && tw_json_get(source, "rate") == NULL && tw_json_get(source, "drop") == NULL)
        source = source->next;
    return source != NULL;
}

/* Does the plan say of the edit what the edit says of itself? */
static bool is_counted_alike(const tw_plan *plan, const tw_timeline *master)
{
    bool says_drop = tw_json_get(tw_json_get(plan->doc.root, "edit"), "drop") != NULL;
    return (!tw_rate_known(plan->rate) || tw_rate_eq(plan->rate, master->rate)) &&
           (!says_drop || plan->drop == master->drop);
}

void tw_derive_clocks(tw_arena *arena, const tw_timeline *master, tw_plan *plan)
{
    clocks c = {.arena = arena, .master = master, .alike = true};
    tw_timeline_walk(master, look_at, &c);
    if (c.alike && !plan_says_clocks(plan) && is_counted_alike(plan, master))
        return;
    tw_timeline_walk(master, add_clip, &c);
    join(&c);
    plan->clocks = c.at;
    plan->clock_count = c.len;
}
