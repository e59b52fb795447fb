/* SPDX-License-Identifier: Apache-2.0
 *
 * tallwide/follow.h - boxes drawn by hand in some frames of a clip become boxes in all of them.
 *
 * From every hand box the subject is followed in both directions (tallwide/subject.h); between two of them both passes
 * are made one. A cut inside the file is not followed across. Frames are counted from 0 here; boxes are pixels of the
 * pictures that are given.
 *
 * Memory: TW_FOLLOW_HELD bytes of pictures, however long the clip, 1.3 MB for every subject, and 150 bytes for every
 * frame and subject. Frames are asked for once forwards and, where a hand box lies after the first frame, once more in
 * runs from the end to the beginning; a clip that fits into what is held is asked for once.
 */
#ifndef TALLWIDE_FOLLOW_H
#define TALLWIDE_FOLLOW_H

#include <tallwide/base.h>
#include <tallwide/subject.h>

#ifdef __cplusplus
extern "C" {
#endif

#define TW_FOLLOW_HELD ((size_t)64 << 20)

/* Where pictures come from. Both calls return something else than TW_OK when they cannot go on; that ends it all. */
typedef struct tw_follow_pictures {
    void *context;
    int w, h;
    /* Begins to give pictures from `first` on; what was begun before is over. */
    tw_status (*open)(void *context, int64_t first, int64_t count);
    /* The next one, w x h bytes without gaps, valid until the next call; NULL when there are no more. */
    tw_status (*next)(void *context, const uint8_t **luma);
} tw_follow_pictures;

typedef struct tw_follow_key {
    int64_t frame;
    tw_spot box;
} tw_follow_key;

/* Two passes that are sure of different places. */
typedef struct tw_follow_seam {
    int64_t first, frames;
} tw_follow_seam;

/* One thing to follow, and what came of it. */
typedef struct tw_follow_subject {
    const tw_follow_key *keys; /* ascending, within the clip */
    size_t key_count;
    /* By frame. sure 0: not seen there, but before and after within tw_follow_ask.bridge frames, and the box is between
     * those. A width of 0: not there. At a key it is the key's box. */
    tw_spot *spots;
    tw_follow_seam *seams;
    size_t seam_count;
} tw_follow_subject;

typedef struct tw_follow_ask {
    const tw_follow_pictures *pictures;
    int64_t count;  /* frames of the clip */
    int64_t bridge; /* longest stretch without the subject that is bridged */
    size_t held;    /* bytes of pictures; 0: TW_FOLLOW_HELD. Changes what is asked for again, and nothing else */
    tw_follow_subject *subjects;
    size_t subject_count;
    void (*progress)(void *context, int64_t frames); /* called after so many more frames; may be NULL */
    void *progress_context;
} tw_follow_ask;

typedef struct tw_followed {
    int64_t count;      /* frames there were: fewer than asked for when the file ends before */
    tw_camera *cameras; /* by frame: the movement since the one before; the first is still */
    bool *cuts;         /* by frame: another shot begins here */
} tw_followed;

/* Everything is the arena's. On failure (what the pictures' calls returned) nothing is of use. */
tw_status tw_follow_run(tw_arena *arena, const tw_follow_ask *ask, tw_followed *out);

/* ---- tables ---------------------------------------------------------------------------------------------- */

/* What tables are written in: pixels of the source, so many of them to a pixel of the pictures. */
typedef struct tw_follow_scale {
    double x, y;
    int32_t w, h; /* of the source: boxes are cut off there */
} tw_follow_scale;

/* Appends MOTChallenge rows (frame from 1, id 1, left, top, width, height, sureness, -1, -1, -1) of the frames that
 * have a box. `first` is added to frame numbers: frames the table has before the clip begins. */
void tw_follow_table(const tw_spot *spots, int64_t count, int64_t first, const tw_follow_scale *scale, tw_buf *out);

/* Appends the camera's movement: a line of names, then frame from 1, dx and dy of the picture's centre in source
 * pixels, against the frame before; sure 0..1. */
void tw_follow_motion(const tw_camera *cameras, int64_t count, int64_t first, const tw_follow_scale *scale,
                      tw_buf *out);

#ifdef __cplusplus
}
#endif
#endif
