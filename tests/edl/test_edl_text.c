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

#define TIMES "00:00:00:00 00:00:01:00 00:00:02:00 00:00:03:00"

/* As such lines of a list are read; see edl_read.c and edl_note.c. */
static void remarks_stay_remarks(void **state)
{
    static const struct {
        const char *text, *written; /* NULL: as it is */
    } rows[] = {
        {"* FROM CLIP NAME: WHEEL", NULL},
        {"  spokes, 32 of them", NULL},
        {"  32 spokes", NULL},
        {"FINAL\tSPOKE R\xC3\xA9GL\xC3\xA9", NULL},
        {"SPLIT:    AUDIO DELAY=  00:00:01:00", NULL},
        {"x\n099  ZZ       V     C        " TIMES, "* x 099  ZZ       V     C        " TIMES},
        {"\n099  ZZ       V     C        " TIMES, "*  099  ZZ       V     C        " TIMES},
        {"099  ZZ       V     C        " TIMES, "* 099  ZZ       V     C        " TIMES},
        {"ZZ V C " TIMES, "* ZZ V C " TIMES},
        {"32 spokes", "* 32 spokes"},
        {"FCM: DROP FRAME", "* FCM: DROP FRAME"},
        {"title: other", "* title: other"},
        {"M2   A003       048.0       00:00:00:00", "* M2   A003       048.0       00:00:00:00"},
        {"AUD  3", "* AUD  3"},
        {"* TALLWIDE KEY 0 X 0.000 Y 0.000 W 1.000 EASE 0", "* * TALLWIDE KEY 0 X 0.000 Y 0.000 W 1.000 EASE 0"},
        {"one\rtwo\x7F", "one two "},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        twi_out out = {.arena = tw_test_arena(state)};
        tw_row(i, rows[i].text);
        const char *expected = rows[i].written != NULL ? rows[i].written : rows[i].text;
        tw_assert_text(twi_edl_remark(&out, tw_str_z(rows[i].text), NULL), expected);
        assert_int_equal(out.lost[TWI_LOSS_REMARK].count, rows[i].written != NULL);
        tw_str list = tw_arena_printf(out.arena, "TITLE: T\n001  A V C " TIMES "\n%s\n", expected);
        tw_timeline *t = edl_read(out.arena, list, "24").timeline;
        assert_int_equal(t->track_count == 1 ? t->tracks[0].item_count : 0, 1);
        assert_true(edl_item(t, 0, 0)->framing == NULL && edl_item(t, 0, 0)->remark_count <= 1);
    }
}

/* The reader takes no line longer than 16,384 bytes. */
static void longer_than_a_line(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_buf text = {.arena = arena};
    tw_buf_fill(&text, 'x', 20000);
    twi_out out = {.arena = arena};
    assert_true(twi_edl_remark(&out, tw_buf_str(&text), NULL).len < TWI_EDL_LINE_LIMIT);
    assert_true(2 * twi_edl_ascii(&out, tw_buf_str(&text), NULL).len < TWI_EDL_LINE_LIMIT);
    assert_int_equal(out.lost[TWI_LOSS_TEXT].count, 1);
    assert_int_equal(out.lost[TWI_LOSS_REMARK].count, 1);
    tw_assert_text(twi_edl_one_word(&out, TW_STR("light blue"), NULL), "light_blue");
    assert_int_equal(out.lost[TWI_LOSS_TEXT].count, 2);
}

TW_SUITE(edl_text)
{
    const struct CMUnitTest tests[] = {TW_TEST(transliteration), TW_TEST(remarks_stay_remarks),
                                       TW_TEST(longer_than_a_line)};
    return tw_run("edl/edl_text", tests);
}
