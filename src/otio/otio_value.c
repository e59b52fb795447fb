/* SPDX-License-Identifier: Apache-2.0 */
#include "otio/otio_internal.h"

#include <math.h>
#include <string.h>

/* ---- what a value is ------------------------------------------------------------------------------------- */

const char *twi_otio_what(tw_arena *arena, const tw_json *value)
{
    static const char *const words[] = {"null", "false", "true", "a number", "a text", "a list", "an object"};
    const tw_json *schema = tw_json_get(value, "OTIO_SCHEMA");
    if (tw_json_is(schema, TW_JSON_STRING)) {
        tw_str name = tw_str_cut(schema->text, 60);
        bool vowel = name.len > 0 && strchr("AEIOUaeiou", name.at[0]) != NULL;
        return tw_arena_printf(arena, "%s %.*s", vowel ? "an" : "a", TW_ARG(name)).at;
    }
    if (tw_json_is(value, TW_JSON_NUMBER))
        return tw_arena_printf(arena, "the number %.*s", TW_ARG(tw_str_cut(value->text, 40))).at;
    if (tw_json_is(value, TW_JSON_STRING) && value->text.len <= 40)
        return tw_arena_printf(arena, "the text \"%.*s\"", TW_ARG(value->text)).at;
    if (tw_json_is(value, TW_JSON_OBJECT))
        return "an object without OTIO_SCHEMA";
    return words[value->kind];
}

const char *twi_otio_called(tw_arena *arena, const tw_json *value)
{
    tw_str name = twi_otio_text(value, "name");
    const char *what = twi_otio_what(arena, value);
    return name.len > 0 ? tw_arena_printf(arena, "%s \"%.*s\"", what, TW_ARG(name)).at : what;
}

tw_str twi_otio_text(const tw_json *object, const char *name)
{
    const tw_json *value = tw_json_get(object, name);
    return tw_json_is(value, TW_JSON_STRING) ? value->text : (tw_str){NULL, 0};
}

tw_json *twi_otio_member(const tw_json *object, const char *name)
{
    tw_json *value = tw_json_get(object, name);
    return tw_json_is(value, TW_JSON_NULL) ? NULL : value;
}

bool twi_otio_bool(const tw_json *object, const char *name, bool otherwise)
{
    const tw_json *value = tw_json_get(object, name);
    if (tw_json_is(value, TW_JSON_TRUE))
        return true;
    return tw_json_is(value, TW_JSON_FALSE) ? false : otherwise;
}

const tw_json *twi_otio_space(const tw_json *object)
{
    return tw_json_get(tw_json_get(object, "metadata"), TWI_OTIO_SPACE);
}

bool twi_otio_size(const tw_json *list, tw_size *out)
{
    int64_t w, h;
    if (!tw_json_is(list, TW_JSON_ARRAY) || list->count != 2 || !tw_json_int(list->in.first, &w) ||
        !tw_json_int(list->in.last, &h) || w < 1 || h < 1 || w > 1000000 || h > 1000000)
        return false;
    *out = (tw_size){(int32_t)w, (int32_t)h};
    return true;
}

/* ---- fields ---------------------------------------------------------------------------------------------- */

static bool fits(const tw_json *value, const twi_otio_field *field)
{
    int64_t whole;
    switch (field->type) {
    case TWI_OTIO_TEXT: return value->kind == TW_JSON_STRING;
    case TWI_OTIO_NUMBER: return value->kind == TW_JSON_NUMBER;
    case TWI_OTIO_INT: return value->kind == TW_JSON_NUMBER && tw_json_int(value, &whole);
    case TWI_OTIO_BOOL: return value->kind == TW_JSON_TRUE || value->kind == TW_JSON_FALSE;
    case TWI_OTIO_LIST: return value->kind == TW_JSON_ARRAY;
    case TWI_OTIO_DICT:
    case TWI_OTIO_OBJECT: return value->kind == TW_JSON_OBJECT;
    }
    return false;
}

static bool check_field(twi_otio *o, const tw_json *object, const twi_otio_field *field)
{
    static const char *const expected[] = {"text",      "a number", "a whole number", "true or false",
                                           "an object", "a list",   "an object"};
    const tw_json *value = tw_json_get(object, field->name);
    if (value == NULL && field->required)
        twi_otio_say(o, 1304, object, "%s has no \"%s\"", twi_otio_what(o->arena, object), field->name);
    if (value == NULL)
        return !field->required;
    if (fits(value, field) || (value->kind == TW_JSON_NULL && field->null_ok))
        return true;
    twi_otio_say(o, 1305, value, "\"%s\" of %s is %s where %s%s is expected", field->name,
                 twi_otio_what(o->arena, object), twi_otio_what(o->arena, value), expected[field->type],
                 field->null_ok ? " or null" : "");
    return false;
}

static bool check_fields(twi_otio *o, const tw_json *object, const twi_otio_field *fields)
{
    bool fine = true;
    for (; fields != NULL && fields->name != NULL; fields++)
        fine = check_field(o, object, fields) && fine;
    return fine;
}

bool twi_otio_object(twi_otio *o, tw_json **value, int groups, const char *expected, const twi_otio_schema **row)
{
    *row = NULL;
    if (!tw_json_is(*value, TW_JSON_OBJECT)) {
        twi_otio_say(o, 1305, *value, "%s stands where %s is expected", twi_otio_what(o->arena, *value), expected);
        return false;
    }
    tw_json *object = twi_otio_resolve(o, *value);
    if (object == NULL)
        return false;
    const tw_json *schema = tw_json_get(object, "OTIO_SCHEMA");
    if (schema == NULL) {
        twi_otio_say(o, 1303, object, "an object without OTIO_SCHEMA stands where %s is expected", expected);
        return false;
    }
    int32_t newest;
    bool formed = tw_json_is(schema, TW_JSON_STRING) && twi_otio_schema_find(schema->text, row, &newest);
    if (!formed || (*row == NULL && newest > 0))
        return false; /* the scan has said so */
    if (*row != NULL && ((int)(*row)->group & groups) == 0) {
        twi_otio_say(o, 1305, object, "%s stands where %s is expected", twi_otio_what(o->arena, object), expected);
        return false;
    }
    *value = object;
    bool own = *row == NULL || check_fields(o, object, (*row)->own);
    bool base = *row == NULL || check_fields(o, object, (*row)->base);
    return own && base;
}

/* ---- time ------------------------------------------------------------------------------------------------ */

/* Is the text a usual decimal form of the rate: 23.976, 23.98, 29.97 ... and not, say, 23.975? */
static bool rounded_form(double fps, tw_rate rate)
{
    for (int places = 2; places <= 9; places++)
        if (fabs(fps - tw_num_round(tw_rate_fps(rate), places)) < 1e-11)
            return true;
    return false;
}

static void say_snapped(twi_otio *o, const tw_json *number, tw_rate rate)
{
    tw_buf taken = {.arena = o->arena};
    tw_rate_write(rate, &taken);
    twi_otio_say(o, 1314, number, "a rate of %.*s is taken for %.*s", TW_ARG(tw_json_text(number)),
                 TW_ARG(tw_buf_str(&taken)));
}

/* Times of different rates are added up exactly. So that the sums fit, the least time that measures them all stays
 * above 1/4e10 s (all rates in use, sound at 44100 and 48000 and thousandths of a frame need 1/3.5e10) and no time is
 * longer than 2^25 s: four of them make 2^62.3. */
#define FINEST INT64_C(40000000000)
#define LONGEST 33554432.0

bool twi_otio_measurable(int64_t *measure, int64_t parts)
{
    int64_t a = *measure, b = parts;
    while (b != 0) {
        int64_t rest = a % b;
        a = b;
        b = rest;
    }
    if (parts / a > FINEST / *measure)
        return false;
    *measure *= parts / a;
    return true;
}

static bool add_rate(twi_otio *o, const tw_json *number, double fps, tw_rate rate)
{
    if (!twi_otio_measurable(&o->measure, rate.num)) {
        twi_otio_say(o, 1340, number,
                     "a rate of %.*s goes with none of the other rates in this file: times cannot be "
                     "added up",
                     TW_ARG(tw_json_text(number)));
        return false;
    }
    if (o->rate_count < TWI_OTIO_RATES)
        o->rates[o->rate_count++] = (twi_otio_rate){.fps = fps, .rate = rate};
    return true;
}

static bool read_rate(twi_otio *o, const tw_json *time, tw_rate *rate)
{
    const tw_json *number = tw_json_get(time, "rate");
    double fps = 0;
    bool finite = tw_json_double(number, &fps);
    for (size_t i = 0; finite && i < o->rate_count; i++) {
        if (fps >= o->rates[i].fps && fps <= o->rates[i].fps) {
            *rate = o->rates[i].rate;
            return true;
        }
    }
    bool exact;
    if (!finite || !tw_rate_snap(fps, rate, &exact)) {
        twi_otio_say(o, 1306, number, "a rate of %.*s frames in a second is no rate: a number above 0 is expected",
                     TW_ARG(tw_json_text(number)));
        return false;
    }
    if (!exact && !rounded_form(fps, *rate))
        say_snapped(o, number, *rate);
    return add_rate(o, number, fps, *rate);
}

/* Inside the bounds, and measurable when it is no whole frame. */
static bool check_time(twi_otio *o, const tw_json *number, tw_time time, tw_rate rate, bool whole)
{
    if (!twi_otio_short(time)) {
        twi_otio_say(o, 1339, number, "a time of %.*s frames is more than a year", TW_ARG(tw_json_text(number)));
        return false;
    }
    if (whole)
        return true;
    if (!twi_otio_measurable(&o->measure, (int64_t)rate.num * 1000)) {
        twi_otio_say(o, 1340, number, "%.*s is no whole frame, and goes with none of the other rates in this file",
                     TW_ARG(tw_json_text(number)));
        return false;
    }
    if (o->picture)
        twi_otio_say(o, 1315, number, "%.*s is no whole frame: kept, and rounded where frames are counted",
                     TW_ARG(tw_json_text(number)));
    return true;
}

bool twi_otio_short_seconds(double seconds)
{
    return seconds <= LONGEST && seconds >= -LONGEST;
}

bool twi_otio_short(tw_time time)
{
    return twi_otio_short_seconds(tw_time_seconds(time));
}

bool twi_otio_time(twi_otio *o, tw_json *value, tw_time *out, tw_rate *rate)
{
    const twi_otio_schema *row;
    if (!twi_otio_object(o, &value, TWI_OTIO_VALUE, "a RationalTime.1", &row))
        return false;
    if (row == NULL || row->is != TWI_OTIO_IS_TIME) {
        twi_otio_say(o, 1305, value, "%s stands where a RationalTime.1 is expected", twi_otio_what(o->arena, value));
        return false;
    }
    tw_rate own;
    if (!read_rate(o, value, &own))
        return false;
    const tw_json *number = tw_json_get(value, "value");
    double frames = 0;
    bool whole;
    if (!tw_json_double(number, &frames) || !tw_time_snap(frames, own, out, &whole)) {
        twi_otio_say(o, 1339, number, "a time of %.*s frames is more than a year", TW_ARG(tw_json_text(number)));
        return false;
    }
    if (!check_time(o, number, *out, own, whole))
        return false;
    if (rate != NULL)
        *rate = own;
    return true;
}

bool twi_otio_range_read(twi_otio *o, tw_json *value, twi_otio_range *out)
{
    const twi_otio_schema *row;
    if (!twi_otio_object(o, &value, TWI_OTIO_VALUE, "a TimeRange.1", &row))
        return false;
    if (row == NULL || row->is != TWI_OTIO_IS_RANGE) {
        twi_otio_say(o, 1305, value, "%s stands where a TimeRange.1 is expected", twi_otio_what(o->arena, value));
        return false;
    }
    tw_json *start = tw_json_get(value, "start_time"), *dur = tw_json_get(value, "duration");
    out->start = start;
    out->dur = dur;
    bool fine = twi_otio_time(o, dur, &out->at.dur, &out->dur_rate);
    fine = twi_otio_time(o, start, &out->at.start, &out->start_rate) && fine;
    if (fine && tw_time_cmp(out->at.dur, TW_TIME_ZERO) < 0) {
        const tw_json *number = tw_json_get(dur, "value");
        twi_otio_say(o, 1307, number, "a length of %.*s frames: a length cannot be below 0",
                     TW_ARG(tw_json_text(number)));
        return false;
    }
    return fine;
}
