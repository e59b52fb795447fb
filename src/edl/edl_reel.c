/* SPDX-License-Identifier: Apache-2.0 */
#include "edl_out.h"

#define SHORT_REEL 8u
#define LONG_REEL 128u
#define DIGITS 3 /* at least, of the number of a reel that would be the same as another */

tw_str twi_edl_full_reel(const tw_item *item)
{
    if (item == NULL || tw_item_is_black(item)) /* bars too, and told */
        return TW_STR("BL");
    const tw_media *m = tw_item_media(item);
    tw_str name = item->reel;
    if (name.len == 0 && m != NULL)
        name = tw_str_stem(m->url.len > 0 ? m->url : m->name);
    if (name.len == 0)
        name = item->name;
    return name.len > 0 ? name : TW_STR("AX");
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
    const tw_item *item;
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

/* Names given so far: a table twice as long as there are names, looked into where a name's hash says and behind it. */
typedef struct names {
    tw_str *at;
    size_t size;
} names;

/* False: it was given already. */
static bool give(names *given, tw_str name)
{
    size_t i = tw_str_hash(name) % given->size;
    for (; given->at[i].at != NULL; i = (i + 1) % given->size)
        if (tw_str_eq(given->at[i], name))
            return false;
    given->at[i] = name;
    return true;
}

/* Reels that are the same when shortened, or in ASCII, get numbers: all but the last three characters and three digits,
 * or as many as are needed. The first to appear keeps its name. Reels that need no change come first: they never get
 * one. */
static void tell_apart(twi_out *out, reel *reels, size_t count, size_t most)
{
    for (size_t i = 0; i < count; i++)
        reels[i].first = tw_str_eq(reels[i].full, reels[i].shorter) ? 0 : reels[i].first + 1;
    TW_SORT(reels, count, by_shorter);
    names given = {TW_NEW_N(out->arena, tw_str, 2 * count + 1), 2 * count + 1};
    bool *same = TW_NEW_N(out->arena, bool, count);
    for (size_t i = 0; i < count; i++)
        same[i] = !give(&given, reels[i].shorter);
    size_t number = 0;
    tw_str last = {NULL, 0};
    for (size_t i = 0; i < count; i++) {
        const tw_str whole = reels[i].shorter, head = tw_str_cut(whole, most - DIGITS);
        number = tw_str_eq(head, last) ? number : 0;
        last = head;
        while (same[i]) {
            tw_str digits = tw_arena_printf(out->arena, "%0*zu", DIGITS, ++number);
            reels[i].shorter =
                tw_arena_printf(out->arena, "%.*s%.*s", TW_ARG(tw_str_cut(whole, most - digits.len)), TW_ARG(digits));
            same[i] = !give(&given, reels[i].shorter);
            if (!same[i])
                twi_edl_lose(out, TWI_LOSS_REEL_SAME, reels[i].item);
        }
    }
}

static size_t collect_uses(twi_out *out, use *uses)
{
    size_t count = 0;
    for (size_t i = 0; i < out->count; i++) {
        twi_out_event *e = &out->events[i];
        uses[count] = (use){twi_edl_full_reel(e->item), count, &e->reel, e->item};
        count++;
        if (e->cut == TWI_CUT)
            continue;
        uses[count] = (use){twi_edl_full_reel(e->from), count, &e->from_reel, NULL};
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
        if (i > 0 && tw_str_eq(uses[i].full, uses[i - 1].full))
            continue;
        tw_str plain = twi_edl_reel_ascii(out->arena, uses[i].full);
        reels[distinct++] = (reel){uses[i].full, tw_str_cut(plain, most), uses[i].order, uses[i].item};
        longest = plain.len > longest ? plain.len : longest;
    }
    tell_apart(out, reels, distinct, most);
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
