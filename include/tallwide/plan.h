/* SPDX-License-Identifier: Apache-2.0
 *
 * tallwide/plan.h - the plan file: deliveries, sources and framing notes (schemas/plan.schema.json).
 *
 * The plan is read from JSON and kept with its document, so that unknown members survive a rewrite. Source times are
 * text in the file; here they are frame numbers at the note's source rate.
 */
#ifndef TALLWIDE_PLAN_H
#define TALLWIDE_PLAN_H

#include <tallwide/base.h>
#include <tallwide/diag.h>
#include <tallwide/geom.h>
#include <tallwide/jsonio.h>
#include <tallwide/rtime.h>

#ifdef __cplusplus
extern "C" {
#endif

typedef enum tw_moves { TW_PLAN_MOVES_DEFAULT, TW_PLAN_MOVES_AUTO, TW_PLAN_MOVES_STILL, TW_PLAN_MOVES_STEPS } tw_moves;
typedef enum tw_source_kind { TW_SOURCE_CAMERA, TW_SOURCE_STILL, TW_SOURCE_GRAPHIC } tw_source_kind;
typedef enum tw_keys_form { TW_KEYS_EASED, TW_KEYS_BEZIER, TW_KEYS_LINEAR } tw_keys_form;

#define TW_PLAN_FORMATS 8

typedef struct tw_delivery {
    tw_str name; /* letters, digits, '-', '_'; becomes part of file names */
    tw_size size;
    double max_scale; /* delivery pixels per source pixel; 1.0 */
    tw_str safe;      /* name of a safe area preset, or empty */
    tw_inset inset;   /* sides as written, else the graphics area of `safe`, else 0.05 */
    bool has_inset;   /* written in the plan */
    tw_moves moves;   /* AUTO when not written */
    bool zoom;        /* "zoom": true lets the width change within a shot */
    double steady;    /* share of the camera's shake to take out, 0..1; 0 */
    tw_keys_form keys;
    tw_str formats[TW_PLAN_FORMATS]; /* as written; none written: the master's own format and "otio" */
    size_t format_count;
    tw_frame_mode frame; /* fill unless "fit" */
    uint64_t hash;       /* of what stands in the plan, but for other deliveries and notes for them alone */
    const tw_json *json;
} tw_delivery;

/* A file that holds pictures (or sound) of a source. */
typedef struct tw_source_media {
    tw_str file; /* relative to the plan */
    tw_str reel; /* whose it is, where the source's reel is a pattern; else empty */
    bool has_start;
    int64_t start;  /* source frame of its first picture; overrules what the file says */
    int64_t frames; /* 0: not said */
    tw_size size;   /* of its pictures where they differ from the source's, else {0,0} */
    bool proxy;
    const tw_json *json;
} tw_source_media;

typedef struct tw_source {
    tw_str reel;  /* pattern */
    tw_size size; /* {0,0} when the plan does not know it yet */
    double squeeze;
    tw_rate rate; /* source frames; {0,0}: as the edit counts them */
    bool drop;
    tw_source_kind kind;
    tw_frame_mode frame; /* graphics: FIT */
    tw_source_media *media;
    size_t media_count;
    const tw_json *json;
} tw_source;

/* A region box at a source frame, fractions of the source picture. */
typedef struct tw_region_key {
    int64_t frame;
    double left, top, width, height;
} tw_region_key;

typedef struct tw_note tw_note;

typedef struct tw_region {
    tw_str name;
    const tw_note *note; /* that it is in */
    bool must;           /* else nice */
    double weight;
    bool detector; /* "origin": "detector"; see below */
    int look;      /* -1, 0, 1 */
    bool has_focus;
    double focus_x, focus_y;
    tw_region_key *keys; /* ascending; of the plan, and of the table once it is read (tw_plan_track) */
    size_t key_count;
    tw_region_key *hand; /* those of the plan alone */
    size_t hand_count;
    tw_str track; /* path of a MOT-style table, relative to the plan */
    int64_t track_id;
    bool has_track_id;
    int64_t track_start; /* source frame of the table's frame 1 */
    bool has_track_start;
    const tw_json *json;
} tw_region;

/* What counts of a detector's boxes, in record frames, while the thing is there without a break: a box one of whose
 * numbers (centre, size) is further than 3 MAD + 20 px from the median of half a second (at most 64 frames) before and
 * after is replaced by the straight line between its sound neighbours, or the one there is; then each box by the mean
 * of 9, of fewer as many on both sides at the ends. Boxes drawn by hand count as they are. */

/* A hand window: "frame" counts source frames here too (a bare number in the file counts from the note's in). */
typedef struct tw_hand_key {
    int64_t frame;
    double x, y, w, ease; /* left, top, width: source pixels */
    double part;          /* of a frame behind `frame`, 0 <= part < 1: slow motion shows one source frame for longer */
} tw_hand_key;

/* Where the picture lies at a frame because the camera moved, source pixels to the right and down since the first. */
typedef struct tw_movement {
    double x, y;
} tw_movement;

struct tw_note {
    tw_str id, reel;
    int64_t in, out;      /* source frames, half open */
    bool has_in, has_out; /* a note without them holds for the whole reel */
    tw_str *deliveries;   /* names; none: all */
    size_t delivery_count;
    tw_region *regions;
    size_t region_count;
    tw_hand_key *window;
    size_t window_count;
    double subject_fill; /* 0 when not written */
    double steady;       /* instead of the delivery's; below 0 when not written */
    tw_str movement;     /* path of a table of the camera's movement, relative to the plan; or empty */
    tw_movement *moved;  /* from it, by frame; see tw_plan_movement */
    int64_t moved_first; /* frames from the note's `in` to the first of them */
    size_t moved_count;
    tw_moves moves;
    tw_str say, by, state;
    const tw_json *json;
};

/* Numbers of the "motion" member; zero where the plan is silent. Same meaning as tw_path_params (path.h). */
typedef struct tw_motion {
    double speeds[5];
    double accel, ease, move_time, link, hold, zoom, lazy;
    bool no_settle;
} tw_motion;

/* Clips of the edit that a plan may call by one name and that count their source frames in one way. */
typedef struct tw_reel_clock {
    tw_str name, written; /* reel, file or clip name, in lower case and as the edit has it */
    tw_rate rate;
    bool drop, says_drop; /* an edit need not say whether frames are dropped */
    bool loose;           /* patterns meet the name */
    size_t clips;
} tw_reel_clock;

typedef struct tw_plan {
    tw_str file;      /* display name */
    tw_str edit_file; /* as written, relative to the plan */
    tw_str edit_timeline;
    tw_rate rate; /* {0,0}: the edit says */
    bool drop;
    tw_delivery *deliveries;
    size_t delivery_count;
    tw_source *sources;
    size_t source_count;
    tw_note *notes;
    size_t note_count;
    tw_motion motion;
    tw_json_doc doc;
    const tw_reel_clock *clocks; /* by name; for tw_plan_finish; none: all clips count as the edit's record does */
    size_t clock_count;
    const struct twi_reel_index *by_reel; /* finds sources fast; NULL in plans built by hand */
} tw_plan;

/* What tw_json_options.fold is where plans are read as documents: region keys are most of a plan. */
#define TW_PLAN_FOLD "keys"

/* Reads and checks a plan. `edit_rate` is used for source times when neither the plan nor the source gives a rate nor
 * the clips of the reel; pass {0,0} to leave times unresolved only if the plan says its own (else TW15xx asks for one).
 * Findings: TW15xx with line and column. */
tw_status tw_plan_read(tw_arena *arena, tw_str bytes, tw_str file, tw_rate edit_rate, bool edit_drop, tw_diags *diags,
                       tw_plan **out);

/* The same in two steps, for callers that learn the edit's rate from the edit: the first reads the document and what
 * `edit` says (edit_file, edit_timeline, rate, drop), without resolving times; warnings about it are left to the
 * second. Not TW_OK: there is nothing to go on with. */
tw_status tw_plan_open(tw_arena *arena, tw_str bytes, tw_str file, tw_diags *diags, tw_plan **out);
tw_status tw_plan_finish(tw_arena *arena, tw_plan *plan, tw_rate edit_rate, bool edit_drop, tw_diags *diags);

/* Canonical text: fixed member order, notes sorted by reel, in, id, one region key per line, unknown members kept after
 * the known ones in byte order. Reading and writing again changes nothing. */
void tw_plan_write(const tw_json *root, tw_buf *out);

/* The first source that has one of the names, trying names in order; NULL when there is none. Sources with wildcards
 * match the first `loose` names only, and a lone "*" is for what no name finds another source before it. */
const tw_source *tw_plan_source(const tw_plan *plan, const tw_str *names, size_t count, size_t loose);

/* May a delivery be called so? */
bool tw_plan_is_name(tw_str name);

/* What counts the source frames of a reel (or pattern) and so the times of notes for it: its source, else most of its
 * clips, else the plan, else the edit. */
void tw_plan_clock(const tw_plan *plan, tw_str reel, tw_rate edit_rate, bool edit_drop, tw_rate *rate, bool *drop);

/* Does the note speak of a delivery? */
bool tw_note_covers(const tw_note *note, tw_str delivery);

/* Does it speak of what is on screen at a source position? That is of the whole frame at or before it, give or take
 * rounding. */
bool tw_note_holds(const tw_note *note, double source);

/* Straight from a (share 0) to b (share 1), at the frame of a. */
tw_region_key tw_region_between(const tw_region_key *a, const tw_region_key *b, double share);

/* The delivery of that name, NULL when there is none; and the names there are, for people ("wide, tall"). */
const tw_delivery *tw_plan_delivery(const tw_plan *plan, tw_str name);
tw_str tw_plan_delivery_names(tw_arena *arena, const tw_plan *plan);

/* The note of that id; and its object in a document. NULL when there is none. */
const tw_note *tw_plan_note(const tw_plan *plan, tw_str id);
tw_json *tw_plan_note_json(const tw_json *root, tw_str id);

/* Reads the tables regions point at: fills region->keys from bytes the caller has loaded.
 * MOTChallenge CSV: frame,id,left,top,width,height,conf,... pixels of `size`.
 * Where the region has keys by hand as well, they win: the table goes through them, each of its boxes moved and resized
 * by what the keys around it differ from it (between two keys in proportion, past the last one less and less, over
 * TW_PLAN_EASE_OFF frames), and a key is a box also where the table has none.
 * Findings: TW1540 to TW1545, all of a table, of which errors give TW_ERR_SEMANTIC (the region is then not to be used);
 * TW_ERR_LIMIT for more bytes than are read (TW1546). */
#define TW_PLAN_EASE_OFF 24
tw_status tw_plan_track(tw_arena *arena, tw_str bytes, tw_str file, tw_size size, int64_t first_frame,
                        tw_region *region, tw_diags *diags);

/* Reads the table a note's "movement" names: fills note->moved from bytes the caller has loaded. frame,dx,dy,... one line
 * for each frame, of which 1 is the note's first; dx and dy: how far the picture went since the frame before, source
 * pixels. Further columns and a header are left alone. Findings: TW1547, all of a table, with TW_ERR_SEMANTIC;
 * TW_ERR_LIMIT for more bytes than are read (TW1546). The note is as it was then. */
tw_status tw_plan_movement(tw_arena *arena, tw_str bytes, tw_str file, tw_note *note, tw_diags *diags);

/* A starter plan: what `start` writes. Of a delivery that is name, size and max_scale. */
typedef struct tw_starter {
    tw_str edit_file, timeline;
    tw_rate rate;
    bool drop;
    const tw_delivery *deliveries;
    size_t delivery_count;
    const tw_source *sources;
    size_t source_count;
} tw_starter;
void tw_plan_start(tw_arena *arena, const tw_starter *starter, tw_buf *out);

/* The table of members: drives what is warned about, checked and written, and is held against
 * schemas/plan.schema.json by a test. `where` names the object: "", "edit", "deliveries[]", "notes[].regions[]". */
typedef struct tw_plan_field {
    const char *where;
    const char *name;
    const char *type; /* "text", "positive", "choice", "object" ...: the $defs of the schema */
    bool required;
    bool line;           /* starts a line in canonical text */
    const char *choices; /* "auto|still|steps" where the type is "choice", else NULL */
    const char *help;
} tw_plan_field;
const tw_plan_field *tw_plan_fields(size_t *count);

/* What a member's value must be, in words: "a number above 0", "auto|still|steps". */
const char *tw_plan_takes(const tw_plan_field *field);

#ifdef __cplusplus
}
#endif
#endif
