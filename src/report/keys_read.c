/* SPDX-License-Identifier: Apache-2.0
 *
 * Reads a table of keys back (RFC 4180; line ends of any system, columns in any order), and holds it against framings.
 */
#include "report_internal.h"
#include "base/ext.h"

#include <math.h>
#include <stddef.h>

typedef enum kind { KIND_TEXT, KIND_FRAME, KIND_NUMBER } kind;

/* What a column holds, where it goes, and how far a number may be off: the digits written, and for what a list rounds
 * to 0.001 pixels what follows from it. */
static const struct {
    const char *name;
    kind kind;
    size_t at;
    double slack;
} columns[] = {
    {"track", KIND_TEXT, offsetof(twi_keys_row, track), 0},
    {"event", KIND_TEXT, offsetof(twi_keys_row, event), 0},
    {"reel", KIND_TEXT, offsetof(twi_keys_row, reel), 0},
    {"clip", KIND_TEXT, offsetof(twi_keys_row, clip), 0},
    {"source_in", KIND_TEXT, offsetof(twi_keys_row, source_in), 0},
    {"source_out", KIND_TEXT, offsetof(twi_keys_row, source_out), 0},
    {"record_in", KIND_TEXT, offsetof(twi_keys_row, record_in), 0},
    {"record_out", KIND_TEXT, offsetof(twi_keys_row, record_out), 0},
    {"frame", KIND_FRAME, offsetof(twi_keys_row, frame), 0},
    {"record", KIND_TEXT, offsetof(twi_keys_row, record), 0},
    {"source", KIND_TEXT, offsetof(twi_keys_row, source), 0},
    {"x", KIND_NUMBER, offsetof(twi_keys_row, x), 0.0021},
    {"y", KIND_NUMBER, offsetof(twi_keys_row, y), 0.0021},
    {"w", KIND_NUMBER, offsetof(twi_keys_row, w), 0.0021},
    {"h", KIND_NUMBER, offsetof(twi_keys_row, h), 0.0041},
    {"scale", KIND_NUMBER, offsetof(twi_keys_row, scale), 0.00002},
    {"zoom", KIND_NUMBER, offsetof(twi_keys_row, zoom), 0.00002},
    {"move_x", KIND_NUMBER, offsetof(twi_keys_row, move_x), 0.0101},
    {"move_y", KIND_NUMBER, offsetof(twi_keys_row, move_y), 0.0101},
    {"ease", KIND_NUMBER, offsetof(twi_keys_row, ease), 0.0011},
    {"mode", KIND_TEXT, offsetof(twi_keys_row, mode), 0},
};
#define MOST_FIELDS 256

static void *part_of(twi_keys_row *row, size_t column)
{
    return (char *)row + columns[column].at;
}

/* ---- fields ---------------------------------------------------------------------------------------------- */

typedef struct reading {
    tw_arena *arena;
    tw_str text, file;
    tw_diags *diags;
    size_t at;
    uint32_t line;
    tw_str fields[MOST_FIELDS];
    size_t field_count;
    size_t place[TW_COUNT(columns)]; /* field that holds a column */
} reading;

static void say(const reading *r, uint32_t line, int code, const char *what, tw_str detail)
{
    const tw_place place = {.file = r->file, .line = line};
    tw_diag_add(r->diags, code, &place, "%s%.*s%s", what, TW_ARG(detail), detail.at != NULL ? "\"" : "");
}

static bool at_line_end(const reading *r)
{
    return r->at >= r->text.len || r->text.at[r->at] == '\n' || r->text.at[r->at] == '\r';
}

/* From the opening quote to what follows the closing one; false when there is none. */
static bool read_quoted(reading *r, tw_str *out)
{
    tw_buf field = {.arena = r->arena};
    for (r->at++; r->at < r->text.len; r->at++) {
        char c = r->text.at[r->at];
        if (c == '"' && (r->at + 1 == r->text.len || r->text.at[r->at + 1] != '"')) {
            r->at++;
            *out = tw_buf_str(&field);
            return at_line_end(r) || r->text.at[r->at] == ',';
        }
        r->at += c == '"';
        r->line += c == '\n';
        tw_buf_addc(&field, c);
    }
    return false;
}

static bool read_field(reading *r, tw_str *out)
{
    if (r->at < r->text.len && r->text.at[r->at] == '"')
        return read_quoted(r, out);
    size_t start = r->at;
    while (!at_line_end(r) && r->text.at[r->at] != ',')
        r->at++;
    *out = (tw_str){r->text.at + start, r->at - start};
    return true;
}

/* The fields of a line and its end; false when the table cannot be read any further. */
static bool read_line(reading *r)
{
    uint32_t line = r->line;
    r->field_count = 0;
    for (bool more = true; more;) {
        if (r->field_count == MOST_FIELDS || !read_field(r, &r->fields[r->field_count])) {
            say(r, line, 2201,
                r->field_count == MOST_FIELDS ? "the line has more fields than a table of keys has"
                                              : "a quote is not closed, or something follows one that is",
                (tw_str){NULL, 0});
            return false;
        }
        r->field_count++;
        more = !at_line_end(r);
        r->at += more; /* the comma */
    }
    if (r->at < r->text.len && r->text.at[r->at] == '\r')
        r->at++;
    if (r->at < r->text.len && r->text.at[r->at] == '\n')
        r->at++;
    r->line++;
    return true;
}

/* ---- rows ------------------------------------------------------------------------------------------------ */

static bool read_head(reading *r)
{
    if (tw_str_starts(r->text, TW_STR("\xEF\xBB\xBF"))) /* some spreadsheets write one */
        r->at = 3;
    if (!read_line(r))
        return false;
    bool all = true;
    for (size_t c = 0; c < TW_COUNT(columns); c++) {
        size_t f = 0;
        while (f < r->field_count && !tw_str_is(r->fields[f], columns[c].name))
            f++;
        r->place[c] = f;
        if (f == r->field_count) {
            say(r, 1, 2201, "the first line names no column \"", tw_str_z(columns[c].name));
            all = false;
        }
    }
    return all;
}

static bool fill_row(reading *r, uint32_t line, twi_keys_row *row)
{
    bool fine = true;
    row->line = line;
    for (size_t c = 0; c < TW_COUNT(columns); c++) {
        if (r->place[c] >= r->field_count) {
            say(r, line, 2202, "the line ends before its \"", tw_str_z(columns[c].name));
            return false;
        }
        tw_str text = r->fields[r->place[c]];
        void *to = part_of(row, c);
        if (columns[c].kind == KIND_TEXT) {
            *(tw_str *)to = text;
            continue;
        }
        bool number = columns[c].kind == KIND_FRAME ? tw_num_int(text, to) : tw_num_double(text, to);
        if (!number)
            say(r, line, 2202, columns[c].kind == KIND_FRAME ? "this is no whole number: \"" : "this is no number: \"",
                text);
        fine = fine && number;
    }
    return fine;
}

tw_status twi_report_keys_read(tw_arena *arena, tw_str text, tw_str file, tw_diags *diags, twi_keys *out)
{
    reading r = {.arena = arena, .text = text, .file = file, .diags = diags, .line = 1};
    size_t cap = 0, bad = 0;
    *out = (twi_keys){.rows = NULL};
    if (!read_head(&r))
        return TW_ERR_SYNTAX;
    while (r.at < text.len) {
        uint32_t line = r.line;
        if (!read_line(&r))
            return TW_ERR_SYNTAX;
        if (r.field_count == 1 && r.fields[0].len == 0)
            continue;
        out->rows = tw_arena_grow(arena, out->rows, out->len, &cap, sizeof *out->rows);
        if (fill_row(&r, line, &out->rows[out->len]))
            out->len++;
        else
            bad++;
    }
    return bad > 0 ? TW_ERR_SEMANTIC : TW_OK;
}

/* ---- against framings ------------------------------------------------------------------------------------ */

typedef struct comparing {
    tw_str file;
    tw_arena *scratch;
    tw_diags *diags;
    twi_keys silent; /* shots whose framing is not known: a key each, of which only the names count */
} comparing;

static bool same_shot(const twi_keys_row *a, const twi_keys_row *b)
{
    return tw_str_eq(a->record_in, b->record_in) && tw_str_eq(a->track, b->track) && tw_str_eq(a->event, b->event);
}

static bool same_key(const twi_keys_row *a, const twi_keys_row *b)
{
    return a->frame == b->frame && same_shot(a, b);
}

static twi_keys silent_shots(tw_arena *arena, const tw_derived *derived, size_t delivery)
{
    const tw_timeline *t = derived->master;
    const tw_derived_delivery *d = &derived->deliveries[delivery];
    twi_keys out = {.rows = TW_NEW_N(arena, twi_keys_row, d->shot_count)};
    for (size_t i = 0; i < d->shot_count; i++) {
        const tw_decision *shot = &d->shots[i];
        if (shot->verdict != TW_VERDICT_UNKNOWN)
            continue;
        out.rows[out.len++] = (twi_keys_row){
            .track = shot->track->name,
            .event = twi_report_event(arena, shot, i),
            .record_in = tw_tc_text(arena, shot->stand->seen.first, t->rate, t->drop),
        };
    }
    return out;
}

static bool is_silent(const comparing *c, const twi_keys_row *row)
{
    for (size_t i = 0; i < c->silent.len; i++)
        if (same_shot(&c->silent.rows[i], row))
            return true;
    return false;
}

static void compare_texts(const comparing *c, const twi_keys_row *row, const char *what, tw_str is, tw_str be)
{
    const tw_place place = {.file = c->file, .line = row->line};
    if (!tw_str_eq(is, be))
        tw_diag_add(c->diags, 2203, &place,
                    "%s of the key at frame %lld of event %.*s is \"%.*s\", but \"%.*s\" in the timeline", what,
                    (long long)row->frame, TW_ARG(row->event), TW_ARG(is), TW_ARG(be));
}

static void compare_numbers(const comparing *c, const twi_keys_row *row, size_t column, double is, double be)
{
    const tw_place place = {.file = c->file, .line = row->line};
    if (fabs(is - be) <= columns[column].slack)
        return;
    tw_buf words = {.arena = c->scratch};
    tw_xml_add_num(&words, is, 6);
    tw_buf_addz(&words, ", but ");
    tw_xml_add_num(&words, be, 6);
    tw_diag_add(c->diags, 2203, &place, "%s of the key at frame %lld of event %.*s is %.*s in the timeline",
                columns[column].name, (long long)row->frame, TW_ARG(row->event), TW_ARG(tw_buf_str(&words)));
}

static void compare_rows(const comparing *c, twi_keys_row *expected, twi_keys_row *row)
{
    for (size_t i = 0; i < TW_COUNT(columns); i++) {
        void *is = part_of(row, i), *be = part_of(expected, i);
        if (columns[i].kind == KIND_TEXT)
            compare_texts(c, row, columns[i].name, *(tw_str *)is, *(tw_str *)be);
        else if (columns[i].kind == KIND_NUMBER)
            compare_numbers(c, row, i, *(double *)is, *(double *)be);
    }
}

#define LOOK_AHEAD 1000 /* rows that may be missing in one go before what follows counts as too many */

static bool comes_later(const twi_keys *expected, size_t from, const twi_keys_row *row)
{
    for (size_t i = from; i < expected->len && i - from < LOOK_AHEAD; i++)
        if (same_key(&expected->rows[i], row))
            return true;
    return false;
}

static void compare(const comparing *c, const twi_keys *expected, const twi_keys *got)
{
    size_t e = 0, g = 0;
    while (e < expected->len || g < got->len) {
        twi_keys_row *be = e < expected->len ? &expected->rows[e] : NULL, *is = g < got->len ? &got->rows[g] : NULL;
        tw_place place = {.file = c->file, .line = is != NULL ? is->line : 0};
        if (be != NULL && is != NULL && same_key(be, is)) {
            compare_rows(c, be, is);
            e++;
            g++;
        } else if (be != NULL && (is == NULL || comes_later(expected, e, is))) {
            tw_diag_add(c->diags, 2203, &place, "the key at frame %lld of event %.*s, %.*s, is missing here",
                        (long long)be->frame, TW_ARG(be->event), TW_ARG(be->record_in));
            e++;
        } else if (is != NULL) {
            if (!is_silent(c, is))
                tw_diag_add(c->diags, 2203, &place, "the timeline has no key at frame %lld of event %.*s, %.*s",
                            (long long)is->frame, TW_ARG(is->event), TW_ARG(is->record_in));
            g++;
        }
    }
}

tw_status tw_report_keys_check(tw_arena *arena, const tw_derived *derived, size_t delivery, tw_str text, tw_str file,
                               tw_diags *diags)
{
    twi_keys got, expected;
    tw_buf table = {.arena = arena};
    tw_report_keys(derived, delivery, &table);
    if (tw_str_eq(tw_buf_str(&table), text))
        return TW_OK;
    tw_status status = twi_report_keys_read(arena, text, file, diags, &got);
    if (status != TW_OK)
        return status;
    status = twi_report_keys_read(arena, tw_buf_str(&table), file, diags, &expected);
    TW_ASSERT(status == TW_OK);
    const comparing c = {file, arena, diags, silent_shots(arena, derived, delivery)};
    compare(&c, &expected, &got);
    return TW_OK;
}
