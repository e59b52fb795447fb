/* SPDX-License-Identifier: Apache-2.0
 *
 * When an element begins, how long it goes on and how often it plays (SMIL 3.0, "Timing and Synchronization", from
 * memory). What is not followed is an error: nothing plays at another time than the file says.
 */
#include "smil_read.h"

/* No time is longer than 388 days; at most 1000 frames a second, begun and gone on for so long, make fewer frames than
 * this, so that what is read can be written and read again. */
#define MOST_MS INT64_C(33554432000)
#define MOST_FRAMES INT64_C(100000000000)

void twi_smil_fault(twi_smil_reader *r, const tw_xml_node *node, int code, const char *what, tw_str text)
{
    const tw_place place = tw_xml_place(&r->doc, node);
    tw_diag_add(r->diags, code, &place, "%s: \"%.*s\"", what, TW_ARG(tw_str_cut(text, 80)));
    r->failed = true;
}

bool twi_smil_one_of(tw_str name, const char *const *words)
{
    while (*words != NULL && !tw_str_is(name, *words))
        words++;
    return *words != NULL;
}

tw_str twi_smil_param(const tw_xml_node *node, const char *name)
{
    for (const tw_xml_node *p = node->child; p != NULL; p = p->next)
        if (tw_str_is(p->name, "param") && tw_str_is(tw_xml_get(p, "name"), name))
            return tw_xml_get(p, "value");
    return (tw_str){NULL, 0};
}

/* True when the param is there and is a whole number of frames within a year at any rate. */
bool twi_smil_frames(twi_smil_reader *r, const tw_xml_node *node, const char *name, int64_t *out)
{
    tw_str text = twi_smil_param(node, name);
    if (text.at == NULL)
        return false;
    if (tw_num_int(text, out) && *out<MOST_FRAMES && * out> - MOST_FRAMES)
        return true;
    twi_smil_fault(r, node, 2011, "a param that counts frames does not", text);
    return false;
}

bool twi_smil_clock_of(twi_smil_reader *r, const tw_xml_node *node, const char *name, int64_t *ms)
{
    tw_str text = tw_xml_get(node, name);
    if (text.at == NULL)
        return false;
    if (twi_smil_read_clock(text, ms) && *ms < MOST_MS)
        return true;
    twi_smil_fault(r, node, 2011, "this clock value cannot be read", text);
    return false;
}

/* Times were rounded up to milliseconds: the nearest frame is the one meant. */
tw_time twi_smil_frame_at(const twi_smil_reader *r, int64_t ms)
{
    tw_time t = tw_time_make(ms, 1000);
    return tw_time_frames(tw_time_round(t, r->timeline->rate, NULL), r->timeline->rate);
}

/* ---- spans ----------------------------------------------------------------------------------------------- */

/* Attributes that change when something plays, and the value with which they do not. */
static const struct {
    const char *name, *harmless;
} unfollowed[] = {
    {"min", "0"},        {"max", "indefinite"},    {"endsync", "last"},  {"speed", "1"},     {"accelerate", "0"},
    {"decelerate", "0"}, {"autoReverse", "false"}, {"clip-begin", NULL}, {"clip-end", NULL}, {"repeat", NULL},
};

static bool is_harmless(tw_str value, const char *harmless)
{
    double said, meant;
    int64_t ms;
    if (harmless == NULL)
        return false;
    if (tw_str_is(value, harmless) ||
        (tw_str_is(tw_str_z(harmless), "0") && twi_smil_read_clock(value, &ms) && ms == 0))
        return true;
    return tw_num_double(tw_str_z(harmless), &meant) && tw_num_double(value, &said) && said <= meant && said >= meant;
}

static void refuse_unfollowed(twi_smil_reader *r, const tw_xml_node *node)
{
    for (size_t i = 0; i < TW_COUNT(unfollowed); i++) {
        tw_str value = tw_xml_get(node, unfollowed[i].name);
        if (value.at != NULL && !is_harmless(value, unfollowed[i].harmless))
            twi_smil_fault(
                r, node, 2015,
                tw_arena_printf(r->arena, "%s changes when this plays, and is not followed", unfollowed[i].name).at,
                value);
    }
}

static int64_t earlier(int64_t a, int64_t b)
{
    return a < 0 || (b >= 0 && b < a) ? b : a;
}

/* How long the repeats of `simple` take; -1: it is not repeated. Once is no repeat. */
static int64_t repeated(twi_smil_reader *r, const tw_xml_node *node, int64_t simple)
{
    tw_str count = tw_xml_get(node, "repeatCount");
    int64_t most = -1, ms;
    double times;
    bool counted = tw_num_double(count, &times);
    if (count.at != NULL && !(counted && times >= 1 && times <= 1)) {
        if (counted && times > 0 && simple >= 0 && times * (double)simple < (double)MOST_MS)
            most = (int64_t)(times * (double)simple + 0.5);
        else
            twi_smil_fault(r, node, 2015, "this cannot be repeated so often", count);
    }
    if (twi_smil_clock_of(r, node, "repeatDur", &ms))
        most = earlier(most, ms);
    if (most > 0 && simple == 0)
        twi_smil_fault(r, node, 2015, "this has no length to be repeated", node->name);
    return most;
}

/* Also false for one that is "indefinite", which is as good as none. */
static bool definite(twi_smil_reader *r, const tw_xml_node *node, const char *name, int64_t *ms)
{
    return !tw_str_is(tw_xml_get(node, name), "indefinite") && twi_smil_clock_of(r, node, name, ms);
}

/* Is a repeatDur alone the length of the element? What moves plays as often as its own length says. */
static bool still(twi_smil_reader *r, const tw_xml_node *node)
{
    static const char *const stills[] = {"img", "text", "brush", "smilText", NULL};
    if (twi_smil_one_of(node->name, stills))
        return true;
    twi_smil_fault(r, node, 2015, "how often this plays cannot be known without its length", node->name);
    return false;
}

twi_smil_span twi_smil_span_of(twi_smil_reader *r, const tw_xml_node *node, int64_t natural)
{
    twi_smil_span s = {.begin = 0, .simple = natural, .active = -1};
    int64_t end;
    refuse_unfollowed(r, node);
    twi_smil_clock_of(r, node, "begin", &s.begin);
    bool said = definite(r, node, "dur", &s.simple);
    s.active = repeated(r, node, s.simple);
    s.repeats = s.active >= 0 && s.simple > 0;
    if (s.active >= 0 && s.simple < 0)
        s.simple = still(r, node) ? s.active : 0;
    if (!definite(r, node, "end", &end)) {
        s.active = s.repeats ? s.active : s.simple;
        return s;
    }
    if (end < s.begin)
        twi_smil_fault(r, node, 2011, "this ends before it begins", tw_xml_get(node, "end"));
    if (s.simple < 0)
        s.simple = end - s.begin;
    /* without a dur it goes on until the end, whatever it has */
    s.active = s.repeats || said ? earlier(s.repeats ? s.active : s.simple, end - s.begin) : end - s.begin;
    return s;
}
