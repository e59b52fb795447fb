/* SPDX-License-Identifier: Apache-2.0 */
#include "support/support.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static struct {
    size_t index;
    const char *name;
} row;

int tw_test_setup(void **state)
{
    row.name = NULL;
    *state = tw_arena_new(NULL, NULL);
    return 0;
}

int tw_test_teardown(void **state)
{
    tw_arena *arena = *state;
    tw_arena_free(&arena);
    return 0;
}

tw_arena *tw_test_arena(void **state)
{
    return *state;
}

void tw_row(size_t index, const char *name)
{
    row.index = index;
    row.name = name;
}

static void print_row(void)
{
    if (row.name != NULL)
        print_error("in row %zu: %s\n", row.index, row.name);
}

void tw_assert_text(tw_str got, const char *expected)
{
    if (tw_str_is(got, expected))
        return;
    print_row();
    print_error("--- expected\n%s\n--- got\n%.*s\n---\n", expected, TW_ARG(got));
    fail();
}

void tw_assert_holds(tw_str text, const char *part)
{
    if (!tw_str_holds(text, tw_str_z(part)))
        tw_assert_text(text, part);
}

size_t tw_find(tw_str text, const char *what, size_t from)
{
    while (from <= text.len && !tw_str_starts(tw_str_from(text, from), tw_str_z(what)))
        from++;
    if (from <= text.len)
        return from;
    print_row();
    print_error("\"%s\" is not in the text\n", what);
    fail();
    return 0;
}

tw_str tw_replaced(tw_arena *arena, tw_str text, const char *after, const char *from, const char *to)
{
    size_t at = tw_find(text, from, tw_find(text, after, 0));
    tw_buf out = {.arena = arena};
    tw_buf_add(&out, tw_str_cut(text, at));
    tw_buf_addz(&out, to);
    tw_buf_add(&out, tw_str_from(text, at + strlen(from)));
    return tw_buf_str(&out);
}

void tw_assert_near(double got, double expected, double slack)
{
    if (fabs(got - expected) <= slack)
        return;
    print_row();
    print_error("expected %.17g +- %g, got %.17g\n", expected, slack, got);
    fail();
}

tw_str tw_fixture(tw_arena *arena, const char *path)
{
    tw_str bytes, why;
    tw_str full = tw_arena_printf(arena, "%s/%s", TW_FIXTURES, path);
    if (tw_file_read(arena, full.at, TW_FILE_LIMIT, &bytes, &why) != TW_OK) {
        print_error("%.*s\n", TW_ARG(why));
        fail();
    }
    return bytes;
}

const char *tw_findings(tw_arena *arena, const tw_diags *diags)
{
    tw_buf text = {.arena = arena};
    tw_diags_write_text(diags, TW_NOTE, &text);
    tw_buf_addc(&text, '\0');
    return text.at;
}

/* ---- codes ------------------------------------------------------------------------------------------------- */

#define CODES 10000

static bool seen[CODES];

/* The linker puts these before every call (-Wl,--wrap). */
void __real_tw_diag_addv(tw_diags *diags, int code, const tw_place *place, const char *format, va_list values);
void __wrap_tw_diag_addv(tw_diags *diags, int code, const tw_place *place, const char *format, va_list values);
void __wrap_tw_diag_add(tw_diags *diags, int code, const tw_place *place, const char *format, ...) TW_PRINTF(4, 5);

void __wrap_tw_diag_addv(tw_diags *diags, int code, const tw_place *place, const char *format, va_list values)
{
    __real_tw_diag_addv(diags, code, place, format, values);
    if (code >= 0 && code < CODES)
        seen[code] = true; /* by any thread: all write the same */
}

void __wrap_tw_diag_add(tw_diags *diags, int code, const tw_place *place, const char *format, ...)
{
    va_list values;
    va_start(values, format);
    __wrap_tw_diag_addv(diags, code, place, format, values);
    va_end(values);
}

int tw_codes_save(const char *path)
{
    FILE *out = fopen(path, "w");
    if (out == NULL)
        return 1;
    for (int code = 0; code < CODES; code++)
        if (seen[code])
            fprintf(out, "TW%d\n", code);
    return fclose(out) != 0;
}

bool tw_test_short(void)
{
    return getenv("TW_TEST_SHORT") != NULL;
}

uint64_t tw_rng_next(tw_rng *rng)
{
    uint64_t z = rng->state += UINT64_C(0x9E3779B97F4A7C15);
    z = (z ^ (z >> 30)) * UINT64_C(0xBF58476D1CE4E5B9);
    z = (z ^ (z >> 27)) * UINT64_C(0x94D049BB133111EB);
    return z ^ (z >> 31);
}

double tw_rng_unit(tw_rng *rng)
{
    return (double)(tw_rng_next(rng) >> 11) / 9007199254740992.0;
}

int64_t tw_rng_between(tw_rng *rng, int64_t least, int64_t most)
{
    return least + (int64_t)(tw_rng_next(rng) % (uint64_t)(most - least + 1));
}
