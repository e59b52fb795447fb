/* SPDX-License-Identifier: Apache-2.0
 *
 * tallwide/derive.h - plan + master edit -> a framing for every picture clip that is seen, in every delivery.
 */
#ifndef TALLWIDE_DERIVE_H
#define TALLWIDE_DERIVE_H

#include <tallwide/path.h>
#include <tallwide/plan.h>
#include <tallwide/timeline.h>

#ifdef __cplusplus
extern "C" {
#endif

typedef enum tw_verdict {
    TW_VERDICT_FRAMED,     /* notes or hand windows decided, nothing lost */
    TW_VERDICT_COMPROMISE, /* decided, but something could not be had: see compromises */
    TW_VERDICT_NOT_FRAMED, /* no note: centred, widest */
    TW_VERDICT_GRAPHIC,    /* shown whole; rebuild for this shape */
    TW_VERDICT_BLACK,      /* nothing to frame */
    TW_VERDICT_UNKNOWN     /* the source's size is not known, or the shot is endless: no framing written */
} tw_verdict;

/* What was decided for one clip in one delivery. */
typedef struct tw_decision {
    const tw_item *clip;
    const tw_track *track;
    const tw_stand *stand;
    const tw_source *source; /* NULL when no pattern matches */
    int64_t first, frames;   /* visible frames: number of the first and how many, handles included */
    tw_verdict verdict;
    bool endless; /* past the bounds of timeline.h on what is framed */
    bool moving;
    bool shared;           /* the framing is one that several clips of a set-up share */
    size_t part, parts;    /* through-edit: number of this clip in its path and how many clips share the path; 0 of 1 */
    tw_framing *framing;   /* NULL for BLACK and UNKNOWN */
    tw_path_result path;   /* of the whole path; its keys count from the first clip of a through-edit */
    const tw_note **notes; /* the notes that were used, in plan order */
    size_t note_count;
    const tw_region **regions; /* index = tw_path_compromise.region */
    size_t region_count;
    tw_str why; /* one plain clause: "still: holds hands over the whole shot" */
} tw_decision;

typedef struct tw_derived_delivery {
    const tw_delivery *delivery;
    tw_decision *shots; /* one per picture clip that is seen, in record order, tracks bottom first */
    size_t shot_count;
    size_t framed; /* with or without a compromise */
    size_t not_framed, moving, keys, graphics, black, unknown;
    size_t compromised; /* framed or not */
    int64_t frames;     /* of all shots but black, handles included */
    double max_scale;   /* largest scale of any filled shot at any key */
} tw_derived_delivery;

typedef struct tw_derived {
    const tw_plan *plan;
    const tw_timeline *master;
    tw_derived_delivery *deliveries;
    size_t delivery_count;
    bool *note_used; /* by note index: some shot uses it */
} tw_derived;

typedef struct tw_derive_options {
    tw_str only;      /* name of the one delivery wanted; empty: all */
    unsigned threads; /* 0: one */
    tw_progress progress;
} tw_derive_options;

/* Solves every shot of every delivery. Findings TW16xx: sources without a size, notes no shot uses. A window set by
 * hand that would show an edge of the picture is an error (TW1608), and so are two that contradict each other (TW1613):
 * none is overruled or written. A name in `only` that no delivery has is refused (TW1607). A shot past the bounds of
 * timeline.h is left without framing (TW1609); an edit whose other shots are past them together is refused with
 * TW_ERR_LIMIT (TW1610). */
tw_status tw_derive(tw_arena *arena, const tw_plan *plan, const tw_timeline *master, const tw_derive_options *options,
                    tw_diags *diags, tw_derived **out);

/* Adds a finding for every compromise of every delivery (TW1604 .. TW1606): what the table of shots says in words. */
void tw_derive_findings(tw_arena *arena, const tw_derived *derived, tw_diags *diags);

/* One delivery by itself, its framings in the form of keys that files get: what pages beside a timeline tell. */
tw_derived *tw_derive_as_written(tw_arena *arena, const tw_derived *derived, size_t delivery);

/* The derived timeline: the master with framings and a stamp. */
tw_timeline *tw_derive_timeline(tw_arena *arena, const tw_derived *derived, size_t delivery, uint64_t master_hash);

/* One compromise in words an editor understands: "wheel (must) is cut by up to 112 px on the left in 34 frames". */
tw_str tw_derive_say(tw_arena *arena, const tw_decision *decision, const tw_path_compromise *compromise);

/* Between tw_plan_open and tw_plan_finish: how the edit counts the reels, which is how times of notes are read. */
void tw_derive_clocks(tw_arena *arena, const tw_timeline *master, tw_plan *plan);

#define TW_DERIVE_GONE 0.5 /* seconds without a box after which a tracked thing counts as gone; our proposal */

/* The box of a region (fractions of the picture) at a source frame, which may lie between two; false when it is not
 * there. Hand keys are held outside their span as far as the note reaches; a table's boxes are not, and a gap of more
 * than `gap` frames in it means the thing was gone. */
bool tw_derive_box(const tw_region *region, double source_frame, double gap, tw_region_key *out);

#ifdef __cplusplus
}
#endif
#endif
