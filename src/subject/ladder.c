/* SPDX-License-Identifier: Apache-2.0
 *
 * How large the subject is, and how far it has turned: the same kind of filter along a ladder of sizes (Danelljan
 * 2014), or of angles.
 */
#include "subject_internal.h"

#define STEPS 16
#define SAMPLES TWI_LADDER_VIEW
#define LONG ((SAMPLES / TWI_CELL) * (SAMPLES / TWI_CELL) * TWI_CHANNELS)
#define RATIO 1.025
#define ANGLE 0.05 /* radians */
#define DAMP 0.01f
#define BINS (STEPS / 2 + 1) /* of a real spectrum; the rest mirrors them */
#define PAIRS (LONG / 2)
#define LANES 8 /* sums run over so many at a time */

struct twi_ladder {
    bool turns;
    float re[BINS * LONG], im[BINS * LONG], power[BINS]; /* the model */
    float zr[STEPS * PAIRS], zi[STEPS * PAIRS];
    float seen_re[BINS * LONG], seen_im[BINS * LONG];
    float answer_re[STEPS], answer_im[STEPS], window[STEPS];
    double factor[STEPS]; /* of sizes */
    uint8_t view[SAMPLES * SAMPLES];
};

twi_ladder *twi_ladder_new(tw_arena *arena, bool turns)
{
    twi_ladder *s = TW_NEW(arena, twi_ladder);
    s->turns = turns;
    double up = 1;
    for (int i = 0; i < STEPS / 2; i++, up *= RATIO) {
        s->factor[STEPS / 2 + i] = up;
        s->factor[STEPS / 2 - i] = 1 / up;
        s->answer_re[STEPS / 2 + i] = s->answer_re[STEPS / 2 - i] = (float)twi_bell(i);
    }
    s->factor[0] = 1 / up;
    for (int i = 0; i < STEPS; i++) {
        double c, sine;
        twi_turn64(4 * i, &c, &sine);
        s->window[i] = (float)(0.55 - 0.45 * c);
    }
    twi_fft(s->answer_re, s->answer_im, STEPS, 1, 1, false);
    return s;
}

static void see(twi_ladder *s, const tw_pyramid *frame, const twi_view *view)
{
    float row[LONG];
    for (size_t i = 0; i < STEPS; i++) {
        twi_view v = *view;
        if (s->turns)
            twi_turned(view, ((int)i - STEPS / 2) * ANGLE, &v);
        else
            v.step *= s->factor[i];
        twi_view_take(frame, &v, SAMPLES, s->view);
        twi_features(s->view, SAMPLES, row);
        float fade = 0.5f * s->window[i]; /* half, since twi_fft_part adds two */
        for (size_t k = 0; k < PAIRS; k++) {
            s->zr[i * PAIRS + k] = row[k] * fade;
            s->zi[i * PAIRS + k] = row[k + PAIRS] * fade;
        }
    }
    twi_fft(s->zr, s->zi, STEPS, PAIRS, PAIRS, false);
    twi_fft_part(s->zr, s->zi, &(twi_spectra){1, STEPS, PAIRS}, s->seen_re, s->seen_im);
}

static float total(const float lanes[LANES])
{
    float sum = 0;
    for (int i = 0; i < LANES; i++)
        sum += lanes[i];
    return sum;
}

void twi_ladder_learn(twi_ladder *s, const tw_pyramid *frame, const twi_view *view, double rate)
{
    float take = (float)rate, keep = 1 - take;
    see(s, frame, view);
    for (size_t b = 0; b < BINS; b++) {
        const float *zr = s->seen_re + b * LONG, *zi = s->seen_im + b * LONG;
        float gr = take * s->answer_re[b], gi = take * s->answer_im[b], power[LANES] = {0};
        float *mr = s->re + b * LONG, *mi = s->im + b * LONG;
        for (size_t c = 0; c < LONG; c++) {
            mr[c] = keep * mr[c] + gr * zr[c] + gi * zi[c];
            mi[c] = keep * mi[c] + gi * zr[c] - gr * zi[c];
        }
        for (size_t c = 0; c < LONG; c += LANES)
            for (size_t i = 0; i < LANES; i++)
                power[i] += zr[c + i] * zr[c + i] + zi[c + i] * zi[c + i];
        s->power[b] = keep * s->power[b] + take * total(power);
    }
}

/* The filter's answer for every step. */
static void respond(const twi_ladder *s, float re[STEPS])
{
    float im[STEPS];
    for (size_t b = 0; b < BINS; b++) {
        const float *zr = s->seen_re + b * LONG, *zi = s->seen_im + b * LONG;
        const float *mr = s->re + b * LONG, *mi = s->im + b * LONG;
        float sr[LANES] = {0}, si[LANES] = {0}, under = s->power[b] + DAMP * STEPS;
        for (size_t c = 0; c < LONG; c += LANES)
            for (size_t i = 0; i < LANES; i++) {
                sr[i] += mr[c + i] * zr[c + i] - mi[c + i] * zi[c + i];
                si[i] += mr[c + i] * zi[c + i] + mi[c + i] * zr[c + i];
            }
        re[b] = total(sr) / under;
        im[b] = total(si) / under;
    }
    for (size_t b = BINS; b < STEPS; b++) {
        re[b] = re[STEPS - b];
        im[b] = -im[STEPS - b];
    }
    twi_fft(re, im, STEPS, 1, 1, true);
}

double twi_ladder_find(twi_ladder *s, const tw_pyramid *frame, const twi_view *view)
{
    float re[STEPS];
    see(s, frame, view);
    respond(s, re);
    int best = STEPS / 2;
    for (int i = 0; i < STEPS; i++)
        if (re[i] > re[best])
            best = i;
    double at = 0;
    if (best > 0 && best < STEPS - 1)
        at = twi_top(re[best - 1], re[best], re[best + 1]);
    return s->turns ? (best + at - STEPS / 2) * ANGLE : s->factor[best] * (1 + at * (RATIO - 1));
}
