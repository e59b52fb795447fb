/* SPDX-License-Identifier: Apache-2.0
 *
 * The arithmetic of the chart.
 */
#include "report_internal.h"

#include <math.h>

static const tw_size sixteen_nine = {16, 9};

/* The largest extent of a shape in a picture of w x h recorded pixels. */
static tw_extent largest(tw_extent picture, double squeeze, tw_size shape)
{
    double w = tw_min(picture.w, picture.h * shape.w / (shape.h * squeeze));
    return (tw_extent){w, tw_geom_height(w, squeeze, shape)};
}

/* The picture as large as it fits, seen unsqueezed. */
static tw_extent on_monitor(tw_extent shown, tw_size monitor)
{
    double scale = tw_min(monitor.w / shown.w, monitor.h / shown.h);
    return (tw_extent){shown.w * scale, shown.h * scale};
}

/* Insets are rounded up to whole pixels, so that what is drawn is never less safe than the standard. The small part
 * keeps 0.05 * 1080 at 54. */
static tw_chart_safe safe_area(tw_inset inset, tw_size size, tw_window window)
{
    tw_chart_safe area = {
        .exact = {size.w * (1 - inset.left - inset.right), size.h * (1 - inset.top - inset.bottom)},
        .left = (int32_t)ceil(size.w * inset.left - 1e-9),
        .top = (int32_t)ceil(size.h * inset.top - 1e-9),
        .source = {window.x + window.w * inset.left, window.y + window.h * inset.top,
                   window.w * (1 - inset.left - inset.right), window.h * (1 - inset.top - inset.bottom)},
    };
    return area;
}

static tw_chart_shape make_shape(const tw_chart_ask *ask, const tw_chart_mode *mode, tw_chart_picture shape)
{
    tw_size source = mode->mode.size, size = shape.size;
    double pixels = (double)source.w * source.h;
    tw_chart_shape s = {.shape = shape, .window = tw_geom_widest(source, ask->squeeze, size)};
    s.used = s.window.w * s.window.h / pixels;
    s.room = s.window.w / tw_geom_narrowest(size, ask->max_scale);
    s.if_wide = largest(mode->wide, ask->squeeze, size);
    s.wide_kept = s.if_wide.w * s.if_wide.h / (mode->wide.w * mode->wide.h);
    s.fewer = 1 - s.if_wide.w * s.if_wide.h / (s.window.w * s.window.h);
    if (ask->safe != NULL) {
        s.action = safe_area(ask->safe->action, size, s.window);
        s.graphics = safe_area(ask->safe->graphics, size, s.window);
        s.by_analogy = !tw_safe_covers(ask->safe, size);
    }
    if (ask->monitor.w > 0)
        s.on_monitor = on_monitor((tw_extent){size.w, size.h}, ask->monitor);
    return s;
}

static void share(tw_chart_mode *mode, size_t shape_count)
{
    tw_size source = mode->mode.size;
    double left = 0, top = 0, right = source.w, bottom = source.h;
    for (size_t i = 0; i < shape_count; i++) {
        const tw_window *w = &mode->shapes[i].window;
        left = tw_max(left, w->x);
        top = tw_max(top, w->y);
        right = tw_min(right, w->x + w->w);
        bottom = tw_min(bottom, w->y + w->h);
    }
    mode->shared = (tw_window){left, top, right - left, bottom - top};
    mode->shared_used = mode->shared.w * mode->shared.h / ((double)source.w * source.h);
}

static tw_chart_picture named(tw_arena *arena, tw_chart_picture p)
{
    if (p.name.len == 0)
        p.name = tw_arena_printf(arena, "%dx%d", p.size.w, p.size.h);
    return p;
}

tw_chart *tw_chart_make(tw_arena *arena, const tw_chart_ask *ask)
{
    tw_chart *chart = TW_NEW(arena, tw_chart);
    chart->ask = *ask;
    if (chart->ask.squeeze <= 0)
        chart->ask.squeeze = 1;
    if (chart->ask.max_scale <= 0)
        chart->ask.max_scale = 1;
    chart->modes = TW_NEW_N(arena, tw_chart_mode, ask->mode_count);
    for (size_t m = 0; m < ask->mode_count; m++) {
        tw_chart_mode *mode = &chart->modes[m];
        mode->mode = named(arena, ask->modes[m]);
        const tw_extent picture = {mode->mode.size.w, mode->mode.size.h};
        mode->wide = largest(picture, chart->ask.squeeze, sixteen_nine);
        mode->shapes = TW_NEW_N(arena, tw_chart_shape, ask->shape_count);
        for (size_t s = 0; s < ask->shape_count; s++)
            mode->shapes[s] = make_shape(&chart->ask, mode, named(arena, ask->shapes[s]));
        share(mode, ask->shape_count);
        if (ask->monitor.w > 0)
            mode->on_monitor = on_monitor((tw_extent){picture.w * chart->ask.squeeze, picture.h}, ask->monitor);
    }
    return chart;
}
