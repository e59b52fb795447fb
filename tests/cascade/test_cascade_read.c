/* SPDX-License-Identifier: Apache-2.0 */
#include "support/support.h"

#include <string.h>

#include <tallwide/cascade.h>

static const char *const head = "<?xml version=\"1.0\"?>\n"
                                "<opencv_storage>\n"
                                "<cascade type_id=\"opencv-cascade-classifier\"><stageType>BOOST</stageType>\n"
                                "<featureType>HAAR</featureType><height>8</height><width>12</width>\n";
static const char *const stages = "<stages><_><stageThreshold>5.0e-01</stageThreshold><weakClassifiers>\n"
                                  "<_><internalNodes>0 -1 0 1.25</internalNodes><leafValues>0. 1.</leafValues></_>\n"
                                  "<_><internalNodes>1 -1 1 0.25\n -1 0 0 -2.5e-01</internalNodes>\n"
                                  "<leafValues>-1. 1. 3.</leafValues></_></weakClassifiers></_></stages>\n";
static const char *const features = "<features>\n"
                                    "<_><rects><_>0 0 12 8 -1.</_><_>6 0 6 8 2.</_></rects><tilted>0</tilted></_>\n"
                                    "<_><rects><_>5 1 4 2 -1.</_></rects><tilted>1</tilted></_></features>\n";
static const char *const tail = "</cascade></opencv_storage>\n";

static tw_status read_parts(tw_arena *arena, tw_diags *diags, const char *const part[4], tw_cascade *out)
{
    tw_buf text = {.arena = arena};
    for (int i = 0; i < 4; i++)
        tw_buf_addz(&text, part[i]);
    return tw_cascade_read(arena, tw_buf_str(&text), TW_STR("c.xml"), diags, out);
}

static void every_number_arrives(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_diags *diags = tw_diags_new(arena);
    tw_cascade c;
    assert_int_equal(read_parts(arena, diags, (const char *const[]){head, stages, features, tail}, &c), TW_OK);
    assert_string_equal(tw_findings(arena, diags), "");
    assert_int_equal(c.w, 12);
    assert_int_equal(c.h, 8);
    assert_int_equal(c.stage_count, 1);
    assert_int_equal(c.tree_count, 2);
    assert_int_equal(c.node_count, 3);
    assert_int_equal(c.leaf_count, 5);
    assert_int_equal(c.feature_count, 2);
    assert_int_equal(c.stages[0].tree, 0);
    assert_int_equal(c.stages[0].count, 2);
    tw_assert_near(c.stages[0].threshold, 0.5, 0);
    assert_int_equal(c.trees[1].node, 1);
    assert_int_equal(c.trees[1].leaf, 2);
    assert_int_equal(c.nodes[2].left, -1);
    assert_int_equal(c.nodes[2].right, 0);
    tw_assert_near(c.nodes[2].threshold, -0.25, 0);
    tw_assert_near(c.leaves[4], 3, 0);
    assert_false(c.features[0].tilted);
    assert_true(c.features[1].tilted);
    assert_int_equal(c.features[0].count, 2);
    assert_int_equal(c.features[0].rects[1].x, 6);
    assert_int_equal(c.features[0].rects[1].h, 8);
    tw_assert_near(c.features[0].rects[0].weight, -1, 0);
}

/* One place changed in an otherwise sound file. */
static void refused_with_a_reason(void **state)
{
    static const struct {
        const char *from, *to, *said;
        tw_status status;
    } rows[] = {
        {"opencv-cascade-classifier", "opencv-haar-classifier",
         "error TW2192: this file holds no cascade of type opencv-cascade-classifier", TW_ERR_SYNTAX},
        {"HAAR", "LBP", "c.xml:3:1: error TW2192: a cascade of BOOST stages and LBP features is not read",
         TW_ERR_SYNTAX},
        {"<width>12</width>", "", "c.xml:3:1: error TW2191: <cascade> has no <width>", TW_ERR_SEMANTIC},
        {"<width>12", "<width>129", "error TW2191: a number is out of range", TW_ERR_SEMANTIC},
        {"<width>12", "<width>twelve", "error TW2191: a number cannot be read", TW_ERR_SEMANTIC},
        {"<width>12", "<width>", "error TW2191: numbers are missing", TW_ERR_SEMANTIC},
        {"<_>6 0 6 8 2.</_>", "<_>7 0 6 8 2.</_>",
         "c.xml:11:30: error TW2191: this rectangle reaches out of the window", TW_ERR_SEMANTIC},
        {"<_>5 1 4 2 -1.</_>", "<_>1 1 4 2 -1.</_>", "c.xml:12:11: error TW2191: this rectangle reaches out",
         TW_ERR_SEMANTIC},
        {"<_>6 0 6 8 2.</_>", "<_>6 0 6 0 2.</_>", "error TW2191: a number is out of range", TW_ERR_SEMANTIC},
        {"<_>6 0 6 8 2.</_>", "<_>6 0 6 8</_>", "error TW2191: a feature has up to three rectangles", TW_ERR_SEMANTIC},
        {"<rects><_>5 1 4 2 -1.</_></rects>", "<rects></rects>", "error TW2191: a feature without rectangles",
         TW_ERR_SEMANTIC},
        {"1 -1 1 0.25", "1 -1 2 0.25", "error TW2191: a number is out of range", TW_ERR_SEMANTIC}, /* no such feature */
        {"1 -1 1 0.25", "1 -3 1 0.25", "error TW2191: a number is out of range", TW_ERR_SEMANTIC}, /* no such leaf */
        {"1 -1 1 0.25", "2 -1 1 0.25", "error TW2191: a number is out of range", TW_ERR_SEMANTIC}, /* no such node */
        {"-1 0 0 -2.5e-01", "1 0 0 -2.5e-01", "error TW2191: a node leads back", TW_ERR_SEMANTIC}, /* for ever */
        {"-1 0 0 -2.5e-01", "-1 0 0", "error TW2191: a node has four numbers", TW_ERR_SEMANTIC},
        {"5.0e-01</stageThreshold>", "</stageThreshold>", "error TW2191: numbers are missing", TW_ERR_SEMANTIC},
        {"</features>", "", "error TW2001", TW_ERR_SYNTAX},
    };
    tw_arena *arena = tw_test_arena(state);
    tw_buf whole = {.arena = arena};
    tw_buf_addf(&whole, "%s%s%s%s", head, stages, features, tail);
    tw_buf_addc(&whole, '\0');
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_row(i, rows[i].said);
        const char *at = strstr(whole.at, rows[i].from);
        assert_non_null(at);
        tw_buf text = {.arena = arena};
        tw_buf_addf(&text, "%.*s%s%s", (int)(at - whole.at), whole.at, rows[i].to, at + strlen(rows[i].from));
        tw_diags *diags = tw_diags_new(arena);
        tw_cascade out;
        assert_int_equal(tw_cascade_read(arena, tw_buf_str(&text), TW_STR("c.xml"), diags, &out), rows[i].status);
        const char *said = tw_findings(arena, diags);
        if (strstr(said, rows[i].said) == NULL)
            fail_msg("said: %s", said);
        assert_int_equal(tw_diags_count(diags, TW_ERROR), 1);
    }
}

/* Those of Debian's opencv-data, where that is installed: as many stages, trees and features as `grep -c` counts of
 * <stageThreshold>, <leafValues> and <rects> (release 4.6.0). */
static void packaged_ones(void **state)
{
    static const struct {
        const char *name;
        int w, h;
        size_t stages, trees, features;
    } rows[] = {{"frontalface_default", 24, 24, 25, 2913, 2913}, {"upperbody", 22, 18, 30, 2423, 2423}};
    tw_arena *arena = tw_test_arena(state);
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_row(i, rows[i].name);
        tw_str path = tw_arena_printf(arena, "/usr/share/opencv4/haarcascades/haarcascade_%s.xml", rows[i].name);
        tw_str bytes, why;
        if (tw_file_read(arena, path.at, TW_FILE_LIMIT, &bytes, &why) != TW_OK) {
            print_message("not tested on packaged cascades: Debian's opencv-data is not installed\n");
            skip();
        }
        tw_diags *diags = tw_diags_new(arena);
        tw_cascade c;
        assert_int_equal(tw_cascade_read(arena, bytes, path, diags, &c), TW_OK);
        assert_int_equal(c.w, rows[i].w);
        assert_int_equal(c.h, rows[i].h);
        assert_int_equal(c.stage_count, rows[i].stages);
        assert_int_equal(c.tree_count, rows[i].trees);
        assert_int_equal(c.feature_count, rows[i].features);
    }
}

TW_SUITE(cascade_read)
{
    const struct CMUnitTest tests[] = {TW_TEST(every_number_arrives), TW_TEST(refused_with_a_reason),
                                       TW_TEST(packaged_ones)};
    return tw_run("cascade/cascade_read", tests);
}
