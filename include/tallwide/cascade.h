/* SPDX-License-Identifier: Apache-2.0
 *
 * tallwide/cascade.h - trained cascades from files.
 */
#ifndef TALLWIDE_CASCADE_H
#define TALLWIDE_CASCADE_H

#include <tallwide/diag.h>
#include <tallwide/subject.h>

#ifdef __cplusplus
extern "C" {
#endif

/* Reads a cascade as OpenCV 2.4 and later write them (an XML element `cascade` of type opencv-cascade-classifier, BOOST
 * stages of HAAR features); Debian's opencv-data has some, for faces, upper bodies and more. `file` is the name shown
 * in findings. All numbers inside are checked, so that tw_cascade_find may trust them. Findings TW20xx, TW2191 and
 * TW2192: TW_ERR_SYNTAX where the bytes are not such a file, TW_ERR_SEMANTIC where they contradict themselves. */
tw_status tw_cascade_read(tw_arena *arena, tw_str bytes, tw_str file, tw_diags *diags, tw_cascade *out);

#ifdef __cplusplus
}
#endif
#endif
