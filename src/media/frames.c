/* SPDX-License-Identifier: Apache-2.0
 *
 * Frames of a file, one after the other, exactly those asked for: ffmpeg is let in a little early, puts every picture
 * on the file's frame clock and leaves out those before; it also tells the number of each, which is held against ours.
 */
#include "media/media_internal.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

struct tw_media_reader {
    tw_arena *arena;
    const tw_media_tools *tools;
    const tw_media_info *info;
    tw_diags *diags;
    tw_media_ask ask;
    twi_child *child;
    tw_media_frame frame;
    uint8_t *bytes;
    size_t size;
    int64_t given;
    int64_t told, told_first; /* frame numbers the decoder has told of, and the first of them */
    bool broken, ended;
    bool jpeg; /* one picture as a file instead of frames */
};

/* ---- what the decoder tells ------------------------------------------------------------------------------ */

/* "[...] [info] n:   0 pts:     37 pts_time:..." */
static void hear(void *context, tw_str line)
{
    tw_media_reader *r = context;
    static const char word[] = " pts:";
    int64_t number;
    if (r->told > 0)
        return; /* the clock goes on frame by frame: the first tells all */
    for (size_t i = 0; i + sizeof word < line.len; i++) {
        if (memcmp(line.at + i, word, sizeof word - 1) != 0)
            continue;
        tw_str rest = tw_str_trim(tw_str_from(line, i + sizeof word - 1));
        size_t n = 0;
        while (n < rest.len && rest.at[n] != ' ')
            n++;
        if (tw_num_int(tw_str_cut(rest, n), &number)) {
            r->told++;
            r->told_first = number;
            return;
        }
    }
}

/* ---- starting -------------------------------------------------------------------------------------------- */

/* Options before an input: begin decoding at or shortly before a frame, time stamps as in the file. */
static void seek(twi_args *args, const tw_media_info *info, int64_t first)
{
    double at = info->lead - info->margin;
    if (!info->still)
        at += ((double)first - 0.5) / tw_rate_fps(info->rate);
    twi_args_list(args, (const char *const[]){"-noaccurate_seek", "-copyts", NULL});
    if (at > 0 && !info->still)
        twi_args_seconds(args, "-ss", at);
}

/* Begins a chain of filters: exactly these frames, numbered as the file's. Ends with a comma, or is nothing. */
static void clock_frames(tw_buf *filter, const tw_media_info *info, int64_t first, int64_t count)
{
    if (info->still)
        return;
    tw_buf_addf(filter, "setpts=PTS-(%lld),fps=fps=%d/%d:round=near,trim=start_pts=%lld:end_pts=%lld,",
                (long long)info->first_pts, info->rate.num, info->rate.den, (long long)first,
                (long long)(first + count));
}

static char *filter_of(const tw_media_reader *r)
{
    tw_buf f = {.arena = r->arena};
    bool smaller = r->frame.width < r->info->width;
    clock_frames(&f, r->info, r->ask.first, r->ask.count);
    tw_buf_addf(&f, "showinfo=checksum=0,scale=%d:%d:flags=%s+accurate_rnd+full_chroma_int", r->frame.width,
                r->frame.height, smaller ? "area" : "bicubic");
    if (r->ask.pixels == TW_PIXELS_YUV)
        tw_buf_addf(&f, ":out_range=tv%s", r->info->rgb ? ":out_color_matrix=bt709" : "");
    tw_buf_addf(&f, ",format=%s", r->ask.pixels == TW_PIXELS_YUV ? "yuv444p" : "gray");
    if (r->jpeg) /* JPEG holds 0..255 and the older matrix (ITU-T T.871); ours are 16..235 and ITU-R BT.709 */
        tw_buf_addz(&f, ",scale=in_range=tv:out_range=pc:in_color_matrix=bt709:out_color_matrix=bt601:"
                        "flags=accurate_rnd+full_chroma_int,format=yuvj420p");
    tw_buf_addc(&f, '\0');
    return f.at;
}

static twi_child_fault start(tw_media_reader *r)
{
    twi_args args = {.arena = r->arena};
    twi_media_decode(&args, r->tools, "level+info");
    seek(&args, r->info, r->ask.first);
    twi_media_input(&args, r->info, r->info->stream);
    twi_args_add(&args, "-vf");
    twi_args_add(&args, filter_of(r));
    twi_args_add(&args, "-frames:v");
    twi_args_addf(&args, "%lld", (long long)(r->info->still ? 1 : r->ask.count));
    twi_args_list(&args, (const char *const[]){"-fps_mode", "passthrough", "-f", NULL});
    if (r->jpeg)
        twi_args_list(&args, (const char *const[]){"image2pipe", "-c:v", "mjpeg", "-q:v", "3", "-flags", "+bitexact",
                                                   "pipe:1", NULL});
    else
        twi_args_list(&args, (const char *const[]){"rawvideo", "pipe:1", NULL});
    const twi_child_ask ask = {.args = &args, .line = hear, .context = r, .stop = r->tools->stop};
    return twi_child_start(r->arena, &ask, &r->child);
}

static tw_status open_reader(tw_arena *arena, const tw_media_tools *tools, const tw_media_info *info,
                             const tw_media_ask *ask, bool jpeg, tw_diags *diags, tw_media_reader **out)
{
    *out = NULL;
    if (info->stream < 0) {
        tw_diag_add(diags, 2102, TW_IN(info->path), "holds sound alone, no picture");
        return TW_ERR_SEMANTIC;
    }
    tw_arena *own = tw_arena_like(arena);
    tw_media_reader *r = TW_NEW(own, tw_media_reader);
    *r = (tw_media_reader){.arena = own, .tools = tools, .info = info, .diags = diags, .ask = *ask, .jpeg = jpeg};
    bool smaller = ask->width > 0 && ask->width < info->width;
    r->frame.width = smaller ? ask->width : info->width;
    r->frame.height = smaller ? (int32_t)lround((double)info->height * ask->width / info->width) : info->height;
    r->frame.height = r->frame.height < 1 ? 1 : r->frame.height;
    size_t plane = (size_t)r->frame.width * (size_t)r->frame.height;
    r->size = ask->pixels == TW_PIXELS_YUV ? 3 * plane : plane;
    r->bytes = TW_NEW_N(own, uint8_t, r->size);
    for (size_t i = 0; i < r->size / plane; i++)
        r->frame.planes[i] = r->bytes + i * plane;
    tw_status status = twi_child_tell(start(r), NULL, twi_media_ffmpeg(tools), 2103, info->path,
                                      "its pictures cannot be decoded", diags);
    if (status != TW_OK)
        tw_media_close(&r);
    *out = r;
    return status;
}

tw_status tw_media_open(tw_arena *arena, const tw_media_tools *tools, const tw_media_info *info,
                        const tw_media_ask *ask, tw_diags *diags, tw_media_reader **out)
{
    return open_reader(arena, tools, info, ask, false, diags, out);
}

/* ---- reading --------------------------------------------------------------------------------------------- */

static tw_status give_up(tw_media_reader *r, twi_child_fault fault)
{
    r->broken = true;
    return twi_child_tell(fault, r->child, twi_media_ffmpeg(r->tools), 2103, r->info->path,
                          "its pictures cannot be decoded", r->diags);
}

/* The number of the first picture is told before it is given. */
static tw_status check_first(tw_media_reader *r)
{
    twi_child_listen(r->child);
    if (r->info->still || (r->told > 0 && r->told_first == r->ask.first))
        return TW_OK;
    tw_str at = r->told > 0 ? tw_arena_printf(r->arena, "decoding begins at frame %lld", (long long)r->told_first)
                            : TW_STR("the decoder does not tell where it begins");
    tw_diag_add(r->diags, 2104, TW_IN(r->info->path), "frame %lld cannot be reached exactly: %.*s",
                (long long)r->ask.first, TW_ARG(at));
    r->broken = true;
    return TW_ERR_IO;
}

static tw_status read_one(tw_media_reader *r, const tw_media_frame **out)
{
    size_t got;
    twi_child_fault fault = twi_child_read(r->child, r->bytes, r->size, &got);
    if (fault != TWI_CHILD_FINE)
        return give_up(r, fault);
    if (got < r->size) {
        r->ended = true;
        fault = twi_child_finish(r->child);
        return fault == TWI_CHILD_FINE ? TW_OK : give_up(r, fault);
    }
    if (r->given == 0) {
        tw_status status = check_first(r);
        if (status != TW_OK)
            return status;
    }
    *out = &r->frame;
    return TW_OK;
}

tw_status tw_media_next(tw_media_reader *r, const tw_media_frame **out)
{
    *out = NULL;
    if (r->broken)
        return TW_ERR_IO;
    if (r->ended || r->given == r->ask.count)
        return TW_OK;
    if (r->info->still && r->given > 0)
        *out = &r->frame;
    else {
        tw_status status = read_one(r, out);
        if (status != TW_OK || *out == NULL)
            return status;
    }
    r->frame.number = r->ask.first + r->given++;
    return TW_OK;
}

#define STILL_LIMIT ((size_t)256 << 20) /* bytes of a JPEG */

tw_status tw_media_still(tw_arena *arena, const tw_media_tools *tools, const tw_media_info *info, int64_t frame,
                         int32_t width, tw_diags *diags, tw_str *jpeg)
{
    const tw_media_ask ask = {.first = frame, .count = 1, .width = width, .pixels = TW_PIXELS_YUV};
    tw_media_reader *r = NULL;
    *jpeg = (tw_str){NULL, 0};
    tw_arena *scratch = tw_arena_like(arena);
    tw_buf picture = {.arena = scratch};
    tw_status status = open_reader(scratch, tools, info, &ask, true, diags, &r);
    if (status == TW_OK) {
        twi_child_fault fault = twi_child_collect(r->child, STILL_LIMIT, &picture);
        status = fault == TWI_CHILD_FINE ? TW_OK : give_up(r, fault);
    }
    if (status == TW_OK && picture.len > 0)
        status = check_first(r);
    if (status == TW_OK && picture.len > 0)
        *jpeg = tw_arena_dup(arena, tw_buf_str(&picture));
    tw_media_close(&r);
    tw_arena_free(&scratch);
    return status;
}

void tw_media_close(tw_media_reader **reader)
{
    tw_media_reader *r = *reader;
    *reader = NULL;
    if (r == NULL)
        return;
    twi_child_end(&r->child);
    tw_arena *own = r->arena;
    tw_arena_free(&own);
}
