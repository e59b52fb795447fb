/* SPDX-License-Identifier: Apache-2.0 */
#include "support/support.h"

#include <tallwide/jsonio.h>

#include <string.h>

static const tw_json_options folding = {.fold = "keys"};

static tw_json *read_one(tw_arena *arena, tw_str text, const tw_json_options *options)
{
    tw_json_doc doc = {.root = NULL};
    if (tw_json_read(arena, text, TW_STR("x"), options, tw_diags_new(arena), &doc) != TW_OK)
        return NULL;
    tw_json *keys = tw_json_get(doc.root, "keys");
    assert_non_null(keys);
    return keys;
}

static void what_is_folded(void **state)
{
    static const struct {
        const char *text;
        uint32_t rows; /* 0: not folded */
    } cases[] = {
        {"{\"keys\":[[1]]}", 1},
        {"{\"keys\": [ [ 1 , \"a\" ] ,\n\t[-0.5e+3]\r\n] }", 2},
        {"{\"a\":[{\"keys\":[[1]]}],\"keys\":[[\"\"],[1,2,3,4,5,6,7,8]]}", 2},
        {"{\"keys\":[[1,2,3,4,5,6,7,8,9]]}", 0},      /* longer than a row may be */
        {"{\"keys\":[]}", 0},                         /* nothing to save */
        {"{\"keys\":[[1],[]]}", 0},                   /* not a row */
        {"{\"keys\":[[1],2]}", 0},                    /* the same */
        {"{\"keys\":[[1],[[2]]]}", 0},                /* the same */
        {"{\"keys\":[[1],[true]]}", 0},               /* the same */
        {"{\"keys\":[[{\"a\":1}]]}", 0},              /* the same */
        {"{\"keys\":[[\"\\u0031\"]]}", 0},            /* a text that is not what stands there */
        {"{\"keys\":[[\"\xC3\xA9\"]]}", 0},           /* not ASCII */
        {"{\"k\\u0065ys\":[[1]]}", 0},                /* the name as written */
        {"{\"keys\":{\"keys\":1}}", 0},               /* no list */
        {"{\"key\":[[1]],\"keys\":\"[[1]]\"}", 0},    /* the same */
        {"{\"keys\":[[1]],\"keyss\":1,\"key\":2}", 1} /* of this name alone */
    };
    tw_arena *arena = tw_test_arena(state);
    for (size_t i = 0; i < TW_COUNT(cases); i++) {
        tw_row(i, cases[i].text);
        const tw_json *keys = read_one(arena, tw_str_z(cases[i].text), &folding);
        assert_non_null(keys);
        assert_int_equal(keys->folded, cases[i].rows > 0);
        if (cases[i].rows > 0)
            assert_int_equal(keys->count, cases[i].rows);
        assert_false(read_one(arena, tw_str_z(cases[i].text), NULL)->folded);
    }
}

/* ---- folded and plain are the same ----------------------------------------------------------------------- */

static void add_blanks(tw_rng *rng, tw_buf *out)
{
    for (int64_t n = tw_rng_between(rng, -3, 3); n > 0; n--)
        tw_buf_addc(out, " \n\t\r"[tw_rng_between(rng, 0, 3)]);
}

/* A list of rows; odd: some of them are such that it cannot be folded. */
static tw_str random_list(tw_arena *arena, tw_rng *rng, bool odd)
{
    static const char *const plain[] = {"0",    "-1.50",  "1e3", "12345678901234567890", "\"01:00:00:00\"",
                                        "\"\"", "\"[,]\""};
    static const char *const others[] = {"null", "\"\\n\"", "[]", "[1,[2]]", "{\"keys\":[[1]]}", "\"\xC3\xA9\""};
    tw_buf out = {.arena = arena};
    int64_t rows = tw_rng_between(rng, 1, 5);
    tw_buf_addz(&out, "{\"a\":[1],\"keys\":[");
    for (int64_t r = 0; r < rows; r++) {
        add_blanks(rng, &out);
        tw_buf_addc(&out, '[');
        for (int64_t v = 0, n = tw_rng_between(rng, 1, TW_JSON_ROW); v < n; v++) {
            bool other = odd && tw_rng_between(rng, 0, 3) == 0;
            tw_buf_addz(&out, v > 0 ? "," : "");
            add_blanks(rng, &out);
            tw_buf_addz(&out, other ? others[tw_rng_between(rng, 0, 5)] : plain[tw_rng_between(rng, 0, 6)]);
            add_blanks(rng, &out);
        }
        tw_buf_addc(&out, ']');
        add_blanks(rng, &out);
        tw_buf_addz(&out, r + 1 < rows ? "," : "");
    }
    tw_buf_addz(&out, "],\"z\":[]}");
    return tw_buf_str(&out);
}

static void assert_written_alike(tw_arena *arena, const tw_json *a, const tw_json *b)
{
    for (int indent = 0; indent < 5; indent += 2) {
        tw_buf x = {.arena = arena}, y = {.arena = arena};
        tw_json_write(a, &(tw_json_style){.indent = indent}, &x);
        tw_json_write(b, &(tw_json_style){.indent = indent}, &y);
        tw_buf_addc(&y, '\0');
        tw_assert_text(tw_buf_str(&x), y.at);
    }
}

/* Down to where each value stands. */
static void assert_alike(const tw_json *a, const tw_json *b)
{
    assert_int_equal(a->kind, b->kind);
    assert_int_equal(a->offset, b->offset);
    assert_int_equal(a->count, b->count);
    assert_true(tw_str_eq(a->key, b->key));
    assert_true(tw_str_eq(tw_json_text(a), tw_json_text(b)));
    const tw_json *y = tw_json_first(b);
    for (const tw_json *x = tw_json_first(a); x != NULL; x = x->next, y = y->next)
        assert_alike(x, y);
}

static void assert_rows_alike(const tw_json *folded, const tw_json *plain)
{
    tw_json_rows rows;
    tw_json_rows_begin(&rows, folded);
    for (const tw_json *row = tw_json_first(plain); row != NULL; row = row->next)
        assert_alike(tw_json_row(&rows), row);
    assert_null(tw_json_row(&rows));
    assert_null(tw_json_row(&rows)); /* asked again */
}

static void assert_compares(const tw_json *a, const tw_json *b, bool same)
{
    assert_int_equal(tw_json_same(a, b), same);
    assert_int_equal(tw_json_same(b, a), same);
    assert_int_equal(tw_json_identical(a, b), same);
    assert_int_equal(tw_json_identical(b, a), same);
}

static void folded_and_plain(void **state)
{
    tw_rng rng = {8259};
    size_t folds = 0, differ = 0;
    tw_str before = {NULL, 0};
    tw_arena *arena = tw_test_arena(state);
    for (size_t i = 0; i < 400; i++) {
        tw_str text = random_list(arena, &rng, i % 4 == 3);
        tw_row(i, tw_arena_dupz(arena, text));
        tw_json *folded = read_one(arena, text, &folding), *plain = read_one(arena, text, NULL);
        assert_true(folded->folded || i % 4 == 3);
        folds += folded->folded;
        assert_written_alike(arena, folded, plain);
        assert_written_alike(arena, tw_json_copy(arena, folded), plain);
        assert_compares(folded, plain, true);
        assert_compares(folded, tw_json_copy(arena, folded), true);
        assert_compares(folded, read_one(arena, random_list(arena, &(tw_rng){i}, false), NULL), false);
        assert_alike(tw_json_unfold(arena, folded), plain);
        assert_ptr_equal(tw_json_unfold(arena, plain), plain);
        assert_rows_alike(folded, plain);
        if (folded->folded) { /* one value is another */
            tw_json *other = tw_json_copy(arena, plain);
            other->in.last->in.last->text = TW_STR("99");
            assert_compares(folded, other, false);
        }
        if (before.at != NULL) { /* two that are folded both, or one of them */
            tw_json *x = read_one(arena, before, &folding), *y = read_one(arena, before, NULL);
            bool same = tw_json_same(y, plain);
            differ += !same;
            assert_compares(x, folded, same);
            assert_compares(y, folded, same);
        }
        before = text;
    }
    assert_in_range(folds, 300, 399);
    assert_in_range(differ, 300, 400);
}

/* ---- what is wrong is told alike ------------------------------------------------------------------------- */

static void assert_told_alike(tw_str text)
{
    tw_arena *arena = tw_arena_new(NULL, NULL);
    tw_json_doc folded = {.root = NULL}, plain = {.root = NULL};
    tw_diags *x = tw_diags_new(arena), *y = tw_diags_new(arena);
    tw_status status = tw_json_read(arena, text, TW_STR("x"), NULL, y, &plain);
    assert_int_equal(tw_json_read(arena, text, TW_STR("x"), &folding, x, &folded), status);
    assert_int_equal(tw_diags_kept(x), tw_diags_kept(y));
    for (size_t i = 0; i < tw_diags_kept(x); i++) {
        const tw_diag *a = tw_diags_get(x, i), *b = tw_diags_get(y, i);
        assert_int_equal(a->code, b->code);
        assert_int_equal(a->place.line, b->place.line);
        assert_int_equal(a->place.column, b->place.column);
        assert_true(tw_str_eq(a->message, b->message));
    }
    if (status == TW_OK)
        assert_compares(folded.root, plain.root, true);
    tw_arena_free(&arena);
}

/* Each byte of a list replaced by each of these, left out, and the end of the text. */
static void faults(void **state)
{
    static const char list[] = "{\"keys\": [[\"01:00\", 0.5, -1e3],\n [20, \"\"]], \"keys\" : 1}";
    static const char with[] = "[]{}\",:0-.eE+ \n\tnN\\/\x01\x7F\xC3\xFF";
    tw_arena *arena = tw_test_arena(state);
    const size_t whole = sizeof list - 1;
    for (size_t at = 0; at < whole; at++) {
        tw_row(at, list);
        for (size_t w = 0; w < sizeof with; w++) { /* NUL too */
            char *text = tw_arena_dupz(arena, (tw_str){list, whole});
            text[at] = with[w];
            assert_told_alike((tw_str){text, whole});
        }
        char *less = tw_arena_dupz(arena, (tw_str){list, whole});
        memmove(less + at, less + at + 1, whole - at);
        assert_told_alike((tw_str){less, whole - 1});
        assert_told_alike(tw_arena_dup(arena, (tw_str){list, at}));
    }
}

/* Ten million keys and ten million values are read: the object, the list and so many rows are just that many. */
static void bounds(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    if (tw_test_short())
        return;
    tw_buf text = {.arena = arena};
    tw_buf_addz(&text, "{\"keys\":[[1]");
    for (size_t i = 0; i < TW_JSON_VALUES - 3; i++)
        tw_buf_addz(&text, ",[1]");
    tw_buf_addz(&text, "]}");
    assert_int_equal(read_one(arena, tw_buf_str(&text), &folding)->count, TW_JSON_VALUES - 2);
    text.len--;
    tw_buf_addz(&text, ",\"a\":0}");
    tw_diags *diags = tw_diags_new(arena);
    tw_json_doc doc = {.root = NULL};
    assert_int_equal(tw_json_read(arena, tw_buf_str(&text), TW_STR("t"), &folding, diags, &doc), TW_ERR_LIMIT);
    assert_int_equal(tw_diags_get(diags, 0)->code, 1118);
    assert_int_equal(tw_diags_get(diags, 0)->place.column, text.len - 1);
}

TW_SUITE(json_rows)
{
    const struct CMUnitTest tests[] = {
        TW_TEST(what_is_folded),
        TW_TEST(folded_and_plain),
        TW_TEST(faults),
        TW_TEST(bounds),
    };
    return tw_run("jsonio/json_rows", tests);
}
