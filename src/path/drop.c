/* SPDX-License-Identifier: Apache-2.0
 *
 * Letting go of must regions that do not fit together, the lightest first (solver.md 3.5).
 */
#include "path_internal.h"

#include "region.h"

/* One must region at a frame. */
typedef struct bidder {
    size_t region;
    double weight, area;
    bool held, waiting; /* in the frame before: shown; let go of */
} bidder;

static int by_claim(const void *a, const void *b)
{
    const bidder *x = a, *y = b;
    return tw_then(TW_CMP(y->weight, x->weight),
                   tw_then(TW_CMP(y->held, x->held), tw_then(TW_CMP(y->area, x->area), TW_CMP(x->region, y->region))));
}

static tw_path_box joined(const tw_path_box *a, const tw_path_box *b)
{
    return (tw_path_box){tw_min(a->left, b->left), tw_min(a->top, b->top), tw_max(a->right, b->right),
                         tw_max(a->bottom, b->bottom)};
}

static bool fits(const twi_scene *scene, const tw_path_box *hull, size_t t)
{
    return hull->right - hull->left <= twi_scene_width(scene, t) + TWI_HELD &&
           hull->bottom - hull->top <= twi_scene_height(scene, t) + TWI_HELD;
}

/* Would the region fit beside those that are kept for a while from t on? Those are the ones of frame t. */
static bool fits_for_a_while(const twi_scene *scene, const bidder *kept, size_t count, size_t t, size_t region)
{
    size_t end = t + scene->motion.hold < scene->n ? t + scene->motion.hold : scene->n;
    for (size_t u = t; u < end; u++) {
        const tw_path_box *own = &scene->boxes[region][u];
        if (!twi_box_there(own))
            return true;
        tw_path_box hull = *own;
        for (size_t i = 0; i < count; i++) {
            const tw_path_box *other = &scene->boxes[kept[i].region][u];
            if (twi_box_there(other))
                hull = joined(&hull, other);
        }
        if (!fits(scene, &hull, u))
            return false;
    }
    return true;
}

static size_t bidders_of(const twi_scene *scene, size_t t, bidder *out)
{
    size_t count = 0;
    for (size_t i = 0; i < scene->job->region_count; i++) {
        if (scene->boxes[i] == NULL || !scene->must[i] || !twi_box_there(&scene->boxes[i][t]))
            continue;
        const tw_path_box *b = &scene->boxes[i][t];
        bool before = t > 0 && twi_box_there(&scene->boxes[i][t - 1]);
        bool gone = before && scene->gone[i] != NULL && scene->gone[i][t - 1];
        out[count++] = (bidder){.region = i,
                                .weight = twi_region_weight(&scene->job->regions[i]),
                                .area = (b->right - b->left) * (b->bottom - b->top),
                                .held = before && !gone,
                                .waiting = gone};
    }
    TW_SORT(out, count, by_claim);
    return count;
}

static void let_go(twi_scene *scene, size_t region, size_t t)
{
    if (scene->gone[region] == NULL)
        scene->gone[region] = TW_NEW_N(scene->arena, unsigned char, scene->n);
    scene->gone[region][t] = 1;
}

/* Keeps the strongest claims of a frame that fit together; true when something had to go. */
static bool choose(twi_scene *scene, size_t t, bidder *bidders)
{
    size_t count = bidders_of(scene, t, bidders), kept = 0;
    tw_path_box hull = {.left = 0};
    bool lost = false;
    for (size_t i = 0; i < count; i++) {
        const tw_path_box *own = &scene->boxes[bidders[i].region][t];
        tw_path_box both = kept > 0 ? joined(&hull, own) : *own;
        bool good = kept == 0 || fits(scene, &both, t);
        if (good && bidders[i].waiting && kept > 0)
            good = fits_for_a_while(scene, bidders, kept, t, bidders[i].region);
        if (good) {
            hull = both;
            bidders[kept++] = bidders[i];
        } else {
            let_go(scene, bidders[i].region, t);
            lost = true;
        }
    }
    scene->hull[t] = hull;
    return lost;
}

void twi_scene_drop(twi_scene *scene)
{
    bidder *bidders = TW_NEW_N(scene->arena, bidder, scene->job->region_count);
    bool lost = false;
    for (size_t t = 0; t < scene->n; t++)
        if (lost || (twi_box_there(&scene->hull[t]) && !fits(scene, &scene->hull[t], t)))
            lost = choose(scene, t, bidders);
}
