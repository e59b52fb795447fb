/* SPDX-License-Identifier: Apache-2.0
 *
 * Shared between the files of report.
 */
#ifndef TW_REPORT_INTERNAL_H
#define TW_REPORT_INTERNAL_H

#include <tallwide/report.h>
#include <tallwide/xmlio.h>

/* ---- say.c: the same numbers in the same words everywhere ------------------------------------------------- */

/* "16:9", "4:3", or "2.39:1" when no small numbers say it. */
void twi_report_ratio(double w, double h, tw_buf *out);
/* "2430x4320 at 1665,0", at most two decimals. */
void twi_report_window(tw_window win, tw_buf *out);
/* "42.2 %" of a share. */
void twi_report_percent(double share, int places, tw_buf *out);
/* What a shot is called: its event, or its running number from 1, as "003". */
tw_str twi_report_event(tw_arena *arena, const tw_decision *shot, size_t index);

/* ---- keys_read.c, vtt_read.c: what was written, read back -------------------------------------------------- */

/* A row of a table of keys, as written: times are labels, `event` and `clip` may be empty. */
typedef struct twi_keys_row {
    uint32_t line;
    tw_str track, event, reel, clip;
    tw_str source_in, source_out, record_in, record_out; /* of the clip */
    int64_t frame;                                       /* of the key, from the first of the clip */
    tw_str record, source;                               /* of the key */
    double x, y, w, h;                                   /* window, source pixels */
    double scale, zoom, move_x, move_y, ease;
    tw_str mode; /* "fill" or "fit" */
} twi_keys_row;

typedef struct twi_keys {
    twi_keys_row *rows;
    size_t len;
} twi_keys;

/* Columns may stand in any order, and others beside them. Findings TW2201 and TW2202; what cannot be read fails. */
tw_status twi_report_keys_read(tw_arena *arena, tw_str text, tw_str file, tw_diags *diags, twi_keys *out);

/* A cue of a notes track. Times are milliseconds; the text is unescaped, its lines apart by '\n'. */
typedef struct twi_cue {
    uint32_t line;
    tw_str id;
    int64_t from, to;
    tw_str text;
} twi_cue;

typedef struct twi_cues {
    twi_cue *at;
    size_t len;
} twi_cues;

/* WebVTT; what is no cue is passed over. Findings TW2204. */
tw_status twi_report_vtt_read(tw_arena *arena, tw_str text, tw_str file, tw_diags *diags, twi_cues *out);

/* ---- names.c: names in a drawing that do not meet ---------------------------------------------------------- */

/* Where names stand already, so that no two meet; as many as fit, the rest take their chance. */
#define TWI_MOST_NAMES 64
typedef struct twi_names {
    double size; /* of letters */
    size_t count;
    struct {
        double x, y, w; /* left, base line, width */
    } at[TWI_MOST_NAMES];
} twi_names;

/* Finds room at or below (x, y), line by line, and takes it; gives the base line. */
double twi_names_take(twi_names *n, double x, double y, tw_str text);

/* ---- region.c: boxes over the frames of a shot ------------------------------------------------------------- */

/* The box of a region that one of the shot's notes holds, at a frame of the clip, fractions of the picture. */
bool twi_report_box(const tw_timeline *master, const tw_decision *shot, const tw_region *region, double frame,
                    tw_region_key *out);

typedef struct twi_box {
    double frame;
    tw_region_key box;
} twi_box;

/* How a region goes through a shot: straight between these boxes. `shown` holds, in turn, the frame at which it comes
 * and the one at which it is gone. */
typedef struct twi_boxes {
    twi_box *at;
    size_t len, cap;
    int64_t *shown;
    size_t shown_count, shown_cap;
} twi_boxes;
twi_boxes twi_report_boxes(tw_arena *arena, const tw_timeline *master, const tw_decision *shot,
                           const tw_region *region);

/* ---- motion.c: a path as a browser animates it ------------------------------------------------------------- */

#define TWI_MOTION_SLACK 0.25 /* source pixels by which an animated window may be off the path */

/* The window at a frame, and how the next one is reached: the two control points of a cubic over (time, way), whose
 * times are 1/3 and 2/3; linear when rise is 1/3 and 2/3. Two points at one frame are a jump. */
typedef struct twi_point {
    double frame;
    tw_window win;
    double rise[2];
} twi_point;

typedef struct twi_motion {
    twi_point *at;
    size_t len, cap;
    bool curved; /* some piece is not linear */
} twi_motion;

/* Over [first, first + frames] of a clip; one point when nothing moves. */
twi_motion twi_report_motion(tw_arena *arena, const tw_framing *framing, int64_t first, int64_t frames);

/* ---- the sheet ------------------------------------------------------------------------------------------- */

typedef struct twi_sheet {
    tw_arena *arena; /* of one shot */
    const tw_derived *derived;
    const tw_sheet_options *options;
    tw_xml *x;
} twi_sheet;

typedef enum twi_eyes { TWI_EYES_NONE, TWI_EYES_OPEN, TWI_EYES_CUT, TWI_EYES_SIZE, TWI_EYES_AGREED } twi_eyes;

/* Does a person have to look at it, and why: not framed yet, something given up, size not known, or not what was
 * agreed on? */
twi_eyes twi_sheet_eyes(const twi_sheet *s, size_t delivery, size_t index);
/* Is it steadied with a key in every frame, too many to be shown? */
bool twi_sheet_every_frame(const tw_decision *shot);
/* "agreed by NAME", "agreed by NAME, would change"; nothing when nobody agreed. */
void twi_sheet_agreed(const twi_sheet *s, size_t delivery, size_t index, tw_buf *out);

void twi_sheet_head(tw_xml *x, const char *words); /* sheet.c: of a table's column */

void twi_sheet_style(const twi_sheet *s);  /* sheet_style.c: <style> */
void twi_sheet_script(const twi_sheet *s); /* <script> */
void twi_sheet_filter(const twi_sheet *s); /* the radio buttons; what they do is in the style */

void twi_sheet_shot(const twi_sheet *s, size_t index); /* sheet_shot.c */

/* sheet_draw.c. Does a window of the shot move? Only then its drawings do: a browser animates all that is on a page,
 * seen or not, and of 2,000 shots it gets nothing else done. */
bool twi_sheet_moves(const twi_sheet *s, size_t index);

/* Pictures of one shot share an id, "p" and its number. */
void twi_sheet_whole(const twi_sheet *s, size_t index, tw_str still);
void twi_sheet_frame(const twi_sheet *s, size_t delivery, size_t index);

#endif
