/* SPDX-License-Identifier: Apache-2.0
 *
 * What a patch looks like, in numbers that survive a change of light: directions of its edges, cell by cell, against
 * the strength of all edges around (after N. Dalal, B. Triggs: Histograms of oriented gradients, CVPR 2005, and
 * P. Felzenszwalb et al., PAMI 32, 2010), and its brightness in finer steps.
 */
#include "subject_internal.h"

#include "base/ext.h"

#include <math.h>
#include <string.h>

#define MOST 128 /* samples a side */
#define MOST_CELLS (MOST / TWI_CELL)
#define DIRECTIONS 16
#define CLIP 0.3f

/* Strength and direction (0..16) of the edges in a row, in a form that compilers do several of at once. The arc tangent
 * of t in 0..1 is t (1 + 0.348 (1 - t)) eighths of a turn to 0.004 rad (common approximation, no source). */
static void edges_of(const int16_t *dx, const int16_t *dy, int n, float *size, float *at)
{
    for (int x = 0; x < n; x++) {
        float gx = dx[x], gy = dy[x], ax = fabsf(gx), ay = fabsf(gy);
        float small = ax < ay ? ax : ay, large = ax < ay ? ay : ax;
        float t = small / (large + 1e-6f), p = 2 * t * (1 + 0.348f * (1 - t));
        p = ay > ax ? 4 - p : p;
        p = gx < 0 ? 8 - p : p;
        p = gy < 0 ? 16 - p : p;
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

static void fold(float *cell)
{
    for (int i = 0; i < DIRECTIONS / 2; i++)
        cell[DIRECTIONS + i] = cell[i] + cell[i + DIRECTIONS / 2];
}

static float energy(const float *cell)
{
    float sum = 0;
    for (int i = DIRECTIONS; i < DIRECTIONS + 8; i++)
        sum += cell[i] * cell[i];
    return sum;
}

/* 1 / the edges' strength in the cell and those around it. */
static float evenness(const float *strength, int cells, int x, int y)
{
    float sum = 0;
    for (int j = y - 1; j <= y + 1; j++)
        for (int i = x - 1; i <= x + 1; i++) {
            int cx = i < 0 ? 0 : i >= cells ? cells - 1 : i, cy = j < 0 ? 0 : j >= cells ? cells - 1 : j;
            sum += strength[cy * cells + cx];
        }
    return 1 / sqrtf(sum / 3 + 600);
}

static void add_brightness(const uint8_t *view, int n, int x, int y, float mean, float *out)
{
    const uint8_t *at = view + (y * n + x) * TWI_CELL;
    for (int q = 0; q < 4; q++) {
        const uint8_t *p = at + (q / 2 * 2) * n + q % 2 * 2;
        out[q] = ((float)(p[0] + p[1] + p[n] + p[n + 1]) * 0.25f - mean) * (1 / 256.0f);
    }
}

void twi_features(const uint8_t *view, int n, float *out)
{
    int cells = n / TWI_CELL, total = 0;
    float strength[MOST_CELLS * MOST_CELLS];
    TW_ASSERT(n % TWI_CELL == 0 && cells <= MOST_CELLS);
    memset(out, 0, sizeof *out * (size_t)(cells * cells) * TWI_CHANNELS);
    add_edges(view, n, out);
    for (int i = 0; i < n * n; i++)
        total += view[i];
    float mean = (float)total / (float)(n * n);
    for (int i = 0; i < cells * cells; i++) {
        fold(out + (size_t)i * TWI_CHANNELS);
        strength[i] = energy(out + (size_t)i * TWI_CHANNELS);
    }
    for (int y = 0; y < cells; y++)
        for (int x = 0; x < cells; x++) {
            float *cell = out + (size_t)(y * cells + x) * TWI_CHANNELS, even = evenness(strength, cells, x, y);
            for (int i = 0; i < DIRECTIONS + 8; i++) {
                float v = cell[i] * even;
                cell[i] = v > CLIP ? CLIP : v;
            }
            add_brightness(view, n, x, y, mean, cell + DIRECTIONS + 8);
        }
}
