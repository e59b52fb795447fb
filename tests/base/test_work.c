/* SPDX-License-Identifier: Apache-2.0 */
#include "support/support.h"

#define PIECES 1000

typedef struct answers {
    int64_t *at[PIECES];
    int times[PIECES];
    size_t here; /* pieces told to run on the calling thread */
} answers;

static void square(void *context, tw_arena *arena, size_t index, bool here)
{
    answers *a = context;
    a->at[index] = TW_NEW(arena, int64_t);
    *a->at[index] = (int64_t)(index * index);
    a->times[index]++;
    if (here)
        a->here++; /* by one thread alone */
}

/* Every piece is done once, whatever the number of threads, and what threads left outlives them. */
static void each_once(void **state)
{
    static const struct {
        const char *name;
        size_t count;
        unsigned threads;
    } rows[] = {{"none asked for", PIECES, 0}, {"one", PIECES, 1},         {"a few", PIECES, 5},
                {"more than pieces", 3, 50},   {"too many", PIECES, 1000}, {"nothing to do", 0, 5}};
    for (size_t r = 0; r < sizeof rows / sizeof rows[0]; r++) {
        answers a = {.here = 0};
        tw_row(r, rows[r].name);
        tw_work(tw_test_arena(state), rows[r].count, rows[r].threads, square, &a);
        for (size_t i = 0; i < PIECES; i++)
            assert_int_equal(a.times[i], i < rows[r].count);
        for (size_t i = 0; i < rows[r].count; i++)
            assert_int_equal(*a.at[i], i * i);
        assert_true(a.here <= rows[r].count);
        if (rows[r].threads <= 1)
            assert_int_equal(a.here, rows[r].count);
    }
}

TW_SUITE(work)
{
    const struct CMUnitTest tests[] = {TW_TEST(each_once)};
    return tw_run("base/work", tests);
}
