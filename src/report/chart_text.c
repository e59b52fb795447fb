/* SPDX-License-Identifier: Apache-2.0
 *
 * The chart as text and as JSON.
 */
#include "report_internal.h"

/* ---- columns --------------------------------------------------------------------------------------------- */

/* Rows of cells, written one after another; each column is as wide as its widest cell, so no name is too long. */
#define COLUMNS 7
typedef struct grid {
    tw_buf text; /* the cells; its arena holds them */
    size_t *ends, len, cap;
} grid;

/* Ends the cell that was added to grid->text. */
static void cell(grid *g)
{
    TW_PUSH(g->text.arena, g->ends, g->len, g->cap) = g->text.len;
}

static void cellz(grid *g, const char *text)
{
    tw_buf_addz(&g->text, text);
    cell(g);
}

static tw_str cell_at(const grid *g, size_t index)
{
    size_t from = index > 0 ? g->ends[index - 1] : 0;
    return (tw_str){tw_buf_str(&g->text).at + from, g->ends[index] - from};
}

static void write_grid(const grid *g, size_t columns, tw_buf *out)
{
    size_t widths[COLUMNS] = {0};
    for (size_t i = 0; i < g->len; i++) {
        size_t width = tw_str_characters(cell_at(g, i));
        if (width > widths[i % columns])
            widths[i % columns] = width;
    }
    for (size_t i = 0, blanks = 2; i < g->len; i++) {
        tw_str text = cell_at(g, i);
        if (text.len > 0) {
            tw_buf_fill(out, ' ', blanks);
            tw_buf_add(out, text);
            blanks = 0;
        }
        blanks += widths[i % columns] - tw_str_characters(text) + 2;
        if (i % columns + 1 == columns) {
            tw_buf_addc(out, '\n');
            blanks = 2;
        }
    }
}

static void add_extent(tw_extent e, tw_buf *out)
{
    tw_xml_add_num(out, e.w, 2);
    tw_buf_addc(out, 'x');
    tw_xml_add_num(out, e.h, 2);
}

/* ---- text ------------------------------------------------------------------------------------------------ */

/* "28.91-71.09": where the guide lines go, in percent of the picture. */
static void cell_lines(grid *g, double from, double length, double whole)
{
    tw_buf_add_fixed(&g->text, 100 * from / whole, 2);
    tw_buf_addc(&g->text, '-');
    tw_buf_add_fixed(&g->text, 100 * (from + length) / whole, 2);
    cell(g);
}

static void text_shapes(const tw_chart *chart, const tw_chart_mode *mode, tw_buf *out)
{
    static const char *const heads[COLUMNS] = {"shape",  "ratio",    "largest window", "used %",
                                               "room %", "across %", "down %"};
    grid g = {.text = {.arena = out->arena}};
    for (size_t i = 0; i < COLUMNS; i++)
        cellz(&g, heads[i]);
    for (size_t i = 0; i <= chart->ask.shape_count; i++) {
        const tw_chart_shape *s = i < chart->ask.shape_count ? &mode->shapes[i] : NULL;
        tw_window win = s != NULL ? s->window : mode->shared;
        tw_buf_add(&g.text, s != NULL ? s->shape.name : TW_STR("all share"));
        cell(&g);
        if (s != NULL)
            twi_report_ratio(s->shape.size.w, s->shape.size.h, &g.text);
        cell(&g);
        twi_report_window(win, &g.text);
        cell(&g);
        tw_buf_add_fixed(&g.text, 100 * (s != NULL ? s->used : mode->shared_used), 1);
        cell(&g);
        if (s != NULL)
            tw_buf_add_fixed(&g.text, 100 * s->room, 0);
        cell(&g);
        cell_lines(&g, win.x, win.w, mode->mode.size.w);
        cell_lines(&g, win.y, win.h, mode->mode.size.h);
    }
    write_grid(&g, COLUMNS, out);
}

static void text_wide(const tw_chart *chart, const tw_chart_mode *mode, tw_buf *out)
{
    grid g = {.text = {.arena = out->arena}};
    if (mode->wide.w >= mode->mode.size.w && mode->wide.h >= mode->mode.size.h)
        return; /* it is recorded in 16:9 */
    tw_buf_addz(out, "\n  recorded in 16:9 instead, ");
    add_extent(mode->wide, out);
    tw_buf_addz(out, ":\n");
    for (size_t i = 0; i < chart->ask.shape_count; i++) {
        const tw_chart_shape *s = &mode->shapes[i];
        tw_buf_add(&g.text, s->shape.name);
        cell(&g);
        add_extent(s->if_wide, &g.text);
        cell(&g);
        tw_buf_addz(&g.text, "loses ");
        twi_report_percent(1 - s->wide_kept, 1, &g.text);
        tw_buf_addz(&g.text, " of it");
        cell(&g);
        if (s->fewer >= 0.0005) {
            twi_report_percent(s->fewer, 1, &g.text);
            tw_buf_addz(&g.text, " fewer pixels than above");
        } else {
            tw_buf_addz(&g.text, "as many pixels as above");
        }
        cell(&g);
    }
    write_grid(&g, 4, out);
}

static void cell_area(grid *g, const tw_chart_safe *area)
{
    add_extent(area->exact, &g->text);
    cell(g);
    tw_buf_addf(&g->text, "%d,%d", area->left, area->top);
    cell(g);
}

static void text_safe(const tw_chart *chart, tw_buf *out)
{
    static const char *const heads[] = {"shape", "action", "inset", "graphics", "inset", ""};
    grid g = {.text = {.arena = out->arena}};
    tw_buf_addf(out, "\nsafe areas by %s, delivery pixels; insets rounded up\n", chart->ask.safe->title);
    for (size_t i = 0; i < 6; i++)
        cellz(&g, heads[i]);
    for (size_t i = 0; i < chart->ask.shape_count; i++) {
        const tw_chart_shape *s = &chart->modes[0].shapes[i];
        tw_buf_add(&g.text, s->shape.name);
        cell(&g);
        cell_area(&g, &s->action);
        cell_area(&g, &s->graphics);
        cellz(&g, s->by_analogy ? "by analogy" : "");
    }
    write_grid(&g, 6, out);
}

static void row_on_monitor(grid *g, tw_str name, tw_extent size)
{
    tw_buf_add(&g->text, name);
    cell(g);
    add_extent(size, &g->text);
    cell(g);
}

static void text_monitor(const tw_chart *chart, tw_buf *out)
{
    grid g = {.text = {.arena = out->arena}};
    tw_buf_addf(out, "\nwhole on a monitor of %dx%d\n", chart->ask.monitor.w, chart->ask.monitor.h);
    for (size_t m = 0; m < chart->ask.mode_count; m++)
        row_on_monitor(&g, chart->modes[m].mode.name, chart->modes[m].on_monitor);
    for (size_t i = 0; i < chart->ask.shape_count; i++)
        row_on_monitor(&g, chart->modes[0].shapes[i].shape.name, chart->modes[0].shapes[i].on_monitor);
    write_grid(&g, 2, out);
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
    tw_buf_addc(out, '\n');
    text_shapes(chart, mode, out);
    text_wide(chart, mode, out);
}

void tw_chart_text(const tw_chart *chart, tw_buf *out)
{
    for (size_t m = 0; m < chart->ask.mode_count; m++) {
        if (m > 0)
            tw_buf_addc(out, '\n');
        text_mode(chart, &chart->modes[m], out);
    }
    tw_buf_addz(out, "\nacross, down: where guide lines go\nroom: how far to punch in before ");
    if (chart->ask.max_scale < 1 || chart->ask.max_scale > 1) {
        tw_buf_addz(out, "a source pixel becomes more than ");
        tw_xml_add_num(out, chart->ask.max_scale, 3);
        tw_buf_addz(out, " delivery pixels; 100 % is not at all\n");
    } else {
        tw_buf_addz(out, "source pixels are enlarged; 100 % is not at all\n");
    }
    if (chart->ask.safe != NULL)
        text_safe(chart, out);
    if (chart->ask.monitor.w > 0)
        text_monitor(chart, out);
}

/* ---- JSON ------------------------------------------------------------------------------------------------ */

static void json_window(const char *name, tw_window win, tw_buf *out)
{
    tw_diag_json_key(name, out);
    tw_buf_addc(out, '{');
    tw_diag_json_number("x", win.x, 6, out);
    tw_diag_json_number("y", win.y, 6, out);
    tw_diag_json_number("w", win.w, 6, out);
    tw_diag_json_number("h", win.h, 6, out);
    tw_buf_addc(out, '}');
}

static void json_extent(const char *name, tw_extent e, tw_buf *out)
{
    tw_diag_json_key(name, out);
    tw_buf_addc(out, '[');
    tw_buf_add_double(out, tw_num_round(e.w, 6));
    tw_buf_addz(out, ", ");
    tw_buf_add_double(out, tw_num_round(e.h, 6));
    tw_buf_addc(out, ']');
}

static void json_guides(const char *name, tw_window win, tw_size source, tw_buf *out)
{
    tw_diag_json_key(name, out);
    tw_buf_addc(out, '{');
    tw_diag_json_number("left", 100 * win.x / source.w, 6, out);
    tw_diag_json_number("top", 100 * win.y / source.h, 6, out);
    tw_diag_json_number("right", 100 * (win.x + win.w) / source.w, 6, out);
    tw_diag_json_number("bottom", 100 * (win.y + win.h) / source.h, 6, out);
    tw_buf_addc(out, '}');
}

static void json_safe(const char *name, const tw_chart_safe *area, tw_buf *out)
{
    tw_diag_json_key(name, out);
    tw_buf_addf(out, "{\"inset\": [%d, %d]", area->left, area->top);
    json_extent("size", area->exact, out);
    json_window("source", area->source, out);
    tw_buf_addc(out, '}');
}

/* Name and size of a shape or a mode, the first members of its object. */
static void json_picture(const tw_chart_picture *p, const char *line, tw_buf *out)
{
    tw_diag_json_next(line, out);
    tw_diag_json_text("name", p->name, out);
    tw_buf_addf(out, ", \"size\": [%d, %d]", p->size.w, p->size.h);
}

static void json_shape(const tw_chart *chart, const tw_chart_mode *mode, const tw_chart_shape *s, tw_buf *out)
{
    json_picture(&s->shape, "\n   {", out);
    json_window("window", s->window, out);
    json_guides("guides_percent", s->window, mode->mode.size, out);
    tw_diag_json_number("used_percent", 100 * s->used, 6, out);
    tw_diag_json_number("room_percent", 100 * s->room, 6, out);
    json_extent("window_if_16x9", s->if_wide, out);
    tw_diag_json_number("lost_of_16x9_percent", 100 * (1 - s->wide_kept), 6, out);
    tw_diag_json_number("fewer_pixels_percent", 100 * s->fewer, 6, out);
    if (chart->ask.safe != NULL) {
        json_safe("action", &s->action, out);
        json_safe("graphics", &s->graphics, out);
        tw_diag_json_bool("by_analogy", s->by_analogy, out);
    }
    if (chart->ask.monitor.w > 0)
        json_extent("on_monitor", s->on_monitor, out);
    tw_buf_addc(out, '}');
}

static void json_mode(const tw_chart *chart, const tw_chart_mode *mode, tw_buf *out)
{
    json_picture(&mode->mode, "\n  {", out);
    json_window("shared", mode->shared, out);
    json_guides("shared_guides_percent", mode->shared, mode->mode.size, out);
    tw_diag_json_number("shared_percent", 100 * mode->shared_used, 6, out);
    json_extent("wide", mode->wide, out);
    if (chart->ask.monitor.w > 0)
        json_extent("on_monitor", mode->on_monitor, out);
    tw_buf_addz(out, ", \"shapes\": [");
    for (size_t i = 0; i < chart->ask.shape_count; i++)
        json_shape(chart, mode, &mode->shapes[i], out);
    tw_buf_addz(out, "]}");
}

void tw_chart_json(const tw_chart *chart, tw_buf *out)
{
    tw_buf_addc(out, '{');
    tw_diag_json_number("squeeze", chart->ask.squeeze, 6, out);
    tw_diag_json_number("max_scale", chart->ask.max_scale, 6, out);
    if (chart->ask.safe != NULL)
        tw_diag_json_text("safe", tw_str_z(chart->ask.safe->name), out);
    tw_buf_addz(out, ", \"modes\": [");
    for (size_t m = 0; m < chart->ask.mode_count; m++)
        json_mode(chart, &chart->modes[m], out);
    tw_buf_addz(out, "]}\n");
}
