/* SPDX-License-Identifier: Apache-2.0
 *
 * The pictures of a shot: the whole source picture with every window, and what each shape shows of it.
 */
#include "sheet_draw.h"

#include <math.h>

#define MOST_OUTLINES 8 /* keys whose windows are all drawn; of more only the first and the last */

bool twi_sheet_moves(const twi_sheet *s, size_t index)
{
    for (size_t d = 0; d < s->derived->delivery_count; d++) {
        const tw_framing *f = s->derived->deliveries[d].shots[index].framing;
        if (f != NULL && f->key_count > 1)
            return true;
    }
    return false;
}

/* ---- windows --------------------------------------------------------------------------------------------- */

static void outline(tw_xml *x, const char *class, tw_window win, double squeeze)
{
    tw_xml_open_with(x, "rect", "class", class);
    tw_xml_attr_num(x, "x", win.x * squeeze, 1);
    tw_xml_attr_num(x, "y", win.y, 1);
    tw_xml_attr_num(x, "width", win.w * squeeze, 1);
    tw_xml_attr_num(x, "height", win.h, 1);
    tw_xml_close(x);
}

static void draw_now(const twi_clock *c, const twi_motion *m, double squeeze)
{
    tw_xml *x = c->x;
    bool zooms = false;
    for (size_t i = 1; i < m->len; i++)
        zooms = zooms || fabs(m->at[i].win.w - m->at[0].win.w) > 1e-6;
    tw_xml_open(x, "g");
    tw_buf corner = {.arena = c->arena};
    tw_buf_addz(&corner, "translate(");
    twi_move_add_corner(m->at[0].win, squeeze, &corner);
    tw_buf_addc(&corner, ')');
    tw_xml_attr(x, "transform", tw_buf_str(&corner));
    twi_move_window(c, m, "transform", twi_move_add_corner, squeeze);
    tw_xml_open_with(x, "rect", "class", "now");
    tw_xml_attr_num(x, "width", m->at[0].win.w * squeeze, 1);
    tw_xml_attr_num(x, "height", m->at[0].win.h, 1);
    if (zooms) {
        twi_move_window(c, m, "width", twi_move_add_width, squeeze);
        twi_move_window(c, m, "height", twi_move_add_height, squeeze);
    }
    tw_xml_close_to(x, x->depth - 2);
}

static bool seen_key(const tw_decision *shot, const tw_key *key)
{
    return key->frame >= shot->first && key->frame < shot->first + shot->frames;
}

/* A dot for keys `from` to `to`, which stand at one place, with their numbers. */
static void draw_key(tw_xml *x, const tw_framing *f, size_t from, size_t to)
{
    const tw_key *key = &f->keys[from];
    double size = f->source.h * TWI_LETTERS;
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

/* The way of the centre: a point at each place of the motion, a dot and numbers where keys stand; of a steadied shot,
 * which has one in every frame, only at the first. */
static void draw_way(const twi_sheet *s, const tw_decision *shot, const twi_motion *m)
{
    tw_xml *x = s->x;
    const tw_framing *f = shot->framing;
    tw_buf points = {.arena = s->arena};
    for (size_t i = 0; i < m->len; i++) {
        tw_window w = m->at[i].win;
        if (i > 0)
            tw_buf_addc(&points, ' ');
        twi_move_add_corner((tw_window){w.x + w.w / 2, w.y + w.h / 2, 0, 0}, f->squeeze, &points);
    }
    tw_xml_open_with(x, "polyline", "class", "way");
    tw_xml_attr(x, "points", tw_buf_str(&points));
    tw_xml_close(x);
    for (size_t k = 0; k < f->key_count;) {
        size_t last = k;
        while (last + 1 < f->key_count && tw_key_same_place(&f->keys[last + 1], &f->keys[k]))
            last++;
        bool wanted = !twi_sheet_every_frame(shot) || k == 0;
        if (wanted && (seen_key(shot, &f->keys[k]) || seen_key(shot, &f->keys[last])))
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
        if (!tw_key_same_place(&f->keys[k], &f->keys[k - 1]) && seen_key(shot, &f->keys[k]) &&
            (f->key_count <= MOST_OUTLINES || last))
            outline(x, "win then", tw_geom_key_window(f->keys[k], f->squeeze, f->delivery), f->squeeze);
    }
}

/* One delivery's window in the whole picture. */
static void draw_delivery(const twi_sheet *s, size_t delivery, size_t index, twi_names *taken)
{
    const tw_derived_delivery *d = &s->derived->deliveries[delivery];
    const tw_decision *shot = &d->shots[index];
    const tw_framing *f = shot->framing;
    if (f == NULL || f->mode == TW_FRAME_FIT)
        return;
    twi_motion m = twi_report_motion(s->arena, f, shot->first, shot->frames);
    const twi_clock c = twi_move_clock(s, shot);
    tw_xml_open(s->x, "g");
    tw_xml_attrf(s->x, "class", "d d%zu", delivery);
    tw_xml_inline(s->x);
    draw_outlines(s->x, shot, &m);
    if (m.len > 1) {
        draw_now(&c, &m, f->squeeze);
        draw_way(s, shot, &m);
    }
    double x = m.at[0].win.x * f->squeeze + taken->size * 0.4;
    double y = twi_names_take(taken, x, m.at[0].win.y + taken->size * 1.1, d->delivery->name);
    tw_xml_open(s->x, "text");
    tw_xml_attr_num(s->x, "x", x, 1);
    tw_xml_attr_num(s->x, "y", y, 1);
    tw_xml_text(s->x, d->delivery->name);
    tw_xml_close_to(s->x, s->x->depth - 2);
}

static void open_drawing(tw_xml *x, const char *class, tw_size size)
{
    tw_xml_open_with(x, "svg", "xmlns", "http://www.w3.org/2000/svg");
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

static void draw_plate(const twi_sheet *s, size_t index, tw_size seen, tw_str still, twi_names *taken)
{
    tw_xml *x = s->x;
    tw_xml_open(x, "g");
    tw_xml_attrf(x, "id", "p%zu", index + 1);
    tw_xml_attr_num(x, "font-size", seen.h * TWI_LETTERS, 0);
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
        twi_sheet_regions(s, index, seen, taken);
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
    tw_xml_attr_num(x, "font-size", seen.h * TWI_LETTERS, 0);
    tw_xml_leaf(x, "title", tw_buf_str(&label));
    twi_names taken = {.size = seen.h * TWI_LETTERS};
    draw_plate(s, index, seen, still, &taken);
    if (still.len > 0)
        twi_sheet_regions(s, index, seen, &taken);
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
    twi_move_add_window(base, f->squeeze, &box);
    tw_xml_open(x, "svg");
    tw_xml_attr_num(x, "width", f->delivery.w, 0);
    tw_xml_attr_num(x, "height", f->delivery.h, 0);
    tw_xml_attr(x, "viewBox", tw_buf_str(&box));
    tw_xml_attrz(x, "preserveAspectRatio", "none");
    tw_xml_inline(x);
    if (m.len > 1) {
        const twi_clock c = twi_move_clock(s, shot);
        twi_move_window(&c, &m, "viewBox", twi_move_add_window, f->squeeze);
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
