/* SPDX-License-Identifier: Apache-2.0 */
#include "support/support.h"

#include <setjmp.h>
#include <stdalign.h>
#include <stdint.h>
#include <string.h>

static bool all_zero(const char *p, size_t n)
{
    for (size_t i = 0; i < n; i++)
        if (p[i] != 0)
            return false;
    return true;
}

static void zeroed_and_aligned(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    const size_t sizes[] = {1, 3, 16, 17, 1000, 1024, 1025, 5000, 100000, 2000000};
    for (int round = 0; round < 50; round++) {
        for (size_t i = 0; i < sizeof sizes / sizeof sizes[0]; i++) {
            if (round > 2 && sizes[i] > 5000)
                continue;
            char *p = tw_arena_alloc(arena, sizes[i], 1);
            tw_row(i, "size");
            assert_int_equal((uintptr_t)p % alignof(max_align_t), 0);
            assert_true(all_zero(p, sizes[i]));
            memset(p, 0xAA, sizes[i]); /* the next ones must not see it */
        }
    }
    assert_non_null(tw_arena_alloc(arena, 0, 8));
    assert_non_null(tw_arena_alloc(arena, 8, 0));
    assert_true(tw_arena_held(arena) > 2000000);
}

/* An array grown one by one keeps its elements and zeroes the rest, over the sizes where growth changes its ways. */
static void growing_arrays(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    struct {
        uint32_t *at;
        size_t len, cap;
    } a = {0}, b = {0};
    for (uint32_t i = 0; i < 300000; i++) {
        TW_PUSH(arena, a.at, a.len, a.cap) = i;
        if (i % 3 == 0)
            TW_PUSH(arena, b.at, b.len, b.cap) = i;
    }
    for (uint32_t i = 0; i < 300000; i++)
        if (a.at[i] != i || b.at[i / 3] != i / 3 * 3)
            fail_msg("element %u changed", i);
    assert_true(all_zero((const char *)(a.at + a.len), (a.cap - a.len) * sizeof *a.at));
    assert_true(tw_arena_held(arena) < 8 * 300000 * sizeof(uint32_t));
}

static int by_last_digit(const void *a, const void *b)
{
    const int x = *(const int *)a, y = *(const int *)b;
    return tw_then(TW_CMP(x % 10, y % 10), TW_CMP(y, x));
}

static void sorted(void **state)
{
    (void)state;
    int list[] = {12, 31, 2, 21, 40}, *none = NULL;
    const int wanted[] = {40, 31, 21, 12, 2};
    TW_SORT(list, TW_COUNT(list), by_last_digit);
    assert_memory_equal(list, wanted, sizeof wanted);
    TW_SORT(none, 0, by_last_digit);
}

static void searched(void **state)
{
    (void)state;
    const int list[] = {1, 3, 3, 5};
    const struct {
        int wanted;
        size_t first;
    } rows[] = {{0, 0}, {1, 0}, {2, 1}, {3, 1}, {4, 3}, {5, 3}, {6, 4}};
    for (size_t i = 0; i < TW_COUNT(rows); i++) {
        size_t at, none;
        TW_SEARCH(at, TW_COUNT(list), list[at] < rows[i].wanted);
        assert_int_equal(at, rows[i].first);
        TW_SEARCH(none, 0, list[none] < rows[i].wanted);
        assert_int_equal(none, 0);
    }
}

static void texts(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    const char from[] = {'a', 'b', 'c'};
    tw_str copy = tw_arena_dup(arena, (tw_str){from, 3});
    assert_int_equal(copy.len, 3);
    assert_string_equal(copy.at, "abc");
    assert_string_equal(tw_arena_dupz(arena, (tw_str){NULL, 0}), "");
    tw_str made = tw_arena_printf(arena, "%s-%03d", "A", 3);
    assert_int_equal(made.len, 5);
    assert_string_equal(made.at, "A-003");
}

static void adopting(void **state)
{
    tw_arena *arena = tw_test_arena(state), *other = tw_arena_like(arena), *empty = tw_arena_like(arena);
    char *mine = tw_arena_dupz(arena, TW_STR("mine"));
    char *theirs = tw_arena_dupz(other, TW_STR("theirs"));
    uint32_t *big = tw_arena_alloc(other, 100000, sizeof *big);
    size_t before = tw_arena_held(arena), added = tw_arena_held(other);
    tw_arena_adopt(arena, &other);
    tw_arena_adopt(arena, &empty);
    assert_null(other);
    assert_null(empty);
    big[99999] = 7;
    assert_string_equal(mine, "mine");
    assert_string_equal(theirs, "theirs");
    assert_int_equal(tw_arena_held(arena), before + added);
    assert_non_null(tw_arena_alloc(arena, 10, 10));
}

/* 15 x 4,096 bytes are fewer than 65,536. */
static void reserving(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_arena_alloc(arena, 100, 1);
    tw_arena_reserve(arena, 65536);
    size_t held = tw_arena_held(arena);
    for (int i = 0; i < 15; i++)
        tw_arena_alloc(arena, 4096, 1);
    assert_int_equal(tw_arena_held(arena), held);
}

static struct {
    jmp_buf back;
    size_t wanted;
} oom;

static void remember(void *context, size_t wanted)
{
    assert_ptr_equal(context, &oom);
    oom.wanted = wanted;
    longjmp(oom.back, 1);
}

/* An array begun with room for many has a block of its own: what was made beside it stays when it moves. */
static void begun_with_room(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    tw_arena_alloc(arena, (size_t)4 << 20, 1);
    size_t cap = 20000;
    int64_t *at = tw_arena_grow(arena, NULL, 0, &cap, sizeof *at);
    assert_int_equal(cap, 20000);
    const char *beside = tw_arena_dupz(arena, TW_STR("truing stand"));
    for (size_t len = 0; len < 100000; len++) {
        at = tw_arena_grow(arena, at, len, &cap, sizeof *at);
        assert_int_equal(at[len], 0);
        at[len] = (int64_t)len;
    }
    for (size_t i = 0; i < 100000; i++)
        assert_int_equal(at[i], i);
    assert_string_equal(beside, "truing stand");
    assert_string_equal(tw_arena_dupz(arena, TW_STR("hub")), "hub");
}

/* Sizes that cannot be: the handler is called and the arena stays usable. */
static void memory_runs_out(void **state)
{
    (void)state;
    tw_arena *arena = tw_arena_new(remember, &oom);
    if (setjmp(oom.back) == 0) {
        tw_arena_alloc(arena, SIZE_MAX / 2, 3);
        fail_msg("an overflowing product was given out");
    }
    assert_true(oom.wanted == SIZE_MAX);
    if (setjmp(oom.back) == 0) {
        tw_arena_alloc(arena, SIZE_MAX - 40, 1);
        fail_msg("nearly all of memory was given out");
    }
    size_t cap = SIZE_MAX / 4;
    if (setjmp(oom.back) == 0) {
        tw_arena_grow(arena, NULL, cap, &cap, 16);
        fail_msg("an array grew past memory");
    }
    assert_string_equal(tw_arena_dupz(arena, TW_STR("still here")), "still here");
    tw_arena_free(&arena);
    assert_null(arena);
    tw_arena_free(&arena);
}

TW_SUITE(arena)
{
    const struct CMUnitTest tests[] = {
        TW_TEST(zeroed_and_aligned), TW_TEST(growing_arrays), TW_TEST(begun_with_room), TW_TEST(sorted),
        TW_TEST(searched),           TW_TEST(texts),          TW_TEST(adopting),        TW_TEST(reserving),
        TW_TEST(memory_runs_out),
    };
    return tw_run("base/arena", tests);
}
