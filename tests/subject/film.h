/* SPDX-License-Identifier: Apache-2.0
 *
 * Films made of numbers: a textured subject (an ellipse) over a textured background, with a camera that moves. Every
 * frame comes with the truth: the subject's box, how much of it shows, and the camera's movement. The same seed makes
 * the same film.
 */
#ifndef TW_TESTS_FILM_H
#define TW_TESTS_FILM_H

#include <tallwide/subject.h>

#include "support/support.h"

typedef struct film_kind {
    const char *name;
    double grow;  /* the subject's size goes from 1 to this and back */
    double turn;  /* it turns to and fro by this, radians */
    double light; /* brightness goes to and fro by this share */
    int blur;     /* moments in which a frame is exposed, over the whole frame; 0, 1: sharp */
    double noise; /* deviation, of 255 */
    bool post;    /* a post stands in the picture and hides the subject for a while */
    bool leaves;  /* it leaves the picture and comes back */
    double shake; /* of a camera held by hand, pixels */
    double pan;   /* pixels a frame */
    double speed; /* how far the subject swings, share of the width */
} film_kind;

extern const film_kind film_kinds[];
extern const size_t film_kind_count;

#define FILM_W 480
#define FILM_H 270
#define FILM_FRAMES 120

typedef struct film film;
film *film_new(tw_arena *arena, const film_kind *kind, uint64_t seed);

typedef struct film_truth {
    double left, top, width, height; /* of the whole subject, also of what is hidden */
    double shown;                    /* share of it that is in the picture and not hidden */
    tw_camera camera;                /* since the frame before */
} film_truth;

/* Draws frame t into FILM_W x FILM_H bytes. */
void film_draw(film *made, int t, uint8_t *out, film_truth *truth);

/* Intersection over union. */
double film_overlap(const film_truth *truth, const tw_spot *spot);

#endif
