/* SPDX-License-Identifier: Apache-2.0
 *
 * tallwide/recut.h - what stays of framing when the cut, the windows or the notes change.
 *
 * Shots of two versions are told to be the same by their material (names in any spelling), the source frames they show,
 * their speed and their order; never by event numbers or record times. On top of that: comparison, three-way merge of
 * plans, hand windows taken back from a timeline a person changed, and framings people agreed on.
 */
#ifndef TALLWIDE_RECUT_H
#define TALLWIDE_RECUT_H

#include <tallwide/plan.h>
#include <tallwide/timeline.h>

#ifdef __cplusplus
extern "C" {
#endif

/* ---- identity and alignment ------------------------------------------------------------------------------ */

/* A picture clip of which something is seen, in one version. Source positions are seconds as the source's labels count
 * them (frame number / whole frames a second), so that 23.976 and 24 are told apart by nobody. */
typedef struct tw_shot {
    const tw_track *track;
    const tw_item *item;
    const tw_item *before, *after; /* transitions that touch it, or NULL */
    uint32_t media;                /* the same in both versions: the same material */
    int64_t first, frames;         /* those seen as cut, or else in transitions, as tw_key counts them */
    double start, step;            /* source position of the first of them, and per frame */
    tw_stand stand;
} tw_shot;

/* Shots that belong together: one of each (kept, trimmed, retimed), one old and several new (split), several old and
 * one new (joined). Indices into the alignment's lists, ascending. */
typedef struct tw_shot_group {
    size_t *olds, *news;
    size_t old_count, new_count;
    bool moved; /* found out of order */
} tw_shot_group;

typedef struct tw_alignment {
    const tw_timeline *old_timeline, *new_timeline;
    tw_shot *olds, *news; /* by track, bottom first, then record time */
    size_t old_count, new_count;
    tw_shot_group *groups; /* by first new shot */
    size_t group_count;
    size_t *old_group, *new_group; /* of each shot: index of its group, SIZE_MAX when it has none */
    int64_t cost;                  /* of what is in order, see below; moved groups are found among the rest */
    size_t pairs;                  /* pairs of shots looked at: the work it took */
} tw_alignment;

/* Prices, in thousandths: what the alignment in order makes as small as possible, over all ways to group shots of the
 * same material whose source frames overlap, keeping the order of both versions. Equal both ways round; zero only
 * when every shot is kept as it was. No triangle inequality: overlapping is not transitive. */
#define TW_PRICE_ALONE 4000  /* a shot of either version without a partner */
#define TW_PRICE_TRIM 1000   /* a head or a tail that moved, plus the frames it moved by (499 at most) */
#define TW_PRICE_RETIME 1000 /* another speed; only one to one */
#define TW_PRICE_PIECE 1000  /* each piece after the first of a split or joined shot */
#define TW_PRICE_GAP 250     /* source frames missing between two pieces */

/* Candidates tried for one shot: up to this many with the same first source frame, nearest in order first, and as many
 * others whose frames overlap among the eight times as many that begin last; fewer in lists of more than 131,072
 * shots. A join looks back over eight times as many shots. Past that the result may be dearer than the cheapest; the
 * time stays within O(n log n) at a fixed factor. */
#define TW_ALIGN_CANDIDATES 32u

tw_alignment *tw_recut_align(tw_arena *arena, const tw_timeline *old_timeline, const tw_timeline *new_timeline);

/* ---- comparison of timelines ----------------------------------------------------------------------------- */

typedef enum tw_change_kind {
    TW_CHANGE_KEPT,
    TW_CHANGE_TRIMMED,
    TW_CHANGE_RETIMED,
    TW_CHANGE_SPLIT,
    TW_CHANGE_JOINED,
    TW_CHANGE_REPLACED, /* other material in the same place */
    TW_CHANGE_REMOVED,
    TW_CHANGE_ADDED
} tw_change_kind;

/* How far two framings of one shot differ over the source frames both show. */
typedef struct tw_window_change {
    bool changed;  /* by more than the slack asked for, or one side has none */
    bool one_side; /* only one side has a framing, or they fill differently */
    double px;     /* largest distance of two edges, source pixels */
    int64_t frame; /* where: frame of the new shot */
} tw_window_change;

typedef struct tw_change {
    tw_change_kind kind;
    bool moved;                /* as well as what `kind` says */
    const size_t *olds, *news; /* indices into the alignment's shots */
    size_t old_count, new_count;
    int64_t head, tail;            /* record frames gained (lost: negative) at the ends */
    int64_t missing;               /* split, joined: source frames lost or won between the pieces, in record frames */
    bool transition, enabled;      /* the transition into it, or its being switched on, changed */
    const tw_item *old_transition; /* NULL: a cut */
    const tw_item *new_transition;
    tw_window_change window;
} tw_change;

typedef struct tw_comparison {
    const tw_alignment *alignment;
    tw_change *changes; /* in the order of the new version, removed shots where they stood */
    size_t count;
    size_t of_kind[TW_CHANGE_ADDED + 1];
    size_t moved, transitions, windows, enabled;
    bool same; /* every shot is kept in order, with its transitions and windows */
} tw_comparison;

#define TW_RECUT_SLACK 0.0015 /* source pixels: every format carries thousandths */

/* Windows that differ by no more than `slack` source pixels count as unchanged. */
tw_comparison *tw_recut_compare(tw_arena *arena, const tw_timeline *old_timeline, const tw_timeline *new_timeline,
                                double slack);

/* Frames of two shots that show the same source: old frame = offset + scale * new frame, looked at over [from, to). */
typedef struct tw_frame_map {
    double offset, scale;
    int64_t from, to;
} tw_frame_map;
tw_frame_map tw_recut_map(const tw_shot *old_shot, const tw_shot *new_shot);

/* How far two framings of the same material differ; either may be NULL. */
tw_window_change tw_recut_windows(const tw_framing *old_framing, const tw_framing *new_framing, tw_frame_map map,
                                  double slack);

/* A change list as an editor would send it, and the same for machines, with what was found on the way. `all`: also the
 * shots that were kept. */
void tw_recut_say(const tw_comparison *comparison, bool all, tw_buf *out);
void tw_recut_json(const tw_comparison *comparison, const tw_diags *diags, tw_buf *out);

/* One line for a shot that says what it shows and nothing of its number, for line-by-line comparison (git's
 * textconv). */
void tw_recut_plain(const tw_timeline *timeline, tw_buf *out);

/* ---- merging plans --------------------------------------------------------------------------------------- */

typedef struct tw_merged {
    tw_json *root;
    tw_str *conflicts; /* "note n001: regions/hands/need", in the order found */
    size_t conflict_count;
} tw_merged;

/* Three-way merge of plan documents: deliveries by name, sources by pattern, notes by id, regions by name, keys by
 * time, all else member by member; numbers keep their text. `base` may be NULL (both sides are new). Where both sides
 * changed one thing in different ways the result has our value, and the note, delivery, source or plan it is in gets
 * "conflict": {"regions/hands/need": {"ours": "must", "theirs": "nice"}} (a side that removed it is left out). What
 * one side removed and the other changed stays, with a conflict. Two new notes with one id but another reel or range
 * are two notes: one of them gets another id, whichever side merges the same.
 *
 * merge(b, x, b) = merge(b, b, x) = x; changing sides changes only which side is called ours; with m = merge(b, x, y),
 * merge(b, m, x) = merge(b, m, y) = m. */
void tw_recut_merge(tw_arena *arena, const tw_json *base, const tw_json *ours, const tw_json *theirs, tw_merged *out);

/* One difference between two plans. */
typedef struct tw_plan_change {
    tw_str where;                  /* "note n001", "delivery tall", "plan" */
    tw_str what;                   /* "regions/hands/need"; empty: the whole of it was added or removed */
    const tw_json *before, *after; /* NULL: not there; both NULL: only the order is another */
    double px;                     /* hand windows: how far an edge moved at most, source pixels; else negative */
} tw_plan_change;

size_t tw_recut_compare_plans(tw_arena *arena, const tw_json *before, const tw_json *after, tw_plan_change **out);
void tw_recut_say_plans(const tw_plan_change *changes, size_t count, tw_buf *out);
void tw_recut_json_plans(const tw_plan_change *changes, size_t count, const tw_diags *diags, tw_buf *out);

/* Tells each conflict a plan still carries (TW1801); how many there are. */
size_t tw_recut_conflicts(const tw_json_doc *doc, tw_diags *diags);

/* ---- windows changed by hand ----------------------------------------------------------------------------- */

typedef struct tw_adopt_job {
    const tw_plan *plan;
    const tw_timeline *solved;  /* what the plan solves to in one delivery: the master with framings */
    const tw_timeline *written; /* the same as it reads back from the changed file's format */
    const tw_timeline *changed; /* what somebody made of that */
    tw_str delivery;
    tw_str by, say;        /* for the notes; may be empty */
    bool again;            /* say is for new notes only */
    const tw_str *settled; /* ids of notes that another file of the delivery has given their window: they keep it */
    size_t settled_count;
} tw_adopt_job;

typedef struct tw_adopted_window {
    const tw_item *item; /* of `solved` */
    int64_t record;      /* frame at which it is first seen */
    tw_str id;           /* of the note */
    bool updated;        /* the note was there already */
    double px;           /* how far the window is from the solved one, at most */
} tw_adopted_window;

typedef struct tw_adopted {
    tw_adopted_window *windows;
    size_t window_count;
    size_t refused; /* changed windows that no note can hold (TW1804) */
    size_t cuts;    /* changes of the cut, which are reported and left alone (TW1803) */
    size_t shared;  /* other shots a taken window holds for (TW1805) */
} tw_adopted;

/* Writes every window that differs from the solved one into a note of `root`, a plan document, as a hand window for the
 * whole of the shot, in that delivery alone. Solving the new plan gives the same windows to the last digit. */
void tw_recut_adopt(tw_arena *arena, const tw_adopt_job *job, tw_json *root, tw_diags *diags, tw_adopted *out);

/* ---- framing people agreed on ---------------------------------------------------------------------------- */

/* Names a framing by its windows over source time: 16 hexadecimal digits. A still window has the same name wherever its
 * shot begins and ends; a move is named by where its keys are in the source. */
tw_str tw_recut_framing_name(tw_arena *arena, const tw_timeline *timeline, const tw_item *item);

/* What became of one agreed note in one delivery. */
typedef struct tw_agreed {
    const tw_note *note;
    tw_str by; /* who agreed; may be empty */
    tw_str delivery;
    const tw_item *item; /* a shot whose framing is not one agreed on; NULL when nobody wrote down what was agreed */
} tw_agreed;

/* Who agreed on a note; may be empty. */
tw_str tw_recut_agreed_by(const tw_note *note);

/* The shots of one delivery that notes speak of. */
typedef struct tw_note_use {
    const tw_note *note;
    const tw_item *item; /* with its framing */
} tw_note_use;

/* Is the framing of each use of an agreed note still one that was agreed on? Gives those that are not. */
size_t tw_recut_broken(tw_arena *arena, const tw_timeline *timeline, tw_str delivery, const tw_note_use *uses,
                       size_t count, tw_agreed **out);

/* Writes down in a note of a plan document that the framings of its uses are agreed on, in one delivery. */
void tw_recut_agree(tw_arena *arena, const tw_timeline *timeline, tw_str delivery, const tw_note_use *uses,
                    size_t count, tw_json *note, tw_str by);

/* ---- a plan on a new cut --------------------------------------------------------------------------------- */

/* How many of these frames of a clip, at their head and tail, none of these notes speaks of; all when none speaks of
 * any. */
void tw_recut_cover(const tw_timeline *timeline, const tw_item *item, tw_span frames, const tw_note *const *notes,
                    size_t count, int64_t *head, int64_t *tail);

#ifdef __cplusplus
}
#endif
#endif
