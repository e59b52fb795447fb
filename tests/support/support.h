/* SPDX-License-Identifier: Apache-2.0
 *
 * What every test file needs. A file tests/m/test_f.c holds `static void` cases that take (void **state), and one
 *   TW_SUITE(f) { const struct CMUnitTest tests[] = {TW_TEST(a_case)}; return tw_run("m/f", tests); }
 * Cases get an arena from tw_test_arena(state); it is freed after each case, also after a failed one.
 * Prefer one case that walks a table of rows; tw_row(i, name) names the row that failed.
 */
#ifndef TW_TESTS_SUPPORT_H
#define TW_TESTS_SUPPORT_H

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include <tallwide/base.h>
#include <tallwide/diag.h>

#define TW_TEST(f) cmocka_unit_test_setup_teardown(f, tw_test_setup, tw_test_teardown)

/* Declares and heads the function that runs a file's cases. */
#define TW_SUITE(file)                                                                                                 \
    int test_##file(void);                                                                                             \
    int test_##file(void)

int tw_test_setup(void **state);
int tw_test_teardown(void **state);
tw_arena *tw_test_arena(void **state);

/* Runs a group and gives the number of failed cases. */
#define tw_run(group, tests) cmocka_run_group_tests_name(group, tests, NULL, NULL)

/* Remembered and printed when a later assertion of the case fails. */
void tw_row(size_t index, const char *name);

/* Fails with both texts shown when they differ. */
void tw_assert_text(tw_str got, const char *expected);

/* Fails with the text shown unless the part stands in it. */
void tw_assert_holds(tw_str text, const char *part);

/* Where `what` begins in the text, at `from` or later; fails when it is not there. */
size_t tw_find(tw_str text, const char *what, size_t from);

/* The text with the first `from` behind the first `after` replaced; fails when they are not there. */
tw_str tw_replaced(tw_arena *arena, tw_str text, const char *after, const char *from, const char *to);

/* Fails unless |got - expected| <= slack. */
void tw_assert_near(double got, double expected, double slack);

/* A file below fixtures/, whole; fails the case when it cannot be read. */
tw_str tw_fixture(tw_arena *arena, const char *path);

/* All findings as text, for comparing with an expected block. */
const char *tw_findings(tw_arena *arena, const tw_diags *diags);

/* Writes the codes of all findings made so far, one a line, to a file; not 0 when it cannot. Called at the end of each
 * test binary; tests/codes/run reads them. */
int tw_codes_save(const char *path);

/* Should long walks be cut short? True under valgrind (tests/run sets TW_TEST_SHORT). */
bool tw_test_short(void);

/* The same numbers on every machine: a small published generator (SplitMix64, Steele, Lea, Flood 2014). */
typedef struct tw_rng {
    uint64_t state;
} tw_rng;
uint64_t tw_rng_next(tw_rng *rng);
double tw_rng_unit(tw_rng *rng);                                  /* [0, 1) */
int64_t tw_rng_between(tw_rng *rng, int64_t least, int64_t most); /* both included */

#endif
