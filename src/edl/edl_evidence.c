/* SPDX-License-Identifier: Apache-2.0 */
#include "edl_evidence.h"

#include <math.h>

#define SAMPLE_MIXED 20000u /* events looked at when source and record may count differently */

/* From an in point to the out point after it. */
typedef struct length {
    int32_t seconds, frames;
} length;

static length length_of(const twi_event *e, twi_part in)
{
    const twi_label *a = &e->time[in], *b = &e->time[in + 1];
    return (length){((b->hours - a->hours) * 60 + b->minutes - a->minutes) * 60 + b->seconds - a->seconds,
                    b->frames - a->frames};
}

static int64_t frames_at(length l, int64_t count)
{
    return l.seconds * count + l.frames;
}

static int64_t length_at(const twi_event *e, twi_part in, int64_t count, bool drop)
{
    return twi_edl_label_frames(twi_edl_time(e, in + 1), count, drop) -
           twi_edl_label_frames(twi_edl_time(e, in), count, drop);
}

/* As edl_time will read them: the first FCM line speaks for the record side, the last one above for the source. */
static bool drops(const twi_list *list, const twi_event *e, twi_part in, const twi_evidence *ev)
{
    bool said = list->fcm_count == 0 ? ev->drop : in == TWI_SRC_IN ? e->fcm_drop : list->fcm[0].drop;
    return said || (e->semicolons & 3u << in) != 0;
}

/* Lengths of black and of sources without times say nothing. */
static bool has_lengths(const twi_event *e, length source, length record)
{
    return frames_at(source, 60) > 0 && frames_at(record, 60) > 0 && !e->black;
}

/* Nor do those of retimes, without their speed. */
static bool tells(const twi_event *e, length source, length record)
{
    return has_lengths(e, source, record) && (e->kinds & (TWI_KIND(TWI_NOTE_M2) | TWI_KIND(TWI_NOTE_FREEZE))) == 0;
}

/* What a remark says that the source counts; 0: nothing. */
static int64_t stated(const twi_event *e)
{
    return tw_rate_known(e->source_rate) ? tw_rate_count(e->source_rate) : 0;
}

/* What its source counts must not be known. */
static bool tells_mix(const twi_event *e, length source, length record)
{
    return stated(e) == 0 && tells(e, source, record);
}

static bool counts_here(const twi_list *list, const twi_event *e)
{
    return !e->bad && (!list->picture || e->video > 0);
}

/* An M2 line gives source frames a second: at the right count the source is as long as its speed makes the record.
 * Where lengths are the same whatever the speed, or fit at no count, they follow another habit. */
static void weigh_speed(const twi_list *list, const twi_event *e, twi_evidence *ev)
{
    length source = length_of(e, TWI_SRC_IN), record = length_of(e, TWI_REC_IN);
    double value;
    bool same = source.seconds == record.seconds && source.frames == record.frames;
    if (!has_lengths(e, source, record) || same || e->cut != TWI_CUT || !twi_edl_m2_speed(list, e, &value))
        return;
    bool fit[TWI_EDL_COUNTS];
    size_t fitting = 0;
    for (size_t c = 0; c < TWI_EDL_COUNTS; c++) {
        int64_t count = stated(e) > 0 ? stated(e) : twi_edl_counts[c];
        double shown = (double)(frames_at(record, twi_edl_counts[c]) * count) / twi_edl_counts[c];
        fit[c] = twi_edl_whole_span(shown, fabs(value) / (double)count, (double)frames_at(source, count));
        fitting += fit[c];
    }
    if (fitting == 0 || fitting == TWI_EDL_COUNTS)
        return;
    ev->events++;
    for (size_t c = 0; c < TWI_EDL_COUNTS; c++)
        ev->agree[c] += fit[c];
}

/* Do so many frames, s a second, and so many, r a second, explain each other, give or take a frame? How far they are
 * off, in parts of s x r, else -1. */
static int64_t apart(int64_t source, int64_t s, int64_t record, int64_t r)
{
    int64_t off = source * r - record * s, slack = s > r ? s : r;
    off = off < 0 ? -off : off;
    return off <= slack ? off : -1;
}

static void weigh_stated(const twi_event *e, bool source_drops, bool record_drops, twi_evidence *ev)
{
    int64_t s = stated(e), source = length_at(e, TWI_SRC_IN, s, source_drops && s % 30 == 0);
    ev->events++;
    for (size_t c = 0; c < TWI_EDL_COUNTS; c++) {
        int64_t r = twi_edl_counts[c], record = length_at(e, TWI_REC_IN, r, record_drops && r % 30 == 0);
        ev->agree[c] += apart(source, s, record, r) >= 0;
    }
}

static void weigh_lengths(const twi_list *list, const twi_event *e, twi_evidence *ev)
{
    length source = length_of(e, TWI_SRC_IN), record = length_of(e, TWI_REC_IN);
    if (!tells(e, source, record))
        return;
    bool source_drops = drops(list, e, TWI_SRC_IN, ev), record_drops = drops(list, e, TWI_REC_IN, ev);
    if (stated(e) > 0) {
        weigh_stated(e, source_drops, record_drops, ev);
        return;
    }
    bool plain = !source_drops && !record_drops;
    ev->events++;
    if (plain && source.seconds == record.seconds && source.frames == record.frames) {
        ev->agree_any++;
        return;
    }
    for (size_t c = 0; c < TWI_EDL_COUNTS; c++) {
        int64_t count = twi_edl_counts[c];
        if (plain || count % 30 != 0)
            ev->agree[c] += frames_at(source, count) == frames_at(record, count);
        else
            ev->agree[c] +=
                length_at(e, TWI_SRC_IN, count, source_drops) == length_at(e, TWI_REC_IN, count, record_drops);
    }
}

static void weigh_mix_length(const twi_event *e, twi_evidence *ev)
{
    length record = length_of(e, TWI_REC_IN);
    if (e->cut == TWI_CUT || e->video == 0 || e->mix > frames_at(record, 60)) /* a mistake at any count */
        return;
    for (size_t c = 0; c < TWI_EDL_COUNTS; c++)
        ev->too_long[c] += e->mix > frames_at(record, twi_edl_counts[c]);
}

static bool is_dropped(const twi_event *e, size_t t)
{
    int64_t frame;
    return tw_tc_frames(twi_edl_time(e, t), (tw_rate){30000, 1001}, true, &frame) == TW_TC_DROPPED;
}

static void weigh_labels(const twi_list *list, const twi_event *e, twi_evidence *ev)
{
    for (size_t t = e->black || stated(e) > 0 ? TWI_REC_IN : TWI_SRC_IN; t <= TWI_REC_OUT; t++) {
        size_t side = t / 2;
        int32_t f = e->time[t].frames;
        ev->times[side]++;
        ev->semicolons[side] += e->semicolons >> t & 1u;
        ev->largest[side] = f > ev->largest[side] ? f : ev->largest[side];
        ev->dropped += ev->drop && !list->semicolons && drops(list, e, side == 0 ? TWI_SRC_IN : TWI_REC_IN, ev) &&
                       is_dropped(e, t);
        for (size_t c = 0; c < TWI_EDL_COUNTS && f >= twi_edl_counts[c]; c++)
            ev->above[side][c]++;
    }
}

static bool speaks_of_drop(const twi_list *list)
{
    for (size_t i = 0; i < list->fcm_count; i++)
        if (list->fcm[i].drop)
            return true;
    for (size_t i = 0; list->semicolons && i < list->event_count; i++) {
        const twi_event *e = &list->events[i];
        unsigned telling = e->semicolons & (e->black ? 1u << TWI_REC_IN | 1u << TWI_REC_OUT : ~0u);
        if (counts_here(list, e) && telling != 0)
            return true;
    }
    return false;
}

void twi_edl_weigh(const twi_list *list, twi_evidence *ev)
{
    ev->drop = speaks_of_drop(list);
    for (size_t i = 0; i < list->event_count; i++) {
        const twi_event *e = &list->events[i];
        if (!counts_here(list, e))
            continue;
        weigh_labels(list, e, ev);
        weigh_mix_length(e, ev);
        if (e->kinds & TWI_KIND(TWI_NOTE_M2))
            weigh_speed(list, e, ev);
        else
            weigh_lengths(list, e, ev);
    }
}

/* ---- source and record counting differently -------------------------------------------------------------- */

void twi_edl_weigh_mix(const twi_list *list, twi_mix *m)
{
    m->agree = m->of = 0;
    m->error = 0;
    for (size_t i = 0; i < list->event_count && m->of < SAMPLE_MIXED; i++) {
        const twi_event *e = &list->events[i];
        length source = length_of(e, TWI_SRC_IN), record = length_of(e, TWI_REC_IN);
        if (!counts_here(list, e) || !tells_mix(e, source, record))
            continue;
        int64_t s = twi_edl_counts[m->source], r = twi_edl_counts[m->record];
        int64_t off = apart(frames_at(source, s), s, frames_at(record, r), r);
        m->of++;
        m->agree += off >= 0;
        m->error += off > 0 ? off : 0;
    }
}

bool twi_edl_denies_mix(const twi_list *list, const twi_mix *m)
{
    int64_t s = twi_edl_counts[m->source], r = twi_edl_counts[m->record];
    for (size_t i = 0; i < list->event_count; i++) {
        const twi_event *e = &list->events[i];
        length source = length_of(e, TWI_SRC_IN), record = length_of(e, TWI_REC_IN);
        bool low = e->time[TWI_SRC_IN].frames < r && e->time[TWI_SRC_OUT].frames < r;
        if (low && counts_here(list, e) && tells_mix(e, source, record) &&
            frames_at(source, r) == frames_at(record, r) && frames_at(source, s) * r != frames_at(record, r) * s)
            return true;
    }
    return false;
}

bool twi_edl_find_mix(const twi_list *list, const twi_evidence *ev, size_t record, twi_mix *best)
{
    *best = (twi_mix){.agree = 0};
    for (size_t r = 0; r < TWI_EDL_COUNTS; r++) {
        for (size_t s = 0; s < TWI_EDL_COUNTS; s++) {
            if (r == s || (record != TWI_EDL_COUNTS && r != record) || ev->above[0][s] > 0 || ev->above[1][r] > 0)
                continue;
            twi_mix m = {.source = s, .record = r};
            twi_edl_weigh_mix(list, &m);
            if (m.agree > best->agree || (m.agree == best->agree && m.agree > 0 && m.error < best->error))
                *best = m;
            else if (m.agree == best->agree && m.error == best->error)
                best->also[r] = true;
        }
    }
    return best->of >= 3 && best->agree * 10 >= best->of * 9;
}
