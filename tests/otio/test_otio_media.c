/* SPDX-License-Identifier: Apache-2.0 */
#include "otio/otio_cases.h"

#define R24 J_RANGE("0", "24", "24")
#define FILE_AT(url, more) "{\"OTIO_SCHEMA\":\"ExternalReference.1\"," more "\"target_url\":\"" url "\"}"
#define IMAGES(base, prefix, digits)                                                                                   \
    "{\"OTIO_SCHEMA\":\"ImageSequenceReference.1\",\"target_url_base\":\"" base "\",\"name_prefix\":\"" prefix         \
    "\",\"name_suffix\":\".exr\",\"start_frame\":1001,\"frame_step\":1,\"rate\":24,\"frame_zero_padding\":" digits     \
    ",\"missing_frame_policy\":\"error\"}"
#define WITH(media) J_VIDEO(J_CLIP("the name", R24, "\"media_reference\":" media ","))
#define TOLD(metadata, media)                                                                                          \
    J_VIDEO(J_CLIP("the name", R24, "\"metadata\":" metadata ",\"media_reference\":" media ","))

static void reels(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    static const struct {
        const char *json, *reel;
    } rows[] = {
        /* the clip's own metadata, at once or one level down, any case of letters */
        {TOLD("{\"reel\":\"A003\"}", "null"), "A003"},
        {TOLD("{\"list\":{\"reel\":\"A003\"}}", FILE_AT("B001.mov", "")), "A003"},
        {TOLD("{\"x\":1,\"list\":{\"Tape_Name\":\"A003\"}}", "null"), "A003"},
        {TOLD("{\"list\":{\"tape\":\"T9\",\"REEL\":\"A003\"}}", "null"), "A003"},
        {TOLD("{\"list\":{\"reel\":7,\"deep\":{\"reel\":\"no\"}}}", "null"), "the name"},
        {TOLD("{\"list\":{\"reel\":\"\"}}", "null"), "the name"},
        /* the media's metadata, its file, its name */
        {WITH(FILE_AT("B001.mov", "\"metadata\":{\"card\":{\"reel\":\"A003\"}},")), "A003"},
        {WITH(FILE_AT("/cards/A003_C001.mov", "")), "A003_C001"},
        {WITH(FILE_AT("C:\\\\cards\\\\A003.mov", "")), "A003"},
        {WITH(FILE_AT("file:///cards/A003%20wheel.mov", "")), "A003 wheel"},
        {WITH(FILE_AT("/cards/A003%20wheel.mov", "")), "A003%20wheel"},
        {WITH(FILE_AT("file:///cards/50%off%0A.mov", "")), "50%off%0A"},
        {WITH(FILE_AT("", "\"name\":\"card A003\",")), "card A003"},
        {WITH(IMAGES("/cards", "A003_C001.", "4")), "A003_C001"},
        {WITH("{\"OTIO_SCHEMA\":\"MissingReference.1\",\"name\":\"A003\"}"), "A003"},
        {WITH("{\"OTIO_SCHEMA\":\"GeneratorReference.1\",\"generator_kind\":\"bars\",\"parameters\":{}}"), "the name"},
        {WITH("null"), "the name"},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_row(i, rows[i].json);
        tw_assert_text(otio_fine(arena, rows[i].json)->tracks[0].items[0].reel, rows[i].reel);
    }
}

/* The reference library: base, '/' if missing, prefix, padded number, suffix. */
static void image_sequences(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    static const struct {
        const char *json, *url;
    } rows[] = {
        {WITH(IMAGES("/cards", "A003.", "4")), "/cards/A003.%04d.exr"},
        {WITH(IMAGES("/cards/", "A003.", "6")), "/cards/A003.%06d.exr"},
        {WITH(IMAGES("", "A003.", "0")), "A003.%d.exr"},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_row(i, rows[i].url);
        const tw_media *media = otio_fine(arena, rows[i].json)->tracks[0].items[0].media;
        assert_int_equal(media->kind, TW_MEDIA_IMAGES);
        tw_assert_text(media->url, rows[i].url);
        assert_true(tw_rate_eq(media->rate, (tw_rate){24, 1}));
    }
}

static void several_references(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    const char *json =
        J_VIDEO("{\"OTIO_SCHEMA\":\"Clip.2\",\"source_range\":null,\"media_references\":{\"proxy\":" FILE_AT(
            "p.mov",
            "\"available_range\":" J_RANGE(
                "7", "9", "24") ",") ",\"main\":" FILE_AT("m.mov",
                                                          "\"available_range\":" J_RANGE(
                                                              "100", "240",
                                                              "24") ",") "},\"active_media_reference_key\":\"main\"}");
    const tw_item *item = &otio_fine(arena, json)->tracks[0].items[0];
    assert_int_equal(item->media_count, 2);
    assert_int_equal(item->media_active, 1);
    tw_assert_text(item->media[0].key, "proxy");
    tw_assert_text(item->media[0].url, "p.mov");
    /* without a source_range the clip is what the active media offers */
    tw_assert_near(at24(item->source.start), 100, 1e-9);
    tw_assert_near(at24(item->record.dur), 240, 1e-9);
}

TW_SUITE(otio_media)
{
    const struct CMUnitTest tests[] = {TW_TEST(reels), TW_TEST(image_sequences), TW_TEST(several_references)};
    return tw_run("otio/otio_media", tests);
}
