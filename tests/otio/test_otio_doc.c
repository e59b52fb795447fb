/* SPDX-License-Identifier: Apache-2.0 */
#include "otio/otio_cases.h"

static void places_with_carets(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    static const struct {
        const char *json, *findings;
    } rows[] = {
        {"{\n  \"OTIO_SCHEMA\": \"Timeline.2\"\n}\n",
         "t.otio:2:18: error TW1302: Timeline.2 is not a version this tool knows (up to 1)\n"
         "    \"OTIO_SCHEMA\": \"Timeline.2\"\n"
         "                   ^^^^^^^^^^^^\n"},
        {"[1,\r\n  \"x\\\"y\"\r\n]",
         "t.otio:1:1: error TW1301: the file holds a list and no timeline: a Timeline.1, or a collection of them, was "
         "expected\n"
         "  [1,\n"
         "  ^\n"},
        {"{\"OTIO_SCHEMA\":\"Timeline.1\",\n\"tracks\":null}",
         "t.otio:2:10: error TW1305: \"tracks\" of a Timeline.1 is null where an object is expected\n"
         "  \"tracks\":null}\n"
         "           ^^^^\n"},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_row(i, rows[i].json);
        tw_diags *diags = tw_diags_new(arena);
        assert_null(otio_case(arena, tw_str_z(rows[i].json), diags));
        tw_assert_text(tw_str_z(tw_findings(arena, diags)), rows[i].findings);
    }
}

static void pointers(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_diags *diags = tw_diags_new(arena);
    otio_case(arena, tw_str_z(J_VIDEO(J_CLIP("c", J_RANGE("0", "1", "0"), ""))), diags);
    tw_assert_text(tw_diags_get(diags, 0)->place.pointer, "/tracks/children/0/children/0/source_range/duration/rate");
}

/* A long line is not copied into every finding. */
static void long_lines_are_cut(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_buf json = {.arena = arena};
    tw_buf_addz(&json, "{\"OTIO_SCHEMA\":\"Clip.9\",\"name\":\"");
    tw_buf_fill(&json, 'x', 100000);
    tw_buf_addz(&json, "\"}");
    tw_diags *diags = tw_diags_new(arena);
    assert_null(otio_case(arena, tw_buf_str(&json), diags));
    assert_int_equal(tw_diags_get(diags, 0)->code, 1302);
    assert_true(tw_diags_get(diags, 0)->place.text.len < 400);
}

static void schema_names_in_metadata(void **state)
{
    const char *json = J_VIDEO(J_CLIP("c", J_RANGE("0", "1", "24"),
                                      "\"metadata\":{\"shop\":{\"OTIO_SCHEMA\":\"Shop.9\"},\"old\":{\"OTIO_SCHEMA\":"
                                      "\"Stack.2\"},\"odd\":{\"OTIO_SCHEMA\":7}},"));
    tw_assert_text(
        tw_str_z(otio_findings(tw_test_arena(state), json)),
        "1:216 TW1329 Stack.2 is not a version this tool knows (up to 1); it stands in metadata and is kept, but "
        "the reference library refuses the file\n"
        "1:248 TW1329 OTIO_SCHEMA is no schema name: \"Name.1\" was expected; it stands in metadata and is "
        "kept, but the reference library refuses the file\n");
}

/* Shared objects: the first with an id counts; each reference stands for it. */
static void shared_objects(void **state)
{
    const tw_timeline *timeline = otio_fine(
        tw_test_arena(state),
        J_VIDEO(
            J_CLIP("a", J_RANGE("5", "7", "24"),
                   "\"OTIO_REF_ID\":\"Clip-1\",") ","
                                                  "{\"OTIO_SCHEMA\":\"SerializableObjectRef.1\",\"id\":\"Clip-1\"}"));
    const tw_item *items = timeline->tracks[0].items;
    tw_assert_text(items[1].name, "a");
    tw_assert_near(at24(items[1].record.start), 7, 1e-9);
    const twi_otio_origin *origin = items[1].origin, *first = items[0].origin;
    assert_ptr_equal(origin->object, first->object);
    assert_ptr_not_equal(origin->place, first->place);
}

#define BARE(name) "{\"OTIO_SCHEMA\":\"Stack.1\",\"name\":\"" name "\",\"children\":[]}"
#define OF_TALL(name)                                                                                                  \
    "{\"OTIO_SCHEMA\":\"Stack.1\",\"name\":\"" name                                                                    \
    "\",\"metadata\":{\"tallwide\":{\"delivery\":\"tall\",\"master\":\"0000000000000000\","                            \
    "\"plan\":\"0000000000000000\",\"size\":[1080.0,1920.0],\"version\":1}},\"children\":[]}"

/* A derived timeline is called after its delivery too, which may be what another one is called. */
static void which_timeline(void **state)
{
    static const struct {
        const char *name, *children, *wanted;
        size_t number;
        const char *chosen; /* NULL: none, and it was said */
    } rows[] = {
        {"the only one", BARE("cut"), "", 0, "0 cut"},
        {"the only one has no number", BARE("cut"), "", 2, "0 cut"},
        {"by place", BARE("cut") "," BARE("cut"), "", 2, "2 cut"},
        {"the derived one", BARE("cut") "," OF_TALL("two tall"), "", 0, "2 two tall"},
        {"the derived one, by its master's name", OF_TALL("cut tall") "," BARE("cut tall"), "cut", 0, "1 cut tall"},
        {"a name goes before a master's", OF_TALL("cut tall") "," BARE("cut"), "cut", 0, "2 cut"},
        {"two derived", OF_TALL("a tall") "," OF_TALL("b tall"), "", 0, NULL},
    };
    tw_arena *arena = tw_test_arena(state);
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_str json = tw_arena_printf(arena, "{\"OTIO_SCHEMA\":\"SerializableCollection.1\",\"children\":[%s]}",
                                      rows[i].children);
        const tw_read_options options = {.timeline = tw_str_z(rows[i].wanted), .number = rows[i].number};
        tw_diags *diags = tw_diags_new(arena);
        tw_timeline *t = NULL;
        tw_row(i, rows[i].name);
        tw_format_otio.read(arena, json, TW_STR("t.otio"), &options, diags, &t);
        assert_int_equal(t != NULL, rows[i].chosen != NULL);
        if (t != NULL)
            tw_assert_text(tw_arena_printf(arena, "%zu %.*s", t->number, TW_ARG(t->name)), rows[i].chosen);
        else
            assert_true(tw_str_holds(tw_diags_get(diags, 0)->hint, TW_STR("--timeline")));
    }
}

TW_SUITE(otio_doc)
{
    const struct CMUnitTest tests[] = {TW_TEST(places_with_carets), TW_TEST(pointers),
                                       TW_TEST(long_lines_are_cut), TW_TEST(schema_names_in_metadata),
                                       TW_TEST(shared_objects),     TW_TEST(which_timeline)};
    return tw_run("otio/otio_doc", tests);
}
