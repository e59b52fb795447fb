/* SPDX-License-Identifier: Apache-2.0
 *
 * tallwide/otio.h - OpenTimelineIO JSON, every schema and version of its releases 0.12 to 0.18 and main.
 */
#ifndef TALLWIDE_OTIO_H
#define TALLWIDE_OTIO_H

#include <tallwide/timeline.h>

#ifdef __cplusplus
extern "C" {
#endif

/* The format's row: reads and writes through tw_format (tallwide/timeline.h). */
extern const tw_format tw_format_otio;

/* Does a derived document hold the master's, value for value and number text for number text, but for what this tool
 * adds: its effect on clips, and the timeline's name and metadata? Members may stand in another order. Every difference
 * is a finding (TW1338) at its place in `derived`, whose display name is `file`. */
bool tw_otio_unchanged(tw_arena *arena, tw_str master, tw_str derived, tw_str file, tw_diags *diags);

#ifdef __cplusplus
}
#endif
#endif
