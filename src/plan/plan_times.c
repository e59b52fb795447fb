/* SPDX-License-Identifier: Apache-2.0
 *
 * Times of the plan: source time code at the rate of the note's reel.
 */
#include "plan_internal.h"

#define SHOWN_TIME 24 /* bytes of a time repeated in a message */

static void tell_fault(const twi_plan_job *job, const twi_clock *clock, const tw_json *value, tw_tc_fault fault)
{
    tw_str text = tw_str_cut(value->text, SHOWN_TIME);
    tw_buf rate = {.arena = job->arena};
    tw_rate_write_spoken(clock->rate, false, &rate);
    switch (fault) {
    case TW_TC_SEPARATOR:
        twi_plan_tell(job, 1513, value, "\"%.*s\" has other separators than ':', or ';' before the frames",
                      TW_ARG(text));
        break;
    case TW_TC_MINUTE:
        twi_plan_tell(job, 1513, value, "\"%.*s\" has more than 59 minutes or seconds", TW_ARG(text));
        break;
    case TW_TC_HOUR: twi_plan_tell(job, 1513, value, "\"%.*s\" has more than 23 hours", TW_ARG(text)); break;
    case TW_TC_FRAME:
        twi_plan_tell(job, 1513, value,
                      "the frame number of \"%.*s\" is too high: at %.*s frames a second the last is %d", TW_ARG(text),
                      TW_ARG(tw_buf_str(&rate)), (int)tw_rate_count(clock->rate) - 1);
        tw_diag_hint(job->diags, "if the rate is wrong, write the right one in \"sources\" or \"edit\"");
        break;
    case TW_TC_DROPPED:
        twi_plan_tell(job, 1513, value, "\"%.*s\" does not exist: drop-frame counting leaves this number out",
                      TW_ARG(text));
        break;
    default: twi_plan_tell(job, 1513, value, "\"%.*s\" is no time code: write HH:MM:SS:FF", TW_ARG(text)); break;
    }
}

static bool read_code(twi_plan_job *job, const twi_clock *clock, const tw_json *value, int64_t *frame)
{
    if (!tw_rate_known(clock->rate)) {
        if (!job->rate_missed)
            twi_plan_tell(job, 1514, value,
                          "no frame rate is known for this time: write \"rate\" in \"edit\" or in the "
                          "source it belongs to");
        job->rate_missed = true;
        return false;
    }
    tw_tc tc;
    tw_tc_fault fault = tw_tc_split(value->text, &tc, NULL);
    if (fault == TW_TC_FINE)
        fault = tw_tc_frames(tc, clock->rate, clock->drop || tc.semicolon, frame);
    if (fault != TW_TC_FINE) {
        tell_fault(job, clock, value, fault);
        return false;
    }
    twi_plan_tell_others(job, clock, value);
    if (tc.semicolon && !tw_rate_can_drop(clock->rate)) {
        tw_buf rate = {.arena = job->arena};
        tw_rate_write_spoken(clock->rate, false, &rate);
        twi_plan_tell(job, 1515, value,
                      "the ';' of \"%.*s\" means drop frame, which %.*s frames a second do not have; it "
                      "was read as ':'",
                      TW_ARG(tw_str_cut(value->text, SHOWN_TIME)), TW_ARG(tw_buf_str(&rate)));
    }
    return true;
}

bool twi_plan_time(twi_plan_job *job, const twi_clock *clock, const tw_json *value, int64_t *frame)
{
    if (tw_json_is(value, TW_JSON_STRING))
        return read_code(job, clock, value, frame);
    int64_t count;
    if (!tw_json_int(value, &count) || count < -((int64_t)1 << 40) || count > (int64_t)1 << 40) {
        twi_plan_tell(job, 1513, value, "a time is a time code text \"HH:MM:SS:FF\" or a whole number of frames");
        return false;
    }
    if (!clock->has_in) {
        twi_plan_tell(job, 1513, value,
                      "a number of frames counts from the note's \"in\", which this note does not have: "
                      "write time code, or give the note an \"in\"");
        return false;
    }
    *frame = clock->in + count;
    return true;
}
