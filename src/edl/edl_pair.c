/* SPDX-License-Identifier: Apache-2.0 */
#include <math.h>

#include "edl_internal.h"

/* A transition is two lines: the first is the outgoing side and ends at the cut, the second comes in over it. */

static bool is_mix(const twi_event *e)
{
    return e->cut == TWI_DISSOLVE || e->cut == TWI_WIPE || e->cut == TWI_KEY || e->cut == TWI_KEY_OUT;
}

static bool same_channels(const twi_event *a, const twi_event *b)
{
    return a->video == b->video && (a->channels & b->channels) != 0;
}

static bool same_number(const twi_event *a, const twi_event *b)
{
    return tw_str_eq(twi_edl_word(a, TWI_NUMBER), twi_edl_word(b, TWI_NUMBER));
}

static bool no_length(const twi_event *e)
{
    return twi_edl_record_frames(e) == 0;
}

/* Can line `a` be the from-line of `b`, which stands right below it? */
static bool is_from(const twi_event *a, const twi_event *b)
{
    if (a->bad || is_mix(a) || !same_channels(a, b))
        return false;
    if (same_number(a, b))
        return true;
    return no_length(a) && a->frame[TWI_REC_IN] == b->frame[TWI_REC_IN];
}

/* ---- lines of other channels in between ------------------------------------------------------------------ */

static bool same_label(twi_label a, twi_label b)
{
    return a.hours == b.hours && a.minutes == b.minutes && a.seconds == b.seconds && a.frames == b.frames;
}

/* As is_from, before times are read, of lines further apart: their record times must meet, too. */
static bool is_from_above(const twi_event *a, const twi_event *b)
{
    bool empty = same_label(a->time[TWI_REC_IN], a->time[TWI_REC_OUT]);
    return !is_mix(a) && a->notes == 0 && (empty || same_number(a, b)) &&
           same_label(a->time[TWI_REC_OUT], b->time[TWI_REC_IN]);
}

/* Picture and sound of a mix may be written as two first lines and two second ones: each first line is put above its
 * second, where all else looks for it. */
static void gather(twi_list *list, size_t i)
{
    twi_event *e = &list->events[i];
    size_t k = i;
    while (k > 0 && i - k < TWI_EDL_NEAR && (k == i || list->events[k].bad || !same_channels(&list->events[k], e)))
        k--;
    const twi_event from = list->events[k];
    if (k + 1 >= i || from.bad || !same_channels(&from, e) || !is_from_above(&from, e))
        return;
    for (; k + 1 < i; k++)
        list->events[k] = list->events[k + 1];
    list->events[k] = from;
    list->events[k].note = e->note;
}

void twi_edl_gather(twi_list *list)
{
    for (size_t i = 2; i < list->event_count; i++)
        if (!list->events[i].bad && is_mix(&list->events[i]))
            gather(list, i);
}

/* ---- pairs ----------------------------------------------------------------------------------------------- */

static void say_pair(twi_list *list, const twi_event *a, const twi_event *b)
{
    if (!same_number(a, b)) {
        tw_place place = twi_edl_place(list, b, TWI_NUMBER);
        tw_diag_add(
            list->diags, 1226, &place,
            "the two lines of this transition are numbered %.*s and %.*s: paired, since the first has no length "
            "and both begin at the same record time",
            TW_ARG(twi_edl_word(a, TWI_NUMBER)), TW_ARG(twi_edl_word(b, TWI_NUMBER)));
    }
    bool key = b->cut == TWI_KEY || b->cut == TWI_KEY_OUT;
    int32_t late = a->frame[TWI_REC_OUT] - b->frame[TWI_REC_IN];
    if (!key && late != 0) {
        tw_place place = twi_edl_place(list, b, TWI_REC_IN);
        tw_diag_add(list->diags, 1226, &place,
                    "the first line of this transition ends %d frames %s its second begins: both are kept where they "
                    "are written",
                    late > 0 ? late : -late, late > 0 ? "after" : "before");
    }
}

static void say_alone(twi_list *list, const twi_event *e)
{
    tw_place place = twi_edl_place(list, e, TWI_CUT_WORDS);
    if (e->video > 0)
        tw_diag_add(
            list->diags, 1227, &place,
            "this transition has no line for its outgoing side: it comes from whatever ends at its cut, or from "
            "black");
}

/* The least count of frames at which the transition fits into its event; 0: none. */
static int32_t long_enough(const twi_event *e)
{
    for (size_t i = 0; i < TWI_EDL_COUNTS; i++) {
        int64_t count = twi_edl_counts[i];
        int64_t length = twi_edl_label_frames(twi_edl_time(e, TWI_REC_OUT), count, false) -
                         twi_edl_label_frames(twi_edl_time(e, TWI_REC_IN), count, false);
        if (e->mix <= length)
            return (int32_t)count;
    }
    return 0;
}

static void check_length(twi_list *list, twi_event *e)
{
    int64_t length = twi_edl_record_frames(e);
    if (!is_mix(e) || e->mix <= length)
        return;
    if (e->video == 0) { /* a fade of sound: nothing here depends on it */
        e->mix = (uint16_t)length;
        return;
    }
    tw_place place = twi_edl_place(list, e, TWI_CUT_WORDS);
    tw_diag_add(list->diags, 1207, &place,
                "the transition takes %d frames but %s is only %lld long; the event is left out", e->mix,
                twi_edl_called(list, e), (long long)length);
    int32_t count = long_enough(e);
    if (count > tw_rate_count(list->rate))
        tw_diag_hint(list->diags,
                     "lengthen the event or shorten the transition; %d frames a second would do: check "
                     "--rate",
                     count);
    else
        tw_diag_hint(list->diags, "lengthen the event or shorten the transition");
    e->bad = true;
}

static void say_letter(twi_list *list, const twi_event *e)
{
    if (!e->no_letter || e->video == 0)
        return;
    tw_place place = twi_edl_place(list, e, TWI_CUT_WORDS);
    tw_diag_add(list->diags, 1227, &place, "the transition letter is missing: read as %s",
                e->cut == TWI_CUT ? "a cut" : "a dissolve");
}

bool twi_edl_next_is_pair(const twi_list *list, size_t i)
{
    return i + 1 < list->event_count && list->events[i + 1].paired;
}

static void find_from(twi_list *list, size_t i)
{
    twi_event *e = &list->events[i];
    e->paired = i > 0 && is_from(&list->events[i - 1], e);
    if (e->paired)
        say_pair(list, &list->events[i - 1], e);
    else if (e->cut != TWI_KEY_OUT)
        say_alone(list, e);
}

void twi_edl_pairs(twi_list *list)
{
    for (size_t o = 0; o < list->odd_count; o++) {
        twi_event *e = &list->events[list->odd[o]];
        say_letter(list, e);
        check_length(list, e);
        if (!e->bad && is_mix(e))
            find_from(list, list->odd[o]);
    }
}

/* ---- from-lines without a length ------------------------------------------------------------------------- */

/* How far the from-line's first frame may lie from where the clip before ended: inclusive outs, rounded speeds. */
#define JOIN_SLACK 2
#define SAME_SPEED 0.01 /* M2 lines have one decimal of a frame a second */

/* The last event before `i` of the same picture track or sound channels that ends where it begins. Looks back a few
 * events only: other tracks' lines may stand between. */
static const twi_event *event_before(const twi_list *list, size_t i)
{
    const twi_event *e = &list->events[i];
    for (size_t back = 1; back <= TWI_EDL_NEAR && back <= i; back++) {
        const twi_event *p = &list->events[i - back];
        if (!p->bad && !p->absorbed && same_channels(p, e) && p->frame[TWI_REC_OUT] == e->frame[TWI_REC_IN] &&
            !no_length(p))
            return p;
    }
    return NULL;
}

bool twi_edl_goes_on(const twi_list *list, size_t i)
{
    return twi_edl_next_is_pair(list, i + 1) && list->events[i + 1].absorbed &&
           event_before(list, i + 1) == &list->events[i];
}

/* The clip before may have passed midnight. */
static bool joins(double frames, double day)
{
    return fabs(frames) <= JOIN_SLACK || fabs(frames - day) <= JOIN_SLACK;
}

static bool continues(const twi_list *list, const twi_event *p, const twi_event *from)
{
    if (!tw_str_ieq(twi_edl_word(p, TWI_REEL), twi_edl_word(from, TWI_REEL)))
        return false;
    if (p->black)
        return true;
    if (from->has_m2 && p->video > 0 && fabs(p->speed - from->speed) > SAME_SPEED)
        return false;
    double shown = (double)twi_edl_record_frames(p) * tw_rate_fps(p->source_rate) / tw_rate_fps(list->rate);
    double expected = (double)p->frame[TWI_SRC_IN] + p->speed * shown;
    double day = (double)tw_tc_day(p->source_rate, p->source_drop);
    double off = expected - (double)from->frame[TWI_SRC_IN];
    double as_written = (double)(p->frame[TWI_SRC_OUT] - from->frame[TWI_SRC_IN]);
    return joins(off, day) || joins(as_written, day);
}

static void say_wrong_reel(twi_list *list, const twi_event *from, const twi_event *before, const twi_event *e)
{
    tw_place place = twi_edl_place(list, from, TWI_REEL);
    tw_diag_add(
        list->diags, 1226, &place,
        "the outgoing line of %s names %.*s, the incoming reel, but %.*s ends at this cut: it goes out from there",
        twi_edl_called(list, e), TW_ARG(twi_edl_word(from, TWI_REEL)), TW_ARG(twi_edl_word(before, TWI_REEL)));
}

static bool names_incoming(const twi_event *from, const twi_event *before, const twi_event *e)
{
    tw_str reel = twi_edl_word(from, TWI_REEL);
    return tw_str_ieq(reel, twi_edl_word(e, TWI_REEL)) && !tw_str_ieq(reel, twi_edl_word(before, TWI_REEL)) &&
           !tw_str_ieq(reel, TW_STR("AX"));
}

/* A from-line without length is no clip of its own when the clip before it simply runs on. It is one (of no length)
 * when it shows something else: black, or another clip. */
void twi_edl_absorb(twi_list *list)
{
    for (size_t o = 0; o < list->odd_count; o++) {
        size_t i = list->odd[o];
        const twi_event *e = &list->events[i];
        if (e->bad || !e->paired || !no_length(e - 1))
            continue;
        twi_event *from = &list->events[i - 1];
        const twi_event *before = event_before(list, i - 1);
        if (before == NULL)
            continue;
        from->absorbed = continues(list, before, from);
        if (!from->absorbed && e->video > 0 && names_incoming(from, before, e)) {
            from->absorbed = true;
            say_wrong_reel(list, from, before, e);
        }
    }
}
