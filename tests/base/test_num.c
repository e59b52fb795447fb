/* SPDX-License-Identifier: Apache-2.0 */
#include "support/support.h"

#include <float.h>
#include <locale.h>
#include <math.h>
#include <string.h>

static void whole_numbers(void **state)
{
    (void)state;
    static const struct {
        const char *text;
        bool fine;
        int64_t value;
    } rows[] = {
        {"0", true, 0},
        {"-0", true, 0},
        {"+12", true, 12},
        {"007", true, 7},
        {"9223372036854775807", true, INT64_MAX},
        {"-9223372036854775808", true, INT64_MIN},
        {"9223372036854775808", false, 0},
        {"-9223372036854775809", false, 0},
        {"99999999999999999999", false, 0},
        {"", false, 0},
        {"-", false, 0},
        {"1.0", false, 0},
        {" 1", false, 0},
        {"1 ", false, 0},
        {"--1", false, 0},
        {"0x10", false, 0},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_row(i, rows[i].text);
        int64_t value = 0;
        assert_int_equal(tw_num_int(tw_str_z(rows[i].text), &value), rows[i].fine);
        assert_int_equal(value, rows[i].value);
    }
}

static void hexadecimal_numbers(void **state)
{
    (void)state;
    static const struct {
        const char *text;
        bool fine;
        uint64_t value;
    } rows[] = {
        {"0", true, 0},
        {"09afAF", true, 0x09AFAF},
        {"ffffffffffffffff", true, UINT64_MAX},
        {"10000000000000000", false, 0}, /* 2^64 */
        {"", false, 0},
        {"0x1", false, 0},
        {"1 ", false, 0},
        {"g", false, 0},
        {"/", false, 0}, /* below '0' */
        {":", false, 0}, /* above '9' */
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_row(i, rows[i].text);
        uint64_t value = 0;
        assert_int_equal(tw_num_hex(tw_str_z(rows[i].text), &value), rows[i].fine);
        if (rows[i].fine)
            assert_int_equal(value, rows[i].value);
    }
}

/* Texts and the doubles they mean (IEEE 754 binary64; the compiler reads the literals). */
static void assert_doubles_read(void)
{
    static const struct {
        const char *text;
        bool fine;
        double value;
    } rows[] = {
        {"24.0", true, 24.0},
        {"23.976023976023978", true, 24000.0 / 1001},
        {"-0.5", true, -0.5},
        {".5", true, 0.5},
        {"5.", true, 5},
        {"+1e3", true, 1000},
        {"1E-2", true, 0.01},
        {"0.1", true, 0.1},
        {"9007199254740993", true, 9007199254740992.0}, /* 2^53 + 1: a tie, to even */
        {"1.7976931348623157e308", true, DBL_MAX},
        {"2.2250738585072014e-308", true, DBL_MIN},
        {"5e-324", true, 4.9406564584124654e-324},
        {"1e-400", true, 0},
        {"123456789012345678901234567890", true, 123456789012345678901234567890.0},
        {"0.30000000000000004", true, 0.1 + 0.2},
        {"1e400", false, 0},
        {"0e99999999999999999999", true, 0}, /* found by the fuzzer */
        {"1e-99999999999999999999", true, 0},
        {"", false, 0},
        {".", false, 0},
        {"1,5", false, 0},
        {"1e", false, 0},
        {"1e+", false, 0},
        {"1 ", false, 0},
        {"nan", false, 0},
        {"inf", false, 0},
        {"0x1p3", false, 0},
        {"1.2.3", false, 0},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_row(i, rows[i].text);
        double value = 0;
        assert_int_equal(tw_num_double(tw_str_z(rows[i].text), &value), rows[i].fine);
        tw_assert_near(value, rows[i].value, 0);
    }
}

static void assert_doubles_written(tw_arena *arena)
{
    static const struct {
        double value;
        const char *text;
    } rows[] = {
        {24, "24.0"},
        {24000.0 / 1001, "23.976023976023978"},
        {0.1, "0.1"},
        {-0.0, "-0.0"},
        {0.1 + 0.2, "0.30000000000000004"},
        {1e30, "1e30"},
        {1e-7, "1e-7"},
        {-2.5e-8, "-2.5e-8"},
        {0.000001, "0.000001"},
        {123456.789, "123456.789"},
        {4.0 / 9, "0.4444444444444444"},
        {1e14, "100000000000000.0"},
        {9007199254740993.0, "9007199254740992.0"},
        {5e-324, "5e-324"},
        {DBL_MAX, "1.7976931348623157e308"},
        {(double)INFINITY, "Infinity"},
        {-(double)INFINITY, "-Infinity"},
        {(double)NAN, "NaN"},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_row(i, rows[i].text);
        tw_buf out = {.arena = arena};
        tw_buf_add_double(&out, rows[i].value);
        tw_assert_text(tw_buf_str(&out), rows[i].text);
    }
}

/* What is written reads back as the same bits: random bit patterns, and numbers as edits hold them. */
static void assert_round_trip(tw_arena *arena)
{
    tw_rng rng = {.state = 20};
    for (int i = 0; i < 20000; i++) {
        uint64_t bits = tw_rng_next(&rng);
        double value;
        memcpy(&value, &bits, sizeof value);
        if (i % 2 == 0)
            value = (double)tw_rng_between(&rng, -100000, 100000) / (double)tw_rng_between(&rng, 1, 1001);
        if (!isfinite(value))
            continue;
        tw_buf out = {.arena = arena};
        tw_buf_add_double(&out, value);
        double back = 0;
        tw_row((size_t)i, tw_arena_dupz(arena, tw_buf_str(&out)));
        assert_true(tw_num_double(tw_buf_str(&out), &back));
        tw_assert_near(back, value, 0);
        assert_true(signbit(back) == signbit(value));
    }
}

static void doubles(void **state)
{
    assert_doubles_read();
    assert_doubles_written(tw_test_arena(state));
    assert_round_trip(tw_test_arena(state));
}

/* The same once more where the C library writes a comma. tests/run makes such a locale when the machine has none. */
static void doubles_under_a_comma(void **state)
{
    static const char *const names[] = {"de_DE.UTF-8", "de_DE.utf8", "fr_FR.UTF-8", "fr_FR.utf8", "de_DE", "fr_FR"};
    const char *found = NULL;
    for (size_t i = 0; i < sizeof names / sizeof names[0] && found == NULL; i++)
        found = setlocale(LC_ALL, names[i]);
    if (found == NULL) {
        print_message("no locale with a decimal comma is installed: not tested here\n");
        skip();
    }
    bool comma = strcmp(localeconv()->decimal_point, ",") == 0;
    assert_doubles_read();
    assert_doubles_written(tw_test_arena(state));
    assert_round_trip(tw_test_arena(state));
    setlocale(LC_ALL, "C");
    assert_true(comma);
}

static void fixed_places(void **state)
{
    static const struct {
        double value;
        int places;
        const char *text;
    } rows[] = {
        {1665, 3, "1665.000"},    {0.5, 0, "1"},           {-0.5, 0, "-1"},
        {-0.001, 2, "0.00"},      {2.5, 2, "2.50"},        {0.125, 2, "0.13"},
        {-0.125, 2, "-0.13"},     {0.0004999, 3, "0.000"}, {9.9996, 3, "10.000"},
        {1234.5678, 1, "1234.6"}, {0.05, 2, "0.05"},       {1e6, 9, "1000000.000000000"},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_row(i, rows[i].text);
        tw_buf out = {.arena = tw_test_arena(state)};
        tw_buf_add_fixed(&out, rows[i].value, rows[i].places);
        tw_assert_text(tw_buf_str(&out), rows[i].text);
    }
}

static void rounding(void **state)
{
    (void)state;
    tw_assert_near(tw_num_round(1.0005, 3), 1.001, 0);
    tw_assert_near(tw_num_round(-1.25, 1), -1.3, 0);
    tw_assert_near(tw_num_round(1e300, 3), 1e300, 0);
    tw_assert_near(tw_num_round(0.4, 0), 0, 0);
}

TW_SUITE(num)
{
    const struct CMUnitTest tests[] = {
        TW_TEST(whole_numbers),       TW_TEST(doubles),  TW_TEST(doubles_under_a_comma),
        TW_TEST(hexadecimal_numbers), TW_TEST(doubles),  TW_TEST(doubles_under_a_comma),
        TW_TEST(fixed_places),        TW_TEST(rounding),
    };
    return tw_run("base/num", tests);
}
