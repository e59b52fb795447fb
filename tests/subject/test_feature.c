/* SPDX-License-Identifier: Apache-2.0 */
#include "subject/subject_internal.h"
#include "support/support.h"

#include <math.h>

/* An edge that brightens towards `angle`, through the middle of a 32 x 32 view. */
static void edge(double angle, double contrast, uint8_t *out)
{
    for (int y = 0; y < 32; y++)
        for (int x = 0; x < 32; x++) {
            double far = (x - 15.5) * cos(angle) + (y - 15.5) * sin(angle);
            out[y * 32 + x] = (uint8_t)(128 + contrast * far / (fabs(far) + 2));
        }
}

/* The middle cell's strongest direction is the edge's: eight directions, 2 pi / 8 apart. */
static void directions_are_told(void **state)
{
    uint8_t view[32 * 32];
    float out[16 * 16 * TWI_CHANNELS];
    (void)state;
    for (int k = 0; k < 8; k++) {
        edge(6.283185307179586 * k / 8, 80, view);
        twi_features(view, 32, out);
        const float *cell = out + (8 * 16 + 8) * TWI_CHANNELS;
        int best = 0;
        for (int i = 1; i < 8; i++)
            best = cell[i] > cell[best] ? i : best;
        tw_row((size_t)k, "direction");
        assert_int_equal(best, k);
    }
}

/* Half the contrast, nearly the same picture of edges. */
static void contrast_hardly_matters(void **state)
{
    uint8_t view[32 * 32];
    float strong[16 * 16 * TWI_CHANNELS], weak[16 * 16 * TWI_CHANNELS];
    (void)state;
    edge(0.3, 100, view);
    twi_features(view, 32, strong);
    edge(0.3, 50, view);
    twi_features(view, 32, weak);
    for (int i = 0; i < 12; i++)
        tw_assert_near(weak[(8 * 16 + 8) * TWI_CHANNELS + i], strong[(8 * 16 + 8) * TWI_CHANNELS + i], 0.03);
}

TW_SUITE(feature)
{
    const struct CMUnitTest tests[] = {
        TW_TEST(directions_are_told),
        TW_TEST(contrast_hardly_matters),
    };
    return tw_run("subject/feature", tests);
}
