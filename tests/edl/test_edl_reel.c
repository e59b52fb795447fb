/* SPDX-License-Identifier: Apache-2.0 */
#include "edl/edl_out.h"
#include "edl_support.h"

/* Clips with these reels, which have been given. */
static twi_out give(tw_arena *arena, const char *const *reels, bool long_reels)
{
    static const tw_timeline timeline = {.rate = {24, 1}};
    const tw_write_options options = {.long_reels = long_reels};
    twi_out out = {.arena = arena, .timeline = &timeline, .options = &options};
    size_t count = 0;
    while (reels[count] != NULL)
        count++;
    out.events = TW_NEW_N(arena, twi_out_event, count);
    out.count = count;
    for (size_t i = 0; i < count; i++) {
        tw_item *item = TW_NEW(arena, tw_item);
        *item = tw_timeline_item(TW_ITEM_CLIP);
        item->reel = tw_str_z(reels[i]);
        out.events[i] = (twi_out_event){.item = item, .order = i, .cut = TWI_CUT};
    }
    twi_edl_reels(&out);
    out.options = NULL;
    return out;
}

/* As written, joined by blanks. */
static tw_str written(tw_arena *arena, const char *const *reels, bool long_reels)
{
    const twi_out out = give(arena, reels, long_reels);
    tw_buf text = {.arena = arena};
    for (size_t i = 0; i < out.count; i++)
        tw_buf_addf(&text, "%s%.*s", i > 0 ? " " : "", TW_ARG(out.events[i].reel));
    return tw_buf_str(&text);
}

static void shortened_and_told_apart(void **state)
{
    static const struct {
        const char *reels[6];
        bool long_reels;
        const char *expected;
    } rows[] = {
        {{"A003", "B001", "A003"}, false, "A003 B001 A003"},
        {{"WHEEL_SHOP_A", "WHEEL_SHOP_B", "WHEEL_SHOP_A"}, false, "WHEEL_SH WHEEL001 WHEEL_SH"},
        {{"WHEEL_SHOP_A", "WHEEL_SH", "WHEEL001"}, false, "WHEEL002 WHEEL_SH WHEEL001"},
        {{"WHEEL_SHOP_A", "WHEEL_SHOP_B"}, true, "WHEEL_SHOP_A WHEEL_SHOP_B"},
        {{"TAKE 2", "R\xC3\xA9"}, false, "TAKE_2 Re"},
        {{"TAKE 2", "TAKE_2"}, false, "TAKE_001 TAKE_2"},
        {{"\xE6\x89\x8B", "\xE8\xBC\xAA"}, false, "_ _001"}, /* two names of one letter, U+624B and U+8F2A */
        {{"\xE6\x89\x8B", "\xE8\xBC\xAA"}, true, "_ _001"},
        {{"\xC3\x84"
          "1",
          "\xC3\x86"
          "1",
          "AE1"},
         false,
         "Ae1 AE1001 AE1"}, /* U+00C4, U+00C6 */
        {{""}, false, "AX"},
        {{"BLACK"}, false, "BL"},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_row(i, rows[i].expected);
        tw_assert_text(written(tw_test_arena(state), rows[i].reels, rows[i].long_reels), rows[i].expected);
    }
}

/* One thing told of one reel. */
static void told_once(void **state)
{
    static const struct {
        const char *reel;
        size_t cut;
    } rows[] = {{"A003", 0}, {"WHEEL_SHOP_A", 1}, {"R\xC3\xA9", 1}};
    for (size_t i = 0; i < TW_COUNT(rows); i++) {
        const char *const reels[] = {rows[i].reel, NULL};
        const twi_out out = give(tw_test_arena(state), reels, false);
        tw_row(i, rows[i].reel);
        assert_int_equal(out.lost[TWI_LOSS_REEL_CUT].count, rows[i].cut);
        assert_int_equal(out.lost[TWI_LOSS_REEL_SAME].count, 0);
        assert_int_equal(out.lost[TWI_LOSS_TEXT].count, 0);
    }
}

static int by_text(const void *a, const void *b)
{
    return tw_str_cmp(*(const tw_str *)a, *(const tw_str *)b);
}

/* Past 999 a number has four digits and the head one character less; two heads of 1,100 reels each then get the same. */
static void no_two_are_the_same(void **state)
{
    enum { REELS = 2200 };
    tw_arena *arena = tw_test_arena(state);
    for (int long_reels = 0; long_reels <= 1; long_reels++) {
        const char **reels = TW_NEW_N(arena, const char *, REELS + 1);
        for (int i = 0; i < REELS; i++)
            reels[i] = tw_arena_printf(arena, "WHEEL%c%0*d", i % 2 == 0 ? 'A' : 'B', long_reels ? 140 : 5, i).at;
        tw_str names = written(arena, reels, long_reels != 0), *each = TW_NEW_N(arena, tw_str, REELS);
        size_t count = 0, start = 0;
        for (size_t i = 0; i <= names.len; i++) {
            if (i < names.len && names.at[i] != ' ')
                continue;
            each[count++] = (tw_str){names.at + start, i - start};
            assert_true(i - start <= (long_reels ? 128 : 8));
            start = i + 1;
        }
        assert_int_equal(count, REELS);
        TW_SORT(each, count, by_text);
        for (size_t i = 1; i < count; i++)
            assert_false(tw_str_eq(each[i], each[i - 1]));
    }
}

TW_SUITE(edl_reel)
{
    const struct CMUnitTest tests[] = {TW_TEST(shortened_and_told_apart), TW_TEST(told_once),
                                       TW_TEST(no_two_are_the_same)};
    return tw_run("edl/edl_reel", tests);
}
