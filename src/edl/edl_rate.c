/* SPDX-License-Identifier: Apache-2.0 */
#include "edl_evidence.h"

/* A list never states its rate. Two things betray it: every frame number is below the count, and at the right count
 * source and record lengths agree. Without drop frame a length is `seconds` x count + `frames`, so two lengths agree at
 * every count, at exactly one, or at none: one pass over the events weighs all counts. */

#define MANY_LABELS 200u /* so many times make their largest frame number telling: (24/25)^200 < 0.0003 */

const int32_t twi_edl_counts[TWI_EDL_COUNTS] = {24, 25, 30, 48, 50, 60};

static size_t index_of(int32_t count)
{
    size_t i = 0;
    while (i < TWI_EDL_COUNTS && twi_edl_counts[i] != count)
        i++;
    return i;
}

bool twi_edl_is_count(int32_t count)
{
    return index_of(count) < TWI_EDL_COUNTS;
}

int64_t twi_edl_label_frames(tw_tc tc, int64_t count, bool drop)
{
    int64_t minutes = (int64_t)tc.hours * 60 + tc.minutes;
    int64_t frames = (minutes * 60 + tc.seconds) * count + tc.frames;
    return drop ? frames - count / 15 * (minutes - minutes / 10) : frames;
}

/* Frame numbers speak against a count, unless so many lengths speak for it that they look like slips. A few sources may
 * count otherwise, so that side decides less. */
static bool reaches(const twi_evidence *ev, size_t c, size_t side)
{
    size_t above = ev->above[side][c];
    return above == 0 || above * 10 <= ev->agree[c] || (side == 0 && above * 80 <= ev->times[0] + ev->times[1]);
}

/* An FCM line of drop frame means nothing at 25: where labels that it leaves out are many, and 25 reaches all, it is a
 * word that nobody took out. */
static bool cannot_drop(const twi_evidence *ev, size_t c)
{
    return twi_edl_counts[c] % 30 == 0 && ev->dropped * 10 > ev->agree[c] && ev->largest[0] < 25 && ev->largest[1] < 25;
}

static bool fits(const twi_evidence *ev, size_t c)
{
    if (ev->semicolons[1] > 0 && twi_edl_counts[c] % 30 != 0)
        return false;
    return !cannot_drop(ev, c) && ev->too_long[c] <= ev->agree[c] && reaches(ev, c, 0) && reaches(ev, c, 1);
}

/* Index of the fitting count at which most lengths agree; TWI_EDL_COUNTS when none fits. *next: the second best. */
static size_t best_count(const twi_evidence *ev, size_t *next)
{
    size_t best = TWI_EDL_COUNTS;
    *next = TWI_EDL_COUNTS;
    for (size_t c = 0; c < TWI_EDL_COUNTS; c++) {
        if (!fits(ev, c))
            continue;
        if (best == TWI_EDL_COUNTS || ev->agree[c] > ev->agree[best]) {
            *next = best;
            best = c;
        } else if (*next == TWI_EDL_COUNTS || ev->agree[c] > ev->agree[*next]) {
            *next = c;
        }
    }
    return best;
}

/* ---- source and record counting differently -------------------------------------------------------------- */

/* Do the sides count differently? So it is where one count does not explain half the lengths; and where it explains
 * fewer than the pair, which explains all and is denied by none, and only sources have frame numbers too high for the
 * record side. */
static bool is_mixed(const twi_list *list, const twi_evidence *ev, size_t plain, size_t record, twi_mix *m)
{
    size_t agree = plain != TWI_EDL_COUNTS ? ev->agree_any + ev->agree[plain] : 0;
    bool poor = plain == TWI_EDL_COUNTS || agree * 2 < ev->events;
    if (!poor && (agree == ev->events || ev->largest[0] <= ev->largest[1]))
        return false;
    if (!twi_edl_find_mix(list, ev, record, m))
        return false;
    if (poor)
        return true;
    twi_mix same = {.source = plain, .record = plain};
    twi_edl_weigh_mix(list, &same);
    return ev->above[0][m->record] > 0 && m->agree == m->of && m->agree > same.agree && !twi_edl_denies_mix(list, m);
}

/* ---- deciding -------------------------------------------------------------------------------------------- */

tw_rate twi_edl_rate_of(int32_t count, bool drop, bool over_1001)
{
    if (count % 25 != 0 && (over_1001 || (drop && count % 30 == 0)))
        return (tw_rate){count * 1000, 1001};
    return (tw_rate){count, 1};
}

/* As it will be read, in words. */
static tw_str spoken(const twi_list *list, const twi_evidence *ev, size_t c)
{
    tw_buf rate = {.arena = list->arena};
    tw_rate_write_spoken(twi_edl_rate_of(twi_edl_counts[c], ev->drop, false), false, &rate);
    return tw_buf_str(&rate);
}

/* The two rates of a count write the same frame numbers; the times of what is made from the list differ. */
static void hint_slower(const twi_list *list, const twi_evidence *ev, int32_t count)
{
    tw_rate slower = twi_edl_rate_of(count, ev->drop, true);
    tw_buf spoken = {.arena = list->arena};
    if (slower.den == 1 || (ev->drop && count % 30 == 0))
        return;
    tw_rate_write_spoken(slower, false, &spoken);
    tw_diag_hint(list->diags, "frame numbers look the same at %.*s: say --rate %.*s if the edit runs at that",
                 (int)spoken.len, spoken.at, (int)spoken.len, spoken.at);
}

static void say_lengths(const twi_list *list, const twi_evidence *ev, size_t best, size_t next)
{
    const tw_place place = {.file = list->file};
    tw_buf other = {.arena = list->arena};
    if (next != TWI_EDL_COUNTS)
        tw_buf_addf(&other, " (at %.*s only %zu)", TW_ARG(spoken(list, ev, next)), ev->agree_any + ev->agree[next]);
    tw_diag_add(list->diags, 1220, &place,
                "the list states no rate: read at %.*s, where %zu of %zu source and record lengths agree%.*s",
                TW_ARG(spoken(list, ev, best)), ev->agree_any + ev->agree[best], ev->events,
                TW_ARG(tw_buf_str(&other)));
    hint_slower(list, ev, twi_edl_counts[best]);
}

/* Nothing decides: a default, and which counts it could be. */
static size_t assume(const twi_list *list, const twi_evidence *ev)
{
    tw_buf which = {.arena = list->arena};
    size_t chosen = TWI_EDL_COUNTS;
    for (size_t c = 0; c < TWI_EDL_COUNTS; c++) {
        if (!fits(ev, c))
            continue;
        tw_buf_addf(&which, "%s%.*s", which.len > 0 ? ", " : "", TW_ARG(spoken(list, ev, c)));
        if (chosen == TWI_EDL_COUNTS || (ev->drop && twi_edl_counts[c] == 30))
            chosen = c;
    }
    if (chosen == TWI_EDL_COUNTS)
        return TWI_EDL_COUNTS - 1;
    const tw_place place = {.file = list->file};
    const tw_str rate = spoken(list, ev, chosen);
    tw_diag_add(list->diags, 1221, &place,
                "the list states no rate and nothing in it decides between %.*s: read at %.*s, which may be wrong",
                TW_ARG(tw_buf_str(&which)), TW_ARG(rate));
    tw_diag_hint(list->diags, "say --rate %.*s, or what the edit was made at", TW_ARG(rate));
    return chosen;
}

static bool by_labels(const twi_list *list, const twi_evidence *ev, size_t *chosen)
{
    size_t fitting = 0, least = TWI_EDL_COUNTS;
    for (size_t c = TWI_EDL_COUNTS; c-- > 0;) {
        if (!fits(ev, c))
            continue;
        fitting++;
        least = c;
    }
    if (fitting == 0 || (fitting > 1 && ev->times[0] + ev->times[1] < MANY_LABELS))
        return false;
    *chosen = least;
    const tw_place place = {.file = list->file};
    bool source = ev->largest[0] > ev->largest[1] && ev->above[0][least] == 0; /* that side told */
    tw_diag_add(list->diags, 1220, &place,
                "the list states no rate: read at %.*s, since the largest frame number in %zu %s times is %d",
                TW_ARG(spoken(list, ev, least)), ev->times[!source], source ? "source" : "record",
                ev->largest[!source]);
    hint_slower(list, ev, twi_edl_counts[least]);
    return true;
}

static void say_mixed(const twi_list *list, const twi_mix *m)
{
    const tw_place place = {.file = list->file};
    tw_buf also = {.arena = list->arena};
    for (size_t c = 0; c < TWI_EDL_COUNTS; c++)
        if (m->also[c])
            tw_buf_addf(&also, "%s%d", also.len > 0 ? ", " : "", twi_edl_counts[c]);
    tw_diag_add(list->diags, 1236, &place,
                "sources count %d frames and the record side %d: so read, %zu of %zu lengths agree",
                twi_edl_counts[m->source], twi_edl_counts[m->record], m->agree, m->of);
    if (also.len > 0)
        tw_diag_hint(list->diags, "as many agree where the record side counts %.*s: say --rate if it does",
                     (int)also.len, also.at);
}

static void decide(twi_list *list, const twi_evidence *ev)
{
    size_t next, best = best_count(ev, &next), source;
    twi_mix m;
    bool poor = best == TWI_EDL_COUNTS || (ev->agree_any + ev->agree[best]) * 2 < ev->events;
    if (is_mixed(list, ev, best, TWI_EDL_COUNTS, &m)) {
        best = m.record;
        source = m.source;
        say_mixed(list, &m);
    } else {
        if (!poor && ev->agree[best] > 0 && (next == TWI_EDL_COUNTS || ev->agree[best] > ev->agree[next]))
            say_lengths(list, ev, best, next);
        else if (!by_labels(list, ev, &best))
            best = assume(list, ev);
        source = best;
    }
    list->rate = twi_edl_rate_of(twi_edl_counts[best], ev->drop, false);
    list->source_rate = twi_edl_rate_of(twi_edl_counts[source], ev->drop, false);
}

/* The caller knows the record rate; the source side may still count otherwise. */
static void obey(twi_list *list, const twi_evidence *ev, const tw_read_options *options)
{
    list->rate = list->source_rate = options->rate;
    size_t c = index_of(tw_rate_count(options->rate));
    twi_mix m;
    if (c == TWI_EDL_COUNTS || ev->above[1][c] > 0 || !is_mixed(list, ev, c, c, &m))
        return;
    list->source_rate = twi_edl_rate_of(twi_edl_counts[m.source], ev->drop, options->rate.den == 1001);
    say_mixed(list, &m);
}

/* ---- drop frame ------------------------------------------------------------------------------------------ */

static tw_place fcm_place(const twi_list *list, size_t i)
{
    return (tw_place){.file = list->file,
                      .line = list->fcm[i].line,
                      .column = 1,
                      .width = (uint32_t)list->fcm[i].text.len,
                      .text = list->fcm[i].text};
}

static void say_no_fcm(const twi_list *list, const twi_evidence *ev)
{
    const tw_place place = {.file = list->file};
    int32_t count = tw_rate_count(list->rate);
    if (list->drop)
        tw_diag_add(list->diags, 1222, &place, "the list has no FCM line: read as drop frame%s",
                    ev->semicolons[1] > 0 ? ", since its times are written with ';'" : " as asked");
    else if (count % 30 == 0)
        tw_diag_add(list->diags, 1222, &place, "the list has no FCM line: times at %d are read as non-drop frame",
                    count);
    else
        tw_diag_add(list->diags, 1242, &place, "the list has no FCM line; at %d that makes no difference", count);
}

static void settle_drop(twi_list *list, const twi_evidence *ev, const tw_read_options *options)
{
    bool can = tw_rate_can_drop(list->rate);
    bool fcm_drop = list->fcm_count > 0 && list->fcm[0].drop;
    bool semicolons = ev->semicolons[1] > 0;
    list->drop = can && (options->drop || fcm_drop || semicolons);
    if (list->fcm_count == 0) {
        say_no_fcm(list, ev);
        return;
    }
    tw_place place = fcm_place(list, 0);
    if (fcm_drop && !can)
        tw_diag_add(list->diags, 1222, &place, "drop frame has no meaning at %d: it is passed over",
                    tw_rate_count(list->rate));
    else if (!fcm_drop && semicolons)
        tw_diag_add(list->diags, 1222, &place,
                    "the FCM line says non-drop frame but %zu record times are written with ';': %s", ev->semicolons[1],
                    can ? "read as drop frame" : "passed over, since this rate has no drop frame");
    else if (!fcm_drop && options->drop && can)
        tw_diag_add(list->diags, 1222, &place, "the FCM line says non-drop frame: read as drop frame as asked");
}

void twi_edl_rate(twi_list *list, const tw_read_options *options)
{
    twi_evidence ev = {.largest = {-1, -1}};
    twi_edl_weigh(list, &ev);
    if (tw_rate_known(options->rate)) {
        obey(list, &ev, options);
    } else if (ev.times[1] == 0) {
        list->rate = list->source_rate = (tw_rate){24, 1};
        return;
    } else {
        decide(list, &ev);
    }
    settle_drop(list, &ev, options);
}
