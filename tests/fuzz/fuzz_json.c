/* SPDX-License-Identifier: Apache-2.0
 *
 * Whatever is read is written and read again the same; whatever is refused is told of.
 */
#include "fuzz.h"

#include <tallwide/jsonio.h>

static void look_at(tw_arena *arena, const tw_json_doc *doc, const tw_json *value, int *left)
{
    if ((*left)-- <= 0)
        return;
    tw_place place = tw_json_place(doc, value), name = tw_json_name_place(doc, value);
    FUZZ_CHECK(place.line >= 1 && place.column >= 1 && place.width >= 1);
    FUZZ_CHECK(name.line >= 1 && name.column >= 1 && name.width >= 1);
    FUZZ_CHECK(value == doc->root || tw_json_pointer(arena, doc, value).len > 0);
    int64_t whole;
    double real;
    if (tw_json_int(value, &whole))
        FUZZ_CHECK(tw_json_double(value, &real));
    for (const tw_json *child = tw_json_first(value); child != NULL; child = child->next)
        look_at(arena, doc, child, left);
}

static const tw_json_options strict = {.nonfinite = false};

static void read_again(tw_arena *arena, const tw_json *root, int indent, const tw_json_options *options)
{
    tw_diags *diags = tw_diags_new(arena);
    tw_buf text = {.arena = arena};
    tw_json_doc doc = {.root = NULL};
    tw_json_write(root, &(tw_json_style){.indent = indent, .final_newline = true}, &text);
    FUZZ_CHECK(tw_json_read(arena, tw_buf_str(&text), TW_STR("again"), options, diags, &doc) == TW_OK);
    FUZZ_CHECK(tw_json_same(root, doc.root));
    FUZZ_CHECK(tw_json_same(root, tw_json_copy(arena, doc.root)));
}

static void one(tw_str bytes, const tw_json_options *options)
{
    tw_arena *arena = tw_arena_new(NULL, NULL);
    tw_diags *diags = tw_diags_new(arena);
    tw_json_doc doc = {.root = NULL};
    tw_status status = tw_json_read(arena, bytes, TW_STR("input"), options, diags, &doc);
    FUZZ_CHECK(status != TW_ERR_BUG);
    FUZZ_CHECK((status == TW_OK) == (doc.root != NULL));
    FUZZ_CHECK((status == TW_OK) != tw_diags_failed(diags));
    if (status == TW_OK) {
        int left = 200;
        look_at(arena, &doc, doc.root, &left);
        read_again(arena, doc.root, 0, options);
        read_again(arena, doc.root, 4, options->fold != NULL ? &strict : options);
    }
    tw_buf told = {.arena = arena};
    tw_diags_write_text(diags, TW_NOTE, &told);
    tw_diags_write_json(diags, 2, &told);
    tw_arena_free(&arena);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    static const tw_json_options lenient = {.nonfinite = true, .duplicates_warn = true, .bom_ok = true};
    static const tw_json_options folding = {.fold = "keys"};
    tw_str bytes = {(const char *)data, size};
    one(bytes, &strict);
    one(bytes, &lenient);
    one(bytes, &folding);
    return 0;
}
