/* SPDX-License-Identifier: Apache-2.0 */
#include "subject/subject_internal.h"
#include "support/support.h"

#include <math.h>

#define TWO_PI 6.283185307179586476925

static void angles_are_those_of_the_library(void **state)
{
    (void)state;
    for (int k = -64; k < 128; k++) {
        double c, s;
        twi_turn64(k, &c, &s);
        /* An argument of up to 13 is itself only known to 2e-15. */
        tw_assert_near(c, cos(TWO_PI * k / 64), 3e-15);
        tw_assert_near(s, sin(TWO_PI * k / 64), 3e-15);
    }
    for (double a = -3.2; a < 3.2; a += 0.013) {
        double c, s;
        twi_angle(a, &c, &s);
        tw_assert_near(c, cos(a), 1e-9);
        tw_assert_near(s, sin(a), 1e-9);
    }
}

/* The sum that defines the transform, against the fast one, three columns at once. */
static void the_transform_is_its_definition(void **state)
{
    enum { N = 16, W = 3 };
    float re[N * W], im[N * W], was_re[N * W], was_im[N * W];
    tw_rng rng = {3};
    (void)state;
    for (int i = 0; i < N * W; i++) {
        was_re[i] = re[i] = (float)(tw_rng_unit(&rng) - 0.5);
        was_im[i] = im[i] = (float)(tw_rng_unit(&rng) - 0.5);
    }
    twi_fft(re, im, N, W, W, false);
    for (int k = 0; k < N; k++)
        for (int c = 0; c < W; c++) {
            double sr = 0, si = 0;
            for (int n = 0; n < N; n++) {
                double cosine = cos(TWO_PI * k * n / N), sine = -sin(TWO_PI * k * n / N);
                sr += was_re[n * W + c] * cosine - was_im[n * W + c] * sine;
                si += was_re[n * W + c] * sine + was_im[n * W + c] * cosine;
            }
            tw_assert_near(re[k * W + c], sr, 1e-5);
            tw_assert_near(im[k * W + c], si, 1e-5);
        }
    twi_fft(re, im, N, W, W, true);
    for (int i = 0; i < N * W; i++) {
        tw_assert_near(re[i] / N, was_re[i], 1e-6);
        tw_assert_near(im[i] / N, was_im[i], 1e-6);
    }
}

/* Two real channels made as one, in a spectrum of 4 x 8: apart they are what each gives alone, twice as large. */
static void two_spectra_are_taken_apart(void **state)
{
    enum { ROWS = 4, COLUMNS = 8, N = ROWS * COLUMNS };
    float zr[N], zi[N], alone[2][2][N] = {{{0}}}, re[N * 2], im[N * 2];
    tw_rng rng = {5};
    (void)state;
    for (int i = 0; i < N; i++) {
        alone[0][0][i] = zr[i] = (float)(tw_rng_unit(&rng) - 0.5);
        alone[1][0][i] = zi[i] = (float)(tw_rng_unit(&rng) - 0.5);
    }
    float *planes[3][2] = {{zr, zi}, {alone[0][0], alone[0][1]}, {alone[1][0], alone[1][1]}};
    for (int p = 0; p < 3; p++) {
        for (int y = 0; y < ROWS; y++)
            twi_fft(planes[p][0] + y * COLUMNS, planes[p][1] + y * COLUMNS, COLUMNS, 1, 1, false);
        twi_fft(planes[p][0], planes[p][1], ROWS, COLUMNS, COLUMNS, false);
    }
    twi_fft_part(zr, zi, &(twi_spectra){ROWS, COLUMNS, 1}, re, im);
    for (int y = 0, b = 0; y < ROWS; y++)
        for (int x = 0; x <= COLUMNS / 2; x++, b++)
            for (int c = 0; c < 2; c++) {
                tw_assert_near(re[2 * b + c], 2 * alone[c][0][y * COLUMNS + x], 1e-5);
                tw_assert_near(im[2 * b + c], 2 * alone[c][1][y * COLUMNS + x], 1e-5);
            }
}

TW_SUITE(fft)
{
    const struct CMUnitTest tests[] = {
        TW_TEST(angles_are_those_of_the_library),
        TW_TEST(the_transform_is_its_definition),
        TW_TEST(two_spectra_are_taken_apart),
    };
    return tw_run("subject/fft", tests);
}
