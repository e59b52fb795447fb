/* SPDX-License-Identifier: Apache-2.0
 *
 * Shared between the files of proof.
 */
#ifndef TW_PROOF_INTERNAL_H
#define TW_PROOF_INTERNAL_H

#include <tallwide/path.h>
#include <tallwide/proof.h>

/* What a shot should look like in a delivery, before any note. */
typedef enum twi_expected {
    TWI_EXPECT_NOTHING, /* black or bars */
    TWI_EXPECT_UNKNOWN, /* the plan does not know the picture's size, or the shot is endless */
    TWI_EXPECT_WHOLE,   /* shown whole, with bars */
    TWI_EXPECT_FILLED
} twi_expected;

/* ---- spots.c ---- */

/* Where a picture clip of which something is seen, or a nest, stands, in record frames of the outermost track. */
typedef struct twi_spot {
    const tw_item *item;
    const tw_track *track;
    size_t video;          /* number of the outermost picture track */
    size_t nest;           /* number of the nest it is in, as they are met; SIZE_MAX: in none */
    bool on;               /* neither it nor anything it is in is switched off */
    bool between;          /* it or a nest around it does not begin or end with a frame: a file may round otherwise */
    int64_t place;         /* its first frame */
    int64_t begins, ends;  /* as cut, but not beyond the nests around it; ends: one past */
    int64_t seen, last;    /* the same with transitions beside it and them; last: one past */
    int64_t first, frames; /* its own between those, as tw_key.frame counts */
    double step;           /* record frames that one of its own stands for: speeds of nests around it */
    bool retimed;          /* some nest around it has a speed of its own */
} twi_spot;

/* Meets them bottom track first, a nest before what is in it. */
typedef void twi_spot_fn(void *context, const twi_spot *spot);
void twi_proof_spots(const tw_timeline *timeline, twi_spot_fn *fn, void *context);

/* ---- shots.c ---- */

/* A picture clip of the master of which something is seen. */
typedef struct twi_seen {
    twi_spot spot;
    const tw_item *clip;     /* of the spot */
    const tw_source *source; /* NULL: none matches */
    double fps;              /* of its frames that go by in a second */
    int64_t first, frames;   /* visible, as tw_key.frame counts */
    bool endless;            /* it, with what it is joined to, is past the bounds of timeline.h */
    bool joined;             /* goes on where the clip before it ends: a through-edit */
    const tw_note **notes;   /* that meet its source range, in plan order */
    size_t note_count;
} twi_seen;

typedef struct twi_sight {
    twi_seen *at; /* one more than len: an empty one ends it */
    size_t len, cap;
    bool *note_used; /* by index of the plan's notes */
} twi_sight;

/* All shots of the master, bottom track first, with the notes that meet them. */
void twi_proof_look(tw_arena *arena, const tw_plan *plan, const tw_timeline *master, twi_sight *out);
twi_expected twi_proof_expected(const twi_seen *shot, const tw_delivery *delivery);

/* ---- box.c ---- */

/* Box of a region in source pixels at a source position, cut to the picture; false when nothing of it is there.
 * gap: source frames without a box after which a thing in a table is gone. */
bool twi_proof_box(const tw_region *region, double source, double gap, tw_size size, tw_path_box *out);

/* A must region over the frames of a shot. */
typedef struct twi_hold {
    const tw_note *note;
    const tw_region *region;
    tw_path_box *boxes;     /* one per visible frame; right <= left where it is not there */
    const tw_path_box *raw; /* of a detector: as it gave them; else NULL */
} twi_hold;

typedef struct twi_asked {
    twi_hold *holds;
    size_t hold_count;
    const tw_note **by_hand; /* per visible frame: the note that sets the window there, or NULL */
    bool *shared;            /* per visible frame: more than one sets it */
    bool any;                /* some note says something about the picture */
    bool steps;              /* jumps are allowed */
} twi_asked;

/* What the notes ask of a shot in a delivery. */
void twi_proof_asked(tw_arena *arena, const tw_timeline *master, const twi_seen *shot, const tw_delivery *delivery,
                     twi_asked *out);

/* What counts of a detector's boxes (plan.h). */
tw_path_box *twi_proof_calm(tw_arena *arena, const tw_path_box *raw, int64_t frames, double fps);

/* ---- match.c ---- */

/* The written clip of a shot in one file. */
typedef struct twi_twin {
    const tw_item *clip; /* NULL: the file does not speak of this shot, or lost it */
    int64_t shift;       /* to add to its frame numbers to get the master clip's */
} twi_twin;

/* Twins by shot: in a file of the master's own format the clip that shows the same, or has its number; else by the
 * record frame at which the picture is first seen, since a list may move the cut inside a dissolve. Shots a file of
 * another format lost or moved are reported. Where twi_proof_cut has told that items differ (`damaged`), shots are
 * sought, and missed, in what the format makes of the master, and from there as in a file of the same format. */
twi_twin *twi_proof_twins(tw_arena *arena, const tw_proof_input *in, const twi_sight *sight, const tw_proof_file *file,
                          bool damaged, tw_diags *diags);

/* ---- cut.c ---- */

/* Reports all differences but framing between a written file and what its format makes of the master. True when items
 * differ. */
bool twi_proof_cut(tw_arena *arena, const tw_proof_input *in, const tw_proof_file *file, tw_diags *diags);

/* The master as the file's format carries it: written without framing and read back. NULL when it cannot be. */
const tw_timeline *twi_proof_as_format(tw_arena *arena, const tw_proof_input *in, const tw_proof_file *file);

/* What an editor calls an item: "event 004 (A003)", "clip \"wheel\"", "the transition". */
tw_str twi_proof_name(tw_arena *arena, const tw_item *item);

/* Where a finding about a written item belongs. */
tw_place twi_proof_place(const tw_proof_file *file, const tw_item *item);

/* ---- document.c ---- */

/* Reports what only the text of the document tells. */
void twi_proof_document(tw_arena *arena, const tw_proof_input *in, const tw_proof_file *file, tw_diags *diags);

/* Is the file what its format, which is not the master's, makes of the master? Then there is nothing to compare. Where
 * clips stand in another order the answer is no. */
bool twi_proof_made_again(tw_arena *arena, const tw_proof_input *in, const tw_timeline *written);

/* ---- agree.c ---- */

/* Reports where two files of a delivery frame a shot differently. */
void twi_proof_agree(tw_arena *arena, const tw_proof_input *in, const twi_sight *sight, twi_twin *const *twins,
                     tw_diags *diags);

/* Reports where a written framing is not one that an agreed note names. */
void twi_proof_agreed(tw_arena *scratch, const tw_proof_input *in, const twi_seen *shot, const tw_proof_file *file,
                      const tw_item *clip, tw_diags *diags);

/* ---- frames.c ---- */

/* Half of the last digit a text list carries: 0.001 source pixels. */
#define TWI_HALF_DIGIT 0.0005

typedef struct twi_lost {
    int64_t frames, first; /* how many, number of the first */
    int64_t forced;        /* frames at which the shape left no choice, not in `frames` */
    int64_t by_hand;       /* frames at which a hand window decided, not in `frames` */
    double px;             /* worst, over all of them */
    char side;
    int64_t raw; /* frames at which a detector's own box sticks out of a window that holds what counts of it */
    double raw_px;
} twi_lost;

/* What one framing shows over one shot. */
typedef struct twi_showing {
    int64_t outside, outside_first;
    double outside_px;
    int64_t outside_by_hand;
    int64_t over, over_first; /* past the limit though the picture is large enough */
    int64_t over_by_hand;
    bool small; /* the picture is too small to fill the delivery at the limit */
    double max_scale;
    int64_t must, held;
    int64_t forced, cut_by_hand; /* of those not held: what no window of this shape holds, and what one by hand cuts */
    double worst_cut;
    twi_lost *lost;             /* by hold */
    int64_t moved, moved_first; /* by hand, but elsewhere than their note says */
    double moved_px;
    const tw_note *moved_note;
    double peak_speed, peak_accel;
    double accel_slack;             /* what rounding may do to the peak acceleration */
    int64_t fast_first;             /* frame of the peak speed */
    int64_t harsh_first;            /* frame of the peak acceleration */
    size_t keys_before, keys_after; /* keys outside the visible frames */
} twi_showing;

typedef struct twi_view {
    const tw_proof_input *in;
    const twi_seen *shot;
    const twi_asked *asked;
    const tw_framing *framing;
    int64_t shift;
} twi_view;

/* Evaluates every visible frame of a filled shot. */
void twi_proof_watch(tw_arena *arena, const twi_view *view, twi_showing *out);

/* ---- hand.c ---- */

/* Counts the frames whose window by hand is not where the note puts it. */
void twi_proof_hand(tw_arena *arena, const twi_view *view, twi_showing *out);

/* ---- over.c ---- */

/* Of the frames whose window is narrower than that: how many are set by hand or lead over to such a window; *first: the
 * first that is not. */
int64_t twi_proof_over_by_hand(const twi_view *view, double narrowest, int64_t *first);

/* ---- verdict.c ---- */

/* Checks one framing of one shot, reports, and adds it to the numbers of its file. `told` remembers what earlier files
 * of the same shot already reported, and what the last framing showed: `arena` must last as long. */
typedef struct twi_told {
    uint64_t codes; /* bit n: TW1700 + n */
    const tw_framing *framing;
    int64_t shift;
    const twi_showing *showing;
} twi_told;
void twi_proof_judge(tw_arena *arena, const twi_view *view, const tw_proof_file *file, const tw_item *clip,
                     twi_told *told, tw_diags *diags, tw_proof *numbers);

#endif
