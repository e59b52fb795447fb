/* SPDX-License-Identifier: Apache-2.0
 *
 * tallwide/jsonio.h - strict, located JSON that writes back what it read.
 *
 * Reads RFC 8259 text strictly and keeps, for every value, where it stood and, for every number, the text it was
 * written with; an untouched tree is written back value for value and digit for digit, members in the order of the
 * file. Trees are plain structs in the caller's arena; callers may edit them with the functions below.
 */
#ifndef TALLWIDE_JSONIO_H
#define TALLWIDE_JSONIO_H

#include <tallwide/base.h>
#include <tallwide/diag.h>

#ifdef __cplusplus
extern "C" {
#endif

typedef enum tw_json_kind {
    TW_JSON_NULL,
    TW_JSON_FALSE,
    TW_JSON_TRUE,
    TW_JSON_NUMBER,
    TW_JSON_STRING,
    TW_JSON_ARRAY,
    TW_JSON_OBJECT
} tw_json_kind;

typedef struct tw_json tw_json;

/* What a list or an object holds, in order; both NULL when that is nothing. */
typedef struct tw_json_chain {
    tw_json *first, *last;
} tw_json_chain;

/* An edit is a million of these: 48 bytes each, since no value has both a text and others in it. Read either through
 * tw_json_text and tw_json_first where the kind is not known for sure. */
struct tw_json {
    tw_json *next; /* next member or element */
    tw_str key;    /* member name, decoded; {NULL, 0} for elements and the root */
    union {
        tw_str text;      /* number: its text as written; string: decoded UTF-8; folded list: all of it */
        tw_json_chain in; /* list, object */
    };
    uint32_t offset;     /* byte offset in the input; UINT32_MAX for values made here */
    uint32_t kind : 4;   /* tw_json_kind */
    uint32_t folded : 1; /* a list whose elements are seen through tw_json_row only */
    uint32_t count : 27; /* members or elements */
};

typedef struct tw_json_doc {
    tw_json *root;
    tw_str file;  /* display name */
    tw_str bytes; /* the input, kept alive by the caller */
} tw_json_doc;

typedef struct tw_json_options {
    bool nonfinite;       /* accept bare NaN, Infinity, -Infinity, Inf, -Inf as numbers, with one warning (OTIO) */
    bool duplicates_warn; /* a repeated member name is a warning, the first one counts, the others are left out of the
                             tree; else an error */
    const char *fold;     /* lists in members of this name are folded where they can be; NULL: none */
    bool bom_ok;          /* a UTF-8 byte order mark in front is skipped with a warning; else an error */
} tw_json_options;

#define TW_JSON_DEPTH 128        /* deepest nesting accepted */
#define TW_JSON_VALUES 20000000u /* most values accepted (twenty million); each row of a folded list is one */

/* Reads one JSON text. Every fault is a located finding (TW11xx) and the status TW_ERR_SYNTAX (grammar, UTF-8,
 * \u0000, unpaired surrogates, text after the value, empty input, repeated names) or TW_ERR_LIMIT (depth, count,
 * size). Reading stops at the first fault of grammar. Texts and names without escapes, and numbers, are views into
 * `bytes`. options NULL: strict. */
tw_status tw_json_read(tw_arena *arena, tw_str bytes, tw_str file, const tw_json_options *options, tw_diags *diags,
                       tw_json_doc *out);

/* Place of a value, or of a member's name, in its input: line, column, width and the line's text (cut a little behind
 * the value; none past column 65,536). Values made by callers have no line. The pointer is left empty;
 * tw_json_pointer makes one, empty for the root and for values that are not in the tree.
 * Cost: a scan from the start of the input for the line; a walk of the tree for the pointer. */
tw_place tw_json_place(const tw_json_doc *doc, const tw_json *value);
tw_place tw_json_name_place(const tw_json_doc *doc, const tw_json *value);
tw_str tw_json_pointer(tw_arena *arena, const tw_json_doc *doc, const tw_json *value);

/* Member of an object by exact name; NULL when absent or not an object. */
tw_json *tw_json_get_str(const tw_json *object, tw_str name);
static inline tw_json *tw_json_get(const tw_json *object, const char *name)
{
    return tw_json_get_str(object, tw_str_z(name));
}

/* False for NULL. */
static inline bool tw_json_is(const tw_json *value, tw_json_kind kind)
{
    return value != NULL && value->kind == kind;
}

/* The first element or member; NULL for what has none: scalars, folded lists and NULL among it. */
static inline tw_json *tw_json_first(const tw_json *value)
{
    return value != NULL && value->kind >= TW_JSON_ARRAY && !value->folded ? value->in.first : NULL;
}

/* The text of a number or string; {NULL, 0} for all else and for NULL. */
static inline tw_str tw_json_text(const tw_json *value)
{
    tw_str none = {NULL, 0};
    return value != NULL && (value->kind == TW_JSON_NUMBER || value->kind == TW_JSON_STRING) ? value->text : none;
}

const char *tw_json_kind_name(tw_json_kind kind); /* "object", "list", "text", "number" ... for messages */

/* A number as a double (nearest), as an exact integer. False when it is none or does not fit: "1e400" and NaN are no
 * double, 9223372036854775808 and 0.5 no integer; "1.0" and "1e3" are integers here. */
bool tw_json_double(const tw_json *value, double *out);
bool tw_json_int(const tw_json *value, int64_t *out);

/* Folded lists. A list of rows like ["01:00:00:00", 0.24, 0.35] costs 48 bytes a value, seven times its text, and is
 * mostly looked at once. Asked to (`fold`), tw_json_read checks it as it does all else but keeps it as its text: lists
 * of one row or more, each of 1 to TW_JSON_ROW numbers and ASCII texts without escapes. All others are read as ever.
 * Writing, copying and comparing see no difference; nothing can be appended to it or removed from it. */
#define TW_JSON_ROW 8

/* The elements of a list (or members of an object), folded or not, one after the other:
 *   tw_json_rows_begin(&rows, list);
 *   while ((row = tw_json_row(&rows)) != NULL) ...
 * A row of a folded list stands in `rows` until the next call, and has no `next`. */
typedef struct tw_json_rows {
    const tw_json *next;
    tw_str text; /* what is left of a folded list */
    uint32_t offset;
    tw_json row[1 + TW_JSON_ROW];
} tw_json_rows;
void tw_json_rows_begin(tw_json_rows *rows, const tw_json *list);
const tw_json *tw_json_row(tw_json_rows *rows);

/* The same list with its rows as values of their own in the arena; any other value as it is. */
const tw_json *tw_json_unfold(tw_arena *arena, const tw_json *list);

/* New values. Text is copied. tw_json_new_double writes the shortest text with a point or exponent. */
tw_json *tw_json_new(tw_arena *arena, tw_json_kind kind);
tw_json *tw_json_new_text(tw_arena *arena, tw_str text);
tw_json *tw_json_new_int(tw_arena *arena, int64_t value);
tw_json *tw_json_new_double(tw_arena *arena, double value);
tw_json *tw_json_new_number(tw_arena *arena, tw_str text); /* text is trusted to be a JSON number */
tw_json *tw_json_new_bool(tw_arena *arena, bool value);

/* Appends an element; sets a member (replacing the value of an existing one in place, else appended); removes one.
 * tw_json_set_sorted puts a new member before the first whose name is greater in byte order. */
void tw_json_append(tw_json *array, tw_json *value);
void tw_json_set(tw_arena *arena, tw_json *object, const char *name, tw_json *value);
void tw_json_set_text(tw_arena *arena, tw_json *object, const char *name, tw_str text);
void tw_json_set_sorted(tw_arena *arena, tw_json *object, const char *name, tw_json *value);

/* The member of that name; put there, empty, where there is none of that kind. */
tw_json *tw_json_need(tw_arena *arena, tw_json *object, const char *name, tw_json_kind kind);

bool tw_json_remove(tw_json *parent, const tw_json *value);

/* A copy of a tree (strings shared). */
tw_json *tw_json_copy(tw_arena *arena, const tw_json *value);

/* Same kind, members (in any order), elements, texts; numbers by their text? */
bool tw_json_same(const tw_json *a, const tw_json *b);

/* The same with members in the same order: are both written as the same text? */
bool tw_json_identical(const tw_json *a, const tw_json *b);

typedef struct tw_json_style {
    int indent;  /* blanks per level; 0: everything on one line */
    bool spaced; /* on one line: with a blank after commas and colons */
    bool final_newline;
} tw_json_style;

/* Appends the text. "key": value, one member or element a line, {} and [] when empty, UTF-8 and '/' unescaped. */
void tw_json_write(const tw_json *value, const tw_json_style *style, tw_buf *out);

#ifdef __cplusplus
}
#endif
#endif
