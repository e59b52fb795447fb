/* SPDX-License-Identifier: Apache-2.0
 *
 * Reads a notes track back (WebVTT, W3C), and holds it against framings.
 */
#include "report_internal.h"
#include "base/ext.h"

#include <string.h>

typedef struct reading {
    tw_arena *arena;
    tw_str text, file;
    tw_diags *diags;
    size_t at;
    uint32_t line; /* number of the line read last */
} reading;

/* The next line without its end (CR, LF or both); false at the end of the text. */
static bool next_line(reading *r, tw_str *out)
{
    if (r->at >= r->text.len)
        return false;
    size_t start = r->at;
    while (r->at < r->text.len && r->text.at[r->at] != '\n' && r->text.at[r->at] != '\r')
        r->at++;
    *out = (tw_str){r->text.at + start, r->at - start};
    bool cr = r->at < r->text.len && r->text.at[r->at] == '\r';
    r->at += cr;
    r->at += r->at < r->text.len && r->text.at[r->at] == '\n';
    r->line++;
    return true;
}

static void say(const reading *r, const char *what, tw_str line)
{
    const tw_place place = {.file = r->file, .line = r->line, .column = 1, .width = (uint32_t)line.len, .text = line};
    tw_diag_add(r->diags, 2204, &place, "%s", what);
}

/* ---- times ----------------------------------------------------------------------------------------------- */

/* Digits from *at on, `least` of them at least; -1 when there are not so many. */
static int64_t digits(tw_str s, size_t *at, size_t least, size_t most)
{
    int64_t value = 0;
    size_t start = *at;
    for (; *at < s.len && *at - start < most && s.at[*at] >= '0' && s.at[*at] <= '9'; ++*at)
        value = value * 10 + (s.at[*at] - '0');
    return *at - start >= least ? value : -1;
}

static bool passes(tw_str s, size_t *at, char c)
{
    bool there = *at < s.len && s.at[*at] == c;
    *at += there;
    return there;
}

/* [HH:]MM:SS.mmm */
static bool read_time(tw_str s, size_t *at, int64_t *ms)
{
    int64_t hours = 0, minutes = digits(s, at, 2, 9), seconds;
    if (minutes < 0 || !passes(s, at, ':'))
        return false;
    seconds = digits(s, at, 2, 2);
    if (passes(s, at, ':')) {
        hours = minutes;
        minutes = seconds;
        seconds = digits(s, at, 2, 2);
    }
    if (minutes < 0 || minutes > 59 || seconds < 0 || seconds > 59 || !passes(s, at, '.'))
        return false;
    int64_t parts = digits(s, at, 3, 3);
    *ms = ((hours * 60 + minutes) * 60 + seconds) * 1000 + parts;
    return parts >= 0;
}

static void skip_blanks(tw_str s, size_t *at)
{
    while (*at < s.len && (s.at[*at] == ' ' || s.at[*at] == '\t'))
        ++*at;
}

static bool read_times(tw_str line, twi_cue *cue)
{
    size_t at = 0;
    if (!read_time(line, &at, &cue->from))
        return false;
    skip_blanks(line, &at);
    if (!tw_str_starts(tw_str_from(line, at), TW_STR("-->")))
        return false;
    at += 3;
    skip_blanks(line, &at);
    return read_time(line, &at, &cue->to) && (at == line.len || line.at[at] == ' ' || line.at[at] == '\t');
}

/* ---- cues ------------------------------------------------------------------------------------------------ */

static void add_unescaped(tw_str line, tw_buf *out)
{
    static const struct {
        const char *name;
        char c;
    } entities[] = {{"&amp;", '&'}, {"&lt;", '<'}, {"&gt;", '>'}};
    for (size_t i = 0, plain = 0; i < line.len; plain = i) {
        while (i < line.len && line.at[i] != '&')
            i++;
        tw_buf_add(out, (tw_str){line.at + plain, i - plain});
        if (i == line.len)
            break;
        size_t e = 0;
        while (e < 3 && !tw_str_starts(tw_str_from(line, i), tw_str_z(entities[e].name)))
            e++;
        tw_buf_addc(out, e < 3 ? entities[e].c : line.at[i]);
        i += e < 3 ? strlen(entities[e].name) : 1;
    }
}

/* The cue whose first line has been read: its id and times, or its times. */
static bool read_cue(reading *r, tw_str first, twi_cue *out)
{
    tw_str line = first;
    tw_buf text = {.arena = r->arena};
    *out = (twi_cue){.line = r->line};
    if (!tw_str_holds(first, TW_STR("-->"))) {
        out->id = first;
        if (!next_line(r, &line))
            line = (tw_str){NULL, 0};
    }
    if (!read_times(line, out)) {
        say(r, "a cue's times were expected here, as 00:00:01.000 --> 00:00:02.000", line);
        return false;
    }
    bool fine = out->to > out->from;
    if (!fine)
        say(r, "the cue ends before it begins", line);
    while (next_line(r, &line) && line.len > 0) {
        if (text.len > 0)
            tw_buf_addc(&text, '\n');
        add_unescaped(line, &text);
    }
    out->text = tw_buf_str(&text);
    return fine;
}

/* A block of a comment, a style or a region, or the rest of the head. */
static void skip_block(reading *r)
{
    tw_str line;
    while (next_line(r, &line) && line.len > 0)
        continue;
}

static bool is_no_cue(tw_str line)
{
    static const char *const words[] = {"NOTE", "STYLE", "REGION"};
    for (size_t i = 0; i < 3; i++) {
        size_t len = strlen(words[i]);
        if (tw_str_starts(line, tw_str_z(words[i])) &&
            (line.len == len || line.at[len] == ' ' || line.at[len] == '\t') && !tw_str_holds(line, TW_STR("-->")))
            return true;
    }
    return false;
}

tw_status twi_report_vtt_read(tw_arena *arena, tw_str text, tw_str file, tw_diags *diags, twi_cues *out)
{
    reading r = {.arena = arena, .text = text, .file = file, .diags = diags};
    size_t cap = 0;
    bool fine = true;
    tw_str line = {NULL, 0};
    *out = (twi_cues){.at = NULL};
    if (tw_str_starts(text, TW_STR("\xEF\xBB\xBF")))
        r.at = 3;
    if (!next_line(&r, &line) || !tw_str_starts(line, TW_STR("WEBVTT")) ||
        (line.len > 6 && line.at[6] != ' ' && line.at[6] != '\t')) {
        say(&r, "the first line of a notes track begins with WEBVTT", line);
        return TW_ERR_SYNTAX;
    }
    skip_block(&r);
    while (next_line(&r, &line)) {
        if (line.len == 0)
            continue;
        if (is_no_cue(line)) {
            skip_block(&r);
            continue;
        }
        out->at = tw_arena_grow(arena, out->at, out->len, &cap, sizeof *out->at);
        bool good = read_cue(&r, line, &out->at[out->len]);
        out->len += good;
        fine = fine && good;
    }
    return fine ? TW_OK : TW_ERR_SYNTAX;
}

/* ---- against framings ------------------------------------------------------------------------------------ */

typedef struct comparing {
    tw_str file;
    tw_diags *diags;
} comparing;

static tw_str first_line(tw_str text)
{
    size_t len = 0;
    while (len < text.len && text.at[len] != '\n')
        len++;
    return tw_str_cut(text, len);
}

/* The window a cue names at the end of its first line: the last "window " and what follows. */
static tw_str window_in(tw_str text)
{
    static const char word[] = "window ";
    tw_str line = first_line(text);
    for (size_t i = line.len; i-- > 0;)
        if (tw_str_starts(tw_str_from(line, i), TW_STR(word)))
            return tw_str_from(line, i);
    return (tw_str){NULL, 0};
}

static int64_t number_at(tw_str s, size_t *at)
{
    return digits(s, at, 1, 9);
}

/* The same words with numbers that differ by one at most: they are rounded, and a list rounds them before. */
static bool near(tw_str a, tw_str b)
{
    size_t i = 0, k = 0;
    while (i < a.len && k < b.len) {
        int64_t x = number_at(a, &i), y = number_at(b, &k);
        if ((x < 0) != (y < 0) || x - y > 1 || y - x > 1)
            return false;
        if (x < 0 && a.at[i++] != b.at[k++])
            return false;
    }
    return i == a.len && k == b.len;
}

static void compare_cues(const comparing *c, const twi_cue *expected, const twi_cue *cue)
{
    const tw_place place = {.file = c->file, .line = cue->line};
    const struct {
        const char *what;
        int64_t is, be;
    } times[] = {{"begins", cue->from, expected->from}, {"ends", cue->to, expected->to}};
    for (size_t i = 0; i < 2; i++)
        if (times[i].is != times[i].be)
            tw_diag_add(c->diags, 2205, &place, "cue %.*s %s at %lld ms, but at %lld ms by the timeline",
                        TW_ARG(cue->id), times[i].what, (long long)times[i].is, (long long)times[i].be);
    tw_str is = window_in(cue->text), be = window_in(expected->text);
    if (!near(is, be))
        tw_diag_add(c->diags, 2205, &place, "cue %.*s says \"%.*s\", the timeline \"%.*s\"", TW_ARG(cue->id),
                    TW_ARG(is), TW_ARG(be));
}

/* Without the cues of shots whose framing is not known: sSHOT-PART. */
static void leave_out_silent(const tw_derived_delivery *d, twi_cues *cues)
{
    size_t kept = 0;
    for (size_t i = 0; i < cues->len; i++) {
        size_t at = 1;
        int64_t shot = tw_str_starts(cues->at[i].id, TW_STR("s")) ? number_at(cues->at[i].id, &at) : -1;
        bool silent = shot >= 1 && (size_t)shot <= d->shot_count && d->shots[shot - 1].verdict == TW_VERDICT_UNKNOWN;
        if (!silent)
            cues->at[kept++] = cues->at[i];
    }
    cues->len = kept;
}

static bool comes_later(const twi_cues *expected, size_t from, const twi_cue *cue)
{
    for (size_t i = from; i < expected->len && i - from < 1000; i++)
        if (tw_str_eq(expected->at[i].id, cue->id))
            return true;
    return false;
}

static void compare(const comparing *c, const twi_cues *expected, const twi_cues *got)
{
    size_t e = 0, g = 0;
    while (e < expected->len || g < got->len) {
        const twi_cue *be = e < expected->len ? &expected->at[e] : NULL, *is = g < got->len ? &got->at[g] : NULL;
        const tw_place place = {.file = c->file, .line = is != NULL ? is->line : 0};
        if (be != NULL && is != NULL && tw_str_eq(be->id, is->id)) {
            compare_cues(c, be, is);
            e++;
            g++;
        } else if (be != NULL && (is == NULL || comes_later(expected, e, is))) {
            tw_diag_add(c->diags, 2205, &place, "cue %.*s is missing here", TW_ARG(be->id));
            e++;
        } else if (is != NULL) {
            tw_diag_add(c->diags, 2205, &place, "the timeline has nothing for cue %.*s", TW_ARG(is->id));
            g++;
        }
    }
}

tw_status tw_report_vtt_check(tw_arena *arena, const tw_derived *derived, size_t delivery, tw_str text, tw_str file,
                              tw_diags *diags)
{
    twi_cues got, expected;
    tw_status status = twi_report_vtt_read(arena, text, file, diags, &got);
    if (status != TW_OK)
        return status;
    tw_buf track = {.arena = arena};
    tw_report_vtt(derived, delivery, &track);
    status = twi_report_vtt_read(arena, tw_buf_str(&track), file, diags, &expected);
    TW_ASSERT(status == TW_OK);
    leave_out_silent(&derived->deliveries[delivery], &expected);
    leave_out_silent(&derived->deliveries[delivery], &got);
    const comparing c = {file, diags};
    compare(&c, &expected, &got);
    return TW_OK;
}
