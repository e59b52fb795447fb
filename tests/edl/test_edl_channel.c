/* SPDX-License-Identifier: Apache-2.0 */
#include "edl_support.h"

#define A(n) (1u << (n))

/* Words counted in public lists; A12 is two channels unless the list shows that it numbers more than four. */
static void words(void **state)
{
    (void)state;
    static const struct {
        const char *word;
        bool many, good;
        uint32_t channels;
        uint8_t video;
    } rows[] = {
        {"V", false, true, 1, 1},
        {"v", false, true, 1, 1},
        {"V2", false, true, 1, 2},
        {"V100", false, false, 0, 0},
        {"B", false, true, 1 | A(1), 1},
        {"A", false, true, A(1), 0},
        {"AA", false, true, A(1) | A(2), 0},
        {"A2", false, true, A(2), 0},
        {"A34", false, true, A(3) | A(4), 0},
        {"A12", false, true, A(1) | A(2), 0},
        {"A12", true, true, A(12), 0},
        {"A10", false, true, A(10), 0},
        {"A11", false, true, A(11), 0},
        {"A99", false, false, 0, 0},
        {"A1234", false, true, A(1) | A(2) | A(3) | A(4), 0},
        {"A1234V", false, true, 1 | A(1) | A(2) | A(3) | A(4), 1},
        {"A2/V", false, true, 1 | A(2), 1},
        {"AA/V", false, true, 1 | A(1) | A(2), 1},
        {"NONE", false, true, 0, 0},
        {"/V", false, false, 0, 0},
        {"C", false, false, 0, 0},
        {"A0", false, false, 0, 0},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        uint32_t channels;
        uint8_t video;
        tw_row(i, rows[i].word);
        bool good = twi_edl_channel(tw_str_z(rows[i].word), rows[i].many, &channels, &video);
        assert_int_equal(good, rows[i].good);
        if (!good)
            continue;
        assert_int_equal(channels, rows[i].channels);
        assert_int_equal(video, rows[i].video);
    }
}

TW_SUITE(edl_channel)
{
    const struct CMUnitTest tests[] = {TW_TEST(words)};
    return tw_run("edl/edl_channel", tests);
}
