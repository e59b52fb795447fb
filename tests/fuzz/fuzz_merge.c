/* SPDX-License-Identifier: Apache-2.0
 *
 * Three versions of a plan: the older one, ours and theirs. Whatever they hold a merge comes to an end; of plans that can
 * be read the laws of recut.h hold, word for word in canonical text.
 */
#include "fuzz_show.h"

#include <tallwide/recut.h>

typedef struct versions {
    tw_arena *arena;
    const tw_json *at[3]; /* base, ours, theirs */
} versions;

static tw_str text_of(tw_arena *arena, const tw_json *root)
{
    tw_buf out = {.arena = arena};
    tw_plan_write(root, &out);
    return tw_buf_str(&out);
}

static tw_merged merge(const versions *v, const tw_json *base, const tw_json *ours, const tw_json *theirs)
{
    tw_merged out;
    tw_recut_merge(v->arena, base, ours, theirs, &out);
    FUZZ_CHECK(out.root != NULL);
    return out;
}

static void gives(const versions *v, const tw_json *base, const tw_json *ours, const tw_json *theirs,
                  const tw_json *expected)
{
    tw_merged m = merge(v, base, ours, theirs);
    FUZZ_CHECK(tw_str_eq(text_of(v->arena, m.root), text_of(v->arena, expected)));
    FUZZ_CHECK(m.conflict_count == 0);
}

static void laws(const versions *v)
{
    const tw_json *b = v->at[0], *x = v->at[1], *y = v->at[2];
    gives(v, b, x, b, x);
    gives(v, b, b, x, x);
    gives(v, b, x, x, x);
    tw_merged m = merge(v, b, x, y), n = merge(v, b, y, x);
    FUZZ_CHECK(m.conflict_count == n.conflict_count);
    tw_diags *diags = tw_diags_new(v->arena);
    tw_json_doc again;
    FUZZ_CHECK(tw_json_read(v->arena, text_of(v->arena, m.root), TW_STR("merged"), NULL, diags, &again) == TW_OK);
}

/* Read as a document; *plan: can it be read as a plan, without a word? */
static const tw_json *read(tw_arena *arena, tw_str bytes, bool *plan)
{
    const tw_json_options options = {.fold = TW_PLAN_FOLD};
    tw_diags *diags = tw_diags_new(arena);
    tw_json_doc doc;
    tw_plan *read = NULL;
    if (tw_json_read(arena, bytes, TW_STR("version"), &options, diags, &doc) != TW_OK ||
        tw_json_get(doc.root, "tallwide_plan") == NULL)
        return NULL;
    *plan = *plan && tw_plan_read(arena, bytes, TW_STR("version"), (tw_rate){24, 1}, false, diags, &read) == TW_OK &&
            tw_diags_count(diags, TW_WARNING) == 0;
    return doc.root;
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    versions v = {.arena = tw_arena_new(NULL, NULL)};
    tw_str base, rest, ours, theirs;
    bool plans = true;
    if (fuzz_split((tw_str){(const char *)data, size}, &base, &rest) && fuzz_split(rest, &ours, &theirs)) {
        v.at[0] = read(v.arena, base, &plans);
        v.at[1] = read(v.arena, ours, &plans);
        v.at[2] = read(v.arena, theirs, &plans);
        if (v.at[1] != NULL && v.at[2] != NULL)
            text_of(v.arena, merge(&v, v.at[0], v.at[1], v.at[2]).root);
        if (v.at[0] != NULL && v.at[1] != NULL && v.at[2] != NULL && plans)
            laws(&v);
    }
    tw_arena_free(&v.arena);
    return 0;
}
