/* SPDX-License-Identifier: Apache-2.0
 *
 * Looking for what a boosted cascade was trained on: P. Viola, M. Jones, Rapid object detection using a boosted cascade
 * of simple features (CVPR 2001); turned features and the normalisation by variance: R. Lienhart, J. Maydt, An extended
 * set of Haar-like features for rapid object detection (ICIP 2002).
 */
#include "boxes.h"
#include "sums.h"

#include "base/ext.h"

#include <math.h>

#define LEAST_CONTRAST 10 /* deviation of a window that can show anything */
#define COARSE_STEP 2     /* windows lie so far apart while the picture is not yet halved */

/* Corners of a feature's rectangles, as distances in the sums of one level. */
typedef struct laid {
    uint32_t at[TW_CASCADE_RECTS][4];
    float weight[TW_CASCADE_RECTS];
    int count;
} laid;

typedef struct search {
    const tw_cascade *cascade;
    twi_sums sums;
    laid *laid;
    uint32_t inner[4]; /* the window without its outermost pixels: what is normalised by */
    float inner_area;
    double scale;
    int apart;
    tw_found *hits;
    size_t count, cap;
    tw_arena *arena;
} search;

static void lay_upright(const tw_cascade_rect *r, uint32_t stride, uint32_t at[4])
{
    const uint32_t x = (uint32_t)r->x, y = (uint32_t)r->y, w = (uint32_t)r->w, h = (uint32_t)r->h;
    at[0] = y * stride + x;
    at[1] = at[0] + w;
    at[2] = at[0] + h * stride;
    at[3] = at[2] + w;
}

/* Top corner at (x, y), w along the diagonal down to the right, h along the one down to the left. */
static void lay_turned(const tw_cascade_rect *r, const twi_sums *sums, uint32_t at[4])
{
    const uint32_t x = (uint32_t)r->x, y = (uint32_t)r->y, w = (uint32_t)r->w, h = (uint32_t)r->h;
    at[0] = sums->turned_at + y * sums->stride + x;
    at[1] = at[0] + h * sums->stride - h;
    at[2] = at[0] + w * sums->stride + w;
    at[3] = at[0] + (w + h) * sums->stride + w - h;
}

static void lay(search *s)
{
    for (size_t i = 0; i < s->cascade->feature_count; i++) {
        const tw_cascade_feature *f = &s->cascade->features[i];
        laid *l = &s->laid[i];
        l->count = f->count;
        for (int r = 0; r < f->count; r++) {
            l->weight[r] = f->rects[r].weight;
            if (f->tilted)
                lay_turned(&f->rects[r], &s->sums, l->at[r]);
            else
                lay_upright(&f->rects[r], s->sums.stride, l->at[r]);
        }
    }
    const tw_cascade_rect inner = {1, 1, (int16_t)(s->cascade->w - 2), (int16_t)(s->cascade->h - 2), 1};
    lay_upright(&inner, s->sums.stride, s->inner);
    s->inner_area = (float)(inner.w * inner.h);
}

/* Unsigned sums may wrap round; their differences over a window do not. */
static uint32_t sum_over(const uint32_t *sums, const uint32_t at[4])
{
    return sums[at[0]] - sums[at[1]] - sums[at[2]] + sums[at[3]];
}

static float feature(const laid *l, const uint32_t *sums)
{
    float value = 0;
    for (int r = 0; r < l->count; r++)
        value += l->weight[r] * (float)(int32_t)sum_over(sums, l->at[r]);
    return value;
}

/* The area times the standard deviation of the window's brightness. */
static float spread(const search *s, size_t at)
{
    const double sum = sum_over(s->sums.plain + at, s->inner), square = sum_over(s->sums.square + at, s->inner);
    const double v = (double)s->inner_area * square - sum * sum;
    return v > 0 ? (float)sqrt(v) : 0;
}

static float tree_value(const search *s, const tw_cascade_tree *tree, const uint32_t *sums, float norm)
{
    const tw_cascade_node *nodes = s->cascade->nodes + tree->node;
    int32_t next = 0;
    do {
        const tw_cascade_node *n = &nodes[next];
        next = feature(&s->laid[n->feature], sums) < n->threshold * norm ? n->left : n->right;
    } while (next > 0);
    return s->cascade->leaves[tree->leaf + (uint32_t)-next];
}

static bool passes(const search *s, size_t at)
{
    const uint32_t *sums = s->sums.plain + at;
    const float norm = spread(s, at);
    if (norm < LEAST_CONTRAST * s->inner_area)
        return false;
    for (size_t i = 0; i < s->cascade->stage_count; i++) {
        const tw_cascade_stage *stage = &s->cascade->stages[i];
        float sum = 0;
        for (uint32_t t = 0; t < stage->count; t++)
            sum += tree_value(s, &s->cascade->trees[stage->tree + t], sums, norm);
        if (sum < stage->threshold)
            return false;
    }
    return true;
}

static void scan(search *s)
{
    const int step = s->apart > 0 ? s->apart : s->scale < 2 ? COARSE_STEP : 1;
    for (int y = 0; y + s->cascade->h <= s->sums.h; y += step) {
        for (int x = 0; x + s->cascade->w <= s->sums.w; x += step) {
            if (!passes(s, (size_t)y * s->sums.stride + (size_t)x))
                continue;
            const tw_spot box = {x * s->scale, y * s->scale, s->cascade->w * s->scale, s->cascade->h * s->scale, 1};
            TW_PUSH(s->arena, s->hits, s->count, s->cap) = (tw_found){box, 1};
        }
    }
}

static bool has_turned(const tw_cascade *cascade)
{
    for (size_t i = 0; i < cascade->feature_count; i++) {
        if (cascade->features[i].tilted)
            return true;
    }
    return false;
}

size_t tw_cascade_find(tw_arena *arena, const tw_cascade *cascade, const tw_plane *plane, const tw_cascade_ask *ask,
                       tw_found **out)
{
    const double step = ask->step > 1 ? ask->step : 1.1;
    const int votes = ask->votes > 0 ? ask->votes : 4;
    TW_ASSERT(cascade->w > 2 && cascade->h > 2 && cascade->w <= TW_CASCADE_WINDOW && cascade->h <= TW_CASCADE_WINDOW);
    search s = {.cascade = cascade, .apart = ask->apart, .arena = tw_arena_like(arena)};
    s.laid = TW_NEW_N(s.arena, laid, cascade->feature_count);
    twi_sums_init(s.arena, plane, has_turned(cascade), &s.sums);
    for (s.scale = 1;; s.scale *= step) {
        const double wide = cascade->w * s.scale;
        const int w = (int)(plane->w / s.scale + 0.5), h = (int)(plane->h / s.scale + 0.5);
        if (w < cascade->w || h < cascade->h || (ask->most > 0 && wide > ask->most))
            break;
        if (wide < ask->least)
            continue;
        twi_sums_fill(&s.sums, plane, w, h);
        lay(&s);
        scan(&s);
    }
    const size_t count = twi_found_group(arena, s.hits, s.count, votes, out);
    tw_arena_free(&s.arena);
    return count;
}
