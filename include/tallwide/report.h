/* SPDX-License-Identifier: Apache-2.0
 *
 * tallwide/report.h - what people read: the chart before the shoot, the sheet, the notes track and the table of keys.
 *
 * Everything here is text appended to a buffer, the same bytes for the same input; nothing is read or written.
 */
#ifndef TALLWIDE_REPORT_H
#define TALLWIDE_REPORT_H

#include <tallwide/derive.h>

#ifdef __cplusplus
extern "C" {
#endif

/* ---- chart: what a source picture holds for each shape ---------------------------------------------------- */

/* A recording mode or a delivery. Without a name it is called by its size. */
typedef struct tw_chart_picture {
    tw_str name;
    tw_size size;
} tw_chart_picture;

typedef struct tw_chart_ask {
    const tw_chart_picture *modes;
    size_t mode_count;
    const tw_chart_picture *shapes;
    size_t shape_count;
    double squeeze;      /* of all modes; 0: 1 */
    double max_scale;    /* delivery pixels per source pixel at which punching in ends; 0: 1 */
    const tw_safe *safe; /* NULL: none */
    tw_size monitor;     /* {0,0}: none */
} tw_chart_ask;

/* Width and height that need not be whole. */
typedef struct tw_extent {
    double w, h;
} tw_extent;

/* A safe area of a delivery: in delivery pixels, its insets rounded outward to whole pixels, and as a window of the
 * source picture. */
typedef struct tw_chart_safe {
    tw_extent exact;
    int32_t left, top;
    tw_window source;
} tw_chart_safe;

/* One shape in one mode. Windows are source pixels, shares 0..1, rooms 1 = none (150 % is 1.5). */
typedef struct tw_chart_shape {
    tw_chart_picture shape;
    tw_window window;  /* the largest, centred */
    double used;       /* its share of the picture */
    double room;       /* its width / the narrowest that max_scale allows; below 1 it must be enlarged */
    tw_extent if_wide; /* the largest window had the camera recorded 16:9 at the full width (or height) */
    double wide_kept;  /* share of that 16:9 picture it would keep */
    double fewer;      /* share of this mode's pixels it would lose by that */
    tw_chart_safe action, graphics;
    bool by_analogy; /* the standard does not speak of this shape */
    tw_extent on_monitor;
} tw_chart_shape;

typedef struct tw_chart_mode {
    tw_chart_picture mode;
    tw_chart_shape *shapes;
    tw_window shared; /* what every shape's largest window shows */
    double shared_used;
    tw_extent wide;       /* the 16:9 picture meant by if_wide */
    tw_extent on_monitor; /* the whole picture on the monitor */
} tw_chart_mode;

typedef struct tw_chart {
    tw_chart_ask ask;
    tw_chart_mode *modes;
} tw_chart;

tw_chart *tw_chart_make(tw_arena *arena, const tw_chart_ask *ask);

void tw_chart_text(const tw_chart *chart, tw_buf *out); /* at most 80 columns, unless names are long */
void tw_chart_json(const tw_chart *chart, tw_buf *out);
void tw_chart_svg(const tw_chart *chart, tw_buf *out); /* one drawing, a panel per mode, for paper and screen */

/* ---- per delivery ---------------------------------------------------------------------------------------- */

/* `delivery` is an index into derived->deliveries. */

/* Framing notes as WebVTT cues for playing over the proxy: one a still shot, one each hold and move of the others.
 * Times are on the record side from the start of the programme, rounded up to milliseconds. */
void tw_report_vtt(const tw_derived *derived, size_t delivery, tw_buf *out);

/* One row per keyframe, RFC 4180: pixels of the source, and scale and position for any transform panel. */
void tw_report_keys(const tw_derived *derived, size_t delivery, tw_buf *out);

/* ---- and read back --------------------------------------------------------------------------------------- */

/* Does a written table of keys, or a notes track, say what the framings of a delivery say? Of `derived` only the clip,
 * the track, the framing and two verdicts of each shot are looked at, so that framings may be those read from a derived
 * timeline: BLACK, and UNKNOWN for shots of which nothing is known and anything may be said. Findings TW2203 and TW2205
 * where they differ. */
tw_status tw_report_keys_check(tw_arena *arena, const tw_derived *derived, size_t delivery, tw_str text, tw_str file,
                               tw_diags *diags);
tw_status tw_report_vtt_check(tw_arena *arena, const tw_derived *derived, size_t delivery, tw_str text, tw_str file,
                              tw_diags *diags);

/* ---- the sheet ------------------------------------------------------------------------------------------- */

/* The name of a still without its ending: REEL_HHMMSSFF, the reel with anything but letters, digits, '.', '-' and '_'
 * written as '_', and the source time code of the picture shown at a frame of the clip (0: the first as cut). */
tw_str tw_report_still_name(tw_arena *arena, const tw_timeline *timeline, const tw_item *clip, int64_t frame);

/* Where the still of a shot's first frame is, as the page should name it; empty when there is none. `name` is as above;
 * the caller adds the ending. */
typedef tw_str (*tw_still_fn)(void *context, tw_str name);

/* Whether people agreed on the framing of a shot in a delivery, and who: empty when no name was given. */
typedef enum tw_sheet_agreement { TW_SHEET_NOT_AGREED, TW_SHEET_AGREED, TW_SHEET_WOULD_CHANGE } tw_sheet_agreement;
typedef struct tw_sheet_agreed {
    tw_sheet_agreement state;
    tw_str by;
} tw_sheet_agreed;

typedef struct tw_sheet_options {
    tw_str title; /* empty: the edit's name */
    tw_still_fn still;
    void *still_context;
    const tw_sheet_agreed *const *agreed; /* by delivery and shot; NULL: nothing is said of it */
} tw_sheet_options;

/* One XHTML page for all deliveries that were derived, of which there is at least one. `options` may be NULL. */
void tw_report_sheet(const tw_derived *derived, const tw_sheet_options *options, tw_buf *out);

#ifdef __cplusplus
}
#endif
#endif
