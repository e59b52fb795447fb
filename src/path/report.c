/* SPDX-License-Identifier: Apache-2.0
 *
 * What the finished path does, read from its rounded keys at every frame: the solver's own account is not trusted.
 */
#include "path_internal.h"

#include "region.h"

#define EDGE 0.01 /* a window this near to the source's edge touches it */

typedef struct sheet {
    tw_arena *arena;
    tw_path_compromise *at;
    size_t len, cap;
} sheet;

static void add(sheet *s, tw_path_compromise c)
{
    if (c.frames == 0)
        return;
    TW_PUSH(s->arena, s->at, s->len, s->cap) = c;
}

/* Counts a frame in which `px` are missing. */
static void count(tw_path_compromise *c, int64_t frame, double px, char side)
{
    if (c->frames++ == 0)
        c->first = frame;
    if (px > c->px) {
        c->px = px;
        c->side = side;
    }
}

static double worst_side(const double amount[4], char *side)
{
    size_t most = 0;
    for (size_t i = 1; i < 4; i++)
        if (amount[i] > amount[most])
            most = i;
    *side = "lrtb"[most];
    return amount[most];
}

static tw_window window_at(const twi_scene *scene, const tw_path_result *r, size_t t)
{
    tw_key key = tw_path_at(r->keys, r->key_count, (double)t);
    return tw_geom_key_window(key, scene->job->squeeze, scene->job->delivery);
}

/* By how much the box comes nearer to each edge than the inset; edges of the source are no matter. */
static double inset_missing(const twi_scene *scene, const tw_window *win, const tw_path_box *b, char *side)
{
    const tw_inset *in = &scene->job->inset;
    double right = win->x + win->w, bottom = win->y + win->h;
    double missing[4] = {
        win->x > EDGE ? win->x + in->left * win->w - b->left : 0,
        right < scene->job->source.w - EDGE ? b->right - (right - in->right * win->w) : 0,
        win->y > EDGE ? win->y + in->top * win->h - b->top : 0,
        bottom < scene->job->source.h - EDGE ? b->bottom - (bottom - in->bottom * win->h) : 0,
    };
    return worst_side(missing, side);
}

/* The compromises one region may see: cut, let go of, nearer than the inset, not held. */
typedef struct tally {
    tw_path_compromise cut, dropped, inset, nice;
} tally;

static void tally_frame(const twi_scene *scene, const tw_window *win, size_t region, size_t t, tally *y)
{
    const tw_path_box *b = &scene->boxes[region][t];
    int64_t frame = scene->job->first_frame + (int64_t)t;
    tw_cut cut = tw_geom_cut(*win, b->left, b->top, b->right, b->bottom);
    char side;
    double px = worst_side((double[4]){cut.left, cut.right, cut.top, cut.bottom}, &side);
    if (px > TWI_HELD) {
        bool gone = scene->gone[region] != NULL && scene->gone[region][t];
        count(!scene->job->regions[region].must ? &y->nice : gone ? &y->dropped : &y->cut, frame, px, side);
        return;
    }
    px = inset_missing(scene, win, b, &side);
    if (px > TWI_HELD && scene->must[region])
        count(&y->inset, frame, px, side);
}

static void add_regions(const twi_scene *scene, const tw_path_result *r, sheet *s)
{
    size_t regions = scene->job->region_count;
    tally *tallies = TW_NEW_N(scene->arena, tally, regions);
    tw_window win = window_at(scene, r, 0);
    for (size_t t = 0; t < scene->n && scene->subject; t++) {
        if (r->key_count > 1)
            win = window_at(scene, r, t);
        for (size_t i = 0; i < regions; i++)
            if (scene->boxes[i] != NULL && twi_box_there(&scene->boxes[i][t]))
                tally_frame(scene, &win, i, t, &tallies[i]);
    }
    for (size_t i = 0; i < regions; i++) {
        tally *y = &tallies[i];
        y->cut.what = TW_YIELD_CUT;
        y->dropped.what = TW_YIELD_DROPPED;
        y->inset.what = TW_YIELD_INSET;
        y->nice.what = TW_YIELD_NICE;
        y->cut.region = y->dropped.region = y->inset.region = y->nice.region = i;
        add(s, y->cut);
        add(s, y->dropped);
        add(s, y->inset);
        add(s, y->nice);
    }
}

static void add_width(const twi_scene *scene, const tw_path_result *r, sheet *s)
{
    tw_path_compromise c = {.region = SIZE_MAX, .first = scene->job->first_frame, .frames = (int64_t)scene->n};
    double least = INFINITY;
    for (size_t i = 0; i < r->key_count; i++)
        least = tw_min(least, r->keys[i].w);
    double scale = tw_geom_scale(least, scene->job->delivery);
    if (scene->narrowest > least + TWI_HELD) {
        c.what = TW_YIELD_SCALE;
        c.side = least < tw_min(scene->narrowest, scene->widest) - TWI_HELD ? 'h' : 0;
        c.px = scale;
        add(s, c);
    }
    if (scene->widths == NULL && scene->width > scene->wanted + 1) {
        c.what = TW_YIELD_WIDER;
        c.side = scene->width <= scene->narrowest + 1 ? 's' : 0;
        c.px = scene->width - scene->wanted;
        add(s, c);
    }
}

/* Speed of a link in window widths per frame; a jump between neighbouring frames of a path of steps is a cut. */
static double link_speed(const tw_key *a, const tw_key *b)
{
    double move = tw_max(fabs(b->cx - a->cx), fabs(b->cy - a->cy));
    return move / tw_min(a->w, b->w) / (double)(b->frame - a->frame);
}

/* Speeds and accelerations of the links; what is cut in or out at the shot's ends has none. */
static void measure(const twi_scene *scene, tw_path_result *r, sheet *s)
{
    double fps = scene->motion.fps, comfort = scene->motion.speeds[0] * (1 + 1e-6);
    double most = scene->motion.accel + 4 * TWI_DIGIT / scene->width; /* 1 + 2 + 1 positions, each rounded */
    tw_path_compromise fast = {.what = TW_YIELD_SPEED, .region = SIZE_MAX};
    for (size_t i = 0; i + 1 < r->key_count; i++) {
        const tw_key *a = &r->keys[i], *b = &r->keys[i + 1];
        double speed = link_speed(a, b);
        r->moving = r->moving || speed > 0 || a->w < b->w || a->w > b->w;
        if (r->reason == TW_PATH_STEPS && b->frame - a->frame == 1)
            continue;
        r->peak_speed = tw_max(r->peak_speed, speed * fps);
        if (speed > comfort) {
            if (fast.frames == 0)
                fast.first = scene->job->first_frame + a->frame;
            fast.frames += b->frame - a->frame;
            fast.px = tw_max(fast.px, speed * fps);
        }
    }
    add(s, fast);
    tw_path_compromise harsh = {.what = TW_YIELD_HARSH, .region = SIZE_MAX};
    for (size_t i = 0; i < r->key_count && r->reason != TW_PATH_STEPS; i++) {
        const tw_key *b = &r->keys[i];
        if (b->frame <= 0 || b->frame >= (int64_t)scene->n - 1)
            continue;
        tw_key turn = tw_path_turn((tw_path_view){r->keys, r->key_count}, i);
        double change = tw_max(fabs(turn.cx), fabs(turn.cy)) / b->w;
        double accel = change / (b->ease > 0 ? 2 * b->ease : 1);
        r->peak_accel = tw_max(r->peak_accel, accel * fps * fps);
        if (accel > most)
            count(&harsh, scene->job->first_frame + b->frame, accel * fps * fps, 0);
    }
    add(s, harsh);
}

void twi_path_report(tw_arena *arena, const twi_scene *scene, tw_path_result *r)
{
    sheet s = {.arena = arena};
    add_width(scene, r, &s);
    measure(scene, r, &s);
    add_regions(scene, r, &s);
    r->compromises = s.at;
    r->compromise_count = s.len;
    bool lost = false;
    for (size_t i = 0; i < s.len; i++)
        lost = lost || s.at[i].what == TW_YIELD_CUT || s.at[i].what == TW_YIELD_DROPPED;
    if (lost && r->reason != TW_PATH_HAND)
        r->reason = TW_PATH_CUTS;
}
