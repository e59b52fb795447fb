/* SPDX-License-Identifier: Apache-2.0 */
#include "otio/otio_cases.h"
#include "otio/unchanged.h"

/* Masters that can be read. */
static const char *const masters[] = {
    "ok_empty",
    "ok_main",
    "ok_media",
    "ok_mixed_rates",
    "ok_nests",
    "ok_odd",
    "ok_old_names",
    "ok_framed",
    "ok_release_0_12",
    "ok_retimes",
    "ok_release_0_15",
    "ok_root_list",
    "ok_root_stack",
    "ok_shared",
    "ok_root_track",
    "ok_transition",
    "ok_unknown",
    "ok_shifted_track",
    "ok_framed_then_trimmed",
};
#define MASTERS (sizeof masters / sizeof masters[0])

static tw_str master(tw_arena *arena, size_t i)
{
    tw_row(i, masters[i]);
    return tw_fixture(arena, tw_arena_printf(arena, "otio/%s.otio", masters[i]).at);
}

static tw_json *tree(tw_arena *arena, tw_str bytes)
{
    const tw_json_options options = {.nonfinite = true, .duplicates_warn = true, .bom_ok = true};
    tw_json_doc doc;
    assert_int_equal(tw_json_read(arena, bytes, TW_STR("t"), &options, tw_diags_new(arena), &doc), TW_OK);
    return doc.root;
}

static void unchanged_is_the_same_tree(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    for (size_t i = 0; i < MASTERS; i++) {
        tw_str bytes = master(arena, i);
        tw_diags *diags = tw_diags_new(arena);
        tw_timeline *timeline = otio_case(arena, bytes, diags);
        timeline->stamp = NULL;
        tw_item **clips = tw_timeline_clips(arena, timeline);
        for (size_t c = 0; c < timeline->clip_count; c++)
            clips[c]->framing = NULL;
        assert_true(tw_json_identical(tree(arena, bytes), tree(arena, otio_written(arena, timeline, diags))));
    }
}

static void frame_all(tw_arena *arena, tw_timeline *timeline, const tw_stamp *stamp)
{
    tw_item **clips = tw_timeline_clips(arena, timeline);
    for (size_t i = 0; i < timeline->clip_count; i++) {
        tw_framing *f = TW_NEW(arena, tw_framing);
        *f = (tw_framing){.source = {5760, 4320}, .delivery = stamp->size, .squeeze = 1, .key_count = 1};
        f->keys = TW_NEW(arena, tw_key);
        f->keys[0] = (tw_key){.frame = 3, .cx = 1000, .cy = 2160, .w = 2430};
        clips[i]->framing = f;
    }
    timeline->stamp = TW_NEW(arena, tw_stamp);
    *timeline->stamp = *stamp;
}

static void take_off(tw_json *value);

static void take_members_off(tw_json *object, const char *const *names, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        tw_json *m = tw_json_get(object, names[i]);
        if (m != NULL)
            tw_json_remove(object, m);
    }
}

/* Our effect, and an effects list that held nothing else; the stamp, and what it alone was in; the name. */
static void take_off_here(tw_json *object)
{
    static const char *const stamp[] = {"delivery", "master", "plan", "size", "version"};
    tw_json *effects = tw_json_get(object, "effects"), *own = twi_otio_window_find(effects);
    if (own != NULL)
        tw_json_remove(effects, own);
    if (effects != NULL && effects->count == 0)
        tw_json_remove(object, effects);
    tw_json *metadata = tw_json_get(object, "metadata"), *space = tw_json_get(metadata, TWI_OTIO_SPACE);
    if (tw_json_get(space, "delivery") != NULL) {
        tw_json *name = tw_json_get(object, "name");
        name->text = twi_otio_bare_name(object);
        take_members_off(space, stamp, 5);
        if (space->count == 0)
            tw_json_remove(metadata, space);
    }
    if (metadata != NULL && metadata->count == 0)
        tw_json_remove(object, metadata);
}

static void take_off(tw_json *value)
{
    if (tw_json_is(value, TW_JSON_OBJECT))
        take_off_here(value);
    for (tw_json *child = tw_json_first(value); child != NULL; child = child->next)
        take_off(child);
}

static bool lists_name(const tw_json *root)
{
    return tw_json_get(root, "name") != NULL;
}

/* Every clip framed, the timeline stamped: with that taken off, master and derived are the same value for value and number
 * for number. Two ways: by hand here (empty effects and metadata taken off on both sides), and by otio_difference. */
static void only_our_additions(void **state)
{
    static const tw_stamp stamp = {{"square", 6}, {1080, 1080}, 1, 2};
    tw_arena *arena = tw_test_arena(state);
    for (size_t i = 0; i < MASTERS; i++) {
        tw_str bytes = master(arena, i);
        tw_diags *diags = tw_diags_new(arena);
        tw_timeline *timeline = otio_case(arena, bytes, diags);
        frame_all(arena, timeline, &stamp);
        tw_str derived = otio_written(arena, timeline, diags);
        assert_null(otio_difference(arena, bytes, derived));
        tw_json *a = tree(arena, bytes), *b = tree(arena, derived);
        assert_false(tw_json_same(a, b));
        take_off(a);
        take_off(b);
        assert_true(lists_name(a) == lists_name(b));
        assert_true(tw_json_same(a, b));
        const tw_timeline *again = otio_case(arena, derived, tw_diags_new(arena));
        assert_int_equal(again->clip_count, timeline->clip_count);
        tw_assert_text(again->stamp->delivery, "square");
        /* written again: the same bytes */
        assert_true(tw_str_eq(derived, otio_written(arena, again, diags)));
    }
}

/* The master is shared by all deliveries: writing one leaves no trace in it. */
static void deliveries_do_not_mix(void **state)
{
    static const tw_stamp tall = {{"tall", 4}, {1080, 1920}, 1, 2}, wide = {{"wide", 4}, {3840, 2160}, 1, 2};
    tw_arena *arena = tw_test_arena(state);
    tw_diags *diags = tw_diags_new(arena);
    tw_timeline *timeline = otio_case(arena, master(arena, 1), diags);
    tw_timeline *first = tw_timeline_copy(arena, timeline), *second = tw_timeline_copy(arena, timeline);
    frame_all(arena, first, &tall);
    frame_all(arena, second, &wide);
    tw_str before = otio_written(arena, timeline, diags), one = otio_written(arena, first, diags);
    otio_written(arena, second, diags);
    assert_true(tw_str_eq(before, otio_written(arena, timeline, diags)));
    assert_true(tw_str_eq(one, otio_written(arena, first, diags)));
}

/* What the proof asks before it writes both to compare them. */
static void made_from(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    const tw_stamp tall = {.delivery = TW_STR("tall"), .size = {1080, 1920}, .master_hash = 1, .plan_hash = 2};
    tw_diags *diags = tw_diags_new(arena);
    tw_timeline *timeline = otio_case(arena, master(arena, 0), diags);
    frame_all(arena, timeline, &tall);
    tw_str text = otio_written(arena, timeline, diags);
    tw_timeline *written = otio_case(arena, text, diags);
    assert_true(tw_format_otio.made_from(arena, timeline, written));
    const tw_json *note = tw_json_get(((const twi_otio_source *)written->origin)->doc.root, "metadata");
    assert_non_null(note);
    ((tw_json *)note)->in.first->key = TW_STR("another");
    assert_false(tw_format_otio.made_from(arena, timeline, written));
    timeline->format = NULL; /* written as a new document */
    assert_false(tw_format_otio.made_from(arena, timeline, otio_case(arena, text, diags)));
}

/* Every effect counts, in nests and shared objects too. */
static void made_from_but_for_one(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    const tw_stamp tall = {.delivery = TW_STR("tall"), .size = {1080, 1920}, .master_hash = 1, .plan_hash = 2};
    for (size_t i = 0; i < MASTERS; i++) {
        tw_diags *diags = tw_diags_new(arena);
        tw_timeline *timeline = otio_case(arena, master(arena, i), diags);
        frame_all(arena, timeline, &tall);
        tw_timeline *written = otio_case(arena, otio_written(arena, timeline, diags), diags);
        assert_true(tw_format_otio.made_from(arena, timeline, written));
        tw_item **clips = tw_timeline_clips(arena, written);
        for (size_t c = 0; c < written->clip_count; c++) {
            const twi_otio_origin *origin = clips[c]->origin;
            tw_json *enabled = tw_json_get(tw_json_get(origin->object, "effects")->in.last, "enabled");
            enabled->kind = TW_JSON_FALSE;
            assert_false(tw_format_otio.made_from(arena, timeline, written));
            enabled->kind = TW_JSON_TRUE;
        }
        assert_true(tw_format_otio.made_from(arena, timeline, written));
    }
}

static void the_chosen_of_a_collection(void **state)
{
    static const tw_stamp stamp = {{"tall", 4}, {1080, 1920}, 1, 2};
    tw_arena *arena = tw_test_arena(state);
    tw_str bytes = tw_fixture(arena, "otio/ok_collection.otio");
    const tw_read_options options = {.timeline = TW_STR("cut two")};
    tw_diags *diags = tw_diags_new(arena);
    tw_timeline *timeline = NULL;
    assert_int_equal(tw_format_otio.read(arena, bytes, TW_STR("t"), &options, diags, &timeline), TW_OK);
    frame_all(arena, timeline, &stamp);
    tw_str derived = otio_written(arena, timeline, diags);
    assert_null(otio_difference(arena, bytes, derived));
    const tw_json *children = tw_json_get(tree(arena, derived), "children");
    tw_assert_text(twi_otio_text(tw_json_first(tw_json_get(tw_json_first(children)->next, "children")), "name"),
                   "cut one");
    tw_assert_text(twi_otio_text(children->in.last, "name"), "cut two tall");
}

/* Clips 0 and 2 of the fixture are one object: what differs is told at the use that loses. */
static void one_object_used_twice(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_diags *diags = tw_diags_new(arena);
    tw_timeline *timeline = otio_case(arena, tw_fixture(arena, "otio/ok_shared.otio"), diags);
    tw_item **clips = tw_timeline_clips(arena, timeline);
    tw_key keys[] = {{.cx = 1215, .cy = 2160, .w = 2430},
                     {.cx = 3000, .cy = 2160, .w = 2430},
                     {.cx = 1215, .cy = 2160, .w = 2430, .ease = 7}};
    tw_framing framings[3];
    size_t before = tw_diags_kept(diags);
    for (size_t i = 0; i < 3; i++) {
        framings[i] = (tw_framing){.source = {5760, 4320}, .delivery = {1080, 1920}, .squeeze = 1, .keys = &keys[i]};
        framings[i].key_count = 1;
    }
    for (size_t different = 0; different < 3; different++) {
        clips[0]->framing = &framings[0];
        clips[2]->framing = &framings[different];
        tw_str written = otio_written(arena, timeline, diags);
        assert_int_equal(tw_diags_kept(diags), before + different);
        const tw_timeline *again = otio_case(arena, written, tw_diags_new(arena));
        tw_assert_near(tw_timeline_clips(arena, again)[2]->framing->keys[0].cx, 1215, 1e-9);
    }
    const tw_diag *told = tw_diags_get(diags, before);
    assert_int_equal(told->code, 1333);
    assert_int_equal(told->place.line, clips[2]->place.line);
    tw_assert_text(
        told->message,
        "clip \"hands\" is one object used several times in this file: the first use's framing holds for all");
}

/* Four blanks a level, a line end at the end, one key after another. */
static void layout(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    const char *json = "{\"OTIO_SCHEMA\":\"Track.1\",\"kind\":\"Video\",\"children\":[],\"x\":[1.50,{}]}";
    tw_diags *diags = tw_diags_new(arena);
    tw_assert_text(
        otio_written(arena, otio_case(arena, tw_str_z(json), diags), diags),
        "{\n    \"OTIO_SCHEMA\": \"Track.1\",\n    \"kind\": \"Video\",\n    \"children\": [],\n    \"x\": [\n"
        "        1.50,\n        {}\n    ]\n}\n");
}

TW_SUITE(otio_write)
{
    const struct CMUnitTest tests[] = {TW_TEST(unchanged_is_the_same_tree), TW_TEST(only_our_additions),
                                       TW_TEST(deliveries_do_not_mix),      TW_TEST(the_chosen_of_a_collection),
                                       TW_TEST(one_object_used_twice),      TW_TEST(made_from),
                                       TW_TEST(made_from_but_for_one),      TW_TEST(layout)};
    return tw_run("otio/otio_write", tests);
}
