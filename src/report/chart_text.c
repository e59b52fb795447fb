/* SPDX-License-Identifier: Apache-2.0
 *
 * The chart as text and as JSON.
 */
#include "report_internal.h"

/* ---- text ------------------------------------------------------------------------------------------------ */

/* Blanks up to a column of the line that began at `start`; two at least. */
static void pad(tw_buf *out, size_t start, size_t column)
{
    size_t used = out->len - start;
    tw_buf_fill(out, ' ', used + 2 <= column ? column - used : 2);
}

static void add_extent(tw_extent e, tw_buf *out)
{
    tw_xml_add_num(out, e.w, 2);
    tw_buf_addc(out, 'x');
    tw_xml_add_num(out, e.h, 2);
}

/* "28.91-71.09 %": where the guide lines go, in percent of the picture. */
static void add_lines(double from, double length, double whole, tw_buf *out)
{
    tw_buf_add_fixed(out, 100 * from / whole, 2);
    tw_buf_addc(out, '-');
    twi_report_percent((from + length) / whole, 2, out);
}

static void text_guides(tw_window win, tw_size source, size_t start, tw_buf *out)
{
    pad(out, start, 64);
    add_lines(win.x, win.w, source.w, out);
    pad(out, start, 83);
    add_lines(win.y, win.h, source.h, out);
    tw_buf_addc(out, '\n');
}

static void text_shape(const tw_chart_mode *mode, const tw_chart_shape *s, tw_buf *out)
{
    size_t start = out->len;
    tw_buf_addf(out, "  %.*s", TW_ARG(s->shape.name));
    pad(out, start, 13);
    twi_report_ratio(s->shape.size.w, s->shape.size.h, out);
    pad(out, start, 21);
    twi_report_window(s->window, out);
    pad(out, start, 45);
    twi_report_percent(s->used, 1, out);
    pad(out, start, 54);
    twi_report_percent(s->room, 0, out);
    text_guides(s->window, mode->mode.size, start, out);
}

static void text_shared(const tw_chart_mode *mode, tw_buf *out)
{
    size_t start = out->len;
    tw_buf_addz(out, "  all share");
    pad(out, start, 21);
    twi_report_window(mode->shared, out);
    pad(out, start, 45);
    twi_report_percent(mode->shared_used, 1, out);
    text_guides(mode->shared, mode->mode.size, start, out);
}

static void text_wide(const tw_chart *chart, const tw_chart_mode *mode, tw_buf *out)
{
    if (mode->wide.w >= mode->mode.size.w && mode->wide.h >= mode->mode.size.h)
        return; /* it is recorded in 16:9 */
    tw_buf_addz(out, "\n  recorded in 16:9 instead, ");
    add_extent(mode->wide, out);
    tw_buf_addz(out, ":\n");
    for (size_t i = 0; i < chart->ask.shape_count; i++) {
        const tw_chart_shape *s = &mode->shapes[i];
        size_t start = out->len;
        tw_buf_addf(out, "  %.*s", TW_ARG(s->shape.name));
        pad(out, start, 21);
        add_extent(s->if_wide, out);
        tw_buf_addz(out, ", keeps ");
        twi_report_percent(s->wide_kept, 1, out);
        tw_buf_addz(out, " of that picture (loses ");
        twi_report_percent(1 - s->wide_kept, 1, out);
        tw_buf_addz(out, "), ");
        if (s->fewer < 0.0005) {
            tw_buf_addz(out, "the same pixels as above\n");
            continue;
        }
        twi_report_percent(s->fewer, 1, out);
        tw_buf_addz(out, " fewer pixels than above\n");
    }
}

static void text_area(const char *what, const tw_chart_safe *area, tw_buf *out)
{
    tw_buf_addf(out, "%s ", what);
    add_extent(area->exact, out);
    tw_buf_addf(out, " (inset %d,%d)", area->left, area->top);
}

static void text_safe(const tw_chart *chart, tw_buf *out)
{
    tw_buf_addf(out, "\nsafe areas by %s, delivery pixels; insets rounded up\n", chart->ask.safe->title);
    for (size_t i = 0; i < chart->ask.shape_count; i++) {
        const tw_chart_shape *s = &chart->modes[0].shapes[i];
        size_t start = out->len;
        tw_buf_addf(out, "  %.*s", TW_ARG(s->shape.name));
        pad(out, start, 13);
        tw_buf_addf(out, "%dx%d", s->shape.size.w, s->shape.size.h);
        pad(out, start, 24);
        text_area("action", &s->action, out);
        tw_buf_addz(out, ", ");
        text_area("graphics", &s->graphics, out);
        tw_buf_addz(out, s->by_analogy ? ", by analogy\n" : "\n");
    }
}

static void text_monitor(const tw_chart *chart, tw_buf *out)
{
    tw_buf_addf(out, "\nwhole on a monitor of %dx%d\n ", chart->ask.monitor.w, chart->ask.monitor.h);
    for (size_t m = 0; m < chart->ask.mode_count; m++) {
        const tw_chart_mode *mode = &chart->modes[m];
        tw_buf_addf(out, "%s %.*s ", m > 0 ? "," : "", TW_ARG(mode->mode.name));
        add_extent(mode->on_monitor, out);
    }
    for (size_t i = 0; i < chart->ask.shape_count; i++) {
        tw_buf_addf(out, ", %.*s ", TW_ARG(chart->modes[0].shapes[i].shape.name));
        add_extent(chart->modes[0].shapes[i].on_monitor, out);
    }
    tw_buf_addc(out, '\n');
}

static void text_mode(const tw_chart *chart, const tw_chart_mode *mode, tw_buf *out)
{
    tw_str name = mode->mode.name;
    bool own_name = tw_size_read(name, &(tw_size){0, 0});
    if (!own_name)
        tw_buf_addf(out, "%.*s, ", TW_ARG(name));
    tw_buf_addf(out, "%dx%d, ", mode->mode.size.w, mode->mode.size.h);
    twi_report_ratio(mode->mode.size.w * chart->ask.squeeze, mode->mode.size.h, out);
    if (chart->ask.squeeze < 1 || chart->ask.squeeze > 1) {
        tw_buf_addz(out, " with a squeeze of ");
        tw_xml_add_num(out, chart->ask.squeeze, 3);
    }
    tw_buf_addz(out,
                "\n  shape      ratio   largest window          used     room      lines across       lines down\n");
    for (size_t i = 0; i < chart->ask.shape_count; i++)
        text_shape(mode, &mode->shapes[i], out);
    text_shared(mode, out);
    text_wide(chart, mode, out);
}

void tw_chart_text(const tw_chart *chart, tw_buf *out)
{
    for (size_t m = 0; m < chart->ask.mode_count; m++) {
        if (m > 0)
            tw_buf_addc(out, '\n');
        text_mode(chart, &chart->modes[m], out);
    }
    tw_buf_addz(out, "\nroom: how far the window can be punched in before ");
    if (chart->ask.max_scale < 1 || chart->ask.max_scale > 1) {
        tw_buf_addz(out, "a source pixel becomes more than ");
        tw_xml_add_num(out, chart->ask.max_scale, 3);
        tw_buf_addz(out, " delivery pixels; 100 % is none\n");
    } else {
        tw_buf_addz(out, "source pixels are enlarged; 100 % is none\n");
    }
    if (chart->ask.safe != NULL)
        text_safe(chart, out);
    if (chart->ask.monitor.w > 0)
        text_monitor(chart, out);
}

/* ---- JSON ------------------------------------------------------------------------------------------------ */

static void json_num(const char *name, double value, tw_buf *out)
{
    tw_buf_addf(out, "\"%s\": ", name);
    tw_buf_add_double(out, tw_num_round(value, 6));
}

static void json_window(const char *name, tw_window win, tw_buf *out)
{
    tw_buf_addf(out, ", \"%s\": {", name);
    json_num("x", win.x, out);
    tw_buf_addz(out, ", ");
    json_num("y", win.y, out);
    tw_buf_addz(out, ", ");
    json_num("w", win.w, out);
    tw_buf_addz(out, ", ");
    json_num("h", win.h, out);
    tw_buf_addc(out, '}');
}

static void json_extent(const char *name, tw_extent e, tw_buf *out)
{
    tw_buf_addf(out, ", \"%s\": [", name);
    tw_buf_add_double(out, tw_num_round(e.w, 6));
    tw_buf_addz(out, ", ");
    tw_buf_add_double(out, tw_num_round(e.h, 6));
    tw_buf_addc(out, ']');
}

static void json_guides(const char *name, tw_window win, tw_size source, tw_buf *out)
{
    tw_buf_addf(out, ", \"%s\": {", name);
    json_num("left", 100 * win.x / source.w, out);
    tw_buf_addz(out, ", ");
    json_num("top", 100 * win.y / source.h, out);
    tw_buf_addz(out, ", ");
    json_num("right", 100 * (win.x + win.w) / source.w, out);
    tw_buf_addz(out, ", ");
    json_num("bottom", 100 * (win.y + win.h) / source.h, out);
    tw_buf_addc(out, '}');
}

static void json_safe(const char *name, const tw_chart_safe *area, tw_buf *out)
{
    tw_buf_addf(out, ", \"%s\": {\"inset\": [%d, %d]", name, area->left, area->top);
    json_extent("size", area->exact, out);
    json_window("source", area->source, out);
    tw_buf_addc(out, '}');
}

static void json_shape(const tw_chart *chart, const tw_chart_mode *mode, const tw_chart_shape *s, tw_buf *out)
{
    tw_buf_addz(out, "{\"name\": ");
    tw_diag_json_string(s->shape.name, out);
    tw_buf_addf(out, ", \"size\": [%d, %d]", s->shape.size.w, s->shape.size.h);
    json_window("window", s->window, out);
    json_guides("guides_percent", s->window, mode->mode.size, out);
    tw_buf_addz(out, ", ");
    json_num("used_percent", 100 * s->used, out);
    tw_buf_addz(out, ", ");
    json_num("room_percent", 100 * s->room, out);
    json_extent("window_if_16x9", s->if_wide, out);
    tw_buf_addz(out, ", ");
    json_num("lost_of_16x9_percent", 100 * (1 - s->wide_kept), out);
    tw_buf_addz(out, ", ");
    json_num("fewer_pixels_percent", 100 * s->fewer, out);
    if (chart->ask.safe != NULL) {
        json_safe("action", &s->action, out);
        json_safe("graphics", &s->graphics, out);
        tw_buf_addf(out, ", \"by_analogy\": %s", s->by_analogy ? "true" : "false");
    }
    if (chart->ask.monitor.w > 0)
        json_extent("on_monitor", s->on_monitor, out);
    tw_buf_addc(out, '}');
}

static void json_mode(const tw_chart *chart, const tw_chart_mode *mode, tw_buf *out)
{
    tw_buf_addz(out, "{\"name\": ");
    tw_diag_json_string(mode->mode.name, out);
    tw_buf_addf(out, ", \"size\": [%d, %d]", mode->mode.size.w, mode->mode.size.h);
    json_window("shared", mode->shared, out);
    json_guides("shared_guides_percent", mode->shared, mode->mode.size, out);
    tw_buf_addz(out, ", ");
    json_num("shared_percent", 100 * mode->shared_used, out);
    json_extent("wide", mode->wide, out);
    if (chart->ask.monitor.w > 0)
        json_extent("on_monitor", mode->on_monitor, out);
    tw_buf_addz(out, ", \"shapes\": [");
    for (size_t i = 0; i < chart->ask.shape_count; i++) {
        tw_buf_addz(out, i > 0 ? ",\n   " : "\n   ");
        json_shape(chart, mode, &mode->shapes[i], out);
    }
    tw_buf_addz(out, "]}");
}

void tw_chart_json(const tw_chart *chart, tw_buf *out)
{
    tw_buf_addc(out, '{');
    json_num("squeeze", chart->ask.squeeze, out);
    tw_buf_addz(out, ", ");
    json_num("max_scale", chart->ask.max_scale, out);
    if (chart->ask.safe != NULL)
        tw_buf_addf(out, ", \"safe\": \"%s\"", chart->ask.safe->name);
    tw_buf_addz(out, ", \"modes\": [");
    for (size_t m = 0; m < chart->ask.mode_count; m++) {
        tw_buf_addz(out, m > 0 ? ",\n  " : "\n  ");
        json_mode(chart, &chart->modes[m], out);
    }
    tw_buf_addz(out, "]}\n");
}
