/* SPDX-License-Identifier: Apache-2.0
 *
 * The alignment against a search through every grouping, and against what was done to make a version.
 */
#include "recut/versions.h"

#include <stdlib.h>
#include <string.h>

/* ---- the cheapest grouping by trying all ----------------------------------------------------------------- */

#define MOST 7

typedef struct pair {
    const row_shot *a, *b;
    size_t n, m;
} pair;

/* Source frames [low, high) a row shows. */
static void span(const row_shot *s, int64_t *low, int64_t *high)
{
    int64_t length = s->frames * s->speed;
    *low = s->speed >= 0 ? s->start : s->start + length - s->speed;
    *high = s->speed > 0 ? s->start + length : s->speed == 0 ? s->start + 1 : s->start - s->speed;
}

static bool linked(const row_shot *a, const row_shot *b)
{
    int64_t al, ah, bl, bh;
    span(a, &al, &ah);
    span(b, &bl, &bh);
    return strcmp(a->reel, b->reel) == 0 && al < bh && bl < ah;
}

static int64_t trim(double source, int speed)
{
    if (source == 0)
        return 0;
    int64_t frames = (int64_t)(source / abs(speed) + 0.5);
    return 1000 + (frames < 499 ? frames : 499);
}

static int64_t least(int64_t a, int64_t b)
{
    return a < b ? a : b;
}

/* A head or tail `apart` source frames away, counted in record frames of either shot. */
static int64_t end_price(int64_t apart, const row_shot *a, const row_shot *b)
{
    double far = (double)(apart < 0 ? -apart : apart);
    return least(trim(far, a->speed), trim(far, b->speed));
}

static int64_t head_price(const row_shot *a, const row_shot *b)
{
    return end_price(a->start - b->start, a, b);
}

static int64_t tail_price(const row_shot *a, const row_shot *b)
{
    return end_price(a->start + a->frames * a->speed - b->start - b->frames * b->speed, a, b);
}

/* Price of piece b after piece a; -1 when it is none. */
static int64_t piece_price(const row_shot *a, const row_shot *b)
{
    int64_t apart = (b->start - a->start - a->frames * a->speed) * (a->speed < 0 ? -1 : 1);
    if (strcmp(a->reel, b->reel) != 0 || a->speed != b->speed || apart < 0)
        return -1;
    return 1000 + (apart > 0 ? 250 : 0);
}

static int64_t cheapest(const pair *p, size_t i, size_t j);

/* Grows a split of old i (or a join into new j when `join`) from the piece `at` on; `so_far` is paid already. */
static int64_t grow(const pair *p, size_t i, size_t j, bool join, int64_t so_far)
{
    const row_shot *a = &p->a[i], *b = &p->b[j];
    int64_t best = so_far + tail_price(a, b) + cheapest(p, i + 1, j + 1);
    for (size_t k = (join ? i : j) + 1; k < (join ? p->n : p->m); k++) {
        const row_shot *next = join ? &p->a[k] : &p->b[k];
        int64_t piece = piece_price(join ? a : b, next);
        bool fits = join ? linked(next, b) && next->speed == b->speed : linked(a, next) && next->speed == a->speed;
        if (piece < 0 || !fits)
            continue;
        int64_t between = 4000 * (int64_t)(k - (join ? i : j) - 1);
        best = least(best, grow(p, join ? k : i, join ? j : k, join, so_far + piece + between));
    }
    return best;
}

static int64_t cheapest(const pair *p, size_t i, size_t j)
{
    if (i == p->n || j == p->m)
        return 4000 * (int64_t)(p->n - i + p->m - j);
    int64_t best = 4000 + least(cheapest(p, i + 1, j), cheapest(p, i, j + 1));
    const row_shot *a = &p->a[i], *b = &p->b[j];
    if (!linked(a, b))
        return best;
    int64_t head = head_price(a, b);
    if (a->speed != b->speed)
        return least(best, head + tail_price(a, b) + 1000 + cheapest(p, i + 1, j + 1));
    return least(best, least(grow(p, i, j, false, head), grow(p, i, j, true, head)));
}

static size_t random_rows(tw_rng *rng, row_shot *rows)
{
    static const char *const reels[] = {"A003", "B001"};
    size_t count = (size_t)tw_rng_between(rng, 0, MOST);
    for (size_t i = 0; i < count; i++)
        rows[i] = (row_shot){
            .reel = reels[tw_rng_between(rng, 0, 1)],
            .start = 1000 + tw_rng_between(rng, 0, 8) * 10,
            .frames = tw_rng_between(rng, 1, 5) * 10,
            .speed = tw_rng_between(rng, 0, 5) > 0 ? 1
                     : tw_rng_between(rng, 0, 1)   ? 2
                                                   : -1,
        };
    return count;
}

/* A few changes of the kind people make. */
static size_t change_rows(tw_rng *rng, const row_shot *from, size_t count, row_shot *to)
{
    memcpy(to, from, count * sizeof *to);
    for (int64_t k = tw_rng_between(rng, 0, 3); k > 0 && count > 0; k--) {
        size_t at = (size_t)tw_rng_between(rng, 0, (int64_t)count - 1);
        switch (tw_rng_between(rng, 0, 3)) {
        case 0: to[at].frames = tw_rng_between(rng, 1, 60); break;
        case 1: memmove(to + at, to + at + 1, (--count - at) * sizeof *to); break;
        case 2:
            if (count < MOST && to[at].frames > 1 && to[at].speed == 1) {
                memmove(to + at + 1, to + at, (count++ - at) * sizeof *to);
                to[at].frames /= 2;
                to[at + 1].start += to[at].frames;
                to[at + 1].frames -= to[at].frames;
            }
            break;
        default: to[at].start += tw_rng_between(rng, -5, 5); break;
        }
    }
    return count;
}

static void as_cheap_as_any(void **state)
{
    tw_rng rng = {6};
    size_t grouped = 0;
    for (int k = 0; k < 3000; k++) {
        tw_arena *arena = tw_arena_like(tw_test_arena(state));
        row_shot a[MOST], b[MOST];
        size_t n = random_rows(&rng, a);
        size_t m = k % 2 == 0 ? random_rows(&rng, b) : change_rows(&rng, a, n, b);
        tw_row((size_t)k, "random versions");
        const pair p = {a, b, n, m};
        tw_timeline *x = version(arena, a, n), *y = version(arena, b, m);
        const tw_alignment *there = tw_recut_align(arena, x, y), *back = tw_recut_align(arena, y, x);
        assert_int_equal(there->cost, cheapest(&p, 0, 0));
        assert_int_equal(there->cost, back->cost);
        for (size_t g = 0; g < there->group_count; g++)
            grouped += there->groups[g].old_count + there->groups[g].new_count > 2;
        tw_arena_free(&arena);
    }
    assert_true(grouped > 100); /* the cases do hold splits and joins */
}

/* The price the groups add up to is the price claimed; every shot is in one group at most; order is kept. */
static void groups_are_sound(void **state)
{
    tw_rng rng = {7};
    for (int k = 0; k < 1000; k++) {
        tw_arena *arena = tw_arena_like(tw_test_arena(state));
        row_shot a[MOST], b[MOST];
        size_t n = random_rows(&rng, a), m = change_rows(&rng, a, n, b);
        tw_row((size_t)k, "random versions");
        const tw_alignment *al = tw_recut_align(arena, version(arena, a, n), version(arena, b, m));
        int64_t price = 4000 * (int64_t)(n + m);
        size_t last_old = 0, last_new = 0;
        for (size_t g = 0; g < al->group_count; g++) {
            const tw_shot_group *s = &al->groups[g];
            const row_shot *a0 = &a[s->olds[0]], *b0 = &b[s->news[0]];
            const row_shot *a1 = &a[s->olds[s->old_count - 1]], *b1 = &b[s->news[s->new_count - 1]];
            if (s->moved)
                continue;
            assert_true(s->olds[0] >= last_old && s->news[0] >= last_new);
            last_old = s->olds[s->old_count - 1] + 1;
            last_new = s->news[s->new_count - 1] + 1;
            price += head_price(a0, b0) + tail_price(a1, b1) + (a0->speed != b0->speed ? 1000 : 0);
            price -= 4000 * (int64_t)(s->old_count + s->new_count);
            for (size_t i = 1; i < s->old_count; i++)
                price += piece_price(&a[s->olds[i - 1]], &a[s->olds[i]]);
            for (size_t i = 1; i < s->new_count; i++)
                price += piece_price(&b[s->news[i - 1]], &b[s->news[i]]);
        }
        assert_int_equal(price, al->cost);
        tw_arena_free(&arena);
    }
}

/* ---- size ------------------------------------------------------------------------------------------------ */

#define MANY 10000

static row_shot *many_rows(tw_arena *arena, size_t count, bool same_take)
{
    static const char *const reels[] = {"A003", "A004", "B001", "C002"};
    tw_rng rng = {8};
    row_shot *rows = TW_NEW_N(arena, row_shot, count);
    for (size_t i = 0; i < count; i++) {
        rows[i] = (row_shot){
            .reel = reels[i % 4],
            .start = 86400 + (int64_t)i * 30,
            .frames = tw_rng_between(&rng, 10, 60),
            .speed = 1,
        };
        if (same_take)
            rows[i] = (row_shot){"A003", 86400, 24, 1};
    }
    return rows;
}

/* A twentieth moved from the front, a hundredth trimmed, a hundredth removed from the end. */
static const tw_alignment *align_many(tw_arena *arena, size_t n)
{
    row_shot *a = many_rows(arena, n, false), *b = TW_NEW_N(arena, row_shot, n);
    size_t block = n / 20, to = 2 * n / 5;
    memcpy(b, a + block, (to - block) * sizeof *b);
    memcpy(b + to - block, a, block * sizeof *b);
    memcpy(b + to, a + to, (n - to) * sizeof *b);
    for (size_t i = n / 2; i < n / 2 + n / 100; i++)
        b[i].frames--;
    return tw_recut_align(arena, version(arena, a, n), version(arena, b, n - n / 100));
}

/* Twice as many shots take twice the work, up to what the ends of the lists make of it. */
static void assert_linear(const tw_alignment *half, const tw_alignment *whole)
{
    assert_true(half->pairs > 0);
    assert_in_range(whole->pairs, half->pairs, 2 * half->pairs + half->pairs / 50);
}

static void ten_thousand_recut(void **state)
{
    const tw_alignment *al = align_many(tw_test_arena(state), MANY);
    size_t moved = 0;
    for (size_t g = 0; g < al->group_count; g++)
        moved += al->groups[g].moved;
    assert_int_equal(al->group_count, MANY - 100);
    assert_int_equal(moved, 500);
    assert_linear(align_many(tw_test_arena(state), MANY / 2), al);
}

/* The hardest case for a list of candidates: one take all the time; 300 uses of it are gone. */
static const tw_alignment *align_one_take(tw_arena *arena, size_t n)
{
    row_shot *a = many_rows(arena, n, true);
    return tw_recut_align(arena, version(arena, a, n), version(arena, a, n - 3 * n / 100));
}

static void one_take_ten_thousand_times(void **state)
{
    const tw_alignment *al = align_one_take(tw_test_arena(state), MANY);
    assert_int_equal(al->group_count, MANY - 300);
    assert_int_equal(al->cost, 300 * TW_PRICE_ALONE);
    assert_linear(align_one_take(tw_test_arena(state), MANY / 2), al);
}

TW_SUITE(align)
{
    const struct CMUnitTest tests[] = {
        TW_TEST(as_cheap_as_any),
        TW_TEST(groups_are_sound),
        TW_TEST(ten_thousand_recut),
        TW_TEST(one_take_ten_thousand_times),
    };
    return tw_run("recut/align", tests);
}
