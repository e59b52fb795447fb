/* SPDX-License-Identifier: Apache-2.0
 *
 * What a patch looks like, in numbers that survive a change of light: directions of its edges, cell by cell, against
 * the strength of all edges around (after N. Dalal, B. Triggs: Histograms of oriented gradients, CVPR 2005, and
 * P. Felzenszwalb et al., PAMI 32, 2010), and its brightness pixel by pixel.
 */
#include "subject_internal.h"

#include "base/ext.h"

#include <math.h>
#include <string.h>

#define MOST 64 /* samples a side */
#define MOST_CELLS (MOST / TWI_CELL)
#define PADDED (MOST_CELLS + 2)
#define DIRECTIONS 8
#define EDGES (DIRECTIONS * 3 / 2) /* numbers a cell: with sign, without */
#define CLIP 0.3f

/* Strength and direction (0..8) of the edges in a row, in a form that compilers do several of at once. The arc tangent
 * of t in 0..1 is t (1 + 0.348 (1 - t)) eighths of a turn to 0.004 rad (common approximation, no source). */
static void edges_of(const int16_t *dx, const int16_t *dy, int n, float *size, float *at)
{
    for (int x = 0; x < n; x++) {
        float gx = dx[x], gy = dy[x], ax = fabsf(gx), ay = fabsf(gy);
        float small = ax < ay ? ax : ay, large = ax < ay ? ay : ax;
        float t = small / (large + 1e-6f), p = t * (1 + 0.348f * (1 - t));
        p = ay > ax ? 2 - p : p;
        p = gx < 0 ? 4 - p : p;
        p = gy < 0 ? 8 - p : p;
        at[x] = p;
        size[x] = sqrtf(gx * gx + gy * gy);
    }
}

/* Each edge goes to the two directions next to its own. */
static void share_out(const float *size, const float *at, int n, float *cell)
{
    for (int x = 0; x < n; x++) {
        int bin = (int)at[x];
        float share = (at[x] - (float)bin) * size[x], *c = cell + (size_t)(x / TWI_CELL) * TWI_CHANNELS;
        c[bin & (DIRECTIONS - 1)] += size[x] - share;
        c[(bin + 1) & (DIRECTIONS - 1)] += share;
    }
}

static void add_edges(const uint8_t *view, int n, float *out)
{
    int16_t dx[MOST], dy[MOST];
    float size[MOST], at[MOST];
    for (int y = 0; y < n; y++) {
        const uint8_t *row = view + y * n, *up = y > 0 ? row - n : row, *down = y < n - 1 ? row + n : row;
        dx[0] = (int16_t)(row[1] - row[0]);
        dx[n - 1] = (int16_t)(row[n - 1] - row[n - 2]);
        for (int x = 1; x < n - 1; x++)
            dx[x] = (int16_t)(row[x + 1] - row[x - 1]);
        for (int x = 0; x < n; x++)
            dy[x] = (int16_t)(down[x] - up[x]);
        edges_of(dx, dy, n, size, at);
        share_out(size, at, n, out + (size_t)(y / TWI_CELL * (n / TWI_CELL)) * TWI_CHANNELS);
    }
}

/* Directions without sign, and the strength of the cells' edges, with a rim that repeats the outermost. */
static void fold(float *out, int cells, float strength[PADDED][PADDED])
{
    for (int y = 1; y <= cells; y++) {
        for (int x = 1; x <= cells; x++, out += TWI_CHANNELS) {
            float all = 0;
            for (int i = 0; i < DIRECTIONS / 2; i++) {
                float v = out[i] + out[i + DIRECTIONS / 2];
                out[DIRECTIONS + i] = v;
                all += v * v;
            }
            strength[y][x] = all;
        }
        strength[y][0] = strength[y][1];
        strength[y][cells + 1] = strength[y][cells];
    }
    for (int x = 0; x < cells + 2; x++) {
        strength[0][x] = strength[1][x];
        strength[cells + 1][x] = strength[cells][x];
    }
}

/* For a row of cells: 1 / the edges' strength in each and those around it. */
static void evenness(float strength[PADDED][PADDED], int y, int cells, float *out)
{
    float column[PADDED];
    for (int x = 0; x < cells + 2; x++)
        column[x] = strength[y][x] + strength[y + 1][x] + strength[y + 2][x];
    for (int x = 0; x < cells; x++)
        out[x] = 1 / sqrtf((column[x] + column[x + 1] + column[x + 2]) * (1 / 3.0f) + 600);
}

void twi_features(const uint8_t *view, int n, float *out)
{
    int cells = n / TWI_CELL, total = 0;
    float strength[PADDED][PADDED], even[MOST_CELLS];
    TW_ASSERT(n % TWI_CELL == 0 && cells <= MOST_CELLS);
    memset(out, 0, sizeof *out * (size_t)(cells * cells) * TWI_CHANNELS);
    add_edges(view, n, out);
    fold(out, cells, strength);
    for (int i = 0; i < n * n; i++)
        total += view[i];
    float mean = (float)total / (float)(n * n);
    for (int y = 0; y < cells; y++) {
        evenness(strength, y, cells, even);
        for (int x = 0; x < cells; x++, out += TWI_CHANNELS) {
            for (int i = 0; i < EDGES; i++) {
                float v = out[i] * even[x];
                out[i] = v > CLIP ? CLIP : v;
            }
            const uint8_t *at = view + (y * n + x) * TWI_CELL;
            for (int q = 0; q < TWI_CELL * TWI_CELL; q++)
                out[EDGES + q] = ((float)at[q / TWI_CELL * n + q % TWI_CELL] - mean) * (1 / 256.0f);
        }
    }
}
