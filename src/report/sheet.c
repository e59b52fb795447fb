/* SPDX-License-Identifier: Apache-2.0
 *
 * The page for people: totals, what to look at first, and every shot in every shape.
 */
#include "report_internal.h"

#include <stddef.h>
#include <stdlib.h>

/* ---- what to look at first ------------------------------------------------------------------------------- */

typedef struct look {
    twi_eyes eyes;
    size_t shot, delivery;
} look;

/* Worst first, then in the order of the edit. */
static int by_need(const void *a, const void *b)
{
    const look *x = a, *y = b;
    return tw_then(TW_CMP(y->eyes, x->eyes), tw_then(TW_CMP(x->shot, y->shot), TW_CMP(x->delivery, y->delivery)));
}

static look *find_looks(const twi_sheet *s, size_t *count)
{
    const tw_derived *derived = s->derived;
    look *looks = TW_NEW_N(s->arena, look, derived->delivery_count * derived->deliveries[0].shot_count);
    *count = 0;
    for (size_t d = 0; d < derived->delivery_count; d++) {
        for (size_t i = 0; i < derived->deliveries[d].shot_count; i++) {
            twi_eyes eyes = twi_sheet_eyes(s, d, i);
            if (eyes >= TWI_EYES_CUT)
                looks[(*count)++] = (look){eyes, i, d};
        }
    }
    TW_SORT(looks, *count, by_need);
    return looks;
}

static void link_to(tw_xml *x, size_t shot, size_t last)
{
    tw_xml_open(x, "a");
    tw_xml_attrf(x, "href", "#s%zu", shot + 1);
    tw_xml_textf(x, "%zu", shot + 1);
    if (last > shot)
        tw_xml_textf(x, "\xE2\x80\x93%zu", last + 1);
    tw_xml_close(x);
}

/* The size of a source is unknown for all shapes alike: said once. */
static bool said_before(const look *looks, size_t i)
{
    return i > 0 && looks[i].eyes == TWI_EYES_SIZE && looks[i - 1].eyes == TWI_EYES_SIZE &&
           looks[i - 1].shot == looks[i].shot;
}

static void write_agreed(const twi_sheet *s, const look *at)
{
    tw_buf words = {.arena = s->arena};
    if (at->eyes != TWI_EYES_AGREED)
        return;
    twi_sheet_agreed(s, at->delivery, at->shot, &words);
    tw_xml_textf(s->x, "%.*s: ", TW_ARG(tw_buf_str(&words)));
}

#define MOST_LOOKS 100

static void write_looks(const twi_sheet *s)
{
    size_t count, said = 0, left = 0;
    const look *looks = find_looks(s, &count);
    tw_xml *x = s->x;
    if (count == 0)
        return;
    tw_xml_leaf(x, "h2", TW_STR("Look at these first"));
    tw_xml_open_with(x, "ol", "class", "first");
    for (size_t i = 0; i < count; i++) {
        if (said_before(looks, i))
            continue;
        if (said == MOST_LOOKS) {
            left++;
            continue;
        }
        said++;
        const tw_derived_delivery *d = &s->derived->deliveries[looks[i].delivery];
        tw_xml_open(x, "li");
        tw_xml_inline(x);
        link_to(x, looks[i].shot, looks[i].shot);
        if (looks[i].eyes != TWI_EYES_SIZE)
            tw_xml_textf(x, "%.*s: ", TW_ARG(d->delivery->name));
        write_agreed(s, &looks[i]);
        tw_xml_text(x, d->shots[looks[i].shot].why);
        tw_xml_close(x);
    }
    tw_xml_close(x);
    if (left > 0) {
        tw_xml_open(x, "p");
        tw_xml_textf(x, "and %zu more: choose \xE2\x80\x9Cneeds eyes\xE2\x80\x9D below", left);
        tw_xml_close(x);
    }
}

static bool any_has(const twi_sheet *s, size_t shot, tw_verdict verdict)
{
    for (size_t d = 0; d < s->derived->delivery_count; d++)
        if (s->derived->deliveries[d].shots[shot].verdict == verdict)
            return true;
    return false;
}

/* Links to every shot that has a verdict in any shape; to the first of each three and more in a row. */
static void write_jumps(const twi_sheet *s, tw_verdict verdict, const char *title)
{
    size_t shots = s->derived->deliveries[0].shot_count;
    bool any = false;
    for (size_t i = 0; i < shots; i++) {
        if (!any_has(s, i, verdict))
            continue;
        if (!any) {
            tw_xml_leaf(s->x, "h2", tw_str_z(title));
            tw_xml_open_with(s->x, "div", "class", "jump");
        }
        any = true;
        size_t last = i;
        while (last + 1 < shots && any_has(s, last + 1, verdict))
            last++;
        if (last < i + 2)
            last = i;
        link_to(s->x, i, last);
        i = last;
    }
    if (any)
        tw_xml_close(s->x);
}

/* ---- totals ---------------------------------------------------------------------------------------------- */

/* One column: its head, and where its number lies in a delivery's decisions. */
static const struct {
    const char *head;
    size_t at;
    bool rare; /* left out where it is 0 for every shape */
} totals[] = {
    {"shots", offsetof(tw_derived_delivery, shot_count), false},
    {"framed", offsetof(tw_derived_delivery, framed), false},
    {"moving", offsetof(tw_derived_delivery, moving), false},
    {"keys", offsetof(tw_derived_delivery, keys), false},
    {"compromises", offsetof(tw_derived_delivery, compromised), false},
    {"not framed yet", offsetof(tw_derived_delivery, not_framed), false},
    {"shown whole", offsetof(tw_derived_delivery, graphics), true},
    {"nothing to frame", offsetof(tw_derived_delivery, black), true},
    {"size not known", offsetof(tw_derived_delivery, unknown), true},
};

static size_t total_of(const tw_derived_delivery *d, size_t column)
{
    return *(const size_t *)((const char *)d + totals[column].at);
}

static bool is_told(const twi_sheet *s, size_t column)
{
    bool told = !totals[column].rare;
    for (size_t d = 0; d < s->derived->delivery_count && !told; d++)
        told = total_of(&s->derived->deliveries[d], column) > 0;
    return told;
}

void twi_sheet_head(tw_xml *x, const char *words)
{
    tw_xml_open_with(x, "th", "scope", "col");
    tw_xml_textz(x, words);
    tw_xml_close(x);
}

static void write_row(const twi_sheet *s, size_t index)
{
    tw_xml *x = s->x;
    const tw_derived_delivery *d = &s->derived->deliveries[index];
    tw_xml_open(x, "tr");
    tw_xml_inline(x);
    tw_xml_open_with(x, "th", "scope", "row");
    tw_xml_text(x, d->delivery->name);
    tw_xml_textf(x, " %dx%d", d->delivery->size.w, d->delivery->size.h);
    tw_xml_close(x);
    for (size_t i = 0; i < TW_COUNT(totals); i++) {
        if (!is_told(s, i))
            continue;
        tw_xml_open(x, "td");
        tw_xml_textf(x, "%zu", total_of(d, i));
        tw_xml_close(x);
    }
    tw_buf scale = {.arena = s->arena};
    tw_xml_add_num(&scale, d->max_scale * 100, 1);
    tw_buf_addz(&scale, " %");
    tw_xml_leaf(x, "td", tw_buf_str(&scale));
    tw_xml_close(x);
}

static void write_totals(const twi_sheet *s)
{
    tw_xml *x = s->x;
    tw_xml_open_with(x, "div", "class", "wide");
    tw_xml_open(x, "table");
    tw_xml_open(x, "thead");
    tw_xml_open(x, "tr");
    tw_xml_inline(x);
    twi_sheet_head(x, "shape");
    for (size_t i = 0; i < TW_COUNT(totals); i++)
        if (is_told(s, i))
            twi_sheet_head(x, totals[i].head);
    twi_sheet_head(x, "largest scale");
    tw_xml_close_to(x, x->depth - 2);
    tw_xml_open(x, "tbody");
    for (size_t d = 0; d < s->derived->delivery_count; d++)
        write_row(s, d);
    tw_xml_close_to(x, x->depth - 3);
}

/* ---- how to read it -------------------------------------------------------------------------------------- */

#define NARROW "\xC2\xA0" /* a blank at which no line is broken */

static void add_sides(tw_inset inset, tw_buf *out)
{
    const double sides[] = {inset.left, inset.top, inset.right, inset.bottom};
    static const char *const names[] = {"left" NARROW, ", top" NARROW, ", right" NARROW, ", bottom" NARROW};
    bool equal = true;
    for (size_t i = 1; i < 4; i++)
        equal = equal && !(sides[i] < sides[0] || sides[i] > sides[0]);
    for (size_t i = 0; i < (equal ? 1 : 4); i++) {
        if (!equal)
            tw_buf_addz(out, names[i]);
        tw_xml_add_num(out, sides[i] * 100, 2);
        tw_buf_addz(out, equal ? NARROW "% all round" : NARROW "%");
    }
}

/* "EBU R 95 (dotted), by analogy, and left 5 % ... (dashed)" */
static void write_safe(const twi_sheet *s, const tw_delivery *d)
{
    const tw_safe *safe = tw_safe_find(d->safe);
    tw_buf text = {.arena = s->arena};
    if (safe != NULL)
        tw_buf_addf(&text, "%s (dotted)%s", safe->title, tw_safe_covers(safe, d->size) ? "" : ", by analogy");
    if (safe != NULL && d->has_inset)
        tw_buf_addz(&text, ", and ");
    if (safe == NULL || d->has_inset) {
        add_sides(d->inset, &text);
        tw_buf_addz(&text, " (dashed)");
    }
    tw_xml_open(s->x, "li");
    tw_xml_inline(s->x);
    tw_xml_textf(s->x, "Kept clear in %.*s: ", TW_ARG(d->name));
    tw_xml_text(s->x, tw_buf_str(&text));
    tw_xml_close(s->x);
}

static void write_legend(const twi_sheet *s)
{
    static const char *const lines[] = {
        "Left, the whole picture as recorded, with the window each shape takes from it; beside it, what each shape"
        " shows. Lines of the grid are tenths of the picture.",
        "Thick boxes must stay in the picture; dashed ones, named in italics, are nice to have.",
        "Where a window moves, a line shows the way of its centre; the numbers on it are the keys of the table, and"
        " dotted outlines are the window there.",
        "In the table, left, top, width and height of the window are pixels of the source. Scale, and move (of the"
        " picture, from the middle, to the right and down, in pixels of the delivery) are what to type where a clip is"
        " sized. Ease is how many frames before and after a key the corner is rounded. Frames count from the first of"
        " the clip.",
    };
    tw_xml_leaf(s->x, "h2", TW_STR("How to read the pictures"));
    tw_xml_open_with(s->x, "ul", "class", "how soft");
    for (size_t i = 0; i < TW_COUNT(lines); i++)
        tw_xml_leaf(s->x, "li", tw_str_z(lines[i]));
    for (size_t d = 0; d < s->derived->delivery_count; d++)
        write_safe(s, s->derived->deliveries[d].delivery);
    tw_xml_close(s->x);
}

/* ---- the page -------------------------------------------------------------------------------------------- */

static tw_str title_of(const twi_sheet *s)
{
    const tw_timeline *t = s->derived->master;
    if (s->options->title.len > 0)
        return s->options->title;
    return t->name.len > 0 ? t->name : tw_str_stem(t->file);
}

static void write_top(const twi_sheet *s)
{
    const tw_timeline *t = s->derived->master;
    tw_totals length = tw_timeline_totals(t);
    tw_buf text = {.arena = s->arena};
    tw_xml_leaf(s->x, "h1", title_of(s));
    size_t shots = s->derived->deliveries[0].shot_count;
    tw_buf_addf(&text, "Framing sheet: %zu shot%s, ", shots, TW_PLURAL(shots));
    tw_tc_add(length.whole_frames, t->rate, t->drop, &text);
    tw_buf_addz(&text, " long, ");
    tw_rate_write_spoken(t->rate, t->drop, &text);
    tw_buf_addz(&text, " frames a second, starts at ");
    tw_tc_add(tw_time_round(t->start, t->rate, NULL), t->rate, t->drop, &text);
    tw_buf_addf(&text, ". Edit %.*s, plan %.*s.", TW_ARG(tw_str_basename(t->file)),
                TW_ARG(tw_str_basename(s->derived->plan->file)));
    tw_xml_open_with(s->x, "p", "class", "soft");
    tw_xml_text(s->x, tw_buf_str(&text));
    tw_xml_close(s->x);
}

/* The grid of tenths that stands for a picture: notes state boxes in such shares. One for all drawings. */
static void write_pattern(tw_xml *x)
{
    tw_xml_open_with(x, "svg", "xmlns", "http://www.w3.org/2000/svg");
    tw_xml_attrz(x, "class", "defs");
    tw_xml_open_with(x, "pattern", "id", "tenths");
    tw_xml_attrz(x, "width", "0.1");
    tw_xml_attrz(x, "height", "0.1");
    tw_xml_attrz(x, "viewBox", "0 0 40 30");
    tw_xml_attrz(x, "preserveAspectRatio", "none");
    tw_xml_open_with(x, "rect", "class", "ground");
    tw_xml_attrz(x, "width", "40");
    tw_xml_attrz(x, "height", "30");
    tw_xml_close(x);
    tw_xml_open_with(x, "path", "class", "tenth");
    tw_xml_attrz(x, "d", "M0 0V30M0 0H40");
    tw_xml_close_to(x, x->depth - 3);
}

static void write_page(const twi_sheet *s)
{
    tw_xml *x = s->x;
    tw_xml_open(x, "main");
    write_top(s);
    write_pattern(x);
    tw_xml_leaf(x, "h2", TW_STR("Totals"));
    write_totals(s);
    write_looks(s);
    write_jumps(s, TW_VERDICT_NOT_FRAMED, "Not framed yet");
    write_jumps(s, TW_VERDICT_GRAPHIC, "Shown whole: rebuild for the shape");
    write_legend(s);
    twi_sheet_filter(s);
    tw_xml_open_with(x, "div", "class", "shots");
    twi_sheet each = *s;
    for (size_t i = 0; i < s->derived->deliveries[0].shot_count; i++) {
        each.arena = tw_arena_like(s->arena);
        twi_sheet_shot(&each, i);
        tw_arena_free(&each.arena);
    }
    tw_xml_close_to(x, x->depth - 2);
}

void tw_report_sheet(const tw_derived *derived, const tw_sheet_options *options, tw_buf *out)
{
    static const tw_sheet_options plain = {.still = NULL};
    tw_xml x = {.out = out};
    twi_sheet s = {.arena = tw_arena_like(out->arena), .derived = derived, .x = &x};
    s.options = options != NULL ? options : &plain;
    tw_xml_begin(&x, "html");
    tw_xml_open_with(&x, "html", "xmlns", "http://www.w3.org/1999/xhtml");
    tw_xml_attrz(&x, "lang", "en");
    tw_xml_open(&x, "head");
    tw_xml_open_with(&x, "meta", "name", "viewport");
    tw_xml_attrz(&x, "content", "width=device-width, initial-scale=1");
    tw_xml_close(&x);
    tw_xml_open(&x, "title");
    tw_xml_text(&x, title_of(&s));
    tw_xml_textz(&x, " \xE2\x80\x93 framing sheet");
    tw_xml_close(&x);
    twi_sheet_style(&s);
    tw_xml_close(&x);
    tw_xml_open(&x, "body");
    write_page(&s);
    twi_sheet_script(&s);
    tw_xml_close_to(&x, 0);
    tw_arena_free(&s.arena);
}
