/* SPDX-License-Identifier: Apache-2.0 */
#include "plan_support.h"

static const tw_size picture = {1000, 500};

static tw_status read_track(tw_arena *arena, const char *text, tw_region *region, const char *findings)
{
    tw_diags *diags = tw_diags_new(arena);
    tw_status status = tw_plan_track(arena, tw_str_z(text), TW_STR("t"), picture, 100, region, diags);
    tw_assert_text(tw_str_z(tw_findings(arena, diags)), findings);
    return status;
}

static void boxes(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_region region = {.has_track_id = true, .track_id = 2};
    /* ordered by id, as some tables are; line ends of all kinds; more columns than are read */
    assert_int_equal(read_track(arena,
                                "1,1,0,0,10,10,1,-1,-1,-1\r\n"
                                "3,2,100,50,200,100,0.9,-1,-1,-1\n"
                                "2.0, 2 ,\t0,0,1000,500\r"
                                "\n"
                                "5,2,900.5,0,99.5,500,1",
                                &region, ""),
                     TW_OK);
    assert_int_equal(region.key_count, 3);
    assert_int_equal(region.keys[0].frame, 101); /* frame 1 is the first frame, 100 */
    assert_int_equal(region.keys[1].frame, 102);
    assert_int_equal(region.keys[2].frame, 104);
    tw_assert_near(region.keys[1].left, 0.1, 0);
    tw_assert_near(region.keys[1].top, 0.1, 0);
    tw_assert_near(region.keys[1].width, 0.2, 0);
    tw_assert_near(region.keys[1].height, 0.2, 0);
    tw_assert_near(region.keys[2].left, 0.9005, 0);
}

static void findings(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    static const struct {
        const char *text, *told;
        tw_status status;
    } rows[] = {
        {"frame,id,left,top,width,height\n1,1,0,0,10,10\n",
         "t:1:1: warning TW1540: the first line was taken for a header and skipped\n"
         "  frame,id,left,top,width,height\n"
         "  ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^\n",
         TW_OK},
        {"1,1,0,0,10,10\nx,1,0,0,10,10\n",
         "t:2:1: error TW1541: the frame must be a whole number from 1\n"
         "  x,1,0,0,10,10\n"
         "  ^\n",
         TW_ERR_SEMANTIC},
        {"0,1,0,0,10,10\n",
         "t:1:1: error TW1541: the frame must be a whole number from 1\n"
         "  0,1,0,0,10,10\n"
         "  ^\n",
         TW_ERR_SEMANTIC},
        {"1,1,0,0,10\n",
         "t:1:1: error TW1541: a line needs at least six values: frame,id,left,top,width,height\n"
         "  1,1,0,0,10\n"
         "  ^^^^^^^^^^\n",
         TW_ERR_SEMANTIC},
        {"1,a,0,0,10,10\n",
         "t:1:3: error TW1541: the id must be a whole number\n"
         "  1,a,0,0,10,10\n"
         "    ^\n",
         TW_ERR_SEMANTIC},
        {"1,1,0, wide ,10,10\n",
         "t:1:8: error TW1541: left, top, width and height must be numbers\n"
         "  1,1,0, wide ,10,10\n"
         "         ^^^^\n",
         TW_ERR_SEMANTIC},
        {"1,1,0,0,0,10\n",
         "t:1:9: error TW1543: a box needs a width and a height above 0\n"
         "  1,1,0,0,0,10\n"
         "          ^\n",
         TW_ERR_SEMANTIC},
        {"1,1,1000,0,10,10\n",
         "t:1:5: error TW1543: this box lies outside the picture: does the table belong to this source size?\n"
         "  1,1,1000,0,10,10\n"
         "      ^^^^\n",
         TW_ERR_SEMANTIC},
        {"1,1,-5,0,10,10\n2,1,-5,0,10,10\n",
         "t:1:5: warning TW1544: this box sticks out of the picture; here and below, the part inside was used\n"
         "  1,1,-5,0,10,10\n"
         "      ^^\n",
         TW_OK},
        {"1,1,0,0,10,10\n1,2,0,0,20,20\n",
         "t:2:1: error TW1545: a second box for the same frame: say with \"track_id\" whose boxes are meant\n",
         TW_ERR_SEMANTIC},
        {"", "t: warning TW1542: the table holds no box for this region: it is as if the region were not there\n",
         TW_OK},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_row(i, rows[i].text);
        tw_region region = {.weight = 1};
        assert_int_equal(read_track(arena, rows[i].text, &region, rows[i].told), rows[i].status);
        if (rows[i].status != TW_OK)
            assert_null(region.keys); /* on failure the region is as it was */
    }
}

static void too_large(void **state)
{
    tw_diags *diags = tw_diags_new(tw_test_arena(state));
    tw_region region = {.weight = 1};
    const tw_str huge = {"1,1,0,0,10,10", TW_FILE_LIMIT + 1};
    assert_int_equal(tw_plan_track(tw_test_arena(state), huge, TW_STR("t"), (tw_size){100, 100}, 0, &region, diags),
                     TW_ERR_LIMIT);
    assert_int_equal(tw_diags_get(diags, 0)->code, 1546);
}

/* Keys by hand beside a table: the table's 100,100,100,100 in frames 1 to 200, source frames 100 to 299, of a picture 1000 x 500, that is shares
 * 0.1, 0.2, 0.1, 0.2, with keys that lie 0.1 further right at source frame 109 and 0.3 at 119. */
static void hand_keys_win(void **state)
{
    static const struct {
        int64_t frame;
        double left;
    } rows[] = {
        {109, 0.2},
        {110, 0.22}, /* between the two in proportion */
        {114, 0.3},
        {119, 0.4},
        {107, 0.1 + 0.1 * 22 / 24}, /* past the ends less and less, over 24 frames */
        {131, 0.1 + 0.3 * 12 / 24},
        {143, 0.1},
        {200, 0.1},
    };
    tw_arena *arena = tw_test_arena(state);
    tw_buf text = {.arena = arena};
    for (int i = 1; i <= 200; i++)
        tw_buf_addf(&text, "%d,1,100,100,100,100,1\n", i);
    tw_region_key hand[] = {{109, 0.2, 0.2, 0.1, 0.2}, {119, 0.4, 0.2, 0.1, 0.2}};
    tw_region region = {.hand = hand, .hand_count = 2, .keys = hand, .key_count = 2};
    tw_buf_addc(&text, '\0');
    assert_int_equal(read_track(arena, text.at, &region, ""), TW_OK);
    assert_int_equal(region.key_count, 200);
    for (size_t r = 0; r < sizeof rows / sizeof rows[0]; r++) {
        size_t i = (size_t)(rows[r].frame - 100);
        tw_row(r, "left");
        assert_int_equal(region.keys[i].frame, rows[r].frame);
        tw_assert_near(region.keys[i].left, rows[r].left, 1e-9);
        tw_assert_near(region.keys[i].top, 0.2, 1e-9);
    }
}

/* Where the table holds nothing a key still is a box. */
static void hand_keys_stand_in_gaps(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_region_key hand[] = {{150, 0.5, 0.2, 0.1, 0.2}};
    tw_region region = {.hand = hand, .hand_count = 1, .keys = hand, .key_count = 1};
    assert_int_equal(read_track(arena, "1,1,100,100,100,100,1\n101,1,100,100,100,100,1\n", &region, ""), TW_OK);
    assert_int_equal(region.key_count, 3);
    assert_int_equal(region.keys[1].frame, 150);
    tw_assert_near(region.keys[1].left, 0.5, 0);
    region = (tw_region){.hand = hand, .hand_count = 1, .has_track_id = true, .track_id = 9};
    assert_int_equal(read_track(arena, "1,1,100,100,100,100,1\n", &region, ""), TW_OK);
    assert_int_equal(region.key_count, 1);
}

TW_SUITE(plan_track)
{
    const struct CMUnitTest tests[] = {TW_TEST(boxes), TW_TEST(findings), TW_TEST(too_large), TW_TEST(hand_keys_win),
                                       TW_TEST(hand_keys_stand_in_gaps)};
    return tw_run("plan/plan_track", tests);
}
