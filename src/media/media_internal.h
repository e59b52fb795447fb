/* SPDX-License-Identifier: Apache-2.0
 *
 * What the files of media share.
 */
#ifndef TW_MEDIA_INTERNAL_H
#define TW_MEDIA_INTERNAL_H

#include "media/child.h"

const char *twi_media_ffmpeg(const tw_media_tools *tools); /* the program to run */

/* Begins the arguments of an ffmpeg that reads a local file, and names the file and which stream of it. */
void twi_media_decode(twi_args *args, const tw_media_tools *tools, const char *level);
void twi_media_input(twi_args *args, const tw_media_info *info, int32_t stream);

/* Some builds of ffmpeg come without the better coder. */
twi_child_fault twi_media_has_h264(tw_arena *arena, const tw_media_tools *tools, bool *has);

/* What ffmpeg calls the samples of sound: 16 bit, in the order of this machine. */
const char *twi_media_samples(void);

#endif
