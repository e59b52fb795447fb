/* SPDX-License-Identifier: Apache-2.0 */
#include "plan_support.h"

static tw_str with_media(tw_arena *arena, const char *rest)
{
    return plan_with(arena, tw_arena_printf(arena, "\"sources\": [{\"reel\": \"A*\", %s}]", rest).at);
}

/* Times are at the source's rate: 01:00:00;02 at 29.97 drop is 107892 + 2. */
static void files(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    const tw_plan *plan =
        read_plan(arena,
                  with_media(arena, "\"rate\": \"29.97df\", \"media\": [\n"
                                    "{\"file\": \"m/A001.mov\", \"start\": \"01:00:00;02\", \"frames\": 240,"
                                    " \"reel\": \"A001\"},\n"
                                    "{\"file\": \"p/A001.mov\", \"size\": [960, 720], \"proxy\": true}]"),
                  "");
    const tw_source *s = &plan->sources[0];
    assert_int_equal(s->media_count, 2);
    tw_assert_text(s->media[0].file, "m/A001.mov");
    tw_assert_text(s->media[0].reel, "A001");
    assert_true(s->media[0].has_start);
    assert_int_equal(s->media[0].start, 107894);
    assert_int_equal(s->media[0].frames, 240);
    assert_false(s->media[0].proxy);
    assert_false(s->media[1].has_start);
    assert_int_equal(s->media[1].size.w, 960);
    assert_true(s->media[1].proxy);
}

static void faults(void **state)
{
    static const struct {
        const char *media;
        int code;
        uint32_t column;
    } rows[] = {
        {"\"media\":\n[{}]", 1504, 2},
        {"\"media\":\n[7]", 1505, 2},
        {"\"media\":\n{}", 1505, 1},
        {"\"media\":\n[{\"file\": \"x\", \"start\": \"01:00:00:24\"}]", 1513, 25},
        {"\"media\":\n[{\"file\": \"x\", \"start\": 5}]", 1505, 25},
        {"\"media\":\n[{\"file\": \"x\", \"frames\": 0}]", 1505, 26},
        {"\"media\":\n[{\"file\": \"x\", \"size\": [0, 5]}]", 1505, 24},
        {"\"media\":\n[{\"file\": \"x\", \"fil\": 1}]", 1503, 16},
        {"\"media\": [\n]", 0, 0},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_row(i, rows[i].media);
        read_row_plan(tw_test_arena(state), with_media(tw_test_arena(state), rows[i].media), rows[i].code, 4,
                      rows[i].column);
    }
}

/* A starter plan with files is a plan, and already canonical. */
static void written(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    const tw_delivery delivery = {.name = TW_STR("tall"), .size = {1080, 1920}};
    tw_source_media media[] = {
        {.file = TW_STR("m/A001.mov"), .has_start = true, .start = 86400, .frames = 240},
        {.file = TW_STR("p/A001.mov"), .size = {960, 720}, .proxy = true},
    };
    const tw_source sources[] = {{.reel = TW_STR("A001"), .size = {5760, 4320}, .media = media, .media_count = 2},
                                 {.reel = TW_STR("B001")}};
    const tw_starter given = {.edit_file = TW_STR("wheel.edl"),
                              .rate = {24, 1},
                              .deliveries = &delivery,
                              .delivery_count = 1,
                              .sources = sources,
                              .source_count = 2};
    tw_buf out = {.arena = arena}, again = {.arena = arena};
    tw_plan_start(arena, &given, &out);
    tw_assert_text(tw_buf_str(&out), "{\n"
                                     "  \"tallwide_plan\": 1,\n"
                                     "  \"edit\": {\"file\": \"wheel.edl\", \"rate\": \"24/1\"},\n"
                                     "  \"deliveries\": [\n"
                                     "    {\"name\": \"tall\", \"size\": [1080, 1920]}\n"
                                     "  ],\n"
                                     "  \"sources\": [\n"
                                     "    {\"reel\": \"A001\", \"size\": [5760, 4320],\n"
                                     "     \"media\": [\n"
                                     "      {\"file\": \"m/A001.mov\", \"start\": \"01:00:00:00\", \"frames\": 240},\n"
                                     "      {\"file\": \"p/A001.mov\", \"size\": [960, 720], \"proxy\": true}]},\n"
                                     "    {\"reel\": \"B001\", \"size\": null}\n"
                                     "  ],\n"
                                     "  \"notes\": []\n"
                                     "}\n");
    tw_plan_write(read_plan(arena, tw_buf_str(&out), "")->doc.root, &again);
    assert_true(tw_str_eq(tw_buf_str(&out), tw_buf_str(&again)));
}

TW_SUITE(plan_media)
{
    const struct CMUnitTest tests[] = {TW_TEST(files), TW_TEST(faults), TW_TEST(written)};
    return tw_run("plan/plan_media", tests);
}
