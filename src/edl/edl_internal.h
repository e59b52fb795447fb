/* SPDX-License-Identifier: Apache-2.0
 *
 * Shared between the files of edl. Reading has two stages: first every line becomes a cheap raw statement with its
 * columns (edl_scan, edl_event, edl_note); then, the whole list seen, the rate is settled (edl_rate), times are checked
 * against it (edl_time), speeds and pairs are understood (edl_speed, edl_pair) and the model is built (edl_build).
 */
#ifndef TW_EDL_INTERNAL_H
#define TW_EDL_INTERNAL_H

#include <tallwide/edl.h>

#define TWI_EDL_LINE_LIMIT 16384u /* bytes of a line; a longer one is no list */
#define TWI_EDL_NUMBER_MOST 999999
#define TWI_EDL_AUDIO_MOST 31  /* channels A1..A31 have bits */
#define TWI_EDL_VIDEO_MOST 99  /* tracks V1..V99 */
#define TWI_EDL_COUNT_MOST 100 /* frames in a second: 00 to 99 */

/* ---- lines (edl_scan.c) ---------------------------------------------------------------------------------- */

typedef struct twi_scan {
    tw_arena *arena;
    tw_str bytes;
    size_t at;
    size_t lf, cr, odd; /* the first LF, the first CR and the first odd byte from here on, or the end */
    bool plain;         /* the line last given holds ASCII only, no padding and no NUL */
    uint32_t line;      /* number of the line last given */
    uint32_t latin1_lines, latin1_first, latin1_column;
    tw_str latin1_text;
    size_t padding; /* Ctrl-Z and NUL bytes left out */
    uint32_t padding_line;
} twi_scan;

void twi_edl_scan(twi_scan *scan, tw_arena *arena, tw_str bytes);

/* The next line as UTF-8 without its end, trailing blanks and padding; false at the end of the file. */
bool twi_edl_next_line(twi_scan *scan, tw_str *text);

/* The same bytes of each line with its end, for copying; columns do not matter there. */
bool twi_edl_next_raw(twi_scan *scan, tw_str *raw, size_t *end_len);

/* A raw line without the form feed before it, which begins a page of a printed list. */
tw_str twi_edl_unpaged(tw_str line);

/* About how many lines are events and how many other statements, going by the first ones: guesses that spare moving
 * arrays as they grow. */
void twi_edl_guess(tw_str bytes, size_t *events, size_t *others);

/* Why the bytes are no text list ("it is UTF-16 text"), or NULL. */
const char *twi_edl_not_text(tw_str bytes);

/* ---- raw statements -------------------------------------------------------------------------------------- */

/* What stands in an event line; the times first. */
typedef enum twi_part {
    TWI_SRC_IN,
    TWI_SRC_OUT,
    TWI_REC_IN,
    TWI_REC_OUT,
    TWI_NUMBER,
    TWI_REEL,
    TWI_CHANNEL,
    TWI_CUT_WORDS, /* transition and its length; the channel word where there is none */
    TWI_PARTS
} twi_part;

typedef enum twi_cut {
    TWI_CUT,
    TWI_DISSOLVE,
    TWI_WIPE,
    TWI_KEY_BACK, /* K B */
    TWI_KEY,      /* K nnn */
    TWI_KEY_OUT   /* K O */
} twi_cut;

/* Where our remarks about a clip go: tw_item.origin. */
typedef struct twi_anchor {
    uint32_t line; /* after this one */
    bool from;     /* they speak of the outgoing side of the pair whose second line is above */
} twi_anchor;

/* tw_tc in four bytes: a list has four times a line. */
typedef struct twi_label {
    uint8_t hours, minutes, seconds, frames;
} twi_label;

typedef struct twi_word {
    uint16_t at, len; /* in the line */
} twi_word;

/* Reading a long list costs what its events weigh. */
typedef struct twi_event {
    tw_str text; /* the line */
    twi_word word[TWI_PARTS];
    twi_label time[4];
    int32_t frame[4];     /* checked times: two days at a hundred frames a second */
    uint32_t line;        /* its own */
    uint32_t last_line;   /* that belongs to it */
    uint32_t note, notes; /* its notes: list->notes[note .. note + notes) */
    uint32_t kinds;       /* of them: 1 << twi_note_kind */
    uint32_t value;       /* of the number */
    uint32_t channels;    /* as tw_item.channels, AUD lines included */
    uint16_t wipe;
    uint16_t mix;        /* frames of the transition */
    tw_rate source_rate; /* counts its source frames; known before times are read when a remark states it */
    double speed;
    tw_framing *framing;
    uint8_t video;      /* picture track 1.., 0: none */
    uint8_t cut;        /* twi_cut */
    uint8_t semicolons; /* 1 << time: written with one */
    bool no_letter : 1;
    bool bad : 1;      /* refused: only there to own the notes below it */
    bool black : 1;    /* reel BL or BLACK: its source times mean nothing */
    bool fcm_drop : 1; /* mode in force for its source side */
    bool source_drop : 1;
    bool has_m2 : 1, freeze : 1, variable : 1;
    bool paired : 1;   /* incoming: the event before it is its from-line */
    bool absorbed : 1; /* zero-length from-line that the event before it already is */
} twi_event;

/* The events of one track, by record in, equal ones in file order. */
typedef struct twi_row {
    tw_track_kind kind;
    uint16_t number; /* V1.., A1.. */
    bool key;        /* foregrounds of keys, above the picture of that number */
    bool ragged;     /* some event begins before or after all before it have ended */
    int32_t reach;   /* where they have */
    uint32_t *at;    /* indices into list->events */
    size_t count, cap;
    size_t mixes; /* transitions among them */
} twi_row;

typedef enum twi_note_kind {
    TWI_NOTE_OTHER,
    TWI_NOTE_FROM_NAME,
    TWI_NOTE_TO_NAME,
    TWI_NOTE_FROM_PATH,
    TWI_NOTE_TO_PATH,
    TWI_NOTE_SOURCE_FILE,
    TWI_NOTE_REEL,
    TWI_NOTE_LOC,
    TWI_NOTE_SOP,
    TWI_NOTE_SAT,
    TWI_NOTE_FREEZE,
    TWI_NOTE_OURS, /* TALLWIDE */
    TWI_NOTE_M2,
    TWI_NOTE_AUD,
    TWI_NOTE_SPLIT,
    TWI_NOTE_TRAILER,
    TWI_NOTE_PLAIN /* a known statement that is only kept: REM, GPI ... */
} twi_note_kind;

/* A line that is no event, as an item keeps it. `kind` is a twi_note_kind, `value` where the text after its key begins;
 * of a joined one that stands behind the line, ended by a NUL. */
typedef tw_remark twi_note;

static inline tw_str twi_edl_value(const twi_note *note)
{
    if (note->joined)
        return tw_str_z(note->text.at + note->text.len);
    return tw_str_from(note->text, note->value);
}

/* Is there a note of one of these kinds? */
#define TWI_KIND(kind) (UINT32_C(1) << (kind))

/* What the model says in other ways is not repeated as a remark. */
#define TWI_RESAID (TWI_KIND(TWI_NOTE_OURS) | TWI_KIND(TWI_NOTE_M2) | TWI_KIND(TWI_NOTE_AUD) | TWI_KIND(TWI_NOTE_SPLIT))

typedef struct twi_fcm {
    uint32_t line;
    tw_str text;
    bool drop;
} twi_fcm;

/* What there is of some kind in the whole list; odd ones, once known of, are looked up again to be said. */
typedef struct twi_sums {
    size_t pictures, sounds, silent, refused;
    bool no_length, no_reel, falling; /* falling: some number is lower than the one before it */
} twi_sums;

/* A list being read. */
typedef struct twi_list {
    tw_arena *arena;
    tw_arena *scratch; /* of what is not needed once the model stands */
    tw_diags *diags;
    tw_str file;
    tw_str title;
    uint32_t title_line;
    twi_note bare; /* a line of text at the very top; line 0: none */
    twi_event *events;
    size_t event_count, event_cap;
    uint32_t *odd; /* events that are no plain cut from a source that runs as long as they do */
    size_t odd_count, odd_cap;
    twi_note *notes;
    size_t note_count, note_cap;
    size_t head_notes; /* notes[0 .. head_notes) stand before the first event */
    size_t tail_notes; /* of a trailer: no event's */
    uint32_t kinds;    /* of all notes */
    bool in_tail;      /* while reading: a trailer has begun */
    twi_fcm *fcm;
    size_t fcm_count, fcm_cap;
    uint32_t header_line; /* last TITLE or FCM line before the first event */
    bool many_channels;   /* A12 is channel twelve, not one and two */
    bool picture;         /* some event holds picture */
    bool semicolons;      /* some time is written with one */
    tw_rate rate;         /* of the record side */
    bool drop;
    tw_rate source_rate; /* of sources in general */
    twi_row *rows;       /* pictures bottom first, then sound */
    size_t row_count;
    twi_sums sums;
    twi_anchor *anchors; /* while the model is built: of all events */
    tw_media *black;
    tw_stamp *stamp;
    uint32_t unknown_lines;
    tw_place unknown_first;
} twi_list;

/* Where a part of an event stands, or the stretch from one part to the end of another. */
tw_place twi_edl_place(const twi_list *list, const twi_event *event, twi_part part);
tw_place twi_edl_stretch(const twi_list *list, const twi_event *event, twi_part first, twi_part last);
static inline tw_str twi_edl_word(const twi_event *event, twi_part part)
{
    return (tw_str){event->text.at + event->word[part].at, event->word[part].len};
}

tw_place twi_edl_note_place(const twi_list *list, const twi_note *note);

static inline tw_tc twi_edl_time(const twi_event *event, size_t t)
{
    const twi_label *l = &event->time[t];
    return (tw_tc){l->hours, l->minutes, l->seconds, l->frames, event->semicolons >> t & 1};
}

#define TWI_EDL_NEAR 8 /* lines of one event, or that stand between two of one track */

/* Is event number i the from-line of the one below it? */
bool twi_edl_next_is_pair(const twi_list *list, size_t i);

/* Is it the clip that goes out in the pair below it, whose from-line it already is? */
bool twi_edl_goes_on(const twi_list *list, size_t i);

/* "source in" and so on, by part, and "event 003", for sentences. */
extern const char *const twi_edl_side[];
const char *twi_edl_called(const twi_list *list, const twi_event *event);

/* Does the line begin with a digit, as an event does? */
static inline bool twi_edl_is_numbered(tw_str line)
{
    return line.len > 0 && tw_is_digit(line.at[0]);
}

/* ---- events (edl_event.c) -------------------------------------------------------------------------------- */

#define TWI_TOKENS 32

typedef struct twi_token {
    tw_str text;
    uint16_t at; /* offset in the line */
} twi_token;

/* Is the line, whose body has no blanks around it, read as an event? (edl_read.c) */
bool twi_edl_is_event(tw_str text, tw_str body);

/* Splits at blanks and tabs; the count may be TWI_TOKENS + 1 when there were more. */
size_t twi_edl_tokens(tw_str text, twi_token tokens[TWI_TOKENS + 1]);

/* Does the line hold nothing but four times? Then it is the rest of a wrapped event. */
bool twi_edl_only_times(tw_str text);

/* Do four times stand in a row behind three words or more, as only in an event? */
bool twi_edl_has_times(tw_str text);

/* Is this an event line that stops before its times? */
bool twi_edl_lacks_times(tw_str text);

/* Reads an event line; on an error a finding is added and event->bad is set. */
void twi_edl_event(twi_list *list, tw_str text, uint32_t line, twi_event *event);

/* ---- channel words (edl_channel.c) ----------------------------------------------------------------------- */

/* many_channels: numbers of two digits are channel numbers. False when it is no channel word. */
bool twi_edl_channel(tw_str word, bool many_channels, uint32_t *channels, uint8_t *video);
bool twi_edl_channel_many(tw_str word); /* does the word settle that they are? */

/* ---- notes (edl_note.c) ---------------------------------------------------------------------------------- */

/* Takes a line that does not begin as an event: title, FCM, remark or other statement. body: without blanks around it.
 * False when it is none that is known, and has the times of an event. */
bool twi_edl_statement(twi_list *list, tw_str text, tw_str body, uint32_t line, bool after_blank);

/* The list seen: takes a bare line at its top for the title where there is no other. */
void twi_edl_bare_title(twi_list *list);

/* The next note of a kind below the event, after `last` (NULL: the first); NULL when there are no more. */
const twi_note *twi_edl_next_note(const twi_list *list, const twi_event *event, twi_note_kind kind,
                                  const twi_note *last);
#define TWI_EACH_NOTE(note, list, event, kind)                                                                         \
    for (const twi_note *note = NULL; (note = twi_edl_next_note((list), (event), (kind), note)) != NULL;)

/* What a line of remark is, read alone. */
twi_note_kind twi_edl_kind_of(tw_str text);

/* Is it one that an item keeps as it stands? Not so events, titles, modes and what the model says in other ways. */
bool twi_edl_is_kept(tw_str text);

/* ---- second stage ---------------------------------------------------------------------------------------- */

void twi_edl_gather(twi_list *list);                               /* edl_pair.c: lines of a pair together */
void twi_edl_rate(twi_list *list, const tw_read_options *options); /* edl_rate.c */

/* The rate of a count, in a list that drops frames or whose rate is over 1001. */
tw_rate twi_edl_rate_of(int32_t count, bool drop, bool over_1001);
void twi_edl_times(twi_list *list);         /* edl_time.c */
void twi_edl_pairs(twi_list *list);         /* edl_pair.c: which line is from which */
void twi_edl_speeds(twi_list *list);        /* edl_speed.c */
void twi_edl_absorb(twi_list *list);        /* edl_pair.c: from-lines that are no clip */
void twi_edl_rows(twi_list *list);          /* edl_track.c */
void twi_edl_ours(twi_list *list);          /* edl_frame.c */
void twi_edl_checks(twi_list *list);        /* edl_check.c */
tw_timeline *twi_edl_build(twi_list *list); /* edl_build.c */

/* Frames a second that lists and their sources are known to count (edl_rate.c). */
#define TWI_EDL_COUNTS 6
extern const int32_t twi_edl_counts[TWI_EDL_COUNTS];
bool twi_edl_is_count(int32_t count); /* is it one of them? */

/* A time of an event at a count and mode other than the settled ones. */
int64_t twi_edl_label_frames(tw_tc tc, int64_t count, bool drop);

/* Lengths in frames. */
static inline int64_t twi_edl_record_frames(const twi_event *event)
{
    return (int64_t)event->frame[TWI_REC_OUT] - event->frame[TWI_REC_IN];
}

static inline int64_t twi_edl_source_frames(const twi_event *event)
{
    return (int64_t)event->frame[TWI_SRC_OUT] - event->frame[TWI_SRC_IN];
}

/* The speed that the first M2 line below the event tells, in source frames a second; false when none does. */
bool twi_edl_m2_speed(const twi_list *list, const twi_event *event, double *speed); /* edl_speed.c */

/* Does a source of so many frames fit record frames at a speed? A frame of rounding either way. */
bool twi_edl_whole_span(double frames, double speed, double consumed);

/* Ten numbers of the ASC CDL are checked as far as ASC CDL 1.2 bounds them. */
const char *twi_edl_bad_sop(tw_str value);
const char *twi_edl_bad_sat(tw_str value);

/* Names and media of a clip from the notes of its event (edl_media.c). `from`: those of the outgoing side. */
typedef struct twi_naming {
    tw_str name, source_file, path, reel;
} twi_naming;
tw_str twi_edl_source_file(const twi_list *list, const twi_event *event);
/* Does a REEL remark name another reel than the event's column? */
bool twi_edl_other_reel(const twi_list *list, const twi_event *event, tw_str *said); /* edl_media.c */
void twi_edl_naming(const twi_list *list, const twi_event *event, twi_naming *own, twi_naming *from);

/* The reel as it stands in a column: one word of ASCII, accents left out, other letters an underline each. */
tw_str twi_edl_reel_ascii(tw_arena *arena, tw_str reel); /* edl_text.c */

/* Gives the item its names, reel and media; what it has already stays. */
void twi_edl_name(twi_list *list, const twi_naming *naming, tw_item *item);

/* ---- our remarks (edl_frame.c) --------------------------------------------------------------------------- */

bool twi_edl_is_ours(tw_str line);
bool twi_edl_is_rate(tw_str line); /* ours, but no part of a framing */
void twi_edl_write_rate(tw_rate rate, bool from, tw_str line_end, tw_buf *out);

/* Puts the rates that remarks state into their events. */
void twi_edl_said_rates(twi_list *list);

void twi_edl_write_framing(const tw_framing *framing, bool from, tw_str line_end, tw_buf *out);
void twi_edl_write_stamp(const tw_stamp *stamp, tw_str line_end, tw_buf *out);

/* ---- writing --------------------------------------------------------------------------------------------- */

/* What a list that was read keeps of itself: tw_timeline.origin. */
typedef struct twi_edl_doc {
    tw_str bytes;
    uint32_t header_line;
    uint32_t first_event_line; /* UINT32_MAX: no event */
    uint32_t first_anchor;     /* where remarks of the first event go; 0: no event */
} twi_edl_doc;

tw_status twi_edl_read(tw_arena *arena, tw_str bytes, tw_str file, const tw_read_options *options, tw_diags *diags,
                       tw_timeline **out);
int twi_edl_probe(tw_str bytes);
tw_status twi_edl_write_new(tw_arena *arena, const tw_timeline *timeline, size_t part, const tw_write_options *options,
                            tw_diags *diags, tw_buf *out);
tw_status twi_edl_keep(tw_arena *arena, const tw_timeline *timeline, tw_buf *out);

#endif
