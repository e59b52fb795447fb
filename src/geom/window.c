/* SPDX-License-Identifier: Apache-2.0 */
#include <tallwide/geom.h>

bool tw_key_same_place(const tw_key *a, const tw_key *b)
{
    return !(a->cx < b->cx || a->cx > b->cx || a->cy < b->cy || a->cy > b->cy || a->w < b->w || a->w > b->w);
}

bool tw_size_read(tw_str s, tw_size *out)
{
    size_t x = 0;
    while (x < s.len && s.at[x] != 'x' && s.at[x] != 'X')
        x++;
    int64_t w, h;
    if (x == s.len || !tw_num_int(tw_str_cut(s, x), &w) || !tw_num_int(tw_str_from(s, x + 1), &h))
        return false;
    if (w < 1 || h < 1 || w > 1000000 || h > 1000000)
        return false;
    *out = (tw_size){(int32_t)w, (int32_t)h};
    return true;
}

double tw_geom_past(tw_window win, tw_size source, const char **side)
{
    const struct {
        double px;
        const char *side;
    } sides[] = {
        {-win.x, "left"}, {win.x + win.w - source.w, "right"}, {-win.y, "upper"}, {win.y + win.h - source.h, "lower"}};
    size_t worst = 0;
    for (size_t i = 1; i < 4; i++)
        worst = sides[i].px > sides[worst].px ? i : worst;
    *side = sides[worst].side;
    return sides[worst].px;
}

double tw_geom_height(double w, double squeeze, tw_size delivery)
{
    return w * squeeze * delivery.h / delivery.w;
}

static double widest(tw_size source, double squeeze, tw_size delivery)
{
    return tw_min(source.w, (double)source.h * delivery.w / (delivery.h * squeeze));
}

tw_window tw_geom_widest(tw_size source, double squeeze, tw_size delivery)
{
    return tw_geom_window(source.w / 2.0, source.h / 2.0, widest(source, squeeze, delivery), squeeze, delivery);
}

double tw_geom_scale(double w, tw_size delivery)
{
    return delivery.w / w;
}

double tw_geom_narrowest(tw_size delivery, double max_scale)
{
    return delivery.w / max_scale;
}

double tw_geom_zoom(double w, tw_size source, double squeeze, tw_size delivery)
{
    return widest(source, squeeze, delivery) / w;
}

void tw_geom_move(tw_window win, tw_size source, tw_size delivery, double *right, double *down)
{
    *right = delivery.w / win.w * (source.w / 2.0 - (win.x + win.w / 2));
    *down = delivery.h / win.h * (source.h / 2.0 - (win.y + win.h / 2));
}

tw_window tw_geom_window(double cx, double cy, double w, double squeeze, tw_size delivery)
{
    double h = tw_geom_height(w, squeeze, delivery);
    return (tw_window){cx - w / 2, cy - h / 2, w, h};
}

tw_window tw_geom_key_window(tw_key key, double squeeze, tw_size delivery)
{
    return tw_geom_window(key.cx, key.cy, key.w, squeeze, delivery);
}

tw_window tw_geom_fit(tw_size source, double squeeze, tw_size delivery)
{
    double w = tw_max(source.w, (double)source.h * delivery.w / (delivery.h * squeeze));
    return tw_geom_window(source.w / 2.0, source.h / 2.0, w, squeeze, delivery);
}

double tw_geom_written(double w)
{
    return w >= 1 ? tw_num_round(w, 3) : w;
}

void tw_geom_add_width(double w, tw_buf *out)
{
    if (w >= 1)
        tw_buf_add_fixed(out, w, 3);
    else
        tw_buf_add_double(out, w);
}

bool tw_geom_inside(tw_window win, tw_size source, double slack)
{
    return win.x >= -slack && win.y >= -slack && win.x + win.w <= source.w + slack && win.y + win.h <= source.h + slack;
}

tw_cut tw_geom_cut(tw_window win, double left, double top, double right, double bottom)
{
    return (tw_cut){
        .left = tw_max(win.x - left, 0),
        .top = tw_max(win.y - top, 0),
        .right = tw_max(right - (win.x + win.w), 0),
        .bottom = tw_max(bottom - (win.y + win.h), 0),
    };
}
