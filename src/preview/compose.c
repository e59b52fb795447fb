/* SPDX-License-Identifier: Apache-2.0
 *
 * One picture of a film: every pane through its window, layers mixed, slates and what is burnt in drawn.
 */
#include "preview/preview_internal.h"

#include <math.h>
#include <string.h>

static const uint8_t black[3] = {16, 128, 128};

#define SLATE_LEVEL 44
#define WORD_LEVEL 210
#define BOX_SHADE 160 /* of 256, how dark the ground of burnt-in letters is */

typedef struct canvas {
    tw_preview_plane planes[3];
} canvas;

static canvas pane_of(const tw_preview_film *film, const tw_preview_pane *pane, uint8_t *bytes)
{
    canvas c;
    size_t plane = (size_t)film->width * (size_t)film->height;
    for (size_t p = 0; p < 3; p++)
        c.planes[p] = (tw_preview_plane){bytes + p * plane + (size_t)pane->y * (size_t)film->width + (size_t)pane->x,
                                         pane->w, pane->h, film->width};
    return c;
}

static canvas new_canvas(tw_arena *arena, int32_t w, int32_t h)
{
    canvas c;
    for (size_t p = 0; p < 3; p++)
        c.planes[p] = (tw_preview_plane){TW_NEW_N(arena, uint8_t, (size_t)w * (size_t)h), w, h, w};
    return c;
}

static void fill(canvas c, uint8_t luma)
{
    for (size_t p = 0; p < 3; p++)
        for (int32_t y = 0; y < c.planes[p].h; y++)
            memset(c.planes[p].at + y * c.planes[p].stride, p == 0 ? luma : black[p], (size_t)c.planes[p].w);
}

void twi_compose_clear(const tw_preview_film *film, uint8_t *bytes)
{
    size_t plane = (size_t)film->width * (size_t)film->height;
    for (size_t p = 0; p < 3; p++)
        memset(bytes + p * plane, black[p], plane);
}

/* ---- letters ----------------------------------------------------------------------------------------------- */

#define LONGEST_LINE 26 /* letters that must fit beside each other */

/* The same in every pane of a film, as long as the narrowest has room. */
static int32_t letter_size(const tw_preview_film *film)
{
    int32_t size = film->height / 240;
    for (size_t i = 0; i < film->pane_count; i++) {
        int32_t room = film->panes[i].w / (LONGEST_LINE * TW_LETTER_WIDE);
        size = room < size ? room : size;
    }
    return size < 1 ? 1 : size;
}

static tw_str source_label(tw_arena *arena, const tw_timeline *edit, const tw_item *clip, int64_t frame)
{
    return tw_tc_text(arena, tw_item_shown_frame(edit, clip, frame), tw_item_source_rate(edit, clip),
                      clip->source_drop);
}

static void put_line(canvas c, int32_t y, int32_t size, tw_str text)
{
    int32_t wide = (int32_t)text.len * TW_LETTER_WIDE * size;
    tw_preview_letters(c.planes[0], (c.planes[0].w - wide) / 2, y, size, text, WORD_LEVEL);
}

static void draw_slate(tw_arena *arena, const twi_moment *m, const twi_seen *seen, int32_t letters, canvas c)
{
    const tw_item *clip = seen->layer.clip;
    int32_t size = 2 * letters, step = (TW_LETTER_HIGH + 2) * size, y = c.planes[0].h / 2 - 2 * step;
    const tw_str lines[] = {
        seen->source->info == NULL ? TW_STR("NO FILE") : TW_STR("NO PICTURE"),
        tw_str_cut(seen->source->reel, 24),
        source_label(arena, m->job->edit, clip, seen->layer.frame),
    };
    fill(c, SLATE_LEVEL);
    for (size_t i = 0; i < TW_COUNT(lines); i++)
        put_line(c, y + (int32_t)i * step, size, lines[i]);
}

static void shade(canvas c, int32_t x, int32_t y, int32_t w, int32_t h)
{
    for (size_t p = 0; p < 3; p++)
        for (int32_t v = y < 0 ? 0 : y; v < y + h && v < c.planes[p].h; v++)
            for (int32_t u = x < 0 ? 0 : x; u < x + w && u < c.planes[p].w; u++) {
                uint8_t *at = c.planes[p].at + v * c.planes[p].stride + u;
                *at = (uint8_t)((*at * (256 - BOX_SHADE) + black[p] * BOX_SHADE) >> 8);
            }
}

static void put_box(canvas c, int32_t x, int32_t y, int32_t size, tw_str text)
{
    int32_t wide = ((int32_t)text.len * TW_LETTER_WIDE + 3) * size, high = (TW_LETTER_HIGH + 2) * size;
    shade(c, x, y, wide, high);
    tw_preview_letters(c.planes[0], x + 2 * size, y + 2 * size, size, text, WORD_LEVEL);
}

/* Event and record time; below them reel and source time. Of two pictures that mix, the one seen more. */
static void burn_in(tw_arena *arena, const twi_moment *m, const tw_preview_pane *pane, int32_t size, canvas c)
{
    const tw_timeline *edit = m->job->edit;
    const twi_seen *most = &m->seen[0];
    for (size_t i = 1; i < m->count; i++)
        most = m->seen[i].layer.weight > most->layer.weight ? &m->seen[i] : most;
    int32_t step = (TW_LETTER_HIGH + 2) * size, edge = 4 * size;
    int64_t start = tw_time_round(edit->start, edit->rate, NULL);
    tw_str record = tw_tc_text(arena, start + m->frame, edit->rate, edit->drop);
    put_box(c, edge, edge, size, pane->name);
    if (most->layer.clip == NULL) {
        put_box(c, edge, pane->h - edge - step, size, record);
        return;
    }
    tw_str source = source_label(arena, edit, most->layer.clip, most->layer.frame);
    put_box(c, edge, pane->h - edge - 2 * step, size,
            tw_arena_printf(arena, "%.*s  %.*s", TW_ARG(tw_str_cut(most->source->event, 8)), TW_ARG(record)));
    put_box(c, edge, pane->h - edge - step, size,
            tw_arena_printf(arena, "%.*s  %.*s", TW_ARG(tw_str_cut(most->source->reel, 16)), TW_ARG(source)));
}

/* ---- pictures ---------------------------------------------------------------------------------------------- */

int64_t twi_preview_file_frame(const tw_timeline *edit, const tw_preview_source *source, const tw_item *clip,
                               int64_t frame)
{
    return tw_media_frame_of(source->file, &source->want, tw_item_source_frame(edit, clip, frame));
}

static tw_window window_of(const twi_seen *seen, const tw_preview_pane *pane)
{
    const tw_framing *framing = pane->framings[seen->layer.clip->index];
    tw_size size = seen->source->size;
    tw_window win;
    if (framing != NULL) {
        win = tw_framing_window(framing, (double)seen->layer.frame);
        size = framing->source;
    } else {
        size = size.w > 0 ? size : (tw_size){seen->picture->width, seen->picture->height};
        double squeeze = seen->source->squeeze > 0 ? seen->source->squeeze : seen->source->info->squeeze;
        win = tw_geom_fit(size, squeeze, (tw_size){pane->w, pane->h});
    }
    double across = (double)seen->picture->width / size.w, down = (double)seen->picture->height / size.h;
    return (tw_window){win.x * across, win.y * down, win.w * across, win.h * down};
}

/* What a pane is drawn with. */
typedef struct brush {
    const twi_moment *moment;
    const tw_preview_pane *pane;
    int32_t letters;
} brush;

static void draw_layer(tw_arena *scratch, const brush *b, const twi_seen *seen, canvas c)
{
    if (seen->layer.clip == NULL) {
        fill(c, black[0]);
        return;
    }
    if (seen->picture == NULL) {
        draw_slate(scratch, b->moment, seen, b->letters, c);
        return;
    }
    const tw_media_frame *f = seen->picture;
    tw_window win = window_of(seen, b->pane);
    for (size_t p = 0; p < 3; p++) {
        tw_preview_plane from = {(uint8_t *)f->planes[p], f->width, f->height, f->width};
        tw_preview_scale(scratch, from, win, black[p], c.planes[p]);
    }
}

/* Over what a wipe has uncovered. */
static void wipe_over(canvas from, int wipe, double part, canvas to)
{
    for (int32_t y = 0; y < to.planes[0].h; y++)
        for (int32_t x = 0; x < to.planes[0].w; x++) {
            double u = (x + 0.5) / to.planes[0].w, v = (y + 0.5) / to.planes[0].h;
            if (tw_preview_wiped(wipe, u, v, part))
                for (size_t p = 0; p < 3; p++)
                    to.planes[p].at[y * to.planes[p].stride + x] = from.planes[p].at[y * from.planes[p].stride + x];
        }
}

void twi_compose_pane(tw_arena *scratch, const twi_moment *m, const tw_preview_film *film, size_t index, uint8_t *bytes)
{
    const tw_preview_pane *pane = &film->panes[index];
    const brush b = {m, pane, letter_size(film)};
    canvas to = pane_of(film, pane, bytes), mixed = to;
    double sum = 0;
    for (size_t i = 0; i < m->count; i++) {
        sum += m->seen[i].layer.weight;
        if (i == 1)
            mixed = new_canvas(scratch, pane->w, pane->h);
        draw_layer(scratch, &b, &m->seen[i], i == 0 ? to : mixed);
        if (i > 0 && m->seen[i].layer.wipe > 0) {
            wipe_over(mixed, m->seen[i].layer.wipe, m->seen[i].layer.weight, to);
            continue;
        }
        int weight = (int)lround(m->seen[i].layer.weight / sum * 256);
        for (size_t p = 0; i > 0 && p < 3; p++)
            tw_preview_mix(mixed.planes[p], weight, to.planes[p]);
    }
    if (m->job->burn_in)
        burn_in(scratch, m, pane, b.letters, to);
}
