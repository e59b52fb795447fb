/* SPDX-License-Identifier: Apache-2.0
 *
 * A list counts from midnight to midnight: what it cannot tell from another time is refused, what it tells as another
 * is a loss.
 */
#include "edl_out.h"

static int64_t within_day(int64_t frame, int64_t day)
{
    return (frame % day + day) % day;
}

/* Past midnight an out lies before its in, and is known by being more than half a day before it: longer than that no
 * reader can tell from a mistake. */
static bool can_be_told(int64_t in, int64_t frames, int64_t day)
{
    bool passes = within_day(in, day) + frames >= day;
    return frames < (passes ? day / 2 : day);
}

static bool refuse(twi_out *out, const tw_item *item, const char *what, int64_t frames, tw_rate rate)
{
    const tw_place nowhere = {.file = out->timeline->file};
    double hours = (double)frames / tw_rate_count(rate) / 3600;
    tw_buf length = {.arena = out->arena};
    tw_buf_add_fixed(&length, hours, 2);
    tw_diag_add(
        out->diags, 1262, item != NULL ? &item->place : &nowhere,
        "%s %.*s hours: a list's clock begins again at midnight, and can tell a day, or half a day when midnight "
        "is passed",
        what, (int)length.len, length.at);
    return false;
}

static bool source_fits(twi_out *out, const twi_out_event *e)
{
    if (e->item == NULL || !e->item->has_source || tw_item_is_black(e->item))
        return true;
    tw_rate rate = twi_edl_source_rate(out, e->item);
    int64_t day = tw_tc_day(rate, e->item->source_drop);
    if (!can_be_told(e->source_in, e->source_span, day))
        return refuse(out, e->item, "the source of this clip runs for", e->source_span, rate);
    if (e->source_in < 0 || e->source_in >= day)
        twi_edl_lose(out, TWI_LOSS_SOURCE_DAY, e->item);
    return true;
}

static bool refuse_rate(twi_out *out)
{
    tw_diag_add(out->diags, 1264, TW_IN(out->timeline->file),
                "%d frames a second: the frame number of a list has two digits, up to %d",
                tw_rate_count(out->timeline->rate), TWI_EDL_COUNT_MOST - 1);
    return false;
}

bool twi_edl_fits_clock(twi_out *out)
{
    const tw_rate rate = out->timeline->rate;
    const twi_out_event *first = out->events, *last = out->events;
    if (tw_rate_count(rate) > TWI_EDL_COUNT_MOST)
        return refuse_rate(out);
    for (size_t i = 0; i < out->count; i++) {
        const twi_out_event *e = &out->events[i];
        first = e->in < first->in ? e : first;
        last = e->out > last->out ? e : last;
        if (!source_fits(out, e))
            return false;
    }
    if (out->count == 0)
        return true;
    int64_t day = tw_tc_day(rate, out->timeline->drop);
    if (!can_be_told(first->in, last->out - first->in, day))
        return refuse(out, last->item, "with this clip the programme runs for", last->out - first->in, rate);
    if (first->in < 0 || first->in >= day)
        twi_edl_lose(out, TWI_LOSS_RECORD_DAY, first->item);
    return true;
}
