/* SPDX-License-Identifier: Apache-2.0 */
#include "preview/preview_support.h"

#include "preview/preview_internal.h"

typedef struct fixture {
    tw_arena *arena;
    tw_diags *diags;
    tw_media_info info;
} fixture;

static fixture open_film(void **state)
{
    fixture f = {tw_test_arena(state), tw_diags_new(tw_test_arena(state)), {.stream = 0}};
    film_need(f.arena);
    const char *path = film_numbered(f.arena, "stream.mov", "24", 200, "-c:v libx264 -preset ultrafast -g 48");
    assert_int_equal(tw_media_probe(f.arena, &film_tools, path, f.diags, &f.info), TW_OK);
    return f;
}

/* Asks for `count` frames from `first` on in steps; -1 is expected where the film has none. */
static void walk(fixture *f, int64_t first, int64_t last, int64_t step, size_t count)
{
    twi_stream *s = twi_stream_open(f->arena, &film_tools, &f->info, first, last, 0, f->diags);
    for (size_t i = 0; i < count; i++) {
        int64_t k = first + (int64_t)i * step;
        const tw_media_frame *got = twi_stream_at(s, k);
        if (k < 0 || k >= 200) {
            assert_null(got);
            continue;
        }
        assert_non_null(got);
        assert_int_equal(film_number(got), k);
    }
    twi_stream_close(&s);
    assert_null(s);
}

static void ways(void **state)
{
    fixture f = open_film(state);
    walk(&f, 10, 40, 1, 30);
    walk(&f, 10, 70, 2, 30);
    walk(&f, 33, 33, 0, 10);
    walk(&f, 150, 10, -1, 141);
    walk(&f, 199, 0, -7, 28);
    walk(&f, 0, 199, 150, 2); /* decoding begins anew */
    assert_int_equal(tw_diags_kept(f.diags), 0);
}

/* Back and forth, as nests may have it. */
static void any_order(void **state)
{
    fixture f = open_film(state);
    static const int64_t order[] = {50, 51, 51, 49, 48, 52, 53, 10, 199, 0};
    twi_stream *s = twi_stream_open(f.arena, &film_tools, &f.info, 50, 60, 0, f.diags);
    for (size_t i = 0; i < sizeof order / sizeof order[0]; i++) {
        const tw_media_frame *got = twi_stream_at(s, order[i]);
        tw_row(i, "order");
        assert_non_null(got);
        assert_int_equal(film_number(got), order[i]);
    }
    twi_stream_close(&s);
}

/* What the film does not have is told once. */
static void beyond(void **state)
{
    fixture f = open_film(state);
    walk(&f, 195, 220, 1, 25);
    assert_int_equal(tw_diags_kept(f.diags), 1);
    assert_int_equal(tw_diags_get(f.diags, 0)->code, 2114);
    walk(&f, -5, 10, 1, 12);
    assert_int_equal(tw_diags_kept(f.diags), 2);
}

static void broken(void **state)
{
    fixture f = open_film(state);
    f.info.path = TW_STR("/nowhere/at all.mov");
    twi_stream *s = twi_stream_open(f.arena, &film_tools, &f.info, 0, 20, 0, f.diags);
    for (int64_t k = 0; k < 20; k++)
        assert_null(twi_stream_at(s, k));
    twi_stream_close(&s);
    assert_int_equal(tw_diags_kept(f.diags), 1);
    assert_int_equal(tw_diags_get(f.diags, 0)->code, 2114);
}

TW_SUITE(stream)
{
    const struct CMUnitTest tests[] = {TW_TEST(ways), TW_TEST(any_order), TW_TEST(beyond), TW_TEST(broken)};
    return tw_run("preview/stream", tests);
}
