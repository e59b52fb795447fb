/* SPDX-License-Identifier: Apache-2.0
 *
 * Frames become a film.
 */
#define _POSIX_C_SOURCE 200809L
#include "media/media_internal.h"

#include <unistd.h>

struct tw_media_writer {
    tw_arena *arena;
    const tw_media_tools *tools;
    tw_media_film film;
    tw_diags *diags;
    twi_child *child;
    size_t size; /* of a frame */
    bool made;   /* something may be there that is not whole */
};

/* ---- how it is coded ------------------------------------------------------------------------------------- */

static void add_coding(twi_args *args, const tw_media_film *film, bool better)
{
    static const char *const exact[] = {"-c:v", "ffv1", "-level", "3", "-c:a", "pcm_s16le", NULL};
    static const char *const good[] = {"-c:v", "libx264", "-preset", "fast", "-crf", "18", "-g", "48", NULL};
    static const char *const quick[] = {"-c:v", "libx264", "-preset", "ultrafast", "-crf", "30", "-g", "48", NULL};
    static const char *const plain[] = {"-c:v", "mpeg4", "-q:v", "3", "-g", "24", NULL};
    static const char *const sound[] = {"-pix_fmt", "yuv420p",   "-c:a",       "aac", "-b:a",
                                        "160k",     "-movflags", "+faststart", NULL};
    if (tw_str_iends(tw_str_z(film->path), TW_STR(".mkv"))) {
        twi_args_list(args, exact);
        return;
    }
    twi_args_list(args, !better ? plain : film->draft ? quick : good);
    twi_args_list(args, sound);
}

static twi_child_fault start(tw_media_writer *w)
{
    const tw_media_film *f = &w->film;
    bool better = w->tools->coders == TW_CODERS_H264;
    if (w->tools->coders == TW_CODERS_UNKNOWN) {
        twi_child_fault fault = twi_media_has_h264(w->arena, w->tools, &better);
        if (fault != TWI_CHILD_FINE)
            return fault;
    }
    twi_args args = {.arena = w->arena};
    twi_args_add(&args, twi_media_ffmpeg(w->tools));
    twi_args_list(&args,
                  (const char *const[]){"-hide_banner", "-nostats", "-loglevel", "level+error", "-y", "-f", "rawvideo",
                                        "-pix_fmt", "yuv444p", "-color_range", "tv", "-video_size", NULL});
    twi_args_addf(&args, "%dx%d", f->width, f->height);
    twi_args_add(&args, "-framerate");
    twi_args_addf(&args, "%d/%d", f->rate.num, f->rate.den);
    twi_args_list(&args, (const char *const[]){"-i", "pipe:0", NULL});
    if (f->sound != NULL) {
        twi_args_list(&args, (const char *const[]){"-f", twi_media_samples(), "-ar", "48000", "-ac", "2", "-i", NULL});
        twi_args_addf(&args, "file:%s", f->sound);
    }
    twi_args_list(&args, (const char *const[]){"-map", "0:v", NULL});
    if (f->sound != NULL)
        twi_args_list(&args, (const char *const[]){"-map", "1:a", NULL});
    add_coding(&args, f, better);
    twi_args_list(&args, (const char *const[]){"-color_primaries", "bt709", "-color_trc", "bt709", "-colorspace",
                                               "bt709", "-color_range", "tv", NULL});
    twi_args_add(&args, "-timecode");
    twi_args_add(&args, tw_tc_text(w->arena, f->start, f->rate, f->drop).at);
    twi_args_addf(&args, "file:%s", f->hidden);
    const twi_child_ask ask = {.args = &args, .feeds = true, .stop = w->tools->stop};
    w->made = true;
    return twi_child_start(w->arena, &ask, &w->child);
}

/* ---- calls ----------------------------------------------------------------------------------------------- */

static tw_status tell(const tw_media_writer *w, twi_child_fault fault)
{
    return twi_child_tell(fault, w->child, twi_media_ffmpeg(w->tools), 2112, tw_str_z(w->film.path),
                          "the film cannot be written", w->diags);
}

tw_status tw_media_create(tw_arena *arena, const tw_media_tools *tools, const tw_media_film *film, tw_diags *diags,
                          tw_media_writer **out)
{
    tw_arena *own = tw_arena_like(arena);
    tw_media_writer *w = TW_NEW(own, tw_media_writer);
    *w = (tw_media_writer){.arena = own, .tools = tools, .film = *film, .diags = diags};
    w->film.path = tw_arena_dupz(own, tw_str_z(film->path));
    w->film.hidden = tw_arena_dupz(own, tw_str_z(film->hidden != NULL ? film->hidden : film->path));
    w->size = 3 * (size_t)film->width * (size_t)film->height;
    tw_status status = tell(w, start(w));
    if (status != TW_OK)
        tw_media_drop(&w);
    else
        *out = w;
    return status;
}

tw_status tw_media_put(tw_media_writer *w, const uint8_t *planes)
{
    twi_child_fault fault = twi_child_write(w->child, planes, w->size);
    if (fault == TWI_CHILD_FAILED)
        twi_child_finish(w->child); /* to hear why */
    return tell(w, fault);
}

tw_status tw_media_finish(tw_media_writer *w)
{
    tw_status status = tell(w, twi_child_finish(w->child));
    twi_child_end(&w->child);
    w->made = status != TW_OK;
    return status;
}

void tw_media_drop(tw_media_writer **writer)
{
    tw_media_writer *w = *writer;
    *writer = NULL;
    if (w == NULL)
        return;
    twi_child_end(&w->child);
    if (w->made)
        unlink(w->film.hidden);
    tw_arena *own = w->arena;
    tw_arena_free(&own);
}
