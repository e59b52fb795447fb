/* SPDX-License-Identifier: Apache-2.0
 *
 * X. Hou, J. Harel, C. Koch, Image signature: highlighting sparse salient regions (PAMI 34, 2012): of the cosine
 * transform of a small picture only the signs are kept; what comes back from them is large where the picture differs
 * from its regular rest.
 */
#include "boxes.h"

#include <math.h>
#include <string.h>

#define N 64
#define BLUR 2        /* cells to either side, three times: a deviation of 2.4 cells */
#define STRIKING 3    /* times the mean is what stands out, as in X. Hou, L. Zhang, CVPR 2007 */
#define NOTHING 1e-6f /* of 255 x 64: a coefficient below has no sign but that of rounding */
#define LEAST_CELLS 4 /* smaller spots are noise */

typedef struct field {
    float at[N][N];
} field;

/* The mean brightness of each of N x N parts of the picture. */
static void shrink(const tw_plane *plane, field *out)
{
    for (int j = 0; j < N; j++) {
        const int top = j * plane->h / N, below = (j + 1) * plane->h / N;
        for (int i = 0; i < N; i++) {
            const int left = i * plane->w / N, right = (i + 1) * plane->w / N;
            const int bottom = below > top ? below : top + 1, end = right > left ? right : left + 1;
            int64_t sum = 0;
            for (int y = top; y < bottom; y++) {
                const uint8_t *row = plane->px + (size_t)y * plane->stride;
                for (int x = left; x < end; x++)
                    sum += row[x];
            }
            out->at[j][i] = (float)((double)sum / ((double)(bottom - top) * (end - left)));
        }
    }
}

/* Row u, column i: cos(pi (2 i + 1) u / 2 N); `turned` has rows and columns exchanged. All are steps round one circle
 * of 4 N, which is walked by complex multiplication. */
static void cosines(field *wave, field *turned)
{
    double c[4 * N], x = 1, y = 0;
    const double step_c = 0.99969881869620422, step_s = 0.024541228522912288; /* cos and sin of 2 pi / 256 */
    for (int k = 0; k < 4 * N; k++) {
        c[k] = x;
        const double next = x * step_c - y * step_s;
        y = x * step_s + y * step_c;
        x = next;
    }
    for (int u = 0; u < N; u++) {
        for (int i = 0; i < N; i++)
            wave->at[u][i] = turned->at[i][u] = (float)c[(2 * i + 1) * u % (4 * N)];
    }
}

static void multiply(const field *a, const field *b, field *out)
{
    memset(out, 0, sizeof *out);
    for (int i = 0; i < N; i++) {
        for (int k = 0; k < N; k++) {
            for (int j = 0; j < N; j++)
                out->at[i][j] += a->at[i][k] * b->at[k][j];
        }
    }
}

static float sign(float value, int u, int v)
{
    if (fabsf(value) < NOTHING * 255 * N || (u == 0 && v == 0)) /* how bright the whole is says nothing */
        return 0;
    const float weight = (u == 0 ? 0.5f : 1) * (v == 0 ? 0.5f : 1); /* of the inverse transform */
    return value > 0 ? weight : -weight;
}

/* Mean of 2 BLUR + 1 cells along one direction, mirrored at the ends. */
static void blur_line(float *at, int step)
{
    float line[N + 2 * BLUR];
    for (int i = -BLUR; i < N + BLUR; i++)
        line[i + BLUR] = at[(i < 0 ? -1 - i : i >= N ? 2 * N - 1 - i : i) * step];
    for (int i = 0; i < N; i++) {
        float sum = 0;
        for (int k = 0; k <= 2 * BLUR; k++)
            sum += line[i + k];
        at[i * step] = sum / (2 * BLUR + 1);
    }
}

/* How much each part of the picture stands out. */
static void measure(const tw_plane *plane, field *map)
{
    field picture, wave, turned, middle;
    shrink(plane, &picture);
    cosines(&wave, &turned);
    multiply(&wave, &picture, &middle);
    multiply(&middle, &turned, &picture);
    for (int i = 0; i < N * N; i++)
        picture.at[i / N][i % N] = sign(picture.at[i / N][i % N], i / N, i % N);
    multiply(&turned, &picture, &middle);
    multiply(&middle, &wave, map);
    for (int i = 0; i < N * N; i++)
        map->at[i / N][i % N] *= map->at[i / N][i % N];
    for (int pass = 0; pass < 3; pass++) {
        for (int i = 0; i < N; i++)
            blur_line(map->at[i], 1);
        for (int j = 0; j < N; j++)
            blur_line(&map->at[0][j], N);
    }
}

typedef struct area {
    int left, top, right, bottom, cells; /* right and bottom are outside */
    float mass;
} area;

/* The area of connected cells above the bound that holds the one given; they are taken out of the map. */
static area take_area(field *map, float bound, int i, int j)
{
    int stack[4 * N * N], count = 0;
    area a = {N, N, 0, 0, 0, 0};
    stack[count++] = i * N + j;
    while (count > 0) {
        const int at = stack[--count], y = at / N, x = at % N;
        if (map->at[y][x] <= bound)
            continue;
        a.mass += map->at[y][x];
        a.cells++;
        map->at[y][x] = 0;
        a.left = x < a.left ? x : a.left;
        a.top = y < a.top ? y : a.top;
        a.right = x + 1 > a.right ? x + 1 : a.right;
        a.bottom = y + 1 > a.bottom ? y + 1 : a.bottom;
        if (x > 0)
            stack[count++] = at - 1;
        if (x + 1 < N)
            stack[count++] = at + 1;
        if (y > 0)
            stack[count++] = at - N;
        if (y + 1 < N)
            stack[count++] = at + N;
    }
    return a;
}

size_t twi_standing_out(const tw_plane *plane, size_t most, tw_spot *out)
{
    field map;
    measure(plane, &map);
    double total = 0;
    for (int i = 0; i < N * N; i++)
        total += (double)map.at[i / N][i % N];
    const float bound = (float)(STRIKING * total / (N * N));
    const double w = (double)plane->w / N, h = (double)plane->h / N;
    size_t count = 0;
    for (int i = 0; i < N * N && total > 0; i++) {
        const area a = take_area(&map, bound, i / N, i % N);
        if (a.cells < LEAST_CELLS)
            continue;
        const tw_spot spot = {a.left * w, a.top * h, (a.right - a.left) * w, (a.bottom - a.top) * h,
                              (double)a.mass / total};
        count = twi_keep_best(out, count, most, spot);
    }
    return count;
}
