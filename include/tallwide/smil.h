/* SPDX-License-Identifier: Apache-2.0
 *
 * tallwide/smil.h - SMIL 3.0 (W3C Recommendation 2008-12-01), Language profile, with animated panZoom windows.
 *
 * One seq per track, all in one par. Clock values are npt seconds, rounded up to milliseconds (so that a time never
 * falls before its frame); exact frames stand in param elements, which is what reads back. panZoom is in whole source
 * pixels, one animate per interval; eased corners are drawn as chords no more than TW_SMIL_CHORD pixels off. The exact
 * keys stand in param elements too.
 *
 * Of files by other hands the times, media and transIn of clips are read; the rest is told, counted (TW2016).
 */
#ifndef TALLWIDE_SMIL_H
#define TALLWIDE_SMIL_H

#include <tallwide/timeline.h>

#ifdef __cplusplus
extern "C" {
#endif

#define TW_SMIL_CHORD 0.5 /* source pixels */

/* The format's row: reads and writes through tw_format (tallwide/timeline.h). */
extern const tw_format tw_format_smil;

#ifdef __cplusplus
}
#endif
#endif
