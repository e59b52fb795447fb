/* SPDX-License-Identifier: Apache-2.0
 *
 * What moves in the sheet's pictures, as SVG animates it.
 */
#include "sheet_draw.h"

twi_clock twi_move_clock(const twi_sheet *s, const tw_decision *shot)
{
    return (twi_clock){s->x, s->arena, s->derived->master, shot->first, shot->frames};
}

void twi_move_share(const twi_clock *c, double frame, tw_buf *out)
{
    double share = (frame - (double)c->first) / (double)c->frames;
    tw_xml_add_num(out, share < 0 ? 0 : share > 1 ? 1 : share, 6);
}

void twi_move_open(const twi_clock *c, const char *element, const char *attribute)
{
    tw_xml_open_with(c->x, element, "attributeName", attribute);
    tw_buf duration = {.arena = c->arena};
    tw_xml_add_num(&duration, (double)c->frames / tw_rate_fps(c->master->rate), 4);
    tw_buf_addc(&duration, 's');
    tw_xml_attr(c->x, "dur", tw_buf_str(&duration));
    tw_xml_attrz(c->x, "repeatCount", "indefinite");
}

static void add_motion_times(const twi_clock *c, const twi_motion *m)
{
    tw_buf times = {.arena = c->arena}, splines = {.arena = c->arena};
    for (size_t i = 0; i < m->len; i++) {
        if (i > 0)
            tw_buf_addc(&times, ';');
        twi_move_share(c, m->at[i].frame, &times);
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

void twi_move_add_window(tw_window win, double squeeze, tw_buf *out)
{
    tw_xml_add_num(out, win.x * squeeze, 2);
    tw_buf_addc(out, ' ');
    tw_xml_add_num(out, win.y, 2);
    tw_buf_addc(out, ' ');
    tw_xml_add_num(out, win.w * squeeze, 2);
    tw_buf_addc(out, ' ');
    tw_xml_add_num(out, win.h, 2);
}

void twi_move_add_corner(tw_window win, double squeeze, tw_buf *out)
{
    tw_xml_add_num(out, win.x * squeeze, 2);
    tw_buf_addc(out, ' ');
    tw_xml_add_num(out, win.y, 2);
}

void twi_move_add_width(tw_window win, double squeeze, tw_buf *out)
{
    tw_xml_add_num(out, win.w * squeeze, 2);
}

void twi_move_add_height(tw_window win, double squeeze, tw_buf *out)
{
    (void)squeeze;
    tw_xml_add_num(out, win.h, 2);
}

void twi_move_window(const twi_clock *c, const twi_motion *m, const char *attribute, twi_window_part part,
                     double squeeze)
{
    bool corner = part == twi_move_add_corner;
    twi_move_open(c, corner ? "animateTransform" : "animate", attribute);
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
