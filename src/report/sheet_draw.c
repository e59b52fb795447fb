/* SPDX-License-Identifier: Apache-2.0
 *
 * The pictures of a shot: the whole source picture with every window, and what each shape shows of it. Coordinates are
 * source pixels seen unsqueezed. What is not animated is the frame the clip begins with, so that a viewer without
 * animation, and paper, show that one.
 */
#include "report_internal.h"

#include <math.h>

#define LETTERS 0.06    /* height of letters, share of the picture's height */
#define MOST_OUTLINES 8 /* keys whose windows are all drawn; of more only the first and the last */

/* ---- animation ------------------------------------------------------------------------------------------- */

/* The common part of an animation: times and how often. Values and points are added by the caller. */
typedef struct clock {
    tw_xml *x;
    tw_arena *arena;
    const tw_timeline *master;
    int64_t first, frames;
} clock;

static clock clock_of(const twi_sheet *s, const tw_decision *shot)
{
    return (clock){s->x, s->arena, s->derived->master, shot->first, shot->frames};
}

bool twi_sheet_moves(const twi_sheet *s, size_t index)
{
    for (size_t d = 0; d < s->derived->delivery_count; d++) {
        const tw_framing *f = s->derived->deliveries[d].shots[index].framing;
        if (f != NULL && f->key_count > 1)
            return true;
    }
    return false;
}

/* A frame as a share of the shot. Linear animation needs times from 0 to 1 exactly (SVG animation). */
static void add_share(const clock *c, double frame, tw_buf *out)
{
    double share = (frame - (double)c->first) / (double)c->frames;
    tw_xml_add_num(out, share < 0 ? 0 : share > 1 ? 1 : share, 6);
}

static void open_animation(const clock *c, const char *element, const char *attribute)
{
    tw_xml_open(c->x, element);
    tw_xml_attrz(c->x, "attributeName", attribute);
    tw_buf duration = {.arena = c->arena};
    tw_xml_add_num(&duration, (double)c->frames / tw_rate_fps(c->master->rate), 4);
    tw_buf_addc(&duration, 's');
    tw_xml_attr(c->x, "dur", tw_buf_str(&duration));
    tw_xml_attrz(c->x, "repeatCount", "indefinite");
}

static void add_motion_times(const clock *c, const twi_motion *m)
{
    tw_buf times = {.arena = c->arena}, splines = {.arena = c->arena};
    for (size_t i = 0; i < m->len; i++) {
        if (i > 0)
            tw_buf_addc(&times, ';');
        add_share(c, m->at[i].frame, &times);
        if (i + 1 == m->len)
            break;
        tw_buf_addz(&splines, i > 0 ? ";.33333 " : ".33333 ");
        tw_xml_add_num(&splines, m->at[i].rise[0], 5);
        tw_buf_addz(&splines, " .66667 ");
        tw_xml_add_num(&splines, m->at[i].rise[1], 5);
    }
    tw_xml_attr(c->x, "keyTimes", tw_buf_str(&times));
    if (!m->curved)
        return;
    tw_xml_attrz(c->x, "calcMode", "spline");
    tw_xml_attr(c->x, "keySplines", tw_buf_str(&splines));
}

static void add_window(tw_window win, double squeeze, tw_buf *out)
{
    tw_xml_add_num(out, win.x * squeeze, 2);
    tw_buf_addc(out, ' ');
    tw_xml_add_num(out, win.y, 2);
    tw_buf_addc(out, ' ');
    tw_xml_add_num(out, win.w * squeeze, 2);
    tw_buf_addc(out, ' ');
    tw_xml_add_num(out, win.h, 2);
}

/* What of a window an attribute holds. */
typedef void (*window_part)(tw_window win, double squeeze, tw_buf *out);

static void add_corner(tw_window win, double squeeze, tw_buf *out)
{
    tw_xml_add_num(out, win.x * squeeze, 2);
    tw_buf_addc(out, ' ');
    tw_xml_add_num(out, win.y, 2);
}

static void add_width(tw_window win, double squeeze, tw_buf *out)
{
    tw_xml_add_num(out, win.w * squeeze, 2);
}

static void add_height(tw_window win, double squeeze, tw_buf *out)
{
    (void)squeeze;
    tw_xml_add_num(out, win.h, 2);
}

static void animate_window(const clock *c, const twi_motion *m, const char *attribute, window_part part, double squeeze)
{
    bool corner = part == add_corner;
    open_animation(c, corner ? "animateTransform" : "animate", attribute);
    if (corner)
        tw_xml_attrz(c->x, "type", "translate");
    tw_buf values = {.arena = c->arena};
    for (size_t i = 0; i < m->len; i++) {
        if (i > 0)
            tw_buf_addc(&values, ';');
        part(m->at[i].win, squeeze, &values);
    }
    tw_xml_attr(c->x, "values", tw_buf_str(&values));
    add_motion_times(c, m);
    tw_xml_close(c->x);
}

/* ---- names ----------------------------------------------------------------------------------------------- */

/* Where names stand already, so that no two meet; as many as fit, the rest take their chance. */
#define MOST_NAMES 64
typedef struct names {
    double size; /* of letters */
    size_t count;
    struct {
        double x, y, w; /* left, base line, width */
    } at[MOST_NAMES];
} names;

static double name_width(const names *n, tw_str text)
{
    return n->size * 0.62 * (double)text.len;
}

/* Finds room at or below (x, y), line by line, and takes it; gives the base line. */
static double take_room(names *n, double x, double y, tw_str text)
{
    double w = name_width(n, text);
    for (size_t i = 0; i < n->count; i++) {
        bool apart = x + w < n->at[i].x || n->at[i].x + n->at[i].w < x || fabs(n->at[i].y - y) >= n->size;
        if (apart)
            continue;
        y = n->at[i].y + n->size * 1.1;
        i = (size_t)-1; /* from the start again: y only grows, so this ends */
    }
    if (n->count < MOST_NAMES) {
        n->at[n->count].x = x;
        n->at[n->count].y = y;
        n->at[n->count++].w = w;
    }
    return y;
}

/* ---- regions --------------------------------------------------------------------------------------------- */

static double box_value(const tw_region_key *k, int which, tw_size seen)
{
    const double values[] = {k->left * seen.w, k->top * seen.h, k->width * seen.w, k->height * seen.h};
    return values[which];
}

/* One or two numbers of every box, with the first and last held to the ends of the shot. */
static void animate_boxes(const clock *c, const twi_boxes *b, const char *attribute, int which, tw_size seen)
{
    bool corner = which == 0;
    open_animation(c, corner ? "animateTransform" : "animate", attribute);
    if (corner)
        tw_xml_attrz(c->x, "type", "translate");
    tw_buf values = {.arena = c->arena}, times = {.arena = c->arena};
    for (size_t i = 0; i < b->len + 2; i++) {
        const twi_box *box = &b->at[i == 0 ? 0 : i > b->len ? b->len - 1 : i - 1];
        if (i > 0) {
            tw_buf_addc(&values, ';');
            tw_buf_addc(&times, ';');
        }
        tw_xml_add_num(&values, box_value(&box->box, which, seen), 1);
        if (corner) {
            tw_buf_addc(&values, ' ');
            tw_xml_add_num(&values, box_value(&box->box, 1, seen), 1);
        }
        add_share(c, i == 0 ? (double)c->first : i > b->len ? (double)(c->first + c->frames) : box->frame, &times);
    }
    tw_xml_attr(c->x, "values", tw_buf_str(&values));
    tw_xml_attr(c->x, "keyTimes", tw_buf_str(&times));
    tw_xml_close(c->x);
}

static bool changes(const twi_boxes *b, int which)
{
    static const tw_size unit = {1, 1};
    for (size_t i = 1; i < b->len; i++)
        if (fabs(box_value(&b->at[i].box, which, unit) - box_value(&b->at[0].box, which, unit)) > 1e-6)
            return true;
    return false;
}

/* Seen only for a part of the shot: switched on and off. */
static void animate_presence(const clock *c, const twi_boxes *b)
{
    int64_t last = c->first + c->frames;
    if (b->shown_count == 0 || (b->shown[0] <= c->first && b->shown_count == 2 && b->shown[1] >= last))
        return;
    open_animation(c, "animate", "opacity");
    tw_xml_attrz(c->x, "calcMode", "discrete");
    tw_buf values = {.arena = c->arena}, times = {.arena = c->arena};
    bool at_once = b->shown[0] <= c->first;
    tw_buf_addz(&values, at_once ? "1" : "0");
    tw_buf_addz(&times, "0");
    for (size_t i = at_once ? 1 : 0; i < b->shown_count && b->shown[i] < last; i++) {
        tw_buf_addz(&values, i % 2 == 0 ? ";1" : ";0");
        tw_buf_addc(&times, ';');
        add_share(c, (double)b->shown[i], &times);
    }
    tw_xml_attr(c->x, "values", tw_buf_str(&values));
    tw_xml_attr(c->x, "keyTimes", tw_buf_str(&times));
    tw_xml_close(c->x);
}

/* The box at frame 0, which a still window was approved on; where it is seen later only, at the first frame it is. */
static twi_boxes held_still(const twi_sheet *s, const tw_decision *shot, const tw_region *region, twi_boxes boxes)
{
    tw_region_key box;
    if (boxes.len > 0 && twi_report_box(s->derived->master, shot, region, 0, &box))
        boxes.at[0] = (twi_box){0, box};
    boxes.len = boxes.len > 0 ? 1 : 0;
    boxes.shown_count = 0;
    return boxes;
}

/* A region: its box at the first frame it is seen, its name, and how both move. */
static void draw_region(const clock *c, const tw_region *region, const twi_boxes *b, tw_size seen, names *taken)
{
    tw_xml *x = c->x;
    const tw_region_key *box = &b->at[0].box;
    tw_xml_open(x, "g");
    tw_xml_attrz(x, "class", region->must ? "must" : "nice");
    tw_buf corner = {.arena = c->arena};
    tw_buf_addz(&corner, "translate(");
    add_corner((tw_window){box_value(box, 0, seen), box_value(box, 1, seen), 0, 0}, 1, &corner);
    tw_buf_addc(&corner, ')');
    tw_xml_attr(x, "transform", tw_buf_str(&corner));
    if (changes(b, 0) || changes(b, 1))
        animate_boxes(c, b, "transform", 0, seen);
    animate_presence(c, b);
    tw_xml_open(x, "rect");
    tw_xml_attr_num(x, "width", box_value(box, 2, seen), 1);
    tw_xml_attr_num(x, "height", box_value(box, 3, seen), 1);
    if (changes(b, 2))
        animate_boxes(c, b, "width", 2, seen);
    if (changes(b, 3))
        animate_boxes(c, b, "height", 3, seen);
    tw_xml_close(x);
    double left = box_value(box, 0, seen), top = box_value(box, 1, seen);
    double base = take_room(taken, left, fmax(top - taken->size * 0.3, taken->size), region->name);
    tw_xml_open(x, "text");
    tw_xml_attr_num(x, "y", base - top, 1);
    tw_xml_textf(x, "%.*s", TW_ARG(region->name));
    tw_xml_close_to(x, x->depth - 2);
}

/* Every region that any delivery's decision heeds, once. */
static void draw_regions(const twi_sheet *s, size_t index, tw_size seen, names *taken)
{
    bool moves = twi_sheet_moves(s, index);
    for (size_t d = 0; d < s->derived->delivery_count; d++) {
        const tw_decision *shot = &s->derived->deliveries[d].shots[index];
        const clock c = clock_of(s, shot);
        for (size_t r = 0; r < shot->region_count; r++) {
            bool drawn = false;
            for (size_t e = 0; e < d; e++) {
                const tw_decision *other = &s->derived->deliveries[e].shots[index];
                for (size_t q = 0; q < other->region_count; q++)
                    drawn = drawn || other->regions[q] == shot->regions[r];
            }
            if (drawn)
                continue;
            twi_boxes boxes = twi_report_boxes(s->arena, s->derived->master, shot, shot->regions[r]);
            if (!moves)
                boxes = held_still(s, shot, shot->regions[r], boxes);
            if (boxes.len > 0)
                draw_region(&c, shot->regions[r], &boxes, seen, taken);
        }
    }
}

/* ---- windows --------------------------------------------------------------------------------------------- */

static void outline(tw_xml *x, const char *class, tw_window win, double squeeze)
{
    tw_xml_open(x, "rect");
    tw_xml_attrz(x, "class", class);
    tw_xml_attr_num(x, "x", win.x * squeeze, 1);
    tw_xml_attr_num(x, "y", win.y, 1);
    tw_xml_attr_num(x, "width", win.w * squeeze, 1);
    tw_xml_attr_num(x, "height", win.h, 1);
    tw_xml_close(x);
}

static void draw_now(const clock *c, const twi_motion *m, double squeeze)
{
    tw_xml *x = c->x;
    bool zooms = false;
    for (size_t i = 1; i < m->len; i++)
        zooms = zooms || fabs(m->at[i].win.w - m->at[0].win.w) > 1e-6;
    tw_xml_open(x, "g");
    tw_buf corner = {.arena = c->arena};
    tw_buf_addz(&corner, "translate(");
    add_corner(m->at[0].win, squeeze, &corner);
    tw_buf_addc(&corner, ')');
    tw_xml_attr(x, "transform", tw_buf_str(&corner));
    animate_window(c, m, "transform", add_corner, squeeze);
    tw_xml_open(x, "rect");
    tw_xml_attrz(x, "class", "now");
    tw_xml_attr_num(x, "width", m->at[0].win.w * squeeze, 1);
    tw_xml_attr_num(x, "height", m->at[0].win.h, 1);
    if (zooms) {
        animate_window(c, m, "width", add_width, squeeze);
        animate_window(c, m, "height", add_height, squeeze);
    }
    tw_xml_close_to(x, x->depth - 2);
}

static bool seen_key(const tw_decision *shot, const tw_key *key)
{
    return key->frame >= shot->first && key->frame < shot->first + shot->frames;
}

static bool same_place(const tw_key *a, const tw_key *b)
{
    return !(a->cx < b->cx || a->cx > b->cx || a->cy < b->cy || a->cy > b->cy || a->w < b->w || a->w > b->w);
}

/* A dot for keys `from` to `to`, which stand at one place, with their numbers. */
static void draw_key(tw_xml *x, const tw_framing *f, size_t from, size_t to)
{
    const tw_key *key = &f->keys[from];
    double size = f->source.h * LETTERS;
    tw_xml_open(x, "circle");
    tw_xml_attr_num(x, "cx", key->cx * f->squeeze, 1);
    tw_xml_attr_num(x, "cy", key->cy, 1);
    tw_xml_attr_num(x, "r", size / 4, 0);
    tw_xml_close(x);
    tw_xml_open(x, "text");
    tw_xml_attr_num(x, "x", key->cx * f->squeeze + size * 0.35, 1);
    tw_xml_attr_num(x, "y", key->cy - size * 0.35, 1);
    tw_xml_textf(x, "%zu", from + 1);
    if (to > from)
        tw_xml_textf(x, "\xE2\x80\x93%zu", to + 1);
    tw_xml_close(x);
}

/* The way of the centre: a point at each place of the motion, a dot and numbers where keys stand. */
static void draw_way(const twi_sheet *s, const tw_decision *shot, const twi_motion *m)
{
    tw_xml *x = s->x;
    const tw_framing *f = shot->framing;
    tw_buf points = {.arena = s->arena};
    for (size_t i = 0; i < m->len; i++) {
        tw_window w = m->at[i].win;
        if (i > 0)
            tw_buf_addc(&points, ' ');
        add_corner((tw_window){w.x + w.w / 2, w.y + w.h / 2, 0, 0}, f->squeeze, &points);
    }
    tw_xml_open(x, "polyline");
    tw_xml_attrz(x, "class", "way");
    tw_xml_attr(x, "points", tw_buf_str(&points));
    tw_xml_close(x);
    for (size_t k = 0; k < f->key_count;) {
        size_t last = k;
        while (last + 1 < f->key_count && same_place(&f->keys[last + 1], &f->keys[k]))
            last++;
        if (seen_key(shot, &f->keys[k]) || seen_key(shot, &f->keys[last]))
            draw_key(x, f, k, last);
        k = last + 1;
    }
}

static void draw_outlines(tw_xml *x, const tw_decision *shot, const twi_motion *m)
{
    const tw_framing *f = shot->framing;
    outline(x, "win", m->at[0].win, f->squeeze);
    for (size_t k = 1; k < f->key_count; k++) {
        bool last = k + 1 == f->key_count;
        if (!same_place(&f->keys[k], &f->keys[k - 1]) && seen_key(shot, &f->keys[k]) &&
            (f->key_count <= MOST_OUTLINES || last))
            outline(x, "win then", tw_geom_key_window(f->keys[k], f->squeeze, f->delivery), f->squeeze);
    }
}

/* One delivery's window in the whole picture. */
static void draw_delivery(const twi_sheet *s, size_t delivery, size_t index, names *taken)
{
    const tw_derived_delivery *d = &s->derived->deliveries[delivery];
    const tw_decision *shot = &d->shots[index];
    const tw_framing *f = shot->framing;
    if (f == NULL || f->mode == TW_FRAME_FIT)
        return;
    twi_motion m = twi_report_motion(s->arena, f, shot->first, shot->frames);
    const clock c = clock_of(s, shot);
    tw_xml_open(s->x, "g");
    tw_xml_attrf(s->x, "class", "d d%zu", delivery);
    draw_outlines(s->x, shot, &m);
    if (m.len > 1) {
        draw_now(&c, &m, f->squeeze);
        draw_way(s, shot, &m);
    }
    double x = m.at[0].win.x * f->squeeze + taken->size * 0.4;
    double y = take_room(taken, x, m.at[0].win.y + taken->size * 1.1, d->delivery->name);
    tw_xml_open(s->x, "text");
    tw_xml_attr_num(s->x, "x", x, 1);
    tw_xml_attr_num(s->x, "y", y, 1);
    tw_xml_text(s->x, d->delivery->name);
    tw_xml_close_to(s->x, s->x->depth - 2);
}

static void open_drawing(tw_xml *x, const char *class, tw_size size)
{
    tw_xml_open(x, "svg");
    tw_xml_attrz(x, "xmlns", "http://www.w3.org/2000/svg");
    if (class != NULL)
        tw_xml_attrz(x, "class", class);
    tw_xml_attrf(x, "viewBox", "0 0 %d %d", size.w, size.h);
    tw_xml_attrz(x, "role", "img");
}

/* ---- the pictures ---------------------------------------------------------------------------------------- */

static tw_size as_seen(const tw_source *source)
{
    double w = floor(source->size.w * source->squeeze + 0.5);
    return (tw_size){(int32_t)w, source->size.h};
}

static void say_windows(const twi_sheet *s, size_t index, tw_buf *out)
{
    for (size_t d = 0; d < s->derived->delivery_count; d++) {
        const tw_decision *shot = &s->derived->deliveries[d].shots[index];
        if (shot->framing == NULL)
            continue;
        tw_window win = tw_geom_key_window(shot->framing->keys[0], shot->framing->squeeze, shot->framing->delivery);
        tw_buf_addf(out, "; %.*s ", TW_ARG(s->derived->deliveries[d].delivery->name));
        twi_report_window(win, out);
        if (shot->moving)
            tw_buf_addz(out, ", moving");
    }
}

static void draw_plate(const twi_sheet *s, size_t index, tw_size seen, tw_str still, names *taken)
{
    tw_xml *x = s->x;
    tw_xml_open(x, "g");
    tw_xml_attrf(x, "id", "p%zu", index + 1);
    tw_xml_attr_num(x, "font-size", seen.h * LETTERS, 0);
    tw_xml_open(x, still.len > 0 ? "image" : "rect");
    if (still.len > 0) {
        tw_xml_attr(x, "href", still);
        tw_xml_attrz(x, "preserveAspectRatio", "none");
    } else {
        tw_xml_attrz(x, "class", "plate");
    }
    tw_xml_attr_num(x, "width", seen.w, 0);
    tw_xml_attr_num(x, "height", seen.h, 0);
    tw_xml_close(x);
    if (still.len == 0)
        draw_regions(s, index, seen, taken);
    tw_xml_close(x);
}

void twi_sheet_whole(const twi_sheet *s, size_t index, tw_str still)
{
    tw_xml *x = s->x;
    const tw_decision *shot = &s->derived->deliveries[0].shots[index];
    tw_size seen = as_seen(shot->source);
    tw_buf label = {.arena = s->arena};
    tw_buf_addf(&label, "whole picture %dx%d", shot->source->size.w, shot->source->size.h);
    say_windows(s, index, &label);
    open_drawing(x, NULL, seen);
    tw_xml_attr_num(x, "font-size", seen.h * LETTERS, 0);
    tw_xml_leaf(x, "title", tw_buf_str(&label));
    names taken = {.size = seen.h * LETTERS};
    draw_plate(s, index, seen, still, &taken);
    if (still.len > 0)
        draw_regions(s, index, seen, &taken);
    for (size_t d = 0; d < s->derived->delivery_count; d++)
        draw_delivery(s, d, index, &taken);
    tw_xml_close(x);
}

static void draw_inset(tw_xml *x, const char *class, tw_inset inset, tw_size size)
{
    const tw_window area = {size.w * inset.left, size.h * inset.top, size.w * (1 - inset.left - inset.right),
                            size.h * (1 - inset.top - inset.bottom)};
    outline(x, class, area, 1);
}

static void draw_safe(tw_xml *x, const tw_delivery *d)
{
    const tw_safe *safe = tw_safe_find(d->safe);
    if (safe != NULL) {
        draw_inset(x, "safe", safe->action, d->size);
        draw_inset(x, "safe", safe->graphics, d->size);
    }
    if (safe == NULL || d->has_inset)
        draw_inset(x, "clear", d->inset, d->size);
}

/* A window of the picture stretched over the frame; where the window leaves the picture the frame's ground shows. */
static void draw_shown(const twi_sheet *s, const tw_decision *shot, size_t index)
{
    tw_xml *x = s->x;
    const tw_framing *f = shot->framing;
    twi_motion m = twi_report_motion(s->arena, f, shot->first, shot->frames);
    tw_window base = tw_geom_key_window(tw_path_at(f->keys, f->key_count, 0), f->squeeze, f->delivery);
    tw_buf box = {.arena = s->arena};
    add_window(base, f->squeeze, &box);
    tw_xml_open(x, "svg");
    tw_xml_attr_num(x, "width", f->delivery.w, 0);
    tw_xml_attr_num(x, "height", f->delivery.h, 0);
    tw_xml_attr(x, "viewBox", tw_buf_str(&box));
    tw_xml_attrz(x, "preserveAspectRatio", "none");
    if (m.len > 1) {
        const clock c = clock_of(s, shot);
        animate_window(&c, &m, "viewBox", add_window, f->squeeze);
    }
    tw_xml_open(x, "use");
    tw_xml_attrf(x, "href", "#p%zu", index + 1);
    tw_xml_close_to(x, x->depth - 2);
}

void twi_sheet_frame(const twi_sheet *s, size_t delivery, size_t index)
{
    tw_xml *x = s->x;
    const tw_derived_delivery *d = &s->derived->deliveries[delivery];
    const tw_decision *shot = &d->shots[index];
    tw_size size = d->delivery->size;
    tw_buf label = {.arena = s->arena};
    tw_buf_addf(&label, "%.*s %dx%d: %.*s", TW_ARG(d->delivery->name), size.w, size.h, TW_ARG(shot->why));
    open_drawing(x, shot->framing != NULL ? "shown" : "shown none", size);
    tw_xml_leaf(x, "title", tw_buf_str(&label));
    if (shot->framing != NULL) {
        draw_shown(s, shot, index);
        draw_safe(x, d->delivery);
    }
    tw_xml_close(x);
}
