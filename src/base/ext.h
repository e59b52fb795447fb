/* SPDX-License-Identifier: Apache-2.0
 *
 * The one header with compiler extensions: everything else is plain C11.
 */
#ifndef TW_BASE_EXT_H
#define TW_BASE_EXT_H

#if !defined(__SIZEOF_INT128__)
#error "tallwide needs a compiler with a 128-bit integer (gcc or clang on a 64-bit machine)"
#endif

__extension__ typedef __int128 twi_i128;

/* A caller's mistake, not a file's: stops in debug builds, checked in release builds too (it costs nothing here). */
#define TW_ASSERT(condition) ((condition) ? (void)0 : twi_assert_failed(#condition, __FILE__, __LINE__))
_Noreturn void twi_assert_failed(const char *condition, const char *file, int line);

#endif
