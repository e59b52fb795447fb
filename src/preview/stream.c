/* SPDX-License-Identifier: Apache-2.0
 *
 * The pictures of one clip, in the order they are shown: forwards, held, skipping, or backwards in runs that are
 * decoded forwards and kept.
 */
#include "preview/preview_internal.h"

#include <string.h>

#define RUN_BYTES ((size_t)256 << 20) /* kept of a clip that runs backwards */
#define RUN_MOST 64                   /* frames of it */
#define SKIP_MOST 120                 /* frames decoded to get further on; past that decoding begins anew */

struct twi_stream {
    tw_arena *arena;
    const tw_media_tools *tools;
    const tw_media_info *info;
    int64_t first, last;
    int32_t width;
    tw_diags *own, *diags;
    tw_media_reader *reader;
    const tw_media_frame *now; /* the reader's, or NULL */
    int64_t next;              /* frame the reader gives next */
    bool told;
    /* a run kept for going backwards */
    uint8_t *bytes;
    size_t size; /* of a frame */
    tw_media_frame kept[RUN_MOST];
    int64_t run_first;
    int32_t run_room, run_len;
};

/* ---- the reader ------------------------------------------------------------------------------------------- */

static void tell(twi_stream *s, const char *what)
{
    if (s->told)
        return;
    s->told = true;
    if (tw_diags_kept(s->own) > 0)
        tw_diag_add(s->diags, 2114, TW_IN(s->info->path), "%.*s: slates stand in for it",
                    TW_ARG(tw_diags_get(s->own, 0)->message));
    else
        tw_diag_add(s->diags, 2114, TW_IN(s->info->path), "%s: slates stand in for what is missing", what);
}

static void begin(twi_stream *s, int64_t frame, int64_t last)
{
    const tw_media_ask ask = {
        .first = frame,
        .count = last >= frame ? last - frame + 1 : 1,
        .width = s->width,
        .pixels = TW_PIXELS_YUV,
    };
    tw_media_close(&s->reader);
    s->now = NULL;
    s->next = frame;
    if (tw_media_open(s->arena, s->tools, s->info, &ask, s->own, &s->reader) != TW_OK)
        tell(s, "it cannot be decoded");
}

/* Reads on to a frame; NULL when the file ends before. */
static const tw_media_frame *read_to(twi_stream *s, int64_t frame)
{
    while (s->reader != NULL && s->next <= frame) {
        tw_status status = tw_media_next(s->reader, &s->now);
        if (status != TW_OK || s->now == NULL) {
            if (status == TW_OK || tw_diags_kept(s->own) > 0) /* else asked to stop */
                tell(s, "it ends before the shot does");
            tw_media_close(&s->reader);
            s->now = NULL;
            return NULL;
        }
        s->next++;
    }
    return s->now != NULL && s->now->number == frame ? s->now : NULL;
}

/* ---- backwards --------------------------------------------------------------------------------------------- */

static bool is_kept(const twi_stream *s, int64_t frame)
{
    return frame >= s->run_first && frame < s->run_first + s->run_len;
}

static void keep(twi_stream *s, const tw_media_frame *f)
{
    size_t plane = (size_t)f->width * (size_t)f->height;
    if (s->bytes == NULL) {
        s->size = 3 * plane;
        size_t room = RUN_BYTES / s->size;
        s->run_room = room < 2 ? 2 : room > RUN_MOST ? RUN_MOST : (int32_t)room;
        s->bytes = TW_NEW_N(s->arena, uint8_t, (size_t)s->run_room * s->size);
    }
    uint8_t *to = s->bytes + (size_t)s->run_len * s->size;
    memcpy(to, f->planes[0], s->size);
    s->kept[s->run_len] = *f;
    for (size_t p = 0; p < 3; p++)
        s->kept[s->run_len].planes[p] = to + p * plane;
    s->run_len++;
}

/* The run of frames up to this one. */
static void keep_run(twi_stream *s, int64_t frame)
{
    int64_t room = s->run_room > 0 ? s->run_room : 2; /* the first time only one frame tells how many have room */
    int64_t from = frame - room + 1 > 0 ? frame - room + 1 : 0;
    begin(s, from, frame);
    s->run_len = 0;
    s->run_first = from;
    for (int64_t k = from; k <= frame; k++) {
        const tw_media_frame *f = read_to(s, k);
        if (f == NULL)
            break;
        keep(s, f);
    }
    tw_media_close(&s->reader);
    s->now = NULL;
}

/* ---- calls ------------------------------------------------------------------------------------------------- */

twi_stream *twi_stream_open(tw_arena *arena, const tw_media_tools *tools, const tw_media_info *info, int64_t first,
                            int64_t last, int32_t width, tw_diags *diags)
{
    tw_arena *own = tw_arena_like(arena);
    twi_stream *s = TW_NEW(own, twi_stream);
    *s = (twi_stream){.arena = own, .tools = tools, .info = info, .first = first, .last = last, .width = width};
    s->diags = diags;
    s->own = tw_diags_new(own);
    s->run_first = -1;
    if (info->still)
        s->first = s->last = first = last = 0;
    if (last >= first && last >= 0)
        begin(s, first > 0 ? first : 0, last);
    return s;
}

const tw_media_frame *twi_stream_at(twi_stream *s, int64_t frame)
{
    if (s->info->still)
        frame = 0;
    if (frame < 0 || (s->info->frames > 0 && frame >= s->info->frames)) {
        tell(s, frame < 0 ? "it begins after the shot does" : "it ends before the shot does");
        return NULL;
    }
    if (s->now != NULL && s->now->number == frame)
        return s->now;
    if (is_kept(s, frame))
        return &s->kept[frame - s->run_first];
    if (s->reader != NULL && frame >= s->next && frame < s->next + SKIP_MOST)
        return read_to(s, frame);
    if (s->told && s->reader == NULL && tw_diags_kept(s->own) > 0)
        return NULL; /* it cannot be decoded: once is enough */
    if (s->last < s->first || frame < s->next) {
        keep_run(s, frame);
        return is_kept(s, frame) ? &s->kept[frame - s->run_first] : NULL;
    }
    begin(s, frame, s->last > frame ? s->last : frame);
    return read_to(s, frame);
}

void twi_stream_close(twi_stream **at)
{
    twi_stream *s = *at;
    *at = NULL;
    if (s == NULL)
        return;
    tw_media_close(&s->reader);
    tw_arena *own = s->arena;
    tw_arena_free(&own);
}
