/* SPDX-License-Identifier: Apache-2.0
 *
 * Where the subject is: a correlation filter over all channels of the features. It is trained to answer the subject in
 * the middle with a narrow peak there (Bolme 2010; several channels: Henriques 2015, Danelljan 2014), and learns a
 * little from every frame.
 */
#include "subject_internal.h"

#include <math.h>
#include <string.h>

#define DAMP 0.01f
#define PAIRS (TWI_CHANNELS / 2)

typedef struct model {
    float re[TWI_SPECTRUM], im[TWI_SPECTRUM]; /* answer x conjugate of what was seen */
    float power[TWI_BINS];                    /* of what was seen */
} model;

struct twi_place {
    model now, recent, older; /* the last two as `now` was a while ago */
    int lessons;
    float window[TWI_FIELD]; /* fades the edge of the view out */
    float answer[TWI_BINS];  /* spectrum of the wished-for answer: real, since it is symmetric */
    uint8_t view[TWI_VIEW * TWI_VIEW];
    float cells[TWI_FIELD * TWI_FIELD * TWI_CHANNELS];
    float zr[TWI_FIELD * TWI_FIELD * PAIRS], zi[TWI_FIELD * TWI_FIELD * PAIRS];
    float re[TWI_SPECTRUM], im[TWI_SPECTRUM]; /* of what is seen */
};

double twi_bell(int far)
{
    const double q = 0.60653065971263342; /* e^-1/2 */
    double v = 1;
    for (int k = 0; k < far * far && v > 1e-12; k++)
        v *= q;
    return v;
}

/* A bell round the first cell, turned into its spectrum. */
static void make_answer(twi_place *place)
{
    float re[TWI_FIELD * TWI_FIELD], im[TWI_FIELD * TWI_FIELD], bell[TWI_FIELD];
    for (int i = 0; i < TWI_FIELD; i++)
        bell[i] = (float)twi_bell(i < TWI_FIELD / 2 ? i : TWI_FIELD - i);
    for (int y = 0; y < TWI_FIELD; y++)
        for (int x = 0; x < TWI_FIELD; x++) {
            re[y * TWI_FIELD + x] = bell[x] * bell[y];
            im[y * TWI_FIELD + x] = 0;
        }
    for (int y = 0; y < TWI_FIELD; y++)
        twi_fft(re + y * TWI_FIELD, im + y * TWI_FIELD, TWI_FIELD, 1, 1, false);
    twi_fft(re, im, TWI_FIELD, TWI_FIELD, TWI_FIELD, false);
    for (int y = 0; y < TWI_FIELD; y++)
        for (int x = 0; x < TWI_HALF; x++)
            place->answer[y * TWI_HALF + x] = re[y * TWI_FIELD + x];
}

twi_place *twi_place_new(tw_arena *arena)
{
    twi_place *place = TW_NEW(arena, twi_place);
    for (int i = 0; i < TWI_FIELD; i++) {
        double c, s;
        twi_turn64(2 * i + 1, &c, &s);
        place->window[i] = (float)(0.5 - 0.5 * c);
    }
    make_answer(place);
    return place;
}

/* The spectrum of a view's features. */
static void see(twi_place *place, const tw_pyramid *frame, const twi_view *view)
{
    const size_t row = (size_t)TWI_FIELD * PAIRS;
    twi_view_take(frame, view, TWI_VIEW, place->view);
    twi_features(place->view, TWI_VIEW, place->cells);
    const float *cell = place->cells;
    for (size_t y = 0; y < TWI_FIELD; y++) {
        float *re = place->zr + y * row, *im = place->zi + y * row;
        for (size_t x = 0; x < TWI_FIELD; x++, cell += TWI_CHANNELS) {
            float fade = 0.5f * place->window[x] * place->window[y]; /* half, since twi_fft_part adds two */
            for (size_t c = 0; c < PAIRS; c++) {
                re[x * PAIRS + c] = cell[c] * fade;
                im[x * PAIRS + c] = cell[c + PAIRS] * fade;
            }
        }
        twi_fft(re, im, TWI_FIELD, PAIRS, PAIRS, false);
    }
    twi_fft(place->zr, place->zi, TWI_FIELD, row, row, false);
    twi_fft_part(place->zr, place->zi, &(twi_spectra){TWI_FIELD, TWI_FIELD, PAIRS}, place->re, place->im);
}

void twi_place_learn(twi_place *place, const tw_pyramid *frame, const twi_view *view, double rate)
{
    float take = (float)rate, keep = 1 - take;
    model *m = &place->now;
    if (!(rate < 1))
        place->lessons = 0;
    see(place, frame, view);
    for (size_t b = 0; b < TWI_BINS; b++) {
        const float *re = place->re + b * TWI_CHANNELS, *im = place->im + b * TWI_CHANNELS;
        float *mr = m->re + b * TWI_CHANNELS, *mi = m->im + b * TWI_CHANNELS, part = take * place->answer[b], power = 0;
        for (size_t c = 0; c < TWI_CHANNELS; c++) {
            mr[c] = keep * mr[c] + part * re[c];
            mi[c] = keep * mi[c] - part * im[c];
        }
        for (size_t c = 0; c < TWI_CHANNELS; c++)
            power += re[c] * re[c] + im[c] * im[c];
        m->power[b] = keep * m->power[b] + take * power;
    }
    if (place->lessons == 0)
        place->recent = place->now;
    if (place->lessons++ % TWI_RECALL == 0) {
        place->older = place->recent;
        place->recent = place->now;
    }
}

void twi_place_recall(twi_place *place)
{
    place->now = place->recent = place->older;
    place->lessons = 1;
}

/* The filter's answer to the view, as a picture of TWI_FIELD x TWI_FIELD. */
static void respond(twi_place *place, const model *m, float *out)
{
    float im[TWI_FIELD * TWI_FIELD];
    for (size_t b = 0; b < TWI_BINS; b++) {
        size_t ky = b / TWI_HALF, kx = b % TWI_HALF, from = b * TWI_CHANNELS;
        const float *re = place->re + from, *ri = place->im + from, *mr = m->re + from, *mi = m->im + from;
        float sr[4] = {0}, si[4] = {0}, under = m->power[b] + DAMP * TWI_FIELD * TWI_FIELD;
        for (size_t c = 0; c < TWI_CHANNELS; c += 4)
            for (size_t i = 0; i < 4; i++) {
                sr[i] += mr[c + i] * re[c + i] - mi[c + i] * ri[c + i];
                si[i] += mr[c + i] * ri[c + i] + mi[c + i] * re[c + i];
            }
        out[ky * TWI_FIELD + kx] = (sr[0] + sr[1] + sr[2] + sr[3]) / under;
        im[ky * TWI_FIELD + kx] = (si[0] + si[1] + si[2] + si[3]) / under;
    }
    for (size_t ky = 0; ky < TWI_FIELD; ky++)
        for (size_t kx = TWI_HALF; kx < TWI_FIELD; kx++) {
            size_t mirror = (TWI_FIELD - ky) % TWI_FIELD * TWI_FIELD + TWI_FIELD - kx;
            out[ky * TWI_FIELD + kx] = out[mirror];
            im[ky * TWI_FIELD + kx] = -im[mirror];
        }
    twi_fft(out, im, TWI_FIELD, TWI_FIELD, TWI_FIELD, true);
    for (int y = 0; y < TWI_FIELD; y++)
        twi_fft(out + y * TWI_FIELD, im + y * TWI_FIELD, TWI_FIELD, 1, 1, true);
    for (int i = 0; i < TWI_FIELD * TWI_FIELD; i++)
        out[i] /= TWI_FIELD * TWI_FIELD;
}

static float answer_at(const float *answer, int x, int y)
{
    return answer[(y & (TWI_FIELD - 1)) * TWI_FIELD + (x & (TWI_FIELD - 1))];
}

double twi_top(double before, double here, double after)
{
    double bend = 2 * here - before - after, at = bend > 1e-9 ? (after - before) / (2 * bend) : 0;
    return tw_clamp(at, -0.5, 0.5);
}

/* How far the peak stands above what is not near it, in deviations (Bolme 2010). */
static double clearness(const float *answer, int px, int py)
{
    double sum = 0, squares = 0, n = 0;
    for (int y = 0; y < TWI_FIELD; y++)
        for (int x = 0; x < TWI_FIELD; x++) {
            int dx = (x - px) & (TWI_FIELD - 1), dy = (y - py) & (TWI_FIELD - 1);
            dx = dx > TWI_FIELD / 2 ? TWI_FIELD - dx : dx;
            dy = dy > TWI_FIELD / 2 ? TWI_FIELD - dy : dy;
            if (dx <= 4 && dy <= 4)
                continue;
            double v = answer[y * TWI_FIELD + x];
            sum += v;
            squares += v * v;
            n++;
        }
    double mean = sum / n, spread = sqrt(fabs(squares / n - mean * mean));
    return (answer_at(answer, px, py) - mean) / (spread + 1e-6);
}

twi_peak twi_place_find(twi_place *place, const tw_pyramid *frame, const twi_view *view)
{
    float answer[TWI_FIELD * TWI_FIELD];
    int best = 0;
    see(place, frame, view);
    respond(place, &place->now, answer);
    for (int i = 1; i < TWI_FIELD * TWI_FIELD; i++)
        if (answer[i] > answer[best])
            best = i;
    int x = best % TWI_FIELD, y = best / TWI_FIELD;
    double sx = twi_top(answer_at(answer, x - 1, y), answer[best], answer_at(answer, x + 1, y));
    double sy = twi_top(answer_at(answer, x, y - 1), answer[best], answer_at(answer, x, y + 1));
    double far = TWI_FIELD / 2;
    return (twi_peak){((x < far ? x : x - TWI_FIELD) + sx) * TWI_CELL, ((y < far ? y : y - TWI_FIELD) + sy) * TWI_CELL,
                      answer[best], clearness(answer, x, y)};
}
