/* SPDX-License-Identifier: Apache-2.0 */
#include "otio/otio_cases.h"

#define R24 J_RANGE("0", "24", "24")

/* The generations of a marker, as the reference library upgrades them. */
static void markers(void **state)
{
    tw_arena *arena = tw_test_arena(state);
#define MARKED(json) J_VIDEO(J_CLIP("c", R24, "\"markers\":[" json "],"))
    static const struct {
        const char *json, *name, *color, *comment;
    } rows[] = {
        {MARKED("{\"OTIO_SCHEMA\":\"Marker.1\",\"name\":\"axle\",\"color\":\"RED\",\"range\":" J_RANGE("5", "1",
                                                                                                       "24") "}"),
         "axle", "RED", ""},
        {MARKED("{\"OTIO_SCHEMA\":\"Marker.2\",\"name\":\"axle\",\"color\":null,\"comment\":\"oil\",\"marked_"
                "range\":" J_RANGE("5", "1", "24") "}"),
         "axle", "", "oil"},
        {MARKED("{\"OTIO_SCHEMA\":\"Marker.3\",\"name\":null,\"color\":{\"OTIO_SCHEMA\":\"Color.1\",\"name\":\"Red\"},"
                "\"marked_range\":" J_RANGE("5", "1", "24") "}"),
         "", "Red", ""},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_row(i, rows[i].json);
        const tw_item *item = &otio_fine(arena, rows[i].json)->tracks[0].items[0];
        assert_int_equal(item->marker_count, 1);
        tw_assert_text(item->markers[0].name, rows[i].name);
        tw_assert_text(item->markers[0].color, rows[i].color);
        tw_assert_text(item->markers[0].comment, rows[i].comment);
        tw_assert_near(at24(item->markers[0].at.start), 5, 1e-9);
    }
}

static void enabled(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    const tw_timeline *timeline =
        otio_fine(arena, J_TIMELINE("", J_TRACK("Video", "\"enabled\":false,",
                                                J_CLIP("a", R24, "\"enabled\":false,") "," J_CLIP("b", R24, ""))));
    assert_false(timeline->tracks[0].enabled);
    assert_false(timeline->tracks[0].items[0].enabled);
    assert_true(timeline->tracks[0].items[1].enabled);
}

static void kinds(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    static const struct {
        const char *json;
        tw_item_kind kind;
    } rows[] = {
        {J_CLIP("c", R24, ""), TW_ITEM_CLIP},
        {"{\"OTIO_SCHEMA\":\"Gap.1\",\"source_range\":" R24 "}", TW_ITEM_GAP},
        {"{\"OTIO_SCHEMA\":\"Filler.1\",\"source_range\":" R24 "}", TW_ITEM_GAP},
        {"{\"OTIO_SCHEMA\":\"Item.1\",\"source_range\":" R24 "}", TW_ITEM_GAP},
        {"{\"OTIO_SCHEMA\":\"Slate.3\",\"source_range\":" R24 "}", TW_ITEM_GAP},
        {J_STACK("", J_CLIP("c", R24, "")), TW_ITEM_NEST},
        {J_TRACK("Video", "", J_CLIP("c", R24, "")), TW_ITEM_NEST},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_row(i, rows[i].json);
        tw_diags *diags = tw_diags_new(arena);
        tw_str json = tw_arena_printf(arena, J_VIDEO("%s"), rows[i].json);
        const tw_timeline *timeline = otio_case(arena, json, diags);
        assert_non_null(timeline);
        assert_int_equal(timeline->tracks[0].items[0].kind, rows[i].kind);
        tw_assert_near(at24(timeline->tracks[0].items[0].record.dur), 24, 1e-9);
        assert_int_equal(timeline->tracks[0].items[0].place.line, 1);
    }
}

/* A chain of stacks that each hold the next one twice would make 2^23 items. */
static void multiplying_references(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_buf json = {.arena = arena};
    tw_buf_addz(&json, "{\"OTIO_SCHEMA\":\"Timeline.1\",\"tracks\":");
    for (int i = 0; i < 24; i++)
        tw_buf_addf(&json, "{\"OTIO_SCHEMA\":\"Stack.1\",\"OTIO_REF_ID\":\"s%d\",\"children\":[", i);
    tw_buf_addz(&json, J_CLIP("c", R24, ""));
    for (int i = 23; i > 0; i--)
        tw_buf_addf(&json, "]},{\"OTIO_SCHEMA\":\"SerializableObjectRef.1\",\"id\":\"s%d\"}", i);
    tw_buf_addz(&json, "]}}");
    const tw_read_options options = {.drop = false};
    tw_timeline *timeline = NULL;
    tw_diags *diags = tw_diags_new(arena);
    assert_int_equal(tw_format_otio.read(arena, tw_buf_str(&json), TW_STR("t.otio"), &options, diags, &timeline),
                     TW_ERR_SEMANTIC);
    assert_int_equal(tw_diags_get(diags, 0)->code, 1327);
}

TW_SUITE(otio_item)
{
    const struct CMUnitTest tests[] = {TW_TEST(markers), TW_TEST(enabled), TW_TEST(kinds),
                                       TW_TEST(multiplying_references)};
    return tw_run("otio/otio_item", tests);
}
