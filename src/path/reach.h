/* SPDX-License-Identifier: Apache-2.0
 *
 * What is reached: F_k(t), the values a path can have at frame t as its k-th keyframe, as lists of boxes.
 */
#ifndef TW_PATH_REACH_H
#define TW_PATH_REACH_H

#include "keys.h"

#define TWI_NONE UINT32_MAX

typedef struct twi_reach_box {
    double lo[TWI_AXES], hi[TWI_AXES];
    uint32_t layer, next;
} twi_reach_box;

/* A run of frames: the gates that matter to straight lines, straight lines inside all gates, and inside what is reached
 * at every frame; [0]: below the upper ends, [1]: below the lower ends upside down. */
#define TWI_BLOCK 16
typedef struct twi_reach_block {
    uint8_t corners[TWI_AXES][2]; /* how many: of the lower hull of hi, of the upper hull of lo */
    uint8_t corner[TWI_AXES][2][TWI_BLOCK];
    twi_incline gate[TWI_AXES][2], reached[TWI_AXES][2];
    bool stale;
} twi_reach_block;

/* What is done about many boxes of one layer at a frame, and about many that add little: nothing; they are left out, so
 * that what is reached can be reached, but not all that can; or boxes are made larger, so that nothing is missing, but
 * some is too much. */
typedef enum twi_reach_bound { TWI_REACH_EXACT, TWI_REACH_INNER, TWI_REACH_OUTER } twi_reach_bound;

typedef struct twi_reach {
    tw_arena *arena;
    size_t axes, n, link;
    twi_reach_bound bound;
    size_t most_boxes;       /* of a layer at a frame; but for EXACT */
    twi_tube tube[TWI_AXES]; /* eroded: what a path of that speed can have at all */
    double speed[TWI_AXES], eps[TWI_AXES];
    double near[TWI_AXES];  /* what is reached but for so little counts as reached: eps, or more for INNER */
    double grid[TWI_AXES];  /* 0, or for OUTER what the ends of boxes are rounded to */
    twi_tube end[TWI_AXES]; /* B(t): values that hold from t to the last frame */
    size_t end_from;        /* the first t with any */
    uint32_t *first;        /* by frame: its newest box, or TWI_NONE */
    uint32_t *full;         /* by frame: the first layer with a box that fills the gate, or TWI_NONE */
    twi_reach_box *boxes;
    size_t box_count, box_cap;
    twi_reach_block *blocks;
    size_t low, high; /* frames that got boxes in this layer */
    size_t work;      /* gates and runs of gates looked at */
    size_t most_work; /* then the search gives up */
    /* Of several axes: each by itself, from the last frame back. Nothing is reached that one of them cannot go on from
     * with at most `most_keys` keyframes altogether. */
    const struct twi_reach *back[TWI_AXES];
    size_t most_keys;
    bool bounded; /* something was left out for that */
    /* the roomiest meeting of F_k and B */
    bool met;
    double room;
    size_t meet_at;
    double meet[TWI_AXES];
} twi_reach;

/* Nothing is reached yet; false when no path is slow enough. B is left to be filled. */
bool twi_reach_init(tw_arena *arena, const twi_keys_job *job, twi_reach *out);

/* The values at frame t that an axis can go on from as keyframe number `layer`; false when there are none. */
bool twi_reach_useful(const twi_reach *s, size_t t, size_t axis, uint32_t layer, double *lo, double *hi);

/* Notes that a box is reached; looks whether that meets B. */
void twi_reach_insert(twi_reach *s, size_t t, twi_reach_box own);

/* Does a box meet B? */
bool twi_reach_meets(const twi_reach *s, size_t t, const twi_reach_box *own);

/* Does one known box hold all of `own`? */
bool twi_reach_covered(const twi_reach *s, size_t t, const twi_reach_box *own);

/* Takes from `own` what boxes of earlier layers have at its ends: they have been looked from before. False when nothing
 * is left. */
bool twi_reach_trim(const twi_reach *s, size_t t, twi_reach_box *own);

/* The largest box of a frame of at most that layer, or NULL. */
const twi_reach_box *twi_reach_largest(const twi_reach *s, size_t t, uint32_t layer);

/* Brings up to date what one box at each frame of a run has in common; a box that reaches the gate's end has no end
 * there. The run starts at frame `from`. */
void twi_reach_refresh(const twi_reach *s, size_t from, uint32_t layer, twi_reach_block *b);

#endif
