/* SPDX-License-Identifier: Apache-2.0
 *
 * Films for tests, made by ffmpeg in a scratch folder. Cases that need them skip, aloud, where it is missing.
 */
#ifndef TW_TESTS_MEDIA_SUPPORT_H
#define TW_TESTS_MEDIA_SUPPORT_H

#include "support/support.h"

#include <tallwide/media.h>

#define FILM_WIDE 64
#define FILM_HIGH 48

extern const tw_media_tools film_tools;

/* Skips the case unless ffmpeg is there. */
void film_need(tw_arena *arena);

/* Runs ffmpeg with these words, split at blanks; fails the case when it fails. `scratch` is the film's folder. */
void film_make(tw_arena *arena, const char *words);

/* A path in the scratch folder, which is emptied when the process ends. */
const char *film_path(tw_arena *arena, const char *name);

/* A film of `frames` pictures whose number stands in them: bit n is a column of FILM_WIDE / 8 pixels, bright when set.
 * `options` are ffmpeg's, such as "-c:v libx264 -g 30 -bf 2". */
const char *film_numbered(tw_arena *arena, const char *name, const char *rate, int frames, const char *options);

/* The number a picture holds. */
int film_number(const tw_media_frame *frame);

#endif
