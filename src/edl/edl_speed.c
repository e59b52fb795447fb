/* SPDX-License-Identifier: Apache-2.0 */
#include <math.h>

#include "edl_internal.h"

/* The length of an event is its record length; its speed stands in an M2 line; the source out point is written in four
 * habits and only serves as a check. */

#define MOST_SPEED 1e6 /* frames a second: longer numbers are something else, and overflow */

typedef struct m2 {
    const twi_note *note;
    tw_str reel;
    double value; /* source frames a second */
    bool has_value, has_time, variable;
    tw_tc time;
} m2;

static bool is_number(tw_str s, double *value)
{
    for (size_t i = 0; i < s.len; i++)
        if (!tw_is_digit(s.at[i]) && s.at[i] != '.' && s.at[i] != '-' && s.at[i] != '+')
            return false;
    return tw_num_double(s, value) && fabs(*value) <= MOST_SPEED;
}

static bool has_point(tw_str s)
{
    for (size_t i = 0; i < s.len; i++)
        if (s.at[i] == '.')
            return true;
    return false;
}

/* The speed is the last number with a point, else the last number: reels and trigger sources may be numbers too. The
 * first word of several is the reel, unless it has a point. */
static size_t find_speed(const twi_token *t, size_t n, double *value)
{
    size_t found = SIZE_MAX;
    bool point = false;
    double v;
    for (size_t i = n; i-- > 0;) {
        bool reel = i == 0 && n > 1 && !has_point(t[i].text);
        if (reel || !is_number(t[i].text, &v) || (found != SIZE_MAX && (point || !has_point(t[i].text))))
            continue;
        found = i;
        point = has_point(t[i].text);
        *value = v;
    }
    return found;
}

static m2 parse_m2(const twi_note *note)
{
    m2 m = {.note = note};
    twi_token t[TWI_TOKENS + 1];
    size_t n = twi_edl_tokens(twi_edl_value(note), t);
    if (n == 0 || n > TWI_TOKENS)
        return m;
    tw_str last = t[n - 1].text;
    m.has_time = tw_tc_split(last, &m.time, NULL) == TW_TC_FINE;
    bool offset = last.at[0] == '+' || last.at[0] == '-';
    size_t rest = n - (m.has_time || (offset && n > 2) ? 1 : 0);
    size_t speed = find_speed(t, rest, &m.value);
    m.has_value = speed != SIZE_MAX;
    for (size_t i = 0; i < rest; i++) {
        bool named = tw_str_istarts(t[i].text, TW_STR("TRIG")) || tw_str_ieq(t[i].text, TW_STR("VARIABLE"));
        m.variable = m.variable || named;
        if (named && !m.has_value)
            speed = speed == SIZE_MAX ? i : speed;
    }
    m.variable = m.variable || (m.has_value && speed + 1 < rest); /* a trigger other than the source in point */
    if (speed != SIZE_MAX && speed > 0)
        m.reel = tw_str_trim(tw_str_cut(twi_edl_value(note), t[speed].at));
    return m;
}

bool twi_edl_m2_speed(const twi_list *list, const twi_event *event, double *speed)
{
    TWI_EACH_NOTE (note, list, event, TWI_NOTE_M2) {
        m2 m = parse_m2(note);
        *speed = m.value;
        if (m.has_value)
            return true;
    }
    return false;
}

/* ---- whose M2 is it -------------------------------------------------------------------------------------- */

static bool reels_match(tw_str a, tw_str b)
{
    return tw_str_ieq(a, b) || (a.len >= 8 && tw_str_istarts(b, a)) || (b.len >= 8 && tw_str_istarts(a, b));
}

static int64_t frame_of(const m2 *m, const twi_event *e)
{
    return twi_edl_label_frames(m->time, tw_rate_count(e->source_rate), e->source_drop);
}

static bool at_source_in(const m2 *m, const twi_event *e)
{
    return m->has_time && frame_of(m, e) == e->frame[TWI_SRC_IN];
}

/* Below a pair: told apart by reel, then by time, then by order. */
static twi_event *owner(twi_event *e, const m2 *m, bool first_of_two)
{
    if (!e->paired)
        return e;
    twi_event *from = e - 1;
    bool mine = reels_match(m->reel, twi_edl_word(e, TWI_REEL));
    bool theirs = reels_match(m->reel, twi_edl_word(from, TWI_REEL));
    if (mine != theirs)
        return mine ? e : from;
    if (at_source_in(m, e) != at_source_in(m, from))
        return at_source_in(m, e) ? e : from;
    return first_of_two ? from : e;
}

/* ---- what the source out point says ---------------------------------------------------------------------- */

bool twi_edl_whole_span(double frames, double speed, double consumed)
{
    /* frame 0 to the last one shown, or to the one after it; a frame of rounding either way */
    double least = (frames - 1) * speed, most = frames * speed + 1;
    return consumed >= least - 1e-6 && consumed <= most + 1e-6;
}

static bool fits_other_rate(double frames, double speed, double consumed, double count)
{
    for (size_t i = 0; i < TWI_EDL_COUNTS; i++)
        if (twi_edl_whole_span(frames, speed * twi_edl_counts[i] / count, consumed))
            return true;
    return false;
}

/* Record length in source frames at normal speed. */
static double record_in_source(const twi_list *list, const twi_event *e)
{
    double frames = (double)twi_edl_record_frames(e);
    int32_t s = tw_rate_count(e->source_rate), r = tw_rate_count(list->rate);
    return s == r ? frames : frames * s / r;
}

/* Where the consumed span is the M2 speed to its one decimal, the span is the finer number. */
static void refine(const twi_list *list, twi_event *e, double value, double consumed)
{
    double count = tw_rate_count(e->source_rate), frames = record_in_source(list, e);
    if (frames < 1 || !twi_edl_whole_span(frames, fabs(value) / count, consumed))
        return;
    double finer = consumed / frames;
    if (fabs(finer * count - fabs(value)) <= 0.05)
        e->speed = value < 0 ? -finer : finer;
}

static void check_span(twi_list *list, twi_event *e, double value)
{
    double frames = record_in_source(list, e), consumed = fabs((double)twi_edl_source_frames(e));
    double count = tw_rate_count(e->source_rate), speed = fabs(value) / count;
    bool habit = twi_edl_whole_span(frames, speed, consumed) || fabs(consumed - frames) <= 1 ||
                 (value <= 0 && consumed <= 1) || fits_other_rate(frames, speed, consumed, count);
    if (habit || e->video == 0 || e->black || twi_edl_record_frames(e) == 0)
        return;
    tw_place place = twi_edl_stretch(list, e, TWI_SRC_IN, TWI_SRC_OUT);
    tw_buf text = {.arena = list->arena};
    tw_buf_add_fixed(&text, value, 1);
    tw_diag_add(
        list->diags, 1229, &place,
        "the source spans %lld frames, which fits neither the M2 speed %.*s nor the record length %lld: the speed "
        "is used",
        (long long)twi_edl_source_frames(e), (int)text.len, text.at, (long long)twi_edl_record_frames(e));
}

/* ---- one M2 ---------------------------------------------------------------------------------------------- */

static void say_variable(twi_list *list, const m2 *m)
{
    tw_place place = twi_edl_note_place(list, m->note);
    tw_diag_add(
        list->diags, 1240, &place,
        "the speed changes inside this event: that is kept but not evaluated, framing goes by a constant speed");
}

/* The time of an M2 line is where the source is entered: nearly always its in point, of a reverse at times the last
 * frame before its out point. */
static void enter(twi_list *list, twi_event *e, const m2 *m)
{
    if (!m->has_time || m->variable || at_source_in(m, e) || e->video == 0 || e->black)
        return;
    int64_t at = frame_of(m, e), length = twi_edl_source_frames(e);
    if (m->value < 0 && at > e->frame[TWI_SRC_IN] && at <= e->frame[TWI_SRC_OUT]) {
        e->frame[TWI_SRC_IN] = (int32_t)at - (at == e->frame[TWI_SRC_OUT]);
        e->frame[TWI_SRC_OUT] = e->frame[TWI_SRC_IN] + (int32_t)length;
        return;
    }
    tw_place place = twi_edl_note_place(list, m->note);
    tw_diag_add(list->diags, 1229, &place,
                "the time of this M2 line is not the source in of the event: the event is shown from its source in");
}

static void apply(twi_list *list, twi_event *e, const m2 *m)
{
    tw_place place = twi_edl_note_place(list, m->note);
    if (m->variable || e->has_m2) {
        e->variable = true;
        say_variable(list, m);
    }
    if (e->has_m2)
        return;
    tw_str reel = twi_edl_word(e, TWI_REEL);
    if (m->reel.len > 0 && !reels_match(m->reel, reel) && e->video > 0)
        tw_diag_add(list->diags, 1229, &place,
                    "this M2 line names reel %.*s but the event above it %.*s: it is applied there", TW_ARG(m->reel),
                    TW_ARG(reel));
    e->has_m2 = true;
    if (!m->has_value)
        return;
    e->speed = m->value / tw_rate_count(e->source_rate);
    e->freeze = e->speed == 0;
    check_span(list, e, m->value);
    refine(list, e, m->value, fabs((double)twi_edl_source_frames(e)));
    enter(list, e, m);
}

static void take_m2(twi_list *list, twi_event *e, const twi_note *note, bool first_of_two)
{
    m2 m = parse_m2(note);
    if (!m.has_value && !m.variable) {
        tw_place place = twi_edl_note_place(list, note);
        tw_diag_add(list->diags, 1229, &place, "this M2 line holds no speed: it is kept but has no effect");
        return;
    }
    apply(list, owner(e, &m, first_of_two), &m);
}

/* ---- freezes --------------------------------------------------------------------------------------------- */

static bool may_freeze(const twi_event *e)
{
    return !e->has_m2 && twi_edl_source_frames(e) <= 1 && twi_edl_record_frames(e) > 1;
}

static void take_freeze(twi_event *e, bool said)
{
    if (e->paired && !may_freeze(e) && may_freeze(e - 1))
        e--;
    if (!may_freeze(e) && (e->has_m2 || !said))
        return;
    e->freeze = true;
    e->speed = 0;
}

static bool named_freeze(const twi_note *note)
{
    tw_str name = twi_edl_value(note);
    return (note->kind == TWI_NOTE_FROM_NAME || note->kind == TWI_NOTE_TO_NAME) && name.len > 3 &&
           tw_str_is(tw_str_from(name, name.len - 3), " FF");
}

/* What is shown backwards may begin with its last frame in the list. */
static void check_reverse(twi_list *list, const twi_event *e)
{
    double below = -e->speed * (record_in_source(list, e) - 1) - e->frame[TWI_SRC_IN];
    if (e->speed >= 0 || e->video == 0 || e->black || below < 0.5)
        return;
    tw_place place = twi_edl_stretch(list, e, TWI_SRC_IN, TWI_SRC_OUT);
    tw_diag_add(
        list->diags, 1229, &place,
        "%s runs backwards from its source in and would be %lld frames below 00:00:00:00 at its end: is source in "
        "its last frame?",
        twi_edl_called(list, e), (long long)(below + 0.5));
}

/* ---- lengths that do not agree --------------------------------------------------------------------------- */

static void check_lengths(twi_list *list, const twi_event *e)
{
    if (e->has_m2 || e->freeze || e->video == 0 || e->black || twi_edl_record_frames(e) == 0)
        return;
    double frames = record_in_source(list, e), source = (double)twi_edl_source_frames(e);
    bool same_count = tw_rate_count(e->source_rate) == tw_rate_count(list->rate);
    if (fabs(frames - source) <= (same_count ? 0.5 : 1.0))
        return;
    tw_place place = twi_edl_stretch(list, e, TWI_SRC_IN, TWI_SRC_OUT);
    if (source == 0) {
        tw_diag_add(list->diags, 1228, &place,
                    "source in and out are the same, but %s is %lld frames long: shown from source in at normal speed",
                    twi_edl_called(list, e), (long long)twi_edl_record_frames(e));
        return;
    }
    tw_buf factor = {.arena = list->arena};
    tw_buf_add_fixed(&factor, source / frames, 3);
    tw_diag_add(list->diags, 1228, &place,
                "the source is %lld frames long and the record side %lld, with no M2 speed to say why: shown at normal "
                "speed over the record length (the lengths would mean a speed of %.*s)",
                (long long)twi_edl_source_frames(e), (long long)twi_edl_record_frames(e), (int)factor.len, factor.at);
}

static void take_notes(twi_list *list, twi_event *e)
{
    const twi_note *first = twi_edl_next_note(list, e, TWI_NOTE_M2, NULL);
    TWI_EACH_NOTE (note, list, e, TWI_NOTE_M2)
        take_m2(list, e, note, note == first && twi_edl_next_note(list, e, TWI_NOTE_M2, note) != NULL);
    for (size_t i = 0; i < e->notes; i++) {
        const twi_note *note = &list->notes[e->note + i];
        if (note->kind == TWI_NOTE_FREEZE || named_freeze(note))
            take_freeze(e, note->kind == TWI_NOTE_FREEZE);
    }
}

void twi_edl_speeds(twi_list *list)
{
    for (size_t i = 0; i < list->head_notes; i++) {
        if (list->notes[i].kind != TWI_NOTE_M2)
            continue;
        tw_place place = twi_edl_note_place(list, &list->notes[i]);
        tw_diag_add(list->diags, 1229, &place, "this M2 line stands before the first event: it is passed over");
    }
    for (size_t o = 0; o < list->odd_count; o++)
        if (!list->events[list->odd[o]].bad)
            take_notes(list, &list->events[list->odd[o]]);
    for (size_t o = 0; o < list->odd_count; o++) {
        const twi_event *e = &list->events[list->odd[o]];
        if (e->bad)
            continue;
        check_reverse(list, e);
        check_lengths(list, e);
    }
}
