/* SPDX-License-Identifier: Apache-2.0
 *
 * tallwide/subject.h - following a box in pictures, and telling the camera's movement from the subject's: pure maths on
 * 8-bit luma.
 *
 * Pixels: origin at the top left, x to the right, y down; the centre of the first pixel is at 0.5, 0.5, so that a box
 * that holds the whole picture is {0, 0, w, h}. All lengths are pixels of the plane that was passed in. Nothing here
 * reads files, keeps time or asks for randomness: the same planes give the same bits.
 *
 * Methods, all from the publications, none of it copied:
 *   B. D. Lucas, T. Kanade: An iterative image registration technique (IJCAI 1981), in pyramids after J.-Y. Bouguet;
 *   M. Fischler, R. Bolles: Random sample consensus (CACM 24, 1981);
 *   Z. Kalal, K. Mikolajczyk, J. Matas: Forward-backward error (ICPR 2010);
 *   D. Bolme et al.: Visual object tracking using adaptive correlation filters (CVPR 2010);
 *   J. Henriques et al.: High-speed tracking with kernelized correlation filters (PAMI 37, 2015);
 *   M. Danelljan et al.: Accurate scale estimation for robust visual tracking (BMVC 2014).
 */
#ifndef TALLWIDE_SUBJECT_H
#define TALLWIDE_SUBJECT_H

#include <tallwide/base.h>

#ifdef __cplusplus
extern "C" {
#endif

/* A luma plane somebody else owns: h rows of w bytes, `stride` bytes apart. At least 16 x 16, at most 32768 a side. */
typedef struct tw_plane {
    const uint8_t *px;
    int w, h;
    size_t stride;
} tw_plane;

/* A picture at full, half, quarter ... size. Its memory is made once and filled for frame after frame. */
#define TW_PYRAMID_LEVELS 6
typedef struct tw_pyramid {
    tw_plane level[TW_PYRAMID_LEVELS]; /* level[0] is the caller's plane itself: it must live as long as it is used */
    uint8_t *store[TW_PYRAMID_LEVELS];
    int count;
} tw_pyramid;

void tw_pyramid_init(tw_arena *arena, int w, int h, tw_pyramid *out);
void tw_pyramid_fill(tw_pyramid *pyramid, const tw_plane *plane); /* of the size given to init */

/* ---- the camera ------------------------------------------------------------------------------------------ */

/* How the picture as a whole moved from one frame to the next: the picture's centre by (dx, dy) pixels, turned by
 * `turn` radians (clockwise as seen, since y runs down) and enlarged by `scale` about it. */
typedef struct tw_camera {
    double dx, dy, turn, scale;
    double sure; /* share of the followed points that agree, 0..1; below about 0.3 there is nothing to rely on */
} tw_camera;

#define TW_CAMERA_STILL ((tw_camera){0, 0, 0, 1, 0})

/* A box; also what is known of one in one frame. */
typedef struct tw_spot {
    double left, top, width, height;
    double sure; /* 0: not found in this frame, the box is a guess; 1: no doubt */
} tw_spot;

/* The movement between two frames. Points inside the boxes of `subjects` are left out. */
tw_camera tw_camera_between(const tw_pyramid *before, const tw_pyramid *now, const tw_spot *subjects, size_t count);

/* Where a point of the frame before lies now, in a picture w x h. */
void tw_camera_point(const tw_camera *camera, int w, int h, double *x, double *y);

/* The movement taken back. */
tw_camera tw_camera_inverse(const tw_camera *camera);

/* Does another shot begin with `now`? Told by structure, so that a flash or a change of exposure is no cut, and neither
 * is a pan of less than an eighth of the picture a frame. */
bool tw_cut_between(const tw_pyramid *before, const tw_pyramid *now);

/* ---- one box --------------------------------------------------------------------------------------------- */

typedef struct tw_follower tw_follower;

/* Starts from a box in a frame. About 1.3 MB, all of it in the arena; nothing more is taken while it follows. */
tw_follower *tw_follower_new(tw_arena *arena, const tw_pyramid *frame, const tw_spot *box);

/* Starts again from another box, in a frame of the same size: as if new. */
void tw_follower_again(tw_follower *follower, const tw_pyramid *frame, const tw_spot *box);

/* Goes on to the next frame (which may be an earlier one in time). `before` and `now` are adjacent frames of one size,
 * `camera` the movement between them. While the subject cannot be made out, nothing is learnt, the box goes with the
 * camera and the subject's last speed, and a wider search looks for what was seen at first: sure is then 0. */
tw_spot tw_follower_step(tw_follower *follower, const tw_pyramid *before, const tw_pyramid *now,
                         const tw_camera *camera);

/* Intersection over union, 0..1. */
double tw_spot_overlap(const tw_spot *a, const tw_spot *b);

/* Straight from a (share 0) to b (share 1); nothing is said of how sure it is: 0. */
tw_spot tw_spot_between(const tw_spot *a, const tw_spot *b, double share);

/* Makes one track of two over the `count` frames between two keys: `forth` was followed from the key before, `back`
 * from the key after. Each counts for more the surer it is and the nearer its key. Where both are sure of different
 * places the one whose key counts for more is kept, at half its sureness. Returns the number of such frames; *first is
 * the first of them, untouched when there is none.
 * A box without a width says that there is nothing. */
size_t tw_spots_meet(const tw_spot *forth, const tw_spot *back, size_t count, tw_spot *out, size_t *first);

/* ---- faces and upper bodies ------------------------------------------------------------------------------ */

/* A trained cascade (P. Viola, M. Jones, CVPR 2001; turned features: R. Lienhart, J. Maydt, ICIP 2002); cascade.h reads
 * them from files. A window is shown to the stages one after the other; a stage adds up one leaf of each of its trees
 * and sends the window away when the sum stays below its threshold. A tree asks of a node whether its feature, the sum
 * of weight x brightness over up to three rectangles, is below threshold x area x standard deviation of the window
 * without its outermost pixels, and goes left or right: to a node of the tree (> 0), or to its leaf number -left. */
#define TW_CASCADE_RECTS 3
#define TW_CASCADE_WINDOW 128 /* largest side of a window */
typedef struct tw_cascade_rect {
    int16_t x, y, w, h; /* of a tilted feature: top corner; lengths along the diagonals down right and down left */
    float weight;
} tw_cascade_rect;
typedef struct tw_cascade_feature {
    tw_cascade_rect rects[TW_CASCADE_RECTS];
    int count;
    bool tilted;
} tw_cascade_feature;
typedef struct tw_cascade_node {
    int32_t left, right;
    uint32_t feature;
    float threshold;
} tw_cascade_node;
typedef struct tw_cascade_tree {
    uint32_t node, leaf; /* where its own begin among all nodes and leaves */
} tw_cascade_tree;
typedef struct tw_cascade_stage {
    uint32_t tree, count;
    float threshold;
} tw_cascade_stage;
typedef struct tw_cascade {
    int w, h; /* of the window, pixels; 3..TW_CASCADE_WINDOW */
    const tw_cascade_stage *stages;
    const tw_cascade_tree *trees;
    const tw_cascade_node *nodes;
    const float *leaves;
    const tw_cascade_feature *features;
    size_t stage_count, tree_count, node_count, leaf_count, feature_count;
} tw_cascade;

/* Zeroed: the values in brackets. */
typedef struct tw_cascade_ask {
    double step;     /* each size is so many times the one before [1.1] */
    int least, most; /* narrowest and widest window, pixels of the plane [the cascade's own; the picture] */
    int votes;       /* windows that must agree before something is told [4] */
    int apart;       /* from one window to the next, pixels of the cascade's own size [2 up to twice that, then 1] */
} tw_cascade_ask;

typedef struct tw_found {
    tw_spot box;
    int votes;
} tw_found;

/* What the cascade sees in the plane, most votes first. Windows without contrast (deviation below 10 of 255) are not
 * looked at. Windows whose sides all lie within a fifth of their mean size are one finding; one inside another with
 * more votes is left out. */
size_t tw_cascade_find(tw_arena *arena, const tw_cascade *cascade, const tw_plane *plane, const tw_cascade_ask *ask,
                       tw_found **out);

/* ---- proposals ------------------------------------------------------------------------------------------- */

typedef enum tw_reason { TW_REASON_FACE, TW_REASON_BODY, TW_REASON_MOVES, TW_REASON_STANDS_OUT } tw_reason;
#define TW_REASONS 4

typedef struct tw_proposal {
    tw_reason reason;    /* the one that counts most */
    int64_t first, last; /* frames, the first begun being 0 */
    tw_spot *boxes;      /* last - first + 1 of them, evened out; sure 1 where seen, 0 between */
    int64_t seen[TW_REASONS], looked[TW_REASONS]; /* frames */
    double score;                                 /* 0..1 */
} tw_proposal;

/* "face, seen in 84 of 90 frames; moves on its own". */
tw_str tw_proposal_words(tw_arena *arena, const tw_proposal *proposal);

/* ---- all of that, for a clip ----------------------------------------------------------------------------- */

typedef struct tw_look tw_look;

/* Cascades that stay the caller's, and live as long; NULL: not looked for. */
typedef struct tw_look_ask {
    const tw_cascade *face, *body;
} tw_look_ask;

/* For frames of w x h. Takes all its memory now, but for what proposals need. */
tw_look *tw_look_new(tw_arena *arena, int w, int h, const tw_look_ask *ask);

/* Looks at the next frame, about a tenth of a second after the last one passed; its pixels are copied. */
void tw_look_frame(tw_look *look, const tw_plane *plane);

/* Ends it: what to propose; frame 0 is the first one passed. Things that stay for at least `least` frames and are seen
 * in half of those looked at, best first: by the share of frames each reason holds in, faces counting most, and a
 * little by size. What is found for several reasons is one thing; what merely stands out is told where nothing else
 * is. */
size_t tw_look_rank(tw_arena *arena, tw_look *look, int64_t least, tw_proposal **out);

#ifdef __cplusplus
}
#endif
#endif
