/* SPDX-License-Identifier: Apache-2.0
 *
 * What the files of preview share.
 */
#ifndef TW_PREVIEW_INTERNAL_H
#define TW_PREVIEW_INTERNAL_H

#include <tallwide/preview.h>

/* ---- stream.c: the pictures of one clip ------------------------------------------------------------------- */

typedef struct twi_stream twi_stream;

/* Pictures of a file between two of its frames; last before first: mostly asked for backwards. Findings are warnings
 * (TW2114) and there is at most one a stream. */
twi_stream *twi_stream_open(tw_arena *arena, const tw_media_tools *tools, const tw_media_info *info, int64_t first,
                            int64_t last, int32_t width, tw_diags *diags);

/* The picture at a frame of the file, valid until the next call; NULL when there is none. */
const tw_media_frame *twi_stream_at(twi_stream *stream, int64_t frame);

void twi_stream_close(twi_stream **stream);

/* ---- compose.c: one film's picture ------------------------------------------------------------------------ */

/* A layer with its picture. */
typedef struct twi_seen {
    tw_preview_layer layer;
    const tw_preview_source *source;
    const tw_media_frame *picture; /* NULL: slate, or black when the layer has no clip */
} twi_seen;

typedef struct twi_moment {
    const tw_preview_job *job;
    int64_t frame; /* record */
    twi_seen seen[TW_PREVIEW_LAYERS];
    size_t count;
} twi_moment;

/* Draws one pane of a film; `canvas` is the film's picture, three planes one behind the other. */
void twi_compose_pane(tw_arena *scratch, const twi_moment *moment, const tw_preview_film *film, size_t pane,
                      uint8_t *canvas);

/* A film's picture before anything is drawn: black. */
void twi_compose_clear(const tw_preview_film *film, uint8_t *canvas);

/* Frame of the source's file that a clip shows at one of its frames. */
int64_t twi_preview_file_frame(const tw_timeline *edit, const tw_preview_source *source, const tw_item *clip,
                               int64_t frame);

/* ---- sound.c ---------------------------------------------------------------------------------------------- */

/* Mixes the sound tracks into a file of raw pairs of samples. *any false: there are none, and no file. */
tw_status twi_sound_mix(tw_arena *arena, const tw_preview_job *job, const char *path, tw_diags *diags, bool *any);

/* First sample of a record frame. */
int64_t twi_sound_sample(tw_rate rate, int64_t frame);

#endif
