/* SPDX-License-Identifier: Apache-2.0
 *
 * tallwide/edl.h - SMPTE ST 258 style text edit decision lists.
 */
#ifndef TALLWIDE_EDL_H
#define TALLWIDE_EDL_H

#include <tallwide/timeline.h>

#ifdef __cplusplus
extern "C" {
#endif

/* The format's row: reads and writes through tw_format (tallwide/timeline.h). */
extern const tw_format tw_format_edl;

#ifdef __cplusplus
}
#endif
#endif
