/* SPDX-License-Identifier: Apache-2.0
 *
 * Shared between the files that draw the sheet's pictures. Coordinates are source pixels seen unsqueezed. What is not
 * animated is the frame the clip begins with, so that a viewer without animation, and paper, show that one.
 */
#ifndef TW_REPORT_SHEET_DRAW_H
#define TW_REPORT_SHEET_DRAW_H

#include "report_internal.h"

#define TWI_LETTERS 0.06 /* height of letters, share of the picture's height */

/* ---- sheet_move.c: animation ----------------------------------------------------------------------------- */

/* The common part of an animation: times and how often. Values and points are added by the caller. */
typedef struct twi_clock {
    tw_xml *x;
    tw_arena *arena;
    const tw_timeline *master;
    int64_t first, frames;
} twi_clock;

twi_clock twi_move_clock(const twi_sheet *s, const tw_decision *shot);
void twi_move_open(const twi_clock *c, const char *element, const char *attribute);
/* A frame as a share of the shot. Linear animation needs times from 0 to 1 exactly (SVG animation). */
void twi_move_share(const twi_clock *c, double frame, tw_buf *out);

/* What of a window an attribute holds. */
typedef void (*twi_window_part)(tw_window win, double squeeze, tw_buf *out);
void twi_move_add_window(tw_window win, double squeeze, tw_buf *out);
void twi_move_add_corner(tw_window win, double squeeze, tw_buf *out);
void twi_move_add_width(tw_window win, double squeeze, tw_buf *out);
void twi_move_add_height(tw_window win, double squeeze, tw_buf *out);
void twi_move_window(const twi_clock *c, const twi_motion *m, const char *attribute, twi_window_part part,
                     double squeeze);

/* ---- sheet_region.c: boxes -------------------------------------------------------------------------------- */

/* Every region that any delivery's decision heeds, once. */
void twi_sheet_regions(const twi_sheet *s, size_t index, tw_size seen, twi_names *taken);

#endif
