/* SPDX-License-Identifier: Apache-2.0
 *
 * Shared between the files of path. Inside the module frames count from 0; an axis is 0 (x) or 1 (y), a third one
 * (TWI_W) is the window's width where that may change.
 */
#ifndef TW_PATH_INTERNAL_H
#define TW_PATH_INTERNAL_H

#include <tallwide/path.h>

#include "base/ext.h"

#include <math.h>
#include <string.h>

enum { TWI_X, TWI_Y, TWI_W, TWI_AXES };

/* Half of the last written digit: positions and widths are written with three decimals. */
#define TWI_DIGIT 0.0005
/* A region that sticks out by less than this is held: twice what rounding can do. */
#define TWI_HELD 0.002

/* Three decimals, down and up; what rounding added is no reason for another thousandth. */
static inline double twi_floor3(double value)
{
    return floor(value * 1000 + 1e-6) / 1000;
}

static inline double twi_ceil3(double value)
{
    return ceil(value * 1000 - 1e-6) / 1000;
}

/* The change per frame from a key to the next. */
static inline tw_key twi_key_slope(const tw_key *a, const tw_key *b)
{
    double length = (double)(b->frame - a->frame);
    return (tw_key){.cx = (b->cx - a->cx) / length, .cy = (b->cy - a->cy) / length, .w = (b->w - a->w) / length};
}

/* ---- the numbers of solver.md section 8, per frame ------------------------------------------------------- */

#define TWI_SPEEDS 5

typedef struct twi_motion {
    double speeds[TWI_SPEEDS]; /* widths per frame, rising; the last is the hard limit */
    double accel;              /* widths per frame^2 */
    double ease;               /* frames */
    double smoothness;         /* mu = (T0 fps)^2 / 12 */
    double zoom;               /* share of the width per frame */
    double lazy;               /* lam: half of what a width of travel costs, frames */
    size_t link, hold;         /* frames, >= 1 */
    double fps;
} twi_motion;

twi_motion twi_path_motion(const tw_path_job *job);

/* ---- tubes (tube.c) -------------------------------------------------------------------------------------- */

/* Allowed values lo[t] <= x <= hi[t] for n frames. */
typedef struct twi_tube {
    double *lo, *hi;
    size_t n;
} twi_tube;

twi_tube twi_tube_new(tw_arena *arena, size_t n);
twi_tube twi_tube_copy(tw_arena *arena, const twi_tube *tube);

/* A straight bound over frames. */
typedef struct twi_incline {
    double at, slope;
} twi_incline;

/* One at or below all values, close to them; infinite ones are left out. */
twi_incline twi_incline_under(const double *value, size_t count);

/* Keeps the values that a path of at most `speed` per frame can have; false when there is no such path (the tube is
 * then half done). Two passes. */
bool twi_tube_erode(twi_tube *tube, double speed);

/* Is there a path of at most this speed? Leaves the tube alone. */
bool twi_tube_feasible(const twi_tube *tube, double speed);

/* max lo <= min hi: one value serves all frames; they are given. */
bool twi_tube_still(const twi_tube *tube, double *lo, double *hi);

/* Fewest constant holds over `axes` tubes with jumps between them: starts[i] is the first frame of hold i; returns how
 * many. `starts` has room for n. Greedy interval stabbing. */
size_t twi_tube_stab(const twi_tube *tubes, size_t axes, size_t *starts);

/* ---- least cut (cut.c) ----------------------------------------------------------------------------------- */

/* One wish for every frame: to be inside a tube, at a price per frame (NULL: 1) times a factor. */
typedef struct twi_gate {
    const twi_tube *tube;
    const double *weight;
    double factor;
} twi_gate;

/* The path x of at most `speed` per frame with the least sum of weight * distance over all gates. Exact, O(n log n).
 * Returns the sum. */
double twi_cut_least(tw_arena *scratch, const twi_gate *gates, size_t count, double speed, double *x);

/* The interval of still values with the least weighted distance, summed over frames; for `speed` 0. */
void twi_cut_still(tw_arena *scratch, const twi_tube *tube, const double *weight, double *lo, double *hi);

/* ---- what is to be framed (region.c, scene.c) ------------------------------------------------------------ */

/* The regions of a job made fit for use. */
typedef struct twi_scene {
    const tw_path_job *job;
    tw_arena *arena; /* scratch */
    size_t n;
    twi_motion motion;
    double shape;         /* width / height of a window in source pixels */
    double widest;        /* largest window inside the source, rounded down to what is written */
    double narrowest;     /* that max_scale allows, <= widest */
    double wanted;        /* width wished for; > narrowest limits already */
    double width;         /* chosen, when it is constant */
    double inset_share;   /* of the inset that is kept: 1, less where the speed limit asks for it */
    const double *widths; /* per frame when it changes; else NULL */
    tw_path_box **boxes;  /* by region: clipped, filtered, per frame; NULL when never there */
    bool *must;           /* by region: is one, or acts as one */
    unsigned char **gone; /* by region: let go of at that frame; NULL when never */
    tw_path_box *hull;    /* per frame: the smallest box around all kept must regions */
    bool subject;         /* anything to hold at all */
} twi_scene;

void twi_scene_init(tw_arena *arena, const tw_path_job *job, twi_scene *out);

/* Chooses scene->width (solver.md 3.2). */
void twi_scene_scale(twi_scene *scene);

/* Decides which must regions are let go of where they do not fit together (3.5). */
void twi_scene_drop(twi_scene *scene);

/* The width that holds a hull with its inset. */
double twi_scene_need(const twi_scene *scene, const tw_path_box *hull);

double twi_scene_width(const twi_scene *scene, size_t t);
double twi_scene_height(const twi_scene *scene, size_t t);
double twi_scene_side(const twi_scene *scene, size_t t, int axis);
double twi_scene_room(const twi_scene *scene, int axis); /* the source's size along the axis */

/* Allowed centres of an axis (3.3). */
typedef struct twi_axis {
    twi_tube tube;
    double rest[2]; /* max lo, min hi: what serves all frames, where anything does */
    bool pinned;    /* the source leaves one centre only */
    double still;   /* that centre */
} twi_axis;
void twi_scene_axes(const twi_scene *scene, twi_axis out[2]);

/* Is there a centre that serves all frames? */
bool twi_axis_rests(const twi_axis *axis);

/* The centre that each frame wishes for. */
double *twi_scene_wish(const twi_scene *scene, int axis);

/* The heaviest nice region that has not been asked about, SIZE_MAX when there is none; marks it as asked. */
#define TWI_NICE_MOST 16 /* are asked about */
size_t twi_scene_next_nice(const twi_scene *scene, bool *asked);

/* The weight of a region, made safe: > 0 and finite. */
double twi_region_weight(const tw_path_region *region);

/* How much the wish of a frame counts: 1 with a subject, else little. */
double *twi_scene_care(const twi_scene *scene);

/* The centres that hold a box at a frame, as bounds that go along with the width: from lo[0] + lo[1] * w to
 * hi[0] + hi[1] * w. At the frame's own width they are those of twi_scene_axes; at any other they hold the box, too. */
void twi_scene_lean(const twi_scene *scene, const tw_path_box *box, size_t t, int axis, double lo[2], double hi[2]);

/* The centres that hold one region at a frame, with the inset; false when the region is not there. */
bool twi_scene_hold(const twi_scene *scene, size_t region, size_t t, int axis, double *lo, double *hi);

/* ---- deciding (still.c, move.c) -------------------------------------------------------------------------- */

/* One window for the whole shot: as composed where it holds everything, else the one that cuts least. Here and below
 * the axes are the scene's; they are overwritten. */
void twi_solve_still(tw_arena *arena, twi_scene *scene, twi_axis axes[2], tw_path_result *out);

/* Jumps between the fewest holds. */
void twi_solve_steps(tw_arena *arena, twi_scene *scene, twi_axis axes[2], tw_path_result *out);

/* The fewest keyframes, eased. */
void twi_solve_moves(tw_arena *arena, twi_scene *scene, twi_axis axes[2], tw_path_result *out);

/* A width that changes, where that is allowed, wished for and comes out whole; else false. */
bool twi_solve_zoom(tw_arena *arena, twi_scene *scene, tw_path_result *out);

/* The stretches framed by hand and what lies between; false when there are none. */
bool twi_solve_hands(tw_arena *arena, twi_scene *scene, tw_path_result *out);

/* ---- very long shots (thin.c) ---------------------------------------------------------------------------- */

/* The shot on every step-th frame, without hands, frames counted from 0; and a result of it in the job's own frames
 * (from 0; counts of frames are bounds). */
tw_path_job twi_path_thin(tw_arena *scratch, const tw_path_job *job, int64_t step);
void twi_path_thicken(const tw_path_job *job, int64_t step, tw_path_result *result);

/* Steadies a solved shot (steady.c): *out, keys counting from 0, is replaced where that costs nothing. */
void twi_path_steady(tw_arena *arena, tw_arena *scratch, const tw_path_job *job, tw_path_result *out);

/* ---- finishing (finish.c, report.c) ---------------------------------------------------------------------- */

/* A key as it will be written: left, top and width of three decimals, inside the source. `frame` counts from 0. */
tw_key twi_path_key(const twi_scene *scene, double frame, const double value[TWI_AXES], double ease);

/* Leaves out keys that rounding made idle: equal to both neighbours. Returns how many are left. */
size_t twi_path_drop_idle(tw_key *keys, size_t count);

/* Fills compromises, peaks, moving and reason from result->keys (still counting from 0). */
void twi_path_report(tw_arena *arena, const twi_scene *scene, tw_path_result *result);

#endif
