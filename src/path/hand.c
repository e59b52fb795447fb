/* SPDX-License-Identifier: Apache-2.0
 *
 * Stretches framed by hand: their windows are kept as they are; what lies between is solved by itself and led over to
 * them.
 */
#include "path_internal.h"

#include "region.h"

#define LEAD_SPEED 2 /* step of the ladder: how fast a lead may be before it is made longer */

#define SHORTEST_GAP 12 /* frames: in less there is no room for a decision between two hand windows */

/* A growing list of keys, frames from 0. */
typedef struct list {
    tw_arena *arena;
    tw_key *at;
    size_t len, cap;
} list;

/* One hand stretch in frames from 0: `from` .. `to`, both included, widened to where its path is straight. */
typedef struct stretch {
    tw_key *keys; /* the corners that matter */
    size_t count;
    int64_t from, to;
    tw_key start, end;             /* windows there */
    tw_key start_slope, end_slope; /* per frame */
} stretch;

typedef struct hands {
    const tw_path_job *job;
    twi_scene *scene;
    stretch *at;
    size_t count;
    list out;
} hands;

/* Appends a key; corners that would run into the one before are made shorter. */
static void push(list *l, tw_key key)
{
    if (l->len > 0) {
        tw_key *last = &l->at[l->len - 1];
        if (key.frame <= last->frame)
            return;
        double gap = (double)(key.frame - last->frame);
        last->ease = tw_min(last->ease, gap);
        key.ease = tw_min(key.ease, gap - last->ease);
    }
    TW_PUSH(l->arena, l->at, l->len, l->cap) = key;
}

static tw_key ahead(const tw_key *from, const tw_key *slope, double frames)
{
    return (tw_key){.frame = from->frame + (int64_t)frames,
                    .cx = from->cx + slope->cx * frames,
                    .cy = from->cy + slope->cy * frames,
                    .w = from->w + slope->w * frames};
}

static tw_key window_inside(const twi_scene *scene, const tw_key *key)
{
    double value[TWI_AXES] = {key->cx, key->cy, key->w};
    return twi_path_key(scene, (double)key->frame, value, key->ease);
}

static bool is_inside(const twi_scene *scene, const tw_key *key)
{
    return key->w > 0 && key->w <= scene->widest &&
           tw_geom_inside(tw_geom_key_window(*key, scene->job->squeeze, scene->job->delivery), scene->job->source, 0);
}

/* The change per frame on one side of a frame where the path is straight. */
static tw_key slope_at(const tw_key *keys, size_t count, int64_t frame, int side)
{
    tw_key a = tw_path_at(keys, count, (double)frame), b = tw_path_at(keys, count, (double)frame + side * 0.5);
    return (tw_key){.cx = side * 2 * (b.cx - a.cx), .cy = side * 2 * (b.cy - a.cy), .w = side * 2 * (b.w - a.w)};
}

/* Corners that reach out of the note give way where they would leave no room between it and an end of the shot. */
static double corner_for(const tw_key *key, int64_t from, int64_t to, int64_t frames)
{
    const int64_t least = SHORTEST_GAP, most = frames - 1 - SHORTEST_GAP;
    double at = (double)key->frame, begin = at - key->ease, end = at + key->ease, ease = key->ease;
    if (from >= least && begin < (double)least && end > (double)from)
        ease = key->frame >= least ? at - (double)least : (double)from - at;
    if (to <= most && end > (double)most && begin < (double)to)
        ease = tw_min(ease, key->frame <= most ? (double)most - at : at - (double)to);
    return ease;
}

/* The corner that does not reach out of the note at all. */
static double corner_within(const tw_key *key, int64_t from, int64_t to)
{
    double before = fabs((double)(key->frame - from)), after = fabs((double)(to - key->frame));
    return tw_min(key->ease, tw_min(before, after));
}

static bool is_past(const twi_scene *scene, const tw_key *key)
{
    return key->w < scene->narrowest - TWI_HELD;
}

static bool any_past(const twi_scene *scene, const tw_key *keys, size_t count)
{
    for (size_t i = 0; i < count; i++)
        if (is_past(scene, &keys[i]))
            return true;
    return false;
}

/* Widens the stretch so that it begins and ends outside of corners. Nothing outside of it goes further past the limit
 * of scale than what is set by hand: there its corners stay within. */
static void read_stretch(const twi_scene *scene, const tw_path_hand *hand, stretch *out)
{
    const tw_path_job *job = scene->job;
    int64_t base = job->first_frame;
    tw_key *all = TW_NEW_N(scene->arena, tw_key, hand->key_count);
    *out = (stretch){.keys = all, .from = hand->from - base, .to = hand->to - 1 - base};
    out->from = out->from > 0 ? out->from : 0;
    out->to = out->to < job->frames - 1 ? out->to : job->frames - 1;
    int64_t from = out->from, to = out->to;
    size_t first = hand->key_count, last = 0;
    bool past = any_past(scene, hand->keys, hand->key_count);
    for (size_t i = 0; i < hand->key_count; i++) {
        all[i] = hand->keys[i];
        all[i].frame -= base;
        if (past)
            all[i].ease = corner_within(&all[i], from, to);
        else if (scene->subject) /* else holding the window there is calmer */
            all[i].ease = corner_for(&all[i], from, to, job->frames);
        double begin = (double)all[i].frame - all[i].ease, end = (double)all[i].frame + all[i].ease;
        if (end <= (double)from || begin >= (double)to)
            continue;
        first = first < i ? first : i;
        last = i;
        out->from = (int64_t)tw_min((double)out->from, floor(begin));
        out->to = (int64_t)tw_max((double)out->to, ceil(end));
    }
    out->start = tw_path_at(all, hand->key_count, (double)out->from);
    out->end = tw_path_at(all, hand->key_count, (double)out->to);
    out->start.frame = out->from;
    out->end.frame = out->to;
    out->start_slope = slope_at(all, hand->key_count, out->from, 1);
    out->end_slope = slope_at(all, hand->key_count, out->to, -1);
    out->keys += first < hand->key_count ? first : 0;
    out->count = first < hand->key_count ? last - first + 1 : 0;
}

/* ---- leading over ---------------------------------------------------------------------------------------- */

/* The free frames between two stretches (either may be missing, NULL), and how much of them is used up at each end. */
typedef struct gap {
    const stretch *before, *after;
    int64_t from, to; /* free frames, both included */
    int64_t lead[2];  /* frames of the leads */
    int64_t ease;
    bool must; /* something in it must be seen */
} gap;

/* The corner at the end of a lead: far enough from the stretch that its parabola ends there, on its line. Past the
 * limit of scale the width does not go on. */
static tw_key landing(const twi_scene *scene, const gap *g, int side)
{
    const stretch *s = side < 0 ? g->before : g->after;
    const tw_key *edge = side < 0 ? &s->end : &s->start, *slope = side < 0 ? &s->end_slope : &s->start_slope;
    tw_key key = ahead(edge, slope, side < 0 ? (double)g->ease : -(double)g->ease);
    key.ease = (double)g->ease;
    if (is_past(scene, edge) || is_past(scene, &key))
        key.w = edge->w;
    if (g->ease == 0 || !is_inside(scene, &key)) {
        key = *edge;
        key.ease = 0;
    }
    return window_inside(scene, &key);
}

/* Solves the middle of the gap; false when there is no room for it. */
static bool solve_middle(const hands *h, const gap *g, tw_path_result *out)
{
    int64_t first = g->from + (g->before != NULL ? g->lead[0] + 2 * g->ease : 0);
    int64_t last = g->to - (g->after != NULL ? g->lead[1] + 2 * g->ease : 0);
    if (last < first)
        return false;
    tw_path_job part = *h->job;
    tw_path_region *regions = TW_NEW_N(h->scene->arena, tw_path_region, part.region_count);
    for (size_t i = 0; i < part.region_count; i++) {
        regions[i] = h->job->regions[i];
        regions[i].boxes += first;
    }
    part.regions = regions;
    part.hand_count = 0;
    part.shake = NULL; /* beside a hand window nothing is steadied */
    part.first_frame = first;
    part.frames = last - first + 1;
    tw_path_solve(h->scene->arena, &part, out);
    return true;
}

static int64_t least(int64_t a, int64_t b)
{
    return a < b ? a : b;
}

static double far_apart(const tw_key *a, const tw_key *b)
{
    return tw_max(tw_max(fabs(a->cx - b->cx), fabs(a->cy - b->cy)), fabs(a->w - b->w));
}

/* Frames a lead of that length should take. */
static int64_t lead_for(const twi_scene *scene, const tw_key *a, const tw_key *b)
{
    double cross = sqrt(12 * scene->motion.smoothness);
    double slow = far_apart(a, b) / tw_min(a->w, b->w) / scene->motion.speeds[LEAD_SPEED];
    return (int64_t)ceil(tw_min(tw_max(cross, slow), 1e9));
}

/* What a lead needs to stay within the limits: of speed, and where nothing must be seen of harshness too. To a window
 * past the limit of scale it is as short as ever. */
static int64_t least_lead(const twi_scene *scene, const gap *g, const tw_key *a, const tw_key *b)
{
    double harsh = scene->motion.accel * (g->ease > 0 ? 2 * (double)g->ease : 1), most = scene->motion.speeds[4];
    if (is_past(scene, a) || is_past(scene, b))
        return 0;
    double speed = g->must ? most : tw_min(most, harsh);
    return (int64_t)tw_min(ceil(far_apart(a, b) / tw_min(a->w, b->w) / speed), 1e9);
}

/* Leads as long as they should be, if they may. False when those so far, with which the middle was solved, are too
 * short. */
static bool fit_leads(const twi_scene *scene, gap *g, const tw_path_result *middle)
{
    int64_t room = g->to - g->from + 1, most = room * 2 / 5;
    bool fit = true;
    for (int end = 0; end < 2; end++) {
        const stretch *s = end == 0 ? g->before : g->after;
        if (s == NULL)
            continue;
        const tw_key *near = end == 0 ? &middle->keys[0] : &middle->keys[middle->key_count - 1];
        const tw_key *edge = end == 0 ? &s->end : &s->start;
        int64_t shortest = least_lead(scene, g, near, edge);
        fit = fit && g->lead[end] >= shortest;
        g->lead[end] = least(lead_for(scene, near, edge), most);
        g->lead[end] = g->lead[end] > shortest ? g->lead[end] : shortest;
    }
    return fit;
}

static bool is_past_beside(const twi_scene *scene, const gap *g)
{
    return (g->before != NULL && is_past(scene, &g->before->end)) ||
           (g->after != NULL && is_past(scene, &g->after->start));
}

#define MOST_TRIES 3 /* with longer leads the middle is another one */

/* Solves the middle of the gap with room for leads to it. False: the window does better to stay where it is, since
 * there is nothing to show or no way to get to it. */
static bool solve_led(const hands *h, gap *g, tw_path_result *middle)
{
    int64_t room = g->to - g->from + 1, cross = (int64_t)sqrt(12 * h->scene->motion.smoothness);
    g->lead[0] = g->lead[1] = least(cross, room / 4);
    if (room < SHORTEST_GAP || !solve_middle(h, g, middle))
        return false;
    if (middle->reason == TW_PATH_CENTRED && (g->before != NULL || g->after != NULL) && !is_past_beside(h->scene, g))
        return false;
    fit_leads(h->scene, g, middle);
    for (int i = 0; i < MOST_TRIES; i++) {
        tw_path_result again;
        if (!solve_middle(h, g, &again))
            return false;
        *middle = again;
        const gap before = *g;
        if (fit_leads(h->scene, g, middle)) {
            *g = before;
            return true;
        }
    }
    return false;
}

/* Where a lead meets the middle. Solved with other leads, the middle may have come nearer: what is past the limit is
 * left no later than it takes to get there. */
static tw_key rest_of(const twi_scene *scene, const gap *g, int end, const tw_key *middle)
{
    const tw_key *edge = end == 0 ? &g->before->end : &g->after->start;
    int64_t lead = g->lead[end];
    if (is_past(scene, edge))
        lead = least(lead, lead_for(scene, middle, edge));
    tw_key rest = *middle;
    rest.frame = end == 0 ? g->from + lead + g->ease : g->to + 1 - lead - g->ease;
    rest.ease = (double)g->ease;
    return rest;
}

static bool any_must(const tw_path_job *job, const gap *g)
{
    for (size_t i = 0; i < job->region_count; i++)
        for (int64_t t = g->from; job->regions[i].must && t <= g->to; t++)
            if (twi_box_there(&job->regions[i].boxes[t]))
                return true;
    return false;
}

/* From one hand window straight to the next: as late as there is time for a move. */
static void hold_before(hands *h, gap *g)
{
    tw_key held = landing(h->scene, g, -1);
    g->lead[1] = lead_for(h->scene, &held, &g->after->start);
    if (g->lead[1] + 4 * g->ease <= g->to - g->from + 1)
        push(&h->out, rest_of(h->scene, g, 1, &held));
}

static void fill_gap(hands *h, gap *g)
{
    tw_path_result middle;
    int64_t room = g->to - g->from + 1, ease = (int64_t)h->scene->motion.ease;
    bool between = g->before != NULL && g->after != NULL;
    g->must = any_must(h->job, g);
    g->ease = least(ease, room / 8);
    bool solved = solve_led(h, g, &middle);
    if (!solved)
        g->ease = least(ease, room / (between ? 4 : 2));
    if (g->before != NULL)
        push(&h->out, landing(h->scene, g, -1));
    if (solved && g->before != NULL)
        push(&h->out, rest_of(h->scene, g, 0, &middle.keys[0]));
    for (size_t i = 0; solved && i < middle.key_count; i++)
        if (middle.key_count > 1 || (g->before == NULL && g->after == NULL))
            push(&h->out, middle.keys[i]);
    if (solved && g->after != NULL)
        push(&h->out, rest_of(h->scene, g, 1, &middle.keys[middle.key_count - 1]));
    else if (!solved && between)
        hold_before(h, g);
    if (g->after != NULL)
        push(&h->out, landing(h->scene, g, 1));
}

static void push_stretch(hands *h, const stretch *s)
{
    push(&h->out, window_inside(h->scene, &s->start));
    for (size_t i = 0; i < s->count; i++)
        push(&h->out, window_inside(h->scene, &s->keys[i]));
    push(&h->out, window_inside(h->scene, &s->end));
}

/* Takes out keys on a straight line between their neighbours. */
static size_t drop_straight(tw_key *keys, size_t count)
{
    size_t kept = 0;
    for (size_t i = 0; i < count; i++) {
        if (kept > 0 && i + 1 < count) {
            const tw_key *a = &keys[kept - 1], *c = &keys[i + 1];
            double share = (double)(keys[i].frame - a->frame) / (double)(c->frame - a->frame);
            tw_key line = {.cx = a->cx + (c->cx - a->cx) * share,
                           .cy = a->cy + (c->cy - a->cy) * share,
                           .w = a->w + (c->w - a->w) * share};
            if (far_apart(&line, &keys[i]) <= 1e-9)
                continue;
        }
        keys[kept++] = keys[i];
    }
    while (kept > 1 &&
           far_apart(&keys[kept - 1], &keys[kept - 2]) <= 1e-9) /* the window rests outside its keys anyway */
        kept--;
    size_t rest = 0;
    while (rest + 1 < kept && far_apart(&keys[rest], &keys[rest + 1]) <= 1e-9)
        rest++;
    kept -= rest;
    for (size_t i = 0; rest > 0 && i < kept; i++)
        keys[i] = keys[i + rest];
    if (kept == 1)
        keys[0].ease = 0;
    return kept;
}

static void read_hands(hands *h)
{
    const tw_path_job *job = h->job;
    h->at = TW_NEW_N(h->scene->arena, stretch, job->hand_count);
    for (size_t i = 0; i < job->hand_count; i++) {
        const tw_path_hand *hand = &job->hands[i];
        if (hand->to <= job->first_frame || hand->from >= job->first_frame + job->frames || hand->to <= hand->from ||
            !tw_path_valid(hand->keys, hand->key_count, NULL))
            continue;
        read_stretch(h->scene, hand, &h->at[h->count++]);
    }
}

bool twi_solve_hands(tw_arena *arena, twi_scene *scene, tw_path_result *out)
{
    hands h = {.job = scene->job, .scene = scene, .out = {.arena = arena}};
    read_hands(&h);
    if (h.count == 0)
        return false;
    for (size_t i = 0; i <= h.count; i++) {
        gap g = {.before = i > 0 ? &h.at[i - 1] : NULL, .after = i < h.count ? &h.at[i] : NULL};
        g.from = g.before != NULL ? g.before->to + 1 : 0;
        g.to = (g.after != NULL ? g.after->from : (int64_t)scene->n) - 1;
        if (g.to >= g.from)
            fill_gap(&h, &g);
        if (g.after != NULL)
            push_stretch(&h, g.after);
    }
    out->keys = h.out.at;
    out->key_count = drop_straight(h.out.at, h.out.len);
    out->fewest = out->key_count;
    out->reason = TW_PATH_HAND;
    return true;
}
