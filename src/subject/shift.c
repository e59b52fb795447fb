/* SPDX-License-Identifier: Apache-2.0
 *
 * How far a picture jumped, roughly: phase correlation (C. Kuglin, D. Hines: The phase correlation image alignment
 * method, IEEE Conference on Cybernetics and Society, 1975) of both frames made small.
 */
#include "subject_internal.h"

#include <math.h>

#define N 64
#define NOISE 0.05f /* share of the mean product */

typedef struct spectrum {
    float re[N * N], im[N * N];
} spectrum;

/* The frame in N x N samples, its mean taken out and its edge faded, since what leaves there does not come in again. */
static void shrink(const tw_pyramid *frame, float *out)
{
    uint8_t px[N * N];
    double w = frame->level[0].w, h = frame->level[0].h, mean = 0;
    float fade[N];
    twi_view_take(frame, &(twi_view){w / 2, h / 2, w / N, h / w, 1, 0}, N, px);
    for (int i = 0; i < N; i++) {
        double c, s;
        twi_turn64(i, &c, &s);
        fade[i] = (float)(0.5 - 0.5 * c);
    }
    for (int i = 0; i < N * N; i++)
        mean += px[i] / (double)(N * N);
    for (int i = 0; i < N * N; i++)
        out[i] = ((float)px[i] - (float)mean) * fade[i % N] * fade[i / N];
}

static void transform(spectrum *z, bool inverse)
{
    for (size_t y = 0; y < N; y++)
        twi_fft(z->re + y * N, z->im + y * N, N, 1, 1, inverse);
    twi_fft(z->re, z->im, N, N, N, inverse);
}

/* Two real spectra were made as one; of the product of one's conjugate and the other the phase is kept, less of it
 * where the product is small and its phase is that of noise. */
static void correlate(const spectrum *z, spectrum *out)
{
    float size[N * N], mean = 0;
    for (int i = 0; i < N * N; i++) {
        int m = (N - i / N) % N * N + (N - i % N) % N;
        float ar = z->re[i] + z->re[m], ai = z->im[i] - z->im[m], br = z->im[i] + z->im[m], bi = z->re[m] - z->re[i];
        out->re[i] = ar * br + ai * bi;
        out->im[i] = ar * bi - ai * br;
        size[i] = sqrtf(out->re[i] * out->re[i] + out->im[i] * out->im[i]);
        mean += size[i] / (N * N);
    }
    for (int i = 0; i < N * N; i++) {
        float even = mean > 0 ? 1 / (size[i] + NOISE * mean) : 0;
        out->re[i] *= even;
        out->im[i] *= even;
    }
}

void twi_shift(const tw_pyramid *before, const tw_pyramid *now, double *dx, double *dy)
{
    spectrum z, peak;
    int best = 0;
    shrink(before, z.re);
    shrink(now, z.im);
    transform(&z, false);
    correlate(&z, &peak);
    transform(&peak, true);
    for (int i = 1; i < N * N; i++)
        if (peak.re[i] > peak.re[best])
            best = i;
    int x = best % N, y = best / N;
    *dx = (x < N / 2 ? x : x - N) * (double)before->level[0].w / N;
    *dy = (y < N / 2 ? y : y - N) * (double)before->level[0].h / N;
}
