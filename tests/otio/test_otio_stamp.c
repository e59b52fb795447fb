/* SPDX-License-Identifier: Apache-2.0 */
#include "otio/otio_cases.h"

static const tw_stamp tall = {{"tall", 4}, {1080, 1920}, UINT64_C(0xDEADBEEF), UINT64_C(0x0123456789ABCDEF)};

#define SPACE                                                                                                          \
    "\"delivery\":\"tall\",\"master\":\"00000000deadbeef\",\"plan\":\"0123456789abcdef\",\"size\":[1080.0,1920.0]"
#define TRACKS "\"tracks\":{\"OTIO_SCHEMA\":\"Stack.1\",\"children\":[]}"

/* A Timeline's members before and after; the tracks are the same in all. */
static void what_is_set(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    static const struct {
        const char *before, *after;
    } rows[] = {
        {"\"metadata\":{},\"name\":\"wheel\",",
         "\"metadata\":{\"tallwide\":{" SPACE ",\"version\":1}},\"name\":\"wheel tall\","},
        {"\"name\":\"wheel\",", "\"metadata\":{\"tallwide\":{" SPACE ",\"version\":1}},\"name\":\"wheel tall\","},
        {"", "\"metadata\":{\"tallwide\":{" SPACE ",\"version\":1}},\"name\":\"tall\","},
        {"\"name\":null,", "\"metadata\":{\"tallwide\":{" SPACE ",\"version\":1}},\"name\":\"tall\","},
        /* in byte order among others, whose own order stays */
        {"\"metadata\":{\"zoo\":1,\"shop\":2.50},\"name\":\"wheel\",",
         "\"metadata\":{\"tallwide\":{" SPACE ",\"version\":1},\"zoo\":1,\"shop\":2.50},\"name\":\"wheel tall\","},
        /* what a conversion kept there stays; a stamp is replaced, and its name does not pile up */
        {"\"metadata\":{\"tallwide\":{\"drop\":true}},\"name\":\"wheel\",",
         "\"metadata\":{\"tallwide\":{\"delivery\":\"tall\",\"drop\":true,\"master\":\"00000000deadbeef\",\"plan\":"
         "\"0123456789abcdef\",\"size\":[1080.0,1920.0],\"version\":1}},\"name\":\"wheel tall\","},
        {"\"metadata\":{\"tallwide\":{\"delivery\":\"wide\",\"master\":\"0000000000000000\",\"plan\":"
         "\"0000000000000000\","
         "\"size\":[3840.0,2160.0],\"version\":1}},\"name\":\"wheel wide\",",
         "\"metadata\":{\"tallwide\":{" SPACE ",\"version\":1}},\"name\":\"wheel tall\","},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_row(i, rows[i].before);
        tw_diags *diags = tw_diags_new(arena);
        tw_str json = tw_arena_printf(arena, "{\"OTIO_SCHEMA\":\"Timeline.1\",%s" TRACKS "}", rows[i].before);
        tw_timeline *timeline = otio_case(arena, json, diags);
        assert_non_null(timeline);
        tw_stamp stamp = tall;
        timeline->stamp = &stamp;
        const tw_timeline *again = otio_case(arena, otio_written(arena, timeline, diags), diags);
        assert_non_null(again);
        const twi_otio_source *source = again->origin;
        const tw_json_style style = {.indent = 0};
        tw_buf got = {.arena = arena};
        tw_json_write(source->doc.root, &style, &got);
        /* name and metadata may stand on either side of the tracks: look at the members one by one */
        tw_str wanted = tw_arena_printf(arena, "{\"OTIO_SCHEMA\":\"Timeline.1\",%s" TRACKS "}", rows[i].after);
        tw_json_doc doc;
        assert_int_equal(tw_json_read(arena, wanted, TW_STR("w"), NULL, diags, &doc), TW_OK);
        if (!tw_json_same(doc.root, source->doc.root))
            tw_assert_text(tw_buf_str(&got), wanted.at);
        assert_int_equal(again->stamp->master_hash, tall.master_hash);
        assert_int_equal(again->stamp->plan_hash, tall.plan_hash);
        assert_int_equal(again->stamp->size.h, 1920);
        tw_assert_text(again->stamp->delivery, "tall");
    }
}

static void bare_names(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    static const struct {
        const char *name, *delivery, *bare;
    } rows[] = {
        {"wheel tall", "tall", "wheel"},    {"tall", "tall", ""},       {"wheel tall", "wide", "wheel tall"},
        {"wheeltall", "tall", "wheeltall"}, {"wheel", "tall", "wheel"}, {"wheel", "", "wheel"},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_row(i, rows[i].name);
        tw_str json = tw_arena_printf(arena, "{\"name\":\"%s\",\"metadata\":{\"tallwide\":{\"delivery\":\"%s\"}}}",
                                      rows[i].name, rows[i].delivery);
        tw_json_doc doc;
        assert_int_equal(tw_json_read(arena, json, TW_STR("n"), NULL, tw_diags_new(arena), &doc), TW_OK);
        tw_assert_text(twi_otio_bare_name(doc.root), rows[i].bare);
    }
}

TW_SUITE(otio_stamp)
{
    const struct CMUnitTest tests[] = {TW_TEST(what_is_set), TW_TEST(bare_names)};
    return tw_run("otio/otio_stamp", tests);
}
