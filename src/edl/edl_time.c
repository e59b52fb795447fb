/* SPDX-License-Identifier: Apache-2.0 */
#include <math.h>

#include "edl_internal.h"

const int32_t twi_edl_counts[TWI_EDL_COUNTS] = {24, 25, 30, 48, 50, 60};

static const char *const side_word[] = {"source in", "source out", "record in", "record out"};

int64_t twi_edl_record_frames(const twi_event *event)
{
    return event->frame[TWI_REC_OUT] - event->frame[TWI_REC_IN];
}

int64_t twi_edl_source_frames(const twi_event *event)
{
    return event->frame[TWI_SRC_OUT] - event->frame[TWI_SRC_IN];
}

bool twi_edl_is_black(const twi_event *event)
{
    return tw_str_ieq(event->reel, TW_STR("BL")) || tw_str_ieq(event->reel, TW_STR("BLACK"));
}

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

static void refuse(twi_list *list, twi_event *e, size_t t, tw_tc_fault fault)
{
    const tw_rate rate = t < TWI_REC_IN ? e->source_rate : list->rate;
    tw_str label = tw_str_cut(tw_str_from(e->text, e->at[t]), e->len[t]);
    size_t back = e->len[t] >= 2 ? e->len[t] - 2u : 0u;
    e->bad = true;
    if (fault == TW_TC_DROPPED) {
        tw_place place = twi_edl_place(list, e, e->at[t], e->len[t]);
        tw_diag_add(
            list->diags, 1204, &place,
            "%s %.*s does not exist in drop frame: that label is skipped at the start of the minute; the event is "
            "left out",
            side_word[t], TW_ARG(label));
        tw_diag_hint(list->diags, "if the times are non-drop frame, mend the FCM line");
        return;
    }
    tw_place place = twi_edl_place(list, e, e->at[t] + back, 2);
    tw_diag_add(list->diags, 1203, &place,
                "%s %.*s has frame number %02d, but %d frames make a second; the event is left out", side_word[t],
                TW_ARG(label), e->time[t].frames, tw_rate_count(rate));
    say_counts_that_fit(list, e->time[t].frames);
}

/* ---- a source that counts otherwise than the list -------------------------------------------------------- */

bool twi_edl_is_count(int32_t count)
{
    size_t i = 0;
    while (i < TWI_EDL_COUNTS && twi_edl_counts[i] != count)
        i++;
    return i < TWI_EDL_COUNTS;
}

static int64_t source_length(const twi_event *e, int64_t count)
{
    return twi_edl_label_frames(twi_edl_time(e, TWI_SRC_OUT), count, false) -
           twi_edl_label_frames(twi_edl_time(e, TWI_SRC_IN), count, false);
}

/* Nothing of the source's own is shown, or one frame all the time: no length tells. The camera counts as it did in the
 * line above, else twice what the list counts, else the least that reaches. */
static int32_t likely_count(const twi_list *list, const twi_event *e, int32_t frames)
{
    bool same = e > list->events && !e[-1].bad && tw_str_eq(e[-1].reel, e->reel);
    int32_t before = same ? tw_rate_count(e[-1].source_rate) : 0, least = 0;
    for (size_t i = TWI_EDL_COUNTS; i-- > 0 && frames < twi_edl_counts[i];)
        least = twi_edl_counts[i];
    if (frames >= before && twi_edl_is_count(2 * tw_rate_count(list->rate)))
        before = 2 * tw_rate_count(list->rate);
    return frames < before ? before : least;
}

/* The count above the event's frame numbers at which its length is the record length at its speed, give or take a
 * frame. */
static int32_t own_count(const twi_list *list, const twi_event *e, int32_t frames)
{
    int64_t r = tw_rate_count(list->rate);
    int64_t rec = twi_edl_label_frames(twi_edl_time(e, TWI_REC_OUT), r, false) -
                  twi_edl_label_frames(twi_edl_time(e, TWI_REC_IN), r, false);
    double speed = 0; /* source frames a second */
    bool said = twi_edl_m2_speed(list, e, &speed);
    if (source_length(e, 60) == 0 && (rec == 0 || (said && speed == 0)))
        return likely_count(list, e, frames);
    for (size_t i = 0; i < TWI_EDL_COUNTS; i++) {
        int64_t src = source_length(e, twi_edl_counts[i]);
        double off = (double)(src * r) - (double)rec * (said ? fabs(speed) : twi_edl_counts[i]);
        if (frames < twi_edl_counts[i] && src > 0 && fabs(off) <= twi_edl_counts[i])
            return twi_edl_counts[i];
    }
    return 0;
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
    if (most < tw_rate_count(e->source_rate) || twi_edl_is_black(e) || !record_frames_fit(list, e))
        return;
    int32_t count = own_count(list, e, most);
    if (count == 0)
        return;
    tw_place place =
        twi_edl_place(list, e, e->at[TWI_SRC_IN], e->at[TWI_SRC_OUT] + e->len[TWI_SRC_OUT] - (size_t)e->at[0]);
    tw_diag_add(list->diags, 1236, &place, "the source of %s counts %d frames a second, the list %d: read so",
                twi_edl_called(list, e), count, tw_rate_count(list->rate));
    e->source_rate = (tw_rate){count, 1};
}

/* ---- one event ------------------------------------------------------------------------------------------- */

static bool read_label(twi_list *list, twi_event *e, size_t t)
{
    bool source = t < TWI_REC_IN;
    tw_rate rate = source ? e->source_rate : list->rate;
    bool drop = source ? e->source_drop : list->drop;
    if (e->time[t].semicolon && tw_rate_can_drop(rate))
        drop = true;
    tw_tc_fault fault = tw_tc_frames(twi_edl_time(e, t), rate, drop, &e->frame[t]);
    if (fault == TW_TC_FINE)
        return true;
    if (source && twi_edl_is_black(e)) { /* black has no frames to number */
        e->frame[t] = 0;
        return true;
    }
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
    int64_t day = tw_tc_day(list->rate, list->drop);
    if (passes_midnight(e->frame[TWI_REC_IN], e->frame[TWI_REC_OUT], day))
        e->frame[TWI_REC_OUT] += day;
    int64_t source_day = tw_tc_day(e->source_rate, e->source_drop);
    if (passes_midnight(e->frame[TWI_SRC_IN], e->frame[TWI_SRC_OUT], source_day))
        e->frame[TWI_SRC_OUT] += source_day;
    if (e->frame[TWI_REC_OUT] >= e->frame[TWI_REC_IN])
        return;
    tw_place place =
        twi_edl_place(list, e, e->at[TWI_REC_IN], e->at[TWI_REC_OUT] + e->len[TWI_REC_OUT] - (size_t)e->at[TWI_REC_IN]);
    e->bad = true;
    tw_diag_add(list->diags, 1205, &place, "record out lies %lld frames before record in; the event is left out",
                (long long)(e->frame[TWI_REC_IN] - e->frame[TWI_REC_OUT]));
}

/* After a programme has passed midnight, what begins far below its start is on the next day. */
static void carry_days(twi_list *list)
{
    int64_t day = tw_tc_day(list->rate, list->drop), first = INT64_MAX;
    bool passed = false;
    for (size_t i = 0; i < list->event_count; i++) {
        twi_event *e = &list->events[i];
        if (e->bad)
            continue;
        first = first == INT64_MAX ? e->frame[TWI_REC_IN] : first;
        if (passed && first - e->frame[TWI_REC_IN] > day / 2) {
            e->frame[TWI_REC_IN] += day;
            e->frame[TWI_REC_OUT] += e->frame[TWI_REC_OUT] < e->frame[TWI_REC_IN] ? day : 0;
        }
        passed = passed || e->frame[TWI_REC_OUT] >= day;
    }
}

void twi_edl_times(twi_list *list)
{
    twi_edl_said_rates(list);
    for (size_t i = 0; i < list->event_count; i++) {
        twi_event *e = &list->events[i];
        if (e->bad)
            continue;
        settle_source_rate(list, e);
        e->source_drop = (list->fcm_count > 0 ? e->fcm_drop : list->drop) && tw_rate_can_drop(e->source_rate);
        bool fine = true;
        for (size_t t = 0; t < 4 && fine; t++)
            fine = read_label(list, e, t);
        if (fine)
            check_order(list, e);
    }
    carry_days(list);
}
