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

#ifdef __cplusplus
}
#endif
#endif
