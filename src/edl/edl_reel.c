/* SPDX-License-Identifier: Apache-2.0 */
#include <string.h>

#include "edl_out.h"

#define SHORT_REEL 8u
#define LONG_REEL 128u
#define KEPT 5u /* characters before the number of a reel that would be the same as another */

tw_str twi_edl_full_reel(twi_out *out, const tw_item *item)
{
    if (item == NULL || tw_item_is_black(item))
        return TW_STR("BL");
    const tw_media *m = tw_item_media(item);
    tw_str name = item->reel;
    if (name.len == 0 && m != NULL)
        name = m->kind == TW_MEDIA_GENERATOR ? TW_STR("GEN") : tw_str_stem(m->url.len > 0 ? m->url : m->name);
    if (name.len == 0)
        name = item->name;
    tw_buf clean = {.arena = out->arena};
    for (size_t i = 0; i < name.len; i++) { /* a blank would end the field, other bytes are not ASCII */
        char c = name.at[i];
        tw_buf_addc(&clean, c > ' ' && c < 0x7F ? c : '_');
    }
    tw_str full = tw_buf_str(&clean);
    return full.len > 0 ? full : TW_STR("AX");
}

/* One use of a reel: by an event, as its own or as its outgoing side. */
typedef struct use {
    tw_str full;
    size_t order;
    tw_str *written;
    const tw_item *item;
} use;

static int by_full(const void *a, const void *b)
{
    const use *x = a, *y = b;
    return tw_then(tw_str_cmp(x->full, y->full), TW_CMP(x->order, y->order));
}

/* A reel by name, shortened. */
typedef struct reel {
    tw_str full, shorter;
    size_t first; /* order of its first use */
} reel;

static int by_shorter(const void *a, const void *b)
{
    const reel *x = a, *y = b;
    return tw_then(tw_str_cmp(x->shorter, y->shorter), TW_CMP(x->first, y->first));
}

static int by_reel_full(const void *a, const void *b)
{
    return tw_str_cmp(((const reel *)a)->full, ((const reel *)b)->full);
}

static bool taken(const reel *sorted, size_t count, tw_str name)
{
    size_t low = 0, high = count;
    while (low < high) {
        size_t middle = low + (high - low) / 2;
        int order = tw_str_cmp(sorted[middle].shorter, name);
        if (order == 0)
            return true;
        if (order < 0)
            low = middle + 1;
        else
            high = middle;
    }
    return false;
}

/* Reels that are the same when shortened get numbers: five characters and three digits. The first to appear keeps its
 * name. Reels that are short by themselves come first, so that they are never changed. */
static void tell_apart(twi_out *out, reel *reels, size_t count)
{
    for (size_t i = 0; i < count; i++)
        reels[i].first = reels[i].full.len <= SHORT_REEL ? 0 : reels[i].first + 1;
    TW_SORT(reels, count, by_shorter);
    reel *sorted = TW_NEW_N(out->arena, reel, count);
    memcpy(sorted, reels, count * sizeof *sorted);
    unsigned number = 0;
    for (size_t i = 1; i < count; i++) {
        if (!tw_str_eq(sorted[i].shorter, sorted[i - 1].shorter)) {
            bool same_head = tw_str_eq(tw_str_cut(sorted[i].shorter, KEPT), tw_str_cut(sorted[i - 1].shorter, KEPT));
            number = same_head ? number : 0;
            continue;
        }
        tw_str name;
        do
            name =
                tw_arena_printf(out->arena, "%.*s%03u", TW_ARG(tw_str_cut(sorted[i].shorter, KEPT)), ++number % 1000);
        while (number < 1000 && taken(sorted, count, name));
        reels[i].shorter = name;
        twi_edl_lose(out, TWI_LOSS_REEL_SAME, NULL);
    }
}

static size_t collect_uses(twi_out *out, use *uses)
{
    size_t count = 0;
    for (size_t i = 0; i < out->count; i++) {
        twi_out_event *e = &out->events[i];
        uses[count] = (use){twi_edl_full_reel(out, e->item), count, &e->reel, e->item};
        count++;
        if (e->cut == TWI_CUT)
            continue;
        uses[count] = (use){twi_edl_full_reel(out, e->from), count, &e->from_reel, NULL};
        count++;
    }
    TW_SORT(uses, count, by_full);
    return count;
}

void twi_edl_reels(twi_out *out)
{
    use *uses = TW_NEW_N(out->arena, use, out->count * 2);
    size_t count = collect_uses(out, uses), distinct = 0, longest = SHORT_REEL;
    size_t most = out->options->long_reels ? LONG_REEL : SHORT_REEL;
    reel *reels = TW_NEW_N(out->arena, reel, count);
    for (size_t i = 0; i < count; i++) {
        if (i == 0 || !tw_str_eq(uses[i].full, uses[i - 1].full))
            reels[distinct++] = (reel){uses[i].full, tw_str_cut(uses[i].full, most), uses[i].order};
        longest = uses[i].full.len > longest ? uses[i].full.len : longest;
    }
    if (!out->options->long_reels)
        tell_apart(out, reels, distinct);
    TW_SORT(reels, distinct, by_reel_full);
    out->reel_width = longest < most ? longest : most;
    if (out->reel_width > SHORT_REEL && out->reel_width < 32)
        out->reel_width = 32;
    for (size_t i = 0, r = 0; i < count; i++) {
        while (!tw_str_eq(reels[r].full, uses[i].full))
            r++;
        *uses[i].written = reels[r].shorter;
        if (uses[i].item != NULL && !tw_str_eq(reels[r].full, reels[r].shorter))
            twi_edl_lose(out, TWI_LOSS_REEL_CUT, uses[i].item);
    }
}
