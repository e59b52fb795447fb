/* SPDX-License-Identifier: Apache-2.0
 *
 * One fuzz target a file: tests/fuzz/fuzz_<name>.c defines the entry below and says with FUZZ_CHECK what must hold for
 * whatever it is given. Built with a fuzzer when TW_FUZZ is on, and always as a test over tests/fuzz/corpus/<name>/.
 */
#ifndef TW_TESTS_FUZZ_H
#define TW_TESTS_FUZZ_H

#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

#include <tallwide/diag.h>

/* Says what was found when it holds an error, which is about to end the run. */
static inline void fuzz_tell(const tw_diags *diags, const char *when)
{
    for (size_t i = 0; tw_diags_failed(diags) && i < tw_diags_kept(diags); i++) {
        const tw_diag *d = tw_diags_get(diags, i);
        if (d->severity == TW_ERROR)
            fprintf(stderr, "%s: %.*s TW%d %.*s\n", when, TW_ARG(d->place.file), d->code, TW_ARG(d->message));
    }
}

/* Whatever was found can be written in both forms. */
static inline void fuzz_write_out(tw_arena *arena, const tw_diags *diags)
{
    tw_buf text = {.arena = arena};
    tw_diags_write_text(diags, TW_NOTE, &text);
    tw_diags_write_json(diags, 2, &text);
}

#define FUZZ_CHECK(condition)                                                                                          \
    do {                                                                                                               \
        if (!(condition)) {                                                                                            \
            fprintf(stderr, "%s:%d: does not hold: %s\n", __FILE__, __LINE__, #condition);                             \
            abort();                                                                                                   \
        }                                                                                                              \
    } while (0)

#endif
