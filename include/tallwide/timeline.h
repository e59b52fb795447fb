/* SPDX-License-Identifier: Apache-2.0
 *
 * tallwide/timeline.h - the one model of an edit that all formats read into and write from.
 *
 * A timeline is a stack of tracks (bottom first); a track is a row of items: clips, gaps, transitions and nested
 * timelines. Record time is exact; at the top level it includes the start of the programme, inside a nest it counts
 * from the first frame the nest shows. The model holds what framing needs and what every format shares; whatever else a
 * file holds stays in the reader's own document (`origin`), from which the same format writes it back untouched.
 */
#ifndef TALLWIDE_TIMELINE_H
#define TALLWIDE_TIMELINE_H

#include <tallwide/base.h>
#include <tallwide/diag.h>
#include <tallwide/geom.h>
#include <tallwide/path.h>
#include <tallwide/rtime.h>

#ifdef __cplusplus
extern "C" {
#endif

#define TW_EVENTS_LIMIT 1000000u /* most items a reader accepts */
#define TW_NESTS_LIMIT 24        /* deepest nesting of timelines a reader accepts: every writer can write it */

/* What is framed, and proved, frame by frame: a shot, or several that go on where the one before left off, of so many
 * frames, handles included (nine hours at 60 a second), and so many boxes, frames times regions; and all shots of an
 * edit together. */
#define TW_SHOT_FRAMES_LIMIT INT64_C(2000000)
#define TW_SHOT_BOXES_LIMIT INT64_C(32000000)
#define TW_EDIT_FRAMES_LIMIT INT64_C(100000000)

typedef enum tw_track_kind { TW_TRACK_VIDEO, TW_TRACK_AUDIO, TW_TRACK_OTHER } tw_track_kind;
typedef enum tw_item_kind { TW_ITEM_CLIP, TW_ITEM_GAP, TW_ITEM_TRANSITION, TW_ITEM_NEST } tw_item_kind;
const char *tw_track_word(tw_track_kind kind); /* "video", "audio", "other" */
const char *tw_item_word(tw_item_kind kind);   /* "clip", "gap", "transition", "nest" */

typedef enum tw_media_kind {
    TW_MEDIA_MISSING,   /* no file known */
    TW_MEDIA_FILE,      /* url */
    TW_MEDIA_IMAGES,    /* url is the pattern of a numbered image sequence */
    TW_MEDIA_GENERATOR, /* made, not recorded: name is the kind ("black", "SMPTEBars") */
    TW_MEDIA_UNKNOWN    /* a schema this tool does not know */
} tw_media_kind;

typedef struct tw_media {
    tw_media_kind kind;
    tw_str key;  /* name under which the clip offers it ("DEFAULT_MEDIA") */
    tw_str name; /* its own name */
    tw_str url;  /* path or URL as written */
    bool has_available;
    tw_range available; /* media time */
    tw_rate rate;       /* of the available range or the image sequence; {0,0} unknown */
} tw_media;

typedef struct tw_marker {
    tw_str name, comment, color;
    tw_range at;   /* time space of the owner: media time for clips, record time for tracks and the timeline */
    uint32_t line; /* where it was read */
} tw_marker;

/* A line of a text list that belongs to an item, verbatim without its line end. */
typedef struct tw_remark {
    tw_str text;
    uint32_t line;
    uint16_t value; /* this and what follows is the reader's own */
    uint8_t kind;
    bool joined;
} tw_remark;

/* How the values between keys are meant: tallwide/path.h says it, in the same order. */
typedef enum tw_interp {
    TW_INTERP_EASED = TW_PATH_EASED,
    TW_INTERP_BEZIER = TW_PATH_BEZIER,
    TW_INTERP_LINEAR = TW_PATH_LINEAR
} tw_interp;

/* Where a clip's picture sits in one delivery. */
typedef struct tw_framing {
    tw_frame_mode mode;
    tw_size source, delivery; /* pixels */
    double squeeze;           /* pixel aspect of the source */
    tw_interp interp;
    tw_key *keys; /* by frame, ascending; at least one */
    size_t key_count;
} tw_framing;

typedef struct tw_track tw_track;
typedef struct tw_item tw_item;

/* An edit may have a million: fields stand by size, and what only transitions have shares its room with what they have
 * not. */
struct tw_item {
    tw_item_kind kind;
    bool enabled;
    bool has_source, source_drop;
    bool variable_speed; /* the file holds a speed change this tool cannot follow */
    tw_str name;         /* clip name; transition: its type */
    tw_str event;        /* number as written in a text list, else empty */
    tw_str reel;         /* tape or file the picture comes from; may be empty */
    size_t index;        /* clips: running number over the whole timeline, depth first, from 0 */
    tw_range record;     /* place on the track; a transition: [cut - in_offset, cut + out_offset) */

    /* clips and nests: what is shown */
    tw_range source;     /* start: media time of the first frame shown as cut; dur: as written in the file */
    tw_rate source_rate; /* counts source frames; may differ from the timeline's rate */
    double speed;        /* source seconds per record second: 1 normal, 0 freeze, negative reverse */
    union {
        tw_time head;      /* clips, nests: record time a transition needs before the first frame, >= 0 */
        tw_time in_offset; /* transitions: before the cut */
    };
    union {
        tw_time tail;       /* and after the last frame */
        tw_time out_offset; /* after the cut */
    };
    tw_media *media;
    size_t media_count;
    size_t media_active; /* index, or SIZE_MAX when none is active */

    /* nests */
    tw_track *tracks;
    size_t track_count;

    tw_marker *markers;
    size_t marker_count;
    tw_remark *remarks;
    size_t remark_count;
    tw_framing *framing; /* NULL when the file says nothing of framing */
    void *origin;        /* the reader's own; only the same format looks at it */
    uint32_t channels;   /* text lists: bit 0 V, bit n An (A1 = bit 1) of the event; else 0 */
    tw_place place;      /* line and column, or pointer */
};

struct tw_track {
    tw_track_kind kind;
    tw_str name;
    bool enabled;
    tw_item *items;
    size_t item_count;
    tw_marker *markers;
    size_t marker_count;
    void *origin;
};

/* What a derived timeline says about itself. */
typedef struct tw_stamp {
    tw_str delivery;
    tw_size size;
    uint64_t master_hash, plan_hash; /* of the bytes, and of the plan's delivery, they were made from */
} tw_stamp;

typedef struct tw_format tw_format;

typedef struct tw_timeline {
    tw_str file; /* display name */
    tw_str name;
    const tw_format *format; /* that read it; NULL when built by hand */
    tw_rate rate;            /* record frames */
    bool drop;
    tw_time start; /* record time of the first frame of the programme */
    tw_track *tracks;
    size_t track_count;
    tw_marker *markers;
    size_t marker_count;
    tw_remark *remarks; /* lines that belong to no event (text lists) */
    size_t remark_count;
    size_t clip_count; /* clips over the whole timeline; indices run below it */
    tw_stamp *stamp;   /* NULL for a master */
    void *origin;
    size_t number;   /* its place among those of a file that holds several, from 1; 0: it is alone there */
    tw_arena *arena; /* that it lives in */
} tw_timeline;

/* ---- formats --------------------------------------------------------------------------------------------- */

typedef struct tw_read_options {
    tw_rate rate;    /* text lists: {0,0} lets the reader weigh the evidence */
    bool drop;       /* goes with rate */
    tw_str timeline; /* name of the timeline wanted when a file holds several, or "#2" */
    size_t number;   /* without a name: its place among them; 0: not known */
} tw_read_options;

/* How a file is read again to which a timeline, or one derived of it, was written: names change, places do not. */
tw_read_options tw_timeline_reading(const tw_timeline *timeline);

typedef struct tw_write_options {
    bool crlf;       /* text lists: line ends */
    bool long_reels; /* text lists: reels of any length instead of eight characters */
} tw_write_options;

/* One row of the table of formats. */
struct tw_format {
    const char *name;          /* "edl", "otio" */
    const char *title;         /* "SMPTE ST 258 style text list" */
    const char *extensions[4]; /* without dot, lower case; the first is used when writing */
    bool states_rate;          /* a file says its rate itself; else it is told (tw_read_options) or guessed */
    /* How sure the bytes are of this format: 0 not at all .. 100. */
    int (*probe)(tw_str bytes);
    /* Bytes to model. Findings carry places; TW_OK may come with warnings, an error in the list means not TW_OK. */
    tw_status (*read)(tw_arena *arena, tw_str bytes, tw_str file, const tw_read_options *options, tw_diags *diags,
                      tw_timeline **out);
    /* Files one timeline takes: 1, or one per picture track. */
    size_t (*parts)(const tw_timeline *timeline);
    /* Appends file number `part`. A timeline this format has read is written from its own document, changed only where
     * item->framing and timeline->stamp say so. Every loss is a finding. */
    tw_status (*write)(tw_arena *arena, const tw_timeline *timeline, size_t part, const tw_write_options *options,
                       tw_diags *diags, tw_buf *out);
    /* Is the document `written` was read from what writing `timeline` would make, member for member? Spares writing
     * both to compare them; NULL: only that tells. A no may be wrong, a yes never is. */
    bool (*made_from)(tw_arena *arena, const tw_timeline *timeline, const tw_timeline *written);
    /* Tells, counted, what the document holds beyond the model, for when another format is written; NULL: nothing. */
    void (*beyond)(const tw_timeline *timeline, tw_diags *diags);
    /* Players go by more of a file than is read here: a written one is held to the letter against what writing makes of
     * the master and the framings read. Nothing in it begins before what it is in (tw_timeline_without_heads). */
    bool to_the_letter;
    const char *mark;         /* stands in each framing that is written, and in no line without one or a stamp */
    int framing_codes[3];     /* findings of its reader, beside errors, that are about the framing of a clip; then 0 */
    const char *cannot_carry; /* a sentence for people */
};

/* ---- building -------------------------------------------------------------------------------------------- */

/* New, empty, enabled, speed 1, nothing known. */
tw_timeline *tw_timeline_new(tw_arena *arena);
tw_item tw_timeline_item(tw_item_kind kind);

/* Settles what follows from the items as read: running clip indices, head and tail handles from the transitions beside
 * clips (also BL-free ends). Readers call it last. */
void tw_timeline_settle(tw_timeline *timeline);

/* A copy whose items may be given other framings; names, remarks, media and origins are shared. */
tw_timeline *tw_timeline_copy(tw_arena *arena, const tw_timeline *timeline);

/* ---- asking ---------------------------------------------------------------------------------------------- */

/* Calls fn for every item, depth first, tracks bottom first. Stops when fn returns false. */
typedef bool (*tw_item_fn)(void *context, const tw_track *track, const tw_item *item);
void tw_timeline_walk(const tw_timeline *timeline, tw_item_fn fn, void *context);

/* Every clip by index; the array is the arena's. */
tw_item **tw_timeline_clips(tw_arena *arena, const tw_timeline *timeline);

/* Gives each clip the framing that the clip of its index has in `like`, which holds as many, and takes its stamp: what
 * then differs is neither. The framings are shared; the arena is for scratch. */
void tw_timeline_frame_like(tw_arena *arena, tw_timeline *timeline, const tw_timeline *like);

/* Record time at which the last item of so many tracks ends, whatever transitions run past that; zero without any. */
tw_time tw_tracks_end(const tw_track *tracks, size_t count);

/* On its own tracks, in frames at the timeline's rate. */
int64_t tw_item_record_in(const tw_timeline *timeline, const tw_item *item);
int64_t tw_item_record_out(const tw_timeline *timeline, const tw_item *item); /* exclusive */
int64_t tw_item_frames(const tw_timeline *timeline, const tw_item *item);     /* out - in */
int64_t tw_item_head(const tw_timeline *timeline, const tw_item *item);       /* handle frames before the first */
int64_t tw_item_tail(const tw_timeline *timeline, const tw_item *item);       /* and after the last */

/* What counts source frames: the item's own rate, or the timeline's where none is known. */
tw_rate tw_item_source_rate(const tw_timeline *timeline, const tw_item *item);

/* Media time shown at record frame f of the clip (0 = first frame as cut; handles: negative or past the end), in source
 * frames; and the recorded frame that is on screen then. */
double tw_item_source_frame(const tw_timeline *timeline, const tw_item *item, int64_t f);
int64_t tw_item_shown_frame(const tw_timeline *timeline, const tw_item *item, int64_t f);

/* Frames [first, end). */
typedef struct tw_span {
    int64_t first, end;
} tw_span;

/* Where what is inside nests stands on the record, trims and speeds of all nests around it counted: at record frame
 * `in` the tracks in there show their frame `from` (it may lie between two), and each record frame takes them on by
 * `speed`. Seen over [in, out), as cut; with the transitions beside these nests over `reach`. At the top level record
 * frames are the tracks' own. */
typedef struct tw_nesting {
    int64_t in, out;
    double from, speed;
    tw_span reach;
} tw_nesting;
tw_nesting tw_nesting_top(void);
tw_nesting tw_nesting_inside(const tw_timeline *timeline, const tw_nesting *around, const tw_item *nest);
int64_t tw_nesting_frame(const tw_nesting *nesting, int64_t record); /* what they show at a record frame */

/* Where an item of tracks that stand so does. Its own frames are those of tw_key. */
typedef struct tw_stand {
    tw_nesting nesting;
    int64_t zero, frames; /* what its tracks call its frame 0; its length in them */
    tw_span seen;         /* record frames at which it is seen, as cut; empty: never */
    tw_span shown;        /* clips and nests: its own frames that are seen, those of transitions beside it and the nests
                             around it too; empty: none, and then a picture clip is no shot */
    tw_span body;         /* of these those that are seen as cut; where there are none, all */
} tw_stand;
tw_stand tw_stand_of(const tw_timeline *timeline, const tw_nesting *nesting, const tw_item *item);
tw_stand *tw_timeline_stands(tw_arena *arena, const tw_timeline *timeline); /* of all clips, by index */

/* The record frame at which it first shows its frame f or, where a speed leaves that out, what follows on it; where it
 * would, when a nest hides that. */
int64_t tw_stand_record(const tw_stand *stand, int64_t f);

/* The record frames at which some of its frames are seen; empty: never. */
tw_span tw_stand_span(const tw_stand *stand, int64_t from, int64_t to);

/* The frame that it shows at a record frame; at the end of what is seen at most its length. */
int64_t tw_stand_frame(const tw_stand *stand, int64_t record);

/* Cuts an item to what a range of its track shows of it: record and source become shorter; windows, and what is in a
 * nest, stay on the frames they were on (in the arena, where they change). A transition is kept whole or not at all.
 * False: nothing is left, and the item is as it was. */
bool tw_item_within(tw_arena *arena, const tw_timeline *timeline, tw_range range, tw_item *item);

/* The tracks, without what nests hide at the heads of what is in them: for files in which nothing begins before what it
 * is in. *mixes (may be NULL): transitions left out that lead over such a head. */
tw_track *tw_timeline_without_heads(tw_arena *arena, const tw_timeline *timeline, size_t *mixes);

/* Is the cut between two clips one that nobody sees: does `b`, the next item of the same track, show what
 * follows on `a`, frame after frame of the same source at the same speed? */
bool tw_item_goes_on(const tw_timeline *timeline, const tw_item *a, const tw_item *b);

/* The media a clip shows; NULL when none is active. */
const tw_media *tw_item_media(const tw_item *item);

/* Made, nothing recorded? Reels BL, BLK, BLACK, and generators: black, colour bars, titles. */
bool tw_item_is_black(const tw_item *item);

/* Is it the reel of a list's black? */
bool tw_reel_is_black(tw_str reel);

/* The names a plan may call a clip by, best first: reel, active media's file name, its stem, media name, clip name. The
 * reel AX, which stands for any auxiliary source, comes last. A clip without any has one empty name. Patterns meet the
 * first `loose` names only: not the clip name where there is a reel, nor AX where there is another name, and none of
 * black. */
typedef struct tw_names {
    tw_str at[5];
    size_t count, loose;
} tw_names;
tw_names tw_item_names(const tw_item *item);

/* What people call its source: the first of these names. */
tw_str tw_item_source_name(const tw_item *item);

/* A copy whose keys lie so many frames later: for a clip that begins earlier. */
tw_framing *tw_framing_later(tw_arena *arena, const tw_framing *framing, int64_t frames);

/* The window a framing shows at a frame of its clip; the frame may lie between two. */
tw_window tw_framing_window(const tw_framing *framing, double frame);

typedef struct tw_totals {
    size_t video_clips, audio_clips, transitions, markers, nests; /* clips: of which something is seen or heard */
    int64_t whole_frames;  /* from the start to the end of the last picture or sound, as the record clock counts */
    int64_t record_in;     /* where the first picture begins */
    int64_t record_frames; /* from there to where the last one ends */
    int64_t gap_frames, overlap_frames; /* over picture tracks */
} tw_totals;
tw_totals tw_timeline_totals(const tw_timeline *timeline);

/* Findings every format shares: nothing to frame, transitions longer than their clips, a source range past the media
 * (TW14xx). Overlaps are told by readers. */
void tw_timeline_check(const tw_timeline *timeline, tw_diags *diags);

/* The model as indented text, for tests and for `list --dump`: every field, exact. */
void tw_timeline_dump(const tw_timeline *timeline, tw_buf *out);

#ifdef __cplusplus
}
#endif
#endif
