/* SPDX-License-Identifier: Apache-2.0
 *
 * Shared by arena.c and buf.c.
 */
#ifndef TW_BASE_ARENA_TEXT_H
#define TW_BASE_ARENA_TEXT_H

#include <tallwide/base.h>

/* `at`, or a larger copy of its first `len` bytes, with room for at least `more` behind them; updates *cap. */
char *twi_arena_text(tw_arena *arena, char *at, size_t len, size_t *cap, size_t more);

#endif
