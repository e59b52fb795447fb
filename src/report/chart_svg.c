/* SPDX-License-Identifier: Apache-2.0
 *
 * The chart as a drawing: a panel per mode, the picture on the left, its numbers on the right. 1040 pixels wide, which
 * prints whole on A4 and Letter, landscape.
 */
#include "report_internal.h"

#define PAGE_W 1040
#define PICTURE_W 400.0
#define PICTURE_H 380.0
#define TABLE_X 436
#define LINE 20

/* clang-format off */
/* Plain colours in every rule: what draws SVG to paper does not always know variables. */
static const char *const style[] = {
    "svg{font:14px system-ui,sans-serif;background:#fff}",
    "text{fill:#1c1b1a}.n{font-size:12px}.h{font-size:20px;font-weight:600}.s{fill:#66625c}",
    ".name{font-weight:600;stroke:#fff;stroke-width:4;stroke-opacity:.85;paint-order:stroke}",
    ".r{text-anchor:end;font-variant-numeric:tabular-nums}",
    ".plate{fill:#efede8}.all{fill:#1c1b1a;fill-opacity:.08;stroke:none}",
    ".win{fill:none;stroke-width:2.5}.safe{fill:none;stroke-width:.8;opacity:.6}",
    ".c0{stroke:#1f5fa8}.c1{stroke:#ad4409}.c2{stroke:#13704f}.c3{stroke:#7b3d92}.c4{stroke:#6a5a00}.c5{stroke:#555}",
    ".win.c1{stroke-dasharray:10 4}.win.c2{stroke-dasharray:3 3}.win.c3{stroke-dasharray:14 4 3 4}",
    ".win.c4{stroke-dasharray:6 6}.win.c5{stroke-dasharray:1 4}",
    ".t0{fill:#1f5fa8}.t1{fill:#ad4409}.t2{fill:#13704f}.t3{fill:#7b3d92}.t4{fill:#6a5a00}.t5{fill:#555}",
    "@media screen and (prefers-color-scheme:dark){",
    "svg{background:#161514}text{fill:#eceae6}.s{fill:#a9a49c}.name{stroke:#161514}.plate{fill:#2a2826}.all{fill:#eceae6}",
    ".c0{stroke:#83b5f2}.c1{stroke:#f2a676}.c2{stroke:#72d3b0}.c3{stroke:#d2a5e3}.c4{stroke:#dac75f}.c5{stroke:#bbb}",
    ".t0{fill:#83b5f2}.t1{fill:#f2a676}.t2{fill:#72d3b0}.t3{fill:#d2a5e3}.t4{fill:#dac75f}.t5{fill:#bbb}}",
};
/* clang-format on */

typedef struct panel {
    tw_xml *x;
    const tw_chart *chart;
    const tw_chart_mode *mode;
    double top;       /* of the panel, page pixels */
    double column;    /* where the windows stand, beside the names */
    double scale, sx; /* page pixels per source pixel, down and across */
} panel;

static void text_at(tw_xml *x, double left, double base, const char *class, tw_str text)
{
    tw_xml_open(x, "text");
    tw_xml_attr_num(x, "x", left, 1);
    tw_xml_attr_num(x, "y", base, 1);
    if (class != NULL)
        tw_xml_attrz(x, "class", class);
    tw_xml_text(x, text);
    tw_xml_close(x);
}

static void rect(const panel *p, const char *class, tw_window w)
{
    tw_xml_open_with(p->x, "rect", "class", class);
    tw_xml_attr_num(p->x, "x", w.x * p->sx, 2);
    tw_xml_attr_num(p->x, "y", p->top + w.y * p->scale, 2);
    tw_xml_attr_num(p->x, "width", w.w * p->sx, 2);
    tw_xml_attr_num(p->x, "height", w.h * p->scale, 2);
    tw_xml_close(p->x);
}

/* "win c2" of "win c" and the shape's number. */
static const char *class_of(const panel *p, const char *class, size_t shape)
{
    return tw_arena_printf(p->x->out->arena, "%s%zu", class, shape % 6).at;
}

static void draw_picture(const panel *p)
{
    tw_size size = p->mode->mode.size;
    rect(p, "plate", (tw_window){0, 0, size.w, size.h});
    rect(p, "all", p->mode->shared);
    for (size_t i = 0; i < p->chart->ask.shape_count; i++) {
        const tw_chart_shape *s = &p->mode->shapes[i];
        rect(p, class_of(p, "win c", i), s->window);
        if (p->chart->ask.safe != NULL) {
            rect(p, class_of(p, "safe c", i), s->action.source);
            rect(p, class_of(p, "safe c", i), s->graphics.source);
        }
    }
    twi_names taken = {.size = 15};
    for (size_t i = 0; i < p->chart->ask.shape_count; i++) {
        const tw_chart_shape *s = &p->mode->shapes[i];
        double x = s->window.x * p->sx + 8;
        double y = twi_names_take(&taken, x, p->top + s->window.y * p->scale + 20, s->shape.name);
        text_at(p->x, x, y, class_of(p, "name t", i), s->shape.name);
    }
}

/* ---- the numbers ----------------------------------------------------------------------------------------- */

static void percent_at(const panel *p, double right, double base, double share, int places)
{
    tw_buf text = {.arena = p->x->out->arena};
    twi_report_percent(share, places, &text);
    text_at(p->x, right, base, "r", tw_buf_str(&text));
}

static void numbers(const panel *p, double base, tw_window win)
{
    tw_size size = p->mode->mode.size;
    tw_buf text = {.arena = p->x->out->arena};
    twi_report_window(win, &text);
    text_at(p->x, p->column, base, NULL, tw_buf_str(&text));
    percent_at(p, TABLE_X + 374, base, win.x / size.w, 2);
    percent_at(p, TABLE_X + 450, base, (win.x + win.w) / size.w, 2);
    percent_at(p, TABLE_X + 526, base, win.y / size.h, 2);
    percent_at(p, TABLE_X + 602, base, (win.y + win.h) / size.h, 2);
}

static void head(const panel *p, double base)
{
    static const struct {
        int x;
        const char *class, *text;
    } cells[] = {
        {0, "s", "shape"}, {374, "s r", "left"}, {450, "s r", "right"}, {526, "s r", "top"}, {602, "s r", "bottom"},
    };
    text_at(p->x, p->column, base, "s", TW_STR("largest window"));
    for (size_t i = 0; i < TW_COUNT(cells); i++)
        text_at(p->x, TABLE_X + cells[i].x, base, cells[i].class, tw_str_z(cells[i].text));
}

static void add_safe(const char *what, const tw_chart_safe *area, tw_buf *out)
{
    tw_buf_addf(out, "%s ", what);
    tw_xml_add_num(out, area->exact.w, 1);
    tw_buf_addc(out, 'x');
    tw_xml_add_num(out, area->exact.h, 1);
    tw_buf_addf(out, " (%d,%d)", area->left, area->top);
}

/* What a shape costs and allows, in words. */
static void words(const panel *p, const tw_chart_shape *s, double base)
{
    tw_buf text = {.arena = p->x->out->arena};
    twi_report_percent(s->used, 1, &text);
    tw_buf_addz(&text, " of the picture; room ");
    twi_report_percent(s->room, 0, &text);
    tw_buf_addf(&text, " at %dx%d", s->shape.size.w, s->shape.size.h);
    if (s->fewer >= 0.0005) {
        tw_buf_addz(&text, "; in 16:9 ");
        twi_report_percent(s->fewer, 1, &text);
        tw_buf_addz(&text, " fewer pixels");
    }
    text_at(p->x, p->column, base, "n s", tw_buf_str(&text));
    if (p->chart->ask.safe == NULL)
        return;
    text.len = 0;
    add_safe("action", &s->action, &text);
    add_safe(", graphics", &s->graphics, &text);
    if (s->by_analogy)
        tw_buf_addz(&text, ", by analogy");
    text_at(p->x, p->column, base + LINE, "n s", tw_buf_str(&text));
}

/* Letters are 14 pixels high and, in the widest of the usual typefaces, 9 wide on average. */
static double name_width(tw_str name)
{
    return 9.0 * (double)name.len;
}

#define NAMES_LEAST 76.0 /* page pixels */
#define NAMES_MOST 140.0 /* more would drive the windows into the percents */

static double names_column(const tw_chart *chart)
{
    double widest = NAMES_LEAST;
    for (size_t i = 0; i < chart->ask.shape_count; i++)
        widest = tw_max(widest, name_width(chart->modes[0].shapes[i].shape.name) + 10);
    return TABLE_X + tw_min(widest, NAMES_MOST);
}

/* A name that is longer than its column is written smaller. */
static void name_at(const panel *p, double base, const char *class, tw_str name)
{
    double room = p->column - TABLE_X - 10;
    tw_xml_open(p->x, "text");
    tw_xml_attr_num(p->x, "x", TABLE_X, 1);
    tw_xml_attr_num(p->x, "y", base, 1);
    tw_xml_attrz(p->x, "class", class);
    if (name_width(name) > room)
        tw_xml_attr_num(p->x, "font-size", 14 * room / name_width(name), 1);
    tw_xml_text(p->x, name);
    tw_xml_close(p->x);
}

static double draw_numbers(const panel *p)
{
    double base = p->top + 14;
    head(p, base);
    for (size_t i = 0; i < p->chart->ask.shape_count; i++) {
        const tw_chart_shape *s = &p->mode->shapes[i];
        base += LINE * 1.5;
        name_at(p, base, class_of(p, "t", i), s->shape.name);
        numbers(p, base, s->window);
        words(p, s, base + LINE);
        base += p->chart->ask.safe != NULL ? 2 * LINE : LINE;
    }
    base += LINE * 1.5;
    text_at(p->x, TABLE_X, base, NULL, TW_STR("all share"));
    numbers(p, base, p->mode->shared);
    return base - p->top;
}

static double draw_foot(const panel *p, double base)
{
    tw_buf text = {.arena = p->x->out->arena};
    tw_buf_addz(&text, "left, right, top, bottom: guide lines in percent of the picture; room: how far to punch in,"
                       " 100 % is not at all");
    text_at(p->x, 0, base, "n s", tw_buf_str(&text));
    text.len = 0;
    if (p->chart->ask.safe != NULL)
        tw_buf_addf(&text, "thin lines: safe areas by %s, in delivery pixels (left,top inset, rounded up)%s",
                    p->chart->ask.safe->title, p->chart->ask.monitor.w > 0 ? "; " : "");
    if (p->chart->ask.monitor.w > 0) {
        tw_buf_addf(&text, "whole on a monitor of %dx%d: ", p->chart->ask.monitor.w, p->chart->ask.monitor.h);
        tw_xml_add_num(&text, p->mode->on_monitor.w, 1);
        tw_buf_addc(&text, 'x');
        tw_xml_add_num(&text, p->mode->on_monitor.h, 1);
    }
    if (text.len == 0)
        return base;
    text_at(p->x, 0, base + LINE, "n s", tw_buf_str(&text));
    return base + LINE;
}

static double draw_mode(tw_xml *x, const tw_chart *chart, const tw_chart_mode *mode, double top)
{
    double squeeze = chart->ask.squeeze;
    double scale = tw_min(PICTURE_W / (mode->mode.size.w * squeeze), PICTURE_H / mode->mode.size.h);
    const panel p = {x, chart, mode, top + 40, names_column(chart), scale, scale * squeeze};
    tw_buf title = {.arena = x->out->arena};
    if (!tw_size_read(mode->mode.name, &(tw_size){0, 0}))
        tw_buf_addf(&title, "%.*s, ", TW_ARG(mode->mode.name));
    tw_buf_addf(&title, "%dx%d, ", mode->mode.size.w, mode->mode.size.h);
    twi_report_ratio(mode->mode.size.w * squeeze, mode->mode.size.h, &title);
    text_at(x, 0, top + 22, "h", tw_buf_str(&title));
    draw_picture(&p);
    double height = tw_max(draw_numbers(&p), mode->mode.size.h * scale);
    return draw_foot(&p, p.top + height + 28) - top + 36;
}

void tw_chart_svg(const tw_chart *chart, tw_buf *out)
{
    tw_arena *scratch = tw_arena_like(out->arena);
    tw_buf body = {.arena = scratch};
    tw_xml x = {.out = &body};
    tw_xml_open_with(&x, "g", "transform", "translate(0 8)");
    double top = 0;
    for (size_t m = 0; m < chart->ask.mode_count; m++)
        top += draw_mode(&x, chart, &chart->modes[m], top);
    tw_xml_close(&x);
    tw_xml page = {.out = out};
    tw_xml_begin(&page, NULL);
    tw_xml_open_with(&page, "svg", "xmlns", "http://www.w3.org/2000/svg");
    tw_xml_attr_num(&page, "width", PAGE_W, 0);
    tw_xml_attr_num(&page, "height", top, 0);
    tw_xml_attrf(&page, "viewBox", "-10 0 %d %d", PAGE_W + 20, (int)(top + 0.5));
    tw_xml_leaf(&page, "title", TW_STR("What each shape takes of the picture"));
    tw_xml_open(&page, "style");
    for (size_t i = 0; i < TW_COUNT(style); i++) {
        tw_xml_textz(&page, "\n");
        tw_xml_textz(&page, style[i]);
    }
    tw_xml_close(&page);
    tw_buf_addc(out, '\n');
    tw_buf_add(out, tw_buf_str(&body));
    tw_buf_addz(out, "</svg>\n");
    tw_arena_free(&scratch);
}
