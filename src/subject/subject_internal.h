/* SPDX-License-Identifier: Apache-2.0
 *
 * What the files of subject share. Decisions rest on whole numbers and on plain IEEE arithmetic (no library function
 * but sqrt, floor and fabs), so that every machine takes the same ones.
 */
#ifndef TW_SUBJECT_INTERNAL_H
#define TW_SUBJECT_INTERNAL_H

#include <tallwide/subject.h>

/* ---- looking at pixels ----------------------------------------------------------------------------------- */

/* n x n samples whose middle lies at (x, y) of the picture; one sample to the next is `step` picture pixels, turned by
 * the angle whose cosine and sine are given; down the picture the step is `tall` times as long. The fitting level of
 * the pyramid is chosen; past the edge the edge goes on. */
typedef struct twi_view {
    double x, y, step, tall, cosine, sine;
} twi_view;
void twi_turned(const twi_view *view, double angle, twi_view *out); /* by a small angle more */
void twi_view_take(const tw_pyramid *pyramid, const twi_view *view, int n, uint8_t *out);

/* Of an angle of less than about pi: cosine and sine to 1e-9. */
void twi_angle(double angle, double *cosine, double *sine);

/* ---- points ---------------------------------------------------------------------------------------------- */

typedef struct twi_point {
    float x, y;   /* in the frame before */
    float u, v;   /* now */
    float weight; /* 0: lost */
} twi_point;

/* Follows points from one frame to the other: (u, v) holds the guess at first. Levels `from` (coarse) down to `to`. */
void twi_flow(const tw_pyramid *before, const tw_pyramid *now, int from, int to, twi_point *points, size_t count);

/* The best corner of each field of a grid over a box of a level, looked for every `every` pixels. Returns how many
 * were found; positions are of level 0. */
size_t twi_corners(const tw_pyramid *pyramid, int level, const double box[4], int columns, int rows, int every,
                   twi_point *out);

/* x' = a x - b y + c, y' = b x + a y + d. */
typedef struct twi_similar {
    double a, b, c, d;
} twi_similar;

/* The movement most points agree on, within `slack` pixels; weights of points that do not become 0. Returns the share
 * of weight that agrees. Only points within `last` pixels have a say at the end: less than `slack` where some go nearly
 * the same way and are no part of it. */
double twi_similar_fit(twi_point *points, size_t count, double slack, double last, twi_similar *out);

/* Where a box went: its middle, its growth, the angle it turned by, and the share of points that agree. */
typedef struct twi_move {
    double x, y, grown, turn, share;
} twi_move;

/* By the points inside the box, looked for (dx, dy) from where they were. */
twi_move twi_inner(const tw_pyramid *before, const tw_pyramid *now, const tw_spot *box, double dx, double dy);

/* How far the picture as a whole moved, to about a 64th of it. */
void twi_shift(const tw_pyramid *before, const tw_pyramid *now, double *dx, double *dy);

/* ---- spectra --------------------------------------------------------------------------------------------- */

/* Fourier transform of n (a power of two, up to 64) rows of `width` floats, `step` floats apart, in place. */
void twi_fft(float *re, float *im, int n, size_t step, size_t width, bool inverse);

/* `rows` x `columns` spectra of `pairs` pairs of real channels: channel c was the real part, c + pairs the imaginary
 * one. Takes them apart, twice as large, into columns / 2 + 1 columns of 2 x pairs channels; the rest mirrors them. */
typedef struct twi_spectra {
    size_t rows, columns, pairs;
} twi_spectra;
void twi_fft_part(const float *zr, const float *zi, const twi_spectra *of, float *re, float *im);

/* cos and sin of 2 pi k / 64. */
void twi_turn64(int k, double *cosine, double *sine);

/* ---- place.c: filters that answer with a peak ------------------------------------------------------------- */

/* A bell of half-width 1, so far from its middle. */
double twi_bell(int far);

/* The top of the parabola through three neighbours, -0.5..0.5 from the middle one. */
double twi_top(double before, double here, double after);

/* ---- what a picture looks like --------------------------------------------------------------------------- */

#define TWI_CELL 2      /* pixels a side */
#define TWI_CHANNELS 16 /* numbers a cell: 8 directions, 4 without sign, 4 pixels' brightness */

/* Features of an n x n view, n even and at most 64: (n/2)^2 cells of TWI_CHANNELS. */
void twi_features(const uint8_t *view, int n, float *out);

/* ---- filters --------------------------------------------------------------------------------------------- */

#define TWI_FIELD 32                    /* cells a side */
#define TWI_HALF (TWI_FIELD / 2 + 1)    /* columns of a real spectrum */
#define TWI_VIEW (TWI_FIELD * TWI_CELL) /* samples a side */
#define TWI_BINS (TWI_FIELD * TWI_HALF) /* frequencies */
#define TWI_SPECTRUM (TWI_BINS * TWI_CHANNELS)

typedef struct twi_place twi_place;
twi_place *twi_place_new(tw_arena *arena);

/* What was found: how far from the middle, in samples of the view; the height of the peak (1: as trained); how far it
 * stands above the rest, in their deviations. */
typedef struct twi_peak {
    double x, y, height, clear;
} twi_peak;
/* A rate of 1 forgets all that was learnt before. */
void twi_place_learn(twi_place *place, const tw_pyramid *frame, const twi_view *view, double rate);
twi_peak twi_place_find(twi_place *place, const tw_pyramid *frame, const twi_view *view);

/* Forgets what was learnt of late: the last TWI_RECALL to twice as many lessons. */
#define TWI_RECALL 12
void twi_place_recall(twi_place *place);

#define TWI_LADDER_VIEW 16 /* samples a side */
typedef struct twi_ladder twi_ladder;
twi_ladder *twi_ladder_new(tw_arena *arena, bool turns);
void twi_ladder_learn(twi_ladder *ladder, const tw_pyramid *frame, const twi_view *view, double rate);

/* By which factor the subject is larger than the view says; or by which angle it is turned further. */
double twi_ladder_find(twi_ladder *ladder, const tw_pyramid *frame, const twi_view *view);

/* ---- what was there before ------------------------------------------------------------------------------- */

/* Small pictures of a while ago, and how the camera moved since. */
typedef struct twi_past twi_past;
twi_past *twi_past_new(tw_arena *arena, int w, int h);
void twi_past_clear(twi_past *past);
void twi_past_step(twi_past *past, const tw_camera *camera);
void twi_past_keep(twi_past *past, const tw_pyramid *frame, const tw_spot *box);

/* How alike two pictures of n pixels are: correlation, -1..1; 0 when the variance of one is below `least`. */
double twi_alike(const uint8_t *a, const uint8_t *b, int n, double least);

/* Does the box show now what stood there before the subject came? */
bool twi_past_shows(const twi_past *past, const tw_pyramid *frame, const tw_spot *box);

/* ---- what moves by itself -------------------------------------------------------------------------------- */

typedef struct twi_moving twi_moving;

/* Memory for planes of the size of `like`, about 5 bytes a pixel of a picture 400 wide; filled anew for every frame. */
twi_moving *twi_moving_new(tw_arena *arena, const tw_pyramid *like);

/* Three frames about a tenth of a second apart, and the camera's movements between them: what goes less than two pixels
 * of a picture 400 wide from one to the next does not show. */
typedef struct twi_moving_frames {
    const tw_pyramid *before, *now, *after;
    tw_camera from_before, to_after;
} twi_moving_frames;

/* Boxes around what in `now` moves other than the camera, the largest first, at most `most`; `sure` is the share of all
 * that moves. A thing whose parts all look alike shows at its edges only; one that stands still does not show. */
size_t twi_moving_areas(twi_moving *moving, const twi_moving_frames *frames, size_t most, tw_spot *out);

/* ---- what stands out ------------------------------------------------------------------------------------- */

/* Boxes around what is unlike the rest of the picture, by the signs of its cosine transform (X. Hou, J. Harel, C. Koch,
 * PAMI 34, 2012); the most striking first, at most `most` of them. `sure` is the share of all that stands out that the
 * box holds. Boxes are coarse: a 64th of the picture. */
size_t twi_standing_out(const tw_plane *plane, size_t most, tw_spot *out);

/* ---- proposals ------------------------------------------------------------------------------------------- */

/* Collects what was found frame by frame and tells which of it stays. All memory is the arena's, a few dozen bytes for
 * each finding. */
typedef struct twi_proposals twi_proposals;
twi_proposals *twi_proposals_new(tw_arena *arena, int w, int h);

/* Begins the next frame; `camera`: how the picture moved since the one before (TW_CAMERA_STILL for the first). */
void twi_proposals_frame(twi_proposals *proposals, const tw_camera *camera);

/* What was found in the frame begun, for one reason; to be called also when nothing was, and not at all for a reason
 * that was not looked for in this frame. */
void twi_proposals_add(twi_proposals *proposals, tw_reason reason, const tw_spot *found, size_t count);

/* What tw_look_rank tells. */
size_t twi_proposals_rank(tw_arena *arena, const twi_proposals *proposals, int64_t least, tw_proposal **out);

#endif
