/* SPDX-License-Identifier: Apache-2.0
 *
 * tallwide/path.h - from boxes per frame to the fewest keyframes of a window: pure maths.
 *
 * Frames are whole record frames of one shot; job.first_frame is the number of the first (negative in a transition
 * handle), numbers are those of tw_key.frame. Boxes and windows are source pixels.
 */
#ifndef TALLWIDE_PATH_H
#define TALLWIDE_PATH_H

#include <tallwide/base.h>
#include <tallwide/geom.h>
#include <tallwide/rtime.h>

#ifdef __cplusplus
extern "C" {
#endif

/* ---- evaluation: "straight with eased corners" ---------------------------------------------------------- */

/* The key (centre and width, ease 0) a path shows at a frame: straight between keys, constant outside them, a parabola
 * of half-length ease around each corner: x(t) = P(t) + (v2 - v1)(r - |t - t_i|)^2 / (4 r). Blends never overlap
 * (r_i + r_{i+1} <= t_{i+1} - t_i) in a valid path. `frame` may be fractional. */
tw_key tw_path_at(const tw_key *keys, size_t count, double frame);

/* Is it a valid path: frames ascending, eases >= 0 and not overlapping, widths > 0, all finite? *bad (may be NULL) is
 * the first key at fault. */
bool tw_path_valid(const tw_key *keys, size_t count, size_t *bad);

/* ---- other forms of the same path ------------------------------------------------------------------------ */

/* What keys mean to whoever plays them.
 * EASED: as above; `ease` is the half-length of the corner around the key.
 * BEZIER: two keys per corner, where it begins and where it ends. `ease` belongs to the first: the corner that begins
 *   there is 2 * ease frames long and ends at the next key; 0: straight from here on. A corner is a cubic Hermite curve
 *   (a Bezier curve with handles a third of its length out) whose slopes are those of the straight lines beside it, 0
 *   before the first key and after the last. It is the same curve as the eased corner's parabola, exactly.
 * LINEAR: straight between keys; `ease` is 0. */
typedef enum tw_path_form { TW_PATH_EASED, TW_PATH_BEZIER, TW_PATH_LINEAR } tw_path_form;

typedef struct tw_path_view {
    const tw_key *keys;
    size_t count;
} tw_path_view;

/* The change of speed at key i, per frame: of centre and width; a path rests outside its keys. */
tw_key tw_path_turn(tw_path_view path, size_t i);

/* The fewest chords, 1 .. TW_PATH_CHORDS, with which a corner of that turn and ease keeps every edge of the window
 * within `bound` pixels: c of them are off by |v2 - v1| r / (4 c^2) (solver.md section 2). */
#define TW_PATH_CHORDS 64
int tw_path_chords(tw_key turn, double ease, double squeeze, tw_size delivery, double bound);

/* Eased keys in another form, values as computed (round them as any key is written). BEZIER is exact for whole-frame
 * eases (a fraction is cut off). LINEAR is nowhere off by more than `bound` pixels, or by as little as chords of one
 * frame are, which are exact at every whole frame. */
tw_path_view tw_path_export(tw_arena *arena, tw_path_view eased, tw_path_form form, double bound);

/* The key a path in any form shows at a frame. */
tw_key tw_path_at_form(tw_path_view path, tw_path_form form, double frame);

/* tw_path_valid for keys in any form: BEZIER eases reach exactly to the next key, LINEAR has none. */
bool tw_path_valid_form(tw_path_view path, tw_path_form form, size_t *bad);

/* BEZIER: the slope (cx, cy, w per frame) with which the path goes on from key i; 0 at the last. */
tw_key tw_path_slope(tw_path_view path, size_t i);

/* ---- solving --------------------------------------------------------------------------------------------- */

typedef enum tw_path_moves { TW_MOVES_AUTO, TW_MOVES_STILL, TW_MOVES_STEPS } tw_path_moves;

/* A box at one frame; nothing there when right <= left. */
typedef struct tw_path_box {
    double left, top, right, bottom;
} tw_path_box;

typedef struct tw_path_region {
    const tw_path_box *boxes; /* one per frame of the job */
    bool must;                /* else nice to hold */
    bool detector;            /* boxes come from a detector: what counts of them is said in plan.h */
    double weight;            /* > 0 */
    int look;                 /* -1 looks left, +1 right, 0 none */
    bool has_focus;
    double focus_x, focus_y; /* inside the box, 0..1 */
} tw_path_region;

/* A zero field takes its default, which stands beside it (src/path/solver.md section 8). */
typedef struct tw_path_params {
    double speeds[5]; /* ladder, window widths per second: 1/7, .25, .5, 1, 1.5; the last is the hard limit */
    double accel;     /* window widths per second squared: 3; gives way before a must region does */
    double ease;      /* half-length of a corner, seconds: .3 */
    double move_time; /* T0, seconds: 1.2 */
    double link;      /* shortest link, seconds: .5 */
    double hold;      /* shortest hold, seconds: 1 */
    double zoom;      /* largest change of width per second, share: .1 */
    double lazy;      /* seconds: a window width of travel weighs as much as twice so long spent a width beside the
                         composed centre; 0: travel costs nothing, the default */
    bool no_settle;   /* leave out the settle rule */
} tw_path_params;

/* A stretch framed by hand: the window at frames [from, to) is the path of these keys, never overruled. They lie inside
 * the source but for rounding; what does not is moved inside, so it is the caller's to refuse it. */
typedef struct tw_path_hand {
    int64_t from, to;
    const tw_key *keys;
    size_t key_count;
} tw_path_hand;

/* Where something lies, source pixels to the right and down. */
typedef struct tw_path_offset {
    double x, y;
} tw_path_offset;

/* What of a camera's movement is shake: the place of the picture at each frame, less its smooth part, which is the mean
 * over `half` frames each way (at the ends fewer, as many on both sides) taken twice. A pan of constant speed has none,
 * and neither has the first or the last frame. */
void tw_path_shake(tw_arena *arena, const tw_path_offset *movement, size_t count, size_t half, tw_path_offset *shake);

typedef enum tw_path_shaken { TW_SHAKEN_NOT, TW_SHAKEN_HAND, TW_SHAKEN_LONG } tw_path_shaken;

typedef struct tw_path_job {
    int64_t first_frame; /* number of the first frame */
    int64_t frames;      /* how many, >= 1 */
    double fps;
    tw_size source, delivery;
    double squeeze;
    double max_scale; /* delivery pixels per source pixel */
    tw_inset inset;
    const tw_path_region *regions;
    size_t region_count;
    const tw_path_hand *hands; /* by frame, not overlapping */
    size_t hand_count;
    const tw_path_offset *shake; /* per frame: what a window goes along with to look steady; NULL: nothing. Shots with
                                    hand windows or of more than 20,000 frames are not steadied */
    tw_path_moves moves;
    bool zoom;           /* the width may change */
    double subject_fill; /* share of the window's height the subject should take; 0: widest */
    tw_path_params params;
} tw_path_job;

typedef enum tw_path_reason {
    TW_PATH_CENTRED, /* nothing to hold */
    TW_PATH_STILL,   /* one window holds everything over the whole shot */
    TW_PATH_MOVES,   /* must follow: no still window holds */
    TW_PATH_STEPS,   /* jumps between holds */
    TW_PATH_CUTS,    /* not everything can be held */
    TW_PATH_HAND     /* framed by hand, at least in part */
} tw_path_reason;

typedef enum tw_path_yield {
    TW_YIELD_SCALE,   /* enlarged past max_scale (px: the scale): the source is too small; side 'h': set so by hand */
    TW_YIELD_INSET,   /* region kept, but nearer to the edge than the inset */
    TW_YIELD_WIDER,   /* the window was made wider than wished; side 's': for max_scale, not to hold more */
    TW_YIELD_SPEED,   /* moves faster than comfortable (px: widths per second) */
    TW_YIELD_HARSH,   /* corners sharper than params.accel (px: widths per second squared) */
    TW_YIELD_CUT,     /* a must region is cut */
    TW_YIELD_DROPPED, /* a must region is let go of for a while */
    TW_YIELD_NICE,    /* a nice region is not held all the time */
    TW_YIELD_STEADY   /* not all of the shake could be taken out (px: the share that was) */
} tw_path_yield;

/* One thing that could not be had. */
typedef struct tw_path_compromise {
    tw_path_yield what;
    size_t region;  /* index into job.regions; SIZE_MAX when it is about none */
    int64_t frames; /* how many frames are concerned */
    int64_t first;  /* number of the first of them */
    double px;      /* worst amount, source pixels (or as said above) */
    char side;      /* 'l', 'r', 't', 'b' of the worst cut; 0 */
} tw_path_compromise;

typedef struct tw_path_result {
    tw_key *keys;
    size_t key_count;
    tw_path_reason reason;
    bool moving;
    tw_path_compromise *compromises;
    size_t compromise_count;
    /* Keyframes: proved minimum of straight paths (of a zoom: what width and centre need one after the other; of a shot
     * of many minutes that moves both ways it may be more than the minimum), taken away by easing, added to rest. */
    size_t fewest, eliminated, settled;
    double peak_speed, peak_accel; /* window widths per second, per second squared; of a steadied shot without the
                                      shake */
    double steadied;               /* share of job.shake that was taken out, 0..1; 0: none, or there is none */
    tw_path_shaken shaken;         /* why job.shake was not looked at */
    double steady_px;              /* largest offset of the window for it */
    double steady_margin;          /* share of the room beside the window that takes */
} tw_path_result;

/* Solves one shot. Never fails on a valid job: what cannot be had is in the compromises. The result is the arena's. */
void tw_path_solve(tw_arena *arena, const tw_path_job *job, tw_path_result *out);

#ifdef __cplusplus
}
#endif
#endif
