/* SPDX-License-Identifier: Apache-2.0 */
#include "film.h"

#include <math.h>
#include <string.h>

#define GROUND 512 /* pixels of the background's texture a side; it repeats */
#define SKIN 128   /* of the subject's */

const film_kind film_kinds[] = {
    {.name = "plain", .grow = 1, .speed = 0.25},
    {.name = "size", .grow = 1.8, .speed = 0.2},
    {.name = "turn", .grow = 1, .turn = 0.6, .speed = 0.2},
    {.name = "light", .grow = 1, .light = 0.35, .speed = 0.25},
    {.name = "blur", .grow = 1, .blur = 4, .speed = 0.35},
    {.name = "noise", .grow = 1, .noise = 12, .speed = 0.25},
    {.name = "hidden", .grow = 1, .post = true, .speed = 0.3},
    {.name = "leaves", .grow = 1, .leaves = true, .speed = 0.6},
    {.name = "shake", .grow = 1, .shake = 5, .speed = 0.2},
    {.name = "pan", .grow = 1.3, .pan = 4, .speed = 0.2},
    {.name = "all", .grow = 1.4, .turn = 0.3, .light = 0.2, .blur = 3, .noise = 6, .shake = 3, .pan = 2, .speed = 0.2},
};
const size_t film_kind_count = sizeof film_kinds / sizeof film_kinds[0];

struct film {
    film_kind kind;
    uint8_t ground[GROUND * GROUND], skin[SKIN * SKIN], post[SKIN * SKIN];
    double w, h;     /* of the subject */
    double phase[8]; /* of all that swings */
    uint64_t grain;
};

/* ---- textures -------------------------------------------------------------------------------------------- */

static double smooth(double t)
{
    return t * t * (3 - 2 * t);
}

/* Adds noise of one grain, repeating after n pixels. */
static void add_grain(tw_rng *rng, double *sum, int n, int grain, double part)
{
    static double dots[64 * 64];
    int m = n / grain;
    for (int i = 0; i < m * m; i++)
        dots[i] = (tw_rng_unit(rng) - 0.5) * part;
    for (int y = 0; y < n; y++)
        for (int x = 0; x < n; x++) {
            int gx = x / grain, gy = y / grain, hx = (gx + 1) % m, hy = (gy + 1) % m;
            double fx = smooth((double)(x % grain) / grain), fy = smooth((double)(y % grain) / grain);
            sum[y * n + x] += (dots[gy * m + gx] * (1 - fx) + dots[gy * m + hx] * fx) * (1 - fy) +
                              (dots[hy * m + gx] * (1 - fx) + dots[hy * m + hx] * fx) * fy;
        }
}

/* Noise of several grains, finer ones weaker. */
static void weave(uint8_t *out, int n, uint64_t seed, double low, double high)
{
    static double sum[GROUND * GROUND];
    tw_rng rng = {seed};
    double part = 1;
    memset(sum, 0, sizeof sum);
    for (int grain = n / 16; grain >= n / 64 && grain >= 2; grain /= 2, part *= 0.7)
        add_grain(&rng, sum, n, grain, part);
    for (int i = 0; i < n * n; i++) {
        double v = sum[i] + 0.5;
        v = v < 0 ? 0 : v > 1 ? 1 : v;
        out[i] = (uint8_t)(low + (high - low) * v);
    }
}

film *film_new(tw_arena *arena, const film_kind *kind, uint64_t seed)
{
    film *f = TW_NEW(arena, film);
    tw_rng rng = {seed};
    f->kind = *kind;
    weave(f->ground, GROUND, tw_rng_next(&rng), 40, 220);
    weave(f->skin, SKIN, tw_rng_next(&rng), 10, 245);
    weave(f->post, SKIN, tw_rng_next(&rng), 60, 200);
    f->w = 40 + 20 * tw_rng_unit(&rng);
    f->h = f->w * (1 + 0.6 * tw_rng_unit(&rng));
    for (size_t i = 0; i < 8; i++)
        f->phase[i] = 6.283185307179586 * tw_rng_unit(&rng);
    f->grain = tw_rng_next(&rng);
    return f;
}

static double texel(const uint8_t *texture, int n, double x, double y)
{
    int u = (int)((x + 8 * n) * 256), v = (int)((y + 8 * n) * 256), fx = u & 255, fy = v & 255;
    int x0 = (u >> 8) & (n - 1), y0 = (v >> 8) & (n - 1), x1 = (x0 + 1) & (n - 1), y1 = (y0 + 1) & (n - 1);
    int top = texture[y0 * n + x0] * (256 - fx) + texture[y0 * n + x1] * fx;
    int bottom = texture[y1 * n + x0] * (256 - fx) + texture[y1 * n + x1] * fx;
    return (top * (256 - fy) + bottom * fy) / 65536.0;
}

/* ---- movement -------------------------------------------------------------------------------------------- */

/* Where things are at a moment (frames, with a fraction). */
typedef struct moment {
    double x, y, size, angle;  /* the subject's middle in the picture */
    double cx, cy, turn, zoom; /* the camera */
    double sc, ss, tc, ts;     /* cosines and sines of the two angles */
    double light;
} moment;

static moment at(const film *f, double t)
{
    const film_kind *k = &f->kind;
    const double *p = f->phase;
    double swing = 6.283185307179586 * t / FILM_FRAMES, s = k->shake;
    moment m = {.size = 1 + (k->grow - 1) * (0.5 - 0.5 * cos(swing)), .angle = k->turn * sin(2 * swing)};
    m.x = FILM_W * (0.5 + k->speed * sin(swing + (k->leaves ? 0 : p[0])));
    m.y = FILM_H * (0.5 + (k->leaves ? 0.1 : 0.2) * sin(1.7 * swing + p[1]));
    if (k->post) /* steadily across, past the post in the middle */
        m.x = FILM_W * (0.5 + k->speed * (2 * t / FILM_FRAMES - 1));
    m.cx = k->pan * t + s * (sin(0.9 * t + p[2]) + 0.6 * sin(2.1 * t + p[3]));
    m.cy = s * (sin(1.1 * t + p[4]) + 0.6 * sin(1.9 * t + p[5]));
    m.turn = s * 0.002 * sin(0.7 * t + p[6]);
    m.zoom = 1 + s * 0.001 * sin(0.5 * t + p[7]);
    m.light = 1 + k->light * sin(2 * swing);
    m.sc = cos(m.angle);
    m.ss = sin(m.angle);
    m.tc = cos(m.turn);
    m.ts = sin(m.turn);
    /* What the camera does, the subject shows too. */
    m.x -= m.cx - k->pan * t;
    m.y -= m.cy;
    return m;
}

/* From the picture to the ground. */
static void to_ground(const moment *m, double x, double y, double *gx, double *gy)
{
    double px = x - FILM_W / 2.0, py = y - FILM_H / 2.0, c = m->tc, s = m->ts;
    *gx = m->cx + m->zoom * (c * px - s * py) + GROUND / 2.0;
    *gy = m->cy + m->zoom * (s * px + c * py) + GROUND / 2.0;
}

#define POST_W 70

static double shade(const film *f, const moment *m, double x, double y)
{
    double c = m->sc, s = m->ss, px = x - m->x, py = y - m->y;
    double u = (c * px + s * py) / m->size, v = (c * py - s * px) / m->size;
    double in = 4 * (u * u / (f->w * f->w) + v * v / (f->h * f->h)), gx, gy;
    if (f->kind.post && fabs(x - FILM_W / 2.0) < POST_W / 2.0)
        return texel(f->post, SKIN, x, y);
    if (in < 1)
        return texel(f->skin, SKIN, u + SKIN / 2.0, v + SKIN / 2.0);
    to_ground(m, x, y, &gx, &gy);
    return texel(f->ground, GROUND, gx, gy);
}

static double shown(const film *f, const moment *m)
{
    int all = 0, seen = 0;
    for (int j = -10; j <= 10; j++)
        for (int i = -10; i <= 10; i++) {
            double u = i / 20.0 * f->w * m->size, v = j / 20.0 * f->h * m->size, c = m->sc, s = m->ss;
            double x = m->x + c * u - s * v, y = m->y + s * u + c * v;
            if (i * i + j * j > 100)
                continue;
            all++;
            bool hidden = f->kind.post && fabs(x - FILM_W / 2.0) < POST_W / 2.0;
            seen += x >= 0 && y >= 0 && x < FILM_W && y < FILM_H && !hidden;
        }
    return (double)seen / all;
}

/* The movement of the ground from a to b, as the picture shows it. */
static tw_camera camera_of(const moment *a, const moment *b)
{
    double turn = a->turn - b->turn, scale = a->zoom / b->zoom, gx, gy;
    to_ground(a, FILM_W / 2.0, FILM_H / 2.0, &gx, &gy);
    double px = (gx - GROUND / 2.0 - b->cx) / b->zoom, py = (gy - GROUND / 2.0 - b->cy) / b->zoom;
    double c = b->tc, s = b->ts;
    return (tw_camera){c * px + s * py, c * py - s * px, turn, scale, 1};
}

void film_draw(film *f, int t, uint8_t *out, film_truth *truth)
{
    int moments = f->kind.blur > 1 ? f->kind.blur : 1;
    tw_rng rng = {f->grain + (uint64_t)t * 7919};
    moment ms[8], m = at(f, t), before = at(f, t - 1);
    for (int i = 0; i < moments; i++)
        ms[i] = at(f, t + (i - (moments - 1) / 2.0) / moments * 0.8);
    for (int y = 0; y < FILM_H; y++)
        for (int x = 0; x < FILM_W; x++) {
            double v = 0;
            for (int i = 0; i < moments; i++)
                v += shade(f, &ms[i], x + 0.5, y + 0.5);
            v = v / moments * m.light;
            if (f->kind.noise > 0)
                v += f->kind.noise * 1.732 *
                     (tw_rng_unit(&rng) + tw_rng_unit(&rng) + tw_rng_unit(&rng) + tw_rng_unit(&rng) - 2);
            out[y * FILM_W + x] = (uint8_t)(v < 0 ? 0 : v > 255 ? 255 : v);
        }
    double c = m.sc, s = m.ss;
    double w = m.size * sqrt(f->w * f->w * c * c + f->h * f->h * s * s);
    double h = m.size * sqrt(f->w * f->w * s * s + f->h * f->h * c * c);
    *truth = (film_truth){m.x - w / 2, m.y - h / 2, w, h, shown(f, &m), camera_of(&before, &m)};
}

double film_overlap(const film_truth *t, const tw_spot *s)
{
    double w = fmin(t->left + t->width, s->left + s->width) - fmax(t->left, s->left);
    double h = fmin(t->top + t->height, s->top + s->height) - fmax(t->top, s->top);
    double both = w > 0 && h > 0 ? w * h : 0;
    return both / (t->width * t->height + s->width * s->height - both);
}
