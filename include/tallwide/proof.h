/* SPDX-License-Identifier: Apache-2.0
 *
 * tallwide/proof.h - do the files of a delivery keep the promises? Judged frame by frame from what was written.
 *
 * The proof knows nothing of how a framing was found. It takes the plan, the master and every file of a delivery as its
 * own format's reader sees it, matches notes to clips and evaluates boxes and windows by itself, and says what it saw.
 * Promises: the cut is untouched; no edge of the picture shows; must regions are held where the shape allows it;
 * nothing is enlarged past the limit unless the source is too small; the formats of a delivery say the same.
 */
#ifndef TALLWIDE_PROOF_H
#define TALLWIDE_PROOF_H

#include <tallwide/diag.h>
#include <tallwide/plan.h>
#include <tallwide/timeline.h>

#ifdef __cplusplus
extern "C" {
#endif

/* One written file. */
typedef struct tw_proof_file {
    tw_str name;                /* display name, for findings */
    const tw_timeline *written; /* as its format's reader (written->format) sees it */
    size_t part;                /* number of the file among those its format needs for one timeline */
    tw_str text;                /* its bytes, for formats that are held to the letter; else they are not asked for */
} tw_proof_file;

/* A delivery and its files. Everything must outlive the call, nothing is kept. */
typedef struct tw_proof_input {
    const tw_plan *plan;
    const tw_timeline *master; /* master->format set: the reader that read it */
    uint64_t master_hash;      /* tw_str_hash of the master's bytes */
    size_t delivery;           /* index into plan->deliveries */
    const tw_proof_file *files;
    size_t file_count;
    tw_progress progress; /* in shots */
} tw_proof_input;

/* A shot of the master and what the files say of it. */
typedef struct tw_proof_shot {
    const tw_item *clip; /* the master's */
    const tw_track *track;
    const tw_framing *framing; /* by the first file that has one, frames counted as the master's clip does; or NULL */
    bool black;                /* nothing to frame */
    bool lost;                 /* no file has a clip for it */
} tw_proof_shot;

/* What the proof counted. Where files differ the worst of them counts. Sizes are source pixels, speeds are window
 * widths per second (and per second squared) as shown from frame to frame. */
typedef struct tw_proof {
    tw_str delivery;
    size_t shots;      /* picture clips of which something is seen */
    size_t not_framed; /* of them filled without a note that says how */
    size_t moving;     /* framed with more than one key */
    size_t keys;
    int64_t frames;         /* of all shots but black, transition handles included */
    int64_t outside_frames; /* at which the window leaves the picture */
    int64_t must_frames;    /* at which a must region is in the picture */
    int64_t must_held_frames;
    int64_t must_forced_frames;  /* not held, since no window of this shape could */
    int64_t must_by_hand_frames; /* not held, since a window is set by hand; the rest could have been held */
    double worst_cut_px;         /* of any must region at any frame */
    double max_scale;            /* largest of any filled shot at any frame */
    int64_t over_scale_frames;
    double peak_speed, peak_accel;
    bool cut_unchanged;
    bool ok;                   /* no error was found */
    size_t warnings;           /* how many were */
    const tw_proof_shot *told; /* the `shots`, bottom track first; of the arena given, framings too */
} tw_proof;

/* Proves one delivery. Findings are TW17xx: an error is a broken promise, a warning is something to look at, a note is
 * something to know. TW_OK also when promises are broken: out->ok tells.
 * TW_ERR_LIMIT (TW1610) past the bounds of timeline.h. */
tw_status tw_proof_run(tw_arena *arena, const tw_proof_input *in, tw_diags *diags, tw_proof *out);

/* What concerns the plan as a whole: notes that no shot of the master uses (a note each). */
void tw_proof_notes(tw_arena *arena, const tw_plan *plan, const tw_timeline *master, tw_diags *diags);

/* {"ok", "deliveries": [...], "findings": [...]}, the form of `check --json`. ok: nothing is left to look at, as an exit
 * code of 0 says it. */
void tw_proof_write_json(const tw_proof *proofs, size_t count, bool ok, const tw_diags *diags, tw_buf *out);

/* The record: the file that stands beside a delivery. The numbers of its proof, and its timelines with the hash of
 * their bytes (tw_str_hash) when they were proved, by which they are known again. */
typedef struct tw_proof_named {
    tw_str name;
    uint64_t hash;
} tw_proof_named;

/* {"ok", "deliveries": [one], "files": [{"name", "hash"} ...], "findings": [...]} */
void tw_proof_write_record(const tw_proof *proof, bool ok, const tw_proof_named *files, size_t count,
                           const tw_diags *diags, tw_buf *out);

/* Are the numbers in a record those of this proof? Its findings may name other folders, and there may be more now. */
bool tw_proof_record_tells(tw_arena *arena, tw_str record, const tw_proof *proof);

/* The timelines a record names, in the arena; none in what is no record. Returns how many. */
size_t tw_proof_record_files(tw_arena *arena, tw_str record, const tw_proof_named **out);

/* The same numbers for people, under a line each that says what is proved, what was given up, and how many warnings
 * there are beside; findings are not in it. */
void tw_proof_write_text(const tw_proof *proofs, size_t count, tw_buf *out);

#ifdef __cplusplus
}
#endif
#endif
