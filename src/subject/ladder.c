/* SPDX-License-Identifier: Apache-2.0
 *
 * How large the subject is, and how far it has turned: the same kind of filter along a ladder of sizes (Danelljan
 * 2014), or of angles.
 */
#include "subject_internal.h"

#include <string.h>

#define STEPS 16
#define SAMPLES TWI_LADDER_VIEW
#define LONG ((SAMPLES / TWI_CELL) * (SAMPLES / TWI_CELL) * TWI_CHANNELS)
#define RATIO 1.025
#define ANGLE 0.05 /* radians */
#define DAMP 0.01f

struct twi_ladder {
    bool turns;
    float re[STEPS * LONG], im[STEPS * LONG], power[STEPS]; /* the model */
    float zr[STEPS * LONG], zi[STEPS * LONG];               /* what is seen */
    float answer_re[STEPS], answer_im[STEPS], window[STEPS];
    double factor[STEPS]; /* of sizes */
    uint8_t view[SAMPLES * SAMPLES];
};

twi_ladder *twi_ladder_new(tw_arena *arena, bool turns)
{
    twi_ladder *s = TW_NEW(arena, twi_ladder);
    s->turns = turns;
    const double q = 0.60653065971263342; /* e^-1/2 */
    double up = 1;
    for (int i = 0; i < STEPS / 2; i++, up *= RATIO) {
        double bell = 1;
        for (int k = 0; k < i * i && bell > 1e-12; k++)
            bell *= q;
        s->factor[STEPS / 2 + i] = up;
        s->factor[STEPS / 2 - i] = 1 / up;
        s->answer_re[STEPS / 2 + i] = s->answer_re[STEPS / 2 - i] = (float)bell;
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
    for (int i = 0; i < STEPS; i++) {
        twi_view v = *view;
        float *row = s->zr + (size_t)i * LONG;
        if (s->turns)
            twi_turned(view, (i - STEPS / 2) * ANGLE, &v);
        else
            v.step *= s->factor[i];
        twi_view_take(frame, &v, SAMPLES, s->view);
        twi_features(s->view, SAMPLES, row);
        for (int k = 0; k < LONG; k++)
            row[k] *= s->window[i];
    }
    memset(s->zi, 0, sizeof s->zi);
    twi_fft(s->zr, s->zi, STEPS, LONG, LONG, false);
}

void twi_ladder_learn(twi_ladder *s, const tw_pyramid *frame, const twi_view *view, double rate)
{
    float take = (float)rate, keep = 1 - take;
    see(s, frame, view);
    for (size_t b = 0; b < STEPS; b++) {
        const float *zr = s->zr + b * LONG, *zi = s->zi + b * LONG;
        float gr = take * s->answer_re[b], gi = take * s->answer_im[b], power = 0;
        float *mr = s->re + b * LONG, *mi = s->im + b * LONG;
        for (size_t c = 0; c < LONG; c++) {
            mr[c] = keep * mr[c] + gr * zr[c] + gi * zi[c];
            mi[c] = keep * mi[c] + gi * zr[c] - gr * zi[c];
        }
        for (size_t c = 0; c < LONG; c++)
            power += zr[c] * zr[c] + zi[c] * zi[c];
        s->power[b] = keep * s->power[b] + take * power;
    }
}

double twi_ladder_find(twi_ladder *s, const tw_pyramid *frame, const twi_view *view)
{
    float re[STEPS], im[STEPS];
    see(s, frame, view);
    for (size_t b = 0; b < STEPS; b++) {
        const float *zr = s->zr + b * LONG, *zi = s->zi + b * LONG, *mr = s->re + b * LONG, *mi = s->im + b * LONG;
        float sr = 0, si = 0, under = s->power[b] + DAMP * STEPS;
        for (size_t c = 0; c < LONG; c++) {
            sr += mr[c] * zr[c] - mi[c] * zi[c];
            si += mr[c] * zi[c] + mi[c] * zr[c];
        }
        re[b] = sr / under;
        im[b] = si / under;
    }
    twi_fft(re, im, STEPS, 1, 1, true);
    int best = STEPS / 2;
    for (int i = 0; i < STEPS; i++)
        if (re[i] > re[best])
            best = i;
    double at = 0;
    if (best > 0 && best < STEPS - 1) {
        double bend = 2.0 * re[best] - re[best - 1] - re[best + 1];
        at = bend > 1e-9 ? ((double)re[best + 1] - re[best - 1]) / (2 * bend) : 0;
        at = at < -0.5 ? -0.5 : at > 0.5 ? 0.5 : at;
    }
    return s->turns ? (best + at - STEPS / 2) * ANGLE : s->factor[best] * (1 + at * (RATIO - 1));
}
