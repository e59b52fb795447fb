/* SPDX-License-Identifier: Apache-2.0
 *
 * tallwide/diag.h - what the tool has to say about its inputs, collected with place and stable code.
 *
 * Readers, the solver's caller and writers add to a list; nobody prints on the way. A code ("TW1203") never changes
 * its meaning; its severity, cause and cure stand in tables (src/diag/codes.h), one for each hundred: 10 files and
 * limits, 11 JSON, 12 text lists, 13 OTIO, 14 timeline, 15 plan, 16 framing, 17 proof, 18 re-cuts, 19 command line,
 * 20 XML, 21 pictures and sound, 22 tables of keys and notes tracks, 23 following.
 */
#ifndef TALLWIDE_DIAG_H
#define TALLWIDE_DIAG_H

#include <tallwide/base.h>

#ifdef __cplusplus
extern "C" {
#endif

typedef enum tw_severity { TW_NOTE, TW_WARNING, TW_ERROR } tw_severity;

const char *tw_severity_word(tw_severity severity); /* "note", "warning", "error" */

/* Where something is. Every part may be missing: line 0, column 0, empty texts. */
typedef struct tw_place {
    tw_str file;     /* display name of the input */
    uint32_t line;   /* 1-based */
    uint32_t column; /* 1-based, in bytes */
    uint32_t width;  /* bytes the caret run covers; 0 draws one caret */
    tw_str text;     /* the line itself, for the caret; no line end */
    tw_str pointer;  /* RFC 6901 JSON pointer, for model-level findings */
} tw_place;

/* Somewhere in a file, for tw_diag_add. */
#define TW_IN(name) (&(tw_place){.file = (name)})

typedef struct tw_diag {
    tw_severity severity;
    int code; /* 1203 prints as TW1203 */
    tw_place place;
    tw_str message; /* one sentence: what is wrong and, where it helps, what was done about it */
    tw_str hint;    /* what to do; may be empty */
} tw_diag;

typedef struct tw_diags tw_diags;

#define TW_DIAGS_KEPT 100 /* of each severity; more are only counted */

/* An empty list. All texts are copied into the arena when added. */
tw_diags *tw_diags_new(tw_arena *arena);

/* Adds a finding. `place` may be NULL. The severity is the code's in the table; an unknown code is TW_ERROR. */
void tw_diag_add(tw_diags *diags, int code, const tw_place *place, const char *format, ...) TW_PRINTF(4, 5);
void tw_diag_addv(tw_diags *diags, int code, const tw_place *place, const char *format, va_list values);

/* Gives the finding added last a hint (dropped if that finding was only counted). */
void tw_diag_hint(tw_diags *diags, const char *format, ...) TW_PRINTF(2, 3);

/* Adds a finding of another list, with its hint. */
void tw_diag_take(tw_diags *diags, const tw_diag *finding);

/* Adds those of another list from a severity on, in their order; what is only counted there is only counted here. */
void tw_diags_pass(const tw_diags *from, tw_severity least, tw_diags *to);

size_t tw_diags_kept(const tw_diags *diags);                        /* how many can be asked for */
const tw_diag *tw_diags_get(const tw_diags *diags, size_t index);   /* in the order added */
size_t tw_diags_count(const tw_diags *diags, tw_severity severity); /* all, kept or not */
bool tw_diags_failed(const tw_diags *diags);                        /* any TW_ERROR? */

/* Appends every kept finding as
 *   FILE:LINE:COL: error TW1203: sentence
 * followed by the line with a caret run under it and the hint; then how many more there were. Tabs in the line are
 * kept and the caret follows them; long lines are cut around the caret. Findings below `least` are left out. Above
 * TW_NOTE, where not all is wanted, of more than five of one code in one file, each in a line of its own, the first two
 * are told, the rest are counted in one line with the numbers of their lines. */
void tw_diags_write_text(const tw_diags *diags, tw_severity least, tw_buf *out);

/* Appends a JSON array of {"severity","code","file","line","column","pointer","message","hint"}; absent parts are
 * left out. `indent` blanks stand before each element. */
void tw_diags_write_json(const tw_diags *diags, int indent, tw_buf *out);

/* One row of the tables of codes. */
typedef struct tw_code {
    int code;
    tw_severity severity;
    const char *title; /* a few words */
    const char *cause; /* how a file comes to have it */
    const char *cure;  /* what a person does about it */
} tw_code;

const tw_code *tw_code_find(int code);   /* NULL when there is none */
const tw_code *tw_code_at(size_t index); /* in order of their numbers; NULL past the last */

/* ---- reports as JSON ------------------------------------------------------------------------------------- */

/* Appends s as a JSON string with its quotes. Bytes that are no UTF-8 become U+FFFD. */
void tw_diag_json_string(tw_str s, tw_buf *out);

/* Members of an object, after those it has; a comma is put where one is due: not after a bracket or white space. */
void tw_diag_json_key(const char *name, tw_buf *out); /* the value is the caller's */
void tw_diag_json_text(const char *name, tw_str value, tw_buf *out);
void tw_diag_json_count(const char *name, int64_t value, tw_buf *out);
void tw_diag_json_bool(const char *name, bool value, tw_buf *out);
void tw_diag_json_number(const char *name, double value, int places, tw_buf *out); /* rounded to so many decimals */

/* Before each element of a list: a comma where one is due, then the line break given and how the element begins;
 * without a line break elements follow each other in the line. */
void tw_diag_json_next(const char *line, tw_buf *out);

/* The last member of a report, "findings", and its end. */
void tw_diag_json_end(const tw_diags *diags, tw_buf *out);

#ifdef __cplusplus
}
#endif
#endif
