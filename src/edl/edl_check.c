/* SPDX-License-Identifier: Apache-2.0 */
#include "edl_internal.h"

/* What a careful person would notice in the list as a whole. A condition that repeats is said once with a count where
 * the single places are of no use. */

#define GAPS_EACH 3u /* more gaps than these are said in one sentence */

static const char *track_name(const twi_list *list, const twi_row *row)
{
    return row->number > 1 ? tw_arena_printf(list->arena, " on V%u", row->number).at : "";
}

/* ---- gaps and overlaps ----------------------------------------------------------------------------------- */

typedef struct joins {
    size_t count, gaps, single; /* single: gaps of exactly one frame */
    int64_t frames;
    const twi_event *before, *after; /* of the first gap */
    int64_t first;
} joins;

static tw_place record_place(const twi_list *list, const twi_event *e)
{
    return twi_edl_place(list, e, TWI_REC_IN);
}

static const char *frames_word(const twi_list *list, int64_t frames)
{
    return tw_arena_printf(list->arena, "%lld frame%s", (long long)frames, TW_PLURAL(frames)).at;
}

static void say_gap(const twi_list *list, const twi_event *before, const twi_event *after, int64_t frames)
{
    tw_place place = record_place(list, after);
    tw_diag_add(list->diags, 1224, &place, "record time is empty for %s between %s and %s: kept as a gap",
                frames_word(list, frames), twi_edl_called(list, before), twi_edl_called(list, after));
}

static void say_overlap(const twi_list *list, const twi_event *before, const twi_event *after, int64_t frames)
{
    tw_place place = record_place(list, after);
    tw_diag_add(list->diags, 1223, &place, "%s (line %u) begins %s before %s (line %u) ends: both are kept as written",
                twi_edl_called(list, after), after->line, frames_word(list, frames), twi_edl_called(list, before),
                before->line);
}

/* Counts the joins of the row and, where asked to, tells of overlaps and of each gap. `reach` is the event that reaches
 * furthest so far. */
static void walk_joins(const twi_list *list, const twi_row *row, joins *j, bool say_overlaps, bool say_gaps)
{
    const twi_event *reach = NULL;
    for (size_t i = 0; i < row->count; i++) {
        const twi_event *e = &list->events[row->at[i]];
        int32_t gap = reach != NULL ? e->frame[TWI_REC_IN] - reach->frame[TWI_REC_OUT] : 0;
        j->count += reach != NULL;
        if (gap > 0 && say_gaps)
            say_gap(list, reach, e, gap);
        if (gap > 0 && j->gaps == 0) {
            j->before = reach;
            j->after = e;
            j->first = gap;
        }
        j->gaps += gap > 0;
        j->single += gap == 1;
        j->frames += gap > 0 ? gap : 0;
        if (gap < 0 && say_overlaps && twi_edl_record_frames(e) > 0)
            say_overlap(list, reach, e, -gap);
        if (reach == NULL || e->frame[TWI_REC_OUT] >= reach->frame[TWI_REC_OUT])
            reach = e;
    }
}

/* One empty frame at one join may be meant; at all of several it is a habit. */
static bool ends_inclusive(const joins *j)
{
    return j->count > 1 && j->single == j->gaps && j->gaps == j->count;
}

static void check_joins(const twi_list *list, const twi_row *row)
{
    joins j = {.count = 0}, again = j;
    walk_joins(list, row, &j, false, false);
    bool inclusive = ends_inclusive(&j);
    walk_joins(list, row, &again, true, j.gaps <= GAPS_EACH && !inclusive);
    if (j.gaps <= GAPS_EACH && !inclusive)
        return;
    tw_place place = record_place(list, j.after);
    if (inclusive) {
        tw_diag_add(
            list->diags, 1224, &place,
            "every join%s leaves exactly one frame empty: the writer seems to have written inclusive out points; "
            "the times are read as written",
            track_name(list, row));
        tw_diag_hint(list->diags, "have the list written again with exclusive out points");
        return;
    }
    tw_diag_add(list->diags, 1224, &place,
                "record time%s is empty in %zu places, %lld frames in all: kept as gaps; the first is %s between "
                "%s and %s",
                track_name(list, row), j.gaps, (long long)j.frames, frames_word(list, j.first),
                twi_edl_called(list, j.before), twi_edl_called(list, j.after));
}

/* ---- numbers --------------------------------------------------------------------------------------------- */

typedef struct odd_numbers {
    size_t count;
    const twi_event *first;
} odd_numbers;

static void count_odd(odd_numbers *odd, const twi_event *e)
{
    if (odd->count++ == 0)
        odd->first = e;
}

static const char *places_word(const twi_list *list, size_t count)
{
    return count == 1 ? "here" : tw_arena_printf(list->arena, "in %zu places, here first", count).at;
}

static void check_numbers(const twi_list *list)
{
    unsigned char *seen = TW_NEW_N(list->scratch, unsigned char, TWI_EDL_NUMBER_MOST / 8 + 1);
    odd_numbers lower = {.count = 0}, again = {.count = 0};
    int64_t last = -1;
    for (size_t i = 0; i < list->event_count; i++) {
        const twi_event *e = &list->events[i];
        int64_t n = e->value;
        if (e->bad)
            continue;
        if (n != last) { /* equal numbers on consecutive lines are one event */
            if (seen[n / 8] >> (n % 8) & 1)
                count_odd(&again, e);
            else if (n < last)
                count_odd(&lower, e);
        }
        seen[n / 8] = (unsigned char)(seen[n / 8] | 1u << (n % 8));
        last = n;
    }
    if (lower.count > 0) {
        tw_place place = twi_edl_place(list, lower.first, TWI_NUMBER);
        tw_diag_add(list->diags, 1225, &place, "event numbers go down %s: the order of record times is used",
                    places_word(list, lower.count));
    }
    if (again.count > 0) {
        tw_place place = twi_edl_place(list, again.first, TWI_NUMBER);
        tw_diag_add(list->diags, 1225, &place, "event numbers are used again %s: lines are told apart by their place",
                    places_word(list, again.count));
    }
}

/* ---- reels that stand for several files ------------------------------------------------------------------ */

typedef struct reel_use {
    tw_str reel, file;
    uint32_t event;
} reel_use;

static int by_reel(const void *a, const void *b)
{
    const reel_use *x = a, *y = b;
    return tw_then(tw_str_cmp(x->reel, y->reel), tw_then(tw_str_cmp(x->file, y->file), TW_CMP(x->event, y->event)));
}

static bool says_nothing(tw_str reel)
{
    static const tw_str general[] = {{"AX", 2}, {"BL", 2}, {"BLACK", 5}, {"GEN", 3}, {"BARS", 4}};
    for (size_t i = 0; i < TW_COUNT(general); i++)
        if (reel.len == general[i].len && tw_str_ieq(reel, general[i]))
            return true;
    return reel.len == 0;
}

#define SEEN 1024u
#define TRIES 4u /* entries looked at, from the one its name leads to */

/* Else `use` takes the place of one in the table. */
static bool was_seen(const reel_use **seen, tw_str reel, tw_str file, const reel_use *use)
{
    size_t first = tw_str_hash(file) % SEEN, tries = 0;
    for (; tries < TRIES && seen[(first + tries) % SEEN] != NULL; tries++) {
        const reel_use *other = seen[(first + tries) % SEEN];
        if (tw_str_eq(other->file, file) && tw_str_eq(other->reel, reel))
            return true;
    }
    seen[(first + tries % TRIES) % SEEN] = use;
    return false;
}

/* Reels with their files, most of the repeated ones left out: an edit cuts to the same source again and again, so a
 * small table of those seen last spares most of the sorting. */
static size_t collect_uses(const twi_list *list, reel_use *uses)
{
    const reel_use **seen = TW_NEW_N(list->scratch, const reel_use *, SEEN);
    size_t count = 0;
    for (size_t i = 0; i < list->event_count; i++) {
        const twi_event *e = &list->events[i];
        if (e->bad || e->video == 0 || !(e->kinds & TWI_KIND(TWI_NOTE_SOURCE_FILE)))
            continue;
        tw_str reel = twi_edl_word(e, TWI_REEL);
        if (says_nothing(reel))
            continue;
        tw_str file = twi_edl_source_file(list, e);
        if (file.len == 0 || was_seen(seen, reel, file, &uses[count]))
            continue;
        uses[count++] = (reel_use){reel, file, (uint32_t)i};
    }
    return count;
}

static void check_reels(const twi_list *list)
{
    reel_use *uses = TW_NEW_N(list->scratch, reel_use, list->event_count);
    size_t count = collect_uses(list, uses), reels = 0;
    TW_SORT(uses, count, by_reel);
    const reel_use *first = NULL;
    for (size_t i = 1, files = 1; i < count; i++) {
        bool same_reel = tw_str_eq(uses[i].reel, uses[i - 1].reel);
        files = !same_reel ? 1 : files + !tw_str_eq(uses[i].file, uses[i - 1].file);
        if (!same_reel || files != 2 || tw_str_eq(uses[i].file, uses[i - 1].file))
            continue;
        reels++;
        first = first == NULL || uses[i].event < first->event ? &uses[i] : first;
    }
    if (first == NULL)
        return;
    const twi_event *e = &list->events[first->event];
    tw_place place = twi_edl_place(list, e, TWI_REEL);
    tw_diag_add(list->diags, 1234, &place,
                "%zu reel name%s stand%s for several source files, as %.*s here: sources are told apart by SOURCE FILE",
                reels, TW_PLURAL(reels), reels == 1 ? "s" : "", TW_ARG(first->reel));
}

/* ---- single events and totals ---------------------------------------------------------------------------- */

static void say_no_length(const twi_list *list, const twi_event *e)
{
    tw_place place = record_place(list, e);
    tw_diag_add(list->diags, 1239, &place, "%s has no record length: it shows nothing", twi_edl_called(list, e));
}

static void say_no_reel(const twi_list *list, const twi_event *e)
{
    tw_place place = twi_edl_place(list, e, TWI_NUMBER);
    tw_diag_add(list->diags, 1234, &place, "%s has no reel name", twi_edl_called(list, e));
}

static void check_reel_remark(const twi_list *list, const twi_event *e)
{
    tw_str said;
    if (!twi_edl_other_reel(list, e, &said))
        return;
    tw_place place = twi_edl_place(list, e, TWI_REEL);
    tw_diag_add(list->diags, 1234, &place,
                "the REEL remark of %s names %.*s, another reel: the one in the column counts", twi_edl_called(list, e),
                TW_ARG(said));
}

static void check_events(const twi_list *list)
{
    for (size_t i = 0; i < list->event_count; i++) {
        const twi_event *e = &list->events[i];
        if (e->bad)
            continue;
        bool next_is_mix = twi_edl_next_is_pair(list, i) || (i + 1 < list->event_count && list->events[i + 1].bad);
        if (e->video > 0 && twi_edl_record_frames(e) == 0 && !next_is_mix)
            say_no_length(list, e);
        if (e->word[TWI_REEL].len == 0)
            say_no_reel(list, e);
        else if (e->kinds & TWI_KIND(TWI_NOTE_REEL))
            check_reel_remark(list, e);
    }
}

static void check_asc(const twi_list *list)
{
    for (size_t i = 0; i < list->note_count; i++) {
        const twi_note *note = &list->notes[i];
        const char *why = note->kind == TWI_NOTE_SOP   ? twi_edl_bad_sop(twi_edl_value(note))
                          : note->kind == TWI_NOTE_SAT ? twi_edl_bad_sat(twi_edl_value(note))
                                                       : NULL;
        if (why == NULL)
            continue;
        tw_place place = twi_edl_note_place(list, note);
        tw_diag_add(list->diags, 1233, &place, "the ASC colour values are not sound (%s): kept as written", why);
    }
}

static void check_totals(const twi_list *list)
{
    const twi_sums *sum = &list->sums;
    tw_place place = {.file = list->file};
    if (sum->sounds > 0)
        tw_diag_add(list->diags, 1231, &place, "%zu audio-only line%s: kept, nothing in %s is framed", sum->sounds,
                    TW_PLURAL(sum->sounds), sum->sounds == 1 ? "it" : "them");
    if (sum->silent > 0)
        tw_diag_add(list->diags, 1231, &place,
                    "%zu line%s with channel NONE and no AUD line below: nothing is cut there", sum->silent,
                    TW_PLURAL(sum->silent));
    if (sum->pictures == 0 && sum->refused == 0)
        tw_diag_add(list->diags, 1210, &place, "the list holds 0 video events");
    if (list->unknown_lines == 1)
        tw_diag_add(list->diags, 1232, &list->unknown_first, "this statement is not known: it is kept as it is");
    if (list->unknown_lines > 1)
        tw_diag_add(list->diags, 1232, &list->unknown_first,
                    "this statement and %u more are not known: they are kept as they are", list->unknown_lines - 1);
}

void twi_edl_checks(twi_list *list)
{
    if (list->sums.no_length || list->sums.no_reel || list->kinds & TWI_KIND(TWI_NOTE_REEL))
        check_events(list);
    for (size_t i = 0; i < list->row_count && list->sums.refused == 0; i++) /* it would leave false gaps */
        if (list->rows[i].kind == TW_TRACK_VIDEO && !list->rows[i].key && list->rows[i].ragged)
            check_joins(list, &list->rows[i]);
    if (list->sums.falling)
        check_numbers(list);
    if (list->kinds & TWI_KIND(TWI_NOTE_SOURCE_FILE))
        check_reels(list);
    if (list->kinds & (TWI_KIND(TWI_NOTE_SOP) | TWI_KIND(TWI_NOTE_SAT)))
        check_asc(list);
    check_totals(list);
}
