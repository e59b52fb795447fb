/* SPDX-License-Identifier: Apache-2.0
 *
 * tallwide/geom.h - pictures, shapes, windows, scale and position, insets and safe areas.
 *
 * Source pixels: origin at the top left, x to the right, y down, edges at whole numbers (a picture W wide spans 0..W).
 * A window is the part of the source picture that fills the delivery. With a squeeze s (pixel aspect: a source pixel
 * is shown s times as wide as high) a window of width w for a delivery Dw x Dh is h = w * s * Dh / Dw high.
 */
#ifndef TALLWIDE_GEOM_H
#define TALLWIDE_GEOM_H

#include <tallwide/base.h>

#ifdef __cplusplus
extern "C" {
#endif

/* Whole pixels, each 1..1,000,000 where a picture is meant; {0, 0} is "not known". */
typedef struct tw_size {
    int32_t w, h;
} tw_size;

static inline bool tw_size_same(tw_size a, tw_size b)
{
    return a.w == b.w && a.h == b.h;
}

typedef struct tw_window {
    double x, y, w, h; /* left, top, width, height, source pixels */
} tw_window;

/* Share of the window kept free of must regions at each edge, from 0 on; two opposite ones add up to less than 1. */
typedef struct tw_inset {
    double left, top, right, bottom;
} tw_inset;

/* How a picture sits in a delivery. */
typedef enum tw_frame_mode {
    TW_FRAME_FILL, /* the window fills the delivery */
    TW_FRAME_FIT   /* the whole picture is shown, bars where the shapes differ */
} tw_frame_mode;

/* A keyframe: the window's centre and width at a frame. `frame` counts whole record frames from the first frame of the
 * clip as cut (negative or past the end inside transition handles). `ease` is the half-length in frames of the eased
 * corner around it (>= 0). Evaluation between keys: tallwide/path.h. */
typedef struct tw_key {
    int64_t frame;
    double cx, cy, w;
    double ease;
} tw_key;

bool tw_key_same_place(const tw_key *a, const tw_key *b); /* centre and width, to the last digit */

/* "5760x4320" (x or X): true and *out set when both are 1..1,000,000. */
bool tw_size_read(tw_str s, tw_size *out);

/* Source pixels by which a window shows what lies beside the picture, on its worst side ("left", "right", "upper",
 * "lower"); below 0: so far inside. What whole numbers read off a display miss a window by is no edge. */
#define TW_WINDOW_READ_OFF 0.5
double tw_geom_past(tw_window win, tw_size source, const char **side);

/* Height of a window of width w: w * squeeze * Dh / Dw. */
double tw_geom_height(double w, double squeeze, tw_size delivery);

/* The widest window of the delivery's shape inside the source: w = min(W, H * Dw / (Dh * squeeze)), centred. */
tw_window tw_geom_widest(tw_size source, double squeeze, tw_size delivery);

/* Delivery pixels per source pixel: Dw / w. */
double tw_geom_scale(double w, tw_size delivery);

/* The narrowest width that max_scale allows: Dw / max_scale (may exceed the widest: then the source is too small). */
double tw_geom_narrowest(tw_size delivery, double max_scale);

/* Widest filling width / w: 1 just fills, 2 punched in to half. */
double tw_geom_zoom(double w, tw_size source, double squeeze, tw_size delivery);

/* How far the picture's centre lies from the frame's centre, in delivery pixels, right and down:
 * x = scale * (W/2 - (x + w/2)), y = scale * squeeze-corrected likewise (Dh/h instead of Dw/w). */
void tw_geom_move(tw_window win, tw_size source, tw_size delivery, double *right, double *down);

/* The window of a centre and width, and back. */
tw_window tw_geom_window(double cx, double cy, double w, double squeeze, tw_size delivery);
tw_window tw_geom_key_window(tw_key key, double squeeze, tw_size delivery);

/* The window that shows the whole picture with bars (TW_FRAME_FIT): the picture centred in the smallest rectangle of
 * the delivery's shape that holds it; x or y are <= 0. */
tw_window tw_geom_fit(tw_size source, double squeeze, tw_size delivery);

/* A window's width as files carry it: three decimals, all digits below one pixel, where a thousandth would change the
 * scale. The second writes its text. */
double tw_geom_written(double w);
void tw_geom_add_width(double w, tw_buf *out);

/* No number of a window in a file is larger: the widest is 1,000,000 times as wide as a picture of 1,000,000 pixels
 * squeezed to a hundredth. */
#define TW_GEOM_LIMIT 1e14

/* Does the window lie inside the source, give or take `slack` pixels? */
bool tw_geom_inside(tw_window win, tw_size source, double slack);

/* The four numbers by which the box (left, top, right, bottom) sticks out of the window, pixels, >= 0 each. */
typedef struct tw_cut {
    double left, top, right, bottom;
} tw_cut;
tw_cut tw_geom_cut(tw_window win, double left, double top, double right, double bottom);

/* ---- safe areas ------------------------------------------------------------------------------------------ */

typedef struct tw_safe {
    const char *name;  /* "st2046-1", "ebu-r95" */
    const char *title; /* the standard's own name */
    tw_inset action, graphics;
    const tw_size
        *rasters; /* those the standard names, up to one of width 0; NULL: any 16:9. Others are "by analogy" */
} tw_safe;

/* SMPTE ST 2046-1:2009: action 93 %, title 90 %; EBU R 95: action 3.5 %, graphics 5 % from each edge. NULL when there
 * is no preset of that name. */
const tw_safe *tw_safe_find(tw_str name);

/* Does what the standard says cover this delivery, or is it applied by analogy? */
bool tw_safe_covers(const tw_safe *safe, tw_size delivery);

#ifdef __cplusplus
}
#endif
#endif
