/* SPDX-License-Identifier: Apache-2.0
 *
 * Fourier transforms of short lengths over many numbers at once: the inner loop runs over neighbours in memory, which
 * compilers turn into wide instructions. Radix 2, J. Cooley and J. Tukey (Math. Comp. 19, 1965).
 */
#include "subject_internal.h"

#include "base/ext.h"

#include <math.h>

/* cos(2 pi k / 64) for k 0..16, to the last bit of a double; written out, since libraries differ in that bit. */
static const double quarter[17] = {
    1.0,
    0.99518472667219688624,
    0.98078528040323044913,
    0.95694033573220886494,
    0.92387953251128675613,
    0.88192126434835502971,
    0.83146961230254523708,
    0.77301045336273696081,
    0.70710678118654752440,
    0.63439328416364549822,
    0.55557023301960222474,
    0.47139673682599764856,
    0.38268343236508977173,
    0.29028467725446236764,
    0.19509032201612826785,
    0.098017140329560601994,
    0.0,
};

void twi_turn64(int k, double *cosine, double *sine)
{
    k &= 63;
    int q = k / 16, r = k % 16;
    double c = quarter[r], s = quarter[16 - r];
    *cosine = q == 0 ? c : q == 1 ? -s : q == 2 ? -c : s;
    *sine = q == 0 ? s : q == 1 ? c : q == 2 ? -s : -c;
}

/* The nearest 64th of the circle, and the series for the rest. */
void twi_angle(double angle, double *cosine, double *sine)
{
    double c, s, k = floor(angle * 10.185916357881302 + 0.5); /* 64 / 2 pi */
    double t = angle - k * 0.098174770424681035, q = t * t;
    double small_c = 1 - q / 2 * (1 - q / 12 * (1 - q / 30)), small_s = t * (1 - q / 6 * (1 - q / 20 * (1 - q / 42)));
    twi_turn64((int)k, &c, &s);
    *cosine = c * small_c - s * small_s;
    *sine = s * small_c + c * small_s;
}

static void swap_rows(float *a, float *b, size_t width)
{
    for (size_t i = 0; i < width; i++) {
        float t = a[i];
        a[i] = b[i];
        b[i] = t;
    }
}

static void reverse_order(float *re, float *im, int n, size_t step, size_t width)
{
    for (int i = 1, j = 0; i < n; i++) {
        int bit = n >> 1;
        for (; j & bit; bit >>= 1)
            j ^= bit;
        j ^= bit;
        if (i < j) {
            swap_rows(re + (size_t)i * step, re + (size_t)j * step, width);
            swap_rows(im + (size_t)i * step, im + (size_t)j * step, width);
        }
    }
}

static void butterfly(float *restrict ar, float *restrict ai, float *restrict br, float *restrict bi, float c, float s,
                      size_t width)
{
    for (size_t i = 0; i < width; i++) {
        float tr = br[i] * c - bi[i] * s, ti = br[i] * s + bi[i] * c;
        br[i] = ar[i] - tr;
        bi[i] = ai[i] - ti;
        ar[i] += tr;
        ai[i] += ti;
    }
}

void twi_fft(float *re, float *im, int n, size_t step, size_t width, bool inverse)
{
    TW_ASSERT(n > 0 && n <= 64 && (n & (n - 1)) == 0);
    reverse_order(re, im, n, step, width);
    for (int half = 1; half < n; half *= 2) {
        for (int k = 0; k < half; k++) {
            double c, s;
            twi_turn64(k * (32 / half), &c, &s);
            for (int i = k; i < n; i += 2 * half) {
                size_t a = (size_t)i * step, b = (size_t)(i + half) * step;
                butterfly(re + a, im + a, re + b, im + b, (float)c, (float)(inverse ? s : -s), width);
            }
        }
    }
}

void twi_fft_part(const float *zr, const float *zi, const twi_spectra *of, float *re, float *im)
{
    const size_t rows = of->rows, columns = of->columns, n = of->pairs;
    for (size_t y = 0; y < rows; y++) {
        for (size_t x = 0; x <= columns / 2; x++, re += 2 * n, im += 2 * n) {
            size_t at = (y * columns + x) * n;
            size_t mirror = ((rows - y) % rows * columns + (columns - x) % columns) * n;
            for (size_t c = 0; c < n; c++) {
                float ar = zr[at + c], ai = zi[at + c], br = zr[mirror + c], bi = zi[mirror + c];
                re[c] = ar + br;
                im[c] = ai - bi;
                re[c + n] = ai + bi;
                im[c + n] = br - ar;
            }
        }
    }
}
