/* SPDX-License-Identifier: Apache-2.0 */
#include "otio/otio_cases.h"

/* Names and versions: the reference library's CORE_VERSION_MAP and typeRegistry sources, releases 0.12 to main. */
static void names_and_versions(void **state)
{
    (void)state;
    static const struct {
        const char *text;
        bool formed;
        twi_otio_class is; /* TWI_OTIO_UNKNOWN: no row */
        int newest;
    } rows[] = {
        {"Timeline.1", true, TWI_OTIO_IS_TIMELINE, 1},
        {"Clip.1", true, TWI_OTIO_IS_CLIP, 2},
        {"Clip.2", true, TWI_OTIO_IS_CLIP, 2},
        {"Clip.3", true, TWI_OTIO_UNKNOWN, 2},
        {"Clip.0", true, TWI_OTIO_UNKNOWN, 2},
        {"Marker.1", true, TWI_OTIO_IS_MARKER, 3},
        {"Marker.3", true, TWI_OTIO_IS_MARKER, 3},
        {"Marker.4", true, TWI_OTIO_UNKNOWN, 3},
        {"Sequence.1", true, TWI_OTIO_IS_TRACK, 1},
        {"Filler.1", true, TWI_OTIO_IS_GAP, 1},
        {"SerializeableCollection.1", true, TWI_OTIO_IS_COLLECTION, 1},
        {"Composition.1", true, TWI_OTIO_IS_ITEM, 1},
        {"a.b.Effect.1", true, TWI_OTIO_UNKNOWN, 0},
        {"Glow.12", true, TWI_OTIO_UNKNOWN, 0},
        {"Clip", false, TWI_OTIO_UNKNOWN, 0},
        {"Clip.", false, TWI_OTIO_UNKNOWN, 0},
        {".1", false, TWI_OTIO_UNKNOWN, 0},
        {"Clip.-1", false, TWI_OTIO_UNKNOWN, 0},
        {"Clip.two", false, TWI_OTIO_UNKNOWN, 0},
        {"Clip.99999999999999999999", false, TWI_OTIO_UNKNOWN, 0},
        {"", false, TWI_OTIO_UNKNOWN, 0},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_row(i, rows[i].text);
        const twi_otio_schema *row;
        int32_t newest;
        assert_int_equal(twi_otio_schema_find(tw_str_z(rows[i].text), &row, &newest), rows[i].formed);
        assert_int_equal(row != NULL ? row->is : TWI_OTIO_UNKNOWN, rows[i].is);
        assert_int_equal(newest, rows[i].newest);
    }
}

/* Every field the reference library refuses to read without. */
static void required_fields(void **state)
{
    tw_arena *arena = tw_test_arena(state);
#define GIVEN(schema, rest) J_VIDEO("{\"OTIO_SCHEMA\":\"" schema "\"" rest "}")
#define IN_EFFECTS(json) J_VIDEO(J_CLIP("c", J_RANGE("0", "1", "24"), "\"effects\":[" json "],"))
#define IN_MEDIA(json) J_VIDEO(J_CLIP("c", J_RANGE("0", "1", "24"), "\"media_reference\":" json ","))
#define IN_MARKERS(json) J_VIDEO(J_CLIP("c", J_RANGE("0", "1", "24"), "\"markers\":[" json "],"))
    static const struct {
        const char *json, *missing;
    } rows[] = {
        {"{\"OTIO_SCHEMA\":\"Timeline.1\"}", "a Timeline.1 has no \"tracks\""},
        {GIVEN("Stack.1", ""), "a Stack.1 has no \"children\""},
        {GIVEN("Track.1", ",\"children\":[]"), "a Track.1 has no \"kind\""},
        {GIVEN("Clip.2", ",\"active_media_reference_key\":\"a\""), "a Clip.2 has no \"media_references\""},
        {GIVEN("Clip.2", ",\"media_references\":{}"), "a Clip.2 has no \"active_media_reference_key\""},
        {GIVEN("Transition.1", ",\"out_offset\":" J_TIME("1", "24") ",\"transition_type\":\"\""),
         "a Transition.1 has no \"in_offset\""},
        {IN_EFFECTS("{\"OTIO_SCHEMA\":\"Effect.1\"}"), "an Effect.1 has no \"effect_name\""},
        {IN_EFFECTS("{\"OTIO_SCHEMA\":\"LinearTimeWarp.1\",\"effect_name\":\"\"}"),
         "a LinearTimeWarp.1 has no \"time_scalar\""},
        {IN_MEDIA("{\"OTIO_SCHEMA\":\"ExternalReference.1\"}"), "an ExternalReference.1 has no \"target_url\""},
        {IN_MEDIA("{\"OTIO_SCHEMA\":\"GeneratorReference.1\",\"parameters\":{}}"),
         "a GeneratorReference.1 has no \"generator_kind\""},
        {IN_MARKERS("{\"OTIO_SCHEMA\":\"Marker.1\"}"), "a Marker.1 has no \"range\""},
        {IN_MARKERS("{\"OTIO_SCHEMA\":\"Marker.2\"}"), "a Marker.2 has no \"marked_range\""},
        {J_VIDEO(J_CLIP("c", "{\"OTIO_SCHEMA\":\"TimeRange.1\",\"start_time\":" J_TIME("1", "24") "}", "")),
         "a TimeRange.1 has no \"duration\""},
        {J_VIDEO(J_CLIP("c", J_RANGE("0", "1", "24,\"xvalue\":1"), "")), NULL},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_row(i, rows[i].json);
        tw_diags *diags = tw_diags_new(arena);
        otio_case(arena, tw_str_z(rows[i].json), diags);
        assert_int_equal(tw_diags_count(diags, TW_ERROR), rows[i].missing != NULL);
        if (rows[i].missing != NULL)
            tw_assert_text(tw_diags_get(diags, 0)->message, rows[i].missing);
    }
}

TW_SUITE(otio_schema)
{
    const struct CMUnitTest tests[] = {TW_TEST(names_and_versions), TW_TEST(required_fields)};
    return tw_run("otio/otio_schema", tests);
}
