/* SPDX-License-Identifier: Apache-2.0
 *
 * What is to be framed: which regions count, how wide the window is, which centres hold (solver.md 3.1 - 3.3, 3.5).
 */
#include "path_internal.h"

#include <stdlib.h>

#include "region.h"

#define TIGHT 0.04 /* a tube narrower than this share of the window pins the path: the inset yields first */

static double bounded(double value, double least, double most)
{
    return tw_min(tw_max(value, least), most);
}

double twi_region_weight(const tw_path_region *region)
{
    return region->weight > 0 ? tw_min(region->weight, 1e6) : 1e-6;
}

/* No must at all: the heaviest nice one acts as must. */
static void promote(twi_scene *scene)
{
    for (size_t i = 0; i < scene->job->region_count; i++)
        if (scene->boxes[i] != NULL && scene->must[i])
            return;
    size_t best = twi_scene_next_nice(scene, TW_NEW_N(scene->arena, bool, scene->job->region_count));
    if (best != SIZE_MAX)
        scene->must[best] = true;
}

size_t twi_scene_next_nice(const twi_scene *scene, bool *asked)
{
    const tw_path_region *regions = scene->job->regions;
    size_t best = SIZE_MAX;
    for (size_t i = 0; i < scene->job->region_count; i++) {
        if (asked[i] || scene->must[i] || scene->boxes[i] == NULL)
            continue;
        if (best == SIZE_MAX || twi_region_weight(&regions[i]) > twi_region_weight(&regions[best]))
            best = i;
    }
    if (best != SIZE_MAX)
        asked[best] = true;
    return best;
}

void twi_scene_init(tw_arena *arena, const tw_path_job *job, twi_scene *out)
{
    size_t n = (size_t)job->frames;
    *out = (twi_scene){.job = job, .arena = arena, .n = n, .inset_share = 1, .motion = twi_path_motion(job)};
    out->shape = 1 / tw_geom_height(1, job->squeeze, job->delivery);
    out->widest = tw_geom_widest(job->source, job->squeeze, job->delivery).w;
    if (out->widest >= 1)
        out->widest = twi_floor3(out->widest);
    out->narrowest = tw_geom_narrowest(job->delivery, job->max_scale > 0 ? job->max_scale : 1);
    out->boxes = TW_NEW_N(arena, tw_path_box *, job->region_count);
    out->must = TW_NEW_N(arena, bool, job->region_count);
    out->gone = TW_NEW_N(arena, unsigned char *, job->region_count);
    for (size_t i = 0; i < job->region_count; i++) {
        out->boxes[i] = twi_region_boxes(arena, &job->regions[i], n, job->source, out->motion.fps);
        out->must[i] = job->regions[i].must;
        out->subject = out->subject || out->boxes[i] != NULL;
    }
    promote(out);
    out->hull = TW_NEW_N(arena, tw_path_box, n);
    for (size_t i = 0; i < job->region_count; i++)
        for (size_t t = 0; out->boxes[i] != NULL && out->must[i] && t < n; t++)
            out->hull[t] = twi_box_around(&out->hull[t], &out->boxes[i][t]);
}

/* ---- width ----------------------------------------------------------------------------------------------- */

double twi_scene_need(const twi_scene *scene, const tw_path_box *hull)
{
    const tw_inset *in = &scene->job->inset;
    double across = (hull->right - hull->left) / tw_max(1 - in->left - in->right, 0.01);
    double down = scene->shape * (hull->bottom - hull->top) / tw_max(1 - in->top - in->bottom, 0.01);
    return tw_max(across, down);
}

/* The width at which the subject takes the wanted share of the height, median over the shot. */
static double wanted_width(const twi_scene *scene)
{
    double share = scene->job->subject_fill;
    if (!(share > 0))
        return scene->widest;
    double *wish = TW_NEW_N(scene->arena, double, scene->n);
    size_t count = 0;
    for (size_t t = 0; t < scene->n; t++)
        if (twi_box_there(&scene->hull[t]))
            wish[count++] = scene->shape * (scene->hull[t].bottom - scene->hull[t].top) / share;
    if (count == 0)
        return scene->widest;
    TW_SORT(wish, count, twi_by_value);
    return wish[count / 2];
}

void twi_scene_scale(twi_scene *scene)
{
    double need = 0;
    for (size_t t = 0; t < scene->n; t++)
        if (twi_box_there(&scene->hull[t]))
            need = tw_max(need, twi_scene_need(scene, &scene->hull[t]));
    scene->wanted = tw_min(wanted_width(scene), scene->widest);
    double least = tw_max(scene->narrowest, need);
    scene->width = tw_min(tw_max(scene->wanted, twi_ceil3(least)), scene->widest);
    if (scene->width >= 1)
        scene->width = twi_floor3(scene->width);
}

double twi_scene_width(const twi_scene *scene, size_t t)
{
    return scene->widths != NULL ? scene->widths[t] : scene->width;
}

double twi_scene_height(const twi_scene *scene, size_t t)
{
    return twi_scene_width(scene, t) / scene->shape;
}

double twi_scene_side(const twi_scene *scene, size_t t, int axis)
{
    return axis == TWI_X ? twi_scene_width(scene, t) : twi_scene_height(scene, t);
}

double twi_scene_room(const twi_scene *scene, int axis)
{
    return axis == TWI_X ? scene->job->source.w : scene->job->source.h;
}

/* ---- centres that hold ----------------------------------------------------------------------------------- */

/* An extent along one axis, the window's size there and the shares kept free at its two ends. */
typedef struct extent {
    double near, far, side, room, free_near, free_far;
} extent;

static void place(extent *e, const tw_path_box *box, int axis)
{
    e->near = axis == TWI_X ? box->left : box->top;
    e->far = axis == TWI_X ? box->right : box->bottom;
}

/* All but what a box has to say. */
static extent extent_of(const twi_scene *scene, size_t t, int axis)
{
    const tw_inset *in = &scene->job->inset;
    extent e = {.side = twi_scene_side(scene, t, axis), .room = twi_scene_room(scene, axis)};
    e.free_near = bounded(axis == TWI_X ? in->left : in->top, 0, 0.49) * scene->inset_share;
    e.free_far = bounded(axis == TWI_X ? in->right : in->bottom, 0, 0.49) * scene->inset_share;
    return e;
}

/* A bound of the centre: `fixed` + `per_side` times the window's size. */
typedef struct bound {
    double fixed, per_side;
} bound;

static double at_side(const bound *b, double side)
{
    return b->fixed + b->per_side * side;
}

/* [far - s/2 + inset, near + s/2 - inset]; the inset shrinks where the fit is tight; wider than the window: any centre
 * that shows nothing but the region cuts least. What rounding can do is kept free where there is room for it. */
static void hold_bounds(const extent *e, double rounding, bound *lo, bound *hi)
{
    double spare = e->side - (e->far - e->near);
    double inset = (e->free_near + e->free_far) * e->side;
    double most = tw_max(spare - tw_min(TIGHT * e->side, tw_max(spare, 0)), 0);
    double share = inset > most ? most / inset : 1;
    bool fits = spare >= 0;
    *lo = fits ? (bound){e->far, share * e->free_far - 0.5} : (bound){e->near, 0.5};
    *hi = fits ? (bound){e->near, 0.5 - share * e->free_near} : (bound){e->far, -0.5};
    double digit = tw_min(rounding, tw_max(at_side(hi, e->side) - at_side(lo, e->side), 0) / 2);
    lo->fixed += digit;
    hi->fixed -= digit;
}

static void hold_interval(const extent *e, double *lo, double *hi)
{
    bound low, high;
    hold_bounds(e, TWI_DIGIT, &low, &high);
    *lo = bounded(at_side(&low, e->side), e->side / 2, e->room - e->side / 2);
    *hi = bounded(at_side(&high, e->side), e->side / 2, e->room - e->side / 2);
}

void twi_scene_lean(const twi_scene *scene, const tw_path_box *box, size_t t, int axis, double lo[2], double hi[2])
{
    extent e = extent_of(scene, t, axis);
    place(&e, box, axis);
    double per_width = e.side / twi_scene_width(scene, t);
    bound low, high;
    hold_bounds(&e, TWI_DIGIT * (1.5 + 1 / scene->shape), &low, &high);
    if (at_side(&high, e.side) < e.side / 2) /* the inset is waived at the edge of the source */
        high = (bound){0, 0.5};
    if (at_side(&low, e.side) > e.room - e.side / 2)
        low = (bound){e.room, -0.5};
    lo[0] = low.fixed;
    lo[1] = low.per_side * per_width;
    hi[0] = high.fixed;
    hi[1] = high.per_side * per_width;
}

bool twi_scene_hold(const twi_scene *scene, size_t region, size_t t, int axis, double *lo, double *hi)
{
    if (scene->boxes[region] == NULL || !twi_box_there(&scene->boxes[region][t]))
        return false;
    extent e = extent_of(scene, t, axis);
    place(&e, &scene->boxes[region][t], axis);
    hold_interval(&e, lo, hi);
    return true;
}

/* Where one region would like the centre (section 8): a face on a third, looking into the picture. */
static double wish_of(const twi_scene *scene, size_t region, size_t t, int axis)
{
    const tw_path_region *r = &scene->job->regions[region];
    const tw_path_box *b = &scene->boxes[region][t];
    double near = axis == TWI_X ? b->left : b->top, far = axis == TWI_X ? b->right : b->bottom;
    double share = !r->has_focus ? 0.5 : bounded(axis == TWI_X ? r->focus_x : r->focus_y, 0, 1);
    double point = near + (far - near) * (share >= 0 ? share : 0.5), side = twi_scene_side(scene, t, axis);
    if (axis == TWI_Y)
        return r->has_focus && far - near < side ? point + side / 6 : point;
    return point + (r->look < 0 ? -side / 6 : r->look > 0 ? side / 6 : 0);
}

#define NICE_PULL 0.25 /* how much a nice region counts in the composition beside a must one; our proposal */

/* Frames without a subject wish for what the nearest frame with one wishes for. */
static void fill_wishes(double *wish, const double *known, size_t n, double otherwise)
{
    size_t last = SIZE_MAX;
    for (size_t t = 0; t < n; t++) {
        if (!(known[t] > 0))
            continue;
        size_t from = last == SIZE_MAX ? 0 : last + (t - last) / 2 + 1;
        for (size_t u = last == SIZE_MAX ? 0 : last + 1; u < t; u++)
            wish[u] = u < from ? wish[last] : wish[t];
        last = t;
    }
    for (size_t u = last == SIZE_MAX ? 0 : last + 1; u < n; u++)
        wish[u] = last == SIZE_MAX ? otherwise : wish[last];
}

double *twi_scene_wish(const twi_scene *scene, int axis)
{
    double *wish = TW_NEW_N(scene->arena, double, scene->n), *weights = TW_NEW_N(scene->arena, double, scene->n);
    for (size_t i = 0; i < scene->job->region_count; i++) {
        double weight = twi_region_weight(&scene->job->regions[i]) * (scene->must[i] ? 1 : NICE_PULL);
        for (size_t t = 0; scene->boxes[i] != NULL && t < scene->n; t++) {
            if (!twi_box_there(&scene->boxes[i][t]) || (scene->gone[i] != NULL && scene->gone[i][t]))
                continue;
            wish[t] += weight * wish_of(scene, i, t, axis);
            weights[t] += weight;
        }
    }
    for (size_t t = 0; t < scene->n; t++)
        if (weights[t] > 0)
            wish[t] /= weights[t];
    fill_wishes(wish, weights, scene->n, twi_scene_room(scene, axis) / 2);
    return wish;
}

static void read_axis(const twi_scene *scene, int axis, twi_axis *out)
{
    double room = twi_scene_room(scene, axis), slack = 0;
    extent e = extent_of(scene, 0, axis);
    *out = (twi_axis){.tube = twi_tube_new(scene->arena, scene->n), .still = room / 2};
    for (size_t t = 0; t < scene->n; t++) {
        if (scene->widths != NULL)
            e.side = twi_scene_side(scene, t, axis);
        double low = e.side / 2, high = tw_max(room - e.side / 2, low);
        slack = tw_max(slack, high - low);
        if (twi_box_there(&scene->hull[t])) {
            place(&e, &scene->hull[t], axis);
            hold_interval(&e, &low, &high);
        }
        out->tube.lo[t] = low;
        out->tube.hi[t] = tw_max(low, high);
    }
    out->pinned = slack < 2 * TWI_DIGIT;
    twi_tube_still(&out->tube, &out->rest[0], &out->rest[1]);
}

void twi_scene_axes(const twi_scene *scene, twi_axis out[2])
{
    for (int a = TWI_X; a <= TWI_Y; a++)
        read_axis(scene, a, &out[a]);
}

bool twi_axis_rests(const twi_axis *axis)
{
    return axis->rest[0] <= axis->rest[1];
}

#define CARE_EMPTY 0.02 /* solver.md 3.9 */

double *twi_scene_care(const twi_scene *scene)
{
    double *care = TW_NEW_N(scene->arena, double, scene->n);
    for (size_t t = 0; t < scene->n; t++)
        care[t] = CARE_EMPTY;
    for (size_t i = 0; i < scene->job->region_count; i++)
        for (size_t t = 0; scene->boxes[i] != NULL && t < scene->n; t++)
            if (twi_box_there(&scene->boxes[i][t]))
                care[t] = 1;
    return care;
}
