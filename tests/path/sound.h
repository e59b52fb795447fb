/* SPDX-License-Identifier: Apache-2.0
 *
 * Checks of a solved path from its keys alone.
 */
#ifndef TW_TESTS_PATH_SOUND_H
#define TW_TESTS_PATH_SOUND_H

#include "path/path_internal.h"

/* Fails unless every window lies inside the source; how many frames cut a must region. */
size_t lost_frames(const tw_path_job *job, const tw_path_result *r);

/* Fails unless path and compromises make sense. */
void check_sound(const tw_path_job *job, const tw_path_result *r);

/* How many random cases to run: all of them with TW_LONG=1, else a tenth, a hundredth with TW_TEST_SHORT=1 (valgrind). */
size_t random_rounds(size_t full);

#endif
