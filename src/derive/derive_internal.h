/* SPDX-License-Identifier: Apache-2.0
 *
 * Shared between the files of derive.
 */
#ifndef TW_DERIVE_INTERNAL_H
#define TW_DERIVE_INTERNAL_H

#include <tallwide/derive.h>

/* Notes by reel: exact reels by binary search, patterns by trying each. */
typedef struct twi_note_index twi_note_index;
twi_note_index *twi_derive_index(tw_arena *arena, const tw_plan *plan);

/* The notes whose reel and range meet these frames of the clip, in plan order; *count of them. The array is the
 * arena's. */
const tw_note **twi_derive_notes(tw_arena *arena, const twi_note_index *index, const tw_timeline *master,
                                 const tw_item *clip, tw_span frames, size_t *count);

/* A picture clip of which something is seen, looked at once for all deliveries. */
typedef struct twi_shot {
    const tw_item *clip;
    const tw_track *track;
    tw_stand stand;
    double pace; /* frames of its own that a record frame takes it on by: the speeds of the nests around it */
    const tw_source *source;
    const tw_note **notes;
    size_t note_count;
    int64_t first, frames; /* visible */
    bool endless;          /* its path has too many frames or boxes */
    size_t parts;          /* >= 1 on the first clip of a through-edit: clips in it; 0 on the others */
} twi_shot;

typedef struct twi_shots {
    twi_shot *at;
    size_t len, cap;
} twi_shots;

/* All shots of the master, and which of them are one path. */
void twi_derive_shots(tw_arena *arena, const tw_plan *plan, const tw_timeline *master, twi_shots *out);

/* Marks the notes that some shot uses, and tells of shots that cannot be framed and of notes nobody uses. */
void twi_derive_report(tw_arena *arena, const tw_derived *derived, const twi_shots *shots, tw_diags *diags);

/* False, and told, when all shots together are more than can be framed. */
bool twi_derive_in_bounds(const tw_timeline *master, const twi_shots *shots, tw_diags *diags);

/* What is asked of the solver for the path that begins with shots[0], in a delivery. */
typedef struct twi_ask {
    tw_path_job job;
    const tw_note **notes; /* used here */
    size_t note_count;
    const tw_region **regions; /* by index of job.regions */
    size_t region_count;
} twi_ask;

typedef struct twi_asking {
    const tw_plan *plan;
    const tw_timeline *master;
    const tw_delivery *delivery;
} twi_asking;
void twi_derive_ask(tw_arena *arena, const twi_asking *asking, const twi_shot *shots, twi_ask *out);

/* Two notes that set the window of one path at the same frames in different ways. */
typedef struct twi_clash {
    const tw_note *first, *second;
    int64_t frames;
    double px;
} twi_clash;

/* False when there are such, the first of them. shots->source and its size are known. */
bool twi_derive_hands_agree(tw_arena *arena, const twi_asking *asking, const twi_shot *shots, twi_clash *out);

/* False when a window set by hand for this delivery shows an edge of the shot's picture, or two contradict each other:
 * a finding names the key. `told`: by note of the plan, whether it has been. The shot's source and its size are
 * known. */
bool twi_derive_hands_fit(tw_arena *arena, const twi_asking *asking, const twi_shot *shot, bool *told, tw_diags *diags);

/* Tells of corners of a window set by hand that get shorter than asked. */
void twi_derive_tell_corners(tw_arena *arena, const tw_plan *plan, const tw_note *note, tw_diags *diags);

/* One path of one delivery, asked and solved. */
typedef struct twi_unit {
    const twi_shot *shots; /* shots->parts of them */
    size_t shot;           /* index of the first */
    bool asked;            /* false: black, unknown or shown whole */
    twi_ask ask;           /* boxes are gone after solving */
    tw_path_result path;
    bool shared;
} twi_unit;

/* Gives the units of one set-up (same source, same notes) one still framing where one serves all. */
void twi_derive_share(tw_arena *arena, const twi_asking *asking, twi_unit *units, size_t count);

/* Fills decision->why from the rest. */
void twi_derive_why(tw_arena *arena, tw_decision *decision);

#endif
