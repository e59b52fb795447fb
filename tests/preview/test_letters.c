/* SPDX-License-Identifier: Apache-2.0 */
#include "support/support.h"

#include <tallwide/preview.h>

/* As text: a row of '#' and '.' for each row of pixels. */
static tw_str drawn(tw_arena *arena, const char *text, int32_t size, int32_t x, int32_t w, int32_t h)
{
    tw_preview_plane to = {TW_NEW_N(arena, uint8_t, (size_t)w * (size_t)h), w, h, w};
    tw_buf out = {.arena = arena};
    tw_preview_letters(to, x, 0, size, tw_str_z(text), 200);
    for (int32_t v = 0; v < h; v++) {
        for (int32_t u = 0; u < w; u++)
            tw_buf_addc(&out, to.at[v * w + u] == 200 ? '#' : '.');
        tw_buf_addc(&out, '\n');
    }
    return tw_buf_str(&out);
}

static void forms(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_assert_text(drawn(arena, "1:a", 1, 0, 17, 7), "..#..........###.\n"
                                                     ".##.....##..#...#\n"
                                                     "..#.....##..#...#\n"
                                                     "..#.........#####\n"
                                                     "..#.....##..#...#\n"
                                                     "..#.....##..#...#\n"
                                                     ".###........#...#\n");
}

/* What has no form is a box, one for each character; what does not fit is cut off. */
static void odd(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    static const char box[] = "#####\n#...#\n#...#\n#...#\n#...#\n#...#\n#####\n";
    tw_assert_text(drawn(arena, "\xC3\xA9", 1, 0, 5, 7), box);
    tw_assert_text(drawn(arena, "~", 1, 0, 5, 7), box);
    tw_assert_text(drawn(arena, "-", 1, -3, 4, 4), "....\n....\n....\n##..\n");
    tw_assert_text(drawn(arena, "-", 2, 0, 10, 8), "..........\n..........\n..........\n..........\n..........\n"
                                                   "..........\n##########\n##########\n");
}

/* No two forms are alike, and every one fits five by seven. */
static void all_differ(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    for (char a = ' '; a < '`'; a++)
        for (char b = ' '; b < a; b++) {
            const char x[] = {a, '\0'}, y[] = {b, '\0'};
            assert_false(tw_str_eq(drawn(arena, x, 1, 0, 6, 9), drawn(arena, y, 1, 0, 6, 9)));
        }
}

TW_SUITE(letters)
{
    const struct CMUnitTest tests[] = {TW_TEST(forms), TW_TEST(odd), TW_TEST(all_differ)};
    return tw_run("preview/letters", tests);
}
