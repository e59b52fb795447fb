/* SPDX-License-Identifier: Apache-2.0
 *
 * What moves by itself: where a frame agrees neither with the one before nor with the one after it, once the camera's
 * movement is taken out. Asking both leaves out what was only uncovered (R. Collins et al., A system for video
 * surveillance and monitoring, CMU-RI-TR-00-12, 2000: three-frame differences).
 */
#include "boxes.h"

#include <string.h>

#include "base/ext.h"

#define WIDEST 400    /* pixels across the level that is looked at */
#define CELL 4        /* its pixels a side are one cell */
#define LEAST_STEP 10 /* of 256: smaller differences are not looked at */
#define NOISE_STEPS 4 /* of the middle difference */
#define CELL_PIXELS 3 /* of 16 that make a cell a moving one */
#define REACH 2       /* cells that far apart belong together */
#define LEAST_CELLS 6

struct twi_moving {
    int level, w, h, columns, rows;
    uint8_t *low, *high, *line; /* darkest and brightest of each pixel's neighbourhood */
    uint8_t *apart[2];          /* how far the frame is from that, seen from either side */
    uint8_t *cells;             /* moving pixels */
    uint8_t *near;              /* cells within reach of moving ones */
    int *stack;
};

twi_moving *twi_moving_new(tw_arena *arena, const tw_pyramid *like)
{
    twi_moving *m = TW_NEW(arena, twi_moving);
    while (m->level + 1 < like->count && like->level[m->level].w > WIDEST)
        m->level++;
    m->w = like->level[m->level].w;
    m->h = like->level[m->level].h;
    m->columns = (m->w + CELL - 1) / CELL;
    m->rows = (m->h + CELL - 1) / CELL;
    const size_t pixels = (size_t)m->w * (size_t)m->h, cells = (size_t)m->columns * (size_t)m->rows;
    m->low = TW_NEW_N(arena, uint8_t, pixels);
    m->high = TW_NEW_N(arena, uint8_t, pixels);
    m->line = TW_NEW_N(arena, uint8_t, (size_t)m->w * 2);
    m->apart[0] = TW_NEW_N(arena, uint8_t, pixels);
    m->apart[1] = TW_NEW_N(arena, uint8_t, pixels);
    m->cells = TW_NEW_N(arena, uint8_t, cells);
    m->near = TW_NEW_N(arena, uint8_t, cells);
    m->stack = TW_NEW_N(arena, int, cells);
    return m;
}

/* ---- how far apart --------------------------------------------------------------------------------------- */

static uint8_t least(uint8_t a, uint8_t b)
{
    return a < b ? a : b;
}

static uint8_t most_of(uint8_t a, uint8_t b)
{
    return a > b ? a : b;
}

/* Bounds of the 3 x 3 pixels around each: a frame that is a pixel off, or between two, is not apart. */
static void bounds(twi_moving *m, const tw_plane *p)
{
    uint8_t *low = m->line, *high = m->line + m->w;
    for (int y = 0; y < m->h; y++) {
        const uint8_t *b = p->px + (size_t)y * p->stride;
        const uint8_t *a = y > 0 ? b - p->stride : b, *c = y + 1 < m->h ? b + p->stride : b;
        for (int x = 0; x < m->w; x++) {
            low[x] = least(least(a[x], b[x]), c[x]);
            high[x] = most_of(most_of(a[x], b[x]), c[x]);
        }
        uint8_t *to_low = m->low + (size_t)y * (size_t)m->w, *to_high = m->high + (size_t)y * (size_t)m->w;
        for (int x = 0; x < m->w; x++) {
            const int left = x > 0 ? x - 1 : x, right = x + 1 < m->w ? x + 1 : x;
            to_low[x] = least(least(low[left], low[x]), low[right]);
            to_high[x] = most_of(most_of(high[left], high[x]), high[right]);
        }
    }
}

/* Where the level's pixels lie in the other frame: x' = a x - b y + c, y' = b x + a y + d. */
typedef struct way {
    double a, b, c, d;
} way;

static way way_of(const twi_moving *m, const tw_camera *camera, const tw_plane *whole)
{
    const double size = 1 << m->level;
    double x0 = size / 2, y0 = size / 2, x1 = size * 1.5, y1 = size / 2;
    tw_camera_point(camera, whole->w, whole->h, &x0, &y0);
    tw_camera_point(camera, whole->w, whole->h, &x1, &y1);
    return (way){(x1 - x0) / size, (y1 - y0) / size, x0 / size, y0 / size};
}

static double brightness(const tw_plane *p)
{
    uint64_t sum = 0;
    for (int y = 0; y < p->h; y++) {
        const uint8_t *row = p->px + (size_t)y * p->stride;
        for (int x = 0; x < p->w; x++)
            sum += row[x];
    }
    return (double)sum + 1;
}

/* When the light changes, the whole picture does: its brightness in `now` for each in `other`. */
static void relight(const tw_plane *now, const tw_plane *other, uint8_t out[256])
{
    const double gain = brightness(now) / brightness(other);
    for (int i = 0; i < 256; i++)
        out[i] = (uint8_t)(i * gain < 255 ? i * gain + 0.5 : 255);
}

static void compare(const twi_moving *m, const tw_plane *now, const way *w, const uint8_t light[256], uint8_t *apart)
{
    for (int y = 0; y < m->h; y++) {
        const uint8_t *row = now->px + (size_t)y * now->stride;
        for (int x = 0; x < m->w; x++) {
            const double u = w->a * x - w->b * y + w->c, v = w->b * x + w->a * y + w->d;
            uint8_t far = 0; /* what was outside cannot be told apart */
            if (u >= 0 && v >= 0 && u < m->w && v < m->h) {
                const size_t at = (size_t)v * (size_t)m->w + (size_t)u;
                const uint8_t low = light[m->low[at]], high = light[m->high[at]];
                far = row[x] < low ? (uint8_t)(low - row[x]) : row[x] > high ? (uint8_t)(row[x] - high) : 0;
            }
            *apart++ = far;
        }
    }
}

/* Differences from here on are more than noise and flicker. */
static int threshold(const twi_moving *m)
{
    size_t counts[256] = {0}, pixels = (size_t)m->w * (size_t)m->h, seen = 0;
    for (size_t i = 0; i < pixels; i++)
        counts[m->apart[0][i]]++;
    int middle = 0;
    while ((seen += counts[middle]) * 2 < pixels)
        middle++;
    return LEAST_STEP + NOISE_STEPS * middle;
}

/* ---- areas ----------------------------------------------------------------------------------------------- */

static void count_cells(twi_moving *m)
{
    const int step = threshold(m);
    memset(m->cells, 0, (size_t)m->columns * (size_t)m->rows);
    for (int y = 0; y < m->h; y++) {
        uint8_t *row = m->cells + (size_t)(y / CELL) * (size_t)m->columns;
        const size_t at = (size_t)y * (size_t)m->w;
        for (int x = 0; x < m->w; x++)
            if (m->apart[0][at + (size_t)x] >= step && m->apart[1][at + (size_t)x] >= step)
                row[x / CELL]++;
    }
}

/* Marks what lies within reach of moving cells, so that the parts of one thing hang together. */
static void spread(twi_moving *m)
{
    memset(m->near, 0, (size_t)m->columns * (size_t)m->rows);
    for (int j = 0; j < m->rows; j++) {
        for (int i = 0; i < m->columns; i++) {
            if (m->cells[j * m->columns + i] < CELL_PIXELS)
                continue;
            for (int v = j > REACH ? j - REACH : 0; v <= j + REACH && v < m->rows; v++) {
                for (int u = i > 1 ? i - 1 : 0; u <= i + 1 && u < m->columns; u++)
                    m->near[v * m->columns + u] = 1;
            }
        }
    }
}

typedef struct area {
    int left, top, right, bottom, cells;
} area;

static area take_area(twi_moving *m, int first)
{
    area a = {m->columns, m->rows, 0, 0, 0};
    int count = 0;
    m->near[first] = 0;
    m->stack[count++] = first;
    while (count > 0) {
        const int at = m->stack[--count], x = at % m->columns, y = at / m->columns;
        if (m->cells[at] >= CELL_PIXELS) {
            a.cells++;
            a.left = x < a.left ? x : a.left;
            a.top = y < a.top ? y : a.top;
            a.right = x >= a.right ? x + 1 : a.right;
            a.bottom = y >= a.bottom ? y + 1 : a.bottom;
        }
        const int next[4] = {x > 0 ? at - 1 : at, x + 1 < m->columns ? at + 1 : at, y > 0 ? at - m->columns : at,
                             y + 1 < m->rows ? at + m->columns : at};
        for (int k = 0; k < 4; k++) {
            if (m->near[next[k]]) {
                m->near[next[k]] = 0;
                m->stack[count++] = next[k];
            }
        }
    }
    return a;
}

static size_t list_areas(twi_moving *m, size_t most, tw_spot *out)
{
    const double size = CELL * (1 << m->level);
    size_t count = 0, all = 0;
    for (int i = 0; i < m->columns * m->rows; i++)
        all += m->cells[i] >= CELL_PIXELS;
    for (int i = 0; i < m->columns * m->rows; i++) {
        if (!m->near[i])
            continue;
        const area a = take_area(m, i);
        const tw_spot spot = {a.left * size, a.top * size, (a.right - a.left) * size, (a.bottom - a.top) * size,
                              (double)a.cells / (double)all};
        if (a.cells >= LEAST_CELLS)
            count = twi_keep_best(out, count, most, spot);
    }
    return count;
}

size_t twi_moving_areas(twi_moving *m, const twi_moving_frames *f, size_t most, tw_spot *out)
{
    const tw_plane *whole = &f->now->level[0], *now = &f->now->level[m->level];
    TW_ASSERT(now->w == m->w && now->h == m->h);
    const tw_camera back = tw_camera_inverse(&f->from_before);
    const way w[2] = {way_of(m, &back, whole), way_of(m, &f->to_after, whole)};
    const tw_plane *other[2] = {&f->before->level[m->level], &f->after->level[m->level]};
    for (int i = 0; i < 2; i++) {
        uint8_t light[256];
        relight(now, other[i], light);
        bounds(m, other[i]);
        compare(m, now, &w[i], light, m->apart[i]);
    }
    count_cells(m);
    spread(m);
    return list_areas(m, most, out);
}
