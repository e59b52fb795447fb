/* SPDX-License-Identifier: Apache-2.0 */
#include <tallwide/diag.h>

#define SHOWN 96  /* bytes of a line that are shown around the caret */
#define BEFORE 60 /* of these, at most so many before it */

static void write_head(const tw_diag *d, tw_buf *out)
{
    if (d->place.file.len > 0) {
        tw_buf_add_shown(out, d->place.file);
        tw_buf_addc(out, ':');
        if (d->place.line > 0)
            tw_buf_addf(out, "%u:", d->place.line);
        if (d->place.line > 0 && d->place.column > 0)
            tw_buf_addf(out, "%u:", d->place.column);
        tw_buf_addc(out, ' ');
    }
    tw_buf_addf(out, "%s TW%04d: ", tw_severity_word(d->severity), d->code);
    tw_buf_add(out, d->message);
    if (d->place.pointer.len > 0 && d->place.line == 0)
        tw_buf_addf(out, " (at %.*s)", TW_ARG(d->place.pointer));
    tw_buf_addc(out, '\n');
}

/* Control bytes would move the caret or the terminal; what is no UTF-8 would break the page. */
static char shown(char c)
{
    unsigned char u = (unsigned char)c;
    return u < 0x20 && c != '\t' ? '?' : u == 0x7F ? '?' : c;
}

/* A control character of two bytes (U+0080 to U+009F), as terminals take orders from, too. */
static bool is_order(tw_str line, size_t i)
{
    return (unsigned char)line.at[i] == 0xC2 && i + 1 < line.len && (unsigned char)line.at[i + 1] < 0xA0;
}

static void write_caret(const tw_place *place, tw_buf *out)
{
    tw_str line = place->text;
    if (line.len == 0 || place->column == 0 || place->column > line.len + 1)
        return;
    size_t caret = place->column - 1, start = caret > BEFORE ? caret - BEFORE : 0;
    while (start > 0 && start < caret && tw_is_within(line.at[start]))
        start++;
    size_t end = line.len - start > SHOWN ? start + SHOWN : line.len;
    while (end < line.len && tw_is_within(line.at[end]))
        end++;
    bool utf8 = tw_str_utf8(line, NULL);
    tw_buf_addz(out, start > 0 ? "  ..." : "  ");
    for (size_t i = start; i < end; i++) {
        bool order = utf8 && is_order(line, i);
        tw_buf_addc(out, !order && (utf8 || (unsigned char)line.at[i] < 0x80) ? shown(line.at[i]) : '?');
        i += order;
    }
    tw_buf_addz(out, end < line.len ? "...\n" : "\n");
    tw_buf_addz(out, start > 0 ? "     " : "  ");
    for (size_t i = start; i < caret; i++)
        if (!utf8 || !tw_is_within(line.at[i]))
            tw_buf_addc(out, line.at[i] == '\t' ? '\t' : ' ');
    size_t width = place->width > 0 ? place->width : 1;
    size_t most = end > caret ? end - caret : 1;
    for (size_t i = 0; i < width && i < most; i++)
        if (i == 0 || !utf8 || !tw_is_within(line.at[caret + i]))
            tw_buf_addc(out, '^');
    tw_buf_addc(out, '\n');
}

static void write_rest(const tw_diags *diags, tw_severity least, tw_buf *out)
{
    for (int s = TW_ERROR; s >= (int)least; s--) {
        size_t all = tw_diags_count(diags, (tw_severity)s), kept = 0;
        for (size_t i = 0; i < tw_diags_kept(diags); i++)
            kept += (int)tw_diags_get(diags, i)->severity == s;
        if (all > kept)
            tw_buf_addf(out, "... and %zu more %s%s\n", all - kept, tw_severity_word((tw_severity)s),
                        TW_PLURAL(all - kept));
    }
}

/* ---- many of one kind ------------------------------------------------------------------------------------ */

#define MANY 5     /* findings of one code in one file: of more only the first are told, the rest is counted */
#define TOLD 2     /* of these */
#define NUMBERED 6 /* of those that are counted: with their lines */

static bool is_alike(const tw_diag *a, const tw_diag *b)
{
    return a->code == b->code && tw_str_eq(a->place.file, b->place.file);
}

/* A finding among those kept. */
typedef struct kind {
    size_t first;  /* of those like it */
    bool by_line;  /* its line tells which one it is: all of a file may stand in one line */
    size_t before; /* so many like it, told apart by their lines, come before; `all`, of the first: are there */
    size_t all;
} kind;

static kind *kinds_of(const tw_diags *diags, tw_arena *arena)
{
    size_t kept = tw_diags_kept(diags);
    kind *kinds = TW_NEW_N(arena, kind, kept);
    for (size_t i = 0; i < kept; i++) {
        const tw_diag *d = tw_diags_get(diags, i);
        kinds[i] = (kind){.first = i, .by_line = d->place.line > 0};
        for (size_t k = i; k-- > 0;) {
            const tw_diag *other = tw_diags_get(diags, k);
            if (!is_alike(d, other))
                continue;
            kinds[i].first = kinds[k].first;
            if (other->place.line == d->place.line)
                kinds[i].by_line = kinds[k].by_line = false;
        }
    }
    for (size_t i = 0; i < kept; i++)
        kinds[i].before = kinds[i].by_line ? kinds[kinds[i].first].all++ : 0;
    return kinds;
}

/* "... and 29 more of TW1704 in wheel.tall.otio: lines 1311, 1403 ... (-v tells each)", from finding `from` on. */
static void count_more(const tw_diags *diags, const kind *kinds, size_t from, tw_buf *out)
{
    const tw_diag *d = tw_diags_get(diags, from);
    size_t numbered = 0, all = tw_diags_count(diags, d->severity);
    tw_buf_addf(out, "... and %zu more of TW%04d", kinds[kinds[from].first].all - kinds[from].before, d->code);
    tw_buf_addz(out, d->place.file.len > 0 ? " in " : "");
    tw_buf_add_shown(out, d->place.file);
    for (size_t i = from; i < tw_diags_kept(diags) && numbered <= NUMBERED; i++) {
        if (kinds[i].first != kinds[from].first || !kinds[i].by_line)
            continue;
        if (numbered++ < NUMBERED)
            tw_buf_addf(out, "%s%u", numbered == 1 ? ": lines " : ", ", tw_diags_get(diags, i)->place.line);
        else
            tw_buf_addz(out, " ...");
    }
    if (all > TW_DIAGS_KEPT)
        tw_buf_addf(out, " (-v tells the first %d %ss)\n", TW_DIAGS_KEPT, tw_severity_word(d->severity));
    else
        tw_buf_addz(out, " (-v tells each)\n");
}

/* Once for all that are like it. */
static bool is_counted(const tw_diags *diags, const kind *kinds, size_t i, tw_buf *out)
{
    if (!kinds[i].by_line || kinds[i].before < TOLD || kinds[kinds[i].first].all <= MANY)
        return false;
    if (kinds[i].before == TOLD)
        count_more(diags, kinds, i, out);
    return true;
}

void tw_diags_write_text(const tw_diags *diags, tw_severity least, tw_buf *out)
{
    const kind *kinds = kinds_of(diags, out->arena);
    for (size_t i = 0; i < tw_diags_kept(diags); i++) {
        const tw_diag *d = tw_diags_get(diags, i);
        if (d->severity < least || (least > TW_NOTE && is_counted(diags, kinds, i, out)))
            continue;
        write_head(d, out);
        write_caret(&d->place, out);
        if (d->hint.len > 0)
            tw_buf_addf(out, "  -> %.*s\n", TW_ARG(d->hint));
    }
    write_rest(diags, least, out);
}
