/* SPDX-License-Identifier: Apache-2.0 */
#include "otio/otio_cases.h"

#include <string.h>

#define RATE "23.976023976023978"
#define CLIP(more) J_VIDEO(J_CLIP("c", J_RANGE("86400.0", "96", RATE), more))

static tw_framing *tall(tw_arena *arena, size_t keys)
{
    tw_framing *f = TW_NEW(arena, tw_framing);
    *f = (tw_framing){.source = {5760, 4320}, .delivery = {1080, 1920}, .squeeze = 1, .key_count = keys};
    f->keys = TW_NEW_N(arena, tw_key, keys);
    return f;
}

static const tw_json *effects_of(const tw_timeline *timeline)
{
    const twi_otio_origin *origin = timeline->tracks[0].items[0].origin;
    return tw_json_get(origin->object, "effects");
}

static tw_str json_of(tw_arena *arena, const tw_json *value)
{
    const tw_json_style style = {.indent = 0};
    tw_buf out = {.arena = arena};
    tw_json_write(value, &style, &out);
    return tw_buf_str(&out);
}

/* The example of the written contract: full height of 5760x4320 for 1080x1920, window left edge at 1665, frame 48. */
static void as_designed(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_timeline *timeline = otio_fine(arena, CLIP(""));
    tw_framing *f = tall(arena, 1);
    f->keys[0] = (tw_key){.frame = 48, .cx = 1665 + 2430 / 2.0, .cy = 2160, .w = 2430, .ease = 7};
    timeline->tracks[0].items[0].framing = f;
    tw_diags *diags = tw_diags_new(arena);
    const tw_timeline *again = otio_case(arena, otio_written(arena, timeline, diags), diags);
    tw_assert_text(
        json_of(arena, tw_json_first(effects_of(again))),
        "{\"OTIO_SCHEMA\":\"Effect.1\",\"metadata\":{\"tallwide\":{"
        "\"frame\":\"fill\",\"interpolation\":\"straight-eased\",\"keys\":["
        "{\"at\":{\"OTIO_SCHEMA\":\"RationalTime.1\",\"rate\":23.976023976023978,\"value\":86448.0},\"ease\":7.0,"
        "\"frame\":48.0,\"h\":4320.0,\"scale\":0.4444444444444444,\"w\":2430.0,\"x\":1665.0,\"y\":0.0}],"
        "\"size\":[1080.0,1920.0],\"source_size\":[5760.0,4320.0],\"squeeze\":1.0,"
        "\"units\":\"source pixels, origin top left, y down\",\"version\":1}},"
        "\"name\":\"\",\"effect_name\":\"tallwide.window\",\"enabled\":true}");
    tw_assert_text(tw_str_z(tw_findings(arena, diags)), "");
}

/* Written, read, written: the same model and the same bytes, for any values. */
static void there_and_back(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_rng rng = {2014};
    for (size_t i = 0; i < 200; i++) {
        tw_timeline *timeline = otio_fine(arena, CLIP(""));
        tw_framing *f = tall(arena, (size_t)tw_rng_between(&rng, 1, 5));
        f->mode = i % 7 == 0 ? TW_FRAME_FIT : TW_FRAME_FILL;
        f->interp = (tw_interp)(i % 3);
        f->squeeze = i % 2 == 0 ? 1 : 2;
        int64_t frame = tw_rng_between(&rng, -20, 5);
        for (size_t k = 0; k < f->key_count; k++, frame += tw_rng_between(&rng, 1, 40))
            f->keys[k] = (tw_key){frame, 5760 * tw_rng_unit(&rng), 4320 * tw_rng_unit(&rng),
                                  1 + 5000 * tw_rng_unit(&rng), (double)tw_rng_between(&rng, 0, 8)};
        timeline->tracks[0].items[0].framing = f;
        tw_diags *diags = tw_diags_new(arena);
        tw_str first = otio_written(arena, timeline, diags);
        const tw_timeline *again = otio_case(arena, first, diags);
        tw_assert_text(tw_str_z(tw_findings(arena, diags)), "");
        const tw_framing *g = again->tracks[0].items[0].framing;
        assert_int_equal(g->key_count, f->key_count);
        assert_int_equal(g->interp, f->interp);
        assert_int_equal(g->mode, f->mode);
        for (size_t k = 0; k < g->key_count; k++) {
            assert_int_equal(g->keys[k].frame, f->keys[k].frame);
            tw_assert_near(g->keys[k].cx, f->keys[k].cx, 0.0011);
            tw_assert_near(g->keys[k].cy, f->keys[k].cy, 0.003);
            tw_assert_near(g->keys[k].w, f->keys[k].w, 0.00051);
        }
        tw_str second = otio_written(arena, again, diags);
        assert_true(tw_str_eq(first, second));
    }
}

/* Where the effect stands: behind foreign ones, in the place of an older one, never twice; a clip without effects gets
 * them where the reference library writes them. */
static void its_place(void **state)
{
    tw_arena *arena = tw_test_arena(state);
#define OWN                                                                                                            \
    "{\"OTIO_SCHEMA\":\"Effect.1\",\"effect_name\":\"tallwide.window\",\"enabled\":false,\"metadata\":{\"shop\":1,"    \
    "\"tallwide\":{\"aside\":2}}}"
#define BLUR "{\"OTIO_SCHEMA\":\"Effect.1\",\"effect_name\":\"blur\"}"
    static const struct {
        const char *json;
        size_t effects, ours; /* how many, and which is ours */
    } rows[] = {
        {CLIP("\"effects\":[],"), 1, 0},
        {CLIP("\"effects\":[" BLUR "],"), 2, 1},
        {CLIP("\"effects\":[" OWN "],"), 1, 0},
        {CLIP("\"effects\":[" OWN "," BLUR "],"), 2, 0},
        {CLIP("\"effects\":[" BLUR "," OWN "," BLUR "],"), 3, 1},
        {CLIP(""), 1, 0},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_row(i, rows[i].json);
        tw_timeline *timeline = otio_fine(arena, rows[i].json);
        tw_framing *f = tall(arena, 1);
        f->keys[0] = (tw_key){.cx = 2880, .cy = 2160, .w = 2430};
        timeline->tracks[0].items[0].framing = f;
        tw_diags *diags = tw_diags_new(arena);
        const tw_timeline *again = otio_case(arena, otio_written(arena, timeline, diags), diags);
        const tw_json *effect = tw_json_first(effects_of(again));
        assert_int_equal(effects_of(again)->count, rows[i].effects);
        for (size_t k = 0; k < rows[i].ours; k++)
            effect = effect->next;
        tw_assert_text(twi_otio_text(effect, "effect_name"), "tallwide.window");
        assert_true(twi_otio_bool(effect, "enabled", false));
        bool replaced = strstr(rows[i].json, "aside") != NULL;
        assert_int_equal(tw_json_get(twi_otio_space(effect), "aside") != NULL, replaced);
        assert_int_equal(tw_json_get(tw_json_get(effect, "metadata"), "shop") != NULL, replaced);
    }
}

static void order_of_members(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    static const struct {
        const char *json, *order;
    } rows[] = {
        {"{\"OTIO_SCHEMA\":\"Clip.1\",\"name\":\"c\",\"source_range\":" J_RANGE("0", "9", "24") ",\"markers\":[]}",
         "OTIO_SCHEMA name source_range effects markers "},
        {"{\"OTIO_SCHEMA\":\"Clip.1\",\"name\":\"c\",\"markers\":[],\"media_reference\":{\"OTIO_SCHEMA\":"
         "\"MissingReference.1\","
         "\"available_range\":" J_RANGE("0", "9", "24") "}}",
         "OTIO_SCHEMA name effects markers media_reference "},
        {"{\"OTIO_SCHEMA\":\"Clip.1\",\"source_range\":" J_RANGE("0", "9", "24") "}",
         "OTIO_SCHEMA source_range effects "},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_row(i, rows[i].order);
        tw_timeline *timeline = otio_fine(arena, tw_arena_printf(arena, J_VIDEO("%s"), rows[i].json).at);
        tw_framing *f = tall(arena, 1);
        f->keys[0] = (tw_key){.cx = 2880, .cy = 2160, .w = 2430};
        timeline->tracks[0].items[0].framing = f;
        tw_diags *diags = tw_diags_new(arena);
        const tw_timeline *again = otio_case(arena, otio_written(arena, timeline, diags), diags);
        const twi_otio_origin *origin = again->tracks[0].items[0].origin;
        tw_buf order = {.arena = arena};
        for (const tw_json *m = tw_json_first(origin->object); m != NULL; m = m->next)
            tw_buf_addf(&order, "%.*s ", TW_ARG(m->key));
        tw_assert_text(tw_buf_str(&order), rows[i].order);
    }
}

/* A clip counted at 25 on a timeline of 50: key times in the clip's own frames, in the file's own way of writing them. */
static void other_rate(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_timeline *timeline = otio_fine(
        arena, J_VIDEO(J_CLIP("c", J_RANGE("100", "50", "25.000"), "") "," J_CLIP("d", J_RANGE("0", "50", "50"), "")));
    tw_framing *f = tall(arena, 1);
    f->keys[0] = (tw_key){.frame = 7, .cx = 2880, .cy = 2160, .w = 2430};
    timeline->tracks[0].items[0].framing = f;
    tw_diags *diags = tw_diags_new(arena);
    const tw_timeline *again = otio_case(arena, otio_written(arena, timeline, diags), diags);
    const tw_json *key = tw_json_get(twi_otio_space(tw_json_first(effects_of(again))), "keys")->in.first;
    tw_assert_text(json_of(arena, tw_json_get(key, "at")),
                   "{\"OTIO_SCHEMA\":\"RationalTime.1\",\"rate\":25.000,\"value\":103.5}");
    assert_int_equal(again->tracks[0].items[0].framing->keys[0].frame, 7);
}

TW_SUITE(otio_window)
{
    const struct CMUnitTest tests[] = {TW_TEST(as_designed), TW_TEST(there_and_back), TW_TEST(its_place),
                                       TW_TEST(order_of_members), TW_TEST(other_rate)};
    return tw_run("otio/otio_window", tests);
}
