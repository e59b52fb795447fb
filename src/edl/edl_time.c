/* SPDX-License-Identifier: Apache-2.0 */
#include <math.h>

#include "edl_internal.h"

static void say_counts_that_fit(const twi_list *list, int32_t frames)
{
    tw_buf which = {.arena = list->arena};
    for (size_t i = 0; i < TWI_EDL_COUNTS; i++)
        if (frames < twi_edl_counts[i])
            tw_buf_addf(&which, "%s%d", which.len > 0 ? ", " : "", twi_edl_counts[i]);
    if (which.len > 0)
        tw_diag_hint(list->diags, "frame number %02d fits %.*s frames a second: check --rate", frames, (int)which.len,
                     which.at);
    else
        tw_diag_hint(list->diags, "no rate reaches frame number %d", frames);
}

static void refuse(twi_list *list, twi_event *e, twi_part t, tw_tc_fault fault)
{
    const tw_rate rate = t < TWI_REC_IN ? e->source_rate : list->rate;
    tw_str label = twi_edl_word(e, t);
    tw_place place = twi_edl_place(list, e, t);
    e->bad = true;
    if (fault == TW_TC_DROPPED) {
        tw_diag_add(
            list->diags, 1204, &place,
            "%s %.*s does not exist in drop frame: that label is skipped at the start of the minute; the event is "
            "left out",
            twi_edl_side[t], TW_ARG(label));
        tw_diag_hint(list->diags, "if the times are non-drop frame, mend the FCM line");
        return;
    }
    place.column += place.width - 2; /* a label ends in two digits */
    place.width = 2;
    tw_diag_add(list->diags, 1203, &place,
                "%s %.*s has frame number %02d, but %d frames make a second; the event is left out", twi_edl_side[t],
                TW_ARG(label), e->time[t].frames, tw_rate_count(rate));
    say_counts_that_fit(list, e->time[t].frames);
}

/* ---- a source that counts otherwise than the list -------------------------------------------------------- */

static int64_t source_length(const twi_event *e, int64_t count)
{
    return twi_edl_label_frames(twi_edl_time(e, TWI_SRC_OUT), count, false) -
           twi_edl_label_frames(twi_edl_time(e, TWI_SRC_IN), count, false);
}

/* Nothing of the source's own is shown, or one frame all the time: no length tells. The camera counts as it did in the
 * line above, else twice what the list counts, else the least that reaches. */
static int32_t likely_count(const twi_list *list, const twi_event *e, int32_t frames)
{
    bool same = e > list->events && !e[-1].bad && tw_str_eq(twi_edl_word(&e[-1], TWI_REEL), twi_edl_word(e, TWI_REEL));
    int32_t before = same ? tw_rate_count(e[-1].source_rate) : 0, least = 0;
    for (size_t i = TWI_EDL_COUNTS; i-- > 0 && frames < twi_edl_counts[i];)
        least = twi_edl_counts[i];
    if (frames >= before && twi_edl_is_count(2 * tw_rate_count(list->rate)))
        before = 2 * tw_rate_count(list->rate);
    return frames < before ? before : least;
}

/* The count above the event's frame numbers at which its length comes nearest to the record length at its speed, give
 * or take a frame; of equal ones the likely. */
static int32_t own_count(const twi_list *list, const twi_event *e, int32_t frames)
{
    int64_t r = tw_rate_count(list->rate);
    int64_t rec = twi_edl_label_frames(twi_edl_time(e, TWI_REC_OUT), r, false) -
                  twi_edl_label_frames(twi_edl_time(e, TWI_REC_IN), r, false);
    double speed = 0; /* source frames a second */
    bool said = twi_edl_m2_speed(list, e, &speed);
    int32_t likely = likely_count(list, e, frames), best = 0;
    if (source_length(e, 60) == 0 && (rec == 0 || (said && speed == 0)))
        return likely;
    double least = 1; /* record frames it may be off */
    for (size_t i = 0; i < TWI_EDL_COUNTS; i++) {
        int32_t count = twi_edl_counts[i];
        int64_t src = source_length(e, count);
        double off = fabs((double)(src * r) / count - (double)rec * (said ? fabs(speed) / count : 1));
        bool nearer = off < least - 1e-9, same = off <= least + 1e-9 && (best == 0 || count == likely);
        if (frames >= count || src <= 0 || !(nearer || same))
            continue;
        best = count;
        least = nearer ? off : least;
    }
    return best;
}

static bool record_frames_fit(const twi_list *list, const twi_event *e)
{
    int32_t count = tw_rate_count(list->rate);
    return e->time[TWI_REC_IN].frames < count && e->time[TWI_REC_OUT].frames < count;
}

static void settle_source_rate(twi_list *list, twi_event *e)
{
    if (tw_rate_known(e->source_rate))
        return;
    e->source_rate = list->source_rate;
    int32_t a = e->time[TWI_SRC_IN].frames, b = e->time[TWI_SRC_OUT].frames, most = a > b ? a : b;
    if (most < tw_rate_count(e->source_rate) || e->black || !record_frames_fit(list, e))
        return;
    int32_t count = own_count(list, e, most);
    if (count == 0)
        return;
    tw_place place = twi_edl_stretch(list, e, TWI_SRC_IN, TWI_SRC_OUT);
    tw_diag_add(list->diags, 1236, &place, "the source of %s counts %d frames a second, the list %d: read so",
                twi_edl_called(list, e), count, tw_rate_count(list->rate));
    e->source_rate = twi_edl_rate_of(count, false, list->rate.den == 1001);
}

/* ---- one event ------------------------------------------------------------------------------------------- */

static bool read_label(twi_list *list, twi_event *e, twi_part t)
{
    bool source = t < TWI_REC_IN;
    tw_rate rate = source ? e->source_rate : list->rate;
    bool drop = source ? e->source_drop : list->drop;
    int64_t frame = 0;
    if (e->semicolons >> t & 1 && tw_rate_can_drop(rate))
        drop = true;
    tw_tc_fault fault = tw_tc_frames(twi_edl_time(e, t), rate, drop, &frame);
    e->frame[t] = (int32_t)frame;
    if (fault == TW_TC_FINE || (source && e->black)) /* black has no frames to number */
        return true;
    refuse(list, e, t, fault);
    return false;
}

/* An out point about a day before its in point has passed midnight. */
static bool passes_midnight(int64_t in, int64_t out, int64_t day)
{
    return out < in && in - out > day / 2;
}

static void check_order(twi_list *list, twi_event *e)
{
    int32_t *f = e->frame;
    int64_t day = tw_tc_day(list->rate, list->drop);
    if (passes_midnight(f[TWI_REC_IN], f[TWI_REC_OUT], day))
        f[TWI_REC_OUT] += (int32_t)day;
    int64_t source_day = tw_tc_day(e->source_rate, e->source_drop);
    if (passes_midnight(f[TWI_SRC_IN], f[TWI_SRC_OUT], source_day))
        f[TWI_SRC_OUT] += (int32_t)source_day;
    if (f[TWI_REC_OUT] >= f[TWI_REC_IN])
        return;
    tw_place place = twi_edl_stretch(list, e, TWI_REC_IN, TWI_REC_OUT);
    e->bad = true;
    tw_diag_add(list->diags, 1205, &place, "record out lies %d frames before record in; the event is left out",
                f[TWI_REC_IN] - f[TWI_REC_OUT]);
}

/* After a programme has passed midnight, what begins far below its start is on the next day. */
typedef struct days {
    int32_t day, first;
    bool begun, passed;
} days;

static void carry_day(days *d, twi_event *e)
{
    int32_t *f = e->frame;
    d->first = d->begun ? d->first : f[TWI_REC_IN];
    d->begun = true;
    if (d->passed && d->first - f[TWI_REC_IN] > d->day / 2) {
        f[TWI_REC_IN] += d->day;
        f[TWI_REC_OUT] += f[TWI_REC_OUT] < f[TWI_REC_IN] ? d->day : 0;
    }
    d->passed = d->passed || f[TWI_REC_OUT] >= d->day;
}

/* Is there more to know about the event than when and from where? */
static bool is_odd(const twi_list *list, const twi_event *e)
{
    const uint32_t telling = TWI_KIND(TWI_NOTE_M2) | TWI_KIND(TWI_NOTE_FREEZE);
    return e->mix > 0 || e->cut != TWI_CUT || e->no_letter || (e->kinds & telling) != 0 ||
           twi_edl_source_frames(e) != twi_edl_record_frames(e) || !tw_rate_eq(e->source_rate, list->rate);
}

static void read_times(twi_list *list, twi_event *e)
{
    settle_source_rate(list, e);
    bool drop = list->fcm_count > 0 ? e->fcm_drop : list->drop, semicolon = (e->semicolons & 3u) != 0;
    e->source_drop = (drop || semicolon) && tw_rate_can_drop(e->source_rate);
    bool fine = true;
    for (int t = TWI_SRC_IN; t <= TWI_REC_OUT && fine; t++)
        fine = read_label(list, e, (twi_part)t);
    if (fine && (e->frame[TWI_SRC_OUT] < e->frame[TWI_SRC_IN] || e->frame[TWI_REC_OUT] < e->frame[TWI_REC_IN]))
        check_order(list, e);
}

void twi_edl_times(twi_list *list)
{
    days d = {.day = (int32_t)tw_tc_day(list->rate, list->drop)};
    for (size_t i = 0; i < list->event_count; i++) {
        twi_event *e = &list->events[i];
        if (!e->bad)
            read_times(list, e);
        if (e->bad)
            continue;
        carry_day(&d, e);
        if (!is_odd(list, e))
            continue;
        TW_PUSH(list->scratch, list->odd, list->odd_count, list->odd_cap) = (uint32_t)i;
    }
}
