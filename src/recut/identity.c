/* SPDX-License-Identifier: Apache-2.0
 *
 * Which material a shot shows, whatever way its name is spelled in either version.
 *
 * The first name that says something (tw_item_names) is a shot's own name. Own names that both versions have mean the
 * same. A name only one version has is taken for one that only the other has when
 *   - it is that name cut to the eight characters of a classic reel field, or
 *   - shots under both carry the same file or clip name besides.
 */
#include "recut_internal.h"

#define REEL_FIELD 8u /* characters of the classic reel column (SMPTE ST 258) */

/* ---- spelling -------------------------------------------------------------------------------------------- */

static bool is_letter(char c)
{
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z');
}

/* Is what follows the last point an extension rather than a part of the name, as in A003.C001? */
static bool is_extension(tw_str tail)
{
    size_t letters = 0, digits = 0;
    for (size_t i = 0; i < tail.len; i++) {
        letters += is_letter(tail.at[i]);
        digits += tw_is_digit(tail.at[i]);
    }
    return (tail.len == 3 || tail.len == 4) && letters + digits == tail.len && digits <= 1;
}

/* "shot.[1001-1020].exr", "shot.%04d.exr", "shot.####.exr": the frame counter is not part of the name. */
static tw_str without_counter(tw_str name)
{
    size_t dot = name.len;
    while (dot > 0 && name.at[dot - 1] != '.')
        dot--;
    char first = dot > 0 && dot < name.len ? name.at[dot] : '\0';
    return first == '[' || first == '%' || first == '#' ? tw_str_cut(name, dot - 1) : name;
}

tw_str twi_recut_spelling(tw_arena *arena, tw_str name)
{
    tw_str base = tw_str_basename(name);
    tw_str stem = tw_str_stem(name);
    if (stem.len > 0 && stem.len + 1 < base.len && is_extension(tw_str_from(base, stem.len + 1)))
        base = without_counter(stem);
    char *out = tw_arena_dupz(arena, base);
    size_t len = 0;
    for (size_t i = 0; i < base.len; i++) {
        char c = base.at[i];
        if (c >= 'A' && c <= 'Z')
            out[len++] = (char)(c - 'A' + 'a');
        else if (is_letter(c) || tw_is_digit(c) || (unsigned char)c >= 0x80)
            out[len++] = c;
    }
    return len > 0 ? (tw_str){out, len} : base;
}

/* AX stands for any auxiliary source and tells nothing apart. */
static bool says_nothing(tw_str name)
{
    return name.len == 0 || tw_str_ieq(name, TW_STR("AX"));
}

/* ---- names of both versions ------------------------------------------------------------------------------ */

enum { OLD = 1, NEW = 2 };

typedef struct spelt {
    tw_str name;
    uint32_t own;  /* other names: index of the own name it was found with */
    uint8_t sides; /* OLD, NEW */
    bool cut;      /* written with exactly eight characters */
} spelt;

typedef struct names {
    tw_arena *arena;
    spelt *own, *other;
    size_t own_count, other_count, other_cap;
    uint32_t *root; /* union of own names */
} names;

static int by_name(const void *a, const void *b)
{
    const spelt *x = a, *y = b;
    return tw_then(tw_str_cmp(x->name, y->name), TW_CMP(x->own, y->own));
}

static spelt own_name(tw_arena *arena, const tw_shot *shot, uint8_t side)
{
    if (tw_item_is_black(shot->item))
        return (spelt){.name = TW_STR("bl"), .sides = side};
    tw_str given = tw_item_source_name(shot->item);
    return (spelt){.name = twi_recut_spelling(arena, given), .sides = side, .cut = given.len == REEL_FIELD};
}

/* Sorts the own names, one of each, and gives each shot the place of its own. */
static void settle_own(names *n, tw_shot *const lists[2], const size_t counts[2])
{
    spelt *all = n->own;
    size_t total = n->own_count;
    TW_SORT(all, total, by_name);
    n->own = TW_NEW_N(n->arena, spelt, total);
    n->own_count = 0;
    for (size_t i = 0; i < total; i++) {
        if (i == 0 || !tw_str_eq(all[i].name, all[i - 1].name))
            n->own[n->own_count++] = all[i];
        spelt *kept = &n->own[n->own_count - 1];
        kept->sides |= all[i].sides;
        kept->cut = kept->cut || all[i].cut;
        size_t shot = all[i].own;
        uint32_t name = (uint32_t)(n->own_count - 1);
        if (shot < counts[0])
            lists[0][shot].media = name;
        else
            lists[1][shot - counts[0]].media = name;
    }
}

static void gather_own(names *n, tw_shot *const lists[2], const size_t counts[2])
{
    n->own = TW_NEW_N(n->arena, spelt, counts[0] + counts[1]);
    for (size_t side = 0; side < 2; side++) {
        for (size_t i = 0; i < counts[side]; i++) {
            spelt s = own_name(n->arena, &lists[side][i], side == 0 ? OLD : NEW);
            s.own = (uint32_t)n->own_count;
            n->own[n->own_count++] = s;
        }
    }
    settle_own(n, lists, counts);
}

static bool one_sided(const names *n, uint32_t own)
{
    return n->own[own].sides != (OLD | NEW);
}

/* The other names of shots whose own name only one version has. */
static void gather_other(names *n, const tw_shot *shots, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        const tw_names given = tw_item_names(shots[i].item);
        if (!one_sided(n, shots[i].media) || tw_item_is_black(shots[i].item))
            continue;
        for (size_t k = 0; k < given.count; k++) {
            tw_str name = twi_recut_spelling(n->arena, given.at[k]);
            if (says_nothing(given.at[k]) || (k > 0 && tw_str_eq(given.at[k], given.at[k - 1])))
                continue;
            TW_PUSH(n->arena, n->other, n->other_count, n->other_cap) = (spelt){.name = name, .own = shots[i].media};
        }
    }
}

/* ---- union of names -------------------------------------------------------------------------------------- */

static uint32_t root_of(const names *n, uint32_t name)
{
    while (n->root[name] != name) {
        n->root[name] = n->root[n->root[name]];
        name = n->root[name];
    }
    return name;
}

static void unite(names *n, uint32_t a, uint32_t b)
{
    uint32_t x = root_of(n, a), y = root_of(n, b);
    if (x != y)
        n->root[x > y ? x : y] = x > y ? y : x;
}

static bool opposite(const names *n, uint32_t a, uint32_t b)
{
    return one_sided(n, a) && one_sided(n, b) && n->own[a].sides != n->own[b].sides;
}

/* Names are sorted, so those that begin with a cut one follow it. */
static void unite_cut(names *n)
{
    for (uint32_t i = 0; i < n->own_count; i++) {
        if (!n->own[i].cut || !one_sided(n, i) || n->own[i].name.len == 0)
            continue;
        for (uint32_t k = i + 1; k < n->own_count && tw_str_starts(n->own[k].name, n->own[i].name); k++)
            if (opposite(n, i, k))
                unite(n, i, k);
    }
}

static size_t side_of(const names *n, const spelt *other)
{
    return n->own[other->own].sides == OLD ? 0 : 1;
}

/* Rows [i, end) have one name: the own names of either version they were found with are the same. */
static void unite_run(names *n, size_t i, size_t end)
{
    uint32_t first[2] = {UINT32_MAX, UINT32_MAX};
    for (size_t k = end; k > i; k--)
        first[side_of(n, &n->other[k - 1])] = n->other[k - 1].own;
    if (first[0] == UINT32_MAX || first[1] == UINT32_MAX)
        return;
    for (size_t k = i; k < end; k++)
        unite(n, n->other[k].own, first[1 - side_of(n, &n->other[k])]);
}

static void unite_other(names *n)
{
    TW_SORT(n->other, n->other_count, by_name);
    for (size_t i = 0, end; i < n->other_count; i = end) {
        for (end = i; end < n->other_count && tw_str_eq(n->other[end].name, n->other[i].name); end++)
            ;
        unite_run(n, i, end);
    }
}

/* ---- shots ----------------------------------------------------------------------------------------------- */

typedef struct gathering {
    tw_arena *arena;
    const tw_timeline *timeline;
    const tw_stand *stands;
    tw_shot *at;
    size_t len, cap;
} gathering;

static const tw_item *transition_at(const tw_track *track, size_t index)
{
    const tw_item *item = index < track->item_count ? &track->items[index] : NULL;
    return item != NULL && item->kind == TW_ITEM_TRANSITION ? item : NULL;
}

static void add_shot(gathering *g, const tw_track *track, size_t index)
{
    const tw_item *item = &track->items[index];
    const tw_stand *stand = &g->stands[item->index];
    const tw_span body = stand->body;
    if (body.first == body.end)
        return;
    double count = tw_rate_count(tw_item_source_rate(g->timeline, item));
    bool black = tw_item_is_black(item); /* its source times mean nothing */
    double start = black ? 0 : tw_item_source_frame(g->timeline, item, body.first);
    double step = black ? 1 : tw_item_source_frame(g->timeline, item, body.first + 1) - start;
    TW_PUSH(g->arena, g->at, g->len, g->cap) = (tw_shot){
        .track = track,
        .item = item,
        .before = index > 0 ? transition_at(track, index - 1) : NULL,
        .after = transition_at(track, index + 1),
        .start = start / count,
        .step = step / count,
        .first = body.first,
        .frames = body.end - body.first,
        .stand = *stand,
    };
}

static void gather_tracks(gathering *g, const tw_track *tracks, size_t count)
{
    for (size_t t = 0; t < count; t++) {
        if (tracks[t].kind != TW_TRACK_VIDEO)
            continue;
        for (size_t i = 0; i < tracks[t].item_count; i++) {
            const tw_item *item = &tracks[t].items[i];
            if (item->kind == TW_ITEM_CLIP)
                add_shot(g, &tracks[t], i);
            else if (item->kind == TW_ITEM_NEST)
                gather_tracks(g, item->tracks, item->track_count);
        }
    }
}

static tw_shot *gather(tw_arena *arena, const tw_timeline *timeline, size_t *count)
{
    gathering g = {.arena = arena, .timeline = timeline, .stands = tw_timeline_stands(arena, timeline)};
    gather_tracks(&g, timeline->tracks, timeline->track_count);
    *count = g.len;
    return g.at;
}

void twi_recut_identify(tw_arena *arena, tw_alignment *alignment)
{
    alignment->olds = gather(arena, alignment->old_timeline, &alignment->old_count);
    alignment->news = gather(arena, alignment->new_timeline, &alignment->new_count);
    tw_arena *scratch = tw_arena_like(arena);
    tw_shot *const lists[2] = {alignment->olds, alignment->news};
    const size_t counts[2] = {alignment->old_count, alignment->new_count};
    names n = {.arena = scratch};
    gather_own(&n, lists, counts);
    n.root = TW_NEW_N(scratch, uint32_t, n.own_count);
    for (uint32_t i = 0; i < n.own_count; i++)
        n.root[i] = i;
    unite_cut(&n);
    for (size_t side = 0; side < 2; side++)
        gather_other(&n, lists[side], counts[side]);
    unite_other(&n);
    for (size_t side = 0; side < 2; side++)
        for (size_t i = 0; i < counts[side]; i++)
            lists[side][i].media = root_of(&n, lists[side][i].media);
    tw_arena_free(&scratch);
}
