/* SPDX-License-Identifier: Apache-2.0
 *
 * One frame as a picture file. The frame is decoded as any other, so that it is the exact one; a second process makes
 * the JPEG of it.
 */
#include "media/media_internal.h"

#define STILL_LIMIT ((size_t)256 << 20) /* bytes of a JPEG */

/* JPEG holds 0..255 and the older matrix (ITU-T T.871); pictures here hold 16..235 and ITU-R BT.709. */
static tw_status compress(tw_arena *arena, const tw_media_tools *tools, const tw_media_info *info,
                          const tw_media_frame *frame, tw_diags *diags, tw_buf *out)
{
    twi_args args = {.arena = arena};
    twi_args_add(&args, twi_media_ffmpeg(tools));
    twi_args_list(&args, (const char *const[]){"-hide_banner", "-nostats", "-loglevel", "level+error", "-f", "rawvideo",
                                               "-pix_fmt", "yuv444p", "-video_size", NULL});
    twi_args_addf(&args, "%dx%d", frame->width, frame->height);
    twi_args_list(&args, (const char *const[]){"-i", "pipe:0", "-vf",
                                               "scale=in_range=tv:out_range=pc:in_color_matrix=bt709:out_color_matrix="
                                               "bt601:flags=accurate_rnd+full_chroma_int,format=yuvj420p",
                                               "-frames:v", "1", "-c:v", "mjpeg", "-q:v", "3", "-flags", "+bitexact",
                                               "-f", "image2pipe", "pipe:1", NULL});
    const twi_child_ask ask = {.args = &args, .feeds = true, .stop = tools->stop};
    twi_child *child = NULL;
    twi_child_fault fault = twi_child_start(arena, &ask, &child);
    if (fault == TWI_CHILD_FINE)
        fault = twi_child_write(child, frame->planes[0], 3 * (size_t)frame->width * (size_t)frame->height);
    if (fault == TWI_CHILD_FINE)
        fault = twi_child_collect(child, STILL_LIMIT, out);
    tw_status status = twi_child_tell(fault, child, args.at[0], 2103, info->path, "no still can be made of it", diags);
    twi_child_end(&child);
    return status;
}

tw_status tw_media_still(tw_arena *arena, const tw_media_tools *tools, const tw_media_info *info, int64_t frame,
                         int32_t width, tw_diags *diags, tw_str *jpeg)
{
    const tw_media_ask ask = {.first = frame, .count = 1, .width = width, .pixels = TW_PIXELS_YUV};
    const tw_media_frame *got = NULL;
    tw_media_reader *reader = NULL;
    *jpeg = (tw_str){NULL, 0};
    tw_arena *scratch = tw_arena_like(arena);
    tw_status status = tw_media_open(scratch, tools, info, &ask, diags, &reader);
    if (status == TW_OK)
        status = tw_media_next(reader, &got);
    tw_buf picture = {.arena = scratch};
    if (status == TW_OK && got != NULL)
        status = compress(scratch, tools, info, got, diags, &picture);
    if (status == TW_OK && got != NULL)
        *jpeg = tw_arena_dup(arena, tw_buf_str(&picture));
    tw_media_close(&reader);
    tw_arena_free(&scratch);
    return status;
}
