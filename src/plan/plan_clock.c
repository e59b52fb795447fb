/* SPDX-License-Identifier: Apache-2.0
 *
 * What counts the frames of a reel: times of notes are labels of its clock, as the edit shows them.
 */
#include "plan_internal.h"

/* What is not said stays as it was, drop frame too: a rate alone ("29.97") does not speak of it. */
void twi_plan_take_clock(const tw_json *json, tw_rate own, bool own_drop, tw_rate *rate, bool *drop)
{
    if (tw_rate_known(own))
        *rate = own;
    if (own_drop || tw_json_get(json, "drop") != NULL)
        *drop = own_drop;
    else
        *drop = *drop && tw_rate_can_drop(*rate);
}

static void take_source(const tw_source *source, tw_rate *rate, bool *drop)
{
    if (source != NULL)
        twi_plan_take_clock(source->json, source->rate, source->drop, rate, drop);
}

/* ---- as the edit counts the reel ------------------------------------------------------------------------- */

/* The clocks of a name, or of all names a pattern is for: of those from `at` to `end`. */
typedef struct meant {
    tw_str reel;
    bool pattern;
    size_t at, end;
} meant;

static meant meant_by(const tw_plan *plan, tw_str reel)
{
    meant m = {.reel = reel, .pattern = tw_str_has_wildcard(reel), .end = plan->clock_count};
    if (m.pattern || m.end == 0)
        return m;
    TW_SEARCH(m.at, plan->clock_count, tw_str_icmp(plan->clocks[m.at].name, reel) < 0);
    for (m.end = m.at; m.end < plan->clock_count && tw_str_ieq(plan->clocks[m.end].name, reel);)
        m.end++;
    return m;
}

/* The next of them from `i` on; m->end: no more. */
static size_t next_of(const tw_plan *plan, const meant *m, size_t i)
{
    while (i < m->end && m->pattern && !(plan->clocks[i].loose && tw_str_glob(m->reel, plan->clocks[i].name)))
        i++;
    return i;
}

/* A frame has one number in both. */
static bool is_alike(const tw_reel_clock *clock, tw_rate rate, bool drop, bool says_drop)
{
    return tw_rate_count(clock->rate) == tw_rate_count(rate) &&
           (!clock->says_drop || !says_drop || clock->drop == drop);
}

#define MOST_WAYS 16 /* of counting that are told apart under one pattern */

/* As most of its clips count. */
static const tw_reel_clock *most_of(const tw_plan *plan, const meant *m)
{
    const tw_reel_clock *ways[MOST_WAYS] = {NULL};
    size_t clips[MOST_WAYS] = {0}, count = 0, best = 0;
    for (size_t i = next_of(plan, m, m->at); i < m->end; i = next_of(plan, m, i + 1)) {
        const tw_reel_clock *c = &plan->clocks[i];
        size_t w = 0;
        while (w < count && !is_alike(ways[w], c->rate, c->drop, c->says_drop))
            w++;
        if (w == MOST_WAYS)
            continue;
        if (w == count)
            ways[count++] = c;
        clips[w] += c->clips;
        best = clips[w] > clips[best] ? w : best;
    }
    return ways[best];
}

/* What the edit leaves open is as the plan has it. */
static void take_clips(const tw_plan *plan, tw_str reel, tw_rate *rate, bool *drop)
{
    const meant m = meant_by(plan, reel);
    const tw_reel_clock *most = most_of(plan, &m);
    if (most == NULL)
        return;
    *rate = most->rate;
    *drop = most->says_drop ? most->drop : *drop && tw_rate_can_drop(most->rate);
}

static size_t find_other(const tw_plan *plan, tw_str reel, const twi_clock *clock)
{
    const meant m = meant_by(plan, reel);
    size_t i = next_of(plan, &m, m.at);
    while (i < m.end && is_alike(&plan->clocks[i], clock->rate, clock->drop, true))
        i = next_of(plan, &m, i + 1);
    return i < m.end ? i : SIZE_MAX;
}

void twi_plan_tell_others(twi_plan_job *job, const twi_clock *clock, const tw_json *time)
{
    if (clock->other == SIZE_MAX || job->told[clock->other])
        return;
    const tw_reel_clock *other = &job->plan->clocks[clock->other];
    tw_buf own = {.arena = job->arena}, theirs = {.arena = job->arena};
    tw_rate_write_spoken(clock->rate, clock->drop, &own);
    tw_rate_write_spoken(other->rate, other->drop, &theirs);
    job->told[clock->other] = true;
    twi_plan_tell(job, 1530, time,
                  "this time is counted at %.*s, and %zu clip%s of \"%.*s\" at %.*s: of %s it means other frames",
                  TW_ARG(tw_buf_str(&own)), other->clips, TW_PLURAL(other->clips), TW_ARG(other->written),
                  TW_ARG(tw_buf_str(&theirs)), other->clips == 1 ? "that" : "those");
}

/* ---- the whole clock ------------------------------------------------------------------------------------- */

static void take_edit(const tw_plan *plan, tw_str reel, tw_rate *rate, bool *drop)
{
    twi_plan_take_clock(tw_json_get(plan->doc.root, "edit"), plan->rate, plan->drop, rate, drop);
    take_clips(plan, reel, rate, drop);
}

void tw_plan_clock(const tw_plan *plan, tw_str reel, tw_rate edit_rate, bool edit_drop, tw_rate *rate, bool *drop)
{
    *rate = edit_rate;
    *drop = edit_drop;
    take_edit(plan, reel, rate, drop);
    take_source(tw_plan_source(plan, &reel, 1, 1), rate, drop);
}

twi_clock twi_plan_clock(const twi_plan_job *job, tw_str reel)
{
    twi_clock clock = {.has_in = false};
    tw_plan_clock(job->plan, reel, job->rate, job->drop, &clock.rate, &clock.drop);
    clock.other = find_other(job->plan, reel, &clock);
    return clock;
}

twi_clock twi_plan_media_clock(const twi_plan_job *job, const tw_source *source, tw_str reel)
{
    twi_clock clock = {.rate = job->rate, .drop = job->drop, .other = SIZE_MAX};
    take_edit(job->plan, reel, &clock.rate, &clock.drop);
    take_source(source, &clock.rate, &clock.drop);
    return clock;
}
