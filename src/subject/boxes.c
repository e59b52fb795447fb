/* SPDX-License-Identifier: Apache-2.0 */
#include "boxes.h"

#include <math.h>
#include <string.h>

#define ALIKE 0.2 /* sides this share of the mean size apart are still the same thing */

static bool alike(const tw_spot *a, const tw_spot *b)
{
    const double slack = ALIKE * (tw_min(a->width, b->width) + tw_min(a->height, b->height)) / 2;
    return fabs(a->left - b->left) <= slack && fabs(a->top - b->top) <= slack &&
           fabs(a->left + a->width - b->left - b->width) <= slack &&
           fabs(a->top + a->height - b->top - b->height) <= slack;
}

static size_t root_of(size_t *parent, size_t i)
{
    while (parent[i] != i)
        i = parent[i] = parent[parent[i]];
    return i;
}

/* Is a within b, but for a fifth of b's size? */
static bool within(const tw_spot *a, const tw_spot *b)
{
    const double x = ALIKE * b->width, y = ALIKE * b->height;
    return a->left >= b->left - x && a->top >= b->top - y && a->left + a->width <= b->left + b->width + x &&
           a->top + a->height <= b->top + b->height + y;
}

static int by_votes(const void *a, const void *b)
{
    const tw_found *x = a, *y = b;
    return tw_then(TW_CMP(y->votes, x->votes),
                   tw_then(TW_CMP(x->box.left, y->box.left), TW_CMP(x->box.top, y->box.top)));
}

/* Sums up what was joined; returns how many groups there are, at the front of `sum`. */
static size_t add_up(const tw_found *hits, size_t count, size_t *parent, tw_found *sum)
{
    size_t groups = 0;
    for (size_t i = 0; i < count; i++) {
        tw_found *s = &sum[root_of(parent, i)];
        s->box.left += hits[i].box.left;
        s->box.top += hits[i].box.top;
        s->box.width += hits[i].box.width;
        s->box.height += hits[i].box.height;
        s->votes++;
    }
    for (size_t i = 0; i < count; i++) {
        const int n = sum[i].votes;
        if (n == 0)
            continue;
        const tw_spot b = sum[i].box;
        sum[groups++] = (tw_found){{b.left / n, b.top / n, b.width / n, b.height / n, 1}, n};
    }
    return groups;
}

size_t twi_found_group(tw_arena *arena, const tw_found *hits, size_t count, int votes, tw_found **out)
{
    *out = NULL;
    if (count == 0)
        return 0;
    size_t *parent = TW_NEW_N(arena, size_t, count), kept = 0;
    for (size_t i = 0; i < count; i++) {
        parent[i] = i;
        for (size_t j = 0; j < i; j++) {
            if (alike(&hits[i].box, &hits[j].box))
                parent[root_of(parent, i)] = root_of(parent, j);
        }
    }
    tw_found *found = TW_NEW_N(arena, tw_found, count);
    const size_t groups = add_up(hits, count, parent, found);
    TW_SORT(found, groups, by_votes);
    for (size_t i = 0; i < groups && found[i].votes >= votes; i++) {
        bool inside = false;
        for (size_t j = 0; j < kept && !inside; j++)
            inside = found[i].votes < found[j].votes && within(&found[i].box, &found[j].box);
        if (!inside)
            found[kept++] = found[i];
    }
    *out = found;
    return kept;
}

size_t twi_keep_best(tw_spot *list, size_t count, size_t most, tw_spot spot)
{
    size_t at = count;
    while (at > 0 && list[at - 1].sure < spot.sure)
        at--;
    if (at == most)
        return count;
    if (count < most)
        count++;
    memmove(list + at + 1, list + at, (count - at - 1) * sizeof *list);
    list[at] = spot;
    return count;
}
