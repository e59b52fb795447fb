/* SPDX-License-Identifier: Apache-2.0
 *
 * The strict scan: RFC 8259 grammar, RFC 3629 UTF-8, bounds. Not recursive; one look at each byte. Each value is hung
 * into the tree when it begins.
 */
#include "json_internal.h"

#include <string.h>

#define FIRST_RUN 64u
#define LARGEST_RUN 8192u
#define SHOWN_NAME 40 /* bytes of a member name repeated in a message */

typedef struct level {
    tw_json *node; /* the list or object */
    bool object;
    bool name_escaped;
    tw_str name; /* raw name of the member being read */
} level;

typedef struct scanner {
    twi_json_job *job;
    const char *at, *end;
    tw_json *free, *free_end; /* the run of nodes being filled; the first is small, so that small files stay small */
    uint32_t run;             /* its length */
    uint32_t values;
    level open[TW_JSON_DEPTH];
    int depth;
    bool fresh;        /* right after an opening bracket */
    bool text_escaped; /* the text just scanned has escapes */
    bool nonfinite_told;
    tw_status status;
} scanner;

/* ---- findings -------------------------------------------------------------------------------------------- */

static tw_place place_of(const scanner *s, const char *at, size_t width)
{
    return twi_json_place_at(&s->job->doc, (size_t)(at - s->job->doc.bytes.at), width);
}

static bool fail(scanner *s, int code, const char *at, size_t width, const char *message)
{
    tw_place place = place_of(s, at, width);
    tw_diag_add(s->job->diags, code, &place, "%s", message);
    s->status = TW_ERR_SYNTAX;
    return false;
}

static bool is_word(char c)
{
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') || c == '_' || c == '-' ||
           c == '+' || c == '.';
}

static size_t word_length(const scanner *s, const char *at)
{
    size_t n = 0;
    while (at + n < s->end && is_word(at[n]))
        n++;
    return n;
}

/* What stands at `at`, in words. */
static tw_str found(const scanner *s, const char *at)
{
    tw_arena *arena = s->job->arena;
    unsigned char c = (unsigned char)*at;
    size_t word = word_length(s, at);
    if (word > 1)
        return tw_arena_printf(arena, "'%.*s%s'", (int)(word < SHOWN_NAME ? word : SHOWN_NAME), at,
                               word > SHOWN_NAME ? "..." : "");
    if (c == '"')
        return TW_STR("a text");
    if (c == '/' && at + 1 < s->end && (at[1] == '/' || at[1] == '*'))
        return TW_STR("a comment, which JSON does not have");
    if (c == '\'')
        return TW_STR("a single quote (JSON uses double quotes)");
    if (c > 0x20 && c < 0x7F)
        return tw_arena_printf(arena, "'%c'", c);
    return tw_arena_printf(arena, "the byte 0x%02X", c);
}

/* "expected X, found Y" at the current byte; the end of the text has its own code. */
static bool unexpected(scanner *s, const char *expected)
{
    tw_arena *arena = s->job->arena;
    if (s->at == s->end) {
        const char *last = s->at; /* the caret stands behind the last byte that is no blank */
        while (last > s->job->text.at && memchr(" \t\r\n", last[-1], 4) != NULL)
            last--;
        tw_str message = tw_arena_printf(arena, "the text ends too early: expected %s", expected);
        return fail(s, 1103, last, 1, message.at);
    }
    size_t width = word_length(s, s->at);
    tw_str message = tw_arena_printf(arena, "expected %s, found %.*s", expected, TW_ARG(found(s, s->at)));
    return fail(s, 1102, s->at, width > 0 ? width : 1, message.at);
}

/* ---- nodes ----------------------------------------------------------------------------------------------- */

static void more_nodes(scanner *s)
{
    s->run = s->run == 0 ? FIRST_RUN : s->run < LARGEST_RUN ? s->run * 2 : LARGEST_RUN;
    s->free = TW_NEW_N(s->job->arena, tw_json, s->run);
    s->free_end = s->free + s->run;
}

static bool count_values(scanner *s, const char *at, uint32_t more)
{
    if (more > TW_JSON_VALUES - s->values) {
        fail(s, 1118, at, 1, "more than 20000000 values: the rest was not read");
        s->status = TW_ERR_LIMIT;
        return false;
    }
    s->values += more;
    return true;
}

/* The node of a value that begins at `at`, in its place in the tree; NULL when there are too many. */
static tw_json *new_node(scanner *s, const char *at, tw_json_kind kind)
{
    if (!count_values(s, at, 1))
        return NULL;
    if (s->free == s->free_end)
        more_nodes(s);
    tw_json *node = s->free++;
    node->offset = (uint32_t)(at - s->job->doc.bytes.at);
    node->kind = kind & 7;
    if (s->depth == 0) {
        s->job->doc.root = node;
        return node;
    }
    const level *top = &s->open[s->depth - 1];
    if (top->object)
        node->key = top->name_escaped ? twi_json_decode(s->job->arena, top->name) : top->name;
    tw_json_append(top->node, node);
    return node;
}

/* ---- texts ----------------------------------------------------------------------------------------------- */

static bool hex4(const scanner *s, const char *at, uint64_t *out)
{
    return s->end - at >= 4 && tw_num_hex((tw_str){at, 4}, out);
}

/* \uXXXX at s->at; a high surrogate needs its low one right behind it (RFC 8259, section 7). */
static bool scan_unicode(scanner *s)
{
    uint64_t high, low;
    if (!hex4(s, s->at + 2, &high))
        return fail(s, 1106, s->at, 2, "\\u must be followed by four hexadecimal digits");
    if (high == 0)
        return fail(s, 1108, s->at, 6, "\\u0000 (a NUL character) is not accepted in a text");
    if (high >= 0xDC00 && high <= 0xDFFF)
        return fail(s, 1109, s->at, 6, "this second half of a surrogate pair has no first half before it");
    if (high < 0xD800 || high > 0xDBFF) {
        s->at += 6;
        return true;
    }
    bool paired = s->end - s->at >= 12 && s->at[6] == '\\' && s->at[7] == 'u' && hex4(s, s->at + 8, &low) &&
                  low >= 0xDC00 && low <= 0xDFFF;
    if (!paired)
        return fail(s, 1109, s->at, 6, "this first half of a surrogate pair has no second half after it");
    s->at += 12;
    return true;
}

static bool scan_escape(scanner *s)
{
    s->text_escaped = true;
    char c = s->end - s->at > 1 ? s->at[1] : 'n'; /* a lone backslash at the end: told as an unfinished text */
    if (c == 'u')
        return scan_unicode(s);
    if (memchr("\"\\/bfnrt", c, 8) == NULL)
        return fail(s, 1106, s->at, 2, "a backslash must be followed by one of \" \\ / b f n r t u");
    s->at += s->end - s->at > 1 ? 2 : 1;
    return true;
}

/* One sequence of bytes above 0x7F. */
static bool scan_utf8(scanner *s)
{
    unsigned char c = (unsigned char)*s->at;
    size_t need = c < 0xC2 || c > 0xF4 ? 1 : c < 0xE0 ? 2 : c < 0xF0 ? 3 : 4, left = (size_t)(s->end - s->at);
    if (need > 1 && need <= left && tw_str_utf8((tw_str){s->at, need}, NULL)) {
        s->at += need;
        return true;
    }
    tw_str message = tw_arena_printf(s->job->arena, "the byte 0x%02X is no valid UTF-8 here", c);
    return fail(s, 1107, s->at, 1, message.at);
}

/* A text with its quotes; *raw is what stands between them. */
static bool scan_text(scanner *s, tw_str *raw)
{
    const char *open = s->at++;
    s->text_escaped = false;
    for (;;) {
        const char *at = s->at = twi_json_plain_end(s->at, s->end);
        if (at == s->end)
            return fail(s, 1103, open, 1, "this text has no closing quote before the end of the file");
        unsigned char c = (unsigned char)*at;
        if (c == '"')
            break;
        if (c < 0x20) {
            const char *what = c == '\n' || c == '\r' ? "a line end inside a text: the closing quote is missing, or it "
                                                        "must be written \\n"
                               : c == '\t'            ? "a tab inside a text must be written \\t"
                                                      : "a control character inside a text must be written \\u00XX";
            return fail(s, 1105, at, 1, what);
        }
        if (!(c == '\\' ? scan_escape(s) : scan_utf8(s)))
            return false;
    }
    *raw = (tw_str){open + 1, (size_t)(s->at - open - 1)};
    s->at++;
    return true;
}

/* ---- numbers and words ----------------------------------------------------------------------------------- */

static bool is_digit(const char *at, const char *end)
{
    return at < end && *at >= '0' && *at <= '9';
}

static const char *skip_digits(const char *at, const char *end)
{
    while (is_digit(at, end))
        at++;
    return at;
}

const char *twi_json_number_end(const char *at, const char *end, const char **why)
{
    at += *at == '-';
    *why = "a number needs a digit after '-'";
    if (!is_digit(at, end))
        return NULL;
    *why = "a number must not begin with 0 followed by digits";
    if (*at == '0' && is_digit(at + 1, end))
        return NULL;
    at = skip_digits(at, end);
    *why = "a number needs a digit after the point";
    if (at < end && *at == '.') {
        if (!is_digit(++at, end))
            return NULL;
        at = skip_digits(at, end);
    }
    *why = "a number needs a digit in its exponent";
    if (at < end && (*at == 'e' || *at == 'E')) {
        at++;
        at += at < end && (*at == '+' || *at == '-');
        if (!is_digit(at, end))
            return NULL;
        at = skip_digits(at, end);
    }
    *why = "this is no JSON number";
    return at < end && is_word(*at) ? NULL : at;
}

bool twi_json_nonfinite(tw_str text)
{
    tw_str bare = tw_str_from(text, text.len > 0 && text.at[0] == '-');
    return tw_str_is(bare, "Infinity") || tw_str_is(bare, "Inf") || tw_str_is(text, "NaN");
}

static bool finish_number(scanner *s, tw_str text)
{
    tw_json *node = new_node(s, text.at, TW_JSON_NUMBER);
    if (node == NULL)
        return false;
    node->text = text;
    s->at += text.len;
    return true;
}

static bool scan_nonfinite(scanner *s, tw_str word)
{
    if (!s->job->options->nonfinite) {
        tw_str message = tw_arena_printf(s->job->arena, "%.*s is no number in JSON", TW_ARG(word));
        return fail(s, 1115, s->at, word.len, message.at);
    }
    if (!s->nonfinite_told) {
        tw_place place = place_of(s, s->at, word.len);
        tw_diag_add(s->job->diags, 1116, &place,
                    "%.*s is no number in JSON; it was read and is kept as it stands, like "
                    "any others in this file",
                    TW_ARG(word));
        s->nonfinite_told = true;
    }
    return finish_number(s, word);
}

static bool scan_number(scanner *s)
{
    tw_str word = {s->at, word_length(s, s->at)};
    if (twi_json_nonfinite(word))
        return scan_nonfinite(s, word);
    const char *why, *end = twi_json_number_end(s->at, s->end, &why);
    if (end != NULL)
        return finish_number(s, (tw_str){s->at, (size_t)(end - s->at)});
    tw_str message = tw_arena_printf(s->job->arena, "%s, found '%.*s%s'", why, TW_ARG(tw_str_cut(word, SHOWN_NAME)),
                                     word.len > SHOWN_NAME ? "..." : "");
    return fail(s, 1104, s->at, word.len, message.at);
}

static const char *value_wanted(const scanner *s)
{
    const level *top = s->depth > 0 ? &s->open[s->depth - 1] : NULL;
    if (top == NULL)
        return "a value";
    if (top->object)
        return tw_arena_printf(s->job->arena, "a value for \"%.*s\"", TW_ARG(tw_str_cut(top->name, SHOWN_NAME))).at;
    return s->fresh ? "a value or ']'" : "a value after ','";
}

static bool scan_word(scanner *s)
{
    tw_str word = {s->at, word_length(s, s->at)};
    if (twi_json_nonfinite(word))
        return scan_nonfinite(s, word);
    if (!tw_str_is(word, "true") && !tw_str_is(word, "false") && !tw_str_is(word, "null"))
        return unexpected(s, value_wanted(s));
    if (new_node(s, s->at, *s->at == 't' ? TW_JSON_TRUE : *s->at == 'f' ? TW_JSON_FALSE : TW_JSON_NULL) == NULL)
        return false;
    s->at += word.len;
    return true;
}

/* ---- structure ------------------------------------------------------------------------------------------- */

static void skip_blanks(scanner *s)
{
    s->at = twi_json_blanks(s->at, s->end);
}

static bool open_level(scanner *s, bool object)
{
    if (s->depth == TW_JSON_DEPTH) {
        fail(s, 1117, s->at, 1, "nested deeper than 128 levels: not read");
        s->status = TW_ERR_LIMIT;
        return false;
    }
    tw_json *node = new_node(s, s->at, object ? TW_JSON_OBJECT : TW_JSON_ARRAY);
    if (node == NULL)
        return false;
    s->open[s->depth++] = (level){.node = node, .object = object};
    s->at++;
    s->fresh = true;
    return true;
}

/* The end of a list that is kept as its text. What is wrong with one that cannot be is told by the ordinary way. */
static const char *foldable(const scanner *s, uint32_t *rows)
{
    const level *top = s->depth > 0 ? &s->open[s->depth - 1] : NULL;
    bool meant = top != NULL && top->object && !top->name_escaped && tw_str_is(top->name, s->job->options->fold);
    return meant ? twi_json_fold_end(s->at, s->end, rows) : NULL;
}

static bool add_folded(scanner *s, const char *end, uint32_t rows)
{
    tw_json *node = count_values(s, s->at, rows) ? new_node(s, s->at, TW_JSON_ARRAY) : NULL;
    if (node == NULL)
        return false;
    node->text = (tw_str){s->at, (size_t)(end - s->at)};
    node->folded = 1;
    node->count = rows & (UINT32_MAX >> 5);
    s->at = end;
    s->fresh = false;
    return true;
}

/* A scalar, or the opening bracket of a list or an object. */
static bool scan_value(scanner *s)
{
    skip_blanks(s);
    if (s->at == s->end)
        return unexpected(s, value_wanted(s));
    char c = *s->at;
    uint32_t rows;
    const char *end = c == '[' && s->job->options->fold != NULL ? foldable(s, &rows) : NULL;
    if (end != NULL)
        return add_folded(s, end, rows);
    if (c == '{' || c == '[')
        return open_level(s, c == '{');
    bool fine;
    if (c == '"') {
        tw_json *node = new_node(s, s->at, TW_JSON_STRING);
        fine = node != NULL && scan_text(s, &node->text);
        if (fine && s->text_escaped)
            node->text = twi_json_decode(s->job->arena, node->text);
    } else {
        fine = c == '-' || (c >= '0' && c <= '9') ? scan_number(s) : scan_word(s);
    }
    s->fresh = false;
    return fine;
}

static bool take_close(scanner *s)
{
    skip_blanks(s);
    const level *top = &s->open[s->depth - 1];
    if (s->at == s->end || *s->at != (top->object ? '}' : ']'))
        return false;
    if (top->object && top->node->count > 1)
        twi_json_mark_repeated(s->job, top->node);
    s->at++;
    s->depth--;
    s->fresh = false;
    return true;
}

static bool take_comma(scanner *s)
{
    skip_blanks(s);
    if (s->at < s->end && *s->at == ',') {
        s->at++;
        return true;
    }
    const level *top = &s->open[s->depth - 1];
    tw_arena *arena = s->job->arena;
    tw_str wanted = top->object ? tw_arena_printf(arena, "',' or '}' after the value of \"%.*s\"",
                                                  TW_ARG(tw_str_cut(top->name, SHOWN_NAME)))
                                : tw_arena_printf(arena, "',' or ']' after element %u of the list", top->node->count);
    return unexpected(s, wanted.at);
}

static bool scan_name(scanner *s)
{
    level *top = &s->open[s->depth - 1];
    skip_blanks(s);
    if (s->at == s->end || *s->at != '"')
        return unexpected(s, s->fresh ? "a member name in double quotes or '}'"
                                      : "a member name in double quotes after ','");
    if (!scan_text(s, &top->name))
        return false;
    top->name_escaped = s->text_escaped;
    skip_blanks(s);
    if (s->at < s->end && *s->at == ':') {
        s->at++;
        return true;
    }
    tw_str wanted =
        tw_arena_printf(s->job->arena, "':' after the name \"%.*s\"", TW_ARG(tw_str_cut(top->name, SHOWN_NAME)));
    return unexpected(s, wanted.at);
}

/* One value with all it holds. */
static bool scan_tree(scanner *s)
{
    for (;;) {
        if (!scan_value(s))
            return false;
        while (s->depth > 0 && take_close(s))
            ;
        if (s->depth == 0)
            return true;
        if (!s->fresh && !take_comma(s))
            return false;
        if (s->open[s->depth - 1].object && !scan_name(s))
            return false;
    }
}

tw_status twi_json_scan(twi_json_job *job)
{
    scanner s = {.job = job, .at = job->text.at, .end = job->text.at + job->text.len};
    skip_blanks(&s);
    if (s.at == s.end) {
        fail(&s, 1101, job->text.at, 1, "there is nothing in this file: expected one JSON value");
        return s.status;
    }
    if (!scan_tree(&s))
        return s.status;
    skip_blanks(&s);
    if (s.at < s.end) {
        tw_str message = tw_arena_printf(job->arena, "the JSON value is complete, but more text follows: found %.*s",
                                         TW_ARG(found(&s, s.at)));
        size_t width = word_length(&s, s.at);
        fail(&s, 1110, s.at, width > 0 ? width : 1, message.at);
    }
    return s.status;
}
