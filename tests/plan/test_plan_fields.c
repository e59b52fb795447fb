/* SPDX-License-Identifier: Apache-2.0 */
#include "plan_support.h"

#include <string.h>

#include "plan/plan_internal.h"

/* ---- the schema says what the table says ----------------------------------------------------------------- */

static const struct {
    const char *where, *pointer; /* of the object's schema below $defs; "" is the root */
} places[] = {
    {"", ""},
    {"edit", "edit"},
    {"deliveries[]", "delivery"},
    {"deliveries[].inset", "inset"},
    {"sources[]", "source"},
    {"sources[].media[]", "media"},
    {"motion", "motion"},
    {"notes[]", "note"},
    {"notes[].regions[]", "region"},
};

#define PLACES (sizeof places / sizeof places[0])

static const char *def_of(const char *where)
{
    for (size_t i = 0; i < PLACES; i++)
        if (where != NULL && strcmp(places[i].where, where) == 0)
            return places[i].pointer;
    return NULL;
}

static tw_json *read_schema(tw_arena *arena)
{
    tw_diags *diags = tw_diags_new(arena);
    tw_json_doc doc = {.root = NULL};
    tw_json_read(arena, tw_fixture(arena, "../schemas/plan.schema.json"), TW_STR("schema"), NULL, diags, &doc);
    assert_non_null(doc.root);
    return doc.root;
}

static void assert_ref(tw_arena *arena, const tw_json *schema, const char *def)
{
    const tw_json *ref = tw_json_get(schema, "$ref");
    assert_non_null(ref);
    tw_assert_text(ref->text, tw_arena_printf(arena, "#/$defs/%s", def).at);
}

static void assert_property(tw_arena *arena, const tw_plan_field *field, const tw_json *defs, const tw_json *property)
{
    assert_non_null(property);
    tw_assert_text(tw_json_get(property, "description")->text, field->help);
    const char *inside = def_of(twi_plan_inside(field));
    if (strcmp(field->name, "tallwide_plan") == 0) {
        tw_assert_text(tw_json_get(property, "const")->text, "1");
    } else if (field->choices != NULL) {
        tw_buf joined = {.arena = arena};
        for (const tw_json *c = tw_json_first(tw_json_get(property, "enum")); c != NULL; c = c->next) {
            tw_buf_add(&joined, c->text);
            tw_buf_addz(&joined, c->next != NULL ? "|" : "");
        }
        tw_assert_text(tw_buf_str(&joined), field->choices);
    } else if (strcmp(field->type, "objects") == 0) {
        tw_assert_text(tw_json_get(property, "type")->text, "array");
        assert_ref(arena, tw_json_get(property, "items"), inside);
    } else if (strcmp(field->type, "any") == 0) {
        assert_int_equal(property->count, 1);
    } else {
        assert_ref(arena, property, inside != NULL ? inside : field->type);
        assert_non_null(tw_json_get(defs, inside != NULL ? inside : field->type));
    }
}

static void schema_matches(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    const tw_json *root = read_schema(arena), *defs = tw_json_get(root, "$defs");
    size_t seen = 0, count;
    tw_plan_fields(&count);
    for (size_t p = 0; p < PLACES; p++) {
        tw_row(p, places[p].where);
        const tw_json *object = p == 0 ? root : tw_json_get(defs, places[p].pointer);
        const tw_json *properties = tw_json_get(object, "properties"), *required = tw_json_get(object, "required");
        twi_section section = twi_plan_section(places[p].where);
        const tw_json *name = required != NULL ? tw_json_first(required) : NULL;
        for (size_t i = 0; i < section.count; i++, seen++) {
            tw_row(i, section.fields[i].name);
            assert_property(arena, &section.fields[i], defs, tw_json_get(properties, section.fields[i].name));
            if (!section.fields[i].required)
                continue;
            assert_non_null(name);
            tw_assert_text(name->text, section.fields[i].name);
            name = name->next;
        }
        assert_null(name);
        assert_int_equal(properties->count, section.count);
        assert_null(tw_json_get(object, "additionalProperties")); /* unknown members are kept, so they are allowed */
    }
    assert_int_equal(seen, count);
}

/* Rows of one object stand together, every type is known and every choice has a list. */
static void table_is_sound(void **state)
{
    (void)state;
    size_t count;
    const tw_plan_field *fields = tw_plan_fields(&count);
    for (size_t i = 0; i < count; i++) {
        tw_row(i, fields[i].name);
        assert_int_equal(strcmp(fields[i].type, "choice") == 0, fields[i].choices != NULL);
        assert_non_null(tw_plan_takes(&fields[i]));
        assert_non_null(def_of(fields[i].where));
        twi_section section = twi_plan_section(fields[i].where);
        assert_true(&fields[i] >= section.fields && &fields[i] < section.fields + section.count);
        assert_ptr_equal(twi_plan_field(section, tw_str_z(fields[i].name)), &fields[i]);
    }
}

/* ---- types ----------------------------------------------------------------------------------------------- */

static void types(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    static const struct {
        const char *type, *fits, *not ; /* lists of values */
    } rows[] = {
        {"text", "[\"\", \"a\"]", "[1, null, true, [], {}]"},
        {"bool", "[true, false]", "[0, 1, \"true\", null]"},
        {"integer", "[0, -5, 12.0, 1e3]", "[0.5, \"1\", 1e30, null]"},
        {"positive", "[0.001, 7, 1e10]", "[0, -1, \"1\", 1e999]"},
        {"zero_or_more", "[0, 0.25, 1e3]", "[-0.001, \"1\", null]"},
        {"share", "[0, 1, 0.5]", "[-0.001, 1.001, \"0.5\"]"},
        {"part", "[1, 0.5]", "[0, 1.5]"},
        {"object", "[{}]", "[[], null, \"\"]"},
        {"objects", "[[], [{}]]", "[{}, null]"},
        {"texts", "[[], [\"a\"]]", "[\"a\", [1], [\"a\", null]]"},
        {"size", "[[1, 1], [1080, 1920.0], [1000000, 1]]",
         "[[0, 1], [1, -1], [1], [1, 2, 3], [1.5, 2], [1000001, 1], \"1x1\", null, [\"1\", 1]]"},
        {"size_or_null", "[null, [5760, 4320]]", "[[5760], \"5760x4320\", []]"},
        {"point", "[[0, 1], [0.5, 0.25]]", "[[0.5], [0.5, 1.5], [0, 0, 0], 0.5]"},
        {"speeds", "[[1, 2, 3, 4, 5]]", "[[1, 2, 3, 4], [1, 2, 2, 4, 5], [0, 1, 2, 3, 4], 5]"},
        {"rate", "[\"24\", \"25/1\", \"30000/1001\", \"29.97df\", 24, 23.976]", "[\"fast\", 0, \"24df\", null, [24]]"},
        {"time", "[\"01:00:00:00\"]", "[1, null]"},
        {"time_or_frame", "[\"01:00:00:00\", 1]", "[1.5, null]"},
        {"any", "[1, null, {}]", "[]"},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        tw_row(i, rows[i].type);
        tw_plan_field field = {.type = rows[i].type};
        for (int want = 0; want < 2; want++) {
            tw_diags *diags = tw_diags_new(arena);
            tw_json_doc doc = {.root = NULL};
            tw_json_read(arena, tw_str_z(want ? rows[i].fits : rows[i].not ), TW_STR("x"), NULL, diags, &doc);
            assert_non_null(doc.root);
            for (const tw_json *v = tw_json_first(doc.root); v != NULL; v = v->next) {
                tw_buf shown = {.arena = arena};
                tw_json_write(v, &(tw_json_style){.indent = 0}, &shown);
                if (twi_plan_fits(&field, v) != (want == 1))
                    tw_assert_text(tw_buf_str(&shown), want ? "this to fit" : "this not to fit");
            }
        }
    }
}

TW_SUITE(plan_fields)
{
    const struct CMUnitTest tests[] = {TW_TEST(schema_matches), TW_TEST(table_is_sound), TW_TEST(types)};
    return tw_run("plan/plan_fields", tests);
}
