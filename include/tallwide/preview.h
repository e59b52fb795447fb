/* SPDX-License-Identifier: Apache-2.0
 *
 * tallwide/preview.h - a derived timeline as moving pictures: what is seen at every record frame, through the windows.
 *
 * Pictures are three planes of one size, ITU-R BT.709 Y', Cb, Cr, 8 bit, 16..235, rows without gaps. Decoding and
 * encoding are ffmpeg's (tallwide/media.h); cropping, scaling and mixing are done here, so that every frame shows
 * exactly the window its keyframes say, between pixels too.
 */
#ifndef TALLWIDE_PREVIEW_H
#define TALLWIDE_PREVIEW_H

#include <tallwide/media.h>
#include <tallwide/plan.h>
#include <tallwide/timeline.h>

#ifdef __cplusplus
extern "C" {
#endif

/* ---- scaling --------------------------------------------------------------------------------------------- */

/* Part of an image: rows of `w` bytes, `stride` bytes apart. */
typedef struct tw_preview_plane {
    uint8_t *at;
    int32_t w, h;
    ptrdiff_t stride;
} tw_preview_plane;

/* Fills `to` with the window (pixels of `from`, edges at whole numbers as in geom.h) of `from`. Where a pixel of `to`
 * covers one or more of `from` it is their mean, weighted by how much of each it covers; where it covers less it is
 * taken between the centres of the nearest. Constant stays constant; a straight ramp stays one, to a level; a
 * window of whole pixels as large as `to` is a copy. Pixels of `to` whose centre lies outside the picture become
 * `outside`. The window's width and height are above 0. `scratch` is used and left dirty. */
void tw_preview_scale(tw_arena *scratch, tw_preview_plane from, tw_window window, uint8_t outside, tw_preview_plane to);

/* to = to + (from - to) * weight / 256, rounded; both of one size; weight 0..256. */
void tw_preview_mix(tw_preview_plane from, int weight, tw_preview_plane to);

/* ---- letters --------------------------------------------------------------------------------------------- */

#define TW_LETTER_WIDE 6 /* pixels of a letter at size 1, with the gap behind it */
#define TW_LETTER_HIGH 9 /* and of a line */

/* Draws a line of capital letters, digits and signs, `size` times enlarged, its left top at x, y; what does not fit is
 * cut off at the edges. Small letters are drawn large, what has no form as a box. */
void tw_preview_letters(tw_preview_plane to, int32_t x, int32_t y, int32_t size, tw_str text, uint8_t level);

/* ---- what is seen ---------------------------------------------------------------------------------------- */

#define TW_PREVIEW_LAYERS 8

/* One clip that is seen at a record frame. */
typedef struct tw_preview_layer {
    const tw_item *clip; /* NULL: black */
    int64_t frame;       /* of the clip, 0 the first as cut; outside it within transitions */
    double weight;       /* share; all of a frame add up to 1 */
    int wipe;            /* 0: mixed with those before it; else drawn over the one before it, within what a wipe of
                            this number has uncovered at this weight */
} tw_preview_layer;

/* The number of a wipe that can be drawn, from the name of a transition ("wipe 001"): bars, corners, barn doors, straight
 * slopes and irises, as SMIL 3.0 lists them (chapter 12, with the numbers of SMPTE ST 258). 0 for a dissolve, -1 for
 * what is shown as one because nobody knows how it looks. */
int tw_preview_wipe(tw_str transition);

/* Does a wipe whose share `part` (0..1) is done show the new picture at u, v (shares of its width and height)? */
bool tw_preview_wiped(int wipe, double u, double v, double part);

/* Where everything stands in a timeline, so that any frame is found at once; both must last as long. */
typedef struct tw_preview_order tw_preview_order;
tw_preview_order *tw_preview_lay(tw_arena *arena, const tw_timeline *timeline);

/* What is seen at record frame `frame` of the timeline (0: the first of the programme): the topmost track that shows
 * anything; through a transition what it leads from and to, linearly by time; inside nests what they show. Disabled
 * clips and tracks show nothing, gaps what lies below, black at last. Returns how many layers there are, at least 1;
 * past TW_PREVIEW_LAYERS the rest is black. Transitions other
 * than dissolves and wipes, and wipes that lead to more than one picture, are taken as dissolves. */
size_t tw_preview_layers(const tw_preview_order *order, int64_t frame, tw_preview_layer out[TW_PREVIEW_LAYERS]);

/* Record frames of the programme: from its start to the end of its last picture or sound. */
int64_t tw_preview_length(const tw_timeline *timeline);

/* ---- rendering ------------------------------------------------------------------------------------------- */

/* Where a clip's pictures and sound are. */
typedef struct tw_preview_source {
    const tw_media_info *info; /* NULL: nowhere; its pictures become slates, its sound silence */
    const tw_media_file *file;
    tw_media_want want;
    tw_size size;   /* of the picture the framings count in; {0,0}: the file's own */
    double squeeze; /* of its pixels; 0: the file's own */
    tw_str event;   /* number burnt in */
    tw_str reel;    /* what the slate calls it */
} tw_preview_source;

/* One delivery in a film. */
typedef struct tw_preview_pane {
    tw_str name;
    const tw_framing *const *framings; /* by clip index; NULL: the whole picture is shown */
    int32_t x, y, w, h;                /* where in the film */
} tw_preview_pane;

typedef struct tw_preview_film {
    const char *path;
    int32_t width, height; /* even */
    const tw_preview_pane *panes;
    size_t pane_count;
} tw_preview_film;

typedef struct tw_preview_job {
    const tw_timeline *edit;
    const tw_media_tools *tools;
    const tw_preview_source *sources; /* by clip index */
    const tw_preview_film *films;     /* all made in one pass: every source frame is decoded once */
    size_t film_count;
    bool sound; /* is wanted too */
    bool burn_in, draft;
    void (*progress)(void *context, int64_t done, int64_t all); /* frames; may be NULL */
    void *progress_context;
} tw_preview_job;

/* Renders all films, whole or not at all. Pictures that are not there become slates with a warning each (TW2114).
 * Memory: a few frames per clip that is seen, up to 256 MB more for each that runs backwards. Failure: TW2112 a film
 * cannot be written, TW2101; TW_ERR_IO without a finding when asked to stop. Nothing is left behind then. */
tw_status tw_preview_render(tw_arena *arena, const tw_preview_job *job, tw_diags *diags);

/* The width of a clip's pictures, of `size` pixels, from which on no pane is enlarged by decoding them smaller: as wide
 * as they need to be decoded. At most size.w. */
int32_t tw_preview_width(const tw_preview_film *films, size_t film_count, const tw_item *clip, tw_size size);

/* Panes of these deliveries side by side, all of one height, in a film at most `most` large; gaps between them.
 * `panes` holds `count` of them, whose x, y, w and h are filled in. */
tw_size tw_preview_layout(const tw_size *deliveries, size_t count, tw_size most, tw_preview_pane *panes);

#ifdef __cplusplus
}
#endif
#endif
