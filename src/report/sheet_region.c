/* SPDX-License-Identifier: Apache-2.0
 *
 * The regions of a shot in its whole picture.
 */
#include "sheet_draw.h"

#include <math.h>

static double box_value(const tw_region_key *k, int which, tw_size seen)
{
    const double values[] = {k->left * seen.w, k->top * seen.h, k->width * seen.w, k->height * seen.h};
    return values[which];
}

/* One or two numbers of every box, with the first and last held to the ends of the shot. */
static void animate_boxes(const twi_clock *c, const twi_boxes *b, const char *attribute, int which, tw_size seen)
{
    bool corner = which == 0;
    twi_move_open(c, corner ? "animateTransform" : "animate", attribute);
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
        twi_move_share(c, i == 0 ? (double)c->first : i > b->len ? (double)(c->first + c->frames) : box->frame, &times);
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
static void animate_presence(const twi_clock *c, const twi_boxes *b)
{
    int64_t last = c->first + c->frames;
    if (b->shown_count == 0 || (b->shown[0] <= c->first && b->shown_count == 2 && b->shown[1] >= last))
        return;
    twi_move_open(c, "animate", "opacity");
    tw_xml_attrz(c->x, "calcMode", "discrete");
    tw_buf values = {.arena = c->arena}, times = {.arena = c->arena};
    bool at_once = b->shown[0] <= c->first;
    tw_buf_addz(&values, at_once ? "1" : "0");
    tw_buf_addz(&times, "0");
    for (size_t i = at_once ? 1 : 0; i < b->shown_count && b->shown[i] < last; i++) {
        tw_buf_addz(&values, i % 2 == 0 ? ";1" : ";0");
        tw_buf_addc(&times, ';');
        twi_move_share(c, (double)b->shown[i], &times);
    }
    tw_xml_attr(c->x, "values", tw_buf_str(&values));
    tw_xml_attr(c->x, "keyTimes", tw_buf_str(&times));
    tw_xml_close(c->x);
}

/* The box at the first frame as cut, which a still window was approved on; where it is seen later only, at the first
 * frame it is. */
static twi_boxes held_still(const twi_sheet *s, const tw_decision *shot, const tw_region *region, twi_boxes boxes)
{
    tw_region_key box;
    int64_t first = shot->stand->body.first;
    if (boxes.len > 0 && twi_report_box(s->derived->master, shot, region, (double)first, &box))
        boxes.at[0] = (twi_box){(double)first, box};
    boxes.len = boxes.len > 0 ? 1 : 0;
    boxes.shown_count = 0;
    return boxes;
}

/* A region: its box at the first frame it is seen, its name, and how both move. */
static void draw_region(const twi_clock *c, const tw_region *region, const twi_boxes *b, tw_size seen, twi_names *taken)
{
    tw_xml *x = c->x;
    const tw_region_key *box = &b->at[0].box;
    tw_xml_open_with(x, "g", "class", region->must ? "must" : "nice");
    tw_buf corner = {.arena = c->arena};
    tw_buf_addz(&corner, "translate(");
    twi_move_add_corner((tw_window){box_value(box, 0, seen), box_value(box, 1, seen), 0, 0}, 1, &corner);
    tw_buf_addc(&corner, ')');
    tw_xml_attr(x, "transform", tw_buf_str(&corner));
    tw_xml_inline(x);
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
    double base = twi_names_take(taken, left, tw_max(top - taken->size * 0.3, taken->size), region->name);
    tw_xml_open(x, "text");
    tw_xml_attr_num(x, "y", base - top, 1);
    tw_xml_textf(x, "%.*s", TW_ARG(region->name));
    tw_xml_close_to(x, x->depth - 2);
}

void twi_sheet_regions(const twi_sheet *s, size_t index, tw_size seen, twi_names *taken)
{
    bool moves = twi_sheet_moves(s, index);
    for (size_t d = 0; d < s->derived->delivery_count; d++) {
        const tw_decision *shot = &s->derived->deliveries[d].shots[index];
        const twi_clock c = twi_move_clock(s, shot);
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
