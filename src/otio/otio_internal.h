/* SPDX-License-Identifier: Apache-2.0
 *
 * What the files of the OTIO module share. A reader keeps the whole JSON tree; the model's items point back into it
 * (item->origin is the value that stands in the document for the item), so that writing changes nothing else.
 */
#ifndef TW_OTIO_INTERNAL_H
#define TW_OTIO_INTERNAL_H

#include <tallwide/jsonio.h>
#include <tallwide/otio.h>

#define TWI_OTIO_WINDOW "tallwide.window" /* effect_name of our effect */
#define TWI_OTIO_SPACE "tallwide"         /* the one metadata key that is ours */

/* ---- schemas (otio_schema.c) ----------------------------------------------------------------------------- */

typedef enum twi_otio_group {
    TWI_OTIO_VALUE = 1,       /* times, ranges, colours, boxes */
    TWI_OTIO_TIMELINE = 2,    /* a timeline */
    TWI_OTIO_COMPOSABLE = 4,  /* may stand in a track or stack */
    TWI_OTIO_EFFECT = 8,      /* may stand in effects */
    TWI_OTIO_MARKER = 16,     /* may stand in markers */
    TWI_OTIO_MEDIA = 32,      /* a media reference */
    TWI_OTIO_COLLECTION = 64, /* a bin */
    TWI_OTIO_REFERENCE = 128  /* stands for another object of the document */
} twi_otio_group;

typedef enum twi_otio_class {
    TWI_OTIO_UNKNOWN,
    TWI_OTIO_IS_TIMELINE,
    TWI_OTIO_IS_STACK,
    TWI_OTIO_IS_TRACK,
    TWI_OTIO_IS_CLIP,
    TWI_OTIO_IS_GAP,
    TWI_OTIO_IS_TRANSITION,
    TWI_OTIO_IS_ITEM, /* a base class: time, but nothing to show */
    TWI_OTIO_IS_EFFECT,
    TWI_OTIO_IS_TIME_EFFECT, /* says that time is bent, not how */
    TWI_OTIO_IS_WARP,
    TWI_OTIO_IS_FREEZE,
    TWI_OTIO_IS_MARKER,
    TWI_OTIO_IS_MEDIA, /* a base class */
    TWI_OTIO_IS_FILE,
    TWI_OTIO_IS_MISSING,
    TWI_OTIO_IS_GENERATOR,
    TWI_OTIO_IS_IMAGES,
    TWI_OTIO_IS_COLLECTION,
    TWI_OTIO_IS_TIME,
    TWI_OTIO_IS_RANGE,
    TWI_OTIO_IS_COLOR,
    TWI_OTIO_IS_REFERENCE,
    TWI_OTIO_IS_OTHER /* known, of no concern here */
} twi_otio_class;

/* What may stand in a field. */
typedef enum twi_otio_type {
    TWI_OTIO_TEXT,
    TWI_OTIO_NUMBER,
    TWI_OTIO_INT,
    TWI_OTIO_BOOL,
    TWI_OTIO_DICT,
    TWI_OTIO_LIST,
    TWI_OTIO_OBJECT /* an object with a schema of its own: whoever reads it checks which */
} twi_otio_type;

typedef struct twi_otio_field {
    const char *name; /* NULL ends a list */
    twi_otio_type type;
    bool required;
    bool null_ok;
} twi_otio_field;

/* One row: a schema name with the versions that have these fields. */
typedef struct twi_otio_schema {
    const char *name;
    int32_t first, last; /* versions this row speaks of */
    twi_otio_class is;
    twi_otio_group group;
    const twi_otio_field *own, *base;
} twi_otio_schema;

/* The row for an object's OTIO_SCHEMA; NULL when the object has none, it is malformed, unknown or of a version above
 * the known ones (the scan of the document has spoken of those already). */
const twi_otio_schema *twi_otio_schema_of(const tw_json *object);

/* Does a member of metadata name the reel? */
bool twi_otio_is_reel(const tw_json *member);

/* ---- otio_beyond.c: tells, counted, what the document holds beyond the model ---- */
void twi_otio_beyond(const tw_timeline *timeline, tw_diags *diags);

/* The row by text. *newest: the newest known version of that name, 0 when the name is unknown. False: not "Name.N". */
bool twi_otio_schema_find(tw_str text, const twi_otio_schema **row, int32_t *newest);

/* ---- the document (otio_doc.c) --------------------------------------------------------------------------- */

/* An object with an OTIO_REF_ID, for files that write a shared object once. */
typedef struct twi_otio_shared {
    tw_str id;
    tw_json *object;
} twi_otio_shared;

/* A rate as files write it, and what it was taken for. */
typedef struct twi_otio_rate {
    double fps;
    tw_rate rate;
    size_t clips; /* picture clips whose length is counted at it */
    size_t items; /* clips and gaps of any track likewise */
} twi_otio_rate;

#define TWI_OTIO_RATES                                                                                                 \
    64 /* different rates remembered; further ones are read, but have no say in the timeline's rate */

/* Everything a reading needs. */
typedef struct twi_otio {
    tw_arena *arena;
    tw_arena *scratch; /* what is needed only while reading */
    tw_diags *diags;
    tw_json_doc doc;
    uint32_t *lines; /* byte offset of each line's start */
    size_t line_count;
    twi_otio_shared *shared; /* by id */
    size_t shared_count, shared_cap;
    twi_otio_rate rates[TWI_OTIO_RATES];
    size_t rate_count;
    int64_t measure; /* every time so far is a whole number of 1/measure s */
    int uses;        /* of references so far */
    size_t errors;   /* in the list before we came */
    size_t items;    /* made so far */
    int nests;       /* around what is read */
    bool picture;    /* reading a picture track */
    tw_timeline *timeline;
} twi_otio;

bool twi_otio_failed(const twi_otio *o);

/* Reads the JSON, and looks over every object's schema and reference id once. */
tw_status twi_otio_open(twi_otio *o, tw_str bytes, tw_str file);

/* Line, column and run of a value; never a scan. */
tw_place twi_otio_place(const twi_otio *o, const tw_json *value);

/* A finding at a value (line, column, pointer). */
void twi_otio_say(twi_otio *o, int code, const tw_json *value, const char *format, ...) TW_PRINTF(4, 5);

/* The object itself, or the one a SerializableObjectRef.1 stands for; NULL, and said, when there is none. */
tw_json *twi_otio_resolve(twi_otio *o, tw_json *value);

/* The timeline (or the stack or track that serves as one) that is meant, and its number. */
tw_json *twi_otio_choose(twi_otio *o, const tw_read_options *options);

/* ---- fields and values (otio_value.c) -------------------------------------------------------------------- */

/* Resolves the value and sees that it is an object of one of the groups with the fields its schema asks for; what is
 * wrong is said. *row NULL with true: a schema nobody knows. */
bool twi_otio_object(twi_otio *o, tw_json **value, int groups, const char *expected, const twi_otio_schema **row);

tw_str twi_otio_text(const tw_json *object, const char *name); /* empty when absent, null or no text */
bool twi_otio_bool(const tw_json *object, const char *name, bool otherwise);
tw_json *twi_otio_member(const tw_json *object, const char *name); /* NULL when absent or null */
const tw_json *twi_otio_space(const tw_json *object);              /* metadata.tallwide; NULL when absent */
bool twi_otio_size(const tw_json *list, tw_size *out);             /* [width, height] in whole pixels */
const char *twi_otio_what(tw_arena *arena, const tw_json *value);  /* "a Clip.2", "null", "a number" for messages */

const char *twi_otio_called(tw_arena *arena, const tw_json *value); /* the same with its name: a Gap.1 "leader" */

/* A RationalTime, a TimeRange. False, and said, when it is none. *rate (may be NULL) is the file's. */
bool twi_otio_time(twi_otio *o, tw_json *value, tw_time *out, tw_rate *rate);

/* May whole numbers of 1/parts s be added to those of 1/measure s, so that the sums fit? Then `measure` becomes what
 * measures both. */
bool twi_otio_measurable(int64_t *measure, int64_t parts);

/* Not longer than the bound that keeps sums exact? */
bool twi_otio_short(tw_time time);
bool twi_otio_short_seconds(double seconds);

/* A range as read, with the values it came from. */
typedef struct twi_otio_range {
    tw_range at;
    tw_rate start_rate, dur_rate;
    const tw_json *start, *dur; /* the RationalTimes */
} twi_otio_range;
bool twi_otio_range_read(twi_otio *o, tw_json *value, twi_otio_range *out);

/* ---- media, items (otio_media.c, otio_item.c, otio_children.c) ------------------------------------------- */

/* What item->origin points at. */
typedef struct twi_otio_origin {
    tw_json *place;      /* the value that stands in the document for the item */
    tw_json *object;     /* the item's object: another one where a reference stands for it */
    const tw_json *rate; /* the number that counts its length; NULL when it has none */
    tw_time start;       /* its own time at the first frame shown: where its range starts, or it is cut */
} twi_otio_origin;

/* What timeline->origin points at. */
typedef struct twi_otio_source {
    tw_json_doc doc;
    tw_json *chosen; /* the Timeline, Stack or Track that was read */
} twi_otio_source;

/* A clip's references into item->media. *active: the one in use; *available: what it offers, dur NULL when it does not
 * say. */
void twi_otio_media(twi_otio *o, tw_json *clip, tw_item *item, tw_json **active, twi_otio_range *available);

/* Tape or file name: from the clip's or the media's metadata, else from the media's file, else the clip's name. */
tw_str twi_otio_reel(twi_otio *o, const tw_json *clip, const tw_json *media, const tw_item *item);

void twi_otio_markers(twi_otio *o, const tw_json *owner, tw_marker **markers, size_t *count);

/* One child of a composition. False: nothing was made of it, and it was said why. */
bool twi_otio_item(twi_otio *o, tw_json *value, tw_item *item);

/* Tracks of a composition, times from its own zero. */
typedef struct twi_otio_tracks {
    tw_track *at;
    size_t count;
    tw_time length;
    bool trimmed; /* it has a source_range, which is `range` */
    twi_otio_range range;
    tw_marker *markers; /* the composition's own */
    size_t marker_count;
} twi_otio_tracks;

/* Those of a stack, or the one that a track is, with all they hold; composition has been through twi_otio_object. Of
 * that, no more than its range shows: cut, where nothing around hides the rest, or what a nest, whose speed is known,
 * shows part of, whole. */
void twi_otio_compose(twi_otio *o, tw_json *composition, twi_otio_tracks *out);
void twi_otio_cut(twi_otio *o, const tw_json *composition, twi_otio_tracks *tracks);
void twi_otio_hide(twi_otio *o, const tw_json *nest, const tw_item *item, twi_otio_tracks *tracks);

/* What a text list holds and this format has no place for, as a dict for metadata; NULL when there is nothing
 * (otio_own.c). */
tw_json *twi_otio_own_item(tw_arena *arena, const tw_item *item);
tw_json *twi_otio_own_timeline(tw_arena *arena, const tw_timeline *timeline, bool rate); /* also what it counts at? */

/* The same back from the metadata of an object. */
void twi_otio_own_item_read(twi_otio *o, const tw_json *object, tw_item *item);
tw_rate twi_otio_own_rate(twi_otio *o, const tw_json *object); /* {0, 0} where it does not say */
void twi_otio_own_timeline_read(twi_otio *o, const tw_json *object, tw_timeline *timeline);

/* ---- effects (otio_effect.c, otio_window.c) -------------------------------------------------------------- */

/* Speed changes among an item's effects into item->speed and item->variable_speed. */
void twi_otio_speed(twi_otio *o, tw_json *object, tw_item *item);

/* Is it a change of speed? Does an enabled one stand on the item? */
bool twi_otio_is_time(const tw_json *effect);
bool twi_otio_bends(const tw_json *object);

/* Media used in a record length at a speed: length times speed, since m(t) = s + (t - s) k; a freeze uses one frame. */
tw_time twi_otio_media_used(tw_time dur, tw_rate rate, double scalar);

/* Our effect among an item's effects: NULL when there is none. */
tw_json *twi_otio_window_find(const tw_json *effects);

/* Reads our effect of a clip into item->framing. The timeline's rate is known by now. */
void twi_otio_window_read(twi_otio *o, tw_json *clip, tw_item *item);

/* Clip time as our effect writes it: where the clip starts, its rate and how the file writes that (empty: shortest). */
typedef struct twi_otio_clock {
    tw_time start;
    tw_rate rate;
    tw_str rate_text;
} twi_otio_clock;

/* ---- writing (otio_write.c, otio_stamp.c, otio_new.c) ---------------------------------------------------- */

/* A copy of an object or list whose members are copies and whose members' own contents are shared. */
tw_json *twi_otio_shallow(tw_arena *arena, const tw_json *value);

/* Sets a member; a new one stands right after the member `after`, or at the end when there is none. */
void twi_otio_set_after(tw_arena *arena, tw_json *object, const char *name, tw_json *value, tw_str after);

/* A member's value, copied for changing, or a new object when it is absent or none. */
tw_json *twi_otio_dict(tw_arena *arena, const tw_json *object, const char *name);

/* Puts our effect into an object's effects: in the place of the one before, else behind all others. `object` may be
 * changed, what it holds may not. */
void twi_otio_window_set(tw_arena *arena, tw_json *object, const tw_timeline *timeline, const tw_item *item,
                         const twi_otio_clock *clock);

/* {"OTIO_SCHEMA": schema} */
tw_json *twi_otio_make(tw_arena *arena, const char *schema);

/* Name and metadata of a derived timeline, set on a shallow copy of the Timeline object. */
void twi_otio_stamp_set(tw_arena *arena, tw_json *timeline, const tw_stamp *stamp);

/* The name without what a derived timeline had added to it. */
tw_str twi_otio_bare_name(const tw_json *timeline);

/* What a Timeline object says it was made for; NULL when nothing. */
tw_stamp *twi_otio_stamp_read(twi_otio *o, const tw_json *timeline);

/* The calls behind the format's row. */
size_t twi_otio_parts(const tw_timeline *timeline);
bool twi_otio_made_from(tw_arena *arena, const tw_timeline *timeline, const tw_timeline *written);
tw_status twi_otio_write(tw_arena *arena, const tw_timeline *timeline, size_t part, const tw_write_options *options,
                         tw_diags *diags, tw_buf *out);

/* A new document for a timeline some other format has read. */
tw_json *twi_otio_new(tw_arena *arena, const tw_timeline *timeline, tw_diags *diags);

/* Is that what stands in `written`? Told without making all of it at once. */
bool twi_otio_is_new(tw_arena *arena, const tw_timeline *timeline, const tw_json *written);

#endif
