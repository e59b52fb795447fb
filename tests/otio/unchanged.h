/* SPDX-License-Identifier: Apache-2.0 */
#ifndef TW_TESTS_OTIO_UNCHANGED_H
#define TW_TESTS_OTIO_UNCHANGED_H

#include <tallwide/base.h>

/* Does a derived document hold the master's, value for value and number text for number text, but for what this tool
 * adds: its effect on clips, and the timeline's name and metadata? Members may stand in another order. NULL when it
 * does, else LINE:COLUMN in `derived` and words for the first difference. */
const char *otio_difference(tw_arena *arena, tw_str master, tw_str derived);

#endif
