/* SPDX-License-Identifier: Apache-2.0
 *
 * What the files of media share.
 */
#ifndef TW_MEDIA_INTERNAL_H
#define TW_MEDIA_INTERNAL_H

#include "media/child.h"

/* The programs to run. */
const char *twi_media_ffmpeg(const tw_media_tools *tools);
const char *twi_media_ffprobe(const tw_media_tools *tools);

/* Some builds of ffmpeg come without the better coder. */
twi_child_fault twi_media_has_h264(tw_arena *arena, const tw_media_tools *tools, bool *has);

/* What ffmpeg calls the samples of sound: 16 bit, in the order of this machine. */
const char *twi_media_samples(void);

/* Options before an input: begin decoding at or shortly before a frame, time stamps as in the file. */
void twi_media_seek(twi_args *args, const tw_media_info *info, int64_t first);

/* Begins a chain of filters: exactly these frames, numbered as the file's. Ends with a comma, or is nothing. */
void twi_media_clock(tw_buf *filter, const tw_media_info *info, int64_t first, int64_t count);

#endif
