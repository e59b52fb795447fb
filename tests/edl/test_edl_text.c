/* SPDX-License-Identifier: Apache-2.0 */
#include "edl/edl_out.h"
#include "edl_support.h"

static void transliteration(void **state)
{
    static const struct {
        const char *text, *ascii;
        size_t lost;
    } rows[] = {
        {"WHEEL", "WHEEL", 0},
        {"R\xC3\x89GLAGE", "REGLAGE", 1}, /* U+00C9 */
        {"Stra\xC3\x9F"
         "e",
         "Strasse", 1}, /* U+00DF */
        {"A\xE2\x80\x93"
         "B\xE2\x80\xA6",
         "A-B...", 1},            /* U+2013, U+2026 */
        {"\xE8\xBC\xAA", "?", 1}, /* U+8F2A has no Latin letter */
        {"two\nlines\tand\x01", "two lines and ", 1},
        {"\xFF", "?", 1},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        twi_out out = {.arena = tw_test_arena(state)};
        tw_row(i, rows[i].ascii);
        tw_assert_text(twi_edl_ascii(&out, tw_str_z(rows[i].text), NULL), rows[i].ascii);
        assert_int_equal(out.lost[TWI_LOSS_TEXT].count, rows[i].lost);
    }
}

TW_SUITE(edl_text)
{
    const struct CMUnitTest tests[] = {TW_TEST(transliteration)};
    return tw_run("edl/edl_text", tests);
}
